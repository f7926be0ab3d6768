// Package saving finds how little a dimension must change for the purchase to
// get cheaper: a few millimetres off that save a bar or a sheet, or let a
// cheaper size do. It reads the job and changes nothing in it.
//
// # Method
//
// Whatever is planned for a job can be made of the same bars and sheets when its
// pieces get shorter: every piece lies where the longer one lay. So the least
// cost never rises as a dimension shrinks, it falls in steps, and each step is
// found by bisection: two plans that cost the same leave nothing to look for
// between them. The rule has exceptions, and jobs to which one applies are
// looked at step by step instead:
//
//   - no trimming cut beyond the stages: a panel must then be as wide as its strip;
//   - a narrowest strip: what becomes narrower may no longer be held;
//   - sheets that the supplier cuts for the way home and charges for by the cut:
//     a panel that filled its strip needs one cut more.
//
// Plans need not be the cheapest there are, so the search speaks of intervals: a
// plan says what a change costs at most, its bound what it costs at least. With
// the rule, the plan of a smaller change bounds the cost of a larger one from
// above, and the bound of a larger change that of a smaller from below. What
// remains open is said to be open.
//
// Every plan is proved by plan/check before it is believed. Work is counted, in
// plans; the context is a backstop, and what was found before it ended is kept.
package saving

import (
	"context"
	"errors"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/parallel"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
)

// Options steer the search.
type Options struct {
	// Solve plans a job, deterministically. Where there is no plan its error
	// wraps None.
	Solve func(context.Context, *job.Job) (*plan.Plan, error)
	// Progress, when set, is told how many plans have been made and for what
	// the last was; never at the same time.
	Progress func(done int, of string)
}

// None is the error of a job without a plan. Impossible is true when that is
// proved.
type None struct {
	Impossible bool
	Err        error
}

func (n *None) Error() string { return n.Err.Error() }
func (n *None) Unwrap() error { return n.Err }

// Result is what can be saved.
type Result struct {
	// Base is the plan of the job as it is.
	Base *plan.Plan
	// Dimensions are those of the job, in table order.
	Dimensions []Dimension
	// Pairs are savings that need two dimensions to change together.
	Pairs []Saving
	// Near are savings by sides that no dimension moves, each by itself or all
	// of one material together. Other pieces may depend on them.
	Near []Saving
	// Unseen counts pairs and sides that were left out because there are many, or
	// because for their material shorter may be dearer.
	Unseen int
	// Notes counts the claims of the plans that plan/check did not prove again,
	// such as bounds too large for that.
	Notes int
	// Struck is "time" or "interrupt" when the context ended the search early.
	Struck string
}

// Dimension is one dimension and what its changes save.
type Dimension struct {
	job.Dimension
	// Savings are in the order of the change, shorter before longer; each saves
	// more than those before it in its direction. A change that saves on materials
	// which are not bought together is a saving of each.
	Savings []Saving
	// NoMore is true when it is proved that no change within the limits saves
	// more than the last saving, or anything when there is none.
	NoMore bool
	// Free is how much longer it may get at the same cost, and FreeMost whether it
	// is proved that a step more costs more.
	Free     length.Length
	FreeMost bool
	// Cut is true when the steps are too many to be looked at one by one, Stopped
	// when the context ended before all was seen.
	Cut, Stopped bool
}

// Saving is a change and what it saves.
type Saving struct {
	Moves []Move
	// Amount is what the materials of Part cost less than in the plan of the job as
	// it is, before tax; Least what they cost less than in any plan of it. They are
	// equal when that plan is proven. InAll counts the other materials too.
	Amount, Least, InAll plan.Money
	// Proven is true when both plans are proven cheapest.
	Proven bool
	// Smallest is true when it is proved that no smaller change saves as much; of
	// two dimensions, that neither can change less with the other as it is.
	Smallest bool
	// Fit is set where one side moves and more of it then go into a bar or along
	// a side of a sheet that is bought.
	Fit *Fit
	// Lines are the goods whose counts differ, Charges the charges that do.
	Lines   []change.Line
	Charges []Charge
	// Plan is that of Part, which is the changed job with only those of its
	// materials that are bought together and get cheaper.
	Plan *plan.Plan
	Part *job.Job
}

// Move is the change of one dimension, or of sides that belong to none.
type Move struct {
	// Name is the dimension's; "" when the sides belong to none.
	Name string
	// By is negative for shorter. Each side moves by its factor times By.
	By    length.Length
	Sides []job.Side
	// Material is set when the sides are all those of one material.
	Material string
}

// Fit is how many go into a bar, or side by side along a side of a sheet, that
// is so long.
type Fit struct {
	Count int64
	Of    length.Length
	Bar   bool
}

// Charge is what one charge was and is.
type Charge struct {
	Supplier, What string
	Old, New       plan.Money
}

// Make looks for savings. The same job and Solve give the same result unless
// ctx ended. Errors: that of Solve for the job as it is, or *check.Unproved.
func Make(ctx context.Context, j *job.Job, o Options) (*Result, error) {
	w := &work{ctx: ctx, solve: o.Solve, progress: o.Progress, known: map[string]*entry{}, notes: map[string]bool{}}
	r := &Result{}
	base, err := w.plan(j, "the job as it is")
	if err != nil {
		return nil, err
	}
	r.Base = base
	r.Dimensions = make([]Dimension, len(j.Dimensions))
	for i, d := range j.Dimensions {
		r.Dimensions[i].Dimension = d
	}
	err = w.stages(
		func() error {
			return side(len(j.Dimensions), func(i int) error { return w.dimension(j, i, &r.Dimensions[i]) })
		},
		func() (err error) { r.Pairs, r.Unseen, err = w.pairs(j); return err },
		func() error {
			near, unseen, err := w.near(j)
			r.Near, r.Unseen = near, r.Unseen+unseen
			return err
		},
	)
	if err != nil {
		return nil, err
	}
	r.Struck, r.Notes = w.struck(), len(w.notes)
	return r, nil
}

// stages runs one after the other until the context ends.
func (w *work) stages(all ...func() error) error {
	for _, stage := range all {
		if err := stage(); err != nil && !errors.Is(err, errStopped) {
			return err
		}
	}
	return nil
}

// side runs n tasks side by side and returns the error of the first that
// failed, by number; that it was stopped counts last.
func side(n int, task func(i int) error) error {
	var stopped error
	for _, err := range parallel.Each(n, task) {
		if errors.Is(err, errStopped) {
			stopped = err
		} else if err != nil {
			return err
		}
	}
	return stopped
}
