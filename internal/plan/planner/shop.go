package planner

import (
	"context"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/purchase"
)

// shop is the purchase of a whole job: every supplier in every way its goods
// can come home, and every offer in every form in which it can be cut.
type shop struct {
	job     *job.Job
	problem purchase.Problem
	ways    []way
	offers  []int // offer of the purchase → offer of the job
	sides   []*side
	// slack is by how much materials settled on their own may fall short of
	// their best.
	slack int64
}

// way is one supplier's order, coming home one way.
type way struct {
	supplier int
	way      string
}

// kind is an offer of a material in one form: in one way home, and for bars
// too long to be carried cut into a number of parts.
type kind struct {
	offer int // of the job
	buy   int // of the purchase
	group int
	parts int // 0 where it is not cut at the yard
	// fetched says that all that is cut from it must fit the load, carried that
	// it comes home before we cut it.
	fetched, carried bool
}

// side is one material of the purchase.
type side struct {
	index  int // of the job's materials
	base   plan.Material
	none   *NoPlan // why there is no plan from all offers
	kinds  []kind
	groups []int // order of each group, -1 for all
	alone  bool  // settled on its own
	cutter cutter
}

// cutter is what bars and sheets answer in their own ways. It is the oracle of
// the purchase.
type cutter interface {
	purchase.Oracle
	// classes are how many pieces or panels are wanted of each kind that is alike.
	classes() []int64
	// form sets the kinds in which the material can be bought.
	form(kinds []kind)
	// holds says that a kind can hold a piece of a class alone.
	holds(kind, class int) bool
	// enough is a number of a kind from which all pieces can be cut; 0 when that is
	// not known.
	enough(kind int) int64
	// price of cutting a piece of a class: counted cuts, and cents beside them.
	price(s job.Supplier, class int) (cuts, each int64)
	// covers are inequalities that hold for every purchase that suffices.
	covers(base plan.Material) []purchase.Cover
	// proof is the cover in the words of the plan; number is its place among all
	// covers of the material.
	proof(number int, c purchase.Cover) plan.Cover
	// try cuts all pieces from the allowed kinds as cheaply as it can; nil when it
	// cannot.
	try(ctx context.Context, allowed []bool, extra []int64) *cutting
	// lay fills in the layouts and goals of a purchase that suffices.
	lay(ctx context.Context, counts []int64, pieces [][]int64, out *plan.Material) error
}

func newShop(j *job.Job, sides []*side) *shop {
	s := &shop{job: j, sides: sides}
	for i, v := range j.Suppliers {
		switch {
		case v.OnHand:
			s.way(i, plan.OnHand, 0)
		default:
			if v.Delivers {
				s.way(i, plan.Delivered, v.Delivery)
			}
			if v.Fetched || !v.Delivers {
				s.way(i, plan.Fetched, v.Fetch)
			}
		}
	}
	for _, d := range sides {
		s.side(d)
	}
	return s
}

func (s *shop) way(supplier int, name string, fee int64) {
	v := s.job.Suppliers[supplier]
	o := purchase.Order{Supplier: supplier, Fee: fee}
	if name != plan.OnHand {
		o.Minimum, o.Cut, o.Free = v.Minimum, v.Cut, v.FreeCuts
	}
	s.ways = append(s.ways, way{supplier, name})
	s.problem.Orders = append(s.problem.Orders, o)
}

// ordersOf are the ways of a supplier.
func (s *shop) ordersOf(supplier int) []int {
	var list []int
	for o, w := range s.ways {
		if w.supplier == supplier {
			list = append(list, o)
		}
	}
	return list
}

