package saving

import (
	"context"
	"errors"
	"fmt"
	"strings"
	"sync"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
	"sawbill/internal/plan/check"
)

// work plans changed jobs, each once, and proves the plans.
type work struct {
	ctx      context.Context
	solve    func(context.Context, *job.Job) (*plan.Plan, error)
	progress func(done int, of string)

	lock  sync.Mutex
	known map[string]*entry
	notes map[string]bool
	done  int
}

// entry is a plan in the making or made.
type entry struct {
	once sync.Once
	cost point
	err  error
}

// point is what a changed job costs: at most value, where there is a plan, and
// at least bound.
type point struct {
	value, bound plan.Money
	plan         *plan.Plan
}

// dearest stands for the cost of what cannot be made.
const dearest = plan.Money(1) << 60

var errStopped = errors.New("stopped")

// struck is what ended the search early. The interrupting cause is told by its
// text, for this package knows no planner.
func (w *work) struck() string {
	switch {
	case w.ctx.Err() == nil:
		return ""
	case errors.Is(w.ctx.Err(), context.DeadlineExceeded):
		return "time"
	}
	return "interrupt"
}

// plan makes and proves one plan.
func (w *work) plan(j *job.Job, of string) (*plan.Plan, error) {
	p, err := w.solve(w.ctx, j)
	if err != nil {
		return nil, err
	}
	findings, notes := check.Plan(j, p)
	if len(findings) > 0 {
		return nil, &check.Unproved{Of: of, Findings: findings}
	}
	w.lock.Lock()
	defer w.lock.Unlock()
	for _, n := range notes {
		w.notes[n] = true
	}
	w.done++
	if w.progress != nil {
		w.progress(w.done, of)
	}
	return p, nil
}

// problem is a part of the job and the dimensions that move it: those of the
// job, or others made up for the occasion.
type problem struct {
	*work
	name string
	part *job.Job
	// left is how many more plans may be asked for.
	left int
}

// problem makes one of a part for some dimensions, which may make so many plans.
func (w *work) problem(part *job.Job, dimensions []job.Dimension, most int) *problem {
	var names []string
	for _, d := range dimensions {
		names = append(names, d.Name)
	}
	p := *part
	p.Dimensions = dimensions
	return &problem{work: w, name: strings.Join(names, " and "), part: &p, left: most}
}

// errSpent is returned when no more plans may be made.
var errSpent = errors.New("spent")

// at is the cost when the dimensions move by so many steps each. What was asked
// before is not planned again, but counts all the same, so that the count does not
// depend on what others have asked.
func (p *problem) at(steps ...int64) (point, error) {
	if p.left == 0 {
		return point{}, errSpent
	}
	p.left--
	moved := p.moved(steps)
	key := keyOf(moved)
	p.lock.Lock()
	e := p.known[key]
	if e == nil {
		e = &entry{}
		p.known[key] = e
	}
	p.lock.Unlock()
	e.once.Do(func() { e.cost, e.err = p.cost(moved) })
	return e.cost, e.err
}

func (p *problem) moved(steps []int64) *job.Job {
	moved := p.part.Moved(steps)
	moved.Dimensions = nil
	return moved
}

// keyOf tells changed jobs apart by the sizes of what they are made of: all else
// is the same.
func keyOf(j *job.Job) string {
	var b strings.Builder
	for _, p := range j.Pieces {
		fmt.Fprint(&b, p.Length, " ")
	}
	b.WriteString("/ ")
	for _, p := range j.Panels {
		fmt.Fprint(&b, p.Length, "x", p.Width, " ")
	}
	for _, p := range j.Pieces {
		fmt.Fprintf(&b, "%q", p.Mark)
	}
	for _, p := range j.Panels {
		fmt.Fprintf(&b, "%q", p.Mark)
	}
	return b.String()
}

func (p *problem) cost(moved *job.Job) (point, error) {
	if p.ctx.Err() != nil {
		return point{}, errStopped
	}
	made, err := p.plan(moved, p.name)
	var none *None
	switch {
	case p.ctx.Err() != nil && !isUnproved(err):
		return point{}, errStopped // cut short, it says nothing of the change
	case errors.As(err, &none) && none.Impossible:
		return point{value: dearest, bound: dearest}, nil
	case errors.As(err, &none):
		return point{value: dearest}, nil
	case err != nil:
		return point{}, err
	}
	return point{value: made.Total, bound: made.Bound, plan: made}, nil
}

func isUnproved(err error) bool {
	var u *check.Unproved
	return errors.As(err, &u)
}

// saving words what a change by so many steps saves.
func (p *problem) saving(base, to point, smallest bool, steps ...int64) Saving {
	s := Saving{
		Amount: base.value - to.value, InAll: base.value - to.value, Least: max(0, base.bound-to.value),
		Proven:   base.value == base.bound && to.value == to.bound,
		Smallest: smallest, Plan: to.plan, Part: p.moved(steps),
	}
	for i, n := range steps {
		d := p.part.Dimensions[i]
		if n != 0 {
			s.Moves = append(s.Moves, Move{Name: d.Name, By: d.Step * lengthOf(n), Sides: d.Sides})
		}
	}
	for _, l := range change.Lines(change.Bought(p.part, base.plan), change.Bought(p.part, to.plan)) {
		if l.Old != l.New && l.Mark == "" {
			s.Lines = append(s.Lines, l)
		}
	}
	s.Charges = charges(base.plan, to.plan)
	if len(s.Moves) == 1 && len(s.Moves[0].Sides) == 1 {
		s.Fit = fit(p.part, s.Part, to.plan, s.Moves[0].Sides[0])
	}
	return s
}

// charges lists those that differ, in the order of the old plan's bill.
func charges(old, new *plan.Plan) []Charge {
	var all []Charge
	place := func(c plan.Charge) *Charge {
		for i := range all {
			if all[i].Supplier == c.Supplier && all[i].What == c.What {
				return &all[i]
			}
		}
		all = append(all, Charge{Supplier: c.Supplier, What: c.What})
		return &all[len(all)-1]
	}
	for _, c := range old.Charges {
		place(c).Old += c.Amount
	}
	for _, c := range new.Charges {
		place(c).New += c.Amount
	}
	var differ []Charge
	for _, c := range all {
		if c.Old != c.New {
			differ = append(differ, c)
		}
	}
	return differ
}
