package lptest

import (
	"context"
	"math"
	"testing"

	"sawbill/solver"
)

// textbook is a small program in dense form; maximisations are entered with
// their signs turned.
type textbook struct {
	source string
	cost   []float64
	rows   [][]float64
	lower  []float64 // of rows; nil: none
	upper  []float64 // of rows; nil: none
	// Column bounds; nil: 0 and none.
	columnLower, columnUpper []float64

	status  solver.Status
	optimum float64
	// The unique optimal point and duals where the source states them.
	x, duals []float64
}

var inf = math.Inf(1)

var textbooks = []textbook{{
	source:  "Chvátal 1983, Linear Programming, p. 13: max 5x+4y+3z",
	cost:    []float64{-5, -4, -3},
	rows:    [][]float64{{2, 3, 1}, {4, 1, 2}, {3, 4, 2}},
	upper:   []float64{5, 11, 8},
	optimum: -13, x: []float64{2, 0, 1}, duals: []float64{-1, 0, -1},
	status: solver.Optimal,
}, {
	source:  "Hillier & Lieberman, Introduction to Operations Research, ch. 3: Wyndor Glass Co.",
	cost:    []float64{-3, -5},
	rows:    [][]float64{{1, 0}, {0, 2}, {3, 2}},
	upper:   []float64{4, 12, 18},
	optimum: -36, x: []float64{2, 6}, duals: []float64{0, -1.5, -1},
	status: solver.Optimal,
}, {
	source:  "Beale 1955, Cycling in the dual simplex algorithm, Naval Research Logistics Quarterly 2:269–275, in the primal form of Bazaraa, Jarvis & Sherali",
	cost:    []float64{-0.75, 150, -0.02, 6},
	rows:    [][]float64{{0.25, -60, -0.04, 9}, {0.5, -90, -0.02, 3}, {0, 0, 1, 0}},
	upper:   []float64{0, 0, 1},
	optimum: -0.05, x: []float64{0.04, 0, 1, 0},
	status: solver.Optimal,
}, {
	source:  "Chvátal 1983, Linear Programming, p. 31: cycles under the largest coefficient rule",
	cost:    []float64{-10, 57, 9, 24},
	rows:    [][]float64{{0.5, -5.5, -2.5, 9}, {0.5, -1.5, -0.5, 1}, {1, 0, 0, 0}},
	upper:   []float64{0, 0, 1},
	optimum: -1, x: []float64{1, 0, 1, 0},
	status: solver.Optimal,
}, {
	source: "H. W. Kuhn's cycling example, in Balinski & Tucker 1969, Duality theory of linear programs, SIAM Review 11:347–377",
	cost:   []float64{0, 0, 0, -2, -3, 1, 12},
	rows: [][]float64{
		{1, 0, 0, -2, -9, 1, 9},
		{0, 1, 0, 1. / 3, 1, -1. / 3, -2},
		{0, 0, 1, 2, 3, -1, -12}},
	lower: []float64{0, 0, 2}, upper: []float64{0, 0, 2},
	optimum: -2, x: []float64{2, 0, 0, 2, 0, 2, 0},
	status: solver.Optimal,
}, {
	// Data from memory; that −2 is the optimum follows from the duals, which
	// CheckOptimal verifies.
	source: "Marshall & Suurballe 1969, A note on cycling in the simplex method, Naval Research Logistics Quarterly 16:121–137",
	cost:   []float64{0, 0, 0, 0, -0.4, -0.4, 1.8},
	rows: [][]float64{
		{1, 0, 0, 0, 0.6, -6.4, 4.8},
		{0, 1, 0, 0, 0.2, -1.8, 0.6},
		{0, 0, 1, 0, 0.4, -1.6, 0.2},
		{0, 0, 0, 1, 0, 1, 0}},
	lower: []float64{0, 0, 0, 1}, upper: []float64{0, 0, 0, 1},
	optimum: -2, x: []float64{4, 1, 0, 0, 4, 1, 0},
	status: solver.Optimal,
}, {
	source: "two rows that exclude each other",
	cost:   []float64{1, 1},
	rows:   [][]float64{{1, 1}, {1, 1}},
	lower:  []float64{2, -inf}, upper: []float64{inf, 1},
	status: solver.Infeasible,
}, {
	source: "a bound against a row",
	cost:   []float64{0},
	rows:   [][]float64{{1}}, upper: []float64{-1},
	status: solver.Infeasible,
}, {
	source: "crossed column bounds",
	cost:   []float64{1}, columnLower: []float64{2}, columnUpper: []float64{1},
	status: solver.Infeasible,
}, {
	source: "crossed row bounds",
	cost:   []float64{1}, rows: [][]float64{{1}}, lower: []float64{2}, upper: []float64{1},
	status: solver.Infeasible,
}, {
	source: "a row of zeros that must be one",
	cost:   []float64{1}, rows: [][]float64{{0}}, lower: []float64{1},
	status: solver.Infeasible,
}, {
	source: "infeasible equalities that need elimination: x+y=1, y+z=1, z+x=1, x+y+z=2",
	cost:   []float64{1, 1, 1},
	rows:   [][]float64{{1, 1, 0}, {0, 1, 1}, {1, 0, 1}, {1, 1, 1}},
	lower:  []float64{1, 1, 1, 2}, upper: []float64{1, 1, 1, 2},
	columnLower: []float64{-inf, -inf, -inf},
	status:      solver.Infeasible,
}, {
	source: "falls along a column without rows",
	cost:   []float64{-1},
	status: solver.Unbounded,
}, {
	source: "falls along the diagonal of a cone",
	cost:   []float64{-1, -1},
	rows:   [][]float64{{1, -1}}, lower: []float64{-1}, upper: []float64{1},
	status: solver.Unbounded,
}, {
	source: "falls along a free column, started away from feasible",
	cost:   []float64{1, 0},
	rows:   [][]float64{{1, 1}, {0, 1}}, upper: []float64{5, inf}, lower: []float64{-inf, 3},
	columnLower: []float64{-inf, 0},
	status:      solver.Unbounded,
}, {
	source: "no columns and no rows",
	status: solver.Optimal,
}, {
	source: "no rows: every column at the bound its cost asks for",
	cost:   []float64{2, -3, 0}, columnLower: []float64{-1, 0, 1}, columnUpper: []float64{5, 4, 2},
	optimum: -14, x: []float64{-1, 4, 1},
	status: solver.Optimal,
}, {
	source: "no columns: rows that admit zero",
	rows:   [][]float64{{}, {}}, lower: []float64{-1, -inf}, upper: []float64{0, inf},
	status: solver.Optimal,
}, {
	source: "free columns fixed by equalities: x+y=3, x−y=7",
	cost:   []float64{1, 10},
	rows:   [][]float64{{1, 1}, {1, -1}}, lower: []float64{3, 7}, upper: []float64{3, 7},
	columnLower: []float64{-inf, -inf},
	optimum:     -15, x: []float64{5, -2}, duals: []float64{5.5, -4.5},
	status: solver.Optimal,
}, {
	source: "fixed columns: 2·3 + y ≥ 10",
	cost:   []float64{1, 1},
	rows:   [][]float64{{2, 1}}, lower: []float64{10},
	columnLower: []float64{3, 0}, columnUpper: []float64{3, inf},
	optimum: 7, x: []float64{3, 4}, duals: []float64{1},
	status: solver.Optimal,
}, {
	source: "equal and redundant rows: x+y=2 three times, and doubled",
	cost:   []float64{1, 2},
	rows:   [][]float64{{1, 1}, {1, 1}, {1, 1}, {2, 2}},
	lower:  []float64{2, 2, 2, 4}, upper: []float64{2, 2, 2, 4},
	optimum: 2, x: []float64{2, 0},
	status: solver.Optimal,
}, {
	source: "bounds on both sides of a row: −4 ≤ x+y ≤ −2, x, y ≥ −3",
	cost:   []float64{-1, -2},
	rows:   [][]float64{{1, 1}}, lower: []float64{-4}, upper: []float64{-2},
	columnLower: []float64{-3, -3},
	optimum:     1, x: []float64{-3, 1}, duals: []float64{-2},
	status: solver.Optimal,
}}

