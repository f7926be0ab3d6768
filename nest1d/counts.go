package nest1d

import "slices"

// countNodes caps the searches over counts of bars.
const countNodes = 200_000

// counts searches over how many bars of each kind to buy, for the inequality
// Σ upperₖ·nₖ ≥ total that every plan satisfies.
type counts struct {
	m       *model
	kinds   []int
	upper   []int64
	nodes   int64
	best    int64
	enough  int64 // stop when best is this low
	aborted bool
}

func (m *model) newCounts(p *proof, less func(a, b int) int) *counts {
	c := &counts{m: m, upper: p.upper, best: limit}
	for b := range m.bars {
		if p.upper[b] > 0 {
			c.kinds = append(c.kinds, b)
		}
	}
	slices.SortStableFunc(c.kinds, less)
	return c
}

// attainable raises a proved bound to the least sum of prices that satisfies
// the inequality with whole bars under the supplies. It is never below p.bound
// and returns limit when no purchase satisfies the inequality at all.
func (m *model) attainable(p *proof) int64 {
	if p.total == 0 {
		return p.bound
	}
	c := m.newCounts(p, func(a, b int) int {
		return compareProducts(m.bars[a].price, p.upper[b], m.bars[b].price, p.upper[a])
	})
	var g int64
	for _, b := range c.kinds {
		g = gcd(g, m.bars[b].price)
	}
	c.enough = p.bound
	if g > 0 {
		c.enough = ceilDiv(p.bound, g) * g
	}
	c.cheapest(0, p.total, 0)
	if c.aborted && c.best > c.enough {
		return c.enough
	}
	return max(c.best, p.bound)
}

// cheapest descends over the kinds, the densest first and most of it first.
func (c *counts) cheapest(at int, need, cost int64) {
	if c.nodes++; c.nodes > countNodes {
		c.aborted = true
		return
	}
	if at == len(c.kinds) {
		return
	}
	k := &c.m.bars[c.kinds[at]]
	u := c.upper[c.kinds[at]]
	n := ceilDiv(need, u)
	if k.limited() {
		n = min(n, k.supply)
	}
	if k.price > 0 {
		n = min(n, (c.best-cost)/k.price+1) // more is too dear, and might overflow
	}
	for ; n >= 0 && !c.aborted && c.best > c.enough; n-- {
		rest, paid := need-n*u, cost+n*k.price
		if rest <= 0 {
			c.best = min(c.best, paid)
			continue
		}
		if at+1 == len(c.kinds) {
			return
		}
		// The rest costs at least what it would in the densest kind left, and
		// that only grows as n falls.
		next := c.kinds[at+1]
		room := c.best - paid - 1
		if room < 0 || compareProducts(rest, c.m.bars[next].price, room, c.upper[next]) > 0 {
			return
		}
		c.cheapest(at+1, rest, paid)
	}
}

// fewest is a lower bound on the number of bars of any plan of the given cost.
func (m *model) fewest(p *proof, cost int64) int64 {
	c := m.newCounts(p, func(a, b int) int {
		if p.upper[a] != p.upper[b] {
			if p.upper[a] > p.upper[b] {
				return -1
			}
			return 1
		}
		return a - b
	})
	if len(c.kinds) == 0 {
		return 0
	}
	c.enough = ceilDiv(p.total, c.upper[c.kinds[0]])
	c.fewest(0, p.total, cost, 0)
	if c.aborted || c.best == limit {
		return c.enough
	}
	return c.best
}

func (c *counts) fewest(at int, need, money, bars int64) {
	if c.nodes++; c.nodes > countNodes {
		c.aborted = true
		return
	}
	if need <= 0 {
		c.best = min(c.best, bars)
		return
	}
	if at == len(c.kinds) || bars+ceilDiv(need, c.upper[c.kinds[at]]) >= c.best {
		return
	}
	k := &c.m.bars[c.kinds[at]]
	u := c.upper[c.kinds[at]]
	n := ceilDiv(need, u)
	if k.limited() {
		n = min(n, k.supply)
	}
	if k.price > 0 {
		n = min(n, money/k.price)
	}
	for ; n >= 0 && !c.aborted && c.best > c.enough; n-- {
		c.fewest(at+1, need-n*u, money-n*k.price, bars+n)
	}
}
