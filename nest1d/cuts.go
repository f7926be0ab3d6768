package nest1d

import (
	"slices"
)

// Cuts of rank one close most of what is left between the programme and the best
// plan where no plan is as good as the programme rounded up: Chvátal–Gomory cuts of
// the rows of one to five items. With three items and multipliers of a half they
// are the subset-row inequalities of Jepsen, Petersen, Spoorendonk and Pisinger
// (Operations Research 56 (2008) 497–511); those of more rows are of Pecin, Pessoa,
// Poggi, Uchoa and Santos (Operations Research Letters 45 (2017) 206–209). Pieces
// too many can be dropped from any plan, so that plans may be taken to cut every
// piece exactly, and then with whole mᵢ and d
//
//	Σ ⌊Σᵢ mᵢ·aᵢⱼ / d⌋·xⱼ ≤ ⌊Σᵢ mᵢ·demandᵢ / d⌋     i over the items of the cut.
//
// With duals σ of the cuts a bar holds at most Vₖ = max Σ valueᵢ·aᵢ − Σ σ·⌊Σ mᵢ·aᵢ/d⌋,
// and every purchase n has Σ Vₖ·nₖ ≥ Σ valueᵢ·demandᵢ − Σ σ·⌊Σ mᵢ·demandᵢ/d⌋. Vₖ is
// found by branch and bound in integers, so that the bound holds whatever the
// programme's floats are.

// rankOne is one cut, its items ascending, each with its multiplier.
type rankOne struct {
	items []int32
	times []int64
	by    int64 // the divisor d
	right int64
}

// strong is a proof with cuts.
type strong struct {
	proof
	cuts  []rankOne
	sigma []int64
}

// cutting is the programme with cuts.
type cutting struct {
	*run
	s    *master
	need []int64
	left []int64
	// solved says that the programme of the root was solved to its end.
	solved bool
	cuts   []rankOne
	rows   []int
	known  map[string]bool
	// decided are the decisions of the node being searched, nil at the root, and
	// nodeBound what is proved of it.
	decided   *pairs
	nodeBound int64
}

// Sizes of the cutting stage.
const (
	cutItems   = 1_000 // items beyond which there are too many triples
	cutRounds  = 150
	cutsAtOnce = 30
	leastCut   = 0.01 // by which a cut must be violated
	idleCuts   = 25   // rounds without progress after which it ends
)

// strengthen adds cuts to the root programme and proves what that gives.
func (r *run) strengthen() {
	if r.limits.cutting == 0 || r.parted() || len(r.items) > cutItems || r.best == nil {
		return
	}
	r.work.allow(r.limits.cutting)
	c := &cutting{run: r, need: r.demands(), left: r.supplies(), known: map[string]bool{}}
	c.s = newMaster(r.model, r.engine(), c.need, c.left, nil)
	defer c.s.lp.Close()
	c.s.shares = c.shares
	for _, p := range distinct(slices.Concat(r.columns, r.later)) {
		c.add(p)
	}
	before, idle := 0.0, 0
	for range cutRounds {
		if c.solved = c.generate(); !c.solved || r.settled() {
			break
		}
		now := c.s.lp.Objective()
		if idle++; now > before+1e-4 {
			before, idle = now, 0
		}
		if idle == idleCuts || !c.separate() {
			break
		}
	}
	if !r.settled() && !r.stopped() && c.solved {
		c.branch()
	}
	r.later = append(r.later, c.s.columns...)
	r.stopped()
}

// shares are a pattern's values in the rows of the cuts.
func (c *cutting) shares(p *pattern) (rows []int32, values []float64) {
	for k := range c.cuts {
		if n := c.cuts[k].share(p); n > 0 {
			rows, values = append(rows, int32(c.rows[k])), append(values, float64(n))
		}
	}
	return rows, values
}

// add takes a pattern as a column unless it is known.
func (c *cutting) add(p pattern) bool { return c.s.add(p, float64(c.cost(&p))) }

