package nest1d

// Every plan cheaper than the best one consists of patterns whose reduced cost,
// in the duals of the bound, is at most the gap between bound and plan: reduced
// costs are not negative and a plan's add up to what it costs above the bound
// (Baldacci, Christofides and Mingozzi, Mathematical Programming 115 (2008)
// 351–385, for routing). When the gap is small these patterns are few, and a
// branch and bound over them alone settles the problem. A plan may cut pieces
// too many, so patterns to which nothing can be added are enough.

// pool is the set of patterns that can take part in a better plan.
type pool struct {
	m        *model
	need     []int64
	patterns []pattern
	most     int
	budget   int64
	nodes    int64
	// complete says that no pattern was left out.
	complete bool
}

// collector lists the contents of one bar.
type collector struct {
	*knapsack
	pool  *pool
	bar   int
	now   []int64
	tail  []int64 // weight of all copies from here on
	keeps bool    // more in a bar costs more
	// cuts take their share of the value; nil without any.
	cuts *penalised
}

// enumerate lists the patterns with reduced cost at most gap in proof, both
// scaled: without cuts those to which nothing can be added, with cuts all. It gives up beyond most patterns or budget nodes.
func (m *model) enumerate(p *strong, gap int64, most int, budget int64) *pool {
	e := &pool{m: m, need: m.demands(), most: most, budget: budget, complete: true}
	for _, b := range m.byRoom {
		paid, ok := product(p.scale, m.bars[b].price)
		if !ok {
			if m.bars[b].reward == nil && limit-p.upper[b] >= gap {
				continue // too dear for any content
			}
			e.complete = false
			return e
		}
		e.collect(p, b, &m.bars[b], p.value, paid+p.extra[b]-gap)
		if m.bars[b].reward != nil && e.complete {
			kept, worth, whole := m.bars[b].keeping(p.value, p.scale)
			e.collect(p, b, &kept, worth, paid+p.extra[b]-gap-whole)
		}
		if !e.complete {
			return e
		}
	}
	if m.credited() {
		e.patterns = distinct(e.patterns) // full contents can be worth keeping, too
	}
	return e
}

// collect lists the contents worth at least so much of one bar as a knapsack.
func (e *pool) collect(p *strong, b int, own *bar, value []int64, want int64) {
	c := &collector{knapsack: e.all(own, value), pool: e, bar: b, keeps: own != &e.m.bars[b]}
	if len(p.cuts) > 0 {
		c.cuts = newPenalised(c.knapsack, nil, p.cuts, p.sigma)
	}
	e.nodes += c.tabulate(&e.m.table)
	n := len(c.weight)
	c.now, c.tail = make([]int64, n), make([]int64, n+1)
	for i := n - 1; i >= 0; i-- {
		c.tail[i] = c.tail[i+1] + c.weight[i]*c.count[i]
	}
	c.list(0, c.capacity, want, limit)
}

// all is a knapsack with the items of no value, or less, as well.
func (e *pool) all(b *bar, value []int64) *knapsack {
	k := newKnapsack(b, value, e.need)
	for i, v := range value {
		if w := b.weight[i]; v <= 0 && w <= k.capacity {
			k.index = append(k.index, int32(i))
			k.weight = append(k.weight, w)
			k.value = append(k.value, v)
			k.count = append(k.count, min(e.need[i], k.capacity/w))
		}
	}
	return k
}

// list completes the content from item i on; want is the value still to come
// and spare the lightest weight of which a copy was left out so far.
func (c *collector) list(i int, rest, want, spare int64) {
	e := c.pool
	if e.nodes++; e.nodes > e.budget {
		e.complete = false
	}
	if !e.complete || !c.reach(i, rest, want) {
		return
	}
	if c.kind().exact && !c.keeps && c.cuts == nil && rest-c.tail[i] >= spare {
		return // whatever follows, a copy left out will fit
	}
	if i == len(c.weight) {
		c.keep(rest)
		return
	}
	w := c.weight[i]
	most := min(c.count[i], rest/w)
	for n := most; n >= 0; n-- {
		c.now[i] = n
		if n > 0 && c.excluded(i) {
			continue
		}
		s := spare
		if n < c.count[i] {
			s = min(s, w)
		}
		cost := int64(0)
		if c.cuts != nil {
			cost = c.cuts.put(i, n)
		}
		c.list(i+1, rest-n*w, want-n*c.value[i]+cost, s)
		if c.cuts != nil {
			c.cuts.put(i, -n)
		}
	}
	c.now[i] = 0
}

// excluded says that in a bar that is parted, or in which slants nest, the copies
// up to item i fit no more, whatever follows.
func (c *collector) excluded(i int) bool {
	if k := c.kind(); k.sections == nil && (k.chain == nil || k.exact) {
		return false
	}
	e := c.pool
	counts := make([]int64, len(e.need))
	for j, x := range c.index[:i+1] {
		counts[x] = c.now[j]
	}
	fits, sure := e.m.fitsSurely(c.bar, counts)
	e.nodes += e.m.takeUncounted()
	return !fits && sure
}

func (c *collector) kind() *bar { return &c.pool.m.bars[c.bar] }

// orderNodes is what the search for the best order of a content counts as.
const orderNodes = 20

// keep takes the content when it fits and, in bars where order matters, nothing
// can be added to the rest of it; elsewhere list has seen to that.
func (c *collector) keep(rest int64) {
	e := c.pool
	counts := make([]int64, len(e.need))
	for i, x := range c.index {
		counts[x] = c.now[i]
	}
	p := newPattern(c.bar, counts)
	if len(p.items) == 0 {
		return
	}
	if !c.kind().exact {
		e.nodes += orderNodes
		fits, sure := e.m.fitsSurely(c.bar, counts)
		e.nodes += e.m.takeUncounted()
		if !fits {
			e.complete = e.complete && sure
			return
		}
		for i := range counts {
			if c.cuts != nil {
				break // with cuts, more in a bar may be worth less
			}
			if counts[i] == e.need[i] || c.kind().weight[i] > rest {
				continue
			}
			counts[i]++
			more := e.m.fits(c.bar, counts)
			counts[i]--
			if more {
				return
			}
		}
	}
	if len(e.patterns) == e.most {
		e.complete = false
		return
	}
	e.patterns = append(e.patterns, p)
}
