package nest2d

import (
	"context"

	"sawbill/solver"
)

// inStrips looks for cheaper plans by strips, in two stages and, where a third is
// allowed, in three; with two at most it raises the bound too. Lines are measured in so
// many units, about.
func (r *run) inStrips(ctx context.Context, work, units int64) {
	m, p := r.search.m, r.search.m.problem
	if r.bound < 0 || r.options.AnyPlan || p.Free || p.Stages == 1 {
		return
	}
	if p.Stages != 2 {
		work /= 2
	}
	two := m.staging(2, p.Stages == 2 && !p.TrimCut, work, units)
	if two == nil {
		return
	}
	defer two.lp.Close()
	if two.solved(ctx, r.raised(p.Stages == 2)) {
		r.round(ctx, two)
	}
	if p.Stages == 2 || r.settled() {
		return
	}
	three := m.staging(3, p.Stages == 3 && !p.TrimCut, work, units)
	if three == nil {
		return
	}
	defer three.lp.Close()
	three.seed(two)
	// Its last rounds are long and change little.
	three.work -= work / 2
	three.solved(ctx, nil)
	three.work += work / 2
	r.round(ctx, three)
}

// raised raises the bound by a program, and is nil when that is not one of all plans.
func (r *run) raised(all bool) func(*staging) {
	if !all {
		return nil
	}
	return func(g *staging) { r.raise(g.bound()) }
}

// solved solves the program, with cuts where it is told of each bound, and tells
// whether the work sufficed.
func (g *staging) solved(ctx context.Context, bounded func(*staging)) bool {
	for {
		solved, all := g.converge(ctx, mostRounds)
		if !solved {
			return false
		}
		g.relaxed = g.lp.Objective()
		if bounded != nil {
			bounded(g)
		}
		if !all || bounded == nil || !g.cut(ctx) {
			return all
		}
	}
}

// round looks for cheaper plans by rounding what the program says.
func (r *run) round(ctx context.Context, g *staging) {
	for n := 0; n < mostDives && !r.settled() && g.work > 0 && ctx.Err() == nil; n++ {
		l := r.below()
		most := solver.Inf
		if l.cost != noBudget {
			most = float64(l.cost) / g.unit * (1 + coverSlack)
		}
		if g.relaxed > most { // dives begin there
			return
		}
		dive := g.dive
		if len(g.slicings) > 1 && n%2 == 0 {
			dive = g.fillSheets
		}
		if d := dive(ctx, most, r.search.random.Float64); d != nil && d.cost <= l.cost {
			r.best = d
			r.report()
		}
	}
}