// share is how often a pattern counts in the cut.
func (k *rankOne) share(p *pattern) int64 {
	n := int64(0)
	for _, e := range p.items {
		if i := slices.Index(k.items, e.item); i >= 0 {
			n += k.times[i] * int64(e.count)
		}
	}
	return n / k.by
}

// generate solves the programme with the cuts there are, and proves the bound. It
// is false when that cannot be done to the end.
func (c *cutting) generate() bool {
	r := c.run
	exact := false
	for range maxRounds {
		if r.stopped() {
			return false
		}
		before := c.s.lp.Iterations()
		value, rent, ok := c.s.solve(r.ctx)
		r.work.iterate(c.s.lp.Iterations()-before, c.s.lp.NumRows(), c.s.lp.NumColumns())
		if !ok {
			return false
		}
		dual := c.s.lp.Dual(nil)
		sigma := make([]float64, len(c.cuts))
		var prices, weight float64
		for k, row := range c.rows {
			sigma[k] = max(0, -dual[row])
			weight += sigma[k] * float64(c.cuts[k].right+1)
		}
		for b := range r.bars {
			prices = max(prices, float64(r.bars[b].price)+rent[b])
		}
		scale := scaleFor(value, c.need, prices+weight)
		if scale == 0 {
			return false
		}
		gained, upper, aborted := c.price(floorAll(value, scale), floorAll(sigma, scale), floorAll(rent, scale), scale, exact)
		if !aborted {
			c.prove(floorAll(value, scale), floorAll(sigma, scale), upper, scale)
			if r.settled() || c.nodeBound >= r.toBeat() {
				return true
			}
		}
		switch {
		case gained > 0:
			exact = false
		case aborted && !exact:
			exact = true
		default:
			return !aborted
		}
	}
	return false
}

// prove keeps the proof when it is the best with cuts.
func (c *cutting) prove(value, sigma, upper []int64, scale int64) {
	less := int64(0)
	for k := range c.cuts {
		v, ok := product(sigma[k], c.cuts[k].right)
		if less += v; !ok || less > limit {
			return
		}
	}
	p := c.run.model.proveLess(value, upper, scale, less)
	if c.decided != nil {
		c.nodeBound = max(c.nodeBound, c.run.attainable(&p))
		return
	}
	if p.loose || c.run.strong.value != nil && p.worth() <= c.run.strong.worth() {
		return
	}
	c.run.strong = strong{p, slices.Clone(c.cuts), slices.Clone(sigma)}
	if b := c.run.attainable(&p); b == limit {
		c.run.excluded = true
	} else if b > c.run.bound {
		c.run.bound, c.run.searched = b, true
		c.run.report()
	}
}

// Nodes of one pricing with cuts.
const (
	quickCutNodes = 40_000
	allCutNodes   = 4_000_000
)

// price finds patterns that improve the programme and the most that each bar holds.
func (c *cutting) price(value, sigma, rent []int64, scale int64, exact bool) (gained int, upper []int64, aborted bool) {
	r := c.run
	r.work.Rounds++
	upper = make([]int64, len(r.bars))
	for b := range r.bars {
		if c.left[b] == 0 {
			continue
		}
		paid := r.bars[b].price*scale + rent[b]
		floor := paid + max(paid, scale)>>toleranceBits
		need := slices.Clone(c.need)
		for n := 0; n <= max(2, columnsWanted/len(r.bars)); n++ {
			k := c.grouped(b, value, need, sigma)
			if n == 0 {
				r.work.count(k.tabulate(&r.scratch))
			}
			budget := int64(quickCutNodes)
			if exact && n == 0 {
				budget = allCutNodes
			}
			if n > 0 {
				budget = quickCutNodes / 10
			}
			k.search(floor, budget)
			r.work.count(k.nodes)
			if n == 0 {
				upper[b] = max(floor, k.top)
				if k.aborted {
					aborted = true
				}
			}
			if !k.found {
				break
			}
			counts := k.spread(len(need))
			p := newPattern(b, counts)
			if !r.bars[b].exact {
				if !r.fits(b, counts) {
					break
				}
			}
			if c.add(p) {
				r.work.Columns++
				gained++
			}
			if !(knapsacks{r.model}).reduce(need, counts) {
				break
			}
		}
	}
	r.work.count(r.takeUncounted())
	return gained, upper, aborted
}

