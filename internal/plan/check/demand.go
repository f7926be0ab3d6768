package check

import (
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// demand is what must be had of one material, and from where it can be had.
type demand struct {
	*search
	m        *material
	offers   []int // the material's offers, as indexes into m.offers, the best value first
	covers   []cover
	short    [][]int64 // counts of m.offers that are too few
	classes  []class
	pieces   int64
	readies  []ready
	sellers  []int   // suppliers that matter
	supplied []int64 // how many of each of m.offers can be of use
	known    map[string]int64
}

// class is a kind of piece or panel, for what cutting it costs.
type class struct {
	number         int64
	square, mitred int64
	panel          *job.Panel
}

// materialsOf lists the materials a proof speaks of.
func materialsOf(p *plan.PurchaseProof) []string {
	var list []string
	for _, c := range p.Covers {
		list = append(list, c.Material)
	}
	for _, s := range p.Shortages {
		list = append(list, s.Material)
	}
	slices.Sort(list)
	return slices.Compact(list)
}

func (s *search) demand(m *material, covers []cover, short [][]int64) *demand {
	d := &demand{search: s, m: m, covers: covers, short: short, readies: s.readies(m), known: map[string]int64{}}
	add := func(c class) { d.classes, d.pieces = append(d.classes, c), plus(d.pieces, c.number) }
	if m.job.Sheet() {
		for i := range s.job.Panels {
			if p := &s.job.Panels[i]; p.Material == m.index {
				add(class{number: p.Quantity, panel: p})
			}
		}
	} else if m.bars != nil {
		for _, k := range m.bars.kinds {
			square, mitred := pieceCuts(&job.Piece{Left: k.left, Right: k.right})
			add(class{number: k.number, square: square, mitred: mitred})
		}
	}
	for k, o := range m.offers {
		offer := &s.job.Offers[o]
		d.supplied = append(d.supplied, s.supply(m, o))
		if d.supplied[k] > 0 && offer.Supplier >= 0 && offer.Supplier < len(s.job.Suppliers) {
			d.offers = append(d.offers, k)
			d.sellers = append(d.sellers, offer.Supplier)
		}
	}
	for _, r := range d.readies {
		d.sellers = append(d.sellers, r.supplier)
	}
	slices.Sort(d.sellers)
	d.sellers = slices.Compact(d.sellers)
	worths := d.covers[0].worth
	slices.SortStableFunc(d.offers, func(x, y int) int {
		return compareProducts(d.price(x), worths[y], d.price(y), worths[x])
	})
	d.loose()
	return d
}

func (d *demand) offer(k int) *job.Offer { return &d.job.Offers[d.m.offers[k]] }

func (d *demand) price(k int) int64 { return leastPrice(d.offer(k)) }

// loose tells the search where a purchase that seems possible need not be.
func (d *demand) loose() {
	cutting, carrying := 0, false
	for _, i := range d.sellers {
		v := &d.job.Suppliers[i]
		if d.m.process.BySupplier && (v.Cut > 0 || v.Mitre > 0 || v.CutMetre > 0 || v.Pierce > 0 || v.SetUp > 0) {
			cutting++
		}
		_, byFetching := ways(v)
		carrying = carrying || byFetching
	}
	d.search.loose = d.search.loose || cutting > 0 && len(d.sellers) > 1
	if !carrying || d.job.LongestLoad <= 0 {
		return
	}
	for _, k := range d.offers {
		o := d.offer(k)
		d.search.loose = d.search.loose || !d.load(o.Length, o.Width)
	}
}

// prices are what the material costs by one view of the suppliers.
type prices struct {
	open    []bool  // offers that can be bought
	counted []bool  // offers whose goods count
	bar     []int64 // charged for each bar or sheet cut
	unit    []int64 // the least that one of them costs, cut
	spare   []bool  // offers that can serve as spares
	yard    []int64 // cuts at the yard for each
	setUp   []int64 // of each supplier
	piece   [][]int64
	base    int64 // the least that cutting all pieces costs
}

// state is a supplier's, where it is undecided the one that costs less.
func (d *demand) state(i int, st []standing) byte {
	v := &d.job.Suppliers[i]
	byDelivery, _ := ways(v)
	switch {
	case st[i].state != undecided:
		return st[i].state
	case v.OnHand:
		return ours
	case byDelivery:
		return delivered
	}
	return fetched
}

func (d *demand) prices(st []standing) *prices {
	n := len(d.m.offers)
	p := &prices{
		open: make([]bool, n), counted: make([]bool, n), bar: make([]int64, n), unit: make([]int64, n),
		spare: make([]bool, n), yard: make([]int64, n),
		setUp: make([]int64, len(st)), piece: make([][]int64, len(st)),
	}
	for _, k := range d.offers {
		o := d.offer(k)
		i := o.Supplier
		v, state := &d.job.Suppliers[i], d.state(i, st)
		if state == out {
			continue
		}
		p.open[k] = true
		p.counted[k] = !(st[i].flat && v.Minimum > 0)
		p.spare[k] = d.holdsAll(d.m, o, state == fetched && d.job.LongestLoad > 0)
		if state == fetched {
			p.yard[k] = d.yardLeast(o)
		}
		p.bar[k] = times(p.yard[k], cutPrice(v, st[i].flat))
		if d.m.process.BySupplier && state != ours && p.piece[i] == nil {
			p.piece[i] = d.pieceCharges(v, cutPrice(v, st[i].flat))
			if d.m.job.Sheet() {
				p.setUp[i] = v.SetUp
			}
		}
		if d.m.process.BySupplier && state != ours && d.m.job.Sheet() {
			p.bar[k] = plus(p.bar[k], v.PerSheet)
		}
		p.unit[k] = p.bar[k]
		if p.counted[k] {
			p.unit[k] = plus(p.unit[k], d.price(k))
		}
		if p.piece[i] == nil {
			p.piece[i] = make([]int64, len(d.classes)) // nothing is charged
		}
	}
	for c := range d.classes {
		least := int64(-1)
		for i := range p.piece {
			if p.piece[i] != nil && (least < 0 || p.piece[i][c] < least) {
				least = p.piece[i][c]
			}
		}
		p.base = plus(p.base, times(max(0, least), d.classes[c].number))
	}
	return p
}

// cutPrice is what one more square cut costs by a view.
func cutPrice(v *job.Supplier, flat bool) int64 {
	if flat && v.FreeCuts > 0 {
		return 0
	}
	return v.Cut
}

// pieceCharges are what a supplier charges for cutting one of every class.
func (d *demand) pieceCharges(v *job.Supplier, cut int64) []int64 {
	var list []int64
	for _, c := range d.classes {
		if c.panel != nil {
			each, _ := panelCut(v, c.panel).int64()
			list = append(list, min(each, mostMoney))
			continue
		}
		list = append(list, plus(times(c.square, cut), times(c.mitred, v.Mitre)))
	}
	return list
}

// yardLeast is the fewest cuts with which a bar or sheet of an offer can be
// carried, where we cut it to the list ourselves.
func (d *demand) yardLeast(o *job.Offer) int64 {
	load := d.job.LongestLoad
	switch {
	case d.m.process.BySupplier || load <= 0:
		return 0
	case d.m.job.Sheet():
		// A single part may lie a kerf short of the sheet without a counted cut.
		r, kerf := d.m.trimmed(o), d.m.process.Kerf
		if d.load(max(0, r.length-kerf), max(0, r.width-kerf)) {
			return 0
		}
		return 1
	case o.Length <= load:
		return 0
	}
	kerf := d.firstKerf(d.m, o)
	return ceiling(int64(o.Length+kerf), 1, int64(load+kerf)) - 1
}

// goods is what so many bars or sheets of an offer cost at least: packs and
// quantities may make it cheaper to buy more.
func goods(o *job.Offer, count int64) (cost int64, sold bool) {
	if count <= 0 {
		return 0, true
	}
	size := pack(o)
	for _, t := range tiers(o) {
		packs := (max(count, t.From) + size - 1) / size
		if o.Stock >= 0 && packs > o.Stock/size {
			break
		}
		price, _ := packPrice(o, packs*size)
		if c := times(packs, max(0, price)); !sold || c < cost {
			cost, sold = c, true
		}
	}
	return cost, sold
}

// key names what is decided of the suppliers that matter.
func (d *demand) key(st []standing) string {
	b := make([]byte, len(d.sellers))
	for n, i := range d.sellers {
		if b[n] = st[i].state; st[i].flat {
			b[n] |= 16
		}
	}
	return string(b)
}

// least is the least that the material costs by a view, or the most that can matter.
func (d *demand) least(st []standing) int64 {
	key := d.key(st)
	if v, met := d.known[key]; met {
		return v
	}
	best := d.bound
	for i := range d.job.Suppliers {
		best = plus(best, times(d.job.Suppliers[i].Cut, d.job.Suppliers[i].FreeCuts))
	}
	for _, r := range d.readies {
		switch v := &d.job.Suppliers[r.supplier]; {
		case st[r.supplier].state == out:
		case st[r.supplier].flat && v.Minimum > 0:
			best = 0
		default:
			best = min(best, r.price)
		}
	}
	w := d.walk([]*prices{d.prices(st)}, []int64{best - 1})
	w.leaf = func() {
		best = min(best, w.total(0))
		w.limits[0] = best - 1
	}
	w.offer(0)
	if d.gaveUp {
		return 0
	}
	d.known[key] = best
	return best
}

// vectors lists what the material can take of the suppliers placed, by every
// view at most its limit.
func (d *demand) vectors(views [][]standing, limits []int64) []vector {
	var list []vector
	for _, r := range d.readies {
		v := &d.job.Suppliers[r.supplier]
		if views[0][r.supplier].state == out {
			continue
		}
		x := d.empty()
		if v.Minimum > 0 {
			x.goods[r.supplier] = r.price
		} else {
			x.rest = r.price
		}
		list = d.hold(list, x)
	}
	var all []*prices
	for _, st := range views {
		all = append(all, d.prices(st))
	}
	// Where cuts are counted apart they cost nothing else.
	apart := slices.Clone(views[0])
	for i := range apart {
		apart[i].flat = true
	}
	w := d.walk(all, limits)
	plain := d.prices(apart)
	w.leaf = func() {
		for v := range all {
			if w.total(v) > limits[v] {
				return
			}
		}
		list = d.hold(list, w.vector(plain))
	}
	w.offer(0)
	return list
}
