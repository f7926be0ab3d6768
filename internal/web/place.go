package web

import (
	"net/http"
	"path/filepath"

	"sawbill/internal/job"
)

// place is a job in the folder: its path from there, with slashes, and on disk.
type place struct {
	Rel  string
	path string
}

// Name is the job file's name.
func (p place) Name() string { return filepath.Base(filepath.FromSlash(p.Rel)) }

// beside is a folder next to the job file.
func (p place) beside(name string) string { return filepath.Join(filepath.Dir(p.path), name) }

// pack is the folder of a job's plan.
func (p place) pack() string { return p.beside("pack") }

// of finds the job a request names. It lies in the folder, whatever links say.
func (s *Server) of(do func(http.ResponseWriter, *http.Request, place)) http.HandlerFunc {
	return func(w http.ResponseWriter, r *http.Request) {
		rel := r.FormValue("f")
		path, ok := s.inside(rel)
		if !ok || filepath.Ext(path) != ".toml" {
			s.refuse(w, http.StatusNotFound, "There is no job of that name in this folder.")
			return
		}
		do(w, r, place{rel, path})
	}
}

// inside is the place on disk of a path in the folder, if it lies there.
func (s *Server) inside(rel string) (string, bool) {
	if rel == "" || !filepath.IsLocal(filepath.FromSlash(rel)) {
		return "", false
	}
	path, err := filepath.EvalSymlinks(filepath.Join(s.dir, filepath.FromSlash(rel)))
	if err != nil || !s.holds(path) {
		return "", false
	}
	return path, true
}

// holds tells whether a path without links lies in the folder.
func (s *Server) holds(path string) bool {
	rel, err := filepath.Rel(s.dir, path)
	return err == nil && filepath.IsLocal(rel)
}

// outside is the refusal of a job with files elsewhere.
const outside = "The job names a file outside this folder, which is neither read nor changed here."

// read reads a job all of whose files lie in the folder.
func (s *Server) read(p place) (*job.Draft, bool) {
	d := job.Open(p.path)
	for _, f := range d.Files {
		real, err := filepath.EvalSymlinks(f)
		if err == nil {
			real, err = filepath.Abs(real)
		}
		if err != nil || !s.holds(real) {
			return nil, false
		}
	}
	return d, true
}

// open reads a job, or refuses it.
func (s *Server) open(w http.ResponseWriter, p place) (*job.Draft, bool) {
	d, ok := s.read(p)
	if !ok {
		s.refuse(w, http.StatusForbidden, outside)
	}
	return d, ok
}

// sound reads a job without faults, or refuses it.
func (s *Server) sound(w http.ResponseWriter, p place) (*job.Job, bool) {
	d, ok := s.open(w, p)
	if ok && d.Job == nil {
		s.refuse(w, http.StatusConflict, "The job has faults; put them right first.")
		return nil, false
	}
	if !ok {
		return nil, false
	}
	return d.Job, true
}

// short is a file's path from the folder.
func (s *Server) short(path string) string {
	if rel, err := filepath.Rel(s.dir, path); err == nil && filepath.IsLocal(rel) {
		return filepath.ToSlash(rel)
	}
	return path
}