// penalised is a knapsack from whose value the cuts' duals are taken.
type penalised struct {
	branch
	cutsOf [][]member // per place in the knapsack
	cuts   []rankOne
	sigma  []int64
	held   []int64 // copies in each cut, times their multipliers
	// members are the items of each group where several are taken as one, against
	// the places that may not be with one, and blocked how many of those are in.
	members [][]int32
	against [][]int32
	blocked []int32
}

// member is a cut that an item is in, with its multiplier there.
type member struct {
	cut   int32
	times int64
}

func newPenalised(k *knapsack, cuts []rankOne, sigma []int64) *penalised {
	p := &penalised{branch: branch{knapsack: k}, cutsOf: make([][]member, len(k.weight)), cuts: cuts, sigma: sigma, held: make([]int64, len(cuts))}
	place := map[int32]int{}
	for i, x := range k.index {
		place[x] = i
	}
	for c := range cuts {
		if sigma[c] == 0 {
			continue
		}
		for n, x := range cuts[c].items {
			if i, in := place[x]; in {
				p.cutsOf[i] = append(p.cutsOf[i], member{int32(c), cuts[c].times[n]})
			}
		}
	}
	return p
}

// put changes how many copies of place i are in, and returns what that costs.
func (p *penalised) put(i int, by int64) int64 {
	cost := int64(0)
	if p.against != nil {
		for _, k := range p.against[i] {
			if by > 0 {
				p.blocked[k]++
			} else {
				p.blocked[k]--
			}
		}
	}
	for _, m := range p.cutsOf[i] {
		was, d := p.held[m.cut], p.cuts[m.cut].by
		p.held[m.cut] += by * m.times
		cost += p.sigma[m.cut] * (p.held[m.cut]/d - was/d)
	}
	return cost
}

// search is branch.search with penalties.
func (p *penalised) search(floor, budget int64) {
	p.top, p.budget = floor, budget
	p.now, p.best = make([]int64, len(p.weight)), make([]int64, len(p.weight))
	p.descend(0, p.capacity, 0)
}

func (p *penalised) descend(i int, rest, value int64) {
	p.nodes++
	if p.nodes > p.budget {
		p.aborted = true
		return
	}
	if value > p.top {
		p.top, p.found = value, true
		copy(p.best, p.now)
	}
	for ; i < len(p.weight) && p.lightest[i] <= rest; i++ {
		w := p.weight[i]
		if w > rest || p.blocked != nil && p.blocked[i] > 0 {
			continue
		}
		if !p.reach(i, rest, p.top+1-value) {
			return
		}
		most := min(p.count[i], rest/w)
		for n := most; n > 0; n-- {
			cost := p.put(i, n)
			p.now[i] = n
			p.descend(i+1, rest-n*w, value+n*p.knapsack.value[i]-cost)
			p.put(i, -n)
			p.now[i] = 0
			if p.aborted {
				return
			}
			// A table is exact: fewer copies may make up what one less does not.
			if p.table == nil && !p.reach(i+1, rest-(n-1)*w, p.top+1-value-(n-1)*p.knapsack.value[i]) {
				return
			}
		}
	}
}

// spread spreads the best content over all items of the model.
func (p *penalised) spread(items int) []int64 {
	if p.members == nil {
		return p.contents(items)
	}
	c := make([]int64, items)
	for at, g := range p.index {
		for _, i := range p.members[g] {
			c[i] = p.best[at]
		}
	}
	return c
}
