package planner_test

import (
	"bytes"
	"context"
	"errors"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
)

// TestEveryPlanIsProved: whatever the engines return, the checker proves it,
// and planning again gives the same bytes.
func TestEveryPlanIsProved(t *testing.T) {
	planned := 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawJob(t, false)
		if plan, _ := proved(t, s.job); plan != nil {
			planned++
		}
	})
	if planned == 0 {
		t.Error("no job could be planned: the test tests nothing")
	}
}

// TestPlantedPlans: of a job whose plan is known it is never said that it has
// none, nor that it must cost more than the known plan does.
func TestPlantedPlans(t *testing.T) {
	planned := 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawJob(t, true)
		p, none := proved(t, s.job)
		switch {
		case none != nil && none.Impossible:
			t.Errorf("a plan exists that costs %d: %v", s.cost(), none)
		case none == nil && int64(p.Bound) > s.cost():
			t.Errorf("a plan exists that costs %s, the bound is %s", plan.Money(s.cost()), p.Bound)
		case none == nil:
			planned++
		}
	})
	if planned == 0 {
		t.Error("no job could be planned: the test tests nothing")
	}
}

// TestAnyStartIsProved: a plan that began with layouts of an earlier one, of the same
// job or of any other, is proved as any is.
func TestAnyStartIsProved(t *testing.T) {
	kept := 0
	rapid.Check(t, func(t *rapid.T) {
		s, other := drawJob(t, false), drawJob(t, false)
		first, none := proved(t, s.job)
		if none != nil {
			return
		}
		var start []plan.Layout
		if p, _ := proved(t, other.job); p != nil && rapid.Bool().Draw(t, "another's first") {
			for _, m := range p.Materials {
				start = append(start, m.Layouts...)
			}
		}
		for _, m := range first.Materials {
			start = append(start, m.Layouts...)
		}
		again, err := planner.Make(context.Background(), s.job, planner.Options{Effort: planner.Quick, Start: start})
		if err != nil {
			t.Fatal(err)
		}
		if findings, _ := check.Plan(s.job, again); len(findings) > 0 {
			t.Fatal(findings)
		}
		kept++
	})
	if kept == 0 {
		t.Error("no job was ever planned again: the test tests nothing")
	}
}

// proved plans a job, holds the checker against the plan and plans again.
func proved(t *rapid.T, j *job.Job) (*plan.Plan, *planner.NoPlan) {
	o := planner.Options{Effort: planner.Quick, Seed: rapid.Int64().Draw(t, "seed")}
	p, err := planner.Make(context.Background(), j, o)
	var none *planner.NoPlan
	if errors.As(err, &none) {
		return nil, none
	}
	if err != nil {
		t.Fatal(err)
	}
	findings, _ := check.Plan(j, p)
	for _, f := range findings {
		t.Errorf("%s", f)
	}
	again, err := planner.Make(context.Background(), j, o)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(encode(t, p), encode(t, again)) {
		t.Error("planning the same job twice gave two plans")
	}
	return p, nil
}

func encode(t *rapid.T, p *plan.Plan) []byte {
	b, err := p.Encode()
	if err != nil {
		t.Fatal(err)
	}
	read, err := plan.Decode(b)
	if err != nil {
		t.Fatal(err)
	}
	if b2, _ := read.Encode(); !bytes.Equal(b, b2) {
		t.Error("a plan read back is another plan")
	}
	return b
}

// TestInterrupted: wherever the context ends, what comes of it is proved, and
// a plan says what struck unless nothing was left to do.
func TestInterrupted(t *testing.T) {
	struck := 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawJob(t, true)
		ctx, cancel := context.WithCancelCause(context.Background())
		defer cancel(nil)
		calls := s.int("calls", 0, 6)
		if calls == 0 {
			cancel(planner.ErrInterrupted)
		}
		p, err := planner.Make(ctx, s.job, planner.Options{Effort: planner.Quick, Progress: func(planner.Progress) {
			if calls--; calls == 0 {
				cancel(planner.ErrInterrupted)
			}
		}})
		var none *planner.NoPlan
		switch {
		case errors.As(err, &none) && none.Impossible:
			t.Errorf("a plan exists that costs %d: %v", s.cost(), none)
		case errors.As(err, &none):
			return
		case err != nil:
			t.Fatal(err)
		}
		if findings, _ := check.Plan(s.job, p); len(findings) > 0 {
			t.Error(findings)
		}
		if p.Struck == "interrupt" {
			struck++
		} else if whole, err := planner.Make(context.Background(), s.job, planner.Options{Effort: planner.Quick}); err != nil || !bytes.Equal(encode(t, p), encode(t, whole)) {
			t.Errorf("struck is %q and the plan is not the one of an undisturbed run", p.Struck)
		}
	})
	if struck == 0 {
		t.Error("nothing was ever interrupted: the test tests nothing")
	}
}

// TestDealsAreProved: the same of jobs whose suppliers quote in every way.
func TestDealsAreProved(t *testing.T) {
	planned, proven := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		s := drawJob(t, false)
		s.deals()
		if p, _ := proved(t, s.job); p != nil {
			if planned++; p.Status == plan.Proven {
				proven++
			}
		}
	})
	t.Logf("%d planned, %d of them proven", planned, proven)
	if planned == 0 || proven == 0 {
		t.Error("nothing was planned or proved: the test tests nothing")
	}
}
