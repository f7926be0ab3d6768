package web

import (
	"context"
	"fmt"
	"net/http"
	"os"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"sawbill/internal/plan"
	"sawbill/internal/progress"
)

// planView is the page of a plan.
type planView struct {
	place
	Title   string
	Running bool
	Failed  string
	// Plan is nil where there is none yet; Stale when the job has changed since.
	Plan      *plan.Plan
	Stale     bool
	Materials []materialView
	Files     []string
	Next      string // the pack that took over
}

// materialView is a material's part of the plan and its drawings.
type materialView struct {
	plan.Material
	Drawings []string
}

// pack is the folder of a job's plan.
func (p place) pack() string { return filepath.Join(filepath.Dir(p.path), "pack") }

// readPlan reads the plan in a pack; nil where there is none that can be read.
func readPlan(dir string) *plan.Plan {
	data, err := os.ReadFile(filepath.Join(dir, "plan.json"))
	if err != nil {
		return nil
	}
	p, err := plan.Decode(data)
	if err != nil {
		return nil
	}
	return p
}

func (s *Server) plan(w http.ResponseWriter, r *http.Request) {
	p, ok := s.where(w, r)
	if !ok {
		return
	}
	d, ok := s.open(p)
	if !ok {
		s.refuse(w, http.StatusForbidden, "The job names a file outside this folder, which is not read here.")
		return
	}
	v := &planView{place: p, Title: p.Name(), Plan: readPlan(p.pack())}
	if d.Job != nil {
		v.Title = d.Job.Name
		v.Stale = v.Plan != nil && v.Plan.Job.Digest != progress.Planned(d.Job, v.Plan).Digest
	} else {
		v.Stale = v.Plan != nil
		v.Failed = fmt.Sprintf("The job has %d faults; put them right first.", len(d.Faults))
		if len(d.Faults) == 1 {
			v.Failed = "The job has a fault; put it right first."
		}
	}
	s.lock.Lock()
	if run := s.runs[p.Rel]; run != nil {
		g, _ := run.glance()
		v.Running = !g.Done
		if g.Done && v.Failed == "" {
			v.Failed = g.Failed
		}
	}
	s.lock.Unlock()
	if v.Plan != nil {
		v.Files = packFiles(p.pack())
		for _, m := range v.Plan.Materials {
			view := materialView{Material: m}
			for _, f := range v.Files {
				name := path.Base(f)
				if path.Dir(f) == "workshop/svg" && strings.HasPrefix(name, drawingBase(m.Key)+"-") {
					view.Drawings = append(view.Drawings, f)
				}
			}
			v.Materials = append(v.Materials, view)
		}
	}
	s.show(w, http.StatusOK, "plan", v)
}

// drawingBase is how the names of a material's drawings begin.
func drawingBase(key string) string {
	return strings.Map(func(r rune) rune {
		if r == '/' || r == '\\' {
			return '-'
		}
		return r
	}, key)
}

// packFiles lists the files of a pack, with slashes.
func packFiles(dir string) []string {
	var list []string
	_ = filepath.WalkDir(dir, func(path string, e os.DirEntry, err error) error {
		if err == nil && e.Type().IsRegular() && !strings.HasPrefix(e.Name(), ".") {
			rel, _ := filepath.Rel(dir, path)
			list = append(list, filepath.ToSlash(rel))
		}
		return nil
	})
	slices.Sort(list)
	return list
}

// start begins a search, unless one is under way.
func (s *Server) start(w http.ResponseWriter, r *http.Request) {
	p, ok := s.where(w, r)
	if !ok {
		return
	}
	s.lock.Lock()
	old := s.runs[p.Rel]
	under := false
	if old != nil {
		g, _ := old.glance()
		under = !g.Done
	}
	if !under {
		ctx, cancel := context.WithCancelCause(context.Background())
		run := newRun(cancel)
		s.runs[p.Rel] = run
		go func() {
			defer cancel(nil)
			made, err := s.program.Plan(ctx, p.path, run.report)
			number := ""
			if made != nil {
				number = made.Number
			}
			run.finish(number, err)
		}()
	}
	s.lock.Unlock()
	http.Redirect(w, r, "/plan?f="+query(p.Rel), http.StatusSeeOther)
}

// stop ends a search with the best plan so far.
func (s *Server) stop(w http.ResponseWriter, r *http.Request) {
	p, ok := s.where(w, r)
	if !ok {
		return
	}
	s.lock.Lock()
	if run := s.runs[p.Rel]; run != nil {
		run.cancel(errStopped)
	}
	s.lock.Unlock()
	http.Redirect(w, r, "/plan?f="+query(p.Rel), http.StatusSeeOther)
}

// Stop ends all searches.
func (s *Server) Stop() {
	s.lock.Lock()
	defer s.lock.Unlock()
	for _, run := range s.runs {
		run.cancel(errStopped)
	}
}

// oftenest is how often a page hears of a search.
const oftenest = 200 * time.Millisecond

// events tells a page how the search goes, as server-sent events: what to show,
// ready made.
func (s *Server) events(w http.ResponseWriter, r *http.Request) {
	p, ok := s.where(w, r)
	if !ok {
		return
	}
	s.lock.Lock()
	run := s.runs[p.Rel]
	s.lock.Unlock()
	if run == nil {
		w.WriteHeader(http.StatusNoContent)
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	for {
		g, changed := run.glance()
		var b strings.Builder
		if err := s.pages.ExecuteTemplate(&b, "progress", plotted(g)); err != nil {
			return
		}
		name := "progress"
		if g.Done {
			name = "done"
		}
		fmt.Fprintf(w, "event: %s\ndata: %s\n\n", name, strings.ReplaceAll(b.String(), "\n", "\ndata: "))
		if out.Flush() != nil || g.Done {
			return
		}
		select {
		case <-changed:
		case <-r.Context().Done():
			return
		}
		select {
		case <-time.After(oftenest):
		case <-r.Context().Done():
			return
		}
	}
}

// plot is a glance with the two lines of its plot.
type plot struct {
	glance
	Values, Bounds string
}

// plotted draws the best plan and the bound as they closed in on each other, in a
// field of 300 by 60.
func plotted(g glance) plot {
	p := plot{glance: g}
	low, high := plan.Money(0), plan.Money(0)
	for i, q := range g.Points {
		if i == 0 {
			low, high = q.Bound, q.Value
		}
		low, high = min(low, q.Bound, q.Value), max(high, q.Value, q.Bound)
	}
	if high == low {
		high++
	}
	var values, bounds []string
	for i, q := range g.Points {
		x := 300 * float64(i) / float64(max(1, len(g.Points)-1))
		y := func(m plan.Money) float64 { return 58 - 56*float64(m-low)/float64(high-low) }
		values = append(values, fmt.Sprintf("%.1f,%.1f", x, y(q.Value)))
		bounds = append(bounds, fmt.Sprintf("%.1f,%.1f", x, y(q.Bound)))
	}
	p.Values, p.Bounds = strings.Join(values, " "), strings.Join(bounds, " ")
	return p
}
