package nest1d

// chainedBranch is branch and bound, as branch, over the contents that fit a bar in
// which slants nest. Whatever fits still fits with a piece less, for what lies on
// either side of it can move together; so a content that does not fit ends the
// branch, whatever the knapsack says.
type chainedBranch struct {
	*branch
	m      *model
	b      int
	counts []int64 // of all items
	unsure bool    // a content was refused that may fit in another order
}

// searchChained is knapsack.search for contents that fit. Unless aborted or
// unsure the result is exact.
func (k *knapsack) searchChained(m *model, b int, floor, budget int64) *chainedBranch {
	c := &chainedBranch{branch: &branch{knapsack: k, top: floor, budget: budget}, m: m, b: b, counts: make([]int64, len(m.items))}
	c.now, c.best = make([]int64, len(k.weight)), make([]int64, len(k.weight))
	c.descend(0, k.capacity, 0)
	return c
}

func (c *chainedBranch) descend(i int, rest, value int64) {
	c.nodes++
	if c.nodes > c.budget {
		c.aborted = true
		return
	}
	if value > c.top {
		c.top, c.found = value, true
		copy(c.best, c.now)
	}
	for ; i < len(c.weight) && c.lightest[i] <= rest; i++ {
		w := c.weight[i]
		if w > rest {
			continue
		}
		if !c.reach(i, rest, c.top+1-value) {
			return
		}
		for n := c.most(i, min(c.count[i], rest/w)); n > 0; n-- {
			c.put(i, n)
			c.descend(i+1, rest-n*w, value+n*c.knapsack.value[i])
			if c.aborted || !c.reach(i+1, rest-(n-1)*w, c.top+1-value-(n-1)*c.knapsack.value[i]) {
				c.put(i, 0)
				return
			}
		}
		c.put(i, 0)
	}
}

func (c *chainedBranch) put(i int, n int64) { c.now[i], c.counts[c.index[i]] = n, n }

// most is how many copies fit, of n that the knapsack has room for.
func (c *chainedBranch) most(i int, n int64) int64 {
	for ; n > 0; n-- {
		c.put(i, n)
		fits, sure := c.m.fitsSurely(c.b, c.counts)
		c.nodes += 1 + c.m.takeUncounted()
		if fits {
			break
		}
		c.unsure = c.unsure || !sure
	}
	c.put(i, 0)
	return n
}

// chainedNodes is the budget for the best content of one bar, when its value must
// be known and when a quick look will do.
const (
	chainedNodes      = 10_000
	quickChainedNodes = 500
)

// bestChained is best for a bar in which slants nest: the patterns fit, and the
// bound is that of the contents that do, where it is found in time.
func (s knapsacks) bestChained(q *query, b int, a *answer) {
	k := newKnapsack(&s.m.bars[b], q.value, q.need)
	top := k.ceiling(0, k.capacity)
	a.upper[b] = top
	if top <= q.floor[b] {
		return
	}
	budget := int64(quickChainedNodes)
	if q.states > 0 {
		budget = chainedNodes
	}
	r := k.searchChained(s.m, b, q.floor[b], budget)
	a.nodes += r.nodes
	if !r.aborted && !r.unsure {
		a.upper[b] = r.top
	} else {
		a.aborted = true
		if q.states > 0 {
			l := k.search(q.floor[b], quickNodes)
			a.nodes += l.nodes
			if !l.aborted {
				a.upper[b] = l.top
			}
		}
	}
	if !r.found {
		return
	}
	need := append([]int64(nil), q.need...)
	counts := r.contents(len(need))
	for n := 0; ; n++ {
		a.patterns = append(a.patterns, newPattern(b, counts))
		if n == q.columns || !s.reduce(need, counts) {
			return
		}
		k = newKnapsack(&s.m.bars[b], q.value, need)
		r = k.searchChained(s.m, b, q.floor[b], quickChainedNodes/10)
		a.nodes += r.nodes
		if !r.found {
			return
		}
		counts = r.contents(len(need))
	}
}
