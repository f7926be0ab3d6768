package nest1d

import (
	"cmp"
	"slices"
)

// layouts writes a plan in the pieces and stocks of the problem.
func (m *model) layouts(p *plan) []Layout {
	_, supply := netOf(m.problem)
	demand, _ := netOf(m.problem)
	var out []Layout
	for _, u := range p.uses {
		for left := u.count; left > 0; {
			content := m.draw(&u.pattern, demand)
			s := m.drawStock(u.bar, supply)
			t := left
			if supply[s] != Unlimited {
				t = min(t, supply[s])
			}
			for _, c := range content {
				t = min(t, demand[c.piece]/c.count)
			}
			var pieces []int
			for _, c := range content {
				demand[c.piece] -= t * c.count
				for range c.count {
					pieces = append(pieces, c.piece)
				}
			}
			if supply[s] != Unlimited {
				supply[s] -= t
			}
			places, cuts, _ := m.problem.Stocks[s].ArrangeParts(m.problem.Pieces, pieces)
			out = append(out, Layout{Stock: s, Count: t, Places: places, Cuts: cuts})
			left -= t
		}
	}
	m.problem.sortLayouts(out)
	return out
}

type drawn struct {
	piece int
	count int64
}

// draw picks pieces for the items of a pattern, in the order of the problem.
func (m *model) draw(p *pattern, demand []int64) []drawn {
	var out []drawn
	for _, e := range p.items {
		want := int64(e.count)
		for _, q := range m.items[e.item].pieces {
			if n := min(want, demand[q]); n > 0 {
				out = append(out, drawn{q, n})
				want -= n
			}
		}
	}
	return out
}

// drawStock picks the first stock of a merged kind that is left, those that
// can run out before those that cannot.
func (m *model) drawStock(b int, supply []int64) int {
	pick := -1
	for _, s := range m.bars[b].stocks {
		if supply[s] > 0 {
			return s
		}
		if supply[s] == Unlimited && pick < 0 {
			pick = s
		}
	}
	return pick
}

func (p *Problem) sortLayouts(ls []Layout) {
	slices.SortFunc(ls, func(a, b Layout) int {
		if c := cmp.Compare(a.Stock, b.Stock); c != 0 {
			return c
		}
		s := &p.Stocks[a.Stock]
		if c := cmp.Compare(s.End(p.Pieces, b.Places), s.End(p.Pieces, a.Places)); c != 0 {
			return c
		}
		return slices.CompareFunc(a.Places, b.Places, func(x, y Place) int {
			return cmp.Or(cmp.Compare(x.Piece, y.Piece), cmp.Compare(x.At, y.At))
		})
	})
}

// longestOffcut among those long enough to keep; 0 if none.
func (p *Problem) longestOffcut(ls []Layout) int64 {
	var best int64
	for _, l := range ls {
		s := &p.Stocks[l.Stock]
		if o := s.Offcut(p.Pieces, l.Places, l.Cuts...); s.Keep > 0 && o >= s.Keep {
			best = max(best, o)
		}
	}
	return best
}