// side adds a material: its offers in every way, its kinds, groups and charges.
func (s *shop) side(d *side) {
	j := s.job
	jm := j.Materials[d.index]
	demand := d.cutter.classes()
	var pieces int64
	for _, n := range demand {
		pieces += n
	}
	m := purchase.Material{Demand: demand, Spare: jm.Spare, SparePercent: jm.SparePercent, Oracle: d.cutter}
	spares := jm.Spare + (pieces*jm.SparePercent+9999)/10000
	for i, o := range j.Offers {
		if o.Material != d.index || j.Suppliers[o.Supplier].ByMark || o.Stock == 0 || d.none != nil && d.none.Impossible {
			continue // what is on offer cannot do, whoever sells it
		}
		for _, order := range s.ordersOf(o.Supplier) {
			f := purchase.Offer{Order: order, Material: len(s.problem.Materials), Pack: max(1, o.Pack)}
			useful := pieces + spares
			for _, t := range o.Tiers {
				f.Tiers = append(f.Tiers, purchase.Tier{From: t.From, Price: t.Price})
				useful = max(useful, t.From)
			}
			if len(o.Tiers) == 0 {
				f.Tiers = []purchase.Tier{{From: 1, Price: o.Price}}
			}
			f.Stock = (useful + f.Pack - 1) / f.Pack * f.Pack
			if o.Stock >= 0 {
				f.Stock = min(f.Stock, o.Stock)
			}
			buy := len(s.problem.Offers)
			for _, parts := range s.forms(i, order) {
				d.kinds = append(d.kinds, kind{offer: i, buy: buy, parts: parts, fetched: s.ways[order].way == plan.Fetched, carried: carried(j, o)})
				m.Kinds = append(m.Kinds, purchase.Kind{Offer: buy, Most: min(f.Stock, pieces)})
			}
			s.problem.Offers = append(s.problem.Offers, f)
			s.offers = append(s.offers, i)
		}
	}
	s.divide(d, &m)
	d.cutter.form(d.kinds)
	for k := range d.kinds {
		m.Kinds[k].Group = d.kinds[k].group
		m.Kinds[k].Cuts = s.firstCuts(d.kinds[k])
		m.Kinds[k].Each = s.handling(d, d.kinds[k])
		s.mark(d, k)
		s.cap(d, m.Kinds, k, spares)
	}
	for i, v := range j.Suppliers {
		if price, all := s.marks(d, i); v.ByMark && all {
			for _, o := range s.ordersOf(i) {
				if s.ways[o].way == plan.Fetched && !s.carriesAll(d.index) {
					continue
				}
				m.Marks = append(m.Marks, purchase.Marks{Order: o, Price: price})
			}
		}
	}
	s.problem.Materials = append(s.problem.Materials, m)
}

// cap limits a kind to what is enough of it: whatever cuts more of it could as
// well be cut from so many alone. What is bought is limited likewise, but for a price that
// holds from a larger number on.
func (s *shop) cap(d *side, kinds []purchase.Kind, k int, spares int64) {
	n := d.cutter.enough(k)
	if n == 0 {
		return
	}
	kinds[k].Most = min(kinds[k].Most, n)
	if d.kinds[k].parts > 0 {
		return // other forms of the offer add to it
	}
	f := &s.problem.Offers[d.kinds[k].buy]
	useful := max(n+spares, f.Tiers[len(f.Tiers)-1].From)
	f.Stock = min(f.Stock, (useful+f.Pack-1)/f.Pack*f.Pack)
}

// mark says of a kind's offer whether it can serve as a spare: every piece must
// fit.
func (s *shop) mark(d *side, k int) {
	f := &s.problem.Offers[d.kinds[k].buy]
	for c, n := range d.cutter.classes() {
		if n > 0 && !d.cutter.holds(k, c) {
			return
		}
	}
	f.Spare = true
}

// forms are the numbers of parts into which bars of an offer may be cut so that
// they can be carried; 0 alone where they come home whole.
func (s *shop) forms(offer, order int) []int {
	o := s.job.Offers[offer]
	bar := !s.job.Materials[o.Material].Sheet()
	if s.ways[order].way != plan.Fetched || !bar || !carried(s.job, o) || !heavyLoad(s.job, o) {
		return []int{0}
	}
	kerf := int64(firstKerf(s.job, o))
	load, long := int64(s.job.LongestLoad), int64(o.Length)
	least := (long + kerf + load + kerf - 1) / (load + kerf)
	// Two neighbouring parts that fit one are never both of use, so that more
	// than twice the loads in a bar are not.
	most := max(least, min(2*(long/load)+1, least+mostForms-1))
	var all []int
	for p := least; p <= most; p++ {
		all = append(all, int(p))
	}
	return all
}

// firstCuts are the fewest cuts with which one of a kind can be carried: all that
// there are for bars. A sheet too large is trimmed, and where it still is, it needs one
// more; how many more still is only known once panels are laid out on it.
func (s *shop) firstCuts(k kind) int64 {
	if k.parts > 0 {
		return int64(k.parts) - 1
	}
	o := s.job.Offers[k.offer]
	m := s.job.Materials[o.Material]
	if !s.parted(k) || !m.Sheet() || !carried(s.job, o) {
		return 0
	}
	p := s.job.Processes[m.Process]
	n := p.Trims()
	if !fitsLoad(s.job, int64(o.Length-p.TrimLeft-p.TrimRight), int64(o.Width-p.TrimBottom-p.TrimTop)) {
		n++
	}
	return n
}