// problem turns the dense form into columns.
func (b textbook) problem() *Problem {
	p := &Problem{Name: b.source}
	pick := func(s []float64, i int, none float64) float64 {
		if s == nil {
			return none
		}
		return s[i]
	}
	for i := range b.rows {
		p.Rows = append(p.Rows, Row{Lower: pick(b.lower, i, -inf), Upper: pick(b.upper, i, inf)})
	}
	for j, c := range b.cost {
		col := Column{Cost: c, Lower: pick(b.columnLower, j, 0), Upper: pick(b.columnUpper, j, inf)}
		for i, row := range b.rows {
			if row[j] != 0 {
				col.Rows = append(col.Rows, int32(i))
				col.Values = append(col.Values, row[j])
			}
		}
		p.Columns = append(p.Columns, col)
	}
	return p
}

func runTextbooks(t *testing.T, e solver.Engine) {
	for _, b := range textbooks {
		t.Run(b.source, func(t *testing.T) {
			p := b.problem()
			lp := e.New()
			defer lp.Close()
			p.Load(lp)
			if s := lp.Solve(context.Background(), 0); s != b.status {
				t.Fatalf("status %v, want %v", s, b.status)
			}
			if b.status != solver.Optimal {
				return
			}
			if err := p.CheckOptimal(lp); err != nil {
				t.Error(err)
			}
			near(t, "objective", []float64{lp.Objective()}, []float64{b.optimum})
			if b.x != nil {
				near(t, "x", lp.Primal(nil), b.x)
			}
			if b.duals != nil {
				near(t, "duals", lp.Dual(nil), b.duals)
			}
		})
	}
}

