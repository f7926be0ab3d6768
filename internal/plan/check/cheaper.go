package check

import (
	"cmp"
	"encoding/binary"
	"fmt"
	"math"
	"math/bits"
	"slices"
	"strings"

	"sawbill/internal/plan"
)

// Where the values of a proof leave a gap, small problems are settled by
// trying: every purchase n below the claimed cost that could be enough is
// tested for whether the pieces can be packed into it. Of what the purchase
// can hold at most, Σ Uₖ·nₖ, only Σ Uₖ·nₖ - D may go to waste, so a bar whose
// content falls short of its Uₖ by more needs no look (enumeration by reduced
// cost, as for arc-flow models: Valério de Carvalho 1999). What a bar needs is
// never overstated, so "cannot be packed" is true of the real bars.

const (
	tryingNodes  = 10_000_000
	tryingPieces = 2_000
	failedStates = 200_000 // remembered
)

// purchases searches the counts of offers, and packs.
type purchases struct {
	model  *barModel
	values []int64
	offers []candidate
	order  []int // kinds by value per weight, descending
	wanted int64
	nodes  int64
	pieces int64
	weight int64           // of all pieces, the least they have
	failed map[string]bool // what was left when packing failed, see packing.key
}

type candidate struct {
	stock               int // index into barModel.stocks
	price, supply, most int64
	bought              int64
}

// noCheaper answers yes when no purchase below cost can hold the pieces, no
// with the purchase when one seems to, and unknown when there are too many to
// try.
func (a *audit) noCheaper(m *material, b *barModel, w worth, cost plan.Money) (result answer, cheaper string) {
	p := &purchases{model: b, values: w.values, wanted: w.wanted, nodes: tryingNodes, failed: map[string]bool{}}
	for k, o := range m.offers {
		offer := &a.job.Offers[o]
		c := candidate{stock: k, price: leastPrice(offer), supply: offer.Stock, most: w.most[k]}
		if c.supply < 0 {
			c.supply = math.MaxInt64
		}
		if a.sold(offer) && b.stocks[k].capacity > 0 {
			p.offers = append(p.offers, c)
		}
	}
	// The most value for money first; bars whose content is worth nothing last.
	slices.SortStableFunc(p.offers, func(x, y candidate) int {
		if (x.most == 0) != (y.most == 0) {
			return cmp.Compare(y.most, x.most)
		}
		return compareProducts(x.price, y.most, y.price, x.most)
	})
	for i, k := range b.kinds {
		if k.number > tryingPieces || p.pieces > tryingPieces || w.values[i] < 0 {
			return unknown, ""
		}
		p.pieces += k.number
		least := k.weight
		for _, s := range b.stocks {
			least = min(least, s.model.kinds[i].weight)
		}
		p.weight += least * k.number
		p.order = append(p.order, i)
	}
	slices.SortStableFunc(p.order, func(x, y int) int {
		return cmp.Or(
			compareProducts(w.values[y], b.kinds[x].weight, w.values[x], b.kinds[y].weight),
			cmp.Compare(b.kinds[y].weight, b.kinds[x].weight))
	})
	switch p.buy(0, w.wanted, int64(cost)-1) {
	case no:
		return yes, ""
	case yes:
		if b.optimistic() {
			return unknown, ""
		}
		return no, a.words(m, p)
	}
	return unknown, ""
}

// words says what was bought when the pieces could be packed.
func (a *audit) words(m *material, p *purchases) string {
	var words []string
	cost := whole(0)
	for _, o := range p.offers {
		if o.bought > 0 {
			words = append(words, fmt.Sprintf("%d of %s", o.bought, a.len(a.job.Offers[m.offers[o.stock]].Length)))
			cost = cost.plus(whole(o.price).times(whole(o.bought)))
		}
	}
	cents, _ := cost.int64()
	return fmt.Sprintf("%s for %s", strings.Join(words, " and "), plan.Money(cents))
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
	o := &p.offers[at]
	if need > 0 && compareProducts(need, o.price, money, o.most) > 0 {
		return no // not even the best value for money is enough
	}
	n, least := min(o.supply, p.pieces), int64(0)
	if o.price > 0 {
		n = min(n, money/o.price)
	} else {
		least = n // leaving what is free saves nothing
	}
	result := no
	for ; n >= least; n-- {
		o.bought = n
		switch p.buy(at+1, lacking(need, n, o.most), money-n*o.price) {
		case yes:
			return yes
		case unknown:
			result = unknown
		}
		if p.nodes < 0 {
			return unknown
		}
	}
	o.bought = 0
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
	t := packing{purchases: p, rest: make([]int64, len(p.model.kinds))}
	for i, k := range p.model.kinds {
		t.rest[i] = k.number
	}
	var room, most wide
	for _, o := range p.offers {
		if o.bought < min(o.supply, p.pieces) && o.price <= money {
			return no
		}
		t.left = append(t.left, o.bought)
		most = most.plus(whole(o.most).times(whole(o.bought)))
		room = room.plus(whole(p.model.stocks[o.stock].capacity).times(whole(o.bought)))
	}
	if room.compare(whole(p.weight)) < 0 {
		return no
	}
	waste, fits := most.minus(whole(p.wanted)).int64()
	if !fits {
		return unknown
	}
	return t.cover(waste)
}

