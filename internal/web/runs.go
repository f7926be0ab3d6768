package web

import (
	"context"
	"fmt"
	"net/http"
	"strings"
	"sync"
	"time"

	"sawbill/internal/plan"
)

// errand is a search for a job, by its path in the folder.
type errand struct{ kind, rel string }

// The kinds of errands.
const (
	planning  = "plan"
	comparing = "compare"
)

// run is one search and whoever watches it.
type run struct {
	cancel context.CancelCauseFunc

	lock     sync.Mutex
	progress map[string]Progress // by material
	order    []string
	points   []point
	done, of int
	over     bool
	failed   string
	changed  chan struct{} // closed and replaced at each change
}

// point is how far the search was: what all materials cost, and the least they could.
type point struct{ Value, Bound plan.Money }

// mostPoints are kept of a search, the first and the last among them.
const mostPoints = 400

// report notes how a search for a plan stands.
func (r *run) report(p Progress) {
	r.lock.Lock()
	defer r.lock.Unlock()
	if _, known := r.progress[p.Material]; !known {
		r.order = append(r.order, p.Material)
	}
	r.progress[p.Material] = p
	defer r.wake()
	sum, found := point{}, true
	for _, q := range r.progress {
		sum.Value += q.Value
		sum.Bound += q.Bound
		found = found && q.Found
	}
	if whole, bought := r.progress[""]; bought { // the purchase has the charges too
		sum, found = point{whole.Value, whole.Bound}, whole.Found
	}
	if !found {
		return
	}
	if len(r.points) == mostPoints { // every second of the older ones will do
		half := r.points[:0]
		for i := 0; i < mostPoints; i += 2 {
			half = append(half, r.points[i])
		}
		r.points = half
	}
	r.points = append(r.points, sum)
}

// count notes how far a comparison is.
func (r *run) count(done, of int) {
	r.lock.Lock()
	defer r.lock.Unlock()
	r.done, r.of = done, of
	r.wake()
}

func (r *run) wake() {
	close(r.changed)
	r.changed = make(chan struct{})
}

func (r *run) finish(err error) {
	r.lock.Lock()
	defer r.lock.Unlock()
	r.over = true
	if err != nil {
		r.failed = sentence(err)
	}
	r.wake()
}

// glance is what a page shows of a run.
type glance struct {
	Over      bool
	Failed    string
	Materials []Progress
	Points    []point
	Done, Of  int
}

// glance is a copy of how things stand, and a channel that closes when they change.
func (r *run) glance() (g glance, changed <-chan struct{}) {
	r.lock.Lock()
	defer r.lock.Unlock()
	g = glance{Over: r.over, Failed: r.failed, Points: append([]point(nil), r.points...), Done: r.done, Of: r.of}
	for _, m := range r.order {
		g.Materials = append(g.Materials, r.progress[m])
	}
	return g, r.changed
}

// under is the last run of an errand; nil when there was none.
func (s *Server) under(e errand) *run {
	s.lock.Lock()
	defer s.lock.Unlock()
	return s.runs[e]
}

// standing tells whether an errand is under way, and what the last one failed of.
func (s *Server) standing(e errand) (running bool, failed string) {
	r := s.under(e)
	if r == nil {
		return false, ""
	}
	g, _ := r.glance()
	return !g.Over, g.Failed
}

// begin starts an errand, unless it is under way.
func (s *Server) begin(e errand, do func(context.Context, *run) error) {
	s.lock.Lock()
	defer s.lock.Unlock()
	if old := s.runs[e]; old != nil {
		if g, _ := old.glance(); !g.Over {
			return
		}
	}
	ctx, cancel := context.WithCancelCause(context.Background())
	r := &run{cancel: cancel, progress: map[string]Progress{}, changed: make(chan struct{})}
	s.runs[e] = r
	s.going.Go(func() {
		defer cancel(nil)
		r.finish(do(ctx, r))
	})
}

// stop ends a search with the best so far.
func (s *Server) stop(w http.ResponseWriter, r *http.Request, p place) {
	kind := r.FormValue("k")
	if kind != comparing {
		kind = planning
	}
	if run := s.under(errand{kind, p.Rel}); run != nil {
		run.cancel(s.program.Stopped)
	}
	http.Redirect(w, r, "/"+kind+"?f="+query(p.Rel), http.StatusSeeOther)
}

// Stop ends all searches and waits until what they found is written, but no
// longer than ctx.
func (s *Server) Stop(ctx context.Context) {
	s.lock.Lock()
	for _, run := range s.runs {
		run.cancel(s.program.Stopped)
	}
	s.lock.Unlock()
	written := make(chan struct{})
	go func() {
		s.going.Wait()
		close(written)
	}()
	select {
	case <-written:
	case <-ctx.Done():
	}
}

// oftenest is how often a page hears of a search.
const oftenest = 200 * time.Millisecond

// events tells a page how a search goes, as server-sent events: what to show,
// ready made.
func (s *Server) events(w http.ResponseWriter, r *http.Request, p place) {
	kind := r.FormValue("k")
	run := s.under(errand{kind, p.Rel})
	if run == nil {
		w.WriteHeader(http.StatusNoContent)
		return
	}
	w.Header().Set("Content-Type", "text/event-stream")
	out := http.NewResponseController(w)
	for {
		g, changed := run.glance()
		var b strings.Builder
		if err := s.pages.ExecuteTemplate(&b, "progress-"+kind, plotted(g)); err != nil {
			return
		}
		name := "progress"
		if g.Over {
			name = "done"
		}
		_ = out.SetWriteDeadline(time.Now().Add(writeTime))
		fmt.Fprintf(w, "event: %s\ndata: %s\n\n", name, strings.ReplaceAll(b.String(), "\n", "\ndata: "))
		if out.Flush() != nil || g.Over {
			return
		}
		select {
		case <-changed:
		case <-time.After(writeTime / 4): // so that who is gone is noticed
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
	High, Low      plan.Money
}

// plotted draws the best plan and the bound as they closed in on each other, in a
// field of 300 by 60.
func plotted(g glance) plot {
	p := plot{glance: g}
	for i, q := range g.Points {
		if i == 0 {
			p.Low, p.High = q.Bound, q.Value
		}
		p.Low, p.High = min(p.Low, q.Bound, q.Value), max(p.High, q.Value, q.Bound)
	}
	span := max(1, p.High-p.Low)
	var values, bounds []string
	for i, q := range g.Points {
		x := 300 * float64(i) / float64(max(1, len(g.Points)-1))
		y := func(m plan.Money) float64 { return 58 - 56*float64(m-p.Low)/float64(span) }
		values = append(values, fmt.Sprintf("%.1f,%.1f", x, y(q.Value)))
		bounds = append(bounds, fmt.Sprintf("%.1f,%.1f", x, y(q.Bound)))
	}
	p.Values, p.Bounds = strings.Join(values, " "), strings.Join(bounds, " ")
	return p
}
