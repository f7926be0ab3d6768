package nest1d

import (
	"cmp"
	"slices"
)

// model is the problem in the form the engine works on: equal pieces merged,
// equal bars merged, settled layouts subtracted, and for every kind of bar the
// knapsack that relaxes its geometry.
type model struct {
	problem *Problem
	items   []item
	bars    []bar
	// lone holds the pieces that fit no bar at all.
	lone []int
	// uncounted nodes of exact tests, for the next meter.
	uncounted int64
	// table is that of the last knapsack that asked for one.
	table table
	// byRoom are the bars by falling capacity, so that the table of one may serve the next.
	byRoom []int
}

// item is a kind of piece that the saw cannot tell apart.
type item struct {
	piece  int   // a representative, index into Problem.Pieces
	pieces []int // all of them
	demand int64
}

// bar is a kind of stock that neither saw nor purse can tell apart.
type bar struct {
	stock  int   // a representative, index into Problem.Stocks
	stocks []int // all of them
	supply int64 // or Unlimited
	price  int64
	// A content fits only if Σ weight·count ≤ capacity; exact says that this
	// suffices. Weights are in units of their greatest common divisor.
	weight   []int64
	capacity int64
	exact    bool
	high     int64 // the largest kerf in use
	// chain orders the pieces where slants nest, else nil; class is each item's in it.
	chain *chain
	class []int
	// reward for offcuts, nil without.
	reward *reward
	// sections of a bar that is parted into not too many parts, else nil.
	sections *sections
}

// limited says that the bar can run out.
func (b *bar) limited() bool { return b.supply != Unlimited }

// pattern is what one bar of a kind yields: counts of items, by ascending item.
type pattern struct {
	bar   int
	items []entry
}

type entry struct {
	item  int32
	count int32
}

// cost of a bar cut by a pattern. All plans are priced through here.
func (m *model) cost(p *pattern) int64 { return m.bars[p.bar].price - m.credit(p) }

func newModel(p *Problem) *model {
	m := &model{problem: p}
	net, supply := netOf(p)
	for i, q := range p.Pieces {
		if net[i] == 0 {
			continue
		}
		if !slices.ContainsFunc(p.Stocks, func(s Stock) bool { return s.holds(p.Pieces, i) }) {
			m.lone = append(m.lone, i)
			continue
		}
		j := slices.IndexFunc(m.items, func(t item) bool { return p.alike(&p.Pieces[t.piece], &q) })
		if j < 0 {
			j = len(m.items)
			m.items = append(m.items, item{piece: i})
		}
		m.items[j].pieces = append(m.items[j].pieces, i)
		m.items[j].demand += net[i]
	}
	// Longest first: a fixed order that does not depend on that of the input
	// as far as lengths differ.
	less := byLength(p.Pieces)
	slices.SortStableFunc(m.items, func(a, b item) int { return less(a.piece, b.piece) })
	for k := range p.Stocks {
		if supply[k] != 0 {
			m.addBar(k, min(limit, supply[k]))
		}
	}
	for b := range m.bars {
		m.byRoom = append(m.byRoom, b)
	}
	slices.SortStableFunc(m.byRoom, func(a, b int) int { return cmp.Compare(m.bars[b].capacity, m.bars[a].capacity) })
	return m
}

// netOf subtracts what is settled from demands and supplies.
func netOf(p *Problem) (demand, supply []int64) {
	demand, supply = make([]int64, len(p.Pieces)), make([]int64, len(p.Stocks))
	for i, q := range p.Pieces {
		demand[i] = q.Demand
	}
	for k, s := range p.Stocks {
		supply[k] = s.Supply
	}
	for _, l := range p.Fixed {
		if supply[l.Stock] != Unlimited {
			supply[l.Stock] -= l.Count
		}
		for _, q := range l.Places {
			demand[q.Piece] = max(0, demand[q.Piece]-l.Count)
		}
	}
	return demand, supply
}

