package nest2d

import (
	"cmp"
	"context"
	"slices"

	"sawbill/nest2d/knapsack"
	"sawbill/solver"
)

// Where few mixes of sheets are cheaper than the best plan, each is put to a linear
// program of its own: layouts are generated with the mix for a supply. That proves
// more than one program for all mixes, in which fractions of dear sheets stand in for
// what no whole number of cheap ones can do. What it proves of a mix is an inequality
// over all mixes (see LayoutProof) that this one and all parts of it violate.

// refuted is what sheets cost at most in the program of a mix.
const refuted = 1_000_000

// refute raises the bound to the cost of the cheapest mix that is not proved too
// small, and lessens the work it may take by what it did.
func (r *run) refute(ctx context.Context, work *int64) {
	m := r.search.m
	if m.problem.Free || len(m.problem.Panels) > mostGenerated || r.settled() || r.options.AnyPlan {
		return
	}
	list, all := r.listMixes(false)
	if !all {
		return
	}
	slices.SortStableFunc(list, func(a, b mix) int { return cmp.Compare(a.cost, b.cost) })
	var proofs []*LayoutProof
	for i := range list {
		x := &list[i]
		if !slices.ContainsFunc(proofs, func(p *LayoutProof) bool { return !p.purchase(m).reached(x.counts) }) {
			proof := r.tooSmall(ctx, *x, work)
			if proof == nil {
				r.raise(x.cost)
				return
			}
			proofs = append(proofs, proof)
			if proof.Bound = proof.purchase(m).least(); proof.Bound > r.proved() {
				r.result.Certificate.Layouts = proof
			}
		}
	}
	r.raise(r.best.cost)
}

// raise raises the bound to what was proved and is not in the certificate.
func (r *run) raise(bound int64) {
	if bound > r.bound {
		r.bound, r.enumerated = bound, true
		r.report()
	}
}

// tooSmall is a proof that a mix does not hold all panels, or nil.
func (r *run) tooSmall(ctx context.Context, x mix, work *int64) *LayoutProof {
	m := *r.search.m
	m.kinds = slices.Clone(m.kinds)
	largest, total := int64(1), 0.0
	for k, n := range x.counts {
		if m.kinds[k].supply = n; n > 0 {
			largest = max(largest, m.kinds[k].area)
		}
	}
	for k, n := range x.counts {
		m.kinds[k].price = int64(float64(m.kinds[k].area) / float64(largest) * refuted)
		total += float64(n * m.kinds[k].price)
	}
	g := m.generation(*work)
	if g == nil {
		return nil
	}
	defer g.lp.Close()
	defer func() { *work = g.work }()
	g.shelf = r.shelf
	g.certified(m.certify(r.effort.bound / mixes))
	for raster := coarsest; ; raster *= 2 {
		g.measure(min(raster, r.effort.raster))
		proof, ok := g.excess(ctx, total)
		if proof != nil && !r.search.m.complete(g, proof) {
			return nil
		}
		if proof != nil || !ok || raster >= r.effort.raster {
			return proof
		}
	}
}

// complete works out what the sheets are worth of which the mix had none, so that the
// proof speaks of all mixes. It tells whether numbers are not too large for that.
func (m *model) complete(g *generation, proof *LayoutProof) bool {
	values := slices.Clone(proof.Values)
	for i := range values {
		values[i] /= knapsack.Scale
	}
	for k := range m.kinds {
		if m.kinds[k].supply == 0 || g.m.kinds[k].supply > 0 {
			continue
		}
		v, err := knapsack.Unbounded(m.knapsack(k, values, g.units[k]))
		if err != nil {
			return false
		}
		proof.Kinds[k] = LayoutWorth{v.Bound * knapsack.Scale, make([]int64, len(values)), g.units[k]}
		g.work -= v.Work
	}
	return true
}

// excess generates layouts until the panels are proved to be worth more than all sheets
// there are, of so much price in total, or until that cannot be. It is not ok when the
// work ran out.
func (g *generation) excess(ctx context.Context, total float64) (proof *LayoutProof, ok bool) {
	for {
		if g.work < 0 || ctx.Err() != nil || g.lp.Solve(ctx, 0) != solver.Optimal {
			return nil, false
		}
		if g.lp.Objective() < total*(1+relaxed) {
			return nil, true
		}
		dual := g.lp.Dual(nil)
		if g.addShelved(dual) {
			continue
		}
		for weight, found := pull, false; !found; weight -= 1 - pull {
			if g.anew {
				weight = 1
			}
			proof, bound, added, ok := g.price(ctx, dual, max(weight, 0), 0)
			if ok && bound < 0 && proof.Bound < 0 {
				return proof, true
			}
			if !ok || g.work < 0 || ctx.Err() != nil {
				return nil, false
			}
			if !added && weight < (1-pull)/2 {
				return nil, true
			}
			found = added
		}
	}
}
