package nest1d

import (
	"math"
	"slices"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// maxRounds of column generation at the root.
const maxRounds = 5000

func (r *run) engine() solver.Engine {
	if r.options.Engine != nil {
		return r.options.Engine
	}
	return embedded.Engine{}
}

// seed gives a programme its first columns: the plans and patterns known, and for every item
// the bars full of it alone, so that it is feasible as far as supplies allow.
func (r *run) seed(s *master, need []int64, cost func(p *pattern) int64) {
	add := func(p pattern) { s.add(p, float64(cost(&p))) }
	if r.best != nil {
		for _, u := range r.best.uses {
			add(u.pattern)
		}
	}
	for _, p := range r.columns {
		add(p)
	}
	counts := make([]int64, len(need))
	for b := range r.bars {
		if len(r.bars) > seedKinds && r.bars[b].limited() {
			continue
		}
		for i := range counts {
			if need[i] == 0 {
				continue
			}
			counts[i] = 0
			only := make([]int64, len(need))
			only[i] = need[i]
			r.fill(b, only, counts)
			if counts[i] > 0 {
				add(newPattern(b, counts))
			}
			counts[i] = 0
		}
	}
}

// root solves the linear programme and proves the bound. The columns are kept
// for the searches that follow.
func (r *run) root() {
	r.work.allow(r.limits.root)
	need, left := r.demands(), r.supplies()
	if r.best == nil && !r.feasible(need, left) {
		return
	}
	s := newMaster(r.model, r.engine(), need, left, nil)
	defer s.lp.Close()
	r.seed(s, need, r.cost)
	g := &generator{master: s, pricer: r.pricer, need: need, limit: left, smooth: true,
		rounds: maxRounds, states: allStates, work: &r.work}
	g.prove = func(value, upper []int64, scale int64) float64 {
		p := r.prove(value, upper, scale)
		r.improveBound(p)
		return p.worth()
	}
	g.enough = func(objective float64) bool {
		return r.settled() || objective <= float64(r.bound)+epsilon
	}
	g.run(r.ctx)
	r.columns = s.columns
	r.work.Root = r.bound
	r.stopped()
}

// worth is the bound before rounding, to compare proofs by.
func (p *proof) worth() float64 { return float64(p.rest) / float64(p.scale) }

// feasible is phase one: bars cost nothing, pieces left out cost 1 each. When
// the optimum is positive its duals, rounded to integers and with the exact
// knapsack values, are a Farkas certificate that the supplies do not suffice.
func (r *run) feasible(need, left []int64) bool {
	s := newMaster(r.model, r.engine(), need, left, r.fines(1))
	defer s.lp.Close()
	r.seed(s, need, func(*pattern) int64 { return 0 })
	g := &generator{master: s, pricer: r.pricer, need: need, limit: left, free: true,
		rounds: maxRounds, states: allStates, work: &r.work}
	g.prove = func(value, upper []int64, _ int64) float64 {
		return r.exclude(value, upper)
	}
	g.enough = func(objective float64) bool {
		return r.excluded || objective <= epsilon
	}
	end := g.run(r.ctx)
	r.columns = s.columns
	return end != broken && !r.excluded && !r.stopped() && s.short() <= epsilon
}

// exclude checks in integers whether all bars together hold less value than
// the pieces have.
func (r *run) exclude(value, upper []int64) float64 {
	var total, room int64
	for i, it := range r.items {
		v, ok := product(value[i], it.demand)
		if total += v; !ok || total > limit {
			return math.Inf(-1)
		}
	}
	for b := range r.bars {
		if upper[b] == 0 {
			continue
		}
		v, ok := int64(0), r.bars[b].limited()
		if ok {
			v, ok = product(upper[b], r.bars[b].supply)
		}
		if room += v; !ok || room > limit {
			return math.Inf(-1)
		}
	}
	r.excluded = r.excluded || total > room
	return float64(total) - float64(room)
}

// shares of the gap that the closing search goes through. Patterns within a
// small share are few and mostly enough to find a better plan; within the whole
// gap they are all that a better plan can use.
var shares = []int64{32, 8, 1}

// close settles what is left of the gap by listing patterns by their reduced
// costs and searching them all.
func (r *run) close() {
	searched := -1 // patterns in the pool last exhausted
	for _, share := range shares {
		if r.settled() || r.ended() {
			return
		}
		e := r.enumerate(r.strongest(), r.gap()/share, r.limits.patterns, r.limits.listing)
		r.work.count(e.nodes)
		if e.complete && len(e.patterns) == searched {
			continue // the same pool once more
		}
		exhausted, lacking := false, false
		if e.complete {
			exhausted, lacking = r.searchPool(e.patterns)
		} else {
			r.searchColumns()
		}
		switch {
		case exhausted:
			searched = len(e.patterns)
		case lacking && share > 1 && !r.ended():
			continue
		default:
			if !r.ended() {
				r.struck = EffortLimit
			}
			return
		}
	}
	if r.best == nil {
		r.excluded = true
		return
	}
	r.searched = r.value > r.bound
	r.bound = max(r.bound, r.value)
	r.report()
}

// gap is the most by which the reduced costs of a better plan's patterns add up,
// in units of the proof; more than any reduced cost when that is not known.
func (r *run) gap() int64 {
	p := r.strongest()
	room, ok := product(p.scale, max(0, r.toBeat()-1))
	if !ok || p.loose {
		return 4 * limit
	}
	return room - p.rest
}

// strongest is the best proof there is, with cuts or without.
func (r *run) strongest() *strong {
	if r.strong.value != nil && r.strong.worth() > r.proof.worth() {
		return &r.strong
	}
	return &strong{proof: r.proof}
}

// searchColumns searches the patterns generated so far, which proves nothing but
// often finds a plan that the dives passed by.
func (r *run) searchColumns() {
	var fit []pattern
	for _, p := range slices.Concat(r.columns, r.later) {
		if r.bars[p.bar].exact || r.fits(p.bar, r.counts(&p)) {
			fit = append(fit, p)
		}
	}
	r.searchPool(distinct(fit))
}

// toBeat is the cost below which a plan is of interest: that of the best plan,
// or one more when fewer bars at the same cost are sought. While none is known it
// is more than one of the dearest bars for every piece: what costs no less is no plan.
func (r *run) toBeat() int64 {
	if r.best == nil {
		return r.pieces()*r.dearest() + 1 // check keeps this below limit
	}
	if r.fewer < limit {
		return r.value + 1
	}
	return r.value
}

// roundUp raises a bound to a multiple of what all prices have in common.
func (r *run) roundUp(bound int64) int64 {
	var g int64
	for b := range r.bars {
		g = gcd(gcd(g, r.bars[b].price), r.problem.Stocks[r.bars[b].stock].Credit)
	}
	if g < 2 {
		return bound
	}
	return ceilDiv(bound, g) * g
}
