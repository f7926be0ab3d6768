package nest2d

import (
	"context"
	"testing"
)

func mustSolve(t testing.TB, p Problem, o Options) Result {
	t.Helper()
	r, err := Solve(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	if r.Outcome == Planned {
		if err := Validate(p, r.Layouts); err != nil {
			t.Fatal(err)
		}
		for _, g := range []Goal{r.Cost, r.Sheets} {
			if g.Bound > g.Value || (g.Status == Proven) != (g.Bound == g.Value) {
				t.Fatalf("goal %+v", g)
			}
		}
	}
	return r
}

// oneKind asks for the fewest sheets of one size.
func oneKind(length, width int64, turn bool, panels ...[3]int64) Problem {
	p := Problem{Sheets: []Sheet{{Length: length, Width: width, Supply: Unlimited, Price: 1}}}
	for _, a := range panels {
		p.Panels = append(p.Panels, Panel{a[0], a[1], a[2], turn})
	}
	return p
}

// Hopper & Turton 2001, problem C1-P2, for a sheet of 20 × 20.
var c1p2 = [][3]int64{
	{4, 1, 1}, {4, 5, 1}, {9, 4, 1}, {3, 5, 1}, {3, 9, 1}, {1, 4, 1}, {5, 3, 1}, {4, 1, 1}, {5, 5, 1},
	{7, 2, 1}, {9, 3, 1}, {3, 13, 1}, {2, 8, 1}, {15, 4, 1}, {5, 4, 1}, {10, 6, 1}, {7, 2, 1},
}

// TestPublished solves worked examples whose optimum is published: H. Becker,
// "The state of the art in MILP formulations for the guillotine 2D knapsack
// and related problems", PhD thesis, UFRGS, c. 2022. The data are by Berkey &
// Wang 1987 (CLASS), Macedo, Alves & Valério de Carvalho 2010 (A42, A8, A7)
// and Hopper & Turton 2001 (C1-P2). The 14 sheets of A7 are for two stages
// with the first along the length; if sheets may differ in that, 13 will do.
func TestPublished(t *testing.T) {
	greedy := [][3]int64{{4, 12, 3}, {7, 12, 2}, {8, 6, 1}}
	class := [][3]int64{
		{5, 9, 1}, {4, 2, 1}, {10, 6, 1}, {5, 7, 1}, {6, 3, 1}, {10, 7, 1}, {1, 5, 1}, {3, 5, 1}, {6, 9, 1}, {2, 4, 1},
		{6, 7, 1}, {7, 2, 1}, {8, 3, 1}, {4, 10, 1}, {4, 5, 1}, {10, 3, 1}, {8, 3, 1}, {7, 8, 1}, {8, 3, 1}, {8, 7, 1},
	}
	a42 := [][3]int64{
		{1120, 986, 3}, {706, 516, 2}, {1120, 486, 1}, {703, 486, 1},
		{2357, 875, 2}, {2117, 875, 1}, {2117, 775, 2}, {1940, 320, 1},
	}
	a8 := [][3]int64{{486, 310, 16}}
	a7 := [][3]int64{{1120, 986, 12}, {706, 516, 16}, {1120, 486, 12}, {986, 433, 10}, {706, 286, 8}}
	a7two := oneKind(2750, 1220, false, a7...)
	a7two.Stages, a7two.TrimCut, a7two.FirstCut = 2, true, AlongLength
	for _, c := range []struct {
		name    string
		problem Problem
		optimum int64
		options Options
	}{
		{"best single sheet is in no best plan", oneKind(12, 12, false, greedy...), 3, Options{}},
		{"CLASS01_020_01", oneKind(10, 10, false, class...), 8, Options{}},
		{"CLASS01_020_01 turned", oneKind(10, 10, true, class...), 7, Options{}},
		{"A42", oneKind(2750, 1220, false, a42...), 8, Options{}},
		{"A42 turned", oneKind(2750, 1220, true, a42...), 7, Options{}},
		{"A8", oneKind(2750, 1220, false, a8...), 2, Options{}},
		{"A8 turned", oneKind(2750, 1220, true, a8...), 1, Options{}},
		{"A7", oneKind(2750, 1220, false, a7...), 13, Options{}},
		{"A7 in two stages and a trim", a7two, 14, Options{}},
		{"C1-P2 turned", oneKind(20, 20, true, c1p2...), 1, Options{Effort: Long, Seed: 1}},
		// Perfect as a packing, impossible with cuts from edge to edge.
		{"C1-P2", oneKind(20, 20, false, c1p2...), 2, Options{}},
	} {
		t.Run(c.name, func(t *testing.T) {
			r := mustSolve(t, c.problem, c.options)
			if r.Outcome != Planned || r.Cost.Value != c.optimum {
				t.Errorf("outcome %d, %d sheets, published %d", r.Outcome, r.Cost.Value, c.optimum)
			}
			if r.Cost.Bound > c.optimum {
				t.Errorf("bound %d, published %d", r.Cost.Bound, c.optimum)
			}
			t.Logf("%+v after %d iterations", r.Cost, r.Work.Iterations)
		})
	}
}
