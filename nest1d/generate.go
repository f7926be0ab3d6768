package nest1d

import (
	"context"
	"math"
)

// generator is column generation (Gilmore and Gomory, Operations Research 9
// (1961) 849–859 and 11 (1963) 863–888) on one master programme. The duals it
// prices with are smoothed towards those of the best bound so far (Wentges,
// International Transactions in Operational Research 4 (1997) 151–162); when
// smoothed duals bring nothing, the plain ones are used for that round.
type generator struct {
	*master
	pricer pricer
	need   []int64
	limit  []int64
	free   bool // bars cost nothing: phase one, where only missing pieces cost
	smooth bool
	rounds int // most rounds
	// prove, when set, is shown every set of integer duals with the proved
	// upper bounds and returns the bound they give, for smoothing.
	prove func(value, upper []int64, scale int64) float64
	// enough, when set, ends the generation early, given the programme's value.
	enough func(objective float64) bool
	states int // to spend on exact pricing of one bar
	work   *meter

	centre     duals
	centreGain float64
}

type duals struct {
	value []float64 // per item
	rent  []float64 // per bar
}

// finish tells how column generation ended.
type finish int

const (
	optimal finish = iota // no pattern improves the programme
	early                 // enough said so
	cut                   // rounds or context ended, or pricing was not exact
	broken                // the linear programme failed
)

// smoothing is the weight of the best duals so far.
const smoothing = 0.7

// columnsWanted a round over all bars.
const columnsWanted = 24

func (g *generator) price(b int) int64 {
	if g.free {
		return 0
	}
	return g.m.bars[b].price
}

func (g *generator) run(ctx context.Context) finish {
	g.centreGain = math.Inf(-1)
	exact := false
	weight := smoothing
	for range g.rounds {
		if ctx.Err() != nil || g.work.spent() {
			return cut
		}
		before := g.lp.Iterations()
		value, rent, ok := g.master.solve(ctx)
		g.work.iterate(g.lp.Iterations()-before, g.lp.NumRows(), g.lp.NumColumns())
		if !ok {
			if ctx.Err() != nil {
				return cut
			}
			return broken
		}
		if g.enough != nil && g.enough(g.lp.Objective()) {
			return early
		}
		plain := duals{value, rent}
		for {
			at := plain
			if g.smooth && weight > 0 && g.centre.value != nil {
				at = mix(g.centre, plain, weight)
			}
			gained, aborted := g.round(at, plain, exact)
			if g.enough != nil && g.enough(math.Inf(1)) {
				return early
			}
			if gained > 0 {
				exact = false
				weight = smoothing
				break
			}
			switch {
			case g.smooth && weight > 0 && g.centre.value != nil:
				weight = 0
			case aborted && !exact:
				exact = true
			case aborted:
				return cut
			default:
				return optimal
			}
		}
	}
	return cut
}

// round prices once and returns how many new patterns improve the programme.
func (g *generator) round(at, plain duals, exact bool) (gained int, aborted bool) {
	g.work.Rounds++
	var prices float64
	for b := range g.m.bars {
		prices = max(prices, float64(g.price(b))+at.rent[b])
	}
	scale := scaleFor(at.value, g.need, prices)
	if scale == 0 {
		return 0, true
	}
	q := &query{value: floorAll(at.value, scale), need: g.need, limit: g.limit}
	if exact {
		q.states = g.states
	}
	if !g.free {
		q.scale = scale
	}
	q.columns = max(2, columnsWanted/len(g.m.bars))
	rent := floorAll(at.rent, scale)
	q.floor = make([]int64, len(rent))
	for b := range q.floor {
		// A little more than the price, beyond the programme's own tolerance.
		paid := g.price(b)*scale + rent[b]
		q.floor[b] = paid + max(paid, scale)>>toleranceBits
	}
	a := g.pricer.price(q)
	g.work.count(a.nodes)
	if g.prove != nil {
		if gain := g.prove(q.value, a.upper, scale); gain > g.centreGain {
			g.centre, g.centreGain = at, gain
		}
	}
	need := make([]int64, len(g.need))
	for i := range a.patterns {
		p := &a.patterns[i]
		if b := &g.m.bars[p.bar]; (b.exact || b.sections != nil) && g.m.credit(p) == 0 {
			clear(need)
			for _, e := range p.items {
				need[e.item] = int64(e.count)
			}
			*p = newPattern(p.bar, g.m.fill(p.bar, g.need, need))
		}
		worth := -plain.rent[p.bar]
		for _, e := range p.items {
			worth += float64(plain.value[e.item] * float64(e.count))
		}
		cost := float64(g.price(p.bar))
		if !g.free {
			cost = float64(g.m.cost(p))
		}
		if g.add(*p, cost) {
			g.work.Columns++
			if paid := cost + plain.rent[p.bar]; worth > cost+float64(max(1, paid)*improvement) {
				gained++
			}
		}
	}
	g.work.count(g.m.takeUncounted())
	return gained, a.aborted
}

// improvement is the least relative reduced cost that counts as progress;
// toleranceBits makes the same of integers, a little wider.
const (
	improvement   = 1e-9
	toleranceBits = 30
)

func mix(a, b duals, weight float64) duals {
	blend := func(x, y []float64) []float64 {
		out := make([]float64, len(x))
		for i := range out {
			out[i] = float64(weight*x[i]) + float64((1-weight)*y[i])
		}
		return out
	}
	return duals{blend(a.value, b.value), blend(a.rent, b.rent)}
}
