package nest1d

import (
	"cmp"
	"slices"
)

// plan is a set of patterns with their counts.
type plan struct {
	uses []use
}

type use struct {
	pattern
	count int64
}

func (m *model) planCost(p *plan) int64 {
	var c int64
	for i := range p.uses {
		c += m.cost(&p.uses[i].pattern) * p.uses[i].count
	}
	return c
}

func (p *plan) bars() int64 {
	var n int64
	for _, u := range p.uses {
		n += u.count
	}
	return n
}

func (p *plan) clone() *plan {
	return &plan{uses: slices.Clone(p.uses)}
}

// demands and supplies of the model, for the searches to use up; no plan uses
// more bars of a kind than there are pieces.
func (m *model) demands() []int64 {
	d := make([]int64, len(m.items))
	for i := range d {
		d[i] = m.items[i].demand
	}
	return d
}

func (m *model) supplies() []int64 {
	s, pieces := make([]int64, len(m.bars)), m.pieces()
	for b := range s {
		s[b] = min(m.bars[b].supply, pieces)
	}
	return s
}

// pieces is the number of all copies.
func (m *model) pieces() int64 {
	var n int64
	for _, it := range m.items {
		n += it.demand
	}
	return n
}

// take counts a pattern t times against needs and supplies.
func (m *model) take(p *pattern, t int64, need, left []int64) {
	for _, e := range p.items {
		need[e.item] = max(0, need[e.item]-t*int64(e.count))
	}
	if left[p.bar] != Unlimited {
		left[p.bar] -= t
	}
}

// repeats says how often a pattern can be cut without a piece too many.
func (m *model) repeats(p *pattern, need, left []int64) int64 {
	t := limit
	for _, e := range p.items {
		t = min(t, need[e.item]/int64(e.count))
	}
	if left[p.bar] != Unlimited {
		t = min(t, left[p.bar])
	}
	return t
}

// tidy brings a plan that covers all demands into its final form: pieces too
// many are dropped, every bar is swapped for the cheapest that holds its
// content, bars without content vanish, equal patterns are joined and sorted.
func (m *model) tidy(p *plan) {
	m.dropSurplus(p)
	p.uses = slices.DeleteFunc(p.uses, func(u use) bool { return u.count == 0 || len(u.items) == 0 })
	m.downsize(p)
	m.join(p)
}

// join merges equal patterns and sorts: by bar, fullest first, then by content.
func (m *model) join(p *plan) {
	slices.SortFunc(p.uses, func(a, b use) int { return m.comparePatterns(&a.pattern, &b.pattern) })
	out := p.uses[:0]
	for _, u := range p.uses {
		if n := len(out); n > 0 && out[n-1].equal(&u.pattern) {
			out[n-1].count += u.count
			continue
		}
		out = append(out, u)
	}
	p.uses = out
}

func (m *model) comparePatterns(a, b *pattern) int {
	if a.bar != b.bar {
		return a.bar - b.bar
	}
	if c := cmp.Compare(m.load(b), m.load(a)); c != 0 {
		return c
	}
	return slices.CompareFunc(a.items, b.items, func(x, y entry) int {
		if x.item != y.item {
			return int(x.item - y.item)
		}
		return int(y.count - x.count)
	})
}

func (m *model) dropSurplus(p *plan) {
	surplus := make([]int64, len(m.items))
	for i := range surplus {
		surplus[i] = -m.items[i].demand
	}
	for _, u := range p.uses {
		for _, e := range u.items {
			surplus[e.item] += u.count * int64(e.count)
		}
	}
	for i := range surplus {
		for u := len(p.uses) - 1; u >= 0 && surplus[i] > 0; u-- {
			surplus[i] -= p.drop(u, int32(i), surplus[i])
		}
	}
}

// drop removes up to n copies of an item from one use, splitting off bars when
// not all of them lose the same number, and returns how many went.
func (p *plan) drop(at int, item int32, n int64) int64 {
	u := &p.uses[at]
	j := slices.IndexFunc(u.items, func(e entry) bool { return e.item == item })
	if j < 0 || u.count == 0 {
		return 0
	}
	each := int64(u.items[j].count)
	less := func(bars, by int64) {
		q := use{pattern{u.bar, slices.Clone(u.items)}, bars}
		if q.items[j].count -= int32(by); q.items[j].count == 0 {
			q.items = slices.Delete(q.items, j, j+1)
		}
		u.count -= bars
		p.uses = append(p.uses, q)
		u = &p.uses[at]
	}
	if n >= each*u.count {
		n = each * u.count
		less(u.count, each)
		return n
	}
	whole, part := n/each, n%each
	if n%u.count == 0 {
		less(u.count, n/u.count)
		return n
	}
	if whole > 0 {
		less(whole, each)
	}
	if part > 0 {
		less(1, part)
	}
	return n
}

// downsize gives each content the cheapest bar on hand that holds it. Starting
// with the dearest is a heuristic when supplies are short.
func (m *model) downsize(p *plan) {
	if len(m.bars) == 1 {
		return
	}
	left := m.supplies()
	for _, u := range p.uses {
		if left[u.bar] != Unlimited {
			left[u.bar] -= u.count
		}
	}
	byPrice := make([]int, len(m.bars))
	for b := range byPrice {
		byPrice[b] = b
	}
	slices.SortStableFunc(byPrice, func(a, b int) int {
		if c := cmp.Compare(m.bars[a].price, m.bars[b].price); c != 0 {
			return c
		}
		return cmp.Compare(m.bars[a].capacity, m.bars[b].capacity)
	})
	order := make([]int, len(p.uses))
	for u := range order {
		order[u] = u
	}
	slices.SortStableFunc(order, func(a, b int) int {
		return cmp.Compare(m.bars[p.uses[b].bar].price, m.bars[p.uses[a].bar].price)
	})
	for changed := true; changed; {
		changed = false
		for _, u := range order {
			changed = m.downsizeUse(p, u, byPrice, left) || changed
		}
	}
}

func (m *model) downsizeUse(p *plan, at int, byPrice []int, left []int64) bool {
	counts := make([]int64, len(m.items))
	for _, e := range p.uses[at].items {
		counts[e.item] = int64(e.count)
	}
	changed := false
	if m.credited() {
		byPrice = slices.Clone(byPrice)
		slices.SortStableFunc(byPrice, func(a, b int) int {
			return cmp.Compare(m.cost(&pattern{a, p.uses[at].items}), m.cost(&pattern{b, p.uses[at].items}))
		})
	}
	for _, b := range byPrice {
		u := &p.uses[at]
		if m.cost(&pattern{b, u.items}) >= m.cost(&u.pattern) || u.count == 0 {
			break
		}
		t := u.count
		if left[b] != Unlimited {
			t = min(t, left[b])
		}
		if t == 0 || !m.fits(b, counts) {
			continue
		}
		changed = true
		if left[b] != Unlimited {
			left[b] -= t
		}
		if left[u.bar] != Unlimited {
			left[u.bar] += t
		}
		if t == u.count {
			u.bar = b
			break
		}
		u.count -= t
		p.uses = append(p.uses, use{pattern{b, u.items}, t})
	}
	return changed
}
