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
	sets   []set // that nodes have limited, each with its row
	setRow []int
	relief int32 // the column that makes up for bars missing in sets
	// decided are the decisions of the node being searched, nil at the root, and
	// nodeBound what is proved of it.
	decided   *decisions
	nodeBound int64
}

// Sizes of the cutting stage.
const (
	cutItems   = 1_000 // items beyond which there are too many triples
	cutRounds  = 150
	cutsAtOnce = 30
	leastCut   = 0.01  // by which a cut must be violated
	idleCuts   = 25    // rounds without progress after which it ends
	nodeCounts = 5_000 // of the search over purchases of a node
	firstShare = 6     // of the work is spent before patterns are listed, where bars are not plain
)

// strengthen adds cuts to the root programme and proves what that gives.
func (r *run) strengthen(allowance int64) {
	if r.limits.cutting == 0 || r.parted() || len(r.items) > cutItems || r.best == nil {
		return
	}
	r.work.allow(allowance)
	c := r.newCutting()
	defer c.s.lp.Close()
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

// newCutting makes the programme of all patterns known. With several kinds of bar
// each has a row that counts its bars, and pieces may be left out for a fine, so
// that decisions on a node never leave it without a solution.
func (r *run) newCutting() *cutting {
	c := &cutting{run: r, need: r.demands(), left: r.supplies(), known: map[string]bool{}}
	var fines []float64
	if !r.plainBar() {
		pieces := r.pieces()
		for b, n := range c.left {
			if n == Unlimited {
				c.left[b] = pieces
			}
		}
		fines = r.fines(r.fine())
	}
	c.s = newMaster(r.model, r.engine(), c.need, c.left, fines)
	c.relief = int32(c.s.relieve(r.fine()))
	c.s.shares = c.shares
	for _, p := range distinct(slices.Concat(r.columns, r.later)) {
		c.add(p)
	}
	return c
}

// plainBar says that there is one kind of bar, that it does not run out, and that
// any of its contents whose weight fits does.
func (r *run) plainBar() bool {
	return len(r.bars) == 1 && !r.bars[0].limited() && r.bars[0].exact
}

// shares are a pattern's values in the rows of the cuts and sets.
func (c *cutting) shares(p *pattern) (rows []int32, values []float64) {
	for k := range c.cuts {
		if n := c.cuts[k].share(p); n > 0 {
			rows, values = append(rows, int32(c.rows[k])), append(values, float64(n))
		}
	}
	for n := range c.sets {
		if c.sets[n].holds(-1, p) {
			rows, values = append(rows, int32(c.setRow[n])), append(values, 1)
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
		value, _, ok := c.s.solve(r.ctx)
		r.work.iterate(c.s.lp.Iterations()-before, c.s.lp.NumRows(), c.s.lp.NumColumns())
		if !ok {
			return false
		}
		d, ok := c.duals(value)
		if !ok {
			return false
		}
		gained, upper, aborted := c.price(d, exact)
		if !aborted {
			c.prove(d, upper)
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
func (c *cutting) prove(d *rowDuals, upper []int64) {
	less, ok := d.less(c)
	if !ok {
		return
	}
	p := c.run.model.proveLess(d.value, upper, d.scale, less)
	if c.decided != nil {
		c.nodeBound = max(c.nodeBound, c.run.attainableWithin(&p, c.decided.box, nodeCounts))
		return
	}
	if p.loose || c.run.strong.value != nil && p.worth() <= c.run.strong.worth() {
		return
	}
	c.run.strong = strong{p, slices.Clone(c.cuts), slices.Clone(d.sigma)}
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
func (c *cutting) price(d *rowDuals, exact bool) (gained int, upper []int64, aborted bool) {
	r := c.run
	r.work.Rounds++
	upper = make([]int64, len(r.bars))
	for _, b := range r.byRoom {
		if c.left[b] == 0 || c.decided != nil && c.decided.box[b].most == 0 {
			continue
		}
		paid := max(0, r.bars[b].price*d.scale+d.rent[b])
		floor := paid + max(paid, d.scale)>>toleranceBits
		found, top, sure := c.priceOf(b, &r.bars[b], d, floor, exact)
		gained, upper[b], aborted = gained+found, top, aborted || !sure
		if r.bars[b].reward != nil {
			kept, worth, whole := r.bars[b].keeping(d.value, d.scale)
			less := d.with(c, worth)
			found, top, sure = c.priceOf(b, &kept, less, max(0, floor-whole), exact)
			gained, upper[b], aborted = gained+found, max(upper[b], top+whole), aborted || !sure
		}
	}
	r.work.count(r.takeUncounted())
	return gained, upper, aborted
}

// priceOf is price for one bar as a knapsack: how many patterns it found that are
// new, and the most that the knapsack holds, if that is known for sure.
func (c *cutting) priceOf(b int, own *bar, d *rowDuals, floor int64, exact bool) (gained int, top int64, sure bool) {
	r := c.run
	need := slices.Clone(c.need)
	sure = true
	for n := 0; n <= max(2, columnsWanted/len(r.bars)); n++ {
		bare := c.room(own, d, need)
		if n == 0 {
			r.work.count(int64(len(bare.weight)))
			want := floor + 1 - d.given()
			if !bare.reach(0, bare.capacity, want) {
				return 0, floor, true // a glance says no content is of use
			}
			r.work.count(bare.tabulate(&r.table))
			if !bare.reach(0, bare.capacity, want) {
				return 0, floor, true
			}
		}
		k := c.penalised(bare, d)
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
			top, sure = max(floor, k.top), !k.aborted
		}
		if !k.found {
			break
		}
		counts := k.spread(len(need))
		if !r.bars[b].exact && !r.fits(b, counts) {
			break
		}
		if c.add(newPattern(b, counts)) {
			r.work.Columns++
			gained++
		}
		if !(knapsacks{r.model}).reduce(need, counts) {
			break
		}
	}
	return gained, top, sure
}
