package check

import (
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/nest2d/geom"
)

// Where panels lie freely, what falls out of a large opening may be panels too.
// One that does lies in the opening's true outline with the spacing on all sides:
// grown by it, its rectangle is inside, edges in common allowed. A unit less than
// the spacing is asked of all its points, so that lines along the axes are held to
// exactly, others to within a unit.
//
// For the least cost an opening is a sheet that is there for nothing, once for
// every such panel, as large as the box around it less the spacing. Of a panel
// that may turn the content may lie either way.

// opening is one of a panel of the job.
type opening struct {
	panel, number int
	room          room
	turn          bool
}

// outlines are those of a panel's openings, in the order in which a plan counts
// them.
func outlines(s geom.Shape) []geom.Outline {
	list := append([]geom.Outline(nil), s.Inner...)
	for _, h := range s.Holes {
		list = append(list, h.Outline())
	}
	return list
}

// openings lists those in which a panel of the material has room.
func (a *audit) openings(m *material) []opening {
	var list []opening
	for i := range a.job.Panels {
		p := &a.job.Panels[i]
		if p.Material != m.index || p.Form == nil {
			continue
		}
		for n, o := range outlines(p.Shape()) {
			b := o.Bounds()
			spare := length.Length(2 * int64(m.process.Kerf))
			at := opening{i, n + 1, m.room(length.Length(b.Length())-spare, length.Length(b.Width())-spare), p.Turn && !m.job.Grain}
			for k := range a.job.Panels {
				q := &a.job.Panels[k]
				if q.Material == m.index && len(m.poses(q.Length, q.Width, q.Turn || at.turn, at.room)) > 0 {
					list = append(list, at)
					break
				}
			}
		}
	}
	return list
}

// hosted checks the panels that lie in openings of others.
func (a *audit) hosted(m *material, l *plan.Layout, placed []rect, where string) bool {
	for i, p := range l.Panels {
		if p.In == 0 {
			continue
		}
		at := copyName(where, p.Mark, p.Copy)
		if !m.free || p.In < 0 || p.In > len(l.Panels) || p.In == i+1 {
			a.find(at, "it is said to lie in panel %d of the sheet, which cannot be", p.In)
			return false
		}
		host := l.Panels[p.In-1]
		if !a.inside(placed[i], int64(m.process.Kerf), host, placed[p.In-1]) {
			a.find(at, "it is said to lie in %s/%d, but is in none of its openings, or closer to an edge than %s", host.Mark, host.Copy, a.len(m.process.Kerf))
		}
	}
	return true
}

// inside reports whether a rectangle lies in an opening of a placed panel, a
// spacing from its edge.
func (a *audit) inside(r rect, spacing int64, host plan.Panel, at rect) bool {
	s := a.job.Panels[a.panels[host.Mark]].Shape()
	if host.Turned { // anticlockwise about its corner, and back to the right
		s = s.Turn(1).Move(int64(at.length), 0)
	}
	s = s.Move(int64(at.x), int64(at.y))
	by := spacing - 1
	low := geom.Point{X: int64(r.x) - by, Y: int64(r.y) - by}
	high := geom.Point{X: int64(r.right()) + by, Y: int64(r.top()) + by}
	grown := geom.Polygon(low, geom.Point{X: high.X, Y: low.Y}, high, geom.Point{X: low.X, Y: high.Y})
	for _, o := range outlines(s) {
		if (geom.Shape{Outer: o, Inner: []geom.Outline{grown}}).Simple() == nil {
			return true
		}
	}
	return false
}
