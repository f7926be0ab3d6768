package check

import (
	"fmt"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// pack is how many bars or sheets of an offer are sold together.
func pack(o *job.Offer) int64 { return max(1, o.Pack) }

// tiers are the prices of an offer by quantity.
func tiers(o *job.Offer) []job.Tier {
	if len(o.Tiers) == 0 {
		return []job.Tier{{From: 1, Price: o.Price}}
	}
	return o.Tiers
}

// packPrice is the price of a pack when so many bars or sheets are bought;
// false where so few are not sold.
func packPrice(o *job.Offer, count int64) (price int64, sold bool) {
	for _, t := range tiers(o) {
		if count >= t.From {
			price, sold = t.Price, true
		}
	}
	return price, sold
}

// leastPrice is what no bar or sheet of an offer costs less than, whatever the
// quantity: the lowest price of a pack over all tiers, by its number.
func leastPrice(o *job.Offer) int64 {
	least := tiers(o)[0].Price
	for _, t := range tiers(o) {
		least = min(least, t.Price)
	}
	return max(0, least) / pack(o)
}

// sold reports whether anything is cut from an offer at all: a supplier that
// lays out its own stock sells no bars or sheets.
func (a *audit) sold(o *job.Offer) bool {
	return o.Stock != 0 && !(o.Supplier >= 0 && o.Supplier < len(a.job.Suppliers) && a.job.Suppliers[o.Supplier].ByMark)
}

// buy checks that what is bought is what the layouts are cut from and the
// spares, offer by offer in the job's order, at the job's prices and within its stocks.
func (a *audit) buy(m *material) {
	if m.plan.ByMark != "" {
		a.marks(m)
		return
	}
	if len(m.plan.Marks) > 0 {
		a.find(m.job.Key, "marks are priced, but no supplier is named that sells by the mark")
	}
	used := map[int]int64{}
	for i := range m.plan.Layouts {
		used[m.plan.Layouts[i].Stock.Offer]++
	}
	met := map[int]bool{}
	before := -1
	spares := whole(0)
	for i, l := range m.plan.Buy {
		where := fmt.Sprintf("%s, purchase line %d", m.job.Key, i+1)
		if l.Offer < 0 || l.Offer >= len(a.job.Offers) || a.job.Offers[l.Offer].Material != m.index {
			a.find(where, "offer %d is no offer of this material", l.Offer)
			continue
		}
		o := &a.job.Offers[l.Offer]
		switch {
		case met[l.Offer]:
			a.find(where, "offer %d is bought in two lines", l.Offer)
		case l.Offer < before:
			a.find(where, "the lines are not in the order of the offers")
		}
		met[l.Offer], before = true, l.Offer
		a.line(&l, o, used[l.Offer], where)
		if l.Spare > 0 && a.holdsAll(m, o, a.carried(o)) {
			spares = spares.plus(whole(l.Spare))
		}
	}
	for _, o := range m.offers {
		if used[o] > 0 && !met[o] {
			a.find(m.job.Key, "%d of offer %d are cut but not bought", used[o], o)
		}
	}
	if want := m.spares(int64(len(m.plan.Layouts))); spares.compare(want) < 0 {
		a.find(m.job.Key, "%s spares are bought from which everything can be cut, the job wants %s", spares, want)
	}
}

// line checks one line of a purchase, of which the layouts use so many.
func (a *audit) line(l *plan.Line, o *job.Offer, used int64, where string) {
	if l.Supplier != a.supplier(o) {
		a.find(where, "the supplier is given as %q, it is %q", l.Supplier, a.supplier(o))
	}
	if !a.sold(o) {
		a.find(where, "%q sells none of it to be cut by others", a.supplier(o))
	}
	if l.Length != o.Length || l.Width != o.Width {
		a.find(where, "the size is given as %s x %s, it is %s x %s", a.len(l.Length), a.len(l.Width), a.len(o.Length), a.len(o.Width))
	}
	if l.Count < 1 || l.Spare < 0 || l.Spare > l.Count || l.Count-l.Spare != used {
		a.find(where, "%d are bought, %d of them spares; the layouts use %d", l.Count, l.Spare, used)
	}
	if o.Stock >= 0 && l.Count > o.Stock {
		a.find(where, "%d are bought, %q has only %d", l.Count, a.supplier(o), o.Stock)
	}
	size := pack(o)
	if given := max(1, l.Pack); given != size || l.Pack == 1 || l.Pack < 0 {
		a.find(where, "the pack is given as %d, it is %d (not given when 1)", l.Pack, size)
	}
	if l.Count%size != 0 {
		a.find(where, "%d are bought, they are sold in packs of %d", l.Count, size)
	}
	price, sold := packPrice(o, l.Count)
	if !sold {
		a.find(where, "%d are bought, they are sold from %d on", l.Count, tiers(o)[0].From)
	}
	if int64(l.Each) != price {
		a.find(where, "the price of one, or of one pack, is given as %s, at this quantity it is %s", l.Each, plan.Money(price))
	}
	if want := whole(price).times(whole(l.Count / size)); !want.equals(int64(l.Amount)) {
		a.find(where, "the amount is given as %s, %d at %s make another", l.Amount, l.Count/size, plan.Money(price))
	}
}

// spares is how many bars or sheets must be bought beyond those cut.
func (m *material) spares(cut int64) wide {
	return whole(m.job.Spare).plus(whole(m.job.SparePercent).times(whole(cut)).ceiling(whole(10_000)))
}

// holdsAll reports whether every piece or panel of the material, taken alone,
// can be cut from a bar or sheet of the offer, which may have to be carried.
func (a *audit) holdsAll(m *material, o *job.Offer, carried bool) bool {
	limit := length.Length(0)
	if carried {
		limit = a.job.LongestLoad
	}
	for i := range a.job.Pieces {
		if p := &a.job.Pieces[i]; p.Material == m.index && !m.holdsPiece(p, o, limit, a.turns(m)) {
			return false
		}
	}
	for i := range a.job.Panels {
		if p := &a.job.Panels[i]; p.Material == m.index && !a.holdsPanel(m, p, o, carried) {
			return false
		}
	}
	return true
}

// holdsPiece reports whether a piece fits between trims and tail of a bar, of
// which no more than limit can be carried where that is not 0.
func (m *material) holdsPiece(p *job.Piece, o *job.Offer, limit length.Length, turns bool) bool {
	need, tail := p.Length, length.Length(0)
	if m.process.Tail > 0 {
		last := cutLength(m.process.Kerf, p.Right)
		if turns {
			last = min(last, cutLength(m.process.Kerf, p.Left))
		}
		need, tail = need+last, m.process.Tail
	}
	switch {
	case need > o.Length-m.process.TrimLeft-m.process.TrimRight-tail:
		return false
	case limit <= 0:
		return true
	case m.process.BySupplier:
		return p.Length <= limit
	}
	return o.Length <= limit || need+tail <= limit
}

// holdsPanel reports whether a panel can be cut from a sheet of an offer.
func (a *audit) holdsPanel(m *material, p *job.Panel, o *job.Offer, carried bool) bool {
	r := m.trimmed(o)
	if r.length <= 0 || r.width <= 0 || carried && !a.load(p.Length, p.Width) {
		return false
	}
	sheet := m.room(r.length, r.width)
	for _, pose := range m.poses(p.Length, p.Width, p.Turn, sheet) {
		if !m.strip(pose.x, sheet.x) && !m.strip(pose.y, sheet.y) {
			return true
		}
	}
	return false
}

// marks checks a material that is bought by the mark: all of it, from one
// supplier that quotes it, and nothing laid out here.
func (a *audit) marks(m *material) {
	where := m.job.Key + ", bought by the mark"
	s, known := a.suppliers[m.plan.ByMark]
	if !known || !a.job.Suppliers[s].ByMark {
		a.find(where, "%q does not sell by the mark", m.plan.ByMark)
		return
	}
	if len(m.plan.Buy) > 0 || len(m.plan.Layouts) > 0 {
		a.find(where, "bars or sheets are bought or cut all the same")
	}
	if m.plan.BarProof != nil || m.plan.SheetProof != nil || m.plan.Goals.Cost.Bound != 0 {
		a.find(where, "a least cost is given as %s, there is none to be proved", m.plan.Goals.Cost.Bound)
	}
	price := a.quotes(s)
	var wanted []plan.Quote
	add := func(mark string, count int64) {
		each, quoted := price[mark]
		if !quoted {
			a.find(where, "%q quotes no price for %s", m.plan.ByMark, mark)
		}
		wanted = append(wanted, plan.Quote{Mark: mark, Count: count, Each: plan.Money(each)})
	}
	a.eachMark(m, add)
	if len(wanted) != len(m.plan.Marks) {
		a.find(where, "%d marks are bought, the job has %d", len(m.plan.Marks), len(wanted))
		return
	}
	for i, w := range wanted {
		got := m.plan.Marks[i]
		if got.Mark != w.Mark || got.Count != w.Count || got.Each != w.Each {
			a.find(where, "line %d is %d of %q at %s, it must be %d of %q at %s", i+1, got.Count, got.Mark, got.Each, w.Count, w.Mark, w.Each)
		} else if !whole(int64(w.Each)).times(whole(w.Count)).equals(int64(got.Amount)) {
			a.find(where, "the amount for %s is given as %s, %d at %s make another", got.Mark, got.Amount, got.Count, got.Each)
		}
	}
}

// eachMark visits the marks of a material in the job's order.
func (a *audit) eachMark(m *material, visit func(mark string, count int64)) {
	for _, p := range a.job.Pieces {
		if p.Material == m.index && !m.job.Sheet() {
			visit(p.Mark, p.Quantity)
		}
	}
	for _, p := range a.job.Panels {
		if p.Material == m.index && m.job.Sheet() {
			visit(p.Mark, p.Quantity)
		}
	}
}

// quotes are the prices of a supplier by mark.
func (a *audit) quotes(supplier int) map[string]int64 {
	list := map[string]int64{}
	for _, q := range a.job.Quotes {
		if q.Supplier == supplier {
			list[q.Mark] = q.Price
		}
	}
	return list
}
