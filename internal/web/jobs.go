package web

import (
	"errors"
	"io"
	"io/fs"
	"net/http"
	"os"
	"path/filepath"
	"slices"
	"strings"
)

// deepest is how far below the folder jobs are looked for.
const deepest = 3

// jobs lists the jobs of the folder.
func (s *Server) jobs(w http.ResponseWriter, _ *http.Request) {
	type row struct {
		place
		Planned bool
	}
	var list []row
	_ = filepath.WalkDir(s.dir, func(path string, e fs.DirEntry, err error) error {
		if err != nil {
			return nil
		}
		rel, _ := filepath.Rel(s.dir, path)
		if e.IsDir() {
			if rel != "." && (strings.HasPrefix(e.Name(), ".") || strings.Count(filepath.ToSlash(rel), "/") >= deepest) {
				return filepath.SkipDir
			}
			return nil
		}
		if filepath.Ext(path) == ".toml" && e.Type().IsRegular() {
			_, err := os.Stat(filepath.Join(filepath.Dir(path), "pack", "plan.json"))
			list = append(list, row{place{filepath.ToSlash(rel), path}, err == nil})
		}
		return nil
	})
	slices.SortFunc(list, func(a, b row) int { return strings.Compare(a.Rel, b.Rel) })
	s.show(w, http.StatusOK, "jobs", struct {
		Dir  string
		Jobs []row
	}{s.dir, list})
}

// kinds of files that a job is begun with.
var kinds = []string{".csv", ".tsv", ".txt", ".xlsx", ".dxf"}

// newJob takes in a cut list or a drawing and makes a job of it.
func (s *Server) newJob(w http.ResponseWriter, r *http.Request) {
	in, head, err := r.FormFile("list")
	if err != nil {
		s.refuse(w, http.StatusBadRequest, "Choose a cut list, CSV or XLSX, or a drawing, DXF.")
		return
	}
	defer in.Close()
	name := filepath.Base(filepath.FromSlash(strings.ReplaceAll(head.Filename, `\`, "/")))
	ext := strings.ToLower(filepath.Ext(name))
	if !slices.Contains(kinds, ext) {
		s.refuse(w, http.StatusBadRequest, "That is no cut list and no drawing by its name; save it as CSV, XLSX or DXF.")
		return
	}
	data, err := io.ReadAll(in)
	if err != nil {
		s.refuse(w, http.StatusBadRequest, "The file did not come whole; choose it again.")
		return
	}
	s.begun(w, r, strings.TrimSuffix(name, filepath.Ext(name)), name, data)
}

// newEmpty begins a job with a list of one row.
func (s *Server) newEmpty(w http.ResponseWriter, r *http.Request) {
	s.begun(w, r, strings.TrimSpace(r.FormValue("name")), "pieces.csv", []byte("mark,material,length,left,right,quantity,note\nP1,tube,1000,0,0,1,\n"))
}

// begun makes a job of a list in a new folder, and shows it.
func (s *Server) begun(w http.ResponseWriter, r *http.Request, folder, name string, data []byte) {
	dir, ok := s.folder(w, folder)
	if !ok {
		return
	}
	list := filepath.Join(dir, name)
	err := os.WriteFile(list, data, 0o644)
	if err == nil {
		err = s.program.New(list, dir)
	}
	if err != nil {
		_ = os.RemoveAll(dir) // which was made here and holds nothing else
		s.refuse(w, http.StatusBadRequest, strings.ReplaceAll(sentence(err), list, name))
		return
	}
	http.Redirect(w, r, "/job?new=1&f="+query(folder+"/job.toml"), http.StatusSeeOther)
}

// newExample writes the example.
func (s *Server) newExample(w http.ResponseWriter, r *http.Request) {
	const name = "bird-hide"
	dir, ok := s.folder(w, name)
	if !ok {
		return
	}
	if err := s.program.Example(dir); err != nil {
		s.refuse(w, http.StatusInternalServerError, sentence(err))
		return
	}
	http.Redirect(w, r, "/job?f="+query(name+"/job.toml"), http.StatusSeeOther)
}

// folder makes a new one in the folder, or refuses.
func (s *Server) folder(w http.ResponseWriter, name string) (string, bool) {
	if name == "" || !filepath.IsLocal(name) || filepath.Base(name) != name || strings.HasPrefix(name, ".") || strings.ContainsAny(name, `\/:*?"<>|`) || len(name) > 100 {
		s.refuse(w, http.StatusBadRequest, "That is no name for a folder; write letters, digits, blanks and hyphens.")
		return "", false
	}
	dir := filepath.Join(s.dir, name)
	switch err := os.Mkdir(dir, 0o755); {
	case errors.Is(err, fs.ErrExist):
		s.refuse(w, http.StatusConflict, "A folder of that name is there already; take another name.")
		return "", false
	case err != nil:
		s.refuse(w, http.StatusInternalServerError, sentence(err))
		return "", false
	}
	return dir, true
}
