package check

import (
	"math"
	"math/big"

	"sawbill/internal/job"
	"sawbill/nest2d/geom"
)

// A panel's area and the length of what is cut are irrational where arcs are in
// it; the job holds them as whole units. They are measured here once more, by
// angle and radius, and the job's are taken where both agree to the last unit or
// to a thousandth of a millionth.

const agreed = 1e-9

// measures of a panel: its area, and the length and number of its contours.
type measures struct {
	area, cut wide
	pierces   int64
}

func measure(p *job.Panel) measures {
	if p.Form == nil {
		l, w := whole(int64(p.Length)), whole(int64(p.Width))
		return measures{l.times(w), l.plus(w).times(whole(2)), 1}
	}
	s := p.Shape()
	area, cut := enclosed(s.Outer)
	for _, o := range s.Inner {
		a, c := enclosed(o)
		area, cut = area-a, cut+c
	}
	for _, h := range s.Holes {
		d := float64(h.Diameter)
		area, cut = area-float64(math.Pi/4*d*d), cut+float64(math.Pi*d)
	}
	return measures{either(area, wide{p.Area()}), either(cut, whole(p.CutLength())), int64(1 + len(s.Inner) + len(s.Holes))}
}

// either is what the job says where it agrees with what was measured.
func either(measured float64, said wide) wide {
	if math.Abs(said.float()-measured) <= max(1, agreed*math.Abs(measured)) {
		return said
	}
	n, _ := new(big.Float).SetFloat64(math.Round(measured)).Int(nil)
	return wide{n}
}

// enclosed measures one closed line: a sum of triangles about its first vertex,
// and over each arc the segment of its circle.
func enclosed(o geom.Outline) (area, around float64) {
	for i, v := range o {
		w := o[(i+1)%len(o)]
		ax, ay := float64(v.X-o[0].X), float64(v.Y-o[0].Y)
		bx, by := float64(w.X-o[0].X), float64(w.Y-o[0].Y)
		area += (float64(ax*by) - float64(bx*ay)) / 2
		chord := math.Hypot(bx-ax, by-ay)
		if math.Abs(v.Bulge) < 1e-12 {
			around += chord
			continue
		}
		angle := 4 * math.Atan(v.Bulge)
		radius := chord / (2 * math.Sin(math.Abs(angle)/2))
		around += radius * math.Abs(angle)
		area += radius * radius / 2 * (angle - math.Sin(angle))
	}
	return math.Abs(area), around
}

// forms checks that what the job says of its panels' sizes is so.
func (a *audit) forms() {
	for i := range a.job.Panels {
		p := &a.job.Panels[i]
		if p.Form == nil {
			continue
		}
		b := p.Shape().Bounds()
		if (b != geom.Box{Max: geom.Point{X: int64(p.Length), Y: int64(p.Width)}}) {
			a.find(p.Mark, "its outline is %d x %d units over all from %v on, the panel %d x %d", b.Length(), b.Width(), b.Min, p.Length, p.Width)
		}
		m := measure(p)
		if m.area.compare(wide{p.Area()}) != 0 || !m.cut.equals(p.CutLength()) || m.pierces != p.Pierces() {
			a.find(p.Mark, "it is given %v square units, %d units of cut and %d piercings; measured are %v, %v and %d", p.Area(), p.CutLength(), p.Pierces(), m.area, m.cut, m.pierces)
		}
	}
}
