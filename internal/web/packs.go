package web

import (
	"archive/zip"
	"io"
	"mime"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"regexp"
	"slices"
)

// types of what a pack holds; anything else is offered as bytes.
var types = map[string]string{
	".pdf": "application/pdf", ".svg": "image/svg+xml", ".csv": "text/csv; charset=utf-8", ".txt": "text/plain; charset=utf-8",
	".json": "application/json", ".dxf": "image/vnd.dxf",
}

// packName are the folders of a job whose files are sent: those of its packs and
// of its comparison.
var packName = regexp.MustCompile(`^(pack(-[0-9]+)?|compare)$`)

// file sends one file of a pack.
func (s *Server) file(w http.ResponseWriter, r *http.Request, p place) {
	rel, folder := r.FormValue("p"), r.FormValue("d")
	if folder == "" {
		folder = "pack"
	}
	if !packName.MatchString(folder) || !slices.Contains(packFiles(p.beside(folder)), rel) {
		s.refuse(w, http.StatusNotFound, "There is no such file in the pack.")
		return
	}
	dir, err := filepath.EvalSymlinks(p.beside(folder))
	if err != nil || !s.holds(dir) {
		s.refuse(w, http.StatusNotFound, "There is no such file in the pack.")
		return
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		s.refuse(w, http.StatusNotFound, "There is no pack.")
		return
	}
	defer root.Close()
	f, err := root.Open(filepath.FromSlash(rel))
	if err != nil {
		s.refuse(w, http.StatusNotFound, "There is no such file in the pack.")
		return
	}
	defer f.Close()
	kind := types[path.Ext(rel)]
	if kind == "" {
		kind = "application/octet-stream"
	}
	w.Header().Set("Content-Type", kind)
	if ext := path.Ext(rel); ext != ".svg" && ext != ".pdf" && ext != ".txt" {
		w.Header().Set("Content-Disposition", mime.FormatMediaType("attachment", map[string]string{"filename": path.Base(rel)}))
	}
	_, _ = io.Copy(w, f)
}

// zip sends the whole pack.
func (s *Server) zip(w http.ResponseWriter, r *http.Request, p place) {
	dir, err := filepath.EvalSymlinks(p.pack())
	if err != nil || !s.holds(dir) {
		s.refuse(w, http.StatusNotFound, "There is no pack yet.")
		return
	}
	root, err := os.OpenRoot(dir)
	if err != nil {
		s.refuse(w, http.StatusNotFound, "There is no pack yet.")
		return
	}
	defer root.Close()
	w.Header().Set("Content-Type", "application/zip")
	w.Header().Set("Content-Disposition", `attachment; filename="pack.zip"`)
	z := zip.NewWriter(w)
	defer z.Close()
	for _, rel := range packFiles(p.pack()) {
		f, err := root.Open(filepath.FromSlash(rel))
		if err != nil {
			continue
		}
		if out, err := z.Create("pack/" + rel); err == nil {
			_, _ = io.Copy(out, f)
		}
		f.Close()
	}
}