// packing fills bar after bar.
type packing struct {
	*purchases
	rest []int64 // pieces of each kind not yet in a bar
	left []int64 // bars of each offer not yet filled
}

// filling is the bar being filled.
type filling struct {
	offer   int   // index into purchases.offers
	room    int64 // weight that still fits
	short   int64 // value by which the content falls short of the most
	waste   int64 // how much of that is allowed
	content []int // kinds, where the order of cuts matters
}

// cover fills the next bar with the heaviest piece left, in all ways that
// waste no more than may be wasted.
func (t *packing) cover(waste int64) answer {
	heaviest := -1
	for i, n := range t.rest {
		if n > 0 && (heaviest < 0 || t.model.kinds[i].weight > t.model.kinds[heaviest].weight) {
			heaviest = i
		}
	}
	if heaviest < 0 {
		return yes
	}
	key := t.key()
	if t.failed[key] {
		return no
	}
	result := no
	for o := range t.offers {
		s := &t.model.stocks[t.offers[o].stock]
		weight := s.model.kinds[heaviest].weight
		if t.left[o] == 0 || !s.able[heaviest] || weight > s.capacity {
			continue
		}
		t.left[o]--
		t.rest[heaviest]--
		r := t.fill(0, filling{
			offer: o, room: s.capacity - weight,
			short: t.offers[o].most - t.values[heaviest], waste: waste, content: []int{heaviest},
		})
		t.rest[heaviest]++
		t.left[o]++
		if r != no {
			result = r
		}
		if r == yes || t.nodes < 0 {
			break
		}
	}
	if result == no && len(t.failed) < failedStates {
		t.failed[key] = true
	}
	return result
}

// key is what is left of pieces and bars. What may be wasted follows from it.
func (t *packing) key() string {
	b := make([]byte, 0, 2*(len(t.rest)+len(t.left)))
	for _, n := range t.rest {
		b = binary.AppendUvarint(b, uint64(n))
	}
	for _, n := range t.left {
		b = binary.AppendUvarint(b, uint64(n))
	}
	return string(b)
}

// fill goes through the counts of the kinds from at on.
func (t *packing) fill(at int, f filling) answer {
	if t.nodes--; t.nodes < 0 {
		return unknown
	}
	if t.atLeastShort(at, f) > f.waste {
		return no
	}
	s := &t.model.stocks[t.offers[f.offer].stock]
	if at == len(t.order) {
		if s.model.square && t.roomForMore(f) {
			return no // the same with one more piece is tried as well
		}
		return t.cover(f.waste - max(0, f.short))
	}
	k := t.order[at]
	w := s.model.kinds[k].weight
	n := int64(0)
	if s.able[k] {
		n = min(t.rest[k], f.room/w)
	}
	result := no
	for ; n >= 0; n-- {
		g := f
		g.room, g.short = f.room-n*w, f.short-n*t.values[k]
		if !s.model.square {
			g.content = slices.Clip(f.content)
			for range n {
				g.content = append(g.content, k)
			}
			if s.model.need(g.content) > s.usable {
				continue
			}
		}
		t.rest[k] -= n
		r := t.fill(at+1, g)
		t.rest[k] += n
		if r != no {
			result = r
		}
		if r == yes || t.nodes < 0 {
			break
		}
	}
	return result
}

// atLeastShort is by how much the content must fall short of the most even if
// the last piece put in could be cut to fit.
func (t *packing) atLeastShort(at int, f filling) int64 {
	room, short := f.room, f.short
	s := &t.model.stocks[t.offers[f.offer].stock]
	for _, k := range t.order[at:] {
		n, w, v := t.rest[k], s.model.kinds[k].weight, t.values[k]
		if n == 0 || v == 0 || !s.able[k] {
			continue
		}
		if fit := room / w; fit < n {
			room -= fit * w
			hi, lo := bits.Mul64(uint64(room), uint64(v))
			part, _ := bits.Div64(hi, lo, uint64(w))
			return short - fit*v - int64(part)
		}
		room -= n * w
		short -= n * v
	}
	return short
}

func (t *packing) roomForMore(f filling) bool {
	s := &t.model.stocks[t.offers[f.offer].stock]
	for k, n := range t.rest {
		if n > 0 && s.model.kinds[k].weight <= f.room && s.able[k] {
			return true
		}
	}
	return false
}
