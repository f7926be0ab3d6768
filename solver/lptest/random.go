package lptest

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"gonum.org/v1/gonum/mat"
	gonum "gonum.org/v1/gonum/optimize/convex/lp"
	"pgregory.net/rapid"

	"sawbill/solver"
)

// Random makes the random program of a seed: up to 40 rows and 80 columns,
// sparse, often degenerate (small integer data), all kinds of bounds. Most
// are built around a feasible point and feasible duals, so that they have an
// optimum; some are bent to be infeasible or unbounded.
func Random(seed uint64) *Problem {
	g := &generator{Rand: rand.New(rand.NewPCG(seed, 0x1b873593))}
	g.degenerate = g.IntN(2) == 0
	g.boxed = g.IntN(4) == 0
	m, n := g.IntN(40), 1+g.IntN(80)
	p := &Problem{Rows: make([]Row, m)}
	activity, dual := make([]float64, m), make([]float64, m)
	density := 0.05 + 0.4*g.Float64()
	x := make([]float64, n)
	for j := range n {
		var c Column
		c.Lower, c.Upper, x[j] = g.column()
		for i := range m {
			if g.Float64() < density {
				if a := g.number(); a != 0 {
					c.Rows = append(c.Rows, int32(i))
					c.Values = append(c.Values, a)
					activity[i] += a * x[j]
				}
			}
		}
		p.Columns = append(p.Columns, c)
	}
	broken := g.IntN(8) == 0
	for i := range p.Rows {
		v := activity[i]
		if broken && g.IntN(5) == 0 {
			v += float64(g.IntN(40) - 20)
		}
		p.Rows[i] = g.row(v)
		dual[i] = g.multiplier(p.Rows[i].Lower, p.Rows[i].Upper)
	}
	falling := g.IntN(8) == 0
	for j := range p.Columns {
		c := &p.Columns[j]
		if falling {
			c.Cost = g.number()
			continue
		}
		c.Cost = g.multiplier(c.Lower, c.Upper)
		for k, i := range c.Rows {
			c.Cost += c.Values[k] * dual[i]
		}
	}
	return p
}

type generator struct {
	*rand.Rand
	degenerate, boxed bool
}

func (g *generator) number() float64 {
	if g.degenerate {
		return float64(g.IntN(7) - 3)
	}
	return g.NormFloat64() * math.Pow(10, float64(g.IntN(4)-2))
}

// column returns bounds and a value within them.
func (g *generator) column() (lower, upper, x float64) {
	x = float64(g.IntN(4))
	kind := g.IntN(10)
	if g.boxed {
		kind = 2
	}
	switch kind {
	case 0:
		return -inf, inf, x - 2
	case 1:
		return -inf, x + float64(g.IntN(3)), x
	case 2, 3, 4:
		return x - float64(g.IntN(3)), x + float64(g.IntN(3)), x
	}
	return 0, inf, x
}

// row returns bounds around v.
func (g *generator) row(v float64) Row {
	switch g.IntN(5) {
	case 0, 1:
		return Row{Lower: -inf, Upper: v + float64(g.IntN(3))}
	case 2:
		return Row{Lower: v - float64(g.IntN(3)), Upper: inf}
	case 3:
		return Row{Lower: v, Upper: v}
	}
	return Row{Lower: v - float64(g.IntN(4)), Upper: v + float64(g.IntN(4))}
}

// multiplier returns a dual value of a sign the bounds allow, often zero.
func (g *generator) multiplier(lower, upper float64) float64 {
	v := g.number()
	switch {
	case g.IntN(2) == 0, math.IsInf(lower, 0) && math.IsInf(upper, 0):
		return 0
	case math.IsInf(lower, 0):
		return -math.Abs(v)
	case math.IsInf(upper, 0):
		return math.Abs(v)
	}
	return v
}

// runRandom checks the optimality conditions on random programs, which need
// no second solver.
func runRandom(t *testing.T, e solver.Engine) {
	count := map[solver.Status]int{}
	for seed := range uint64(300) {
		p := Random(seed)
		lp := e.New()
		p.Load(lp)
		status := lp.Solve(context.Background(), 0)
		count[status]++
		switch status {
		case solver.Optimal:
			if err := p.CheckOptimal(lp); err != nil {
				t.Errorf("seed %d: %v", seed, err)
			}
		case solver.Infeasible, solver.Unbounded:
		default:
			t.Errorf("seed %d: status %v", seed, status)
		}
		lp.Close()
	}
	t.Logf("%d optimal, %d infeasible, %d unbounded", count[solver.Optimal], count[solver.Infeasible], count[solver.Unbounded])
	if count[solver.Optimal] < 100 || count[solver.Infeasible] < 5 || count[solver.Unbounded] < 5 {
		t.Errorf("the random programs are lopsided: %v", count)
	}
}

