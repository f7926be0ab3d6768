package report

import (
	"fmt"
	"maps"
	"math"
	"slices"

	"sawbill/internal/length"
	"sawbill/internal/report/drawing"
	"sawbill/nest2d/geom"
)

// Radii and diameters on the drawing of a panel, after ISO 129-1: R before a
// radius, Ø before a diameter, and how many of one size a contour has.

// bend is an arc of a contour.
type bend struct {
	middle geom.Point // of the arc
	centre geom.Point
	radius int64
	// sharp is the corner that the arc rounds, its straight neighbours running on;
	// rounds is false for any other arc.
	sharp  geom.Point
	rounds bool
}

// bendOf is the arc that starts at a vertex.
func bendOf(o geom.Outline, i int) (bend, bool) {
	n := len(o)
	p, q, b := o[i], o[(i+1)%n], o[i].Bulge
	dx, dy := float64(q.X-p.X), float64(q.Y-p.Y)
	chord := span(dx, dy)
	if b == 0 || chord == 0 {
		return bend{}, false
	}
	at := func(x, y float64) geom.Point { return geom.Point{X: int64(math.Round(x)), Y: int64(math.Round(y))} }
	mx, my := float64(p.X)+dx/2, float64(p.Y)+dy/2
	square := b * b
	radius := chord * (1 + square) / (4 * math.Abs(b))
	deep := (1 - square) / (4 * b) // of the centre to the left of the chord, by its length
	a := bend{middle: at(mx+float64(dy*b)/2, my-float64(dx*b)/2), centre: at(mx-float64(dy*deep), my+float64(dx*deep)), radius: int64(math.Round(radius))}
	before, after := o[(i+n-1)%n], o[(i+2)%n]
	const most = 0.9 // a bulge with which the neighbours still meet on paper
	if n < 3 || before.Bulge != 0 || q.Bulge != 0 || math.Abs(b) > most {
		return a, true
	}
	// Both neighbours touch the arc: they make half its included angle with the chord.
	tangent := func(ux, uy, side float64) bool {
		const slight = 0.01
		l := span(ux, uy)
		sin := (float64(ux*dy) - float64(uy*dx)) / (l * chord)
		return l > 0 && math.Abs(sin-side*2*b/(1+square)) < slight
	}
	ux, uy := float64(p.X-before.X), float64(p.Y-before.Y)
	wx, wy := float64(after.X-q.X), float64(after.Y-q.Y)
	if tangent(ux, uy, 1) && tangent(wx, wy, -1) {
		reach := radius * 2 * math.Abs(b) / (1 - square) / span(ux, uy)
		a.sharp, a.rounds = at(float64(p.X)+float64(ux*reach), float64(p.Y)+float64(uy*reach)), true
	}
	return a, true
}

