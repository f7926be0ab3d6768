//go:build glpk

package glpk_test

import (
	"context"
	"math"
	"testing"

	"sawbill/solver"
	"sawbill/solver/embedded"
	"sawbill/solver/glpk"
	"sawbill/solver/lptest"
)

func TestEngine(t *testing.T) { lptest.Run(t, glpk.Engine{}) }
func TestNetlib(t *testing.T) { lptest.Netlib(t, glpk.Engine{}) }

// TestEnginesAgree solves 500 random programs with both engines. Where they
// differ rational arithmetic is the referee: the embedded engine's basis must
// be feasible and dual feasible within a hundred times its tolerance, which
// makes GLPK wrong or the program ill-posed.
func TestEnginesAgree(t *testing.T) {
	count := map[solver.Status]int{}
	refereed := 0
	for seed := range uint64(500) {
		p := lptest.Random(seed)
		a, b := embedded.Engine{}.New(), glpk.Engine{}.New()
		p.Load(a)
		p.Load(b)
		got, want := a.Solve(context.Background(), 0), b.Solve(context.Background(), 0)
		count[want]++
		same := got == want
		if same && got == solver.Optimal {
			x, y := a.Objective(), b.Objective()
			same = math.Abs(x-y) <= 1e-6*(1+math.Abs(y))
		}
		if !same {
			refereed++
			exact, err := p.ExactBasis(a.Basis())
			if got != solver.Optimal || err != nil || exact.Primal > 1e-7 || exact.Dual > 1e-7 {
				t.Errorf("seed %d: embedded status %v, objective %g, exact %+v (%v); GLPK %v, %g",
					seed, got, a.Objective(), exact, err, want, b.Objective())
			}
		}
		a.Close()
		b.Close()
	}
	t.Logf("%d optimal, %d infeasible, %d unbounded; %d refereed", count[solver.Optimal], count[solver.Infeasible], count[solver.Unbounded], refereed)
	if refereed > 5 {
		t.Errorf("%d programs needed the referee", refereed)
	}
}

// TestMIPAgreesOnEngines runs branch and bound over both engines.
func TestMIPAgreesOnEngines(t *testing.T) {
	solved := 0
	for seed := range uint64(60) {
		p := lptest.Random(seed)
		if len(p.Columns) > 30 {
			continue
		}
		var got [2]solver.MIPResult
		for k, e := range []solver.Engine{embedded.Engine{}, glpk.Engine{}} {
			lp := e.New()
			p.Load(lp)
			for j := range p.Columns {
				l, u := lp.ColumnBounds(j)
				lp.SetColumnBounds(j, math.Max(l, -20), math.Min(u, 20))
			}
			got[k] = solver.SolveMIP(context.Background(), lp, solver.MIPOptions{MaxNodes: 3000})
			lp.Close()
		}
		a, b := got[0], got[1]
		if a.Status == solver.Limit || b.Status == solver.Limit {
			if a.Bound > b.Objective+1e-5*(1+math.Abs(b.Objective)) || b.Bound > a.Objective+1e-5*(1+math.Abs(a.Objective)) {
				t.Errorf("seed %d: a bound above the other's point: %+v, %+v", seed, a, b)
			}
			continue
		}
		solved++
		if a.Status != b.Status || a.X != nil && math.Abs(a.Objective-b.Objective) > 1e-6*(1+math.Abs(b.Objective)) {
			t.Errorf("seed %d: embedded %v, %.12g; GLPK %v, %.12g", seed, a.Status, a.Objective, b.Status, b.Objective)
		}
	}
	t.Logf("%d solved by both", solved)
	if solved < 10 {
		t.Errorf("only %d solved by both", solved)
	}
}
