// Package web is Sawbill in a browser on the same machine: the jobs of a folder,
// their tables to be changed in place, the plan as it is being found and when it
// is, its options, what to cut next, and the rack. Pages are made here and work
// without any other machine.
//
// What changes something is a POST with the token that the pages carry, from the
// same origin. Files are read and written below the folder only. Whoever asks
// from another machine must have entered a code first.
package web

import (
	"context"
	"crypto/rand"
	"embed"
	"encoding/hex"
	"html/template"
	"net/http"
	"path/filepath"
	"strings"
	"sync"
	"time"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/rack"
	"sawbill/internal/report/screen"
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
	// New makes a job of a cut list or a drawing in a folder of its own.
	New func(list, folder string) error
	// Example writes the example into a folder.
	Example func(folder string) error
	// Papers is what the papers of a plan say, Drawings where its layouts are drawn.
	Papers   func(*plan.Plan, *job.Job) ([]screen.Paper, error)
	Drawings func(*plan.Plan) []screen.Drawing
	// Compare plans the job at path in several ways and writes the papers of that
	// into the folder "compare" beside it; Options is what was last written there,
	// nil where there is nothing.
	Compare func(ctx context.Context, path string, progress func(done, of int)) error
	Options func(path string, j *job.Job) (*Options, error)
	// Rack opens the rack.
	Rack func(context.Context) (Rack, error)
	// Stopped is the cause with which a search ends when a person stops it.
	Stopped error
}

// Progress is a glance at a search: for one material, or with none for the purchase
// as a whole.
type Progress struct {
	Material     string
	Value, Bound plan.Money
	Found, Done  bool
}

// Options are the ways to buy a job, as they were compared.
type Options struct {
	// Stale is set when the job, or what it may use of the rack, has changed since.
	Stale   bool
	Paper   screen.Paper
	Choices []Choice
}

// Choice is one of them that can be bought.
type Choice struct {
	Name, Total string
	// Without are the rows of the job's tables that it does without. Variant is the
	// variant that the job becomes, and For the materials that rows of offers are
	// for then. Refused says why it cannot be taken in this way.
	Without []job.Pos
	Variant string
	For     map[job.Pos]string
	Refused string
}

// Rack is what lies on the rack.
type Rack interface {
	List(context.Context) ([]rack.Offcut, error)
	Add(context.Context, ...rack.Offcut) ([]int64, error)
	Drop(context.Context, ...int64) error
	Edit(context.Context, int64, func(*rack.Offcut) error) (rack.Offcut, error)
	ReleasePieces(context.Context, ...int64) error
	Close() error
}

// Server answers for the jobs of one folder.
type Server struct {
	dir     string // absolute, without symbolic links
	program Program
	token   string
	quit    func()
	now     func() time.Time
	slowest time.Duration // that a form may take to come
	pages   *template.Template
	door    *door // nil when only this machine can ask

	lock  sync.Mutex
	runs  map[errand]*run
	going sync.WaitGroup
	undos map[string][]undo // by the job's path in the folder
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
	s := &Server{dir: dir, program: program, token: secret(), quit: quit, now: time.Now, slowest: readTime, runs: map[errand]*run{}, undos: map[string][]undo{}}
	s.pages, err = template.New("").Funcs(template.FuncMap{
		"token":   func() string { return s.token },
		"guest":   func() bool { return s.door != nil },
		"same":    alike,
		"nolinks": func() map[string]string { return nil },
		"twice":   func(a, b any) [2]any { return [2]any{a, b} },
	}).ParseFS(files, "pages/*.html")
	return s, err
}

// secret is a number that nobody guesses.
func secret() string {
	b := make([]byte, 16)
	_, _ = rand.Read(b) // never fails (crypto/rand)
	return hex.EncodeToString(b)
}

// Handler is all of it. hosts are the addresses it listens on; requests for
// other names are refused, as a page elsewhere might have them sent here.
func (s *Server) Handler(hosts ...string) http.Handler {
	m := http.NewServeMux()
	get := func(path string, do func(http.ResponseWriter, *http.Request, place)) {
		m.Handle("GET "+path, s.let(s.of(do)))
	}
	m.Handle("GET /{$}", s.let(s.jobs))
	get("/job", s.job)
	get("/plan", s.plan)
	get("/paper", s.paper)
	get("/compare", s.compare)
	get("/saw", s.saw)
	get("/events", s.events)
	get("/file", s.file)
	get("/pack.zip", s.zip)
	m.Handle("GET /rack", s.let(s.rack))
	m.Handle("GET /rack.csv", s.let(s.rackTable))
	m.Handle("GET /assets/", http.FileServerFS(files))

	post := func(path string, do http.HandlerFunc) { m.Handle("POST "+path, s.let(s.guarded(do))) }
	change := func(path string, do func(http.ResponseWriter, *http.Request, place)) { post(path, s.of(do)) }
	post("/new", s.newJob)
	post("/new/empty", s.newEmpty)
	post("/new/example", s.newExample)
	change("/job/cells", s.cells)
	change("/job/text", s.text)
	change("/job/undo", s.undo)
	change("/plan/start", s.start)
	change("/compare/start", s.startComparing)
	change("/compare/take", s.take)
	change("/stop", s.stop)
	change("/saw/tick", s.tick)
	change("/saw/replan", s.replan)
	post("/rack/add", s.rackAdd)
	post("/rack/drop", s.rackDrop)
	post("/rack/edit", s.rackEdit)
	post("/rack/release", s.rackRelease)
	post("/quit", func(w http.ResponseWriter, r *http.Request) {
		s.show(w, http.StatusOK, "gone", nil)
		s.quit()
	})
	if s.door != nil {
		m.HandleFunc("GET /pair", s.pair)
		m.Handle("POST /pair", s.limited(http.HandlerFunc(s.enter)))
	}
	return headers(known(hosts, http.NewCrossOriginProtection().Handler(m)))
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
