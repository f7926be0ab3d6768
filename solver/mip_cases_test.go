package solver_test

import (
	"context"
	"math"
	"testing"

	"sawbill/solver"
	"sawbill/solver/embedded"
	"sawbill/solver/lptest"
)

// cuttingStock has a column for every pattern of a stock length.
func cuttingStock(lp solver.LP, stock int, widths []int, demand []float64) {
	for _, d := range demand {
		lp.AddRow(d, solver.Inf, nil, nil)
	}
	count := make([]int, len(widths))
	var fill func(i, left int)
	fill = func(i, left int) {
		if i < len(widths) {
			for n := 0; n*widths[i] <= left; n++ {
				count[i] = n
				fill(i+1, left-n*widths[i])
			}
			count[i] = 0
			return
		}
		var rows []int32
		var values []float64
		for k, n := range count {
			if n > 0 {
				rows = append(rows, int32(k))
				values = append(values, float64(n))
			}
		}
		lp.AddColumn(1, 0, solver.Inf, rows, values)
	}
	fill(0, stock)
}

// TestMIPCuttingStock: Chvátal 1983, ch. 13, example with an LP value of
// 452¼; the integer optimum is 453.
func TestMIPCuttingStock(t *testing.T) {
	lp := embedded.Engine{}.New()
	cuttingStock(lp, 100, []int{45, 36, 31, 14}, []float64{97, 610, 395, 211})
	var glimpses []solver.MIPProgress
	r := solver.SolveMIP(context.Background(), lp, solver.MIPOptions{ObjectiveStep: 1,
		Progress: func(p solver.MIPProgress) { glimpses = append(glimpses, p) }})
	if r.Status != solver.Optimal || math.Abs(r.Objective-453) > 1e-6 || math.Abs(r.Bound-453) > 1e-6 {
		t.Errorf("%+v, want 453", r)
	}
	for k, g := range glimpses {
		if g.Bound > 453+1e-6 || g.Best < 453-1e-6 || k > 0 && (g.Best > glimpses[k-1].Best || g.Bound < glimpses[k-1].Bound) {
			t.Errorf("progress %+v", glimpses)
			break
		}
	}
	if len(glimpses) == 0 {
		t.Error("no progress")
	}
}

// TestMIPJeroslow solves the
// parity example of Jeroslow 1974 (Trivial integer programs unsolvable by
// branch-and-bound, Math. Programming 6:105–109): Σ 2xᵢ + y = n, n odd. The
// optimum is 1 and the tree is exponential in n.
func TestMIPJeroslow(t *testing.T) {
	const n = 9
	lp := embedded.Engine{}.New()
	var columns []int32
	var values []float64
	for range n {
		columns = append(columns, int32(lp.AddColumn(0, 0, 1, nil, nil)))
		values = append(values, 2)
	}
	columns = append(columns, int32(lp.AddColumn(1, 0, 1, nil, nil)))
	values = append(values, 1)
	lp.AddRow(n, n, columns, values)
	r := solver.SolveMIP(context.Background(), lp, solver.MIPOptions{})
	if r.Status != solver.Optimal || math.Abs(r.Objective-1) > 1e-9 {
		t.Errorf("%+v, want 1", r)
	}
	if r = solver.SolveMIP(context.Background(), lp, solver.MIPOptions{Cutoff: new(1.0)}); r.Status != solver.Infeasible || r.Bound > 1+1e-9 {
		t.Errorf("%+v, want no point below 1", r)
	}
	if r = solver.SolveMIP(context.Background(), lp, solver.MIPOptions{MaxNodes: 3}); r.Status != solver.Limit || r.LimitStruck != solver.NodeLimit || r.Nodes != 3 {
		t.Errorf("%+v, want the node limit", r)
	}
	ended, cancel := context.WithCancel(context.Background())
	cancel()
	if r = solver.SolveMIP(ended, lp, solver.MIPOptions{}); r.Status != solver.Limit || r.LimitStruck != solver.ContextEnded || r.Bound > 1 {
		t.Errorf("%+v, want the context's end", r)
	}
}

