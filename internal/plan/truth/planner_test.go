package truth

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
)

// agrees says in what a plan differs from the least total. An open plan may cost
// more, as long as its bound holds.
func agrees(j *job.Job, p *plan.Plan, err error, least int64, open bool) error {
	var none *planner.NoPlan
	switch {
	case errors.As(err, &none) && least == never:
		return nil
	case err != nil:
		return fmt.Errorf("the least total is %s, the planner says: %w", plan.Money(least), err)
	case least == never:
		return fmt.Errorf("nothing suffices, the planner has a plan for %s", p.Total)
	}
	var faults []string
	if (int64(p.Total) != least || p.Status != plan.Proven) && !(open && p.Status == plan.Open && int64(p.Total) >= least) {
		faults = append(faults, fmt.Sprintf("the plan costs %s, %s with a bound of %s; the least total is %s", p.Total, p.Status, p.Bound, plan.Money(least)))
	}
	if int64(p.Bound) > least {
		faults = append(faults, "THE PROOF IS FALSE")
	}
	findings, _ := check.Plan(j, p)
	for _, f := range findings {
		faults = append(faults, fmt.Sprint(f))
	}
	if faults == nil {
		return nil
	}
	return errors.New(strings.Join(faults, "\n"))
}

// TestPlanner compares the planner with brute force on the jobs.
func TestPlanner(t *testing.T) {
	each(t, func(t *testing.T, _ string, j *job.Job, _ *world, least int64) {
		p, err := planner.Make(context.Background(), j, planner.Options{})
		if err := agrees(j, p, err, least, false); err != nil {
			t.Errorf("%v\n%s", err, summary(p))
		}
	})
}

// mayStayOpen says that the planner does not promise a proof: sheets may be cut at
// the yard for money, and it does not look for the layouts with the fewest such
// cuts; or an item fits nothing on offer and can only be bought cut and ready.
func (w *world) mayStayOpen() bool {
	for _, m := range w.materials {
		for i := range m.demand {
			if !slices.ContainsFunc(m.forms, func(f form) bool {
				return slices.ContainsFunc(f.contents, func(c []int64) bool { return c[i] > 0 })
			}) {
				return true
			}
		}
		if m.sheets && slices.ContainsFunc(m.forms, func(f form) bool {
			return f.cuts > 0 && w.suppliers[w.offers[f.offer].supplier].cut > 0
		}) {
			return true
		}
	}
	return false
}

// TestPlannerAtRandom compares the planner with brute force on jobs at random; on
// more of them, and more of sheets, where SAWBILL_FULL is set.
func TestPlannerAtRandom(t *testing.T) {
	dir := t.TempDir()
	run := func(t *rapid.T) {
		j, w, least := draw(t, dir)
		p, err := planner.Make(context.Background(), j, planner.Options{})
		if err := agrees(j, p, err, least, w.mayStayOpen()); err != nil {
			t.Fatalf("%v\n%s\n%s", err, tell(j), summary(p))
		}
	}
	if !full() {
		rapid.Check(t, run)
		return
	}
	for i := range 20 {
		t.Run(fmt.Sprint(i), func(t *testing.T) { rapid.Check(t, run) })
	}
}

// summary is what a plan buys, in a few lines.
func summary(p *plan.Plan) string {
	if p == nil {
		return "no plan"
	}
	var b strings.Builder
	for _, o := range p.Orders {
		fmt.Fprintf(&b, "%s %s\n", o.Supplier, o.Way)
	}
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			fmt.Fprintf(&b, "%s: %d (%d spare) of %s, %s x %s, for %s\n", m.Key, l.Count, l.Spare, l.Supplier, l.Length, l.Width, l.Amount)
		}
		if m.ByMark != "" {
			fmt.Fprintf(&b, "%s: all by the mark of %s for %s\n", m.Key, m.ByMark, m.Goals.Cost.Value)
		}
	}
	for _, c := range p.Charges {
		fmt.Fprintf(&b, "%s: %s %s\n", c.Supplier, c.What, c.Amount)
	}
	return b.String()
}
