package embedded

import (
	"math"

	"sawbill/solver"
)

// activity is the range of Σ w·x over the bounds of x. An equation Σ w·x = 0
// that holds for all solutions, with a range that excludes zero, proves that
// there is none (Farkas 1902); the simplex methods claim infeasibility only
// with such an equation in hand.
type activity struct {
	least, most float64
	size        float64 // magnitude of what was added up, for the margin
}

// add adds w·x for x within [low, high]. A weight that is rounding noise is
// dropped rather than let an infinite bound void the proof.
func (a *activity) add(w, low, high float64) {
	if w == 0 {
		return
	}
	from, to := float64(w*low), float64(w*high)
	if w < 0 {
		from, to = to, from
	}
	if math.Abs(w) < weightNoise && (math.IsInf(from, 0) || math.IsInf(to, 0)) {
		return
	}
	a.least += from
	a.most += to
	for _, t := range []float64{from, to} {
		if !math.IsInf(t, 0) {
			a.size = max(a.size, math.Abs(t))
		}
	}
}

// excludesZero leaves a margin for rounding and for the primal tolerance.
func (a *activity) excludesZero() bool {
	margin := max(float64(0.5*primalTolerance), float64(1e-12*a.size))
	return a.least > margin || a.most < -margin
}

// rowProves checks that basic variable out cannot get within its bounds: its
// row of the tableau is out + Σ alpha·x = 0.
func (p *lp) rowProves(out int32) bool {
	var a activity
	a.add(1, p.lower[out], p.upper[out])
	for _, v := range p.touched {
		a.add(p.alpha[v], p.lower[v], p.upper[v])
	}
	return a.excludesZero()
}

// gainProves checks that the violations weighted by gain cannot vanish: with
// the reduced costs d of these weights, Σ gain·x_B − Σ d·x_N = 0.
func (p *lp) gainProves(gain []float64) bool {
	var a activity
	for v, s := range p.status {
		w := -p.d[v]
		if s == solver.Basic {
			w = gain[v]
		}
		a.add(w, p.lower[v], p.upper[v])
	}
	return a.excludesZero()
}
