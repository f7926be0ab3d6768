package planner_test

import (
	"context"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
)

// TestSetUps: a plan that trades money for set-ups is proved like any other, has no
// more patterns than the plan that does not, and gives up no more than it may.
func TestSetUps(t *testing.T) {
	traded, fewer := 0, 0
	rapid.Check(t, func(rt *rapid.T) {
		s := newSource(rt)
		s.bars("tube", true)
		if rapid.Bool().Draw(rt, "two materials") {
			s.bars("rail", true)
		}
		for i := range s.job.Pieces {
			s.job.Pieces[i].Quantity *= rapid.Int64Range(1, 6).Draw(rt, "times")
		}
		for i := range s.job.Offers {
			if s.job.Offers[i].Price > 0 {
				s.job.Offers[i].Stock = -1
			}
		}
		share := rapid.Int64Range(1, 10_000).Draw(rt, "share")
		least, err := planner.Make(context.Background(), s.job, planner.Options{Effort: planner.Quick, Seed: 1})
		var none *planner.NoPlan
		if errors.As(err, &none) {
			return
		}
		if err != nil {
			rt.Fatal(err)
		}
		p, err := planner.Make(context.Background(), s.job, planner.Options{Effort: planner.Quick, Seed: 1, SetUps: share})
		if err != nil {
			rt.Fatal(err)
		}
		if findings, _ := check.Plan(s.job, p); len(findings) > 0 {
			rt.Fatalf("share %d: %v", share, findings)
		}
		if p.Total > least.Total+least.Total*plan.Money(share)/10_000 || p.GivenUp != max(0, p.Total-least.Total) {
			rt.Fatalf("total %s in place of %s, %s given up", p.Total, least.Total, p.GivenUp)
		}
		for i, m := range p.Materials {
			was, is := least.Materials[i].Goals.Patterns, m.Goals.Patterns
			if was == nil {
				continue
			}
			if is.Value > was.Value {
				rt.Fatalf("%s: %d patterns in place of %d", m.Key, is.Value, was.Value)
			}
			if is.Value < was.Value {
				fewer++
			}
		}
		if p.GivenUp > 0 {
			traded++
		}
	})
	t.Logf("%d materials with fewer patterns, %d plans that gave something up", fewer, traded)
	if fewer == 0 || traded == 0 {
		t.Error("the test tests nothing")
	}
}