// alike says that the saw cannot tell two pieces apart: they may lie in the same
// ways in every bar.
func (p *Problem) alike(a, b *Piece) bool {
	return a.Length == b.Length && !slices.ContainsFunc(p.Stocks, func(s Stock) bool {
		return !slices.Equal(signature(&s, a), signature(&s, b))
	})
}

func (m *model) addBar(k int, supply int64) {
	s := &m.problem.Stocks[k]
	for b := range m.bars {
		o := &m.bars[b]
		t := &m.problem.Stocks[o.stock]
		if s.cutsLike(t) && s.Price == t.Price && s.Keep == t.Keep && s.Credit == t.Credit {
			o.stocks = append(o.stocks, k)
			if supply == Unlimited || o.supply == Unlimited {
				o.supply = Unlimited
			} else {
				o.supply = min(limit, o.supply+supply)
			}
			return
		}
	}
	b := bar{stock: k, stocks: []int{k}, supply: supply, price: s.Price}
	b.relax(s, m)
	if b.capacity > 0 && slices.ContainsFunc(b.weight, func(w int64) bool { return w <= b.capacity }) {
		m.bars = append(m.bars, b)
	}
}

// cutsLike says that two bars hold the same contents in the same way.
func (s *Stock) cutsLike(t *Stock) bool {
	return s.Length == t.Length && s.TrimLeft == t.TrimLeft && s.TrimRight == t.TrimRight && s.Tail == t.Tail &&
		s.Longest == t.Longest && s.Part == t.Part && s.Parts == t.Parts && s.PartKerf == t.PartKerf && slices.Equal(s.Kerf, t.Kerf) &&
		s.nests() == t.nests() && (!s.nests() || slices.Equal(s.Slant, t.Slant) && slices.Equal(s.Plane, t.Plane))
}

// relax makes the knapsack. Joints are at least the mean of the two ends that
// meet, so in doubled units
//
//	Σ (2·length + left + right) ≤ 2·capacity + 2·high         without a tail
//	                            ≤ 2·capacity + high − low     with a tail
//
// where high and low are the extreme kerfs in use: the first left and the last
// right end were counted but share no joint, and the last kerf with a tail is
// whole. With one kerf both hold with equality. Where slants nest, left and right
// are the charges of the ends, high is the greatest charge and low the least sum of
// kerf and slant. In a bar that is parted a first cut
// may take the place of a joint, so ends count no more than its width; how pieces
// share parts is left to the exact test.
func (b *bar) relax(s *Stock, m *model) {
	charges := m.charges(s)
	low, high := limit, -limit
	for _, it := range m.items {
		q := &m.problem.Pieces[it.piece]
		least := func(left, right int) (sum int64) {
			for _, c := range []int{left, right} {
				e := charges[c]
				if s.parted() {
					e.kerf = min(e.kerf, s.PartKerf)
				}
				low, high = min(low, e.kerf+e.slant), max(high, e.least())
				b.high = max(b.high, e.kerf)
				sum += e.least()
			}
			return sum
		}
		w := least(q.Left, q.Right)
		if t := q.Turned; t != nil && q.turns() {
			w = min(w, least(t.Left, t.Right))
		}
		b.weight = append(b.weight, 2*q.Length+w)
	}
	if len(m.items) == 0 {
		low, high = 0, 0
	}
	b.capacity = 2*s.Capacity() + 2*high
	if s.Tail > 0 {
		b.capacity = 2*s.Capacity() + high - low
	}
	b.exact = low == high && !s.parted()
	if s.nests() {
		b.exact = m.chains(s)
		b.chain, b.class = newChain(s, m.problem.Pieces, m.representatives())
	}
	var g int64
	for _, w := range b.weight {
		g = gcd(g, w)
	}
	if g > 1 {
		for i := range b.weight {
			b.weight[i] /= g
		}
		if b.capacity > 0 {
			b.capacity /= g
		}
	}
	b.sections = m.sectionsOf(s)
	// An item that does not fit alone is no candidate, whatever the relaxation says.
	for i, it := range m.items {
		if !s.holds(m.problem.Pieces, it.piece) {
			b.weight[i] = max(b.weight[i], b.capacity+1)
		}
	}
	b.reward = m.reward(s, b)
}

