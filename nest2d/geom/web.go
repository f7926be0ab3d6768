package geom

import (
	"cmp"
	"math"
	"slices"
)

// A Web is the material between two contours where it is narrowest.
type Web struct {
	Width         int64 // to the nearest unit; 0 only where contours meet
	First, Second Contour
	From, To      Point // its ends, on First and on Second, to the nearest unit
}

// Webs are the pairs of contours that come nearer to each other than the
// limit, the narrowest web first: hole to edge, hole to hole, opening to edge.
// Between holes and contours the width is found from the centre of the hole.
// A neck between two parts of one outline is not among them. O(n² + k²) for n
// edges, k contours; mostly less.
func (s Shape) Webs(limit int64) []Web {
	rims := s.rims()
	var webs []Web
	for i, r := range rims {
		for _, t := range rims[i+1:] {
			if w, near := r.web(t, float64(limit)); near && w.Width < limit {
				webs = append(webs, w)
			}
		}
	}
	slices.SortStableFunc(webs, func(v, w Web) int { return cmp.Compare(v.Width, w.Width) })
	return webs
}

// NarrowestWeb is the narrowest web of the panel, false if it has no openings.
func (s Shape) NarrowestWeb() (Web, bool) {
	rims := s.rims()
	best, found, limit := Web{}, false, math.Inf(1)
	for i, r := range rims {
		for _, t := range rims[i+1:] {
			if w, near := r.web(t, limit); near && (!found || w.Width < best.Width) {
				best, found, limit = w, true, float64(w.Width)
			}
		}
	}
	return best, found
}

// A rim is a contour: a line, or the circle of a hole.
type rim struct {
	Contour
	line Outline
	hole Hole
	box  Box
}

func (s Shape) rims() []rim {
	rims := []rim{{Contour: Contour{}, line: s.Outer}}
	for i, o := range s.Inner {
		rims = append(rims, rim{Contour: Contour{InnerContour, i}, line: o})
	}
	for i, h := range s.Holes {
		rims = append(rims, rim{Contour: Contour{HoleContour, i}, hole: h})
	}
	for i := range rims {
		if rims[i].Kind == HoleContour {
			rims[i].box = rims[i].hole.Bounds()
		} else {
			rims[i].box = rims[i].line.Bounds().grown(1)
		}
	}
	return rims
}

// web between two rims, false if it is not narrower than the limit. Of two
// kinds of contour, that of r comes first in a panel.
func (r rim) web(t rim, limit float64) (Web, bool) {
	if r.Kind != OuterContour && r.box.distance(t.box) >= limit {
		return Web{}, false
	}
	var g gap
	switch {
	case t.Kind != HoleContour:
		g = r.line.gap(t.line, limit)
	case r.Kind != HoleContour:
		g = t.hole.inset(r.line.from(t.hole.Center))
	default:
		g = between(r.hole.Center.spot(), t.hole.Center.spot())
		g = t.hole.inset(r.hole.inset(g.reversed()).reversed())
	}
	if g.length >= limit {
		return Web{}, false
	}
	return Web{whole(g.length), r.Contour, t.Contour, g.from.point(), g.to.point()}, true
}

func (g gap) reversed() gap { return gap{g.to, g.from, g.length} }

// inset turns a way between the hole's centre and a line into that between its
// rim and the line, as a way from the line.
func (h Hole) inset(g gap) gap {
	r := float64(float64(h.Diameter) / 2)
	if g.length <= r {
		return gap{g.to, g.to, 0}
	}
	if g.from == h.Center.spot() {
		g = g.reversed()
	}
	return gap{g.from, g.to.toward(g.from.minus(g.to), r/g.length), g.length - r}
}