// span is the length of a way, the same on every machine.
func span(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

// corners are the places of a contour to dimension: its vertices, and in the
// place of a rounded corner the sharp one, as a radius says the rest.
func corners(o geom.Outline) []geom.Point {
	var places []geom.Point
	n := len(o)
	for i, v := range o {
		if a, is := bendOf(o, i); is && a.rounds {
			places = append(places, a.sharp)
			continue
		}
		if a, is := bendOf(o, (i+n-1)%n); is && a.rounds {
			continue // where a rounded corner ends
		}
		places = append(places, v.Point)
	}
	return places
}

// labels write the radii of the contours and the diameters of round openings,
// each where nothing else is.
func (v *panelView) labels(fig *drawing.Page) {
	shape := v.panel.Shape()
	v.radii(fig, shape.Outer)
	for _, o := range shape.Inner {
		v.radii(fig, o)
	}
	sizes := map[int64]int{}
	for _, h := range v.panel.Form.Holes {
		sizes[h.Diameter]++
	}
	for _, h := range v.panel.Form.Holes { // one without a label stands in the table
		if count := sizes[h.Diameter]; count > 0 && v.diameter(fig, h, count) {
			sizes[h.Diameter] = 0
		}
	}
}

// labelSize is that of the letters of a label, labelHigh about how high they are.
const (
	labelSize = 8.0
	labelHigh = 2.2
)

// radii label one arc of each radius of a contour.
func (v *panelView) radii(fig *drawing.Page, o geom.Outline) {
	var bends []bend
	sizes, texts := map[string]int{}, map[string]string{}
	for i := range o {
		if a, is := bendOf(o, i); is {
			bends = append(bends, a)
			size := v.fastener(length.Length(a.radius))
			sizes[size]++
			texts[size] = "R" + size
			if sizes[size] > 1 {
				texts[size] = fmt.Sprintf("%d × R%s", sizes[size], size)
			}
		}
	}
	for _, a := range bends {
		size := v.fastener(length.Length(a.radius))
		text := texts[size]
		if text == "" {
			continue // it has been written
		}
		// Within the bend, towards its centre, on a leader from the arc; else outside.
		tip, c := v.at(a.middle), v.at(a.centre)
		long := math.Hypot(c.X-tip.X, c.Y-tip.Y)
		if long == 0 {
			continue
		}
		ux, uy := (c.X-tip.X)/long, (c.Y-tip.Y)/long
		if v.beside(fig, tip, ux, uy, text) || v.beside(fig, tip, -ux, -uy, text) {
			texts[size] = ""
		}
	}
	for _, size := range slices.Sorted(maps.Keys(texts)) {
		if texts[size] != "" {
			v.unplaced = append(v.unplaced, texts[size])
		}
	}
}

// diameter labels a round opening.
func (v *panelView) diameter(fig *drawing.Page, h geom.Hole, count int) bool {
	text := "Ø" + v.fastener(length.Length(h.Diameter))
	if count > 1 {
		text = fmt.Sprintf("%d × %s", count, text)
	}
	c := v.at(h.Center)
	r := length.Length(h.Diameter).Millimetres() / 2 * v.scale
	// Towards the middle of the panel first.
	middle := v.at(v.panel.Shape().Centroid())
	inX, inY := math.Copysign(math.Sqrt2/2, middle.X-c.X), math.Copysign(math.Sqrt2/2, middle.Y-c.Y)
	for _, way := range [][2]float64{{1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
		ux, uy := way[0]*inX, way[1]*inY
		if v.beside(fig, drawing.Point{X: c.X + float64(r*ux), Y: c.Y + float64(r*uy)}, ux, uy, text) {
			return true
		}
	}
	return false
}

// beside writes a label on a leader that leaves a place in a direction, as near
// as it is clear of all else; it is false where there is no room.
func (v *panelView) beside(fig *drawing.Page, tip drawing.Point, ux, uy float64, text string) bool {
	const margin = 0.6
	wide := v.face.Width(text, labelSize, false)
	start := drawing.Point{X: tip.X + ux, Y: tip.Y + uy} // off the contour itself
	for reach := 3.0; reach <= 21; reach += 1.5 {
		end := drawing.Point{X: tip.X + float64(ux*reach), Y: tip.Y + float64(uy*reach)}
		if slices.ContainsFunc(v.contours, func(s [2]drawing.Point) bool { return crossing(start, end, s[0], s[1]) }) {
			return false
		}
		left, align := end.X+margin, drawing.Left
		if ux < 0 {
			left, align = end.X-margin-wide, drawing.Right
		}
		box := area{left - margin, end.Y - labelHigh/2 - margin, left + wide + margin, end.Y + labelHigh/2 + margin}
		if box.left < v.x0 && tip.X >= v.x0 || box.bottom > v.y0 || box.top < 0 || box.right > fig.Width || v.hit(box) {
			continue
		}
		v.taken = append(v.taken, box)
		fig.Stroke(tip.X, tip.Y, end.X, end.Y, hair)
		x := end.X + margin
		if align == drawing.Right {
			x = end.X - margin
		}
		v.write(fig, x, end.Y+labelHigh/2-0.2, wide+1, text, font{size: labelSize, align: align})
		return true
	}
	return false
}

// crossing reports whether two lines cross, by the sides on which their ends lie.
func crossing(a, b, p, q drawing.Point) bool {
	side := func(a, b, c drawing.Point) bool {
		return float64((b.X-a.X)*(c.Y-a.Y)) > float64((b.Y-a.Y)*(c.X-a.X))
	}
	return side(a, b, p) != side(a, b, q) && side(p, q, a) != side(p, q, b)
}

// area is a part of a figure, y downwards.
type area struct{ left, top, right, bottom float64 }

// onOther reports whether an area touches labels, balloons, holes or contours, and
// hit whether it touches those or a member.
func (v *panelView) onOther(a area) bool {
	return slices.ContainsFunc(v.taken, func(t area) bool {
		return a.left < t.right && t.left < a.right && a.top < t.bottom && t.top < a.bottom
	}) || slices.ContainsFunc(v.contours, a.cutBy)
}

func (v *panelView) hit(a area) bool { return v.onOther(a) || slices.ContainsFunc(v.hidden, a.cutBy) }

func (a area) cutBy(line [2]drawing.Point) bool { return a.cut(line[0], line[1]) }

// cut reports whether a line runs through an area: what is left of it between
// each pair of edges (J. D. Foley et al., "Computer Graphics", 1990, on clipping
// by parameters; from memory).
func (a area) cut(p, q drawing.Point) bool {
	from, to := 0.0, 1.0
	for _, e := range [][2]float64{{p.X - q.X, p.X - a.left}, {q.X - p.X, a.right - p.X}, {p.Y - q.Y, p.Y - a.top}, {q.Y - p.Y, a.bottom - p.Y}} {
		switch t := e[1] / e[0]; {
		case e[0] == 0 && e[1] < 0:
			return false
		case e[0] < 0:
			from = max(from, t)
		case e[0] > 0:
			to = min(to, t)
		}
	}
	return from <= to
}
