package job

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
			out = append(out, s)
		case g.broken || g.rows[0] != s:
		default:
			for _, next := range g.rows[1:] {
				r.addTier(&s.offer, next)
			}
			out = append(out, s)
		}
	}
	return out
}

// addTier adds the price of a further row to an offer.
func (r *reader) addTier(o *Offer, next *sale) {
	o.Tiers = append(o.Tiers, next.offer.Tiers[0])
}
