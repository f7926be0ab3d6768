package job

import "fmt"

// Rows of one supplier, material and size that say from which quantity their
// price holds are one offer with a price for each quantity.

// sale is one row of the offers while the table is read.
type sale struct {
	row     record
	variant *changed // whose material it is, or nil
	offer   Offer    // with the row's one tier
	sound   bool     // the row has no fault
}

// good tells which rows sell the same.
type good struct {
	variant            *changed
	supplier, material int
	long, wide         int64
}

func (s *sale) good() good {
	o := s.offer
	return good{s.variant, o.Supplier, o.Material, int64(o.Length), int64(o.Width)}
}

// tiered makes one offer of the rows that belong together. Rows without a
// quantity stay offers of their own, such as stock on hand and more of it at
// another price. What has a row at fault is left out, it has been explained.
func (r *reader) tiered(all []*sale) []*sale {
	type group struct {
		rows           []*sale
		tiered, broken bool
	}
	groups := map[good]*group{}
	for _, s := range all {
		g := groups[s.good()]
		if g == nil {
			g = &group{}
			groups[s.good()] = g
		}
		g.rows = append(g.rows, s)
		g.tiered = g.tiered || s.row.cell("from").text != ""
		g.broken = g.broken || !s.sound
	}
	var out []*sale
	for _, s := range all {
		g := groups[s.good()]
		switch {
		case !s.sound:
		case !g.tiered:
			r.saleable(s)
			out = append(out, s)
		case g.broken || g.rows[0] != s:
		default:
			for _, next := range g.rows[1:] {
				r.addTier(&s.offer, next)
			}
			r.saleable(s)
			out = append(out, s)
		}
	}
	return out
}

// addTier adds the price of a further row to an offer.
func (r *reader) addTier(o *Offer, next *sale) {
	t, before := next.offer.Tiers[0], o.Tiers[len(o.Tiers)-1]
	at := func(name string) Pos { return next.row.cell(name).at }
	const same = "the rows of one supplier, material and size that have a from are one offer"
	switch {
	case next.offer.Pack != o.Pack:
		r.fault(at("pack"), "pack %d differs from the %d in line %d; %s, so write one pack in all of them", next.offer.Pack, o.Pack, o.Pos.Line, same)
	case next.offer.Stock != o.Stock:
		r.fault(at("stock"), "stock %s differs from the %s in line %d; %s, so write one stock in all of them", stockText(next.offer.Stock), stockText(o.Stock), o.Pos.Line, same)
	case t.From == before.From:
		r.fault(at("from"), "from %d stands twice; %s, so write another quantity or take the row out", t.From, same)
	case t.From < before.From:
		r.fault(at("from"), "from %d stands below from %d; %s, so write their quantities ascending", t.From, before.From, same)
	case t.Price > before.Price:
		r.fault(at("price"), "the price %s from %d on is more than %s from %d on; a price for more is never higher, so correct one of them", quote(t.Text), t.From, quote(before.Text), before.From)
	}
	o.Tiers = append(o.Tiers, t)
	o.Further = append(o.Further, next.offer.Pos)
}

func stockText(n int64) string {
	if n < 0 {
		return "left empty"
	}
	return fmt.Sprint(n)
}

// saleable refuses an offer of which not even the least can be bought: the
// first quantity with a price, in whole packs.
func (r *reader) saleable(s *sale) {
	o := s.offer
	packs := func(n int64) int64 { return (n + o.Pack - 1) / o.Pack }
	first := o.Tiers[0]
	least := packs(first.From) * o.Pack
	at := s.row.cell("stock").at
	switch {
	case o.Stock <= 0: // not limited, or sold out
	case o.Stock < o.Pack:
		r.fault(at, "stock %d is less than one pack of %d; count single bars or sheets, or take the row out", o.Stock, o.Pack)
	case o.Stock/o.Pack*o.Pack < least:
		r.fault(at, "stock %d is less than the %d that must be bought at least; lower from, or take the row out", o.Stock, least)
	}
	// A quantity with a price is within what a job may cost, so that no sum
	// over quantities leaves 64 bits.
	for _, t := range o.Tiers {
		if t.Price > 0 && packs(t.From) > mostCents/t.Price {
			r.fault(s.row.cell("price").at, "%d at the price %s are more than %d, beyond any job; check from and the price", t.From, quote(t.Text), int64(mostCents/100))
			return
		}
	}
}
