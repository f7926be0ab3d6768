package nest2d

import (
	"context"
	"testing"
)

// crowded is a problem with many small panels.
func crowded(copies int64) Problem {
	return Problem{
		Panels: []Panel{{31, 22, copies / 2, true}, {27, 14, copies - copies/2, false}},
		Sheets: []Sheet{{Length: 2500, Width: 1250, Kerf: 2, Supply: Unlimited, Price: 100}},
	}
}

// TestCrowd plans more panels than are placed one by one, with stages of all
// sorts: every plan is valid, and the area proves the one without stages.
func TestCrowd(t *testing.T) {
	for _, stages := range []int{0, 1, 2, 3} {
		p := crowded(3 * crowd)
		p.Stages = stages
		p.TrimCut = stages == 1
		r := mustSolve(t, p, Options{Effort: Quick})
		if r.Outcome != Planned || stages == 0 && r.Cost.Status != Proven {
			t.Errorf("%d stages: outcome %d, cost %+v", stages, r.Outcome, r.Cost)
		}
	}
}

// TestCrowdStopped ends a construction before it has begun: it does little
// then, and says so.
func TestCrowdStopped(t *testing.T) {
	p := crowded(MaxCopies)
	for i := range int64(200) { // no two alike, so there are no rows to place
		p.Panels = append(p.Panels, Panel{20 + i%37, 11 + i, 40, true})
		p.Panels[0].Demand -= 40
	}
	m, err := newModel(p)
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	s := newSearch(m, 1)
	if d, struck := s.construct(ctx); struck != TimeLimit || d.lack == 0 || s.work > 2*firstWork {
		t.Errorf("struck %d, missing weight %d, work %d", struck, d.lack, s.work)
	}
	r, err := Solve(ctx, p, Options{})
	if err != nil || r.Outcome != NotFound || r.Struck != TimeLimit {
		t.Errorf("%v: outcome %d, struck %d", err, r.Outcome, r.Struck)
	}
}