// parted says that one of a kind is more than can be carried home.
func (s *shop) parted(k kind) bool {
	return k.fetched && heavyLoad(s.job, s.job.Offers[k.offer])
}

// mostForms is how many numbers of parts are tried beyond the fewest.
const mostForms = 4

// divide puts the kinds of a material into groups within which cutting a piece
// costs the same.
func (s *shop) divide(d *side, m *purchase.Material) {
	charged := func(order int) job.Supplier {
		v := s.job.Suppliers[s.ways[order].supplier]
		if v.OnHand || !s.job.Processes[s.job.Materials[d.index].Process].BySupplier {
			return job.Supplier{} // we cut it
		}
		return v
	}
	group := func(order, counted int) {
		g := purchase.Group{Order: counted}
		v := charged(order)
		if s.job.Materials[d.index].Sheet() {
			g.SetUp = v.SetUp
		}
		for c := range m.Demand {
			cuts, each := d.cutter.price(v, c)
			if counted < 0 || v.Cut == 0 {
				each += cuts * v.Cut
				cuts = 0
			}
			g.Cuts, g.Each = append(g.Cuts, cuts), append(g.Each, each)
		}
		d.groups = append(d.groups, counted)
		m.Groups = append(m.Groups, g)
	}
	var used []int
	for _, k := range d.kinds {
		if o := s.problem.Offers[k.buy].Order; !slices.Contains(used, o) {
			used = append(used, o)
		}
	}
	if len(used) == 0 {
		return
	}
	same := true
	for _, o := range used {
		a, b := charged(used[0]), charged(o)
		same = same && a.Cut == b.Cut && a.Mitre == b.Mitre && a.CutMetre == b.CutMetre && a.Pierce == b.Pierce && a.SetUp == 0 && b.SetUp == 0 &&
			a.FreeCuts == 0 && b.FreeCuts == 0
	}
	switch {
	case len(used) == 1:
		group(used[0], used[0])
	case same:
		group(used[0], -1)
	default:
		for _, o := range used {
			group(o, o)
		}
	}
	for k := range d.kinds {
		if len(m.Groups) > 1 {
			d.kinds[k].group = slices.Index(used, s.problem.Offers[d.kinds[k].buy].Order)
		}
	}
}

// handling is what a supplier charges for each sheet that it cuts.
func (s *shop) handling(d *side, k kind) int64 {
	v := s.job.Suppliers[s.job.Offers[k.offer].Supplier]
	jm := s.job.Materials[d.index]
	if v.OnHand || !jm.Sheet() || !s.job.Processes[jm.Process].BySupplier {
		return 0
	}
	return v.PerSheet
}

// marks is the price of all pieces of a material, cut and ready, and whether
// the supplier quotes them all.
func (s *shop) marks(d *side, supplier int) (int64, bool) {
	lines, all := quoted(s.job, d.index, supplier)
	var sum int64
	for _, l := range lines {
		sum += int64(l.Amount)
	}
	return sum, all
}

// carriesAll says that every piece or panel of a material fits the load.
func (s *shop) carriesAll(material int) bool {
	for _, p := range s.job.Pieces {
		if p.Material == material && !fitsLoad(s.job, int64(p.Length), 0) {
			return false
		}
	}
	for _, p := range s.job.Panels {
		if p.Material == material && !fitsLoad(s.job, int64(p.Length), int64(p.Width)) {
			return false
		}
	}
	return true
}

// quoted lists the marks of a material at a supplier's prices, and whether it
// quotes them all.
func quoted(j *job.Job, material, supplier int) (lines []plan.Quote, all bool) {
	prices := map[string]int64{}
	known := map[string]bool{}
	for _, q := range j.Quotes {
		if q.Supplier == supplier {
			prices[q.Mark], known[q.Mark] = q.Price, true
		}
	}
	all = true
	add := func(mark string, count int64) {
		all = all && known[mark]
		each := plan.Money(prices[mark])
		lines = append(lines, plan.Quote{Mark: mark, Count: count, Each: each, Amount: each * plan.Money(count)})
	}
	for _, p := range j.Pieces {
		if p.Material == material {
			add(p.Mark, p.Quantity)
		}
	}
	for _, p := range j.Panels {
		if p.Material == material {
			add(p.Mark, p.Quantity)
		}
	}
	return lines, all
}
