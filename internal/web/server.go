// Package web is Sawbill in a browser on the same machine: the jobs of a folder,
// their tables to be changed in place, the plan as it is being found and when it
// is, and what to cut next. Pages are made here and work without any other machine.
//
// What changes something is a POST with the token that the pages carry, from the
// same origin. Files are read and written below the folder only.
package web

import (
	"context"
	"crypto/rand"
	"embed"
	"encoding/hex"
	"errors"
	"html/template"
	"net"
	"net/http"
	"path/filepath"
	"slices"
	"strings"
	"sync"
	"time"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

//go:embed assets pages
var files embed.FS

// Program is what the pages have done by the rest of the program.
type Program struct {
	// Plan plans the job at path, proves the plan and writes its pack into the
	// folder "pack" beside it.
	Plan func(ctx context.Context, path string, progress func(Progress)) (*plan.Plan, error)
	// Replan plans what remains of a job by the progress in the folder of a pack,
	// into a new folder, which it returns.
	Replan func(ctx context.Context, path, pack string) (string, error)
	// New makes a job of a cut list in a folder of its own.
	New func(list, folder string) error
}

// Progress is a glance at a search.
type Progress struct {
	Material     string
	Value, Bound plan.Money
	Found, Done  bool
}

// Server answers for the jobs of one folder.
type Server struct {
	dir     string // absolute, without symbolic links
	program Program
	token   string
	quit    func()
	pages   *template.Template

	lock  sync.Mutex
	runs  map[string]*run // by the job's path in the folder
	undos map[string][]undo
}

// New makes a server for a folder; quit is called when a person asks it to end.
func New(dir string, program Program, quit func()) (*Server, error) {
	dir, err := filepath.Abs(dir)
	if err == nil {
		dir, err = filepath.EvalSymlinks(dir)
	}
	if err != nil {
		return nil, err
	}
	secret := make([]byte, 16)
	if _, err := rand.Read(secret); err != nil {
		return nil, err
	}
	s := &Server{dir: dir, program: program, token: hex.EncodeToString(secret), quit: quit, runs: map[string]*run{}, undos: map[string][]undo{}}
	s.pages, err = template.New("").Funcs(template.FuncMap{"token": func() string { return s.token }}).ParseFS(files, "pages/*.html")
	return s, err
}

// Limits of one request.
const (
	largestBody = 8 << 20
	readTime    = 20 * time.Second
)

// Handler is all of it. host is the address that it listens on; requests for
// other names are refused, as a page elsewhere might have them sent here.
func (s *Server) Handler(host string) http.Handler {
	m := http.NewServeMux()
	m.HandleFunc("GET /{$}", s.jobs)
	m.HandleFunc("GET /job", s.job)
	m.HandleFunc("GET /plan", s.plan)
	m.HandleFunc("GET /plan/events", s.events)
	m.HandleFunc("GET /saw", s.saw)
	m.HandleFunc("GET /file", s.file)
	m.HandleFunc("GET /pack.zip", s.zip)
	m.Handle("GET /assets/", http.FileServerFS(files))
	post := func(path string, do http.HandlerFunc) { m.Handle("POST "+path, s.guarded(do)) }
	post("/new", s.newJob)
	post("/job/cells", s.cells)
	post("/job/text", s.text)
	post("/job/undo", s.undo)
	post("/plan/start", s.start)
	post("/plan/stop", s.stop)
	post("/saw/tick", s.tick)
	post("/saw/replan", s.replan)
	post("/quit", func(w http.ResponseWriter, r *http.Request) {
		s.show(w, http.StatusOK, "gone", nil)
		s.quit()
	})
	return headers(s.known(host, http.NewCrossOriginProtection().Handler(m)))
}

// headers go with every answer.
func headers(next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		h := w.Header()
		h.Set("Content-Security-Policy", "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'")
		h.Set("X-Content-Type-Options", "nosniff")
		h.Set("X-Frame-Options", "DENY")
		h.Set("Referrer-Policy", "no-referrer")
		h.Set("Cross-Origin-Resource-Policy", "same-origin")
		h.Set("Cache-Control", "no-store")
		next.ServeHTTP(w, r)
	})
}

// known refuses requests for a host that is not this machine.
func (s *Server) known(host string, next http.Handler) http.Handler {
	_, port, _ := net.SplitHostPort(host)
	names := []string{host, "localhost:" + port, "127.0.0.1:" + port, "[::1]:" + port}
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !slices.Contains(names, r.Host) {
			http.Error(w, "this is not the host that was asked for", http.StatusForbidden)
			return
		}
		next.ServeHTTP(w, r)
	})
}

// guarded lets a request through that carries the token, with a body of a
// reasonable size that comes in reasonable time.
func (s *Server) guarded(next http.HandlerFunc) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		r.Body = http.MaxBytesReader(w, r.Body, largestBody)
		_ = http.NewResponseController(w).SetReadDeadline(time.Now().Add(readTime))
		err := r.ParseForm()
		if err == nil && strings.HasPrefix(r.Header.Get("Content-Type"), "multipart/form-data") {
			err = r.ParseMultipartForm(1 << 20)
		}
		var large *http.MaxBytesError
		switch {
		case errors.As(err, &large):
			http.Error(w, "that is more than can be taken at once", http.StatusRequestEntityTooLarge)
			return
		case err != nil:
			http.Error(w, "the form could not be read", http.StatusBadRequest)
			return
		case r.Form.Get("token") != s.token:
			http.Error(w, "the page is of another run of the program; load it again", http.StatusForbidden)
			return
		}
		next(w, r)
	})
}

// show writes a page.
func (s *Server) show(w http.ResponseWriter, status int, page string, data any) {
	var b strings.Builder
	if err := s.pages.ExecuteTemplate(&b, page, data); err != nil {
		http.Error(w, "the page could not be made: "+err.Error(), http.StatusInternalServerError)
		return
	}
	w.Header().Set("Content-Type", "text/html; charset=utf-8")
	w.WriteHeader(status)
	_, _ = w.Write([]byte(b.String()))
}

// refuse says in a sentence why something was not done.
func (s *Server) refuse(w http.ResponseWriter, status int, text string) {
	s.show(w, status, "refused", struct{ Text string }{text})
}

// place is a job in the folder: its path from there, with slashes, and on disk.
type place struct {
	Rel  string
	path string
}

// Folder is the job's folder from the server's.
func (p place) Folder() string {
	dir, _ := filepath.Split(filepath.FromSlash(p.Rel))
	return filepath.ToSlash(filepath.Clean(dir))
}

// Name is the job file's name.
func (p place) Name() string { return filepath.Base(filepath.FromSlash(p.Rel)) }

// where finds the job a request names. It lies in the folder, whatever links say.
func (s *Server) where(w http.ResponseWriter, r *http.Request) (place, bool) {
	rel := r.FormValue("f")
	path, ok := s.inside(rel)
	if !ok || filepath.Ext(path) != ".toml" {
		s.refuse(w, http.StatusNotFound, "There is no job of that name in this folder.")
		return place{}, false
	}
	return place{rel, path}, true
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

// open reads a job all of whose files lie in the folder.
func (s *Server) open(p place) (*job.Draft, bool) {
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
