package nest1d

import (
	"cmp"
	"slices"
)

// purchase is a number of bars of each kind that could hold everything, as far
// as the bound knows.
type purchase struct {
	cost  int64
	spare int64 // value held beyond what is needed, in units of the proof
	bars  []int64
}

// targets lists purchases cheaper than the best plan that satisfy the
// inequality of the proof: for each cost, cheapest first, the one with most to
// spare. Dives that may buy just one of these hit sums of prices that a free
// dive passes by.
func (r *run) targets(most int) []purchase {
	found := r.affordable()
	slices.SortStableFunc(found, func(a, b purchase) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(b.spare, a.spare))
	})
	found = slices.CompactFunc(found, func(a, b purchase) bool { return a.cost == b.cost })
	return found[:min(len(found), most)]
}

// purchases lists those of exactly the given cost with fewer bars than given,
// fewest first.
func (r *run) purchases(cost, bars int64, most int) []purchase {
	found := slices.DeleteFunc(r.affordable(), func(p purchase) bool {
		return p.cost != cost || p.count() >= bars
	})
	slices.SortStableFunc(found, func(a, b purchase) int {
		return cmp.Or(cmp.Compare(a.count(), b.count()), cmp.Compare(b.spare, a.spare))
	})
	return found[:min(len(found), most)]
}

func (p *purchase) count() int64 {
	var n int64
	for _, b := range p.bars {
		n += b
	}
	return n
}

// affordable lists purchases of interest that satisfy the inequality.
func (r *run) affordable() []purchase {
	if r.credited() {
		return nil // sums of prices are not what plans cost
	}
	c := r.newCounts(&r.proof, func(a, b int) int {
		return compareProducts(r.bars[a].price, r.proof.upper[b], r.bars[b].price, r.proof.upper[a])
	})
	t := &targetSearch{counts: c, below: r.toBeat(), bars: make([]int64, len(r.bars))}
	t.list(0, r.proof.total, 0)
	return t.found
}

type targetSearch struct {
	*counts
	below int64
	bars  []int64
	found []purchase
}

// targetsKept caps the purchases listed before sorting.
const targetsKept = 10_000

func (t *targetSearch) list(at int, need, cost int64) {
	if t.nodes++; t.nodes > countNodes || len(t.found) == targetsKept || cost >= t.below {
		return
	}
	if need <= 0 {
		t.found = append(t.found, purchase{cost, -need, slices.Clone(t.bars)})
		return
	}
	if at == len(t.kinds) {
		return
	}
	b := t.kinds[at]
	k := &t.m.bars[b]
	if compareProducts(need, k.price, t.below-1-cost, t.upper[b]) > 0 {
		return
	}
	n := ceilDiv(need, t.upper[b])
	if k.limited() {
		n = min(n, k.supply)
	}
	if k.price > 0 {
		n = min(n, (t.below-1-cost)/k.price)
	}
	for ; n >= 0 && t.nodes <= countNodes && len(t.found) < targetsKept; n-- {
		t.bars[b] = n
		t.list(at+1, need-n*t.upper[b], cost+n*k.price)
	}
	t.bars[b] = 0
}
