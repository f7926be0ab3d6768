package nest1d

import (
	"math"
	"math/rand/v2"
	"slices"

	"sawbill/solver"
)

// dives rounds the root programme: patterns are fixed, the programme of what
// remains is solved anew with new columns, until nothing remains (diving with
// strong regard to limited discrepancy: Sadykov, Vanderbeck, Pessoa, Tahiri and
// Uchoa, INFORMS Journal on Computing 31 (2019) 251–267). The first dive takes
// the greatest value each time, later ones are led astray by the seed.
func (r *run) dives() {
	r.work.allow(r.limits.dives)
	r.dive(nil, r.supplies())
	if len(r.bars) > 1 {
		for _, t := range r.targets(r.limits.diving) {
			if r.settled() || r.stopped() {
				return
			}
			if t.cost < r.value || r.best == nil {
				r.dive(nil, t.bars)
			}
		}
	}
	for n := range r.limits.diving - 1 {
		if r.settled() || r.stopped() {
			return
		}
		r.dive(rand.New(rand.NewPCG(uint64(r.options.Seed), uint64(n))), r.supplies())
	}
}

// diveRounds of column generation after each fixing.
const diveRounds = 40

// near is the fraction from which a value is rounded up together with the
// greatest one.
const near = 0.85

// dive once, with the bars in left.
func (r *run) dive(random *rand.Rand, left []int64) {
	need := r.demands()
	s := newMaster(r.model, r.engine(), need, left, r.fines(r.fine()))
	defer s.lp.Close()
	for i := range r.columns {
		s.add(r.columns[i], float64(r.cost(&r.columns[i])))
	}
	before := len(s.columns)
	defer func() { r.later = append(r.later, s.columns[before:]...) }()
	g := &generator{master: s, pricer: r.pricer, need: need, limit: left, rounds: diveRounds, work: &r.work, states: fewStates}
	var fixed plan
	build := &builder{m: r.model, most: limit}
	for anyPositive(need) && !r.settled() && !r.stopped() {
		if g.run(r.ctx) == broken || r.ended() {
			return // without values to round
		}
		spent := r.planCost(&fixed)
		if r.best != nil && float64(spent)+g.lp.Objective() > float64(r.toBeat()-1)+epsilon {
			return
		}
		if !r.fix(g, &fixed, random) {
			return
		}
		s.narrow(need, left)
		r.complete(build, &fixed, need, left)
		r.work.count(build.nodes + r.takeUncounted())
		build.nodes = 0
	}
}

// fine for a piece left out of a dive: more than any plan gains by it.
func (r *run) fine() float64 { return 4*float64(r.dearest()) + 1 }

// fines are the same fine for every item.
func (m *model) fines(fine float64) []float64 { return slices.Repeat([]float64{fine}, len(m.items)) }

// leastFines for a piece left out of an exact search: what a bar for it alone
// costs and a little, where one can be had in any case. Fines close to the
// prices keep the duals precise when one bar costs a thousand times another.
func (r *run) leastFines(left []int64) []float64 {
	fines := r.fines(r.fine())
	if r.dearest()/farApart < r.cheapest() {
		return fines // dear fines find plans sooner
	}
	for b := range r.bars {
		k := &r.bars[b]
		if left[b] != Unlimited && left[b] < r.pieces() {
			continue
		}
		for i := range fines {
			if k.weight[i] <= k.capacity {
				fines[i] = min(fines[i], float64(1.01*float64(k.price))+1)
			}
		}
	}
	return fines
}

// farApart is the ratio of prices from which fines at the dearest would blur
// the duals of the cheapest.
const farApart = 1000

// cheapest is the least price of a bar that costs anything.
func (m *model) cheapest() int64 {
	least := limit
	for b := range m.bars {
		if p := m.bars[b].price; p > 0 {
			least = min(least, p)
		}
	}
	return least
}

// dearest is the price of the dearest bar.
func (m *model) dearest() int64 {
	var most int64
	for b := range m.bars {
		most = max(most, m.bars[b].price)
	}
	return most
}

// fix rounds down what is at least 1 and, if nothing is, rounds up the greatest
// value and those close to 1. It reports whether anything was fixed.
func (r *run) fix(g *generator, fixed *plan, random *rand.Rand) bool {
	x := append([]float64(nil), g.primal()...)
	whole := false
	for j, v := range x {
		if n := int64(math.Floor(v + epsilon)); n > 0 {
			whole = r.settle(g, j, n, fixed) || whole
		}
	}
	if whole {
		return true
	}
	done := false
	for j := range x {
		x[j] -= math.Floor(x[j] + epsilon)
		if random != nil && x[j] > epsilon {
			x[j] *= 0.6 + float64(0.4*random.Float64())
		}
	}
	for n, j := range descending(x) {
		if n > 0 && x[j] < near {
			break
		}
		done = r.settle(g, j, 1, fixed) || done
	}
	return done
}

// settle fixes up to n bars of a column, cut down to what is still needed.
func (r *run) settle(g *generator, j int, n int64, fixed *plan) bool {
	p := &g.columns[j]
	counts := make([]int64, len(g.need))
	for _, e := range p.items {
		counts[e.item] = min(int64(e.count), g.need[e.item])
	}
	if !r.bars[p.bar].exact {
		order := make([]int32, len(counts))
		for i := range order {
			order[i] = int32(i)
		}
		r.repair(p.bar, counts, order)
	}
	q := newPattern(p.bar, counts)
	if len(q.items) == 0 {
		return false
	}
	n = min(n, r.repeats(&q, g.need, g.limit))
	if n <= 0 {
		return false
	}
	r.take(&q, n, g.need, g.limit)
	fixed.uses = append(fixed.uses, use{q, n})
	return true
}

// narrow sets the programme to what remains, and bars columns that hold more
// of an item than is needed: the programme of proper patterns is tighter.
func (s *master) narrow(need, left []int64) {
	for i, n := range need {
		s.lp.SetRowBounds(i, float64(n), solver.Inf)
	}
	for b, row := range s.supplyOf {
		if row >= 0 {
			s.lp.SetRowBounds(row, -solver.Inf, float64(left[b]))
		}
	}
	for j, p := range s.columns {
		for _, e := range p.items {
			if int64(e.count) > need[e.item] {
				s.lp.SetColumnBounds(s.offset+j, 0, 0)
				break
			}
		}
	}
}

// complete finishes a partial plan with the fast heuristics.
func (r *run) complete(g *builder, fixed *plan, need, left []int64) {
	try := func(o outcome) {
		if o.done {
			p := fixed.clone()
			p.uses = append(p.uses, o.plan.uses...)
			r.tidy(p)
			r.offer(p)
		}
	}
	g.correctValues(need, left, 2, cheapest, func(o outcome) { try(o) })
}
