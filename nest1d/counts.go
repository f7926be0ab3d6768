package nest1d

import (
	"math/bits"
	"slices"
)

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
	most    []int64 // of each kind: Unlimited, or how many there are
	enough  int64   // stop when best is this low
	budget  int64
	aborted bool
}

// span is how many bars of a kind are bought; most may be Unlimited.
type span struct{ least, most int64 }

func (m *model) newCounts(p *proof, less func(a, b int) int) *counts {
	c := &counts{m: m, upper: p.upper, best: limit, budget: countNodes, most: make([]int64, len(m.bars))}
	for b := range m.bars {
		c.most[b] = m.bars[b].supply
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
func (m *model) attainable(p *proof) int64 { return m.attainableWithin(p, nil, countNodes) }

// attainableWithin is attainable for purchases within spans, one for each bar.
func (m *model) attainableWithin(p *proof, box []span, budget int64) int64 {
	if m.credited() {
		return m.worthWithin(p, box)
	}
	c := m.newCounts(p, func(a, b int) int {
		return compareProducts(m.bars[a].price, p.upper[b], m.bars[b].price, p.upper[a])
	})
	need, paid := p.total, int64(0)
	var g int64
	for b, s := range box {
		held, ok := product(p.upper[b], s.least)
		if need -= held; !ok || need < 0 {
			need = 0
		}
		paid += s.least * m.bars[b].price
		if s.least > 0 {
			g = gcd(g, m.bars[b].price)
		}
		if c.most[b] = s.most; s.most != Unlimited {
			c.most[b] -= s.least
		}
	}
	if need == 0 {
		return max(paid, p.bound)
	}
	for _, b := range c.kinds {
		g = gcd(g, m.bars[b].price)
	}
	c.budget = budget
	least := c.relaxed(need, paid)
	if least == limit {
		return limit
	}
	c.enough = max(p.bound, least)
	if g > 0 {
		c.enough = ceilDiv(c.enough, g) * g
	}
	c.cheapest(0, need, paid)
	if c.aborted && c.best > c.enough {
		return c.enough
	}
	return max(c.best, p.bound)
}

// worthWithin is the bound for purchases within spans where costs are no sums of
// prices: every plan costs at least total/scale and for each bar by how much its
// price exceeds the most it holds.
func (m *model) worthWithin(p *proof, box []span) int64 {
	rest := p.total
	for b, s := range box {
		paid, ok := product(p.scale, m.bars[b].price)
		if !ok {
			return p.bound
		}
		n := s.least
		if paid < p.upper[b] {
			n = s.most
		}
		if n == Unlimited {
			return p.bound
		}
		gap, ok := product(max(paid, p.upper[b])-min(paid, p.upper[b]), n)
		if paid < p.upper[b] {
			gap = -gap
		}
		if rest += gap; !ok || rest < -limit || rest > 4*limit {
			return p.bound
		}
	}
	if box == nil || rest <= 0 {
		return p.bound
	}
	return max(p.bound, ceilDiv(rest, p.scale))
}

// relaxed is the least cost when bars may be bought in fractions, of the densest
// kinds first: 0 if unknown, limit if all there are do not suffice.
func (c *counts) relaxed(need, paid int64) int64 {
	for _, b := range c.kinds {
		price, most := c.m.bars[b].price, c.most[b]
		if held, ok := product(c.upper[b], most); ok && most != Unlimited && held < need {
			cost, ok := product(price, most)
			if need, paid = need-held, paid+cost; !ok || paid > limit {
				return 0
			}
			continue
		}
		hi, lo := bits.Mul64(uint64(need), uint64(price))
		if hi >= uint64(c.upper[b]) {
			return 0
		}
		q, rest := bits.Div64(hi, lo, uint64(c.upper[b]))
		if q >= uint64(limit) {
			return 0
		}
		if rest > 0 {
			q++
		}
		return min(limit-1, paid+int64(q))
	}
	return limit
}

// cheapest descends over the kinds, the densest first and most of it first.
func (c *counts) cheapest(at int, need, cost int64) {
	if c.nodes++; c.nodes > c.budget {
		c.aborted = true
		return
	}
	if at == len(c.kinds) {
		return
	}
	k := &c.m.bars[c.kinds[at]]
	u := c.upper[c.kinds[at]]
	n := ceilDiv(need, u)
	if most := c.most[c.kinds[at]]; most != Unlimited {
		n = min(n, most)
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
	if m.credited() {
		cost = limit // offcuts may pay for any of them
	}
	c.fewest(0, p.total, cost, 0)
	if c.aborted || c.best == limit {
		return c.enough
	}
	return c.best
}

func (c *counts) fewest(at int, need, money, bars int64) {
	if c.nodes++; c.nodes > c.budget {
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
	if most := c.most[c.kinds[at]]; most != Unlimited {
		n = min(n, most)
	}
	if k.price > 0 {
		n = min(n, money/k.price)
	}
	for ; n >= 0 && !c.aborted && c.best > c.enough; n-- {
		c.fewest(at+1, need-n*u, money-n*k.price, bars+n)
	}
}