func (m *model) representatives() []int {
	var list []int
	for _, it := range m.items {
		list = append(list, it.piece)
	}
	return list
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// fits is the exact test of a content, by counts per item.
func (m *model) fits(b int, counts []int64) bool {
	fits, _ := m.fitsSurely(b, counts)
	return fits
}

// fitsSurely tells also whether a no is proved.
func (m *model) fitsSurely(b int, counts []int64) (fits, sure bool) {
	k := &m.bars[b]
	var sum int64
	n := 0
	for i, c := range counts {
		if c > 0 {
			sum += c * k.weight[i]
			n += int(c)
		}
	}
	if sum > k.capacity || k.exact {
		return sum <= k.capacity, true
	}
	s := &m.problem.Stocks[k.stock]
	if s.parted() {
		var lots []lot
		for i, c := range counts {
			if c > 0 {
				lots = append(lots, lot{m.items[i].piece, c})
			}
		}
		d := newDeal(s, m.problem.Pieces, lots)
		fits, sure = d.solve()
		m.uncounted += d.nodes
		return fits, sure
	}
	if m.fitsLoosely(b, counts) {
		return true, true
	}
	if k.chain != nil {
		return m.fitsChained(k, counts)
	}
	content := make([]int, 0, n)
	for i, c := range counts {
		for range c {
			content = append(content, m.items[i].piece)
		}
	}
	length, least := s.need(m.problem.Pieces, content)
	return length <= s.Capacity(), least
}

// takeUncounted takes the nodes that no meter has counted yet.
func (m *model) takeUncounted() int64 {
	n := m.uncounted
	m.uncounted = 0
	return n
}

// fitsLoosely holds when the content fits with the largest kerf everywhere,
// which spares most contents the search for their best order.
func (m *model) fitsLoosely(b int, counts []int64) bool {
	s := &m.problem.Stocks[m.bars[b].stock]
	length := int64(0)
	if s.Tail == 0 {
		length = -m.bars[b].high
	}
	for i, c := range counts {
		length += c * (m.length(i) + m.bars[b].high)
	}
	return length <= s.Capacity()
}

// load is the relaxed weight of a pattern.
func (m *model) load(p *pattern) int64 {
	var sum int64
	for _, e := range p.items {
		sum += int64(e.count) * m.bars[p.bar].weight[e.item]
	}
	return sum
}

// repair makes a content that fits the relaxed knapsack fit the bar: it drops
// pieces from the end of the order until the exact test holds.
func (m *model) repair(b int, counts []int64, order []int32) {
	if m.fits(b, counts) {
		return
	}
	for _, i := range slices.Backward(order) {
		n := counts[i]
		if n == 0 {
			continue
		}
		counts[i] = 0
		if m.fits(b, counts) {
			m.lower(b, counts, int(i), 0, n)
			return
		}
	}
}

// lower sets the copies of item i, of which low fit and high do not, to the most
// that fit. Mostly a few less will do, so steps begin small.
func (m *model) lower(b int, counts []int64, i int, low, high int64) {
	for step := int64(1); low+1 < high; step *= 2 {
		counts[i] = max(high-step, low+(high-low)/2)
		if m.fits(b, counts) {
			low = counts[i]
		} else {
			high = counts[i]
		}
	}
	counts[i] = low
}

func newPattern(b int, counts []int64) pattern {
	p := pattern{bar: b}
	for i, c := range counts {
		if c > 0 {
			p.items = append(p.items, entry{int32(i), int32(c)})
		}
	}
	return p
}

func (p *pattern) equal(q *pattern) bool {
	return p.bar == q.bar && slices.Equal(p.items, q.items)
}
