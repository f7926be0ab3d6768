package web

import (
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

// newJob takes in a cut list and makes a job of it.
func (s *Server) newJob(w http.ResponseWriter, r *http.Request) {
	in, head, err := r.FormFile("list")
	if err != nil {
		s.refuse(w, http.StatusBadRequest, "Choose a cut list, CSV or XLSX.")
		return
	}
	defer in.Close()
	name := filepath.Base(filepath.FromSlash(strings.ReplaceAll(head.Filename, `\`, "/")))
	ext := strings.ToLower(filepath.Ext(name))
	folder := strings.TrimSuffix(name, filepath.Ext(name))
	if folder == "" || !filepath.IsLocal(folder) || strings.HasPrefix(folder, ".") || ext != ".csv" && ext != ".xlsx" && ext != ".tsv" && ext != ".txt" {
		s.refuse(w, http.StatusBadRequest, "That is no cut list by its name; save it as CSV or XLSX.")
		return
	}
	dir := filepath.Join(s.dir, folder)
	if err := os.Mkdir(dir, 0o755); err != nil {
		s.refuse(w, http.StatusConflict, "A folder of that name is there already; rename the list.")
		return
	}
	data, err := io.ReadAll(in)
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, name), data, 0o644)
	}
	if err == nil {
		err = s.program.New(filepath.Join(dir, name), dir)
	}
	if err != nil {
		_ = os.Remove(filepath.Join(dir, name))
		_ = os.Remove(dir)
		s.refuse(w, http.StatusBadRequest, err.Error())
		return
	}
	http.Redirect(w, r, "/job?f="+query(folder+"/job.toml"), http.StatusSeeOther)
}
