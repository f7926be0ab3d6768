package web

import (
	"context"
	"errors"
	"sync"

	"sawbill/internal/plan"
)

// run is one search for a plan and whoever watches it.
type run struct {
	cancel context.CancelCauseFunc

	lock     sync.Mutex
	progress map[string]Progress // by material
	order    []string
	points   []point
	done     bool
	failed   string
	number   string
	changed  chan struct{} // closed and replaced at each change
}

// point is how far the search was: what all materials cost, and the least they could.
type point struct{ Value, Bound plan.Money }

// mostPoints are kept of a search, the first and the last among them.
const mostPoints = 400

var errStopped = errors.New("stopped")

func newRun(cancel context.CancelCauseFunc) *run {
	return &run{cancel: cancel, progress: map[string]Progress{}, changed: make(chan struct{})}
}

func (r *run) report(p Progress) {
	r.lock.Lock()
	defer r.lock.Unlock()
	if _, known := r.progress[p.Material]; !known {
		r.order = append(r.order, p.Material)
	}
	r.progress[p.Material] = p
	var sum point
	for _, q := range r.progress {
		sum.Value += q.Value
		sum.Bound += q.Bound
	}
	if len(r.points) == mostPoints { // every second of the older ones will do
		half := r.points[:0]
		for i := 0; i < mostPoints; i += 2 {
			half = append(half, r.points[i])
		}
		r.points = half
	}
	r.points = append(r.points, sum)
	r.wake()
}

func (r *run) wake() {
	close(r.changed)
	r.changed = make(chan struct{})
}

func (r *run) finish(number string, err error) {
	r.lock.Lock()
	defer r.lock.Unlock()
	r.done, r.number = true, number
	if err != nil {
		r.failed = sentence(err)
	}
	r.wake()
}

// glance is a copy of how things stand, and a channel that closes when they change.
func (r *run) glance() (g glance, changed <-chan struct{}) {
	r.lock.Lock()
	defer r.lock.Unlock()
	g = glance{Done: r.done, Failed: r.failed, Number: r.number, Points: append([]point(nil), r.points...)}
	for _, m := range r.order {
		g.Materials = append(g.Materials, r.progress[m])
	}
	return g, r.changed
}

// glance is what a page shows of a run.
type glance struct {
	Done           bool
	Failed, Number string
	Materials      []Progress
	Points         []point
}
