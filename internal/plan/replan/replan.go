// Package replan goes on with a plan when something went wrong at the saw: what
// can still be cut as planned stays as it is, unless giving it up costs less.
package replan

import (
	"context"
	"errors"
	"fmt"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/internal/progress"
)

// ErrNothing is the error when nothing has to be planned again.
var ErrNothing = errors.New("nothing has to be planned again: all that is not cut can be cut as planned")

// Result is how to go on.
type Result struct {
	// Plan answers Job, the job that remains by Rest.
	Plan *plan.Plan
	Job  *job.Job
	Rest progress.Rest
	// Stays are layouts of earlier plans that are to be cut as they are, GivenUp
	// those that are not, and that Plan stands for.
	Stays, GivenUp []progress.Layout
	// Sources say what layouts of Plan are cut from that was at hand.
	Sources []progress.Source
	// State is where things stand with Plan.
	State progress.State
}

// Make plans what remains: first with all layouts that can still be cut left as
// they are, then, if that costs anything, without. The plan that costs less is
// taken, the first where they cost the same. Both are proved, and the sum is
// before tax. Errors: ErrNothing, *planner.NoPlan, *check.Unproved, or an engine's.
func Make(ctx context.Context, j *job.Job, v *progress.View, o planner.Options) (*Result, error) {
	if len(v.Wanted) == 0 {
		return nil, ErrNothing
	}
	stay, err := attempt(ctx, j, v, o, false)
	var none *planner.NoPlan
	if err != nil && !errors.As(err, &none) {
		return nil, err
	}
	if err == nil && (stay.Plan.Total == 0 || len(v.Waiting) == 0) {
		return stay, nil
	}
	anew, otherErr := attempt(ctx, j, v, o, true)
	switch {
	case err != nil && otherErr != nil:
		return nil, otherErr
	case err != nil:
		return anew, nil
	case otherErr != nil && !errors.As(otherErr, &none):
		return nil, otherErr
	case otherErr == nil && anew.Plan.Total < stay.Plan.Total:
		return anew, nil
	}
	return stay, nil
}

func attempt(ctx context.Context, j *job.Job, v *progress.View, o planner.Options, all bool) (*Result, error) {
	r := &Result{Rest: v.Rest(all)}
	r.Job = r.Rest.Job(j)
	for _, l := range v.Layouts {
		o.Start = append(o.Start, l.Layout)
	}
	p, err := planner.Make(ctx, r.Job, o)
	if err != nil {
		return nil, err
	}
	if findings, _ := check.Plan(r.Job, p); len(findings) > 0 {
		return nil, &check.Unproved{Of: "what remains", Findings: findings}
	}
	r.Plan = p
	r.State, r.Sources = v.Next(p, all)
	stays := map[string]bool{}
	key := func(l progress.Layout) string { return fmt.Sprint(l.Plan, " ", l.Layout.Number, " ", l.Material) }
	for _, l := range r.State.Layouts {
		if l.Plan != p.Number {
			r.Stays = append(r.Stays, l)
			stays[key(l)] = true
		}
	}
	r.GivenUp = append(r.GivenUp, v.Lost...)
	for _, l := range v.Layouts {
		if !stays[key(l)] {
			r.GivenUp = append(r.GivenUp, l)
		}
	}
	return r, nil
}
