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
	known    map[string]choice
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
	d := &demand{search: s, m: m, covers: covers, short: short, readies: s.readies(m), known: map[string]choice{}}
	add := func(c class) { d.classes, d.pieces = append(d.classes, c), plus(d.pieces, c.number) }
	if m.job.Sheet() {
		for i := range s.job.Panels {
			if p := &s.job.Panels[i]; p.Material == m.index {
				add(class{number: p.Quantity, panel: p})
			}
		}
	} else if m.bars != nil {
		for _, k := range m.bars.kinds {
			square, mitred := pieceCuts(k.piece())
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
		if d.load(o.Length, o.Width) {
			return 0
		}
		trims, r := d.m.trims(), d.m.trimmed(o)
		if d.load(max(0, r.length), max(0, r.width)) {
			return trims
		}
		return trims + 1
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
func (d *demand) least(st []standing) int64 { return d.cheapest(st).cost }

// cheapest is what the material costs least by a view, and what it takes then.
// The search is for little more than the continuous bound first.
func (d *demand) cheapest(st []standing) choice {
	key := d.key(st)
	if c, met := d.known[key]; met {
		return c
	}
	c := choice{cost: d.bound}
	for i := range d.job.Suppliers {
		c.cost = plus(c.cost, times(d.job.Suppliers[i].Cut, d.job.Suppliers[i].FreeCuts))
	}
	for _, r := range d.readies {
		price := r.price
		switch v := &d.job.Suppliers[r.supplier]; {
		case st[r.supplier].state == out:
			continue
		case st[r.supplier].flat && v.Minimum > 0:
			price = 0
		}
		if price < c.cost {
			c = choice{price, d.byMark(r)}
		}
	}
	apart := d.apart(st)
	w := d.walk([]*prices{d.prices(st)}, []int64{0})
	if !d.m.process.BySupplier {
		w.seen = make([][]met, len(d.offers)+1)
	}
	w.leaf = func() {
		if t := w.total(0); t <= w.limits[0] {
			c, w.limits[0] = choice{t, w.vector(apart)}, t-1
		}
	}
	start := w.atLeast(0)
	for more := start/64 + 1; start < c.cost && !d.gaveUp; more = times(more, 4) {
		w.limits[0] = min(plus(start, more), c.cost-1)
		last := w.limits[0] == c.cost-1
		clear(w.seen)
		w.offer(0)
		if last || w.limits[0] == c.cost-1 {
			break
		}
	}
	if d.gaveUp {
		return choice{}
	}
	d.known[key] = c
	return c
}

// choice is a way to have a material; takes is nil where nothing was found
// that matters.
type choice struct {
	cost  int64
	takes *vector
}

// apart are the prices in which cuts that are counted apart cost nothing.
func (d *demand) apart(st []standing) *prices {
	flat := slices.Clone(st)
	for i := range flat {
		flat[i].flat = true
	}
	return d.prices(flat)
}

// byMark is what a material takes that is bought by the mark.
func (d *demand) byMark(r ready) *vector {
	x := d.empty()
	if d.job.Suppliers[r.supplier].Minimum > 0 {
		x.goods[r.supplier] = r.price
	} else {
		x.rest = r.price
	}
	return &x
}

// vectors lists what the material can take of the suppliers placed, by every
// view at most its limit.
func (d *demand) vectors(views [][]standing, limits []int64) []vector {
	var list []vector
	for _, r := range d.readies {
		if views[0][r.supplier].state != out {
			list = d.hold(list, *d.byMark(r))
		}
	}
	var all []*prices
	for _, st := range views {
		all = append(all, d.prices(st))
	}
	w := d.walk(all, limits)
	apart := d.apart(views[0])
	w.leaf = func() {
		for v := range all {
			if w.total(v) > limits[v] {
				return
			}
		}
		list = d.hold(list, *w.vector(apart))
	}
	w.offer(0)
	return list
}
