package lptest

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"sawbill/solver"
)

// runWarmStarts changes a solved model in every way the interface has and
// compares each re-solve with a fresh model of the same data.
func runWarmStarts(t *testing.T, e solver.Engine) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 6, 8, false)
		lp := e.New()
		defer lp.Close()
		p.Load(lp)
		for range rapid.IntRange(1, 8).Draw(t, "steps") {
			change(t, p, lp)
			compareFresh(t, e, p, lp)
		}
	})
}

// change alters model and data alike.
func change(t *rapid.T, p *Problem, lp solver.LP) {
	column := func() int { return rapid.IntRange(0, len(p.Columns)-1).Draw(t, "column") }
	switch rapid.IntRange(0, 6).Draw(t, "change") {
	case 0:
		c := drawColumn(t, len(p.Rows), false)
		p.Columns = append(p.Columns, c)
		lp.AddColumn(c.Cost, c.Lower, c.Upper, c.Rows, c.Values)
	case 1:
		r := drawRow(t)
		var columns []int32
		var values []float64
		for j := range p.Columns {
			if a := rapid.IntRange(-5, 5).Draw(t, "a"); a != 0 {
				columns = append(columns, int32(j))
				values = append(values, float64(a))
				c := &p.Columns[j]
				c.Rows = append(c.Rows, int32(len(p.Rows)))
				c.Values = append(c.Values, float64(a))
			}
		}
		p.Rows = append(p.Rows, r)
		lp.AddRow(r.Lower, r.Upper, columns, values)
	case 2:
		c := &p.Columns[column()]
		c.Lower, c.Upper = drawBounds(t, false)
		for j := range p.Columns {
			lp.SetColumnBounds(j, p.Columns[j].Lower, p.Columns[j].Upper)
		}
	case 3:
		if len(p.Rows) > 0 {
			i := rapid.IntRange(0, len(p.Rows)-1).Draw(t, "row")
			p.Rows[i] = drawRow(t)
			lp.SetRowBounds(i, p.Rows[i].Lower, p.Rows[i].Upper)
		}
	case 4:
		j := column()
		p.Columns[j].Cost = float64(rapid.IntRange(-6, 6).Draw(t, "cost"))
		lp.SetCost(j, p.Columns[j].Cost)
	case 5:
		// Any statuses at all, often no basis.
		var b solver.Basis
		for range rapid.IntRange(0, len(p.Columns)).Draw(t, "statuses") {
			b.Columns = append(b.Columns, solver.BasisStatus(rapid.IntRange(0, 3).Draw(t, "status")))
		}
		for range rapid.IntRange(0, len(p.Rows)).Draw(t, "statuses") {
			b.Rows = append(b.Rows, solver.BasisStatus(rapid.IntRange(0, 3).Draw(t, "status")))
		}
		lp.SetBasis(b)
	case 6:
		lp.SetBasis(lp.Basis())
	}
}

func compareFresh(t *rapid.T, e solver.Engine, p *Problem, lp solver.LP) {
	fresh := e.New()
	defer fresh.Close()
	p.Load(fresh)
	want, got := fresh.Solve(context.Background(), 0), lp.Solve(context.Background(), 0)
	if got != want {
		t.Fatalf("warm %v, fresh %v", got, want)
	}
	if want != solver.Optimal {
		return
	}
	for _, s := range []solver.LP{fresh, lp} {
		if err := p.CheckOptimal(s); err != nil {
			t.Fatal(err)
		}
	}
	if a, b := lp.Objective(), fresh.Objective(); math.Abs(a-b) > 1e-6*(1+math.Abs(b)) {
		t.Fatalf("warm objective %g, fresh objective %g", a, b)
	}
	basic := 0
	b := lp.Basis()
	for _, s := range append(append([]solver.BasisStatus(nil), b.Columns...), b.Rows...) {
		if s == solver.Basic {
			basic++
		}
	}
	if basic != len(p.Rows) || len(b.Columns) != len(p.Columns) || len(b.Rows) != len(p.Rows) {
		t.Fatalf("%d basic variables in %d rows", basic, len(p.Rows))
	}
}

