package check

import (
	"cmp"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Where a beam cuts, panels lie anywhere inside the margins, a spacing apart,
// and there is no cut tree to prove. Of what is left only a strip from edge to
// edge of the trimmed sheet is an offcut.

// free reports whether panels lie freely: a beam cuts them, and no sheet of
// ours that may be fetched has to be cut at the yard first.
func (a *audit) free(m *material) bool {
	if !m.job.Sheet() || m.process.Kind != job.Beam {
		return false
	}
	if m.process.BySupplier || a.job.LongestLoad <= 0 {
		return true
	}
	for _, k := range m.offers {
		o := &a.job.Offers[k]
		if _, fetched := a.waysOf(o); fetched && !a.job.Suppliers[o.Supplier].ByMark && !a.load(o.Length, o.Width) {
			return false
		}
	}
	return true
}

// strip checks the strip that is said to be kept of a sheet. What reaches from
// edge to edge clear of all panels lies between two of them, or beside one, in
// one direction; so the edges of panels alone are tried as its own.
func (a *audit) strip(m *material, l *plan.Layout, placed []rect, region rect, carry bool, where string) {
	var best *rect
	for _, across := range []bool{true, false} {
		for _, r := range clearStrips(placed, region, m.process.Kerf, across) {
			keep := m.keepsSheet(r.length, r.width) && (!carry || a.load(r.length, r.width))
			m.leftover(size(r), keep)
			if keep && (best == nil || size(r).compare(size(*best)) > 0) {
				best = &r
			}
		}
	}
	s := l.Strip
	switch {
	case s == nil && best != nil:
		a.find(where, "the strip %s is large enough to keep and not given", a.rect(*best))
	case s == nil:
	case best == nil:
		a.find(where, "a strip is given to keep, but none is clear of panels and large enough")
	case bounds(s) != *best || !s.Kept || s.Cut != "" || s.Stage != 0 || len(s.Parts) > 0 || s.AtYard || s.Panel != 0:
		a.find(where, "the strip to keep is given as %s, it must be %s, whole", a.rect(bounds(s)), a.rect(*best))
	}
}

func size(r rect) wide { return whole(int64(r.length)).times(whole(int64(r.width))) }

// clearStrips lists the strips across a region (or along it) that keep a
// spacing from all panels, from its lower or left edge on.
func clearStrips(placed []rect, region rect, spacing length.Length, across bool) []rect {
	strip := func(from, to length.Length) rect {
		r := region
		if across {
			r.x, r.length = from, to-from
		} else {
			r.y, r.width = from, to-from
		}
		return r
	}
	lower := func(r rect) length.Length {
		if across {
			return r.x
		}
		return r.y
	}
	upper := func(r rect) length.Length {
		if across {
			return r.right()
		}
		return r.top()
	}
	placed = slices.Clone(placed)
	slices.SortFunc(placed, func(p, q rect) int { return cmp.Compare(lower(p), lower(q)) })
	var list []rect
	at := lower(region)
	for _, p := range placed {
		if next := lower(p) - spacing; next > at {
			list = append(list, strip(at, next))
		}
		at = max(at, upper(p)+spacing)
	}
	if end := upper(region); end > at {
		list = append(list, strip(at, end))
	}
	return list
}