func TestMIPUnbounded(t *testing.T) {
	lp := embedded.Engine{}.New()
	lp.AddColumn(-1, 0, solver.Inf, nil, nil)
	if r := solver.SolveMIP(context.Background(), lp, solver.MIPOptions{}); r.Status != solver.Unbounded || !math.IsInf(r.Bound, -1) {
		t.Errorf("%+v, want unbounded", r)
	}
}

// TestMIPMixed: only x is integer: min −x − y, x + 2y ≤ 4.5, x ≤ 3.7, so
// x = 3, y = 0.75.
func TestMIPMixed(t *testing.T) {
	lp := embedded.Engine{}.New()
	lp.AddColumn(-1, 0, 3.7, nil, nil)
	lp.AddColumn(-1, 0, solver.Inf, nil, nil)
	lp.AddRow(-solver.Inf, 4.5, []int32{0, 1}, []float64{1, 2})
	r := solver.SolveMIP(context.Background(), lp, solver.MIPOptions{Integer: []int{0}})
	if r.Status != solver.Optimal || math.Abs(r.Objective+3.75) > 1e-9 || r.X[0] != 3 || math.Abs(r.X[1]-0.75) > 1e-9 {
		t.Errorf("%+v, want x = 3, y = 0.75", r)
	}
}

// failing is an LP that fails on every solve whose number divides by every.
type failing struct {
	solver.LP
	every, count int
}

func (f *failing) Solve(ctx context.Context, maxIterations int) solver.Status {
	if f.count++; f.count/2%f.every == f.every-1 {
		return solver.Failed // twice in a row, so that the second try fails too
	}
	return f.LP.Solve(ctx, maxIterations)
}

// TestMIPHonestOnFailure: with an engine that fails now and then, bounds stay
// below the optimum and points above it, whatever the status.
func TestMIPHonestOnFailure(t *testing.T) {
	failed, optimal := 0, 0
	for seed := range uint64(120) {
		p := lptest.Random(seed)
		if len(p.Columns) > 20 {
			continue
		}
		load := func() solver.LP {
			lp := embedded.Engine{}.New()
			p.Load(lp)
			for j := range p.Columns {
				l, u := lp.ColumnBounds(j)
				lp.SetColumnBounds(j, math.Max(l, -9), math.Min(u, 9))
			}
			return lp
		}
		want := solver.SolveMIP(context.Background(), load(), solver.MIPOptions{MaxNodes: 2000})
		if want.Status != solver.Optimal && want.Status != solver.Infeasible {
			continue
		}
		for _, every := range []int{2, 3, 5} {
			got := solver.SolveMIP(context.Background(), &failing{LP: load(), every: every}, solver.MIPOptions{MaxNodes: 2000})
			slack := 1e-6 * (1 + math.Abs(want.Objective))
			if got.Bound > want.Objective+slack || got.X != nil && got.Objective < want.Objective-slack {
				t.Errorf("seed %d, failing every %d: bound %g, objective %g, optimum %g", seed, every, got.Bound, got.Objective, want.Objective)
			}
			switch got.Status {
			case solver.Failed:
				failed++
			case solver.Optimal:
				optimal++
				if math.Abs(got.Objective-want.Objective) > slack {
					t.Errorf("seed %d, failing every %d: %g called optimal, optimum %g", seed, every, got.Objective, want.Objective)
				}
			case solver.Infeasible:
				if want.Status != solver.Infeasible {
					t.Errorf("seed %d, failing every %d: called infeasible", seed, every)
				}
			}
		}
	}
	t.Logf("%d failed, %d optimal", failed, optimal)
	if failed == 0 || optimal == 0 {
		t.Errorf("%d failed, %d optimal: the test tests nothing", failed, optimal)
	}
}