// runExact solves the basis found in rational arithmetic: on small integer
// data it is not only optimal within tolerances but exactly.
func runExact(t *testing.T, e solver.Engine) {
	checked := 0
	for seed := uint64(0); checked < 40; seed++ {
		p := Random(seed)
		if len(p.Rows) > 15 || len(p.Columns) > 30 || !p.integral() {
			continue
		}
		lp := e.New()
		p.Load(lp)
		if lp.Solve(context.Background(), 0) == solver.Optimal {
			checked++
			exact, err := p.ExactBasis(lp.Basis())
			if err != nil || exact.Primal > 0 || exact.Dual > 0 || math.Abs(exact.Objective-lp.Objective()) > 1e-9*(1+math.Abs(exact.Objective)) {
				t.Errorf("seed %d: objective %g, exactly %+v (%v)", seed, lp.Objective(), exact, err)
			}
		}
		lp.Close()
	}
}

func (p *Problem) integral() bool {
	for _, c := range p.Columns {
		for _, v := range append([]float64{c.Cost}, c.Values...) {
			if v != math.Trunc(v) {
				return false
			}
		}
	}
	return true
}

// runGonum compares with gonum's dense simplex method on programs in the
// standard form it needs. Its failures are counted, not hidden.
func runGonum(t *testing.T, e solver.Engine) {
	compared, skipped := 0, 0
	for seed := range uint64(100) {
		r := rand.New(rand.NewPCG(seed, 0x85ebca6b))
		m, n := 1+r.IntN(12), 1+r.IntN(20)
		p := &Problem{}
		a := mat.NewDense(m, n+m, nil)
		cost, b := make([]float64, n+m), make([]float64, m)
		for i := range m {
			b[i] = float64(r.IntN(50))
			a.Set(i, n+i, 1)
			p.Rows = append(p.Rows, Row{Lower: -inf, Upper: b[i]})
		}
		for j := range n {
			cost[j] = float64(r.IntN(21) - 14)
			c := Column{Cost: cost[j], Upper: inf}
			for i := range m {
				if v := float64(r.IntN(12) - 2); v != 0 && r.IntN(3) > 0 {
					a.Set(i, j, v)
					c.Rows = append(c.Rows, int32(i))
					c.Values = append(c.Values, v)
				}
			}
			p.Columns = append(p.Columns, c)
		}
		want, _, err := gonum.Simplex(cost, a, b, 1e-10, nil)
		lp := e.New()
		p.Load(lp)
		status := lp.Solve(context.Background(), 0)
		switch {
		case err == nil:
			compared++
			if status != solver.Optimal || math.Abs(lp.Objective()-want) > 1e-6*(1+math.Abs(want)) {
				t.Errorf("seed %d: status %v, objective %g; gonum %g", seed, status, lp.Objective(), want)
			}
		case err == gonum.ErrUnbounded:
			compared++
			if status != solver.Unbounded {
				t.Errorf("seed %d: status %v; gonum says unbounded", seed, status)
			}
		default:
			skipped++
		}
		lp.Close()
	}
	t.Logf("%d compared, %d given up by gonum", compared, skipped)
	if compared < 80 {
		t.Errorf("only %d programs compared", compared)
	}
}

// drawProblem draws a tiny program with integer data.
func drawProblem(t *rapid.T, maxRows, maxColumns int, boxed bool) *Problem {
	p := &Problem{}
	m := rapid.IntRange(0, maxRows).Draw(t, "m")
	n := rapid.IntRange(1, maxColumns).Draw(t, "n")
	for range m {
		p.Rows = append(p.Rows, drawRow(t))
	}
	for range n {
		p.Columns = append(p.Columns, drawColumn(t, m, boxed))
	}
	return p
}

func drawBounds(t *rapid.T, boxed bool) (lower, upper float64) {
	lower = float64(rapid.IntRange(-6, 6).Draw(t, "lower"))
	upper = lower + float64(rapid.IntRange(0, 8).Draw(t, "span"))
	if !boxed {
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0, 1:
			upper = inf
		case 2:
			lower = -inf
		case 3:
			lower, upper = -inf, inf
		}
	}
	return lower, upper
}

func drawRow(t *rapid.T) Row {
	l, u := drawBounds(t, false)
	return Row{Lower: l, Upper: u}
}

func drawColumn(t *rapid.T, m int, boxed bool) Column {
	c := Column{Cost: float64(rapid.IntRange(-6, 6).Draw(t, "cost"))}
	c.Lower, c.Upper = drawBounds(t, boxed)
	for i := range m {
		if a := rapid.IntRange(-5, 5).Draw(t, "a"); a != 0 {
			c.Rows = append(c.Rows, int32(i))
			c.Values = append(c.Values, float64(a))
		}
	}
	return c
}
