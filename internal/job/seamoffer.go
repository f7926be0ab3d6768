package job

import (
	"cmp"
	"fmt"
	"slices"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// Where a panel that is larger than every sheet could be parted.

// offerSeams proposes where to part a panel that is larger than every sheet: on
// rows of rivets that run across it, as members are behind these, as few as will
// do. It is empty where that is not possible.
func (r *reader) offerSeams(p Panel, s *stock) string {
	process := r.job.Processes[r.job.Materials[p.Material].Process]
	var best []string
	for _, o := range s.offers {
		l, w := o.Length-process.TrimLeft-process.TrimRight, o.Width-process.TrimBottom-process.TrimTop
		if r.job.bound(r.job.Suppliers[o.Supplier]) {
			l, w = min(l, r.job.LongestLoad), min(w, r.job.LongestLoad)
			if r.job.WidestLoad > 0 {
				w = min(w, r.job.WidestLoad)
			}
		}
		for turned := range 2 {
			if turned == 1 {
				if l, w = w, l; !p.Turn {
					break
				}
			}
			xs, fine := r.lines(p, false, int64(l))
			ys, also := r.lines(p, true, int64(w))
			var list []string
			for _, x := range xs {
				list = append(list, fmt.Sprintf("x %s", r.print(length.Length(x))))
			}
			for _, y := range ys {
				list = append(list, fmt.Sprintf("y %s", r.print(length.Length(y))))
			}
			if fine && also && (best == nil || len(list) < len(best)) {
				best = list
			}
		}
	}
	if p.Form == nil || len(p.Form.Rows) == 0 {
		return ""
	}
	if best == nil {
		return "; it cannot be parted on its rows of rivets so that all parts fit: a member is needed where one sheet ends"
	}
	return fmt.Sprintf("; parted on its members it fits: write %s in a table of seams, with %s under mark", list2(best), quote(p.Mark))
}

func list2(texts []string) string {
	out := texts[0]
	for _, t := range texts[1:] {
		out += " and " + t
	}
	return out
}

// clear tells whether a seam on the row numbered on would meet no opening, no hole
// and no other row beside it.
func (s seamDraft) clear(p *Panel, on int) bool {
	f, low, high := p.Form, s.place-s.half(), s.place+s.half()
	meets := func(b geom.Box) bool { return s.of(b.Max) >= low && s.of(b.Min) <= high }
	for _, o := range f.Openings {
		if meets(o.Bounds()) {
			return false
		}
	}
	for _, h := range f.Holes {
		if meets(h.Bounds()) {
			return false
		}
	}
	for i, v := range f.Rows {
		from, to := v.along(f, p)
		edge := s.half() + 2*v.Row.Rivet.Diameter
		if a := s.of(from); i != on && a == s.of(to) && a >= s.place-edge && a <= s.place+edge {
			return false
		}
	}
	return true
}

// lines picks the fewest rows on which to part a panel, so that no part is longer
// across them than most: from the start, each time the farthest that will do.
func (r *reader) lines(p Panel, across bool, most int64) ([]int64, bool) {
	side := int64(p.Length)
	if across {
		side = int64(p.Width)
	}
	if side <= most {
		return nil, true
	}
	if p.Form == nil {
		return nil, false
	}
	type line struct{ at, half int64 }
	var all []line
	for i, v := range p.Form.Rows {
		s := seamDraft{across: across}
		from, to := v.along(p.Form, &p)
		if s.place = s.of(from); s.of(to) != s.place || v.Row.Second != nil {
			continue
		}
		turn, other := seamDraft{across: !across}, int64(p.Length)
		if !across {
			other = int64(p.Width)
		}
		long, d := turn.of(to)-turn.of(from), v.Row.Rivet.Diameter
		s.lap = 4 * d
		// It must run across, from edge to edge but for a little, and not along an edge.
		if max(long, -long) >= other-other/10 && s.place > 8*d && s.place < side-8*d && s.clear(&p, i) {
			all = append(all, line{s.place, s.half()})
		}
	}
	slices.SortFunc(all, func(a, b line) int { return cmp.Compare(a.at, b.at) })
	var out []int64
	start, end := int64(0), int64(0) // of the lap behind which the next part begins
	for {
		if side-start <= most {
			return out, true
		}
		pick := -1
		for i, l := range all {
			if l.at-l.half > end && l.at+l.half-start <= most {
				pick = i
			}
		}
		if pick < 0 {
			return nil, false
		}
		out = append(out, all[pick].at)
		start, end = all[pick].at-all[pick].half, all[pick].at+all[pick].half
		all = all[pick+1:]
	}
}