func near(t *testing.T, what string, got, want []float64) {
	t.Helper()
	for i := range want {
		if math.Abs(got[i]-want[i]) > 1e-6*(1+math.Abs(want[i])) {
			t.Errorf("%s %v, want %v", what, got, want)
			return
		}
	}
}

// runKleeMinty solves the cubes on which the largest coefficient rule visits
// every vertex (Klee & Minty 1972, in the form of Chvátal 1983, p. 47): the
// optimum is 100^(n−1), all in the last column.
func runKleeMinty(t *testing.T, e solver.Engine) {
	for n := 2; n <= 6; n++ {
		p := &Problem{}
		for i := range n {
			p.Rows = append(p.Rows, Row{Lower: -inf, Upper: math.Pow(100, float64(i))})
		}
		for j := range n {
			c := Column{Cost: -math.Pow(10, float64(n-1-j)), Upper: inf}
			for i := j; i < n; i++ {
				c.Rows = append(c.Rows, int32(i))
				if i == j {
					c.Values = append(c.Values, 1)
				} else {
					c.Values = append(c.Values, 2*math.Pow(10, float64(i-j)))
				}
			}
			p.Columns = append(p.Columns, c)
		}
		lp := e.New()
		p.Load(lp)
		if s := lp.Solve(context.Background(), 0); s != solver.Optimal {
			t.Errorf("n = %d: status %v", n, s)
		}
		near(t, "objective", []float64{lp.Objective()}, []float64{-math.Pow(100, float64(n-1))})
		lp.Close()
	}
}

// runCuttingStock solves the cutting-stock example of Chvátal 1983, ch. 13:
// rolls of 100 inches into 97 finals of 45, 610 of 36, 395 of 31 and 211 of
// 14 inches; the linear program over all patterns needs 452¼ rolls.
func runCuttingStock(t *testing.T, e solver.Engine) {
	widths, demand := []int{45, 36, 31, 14}, []float64{97, 610, 395, 211}
	lp := e.New()
	defer lp.Close()
	p := &Problem{}
	for _, d := range demand {
		p.Rows = append(p.Rows, Row{Lower: d, Upper: inf})
	}
	var pattern [4]float64
	var fill func(i, left int)
	fill = func(i, left int) {
		if i == len(widths) {
			c := Column{Cost: 1, Upper: inf}
			for k, v := range pattern {
				if v > 0 {
					c.Rows = append(c.Rows, int32(k))
					c.Values = append(c.Values, v)
				}
			}
			p.Columns = append(p.Columns, c)
			return
		}
		for n := 0; n*widths[i] <= left; n++ {
			pattern[i] = float64(n)
			fill(i+1, left-n*widths[i])
		}
		pattern[i] = 0
	}
	fill(0, 100)
	p.Load(lp)
	if s := lp.Solve(context.Background(), 0); s != solver.Optimal {
		t.Fatalf("status %v", s)
	}
	near(t, "rolls", []float64{lp.Objective()}, []float64{452.25})
	if err := p.CheckOptimal(lp); err != nil {
		t.Error(err)
	}
}
