package progress

import (
	"cmp"
	"slices"

	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// sound says that what is not cut of a layout can still be cut as planned.
func (v *View) sound(l Layout, f fate) bool {
	if f.missing {
		return false
	}
	p := v.process(l.Material)
	stock := v.real(l, f)
	long := slices.ContainsFunc(l.Gone, func(g Gone) bool { return g.Long > 0 })
	if stock.Length >= l.Layout.Stock.Length && stock.Width >= l.Layout.Stock.Width && len(f.damaged) == 0 && !long {
		return true
	}
	for _, q := range l.Layout.Panels {
		part := v.parts[q.Mark]
		if v.gone(l, Copy{q.Mark, q.Copy}) {
			continue
		}
		sides := [2]length.Length{part.length, part.width}
		if q.Turned {
			sides[0], sides[1] = sides[1], sides[0]
		}
		if q.X+sides[0]+p.Kerf > stock.Length-p.TrimRight || q.Y+sides[1]+p.Kerf > stock.Width-p.TrimTop {
			return false
		}
	}
	if len(l.Layout.Pieces) == 0 {
		return true
	}
	free := v.stretches(l, f, nil)
	end := stock.Length - max(p.TrimRight, p.Tail)
	for _, q := range l.Layout.Pieces {
		part := v.parts[q.Mark]
		if v.gone(l, Copy{q.Mark, q.Copy}) {
			continue
		}
		to := q.At + part.length
		whole := slices.ContainsFunc(free, func(s [2]length.Length) bool { return s[0] <= q.At && to <= s[1] })
		last := stock.Length < l.Layout.Stock.Length && to+kerfAt(p.Kerf, part.left.angle, part.right.angle) > end
		if !whole || last {
			return false
		}
	}
	return true
}

// gone says that a copy of a layout is not to be cut from it any more.
func (v *View) gone(l Layout, c Copy) bool {
	return slices.ContainsFunc(l.Gone, func(g Gone) bool { return g.Copy == c })
}

// real is the size that a layout's stock has.
func (v *View) real(l Layout, f fate) plan.Stock {
	s := l.Layout.Stock
	if f.length > 0 {
		s.Length = f.length
	}
	if f.width > 0 {
		s.Width = f.width
	}
	return s
}

// left is what a layout leaves when the copies that stay are cut from it beside
// those that have been: free stretches of a bar, rectangles of a sheet, without
// what is used already.
func (v *View) left(l Layout, f fate, stay []Copy) []Area {
	var list []Area
	switch {
	case l.Layout.Stock.Width == 0:
		for _, s := range v.stretches(l, f, stay) {
			list = append(list, Area{X: s[0], Length: s[1] - s[0]})
		}
	default:
		list = v.rectangles(l, f, stay)
	}
	return slices.DeleteFunc(list, func(a Area) bool {
		return a.Length <= 0 || slices.ContainsFunc(l.Used, func(u Area) bool { return u.over(a) })
	})
}

func (a Area) over(b Area) bool {
	over := func(x, l, y, m length.Length) bool { return x < y+m && y < x+l }
	return over(a.X, a.Length, b.X, b.Length) && (a.Width == 0 || over(a.Y, a.Width, b.Y, b.Width))
}

// stretches are the free ones of a bar, a kerf away from what is cut, damaged or
// to be cut.
func (v *View) stretches(l Layout, f fate, stay []Copy) [][2]length.Length {
	kerf := v.process(l.Material).Kerf
	end := v.real(l, f).Length
	var taken [][2]length.Length
	for _, q := range l.Layout.Pieces {
		c, p := Copy{q.Mark, q.Copy}, v.parts[q.Mark]
		long, cut := p.length, slices.Contains(stay, c)
		for _, g := range l.Gone {
			if g.Copy == c {
				long, cut = max(long, g.Long), g.Cut
			}
		}
		if k := kerfAt(kerf, p.left.angle, p.right.angle); cut {
			taken = append(taken, [2]length.Length{q.At - k, q.At + long + k})
		}
	}
	for _, d := range f.damaged {
		taken = append(taken, [2]length.Length{d[0] - kerf, d[1] + kerf})
	}
	for _, c := range l.Layout.FirstCuts {
		taken = append(taken, [2]length.Length{c, c + l.Layout.FirstKerf})
	}
	for _, u := range l.Used {
		taken = append(taken, [2]length.Length{u.X - kerf, u.X + u.Length + kerf})
	}
	taken = append(taken, [2]length.Length{end, end})
	slices.SortFunc(taken, func(a, b [2]length.Length) int { return cmp.Compare(a[0], b[0]) })
	var free [][2]length.Length
	at := length.Length(0)
	for _, t := range taken {
		if to := min(t[0], end); to > at {
			free = append(free, [2]length.Length{at, to})
		}
		at = max(at, t[1])
	}
	return free
}

// rectangles are the free ones of a sheet: the largest parts of its cut tree of
// which nothing is cut or to be cut. Where panels lie freely it is all of the
// sheet, or the strip that is kept.
func (v *View) rectangles(l Layout, f fate, stay []Copy) []Area {
	s := v.real(l, f)
	taken := make([]bool, len(l.Layout.Panels))
	any := false
	for i, q := range l.Layout.Panels {
		c := Copy{q.Mark, q.Copy}
		taken[i] = slices.Contains(stay, c)
		for _, g := range l.Gone {
			if g.Copy == c {
				taken[i] = g.Cut
			}
		}
		any = any || taken[i]
	}
	var list []Area
	switch {
	case !any:
		return []Area{{Length: s.Length, Width: s.Width}}
	case l.Layout.Tree != nil:
		list = free(l.Layout.Tree, taken)
	case l.Layout.Strip != nil:
		list = []Area{areaOf(l.Layout.Strip)}
	}
	for i := range list { // of a sheet that came smaller
		list[i].Length = min(list[i].Length, s.Length-list[i].X)
		list[i].Width = min(list[i].Width, s.Width-list[i].Y)
	}
	return slices.DeleteFunc(list, func(a Area) bool { return a.Length <= 0 || a.Width <= 0 })
}

func areaOf(p *plan.Part) Area { return Area{p.X, p.Y, p.Length, p.Width} }

// free lists the largest parts of a tree that hold nothing taken.
func free(p *plan.Part, taken []bool) []Area {
	if !holds(p, taken) {
		return []Area{areaOf(p)}
	}
	var list []Area
	for _, c := range p.Parts {
		list = append(list, free(c, taken)...)
	}
	return list
}

func holds(p *plan.Part, taken []bool) bool {
	if p.Panel > 0 && p.Panel <= len(taken) && taken[p.Panel-1] {
		return true
	}
	return slices.ContainsFunc(p.Parts, func(c *plan.Part) bool { return holds(c, taken) })
}
