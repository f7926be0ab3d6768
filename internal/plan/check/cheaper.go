package check

import (
	"cmp"
	"math"
	"math/bits"
	"slices"

	"sawbill/internal/plan"
)

// Where the values of a proof leave a gap, small problems are settled by
// trying: every purchase below the claimed cost that could be enough is tested
// for whether the pieces can be packed into it. The weights are the relaxed
// ones of barModel, so "cannot be packed" is always true of the real bars.

const (
	tryingNodes = 3_000_000
	tryingBars  = 40
)

// purchases searches the counts of offers.
type purchases struct {
	model  *barModel
	offers []candidate
	nodes  int64
	pieces []int // kinds with repetition, heaviest first
	weight int64 // of all pieces
	bars   []int // stocks chosen
}

type candidate struct {
	stock               int // index into barModel.stocks
	price, supply, most int64
}

// noCheaper answers yes when no purchase below cost can hold the pieces, no
// when one seems to, and unknown when there are too many to try.
func (a *audit) noCheaper(m *material, b *barModel, w worth, cost plan.Money) answer {
	p := &purchases{model: b, nodes: tryingNodes}
	for k, o := range m.offers {
		offer := a.job.Offers[o]
		c := candidate{k, offer.Price, offer.Stock, w.most[k]}
		if c.supply < 0 {
			c.supply = math.MaxInt64
		}
		if c.most > 0 && c.supply > 0 && b.stocks[k].capacity > 0 {
			p.offers = append(p.offers, c)
		}
	}
	// The most value for money first; what is free comes first of all.
	slices.SortStableFunc(p.offers, func(x, y candidate) int {
		return compareProducts(x.price, y.most, y.price, x.most)
	})
	for i, k := range b.kinds {
		if int64(len(p.pieces))+k.number > 10*tryingBars {
			return unknown
		}
		for range k.number {
			p.pieces = append(p.pieces, i)
		}
		p.weight += k.weight * k.number
	}
	slices.SortStableFunc(p.pieces, func(x, y int) int {
		return cmp.Compare(b.kinds[y].weight, b.kinds[x].weight)
	})
	switch p.buy(0, w.wanted, int64(cost)-1) {
	case no:
		return yes
	case yes:
		return no
	}
	return unknown
}

// buy goes through the counts of the offers from at on and answers yes when a
// purchase can hold the pieces. need is what the values still lack.
func (p *purchases) buy(at int, need, money int64) answer {
	if p.nodes--; p.nodes < 0 {
		return unknown
	}
	if at == len(p.offers) {
		if need > 0 {
			return no
		}
		return p.packed(money)
	}
	o := p.offers[at]
	if need > 0 && compareProducts(need, o.price, money, o.most) > 0 {
		return no // not even the best value for money is enough
	}
	n := min(o.supply, int64(len(p.pieces)))
	if o.price > 0 {
		n = min(n, money/o.price)
	}
	if int64(len(p.bars))+n > tryingBars {
		return unknown
	}
	held := len(p.bars)
	for range n {
		p.bars = append(p.bars, at)
	}
	result := no
	for ; n >= 0; n-- {
		p.bars = p.bars[:held+int(n)]
		switch p.buy(at+1, lacking(need, n, o.most), money-n*o.price) {
		case yes:
			return yes
		case unknown:
			result = unknown
		}
	}
	p.bars = p.bars[:held]
	return result
}

// lacking is need less n·most, or 0.
func lacking(need, n, most int64) int64 {
	hi, lo := bits.Mul64(uint64(n), uint64(most))
	if need <= 0 || hi != 0 || lo >= uint64(need) {
		return 0
	}
	return need - int64(lo)
}

// packed reports whether the pieces can be packed into the bars bought. A
// purchase to which one more bar could be added is left to that purchase.
func (p *purchases) packed(money int64) answer {
	counts := make([]int64, len(p.offers))
	t := packing{purchases: p}
	var room int64
	for _, b := range p.bars {
		counts[b]++
		s := p.model.stocks[p.offers[b].stock]
		t.left = append(t.left, s.capacity)
		room += s.capacity
	}
	for i, o := range p.offers {
		if counts[i] < min(o.supply, int64(len(p.pieces))) && o.price <= money {
			return no
		}
	}
	if room < p.weight {
		return no
	}
	return t.place(0, 0, p.weight)
}

// packing tries to put the pieces, heaviest first, into the bars.
type packing struct {
	*purchases
	left []int64 // room left in each bar
}

// place puts the pieces from index i on; weight is theirs together. Of equal
// pieces the later never goes into an earlier bar, and of bars of one offer
// with equal room only the first is tried.
func (t *packing) place(i, from int, weight int64) answer {
	if i == len(t.pieces) {
		return yes
	}
	if t.nodes--; t.nodes < 0 {
		return unknown
	}
	lightest := t.model.kinds[t.pieces[len(t.pieces)-1]].weight
	var room int64
	for _, l := range t.left {
		if l >= lightest {
			room += l
		}
	}
	if room < weight {
		return no
	}
	k := t.pieces[i]
	w := t.model.kinds[k].weight
	if i == 0 || t.pieces[i-1] != k {
		from = 0
	}
	result := no
	for b := from; b < len(t.left); b++ {
		if t.left[b] < w || !t.model.stocks[t.offers[t.bars[b]].stock].able[k] || t.like(from, b) {
			continue
		}
		t.left[b] -= w
		r := t.place(i+1, b, weight-w)
		t.left[b] += w
		if r == yes {
			return yes
		}
		if r == unknown {
			result = unknown
		}
	}
	return result
}

// like reports whether a bar from index from on, before b, is as good as b.
func (t *packing) like(from, b int) bool {
	for c := from; c < b; c++ {
		if t.left[c] == t.left[b] && t.bars[c] == t.bars[b] {
			return true
		}
	}
	return false
}
