package nest2d

import (
	"context"
	"math"
	"slices"

	"sawbill/nest2d/knapsack"
)

// price looks for layouts that are worth more than they cost, at a point between
// the best duals and the last. It works out a bound, and a proof of it or of a
// lower one: what a search adds is not in the proof.
func (g *generation) price(ctx context.Context, last []float64, weight float64, bound int64) (proof *LayoutProof, reached int64, added, ok bool) {
	dual := slices.Clone(last)
	for i := range dual {
		dual[i] = float64(weight*g.centre[i]) + float64((1-weight)*dual[i])
	}
	worth := make([]int64, len(g.demand))
	proof = &LayoutProof{Kinds: make([]LayoutWorth, len(g.m.kinds))}
	for i := range worth {
		worth[i] = max(0, int64(math.Floor(float64(dual[i]*g.scale))))
		proof.Values = append(proof.Values, worth[i]*knapsack.Scale)
		proof.Need += g.demand[i] * proof.Values[i]
	}
	most := make([]int64, len(g.m.kinds))
	for k := range g.m.kinds {
		if g.m.kinds[k].supply == 0 {
			continue
		}
		cost := float64(g.prices[k])
		if row := g.supply[k]; row >= 0 {
			cost -= dual[row]
		}
		p := g.m.knapsack(k, worth, g.units[k])
		var r knapsack.Result
		var err error
		if g.limited {
			o := knapsack.Options{Work: max(g.work/pricings, 1), Charges: g.charges[k]}
			if g.rounds++; !g.anew && g.rounds%exactly != 0 {
				o.Enough = int64(math.Ceil(float64(cost*g.scale)*(1+relaxed))) + 1
				o.Target = o.Enough
			} else if g.m.bought() == 1 && bound > 0 {
				o.Enough = (proof.Need/knapsack.Scale - 1) / max(bound/max(g.prices[k], 1), 1)
			}
			r, err = knapsack.Bounded(ctx, p, o)
		} else {
			r, err = knapsack.Unbounded(p)
			r.Relaxed, r.Charges = r.Bound*knapsack.Scale, make([]int64, len(worth))
		}
		if err != nil {
			return nil, 0, false, false
		}
		if g.limited {
			g.charges[k] = r.Charges
		}
		g.work -= r.Work
		most[k] = min(r.Relaxed, r.Bound*knapsack.Scale)
		proof.Kinds[k] = LayoutWorth{r.Relaxed, slices.Clone(r.Charges), g.units[k]}
		added = g.addAll(ctx, k, p, r, last) || added
	}
	p := proof.purchase(g.m)
	proof.Bound = p.least()
	p = proof.purchase(g.m)
	for k := range p.offers {
		p.offers[k].worth = most[k]
	}
	g.centred(dual, p)
	g.anew = false
	return proof, max(p.least(), proof.Bound), added, true
}

// addAll adds a layout of the panels of a knapsack if it pays, and more that do
// of the panels it leaves.
func (g *generation) addAll(ctx context.Context, k int, p knapsack.Problem, r knapsack.Result, last []float64) (added bool) {
	for counts := r.Counts(len(g.demand)); g.pays(k, counts, last); counts = r.Counts(len(g.demand)) {
		added = true
		g.addLayout(k, counts, r.Root)
		for i, n := range counts {
			left := max(p.Panels[i].Most-n, 0)
			if p.Panels[i].Most = left; left == 0 {
				p.Panels[i].Value = 0
			}
		}
		var err error
		if g.limited {
			r, err = knapsack.Bounded(ctx, p, knapsack.Options{Work: 1})
		} else {
			r, err = knapsack.Unbounded(p)
		}
		if err != nil {
			break
		}
		g.work -= r.Work
	}
	return added
}

// pays tells that a layout's panels are worth more than it costs.
func (g *generation) pays(kind int, counts []int64, dual []float64) bool {
	cost := float64(g.prices[kind])
	if row := g.supply[kind]; row >= 0 {
		cost -= dual[row]
	}
	worth := 0.0
	for i, n := range counts {
		worth += float64(float64(n) * dual[i])
	}
	return worth > cost*(1+relaxed)
}

// centred keeps duals, with what sheets are worth by them, if their bound is the best.
func (g *generation) centred(dual []float64, p *purchase) {
	reached, unit := p.fraction()
	if reached <= g.reached || math.IsInf(reached, 1) {
		return
	}
	g.reached = reached
	copy(g.centre, dual)
	for i := range g.demand {
		g.centre[i] *= unit * g.scale * knapsack.Scale
	}
	for _, o := range p.offers {
		if row := g.supply[o.kind]; row >= 0 {
			g.centre[row] = min(0, float64(o.price)-float64(float64(o.worth)*unit))
		}
	}
}

// certified starts the duals from what a certificate says that panels are worth.
func (g *generation) certified(c Certificate) {
	g.centre = make([]float64, g.lp.NumRows())
	if len(c.Kinds) == 0 {
		return
	}
	dual := make([]float64, g.lp.NumRows())
	for i, v := range c.Values(g.m.problem) {
		dual[i] = float64(v) / g.scale / knapsack.Scale
	}
	g.centred(dual, c.purchase(g.m))
}
