package lptest

import (
	"fmt"
	"math"
	"math/big"

	"sawbill/solver"
)

// Exact is what a basis is worth in rational arithmetic.
type Exact struct {
	Objective float64
	// The largest violation of a bound and of the sign of a reduced cost.
	Primal, Dual float64
}

// ExactBasis solves p at the basis b in rational arithmetic: the non-basic
// columns and rows sit on the bounds their statuses name, the basic ones
// follow from the equations. It fails if the basis is singular. Small
// programs only: it is dense.
func (p *Problem) ExactBasis(b solver.Basis) (Exact, error) {
	m, n := len(p.Rows), len(p.Columns)
	rat := func(v float64) *big.Rat { return new(big.Rat).SetFloat64(v) }
	// Variables are the columns, then the row activities, with A·x − r = 0.
	status := append(append([]solver.BasisStatus(nil), b.Columns...), b.Rows...)
	lower, upper := make([]float64, n+m), make([]float64, n+m)
	cost := make([]*big.Rat, n+m)
	a := make([][]*big.Rat, m)
	for i := range a {
		a[i] = make([]*big.Rat, n+m)
		for j := range a[i] {
			a[i][j] = new(big.Rat)
		}
		a[i][n+i].SetInt64(-1)
		lower[n+i], upper[n+i], cost[n+i] = p.Rows[i].Lower, p.Rows[i].Upper, new(big.Rat)
	}
	for j, c := range p.Columns {
		lower[j], upper[j], cost[j] = c.Lower, c.Upper, rat(c.Cost)
		for k, i := range c.Rows {
			a[i][j] = rat(c.Values[k])
		}
	}
	x := make([]*big.Rat, n+m)
	var basic []int
	for v, s := range status {
		x[v] = new(big.Rat)
		switch s {
		case solver.Basic:
			basic = append(basic, v)
		case solver.AtLower:
			x[v] = rat(lower[v])
		case solver.AtUpper:
			x[v] = rat(upper[v])
		}
		if x[v] == nil {
			return Exact{}, fmt.Errorf("variable %d sits on an infinite bound", v)
		}
	}
	if len(basic) != m {
		return Exact{}, fmt.Errorf("%d basic variables in %d rows", len(basic), m)
	}
	// Gauss–Jordan on the basic columns turns A·x = 0 into x_B + D·x_N = 0.
	row := 0
	for _, v := range basic {
		k := row
		for k < m && a[k][v].Sign() == 0 {
			k++
		}
		if k == m {
			return Exact{}, fmt.Errorf("the basis is singular")
		}
		a[row], a[k] = a[k], a[row]
		inverse := new(big.Rat).Inv(a[row][v])
		for j := range a[row] {
			a[row][j] = new(big.Rat).Mul(a[row][j], inverse)
		}
		for i := range a {
			if i == row || a[i][v].Sign() == 0 {
				continue
			}
			f := new(big.Rat).Set(a[i][v])
			for j := range a[i] {
				if a[row][j].Sign() != 0 {
					a[i][j] = new(big.Rat).Sub(a[i][j], new(big.Rat).Mul(f, a[row][j]))
				}
			}
		}
		row++
	}
	var e Exact
	reduced := make([]*big.Rat, n+m)
	for v := range reduced {
		reduced[v] = new(big.Rat).Set(cost[v])
	}
	for k, v := range basic {
		for j := range a[k] {
			if status[j] != solver.Basic && a[k][j].Sign() != 0 {
				x[v] = new(big.Rat).Sub(x[v], new(big.Rat).Mul(a[k][j], x[j]))
				reduced[j] = new(big.Rat).Sub(reduced[j], new(big.Rat).Mul(cost[v], a[k][j]))
			}
		}
	}
	objective := new(big.Rat)
	for v, s := range status {
		objective.Add(objective, new(big.Rat).Mul(cost[v], x[v]))
		d, _ := reduced[v].Float64()
		switch {
		case s == solver.Basic:
			e.Primal = math.Max(e.Primal, outside(x[v], lower[v], upper[v]))
		case lower[v] == upper[v]:
		case s == solver.AtLower:
			e.Dual = math.Max(e.Dual, -d)
		case s == solver.AtUpper:
			e.Dual = math.Max(e.Dual, d)
		default:
			e.Dual = math.Max(e.Dual, math.Abs(d))
		}
	}
	e.Objective, _ = objective.Float64()
	return e, nil
}

// outside is how far x lies outside its bounds.
func outside(x *big.Rat, lower, upper float64) float64 {
	worst := 0.0
	gap := func(a, b *big.Rat) {
		g, _ := new(big.Rat).Sub(a, b).Float64()
		worst = math.Max(worst, g)
	}
	if !math.IsInf(lower, 0) {
		gap(new(big.Rat).SetFloat64(lower), x)
	}
	if !math.IsInf(upper, 0) {
		gap(x, new(big.Rat).SetFloat64(upper))
	}
	return worst
}