// runEnumeration compares with the best of all vertices of tiny boxed
// programs: every choice of columns and rows at their bounds, solved densely.
func runEnumeration(t *testing.T, e solver.Engine) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t, 3, 3, true)
		lp := e.New()
		defer lp.Close()
		p.Load(lp)
		status := lp.Solve(context.Background(), 0)
		want := p.bestVertex()
		switch {
		case math.IsInf(want, 1):
			if status != solver.Infeasible {
				t.Fatalf("status %v, but no vertex is feasible", status)
			}
		case status != solver.Optimal || math.Abs(lp.Objective()-want) > 1e-6*(1+math.Abs(want)):
			t.Fatalf("status %v, objective %g; best vertex %g", status, lp.Objective(), want)
		}
	})
}

// plane is the equation a·x = b.
type plane struct {
	a []float64
	b float64
}

// bestVertex returns the least cost over all intersections of n bounding
// planes that are feasible, +Inf if none is. The columns must be boxed, so
// that a feasible program has a vertex.
func (p *Problem) bestVertex() float64 {
	n := len(p.Columns)
	var planes []plane
	addPlanes := func(a []float64, lower, upper float64) {
		for _, b := range []float64{lower, upper} {
			if !math.IsInf(b, 0) {
				planes = append(planes, plane{a, b})
			}
		}
	}
	rows := make([][]float64, len(p.Rows))
	for i := range rows {
		rows[i] = make([]float64, n)
	}
	for j, c := range p.Columns {
		unit := make([]float64, n)
		unit[j] = 1
		addPlanes(unit, c.Lower, c.Upper)
		for k, i := range c.Rows {
			rows[i][j] = c.Values[k]
		}
	}
	for i, r := range p.Rows {
		addPlanes(rows[i], r.Lower, r.Upper)
	}
	best := inf
	var choose func(from int, chosen []plane)
	choose = func(from int, chosen []plane) {
		if len(chosen) == n {
			if x, ok := intersect(chosen); ok && p.feasible(rows, x) {
				cost := 0.0
				for j, c := range p.Columns {
					cost += c.Cost * x[j]
				}
				best = math.Min(best, cost)
			}
			return
		}
		for k := from; k < len(planes); k++ {
			choose(k+1, append(chosen[:len(chosen):len(chosen)], planes[k]))
		}
	}
	choose(0, nil)
	return best
}

func (p *Problem) feasible(rows [][]float64, x []float64) bool {
	const slack = 1e-9
	for j, c := range p.Columns {
		if x[j] < c.Lower-slack || x[j] > c.Upper+slack {
			return false
		}
	}
	for i, r := range p.Rows {
		sum := 0.0
		for j, a := range rows[i] {
			sum += a * x[j]
		}
		if sum < r.Lower-slack || sum > r.Upper+slack {
			return false
		}
	}
	return true
}

// intersect solves the square system by Gauss–Jordan elimination.
func intersect(planes []plane) ([]float64, bool) {
	n := len(planes)
	a := make([][]float64, n)
	for i, q := range planes {
		a[i] = append(append([]float64(nil), q.a...), q.b)
	}
	for c := range n {
		pivot := c
		for i := c; i < n; i++ {
			if math.Abs(a[i][c]) > math.Abs(a[pivot][c]) {
				pivot = i
			}
		}
		if math.Abs(a[pivot][c]) < 1e-9 {
			return nil, false
		}
		a[c], a[pivot] = a[pivot], a[c]
		for i := range n {
			if i == c {
				continue
			}
			f := a[i][c] / a[c][c]
			for k := c; k <= n; k++ {
				a[i][k] -= f * a[c][k]
			}
		}
	}
	x := make([]float64, n)
	for i := range n {
		x[i] = a[i][n] / a[i][i]
	}
	return x, true
}
