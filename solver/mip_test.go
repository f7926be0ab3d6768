package solver_test

import (
	"context"
	"math"
	"testing"

	"pgregory.net/rapid"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// integerProgram is a random bounded integer program small enough to enumerate.
type integerProgram struct {
	cost         []float64
	lower, upper []int
	rows         [][]float64
	rowLower     []float64
	rowUpper     []float64
}

func drawIntegerProgram(t *rapid.T) integerProgram {
	n := rapid.IntRange(1, 5).Draw(t, "n")
	m := rapid.IntRange(0, 4).Draw(t, "m")
	var p integerProgram
	for range n {
		p.cost = append(p.cost, float64(rapid.IntRange(-9, 9).Draw(t, "cost")))
		l := rapid.IntRange(-3, 2).Draw(t, "lower")
		p.lower = append(p.lower, l)
		p.upper = append(p.upper, l+rapid.IntRange(0, 5).Draw(t, "span"))
	}
	for range m {
		row := make([]float64, n)
		for j := range row {
			row[j] = float64(rapid.IntRange(-7, 7).Draw(t, "a"))
		}
		p.rows = append(p.rows, row)
		l := float64(rapid.IntRange(-20, 20).Draw(t, "rowLower"))
		u := l + float64(rapid.IntRange(0, 30).Draw(t, "rowSpan"))
		switch rapid.IntRange(0, 3).Draw(t, "kind") {
		case 0:
			l = math.Inf(-1)
		case 1:
			u = math.Inf(1)
		}
		p.rowLower = append(p.rowLower, l)
		p.rowUpper = append(p.rowUpper, u)
	}
	return p
}

func (p integerProgram) load() solver.LP {
	lp := embedded.Engine{}.New()
	for j, c := range p.cost {
		lp.AddColumn(c, float64(p.lower[j]), float64(p.upper[j]), nil, nil)
	}
	for i, row := range p.rows {
		var columns []int32
		var values []float64
		for j, a := range row {
			if a != 0 {
				columns = append(columns, int32(j))
				values = append(values, a)
			}
		}
		lp.AddRow(p.rowLower[i], p.rowUpper[i], columns, values)
	}
	return lp
}

func (p integerProgram) objective(x []int) (value float64, feasible bool) {
	for i, row := range p.rows {
		sum := 0.0
		for j, a := range row {
			sum += a * float64(x[j])
		}
		if sum < p.rowLower[i] || sum > p.rowUpper[i] {
			return 0, false
		}
	}
	for j, c := range p.cost {
		value += c * float64(x[j])
	}
	return value, true
}

// enumerate returns the optimum over all integer points, +Inf if none.
func (p integerProgram) enumerate() float64 {
	best := math.Inf(1)
	x := append([]int(nil), p.lower...)
	for {
		if v, ok := p.objective(x); ok {
			best = min(best, v)
		}
		j := 0
		for ; j < len(x); j++ {
			if x[j]++; x[j] <= p.upper[j] {
				break
			}
			x[j] = p.lower[j]
		}
		if j == len(x) {
			return best
		}
	}
}

// TestMIPAgainstEnumeration compares with all integer points, tried one by one.
func TestMIPAgainstEnumeration(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawIntegerProgram(t)
		want := p.enumerate()
		options := solver.MIPOptions{}
		if rapid.Bool().Draw(t, "step") {
			options.ObjectiveStep = 1
		}
		lp := p.load()
		got := solver.SolveMIP(context.Background(), lp, options)
		if math.IsInf(want, 1) {
			if got.Status != solver.Infeasible || got.X != nil || !math.IsInf(got.Bound, 1) {
				t.Fatalf("no point exists, but got %+v", got)
			}
			return
		}
		if got.Status != solver.Optimal || math.Abs(got.Objective-want) > 1e-6 || got.Bound < want-1e-5 || got.Bound > want+1e-5 {
			t.Fatalf("optimum %v, got %+v", want, got)
		}
		x := make([]int, len(got.X))
		for j, v := range got.X {
			x[j] = int(v)
			if float64(x[j]) != v || x[j] < p.lower[j] || x[j] > p.upper[j] {
				t.Fatalf("x = %v is not an integer point within bounds", got.X)
			}
		}
		if v, ok := p.objective(x); !ok || math.Abs(v-want) > 1e-6 {
			t.Fatalf("x = %v has value %v, feasible %v; optimum %v", x, v, ok, want)
		}
		for j := range p.cost {
			if l, u := lp.ColumnBounds(j); l != float64(p.lower[j]) || u != float64(p.upper[j]) {
				t.Fatalf("bounds of column %d came back as %v and %v", j, l, u)
			}
		}
	})
}

// TestMIPBoundsUnderLimits: however early the search stops, the bound is below the
// optimum and the point, if any, is not.
func TestMIPBoundsUnderLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawIntegerProgram(t)
		want := p.enumerate()
		options := solver.MIPOptions{
			MaxNodes:      rapid.IntRange(0, 4).Draw(t, "nodes"),
			MaxIterations: rapid.IntRange(0, 12).Draw(t, "iterations"),
			GapAbs:        float64(rapid.IntRange(0, 3).Draw(t, "gap")),
		}
		if rapid.Bool().Draw(t, "cut off") {
			options.Cutoff = new(float64(rapid.IntRange(-30, 30).Draw(t, "cutoff")))
		}
		if rapid.Bool().Draw(t, "start") {
			for j := range p.cost {
				options.Start = append(options.Start, float64(rapid.IntRange(p.lower[j], p.upper[j]).Draw(t, "x")))
			}
		}
		got := solver.SolveMIP(context.Background(), p.load(), options)
		limit := want
		if options.Cutoff != nil {
			limit = min(limit, *options.Cutoff)
		}
		if got.Bound > limit+1e-5 {
			t.Fatalf("bound %v above %v: %+v", got.Bound, limit, got)
		}
		if got.X != nil && got.Objective < want-1e-5 {
			t.Fatalf("objective %v below the optimum %v", got.Objective, want)
		}
		if got.Status == solver.Optimal && got.Objective > want+options.GapAbs+1e-5 {
			t.Fatalf("objective %v called optimal; optimum %v, gap %v", got.Objective, want, options.GapAbs)
		}
		if got.Status == solver.Infeasible && want < limit-1e-5 {
			t.Fatalf("called infeasible, but a point of value %v exists", want)
		}
	})
}
