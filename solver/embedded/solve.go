package embedded

import (
	"context"
	"math"

	"sawbill/solver"
)

const (
	// maxTroubles is the number of refused steps in a row after which a run
	// of a simplex method gives up.
	maxTroubles = 50
	// maxRounds is the number of times the methods are restarted after their
	// perturbations are removed; from one to the next perturbations shrink
	// by perturbationDecay, the last to below the tolerances.
	maxRounds         = 12
	perturbationDecay = 0.3
)

// stepLimit is the number of iterations after which a run of a simplex method
// counts as cycling: many times what any of the published test programs takes.
func (p *lp) stepLimit() int { return p.iterations + 10000 + 50*len(p.status) }

// mustRefactor tells when updates have grown too many or too costly.
func (f *factor) mustRefactor() bool {
	return f.updates >= refactorInterval || f.etaEntries > 3*(f.factorEntries+f.m)
}

// stop tells whether a limit struck; the context is asked now and then.
func stop(ctx context.Context, limit, iterations int) bool {
	if limit > 0 && iterations >= limit {
		return true
	}
	return iterations%32 == 0 && ctx.Err() != nil
}

// Solve optimises from the current basis.
func (p *lp) Solve(ctx context.Context, maxIterations int) solver.Status {
	status := p.solve(ctx, maxIterations)
	p.keepResult()
	return status
}

func (p *lp) solve(ctx context.Context, maxIterations int) solver.Status {
	if ctx.Err() != nil {
		return solver.Limit
	}
	if !p.scaled {
		p.scaleModel()
	}
	m := len(p.rows)
	if len(p.rho) != m {
		p.column = make([]float64, m)
		p.rho = make([]float64, m)
		p.tau = make([]float64, m)
		p.flips = make([]float64, m)
	}
	limit := 0
	if maxIterations > 0 {
		limit = p.iterations + maxIterations
	}
	p.restore()
	if !p.factorised && !p.refactorise() {
		return solver.Failed
	}
	if p.crossedBounds() {
		return solver.Infeasible
	}
	useDual := true
	accepted := 1.0 // times the tolerances
	size := perturbation / perturbationDecay
	for range maxRounds {
		size *= perturbationDecay
		p.restore()
		if p.factor.updates > 0 && !p.refactorise() {
			return solver.Failed
		}
		p.computeX()
		p.computeD(p.weight)
		feasible := p.worstPrimal() <= float64(accepted*primalTolerance)
		if feasible && p.worstDual() <= float64(accepted*dualTolerance) {
			return solver.Optimal
		}
		before := p.iterations
		var out outcome
		if !feasible && useDual && p.dualFeasible() {
			p.computeX()
			out = p.dual(ctx, limit, size)
			useDual = out != trouble
		} else {
			out = p.primal(ctx, limit, size)
			if p.iterations == before {
				accepted = lastResort
			}
		}
		switch out {
		case stopped:
			p.restore()
			return solver.Limit
		case noSolution:
			return solver.Infeasible
		case noLimit:
			if !p.disturbed() {
				return solver.Unbounded
			}
		}
	}
	return solver.Failed
}

// restore undoes all perturbations and shifts.
func (p *lp) restore() {
	copy(p.low, p.lower)
	copy(p.high, p.upper)
	copy(p.weight, p.cost)
	for v := range p.status {
		if p.status[v] != solver.Basic {
			p.place(int32(v))
		}
	}
}

// disturbed tells whether bounds or costs differ from the given ones.
func (p *lp) disturbed() bool {
	for v := range p.low {
		if p.low[v] != p.lower[v] || p.high[v] != p.upper[v] || p.weight[v] != p.cost[v] {
			return true
		}
	}
	return false
}

func (p *lp) crossedBounds() bool {
	for v := range p.lower {
		if p.lower[v] > p.upper[v]+float64(primalTolerance*max(1, math.Abs(p.upper[v]))) {
			return true
		}
	}
	return false
}

// keepResult stores the point reached in the caller's units.
func (p *lp) keepResult() {
	r := &p.result
	r.primal, r.dual, r.reduced = r.primal[:0], r.dual[:0], r.reduced[:0]
	r.objective = 0
	for _, v := range p.columns {
		x := p.x[v] * p.scale[v]
		r.primal = append(r.primal, x)
		r.reduced = append(r.reduced, p.d[v]/p.scale[v])
		r.objective += float64(p.cost[v] * p.x[v])
	}
	for _, v := range p.rows {
		r.dual = append(r.dual, p.d[v]/p.scale[v])
	}
}
