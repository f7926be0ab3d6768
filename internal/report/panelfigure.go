package report

import (
	"fmt"
	"math"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/report/drawing"
	"sawbill/nest2d/geom"
)

// panelView draws one panel of a form of its own to scale.
type panelView struct {
	*set
	panel  job.Panel
	scale  float64 // paper mm per mm
	x0, y0 float64 // the panel's lower left corner on the figure
	// What labels keep off: the lines of contours and of members, and what else is
	// on the figure.
	contours, hidden [][2]drawing.Point
	taken            []area
	// unplaced are the radii that found no room on the figure.
	unplaced []string
}

// The room around a panel on its figure, for running dimensions and the overall
// ones outside of them.
const (
	panelSide = 27.0
	panelFoot = 27.0
	panelTop  = 3.0
)

// panelFigure draws a panel as large as the room allows.
func (s *set) panelFigure(p job.Panel, width, height float64) (*panelView, *drawing.Page) {
	n := max(scaleFor(p.Length.Millimetres(), width-panelSide-2), scaleFor(p.Width.Millimetres(), height-panelFoot-panelTop))
	v := &panelView{set: s, panel: p, scale: 1 / n, x0: panelSide}
	v.y0 = p.Width.Millimetres()*v.scale + panelTop
	fig := &drawing.Page{Width: width, Height: v.y0 + panelFoot}
	v.members(fig)
	v.laps(fig)
	shape := p.Shape()
	v.outline(fig, shape.Outer)
	for _, o := range shape.Inner {
		v.outline(fig, o)
	}
	for _, h := range shape.Holes {
		v.hole(fig, h)
	}
	v.numbers(fig)
	v.labels(fig)
	v.running(fig)
	v.overall(fig)
	return v, fig
}

func (v *panelView) x(units int64) float64 {
	return v.x0 + length.Length(units).Millimetres()*v.scale
}

func (v *panelView) y(units int64) float64 {
	return v.y0 - length.Length(units).Millimetres()*v.scale
}

func (v *panelView) at(p geom.Point) drawing.Point { return drawing.Point{X: v.x(p.X), Y: v.y(p.Y)} }

// chordsOf is a contour with arcs as chords that miss them by less than a line is wide.
func chordsOf(o geom.Outline, scale float64) []geom.Point {
	const near = 0.02 // paper mm
	points, err := o.Flatten(max(geom.LeastTolerance, int64(near/scale*float64(length.Millimetre))), geom.Outward)
	if err != nil { // of no outline that can be cut
		points = nil
		for _, vertex := range o {
			points = append(points, vertex.Point)
		}
	}
	return points
}

// outline draws a contour.
func (v *panelView) outline(fig *drawing.Page, o geom.Outline) {
	var drawn []drawing.Point
	for _, p := range chordsOf(o, v.scale) {
		drawn = append(drawn, v.at(p))
	}
	for i, p := range drawn {
		v.contours = append(v.contours, [2]drawing.Point{p, drawn[(i+1)%len(drawn)]})
	}
	if len(drawn) > 1 {
		fig.Add(drawing.Shape{Points: drawn, Pen: thick})
	}
}

// hole draws a round hole, a small one no smaller than can be seen.
func (v *panelView) hole(fig *drawing.Page, h geom.Hole) {
	const least = 0.35
	r := length.Length(h.Diameter).Millimetres() / 2 * v.scale
	pen := medium
	if r < 2 {
		pen = thin
	}
	c := v.at(h.Center)
	fig.Add(drawing.Shape{Points: circle(c.X, c.Y, max(r, least)), Pen: pen})
	reach := max(r, least)
	v.taken = append(v.taken, area{c.X - reach, c.Y - reach, c.X + reach, c.Y + reach})
	if cross := r + 1.5; r >= 2 {
		fig.Stroke(c.X-cross, c.Y, c.X+cross, c.Y, hair)
		fig.Stroke(c.X, c.Y-cross, c.X, c.Y+cross, hair)
	}
}

// circle is a regular polygon that passes for one on paper.
func circle(x, y, r float64) []drawing.Point {
	sides := min(max(12, int(8*r)), 96)
	points := make([]drawing.Point, sides)
	for i := range points {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / float64(sides))
		points[i] = drawing.Point{X: x + float64(r*cos), Y: y + float64(r*sin)}
	}
	return points
}

// within is the part of a row's line that lies behind the panel, found by its
// two-hundredths.
func within(o geom.Outline, from, to geom.Point) (first, last geom.Point, any bool) {
	const steps = 200
	for k := int64(0); k <= steps; k++ {
		p := geom.Point{X: from.X + (to.X-from.X)/steps*k, Y: from.Y + (to.Y-from.Y)/steps*k}
		if o.Contains(p) == geom.Outside {
			continue
		}
		if !any {
			first, any = p, true
		}
		last = p
	}
	return first, last, any
}

// members are drawn as they lie behind the panel, by the edges of their faces.
func (v *panelView) members(fig *drawing.Page) {
	dashes := drawing.Pen{Width: drawing.Hair, Dash: []float64{2, 1}}
	outer := v.panel.Shape().Outer
	for _, row := range v.panel.Form.Rows {
		first, last, any := within(outer, row.Row.From, row.Row.To)
		if !any {
			continue
		}
		from, to := v.at(first), v.at(last)
		long := math.Hypot(to.X-from.X, to.Y-from.Y)
		if long == 0 || row.Row.Member.Face == 0 {
			continue
		}
		// To the left of the way, on paper.
		ux, uy := (to.Y-from.Y)/long, -(to.X-from.X)/long
		half := length.Length(row.Row.Member.Face).Millimetres() / 2 * v.scale
		off := length.Length(row.Row.Offset).Millimetres() * v.scale
		for _, by := range []float64{-off - half, -off + half} {
			dx, dy := float64(ux*by), float64(uy*by)
			edge := []drawing.Point{{X: from.X + dx, Y: from.Y + dy}, {X: to.X + dx, Y: to.Y + dy}}
			v.hidden = append(v.hidden, [2]drawing.Point(edge))
			fig.Add(drawing.Line{Points: edge, Pen: dashes})
		}
	}
}

// numbers name the rows as the table below does, each near its middle.
func (v *panelView) numbers(fig *drawing.Page) {
	const r = 2.2
	inside := v.panel.Shape()
	for i, row := range v.panel.Form.Rows {
		var holes []geom.Point
		for _, l := range row.Laid {
			holes = append(holes, l.Holes...)
		}
		if len(holes) == 0 {
			continue
		}
		from, to := v.at(row.Row.From), v.at(row.Row.To)
		long := math.Hypot(to.X-from.X, to.Y-from.Y)
		// Beside the row, towards the middle of the panel, at the hole nearest to
		// the row's middle where there is room.
		c, mid := v.at(inside.Centroid()), v.at(holes[len(holes)/2])
		ux, uy := (to.Y-from.Y)/long, -(to.X-from.X)/long
		if float64(ux*(c.X-mid.X))+float64(uy*(c.Y-mid.Y)) < 0 {
			ux, uy = -ux, -uy
		}
		far := length.Length(row.Row.Member.Face).Millimetres()/2*v.scale + r + 1
		beside := func(k int) (drawing.Point, area) {
			p := v.at(holes[k])
			at := drawing.Point{X: p.X + float64(ux*far), Y: p.Y + float64(uy*far)}
			return at, area{at.X - r, at.Y - r, at.X + r, at.Y + r}
		}
		at, room := beside(len(holes) / 2)
		for k := range len(holes) {
			// From the middle, by turns to either side.
			n := len(holes)/2 + (k+1)/2*(1-k%2*2)
			if n < 0 || n >= len(holes) {
				continue
			}
			if there, free := beside(n); !v.onOther(free) {
				at, room = there, free
				break
			}
		}
		v.taken = append(v.taken, room)
		v.balloon(fig, at, r, fmt.Sprint(i+1))
	}
}

// running dimensions (ISO 129-1) from the lower left corner: corners, rounded ones
// as if they were sharp, openings and the centres of round ones.
func (v *panelView) running(fig *drawing.Page) {
	xs, ys := v.marks()
	const step, reach = 3.3, 6.0
	text := font{size: 8, align: drawing.Right, angle: 90}
	wanted := make([]float64, len(xs))
	for i, x := range xs {
		wanted[i] = v.x(x)
	}
	if places, fit := spread(wanted, step, panelSide-8, fig.Width-1); fit {
		for i, at := range places {
			fig.Add(drawing.Line{Points: []drawing.Point{{X: wanted[i], Y: v.y0 + 1}, {X: wanted[i], Y: v.y0 + 2.5}, {X: at, Y: v.y0 + reach}}, Pen: hair})
			v.write(fig, at+1, v.y0+reach+0.8, 13, v.own(length.Length(xs[i])), text)
		}
	}
	text.angle = 0
	for i, y := range ys {
		ys[i] = -y
	}
	slices.Sort(ys) // downwards on paper
	wanted = wanted[:0]
	for _, y := range ys {
		wanted = append(wanted, v.y(-y))
	}
	if places, fit := spread(wanted, step, 2, fig.Height-2); fit {
		for i, at := range places {
			fig.Add(drawing.Line{Points: []drawing.Point{{X: v.x0 - 1, Y: wanted[i]}, {X: v.x0 - 2.5, Y: wanted[i]}, {X: v.x0 - reach, Y: at}}, Pen: hair})
			v.write(fig, v.x0-reach-0.8, at+1, 13, v.own(length.Length(-ys[i])), text)
		}
	}
}

// marks are the places to dimension, ascending and without those that paper
// could not tell apart.
func (v *panelView) marks() (xs, ys []int64) {
	shape := v.panel.Shape()
	for _, p := range corners(shape.Outer) {
		xs, ys = append(xs, p.X), append(ys, p.Y)
	}
	for _, o := range shape.Inner {
		for _, p := range corners(o) {
			xs, ys = append(xs, p.X), append(ys, p.Y)
		}
	}
	for _, h := range v.panel.Form.Holes {
		xs, ys = append(xs, h.Center.X), append(ys, h.Center.Y)
	}
	return apart(append(xs, 0)), apart(append(ys, 0))
}

func apart(places []int64) []int64 {
	slices.Sort(places)
	return slices.CompactFunc(places, func(a, b int64) bool { return max(a-b, b-a) < int64(length.Millimetre)/4 })
}

// overall are the panel's length and width.
func (v *panelView) overall(fig *drawing.Page) {
	const out, beyond = 22.0, 18.0 // witness lines begin beyond the running dimensions
	p := v.panel
	left, right, low, high := v.x0, v.x(int64(p.Length)), v.y0, v.y(int64(p.Width))
	y := low + out
	fig.Stroke(left, low+beyond, left, y+1, hair)
	fig.Stroke(right, low+beyond, right, y+1, hair)
	v.arrow(fig, left, y, right, y)
	v.write(fig, (left+right)/2, y-0.8, 60, v.own(p.Length), font{size: 10, align: drawing.Centre, bold: true})
	x := v.x0 - out
	fig.Stroke(x-1, low, left-beyond, low, hair)
	fig.Stroke(x-1, high, left-beyond, high, hair)
	v.arrow(fig, x, low, x, high)
	v.write(fig, x-0.8, (low+high)/2, 60, v.own(p.Width), font{size: 10, align: drawing.Centre, angle: 90, bold: true})
	if v.job.Materials[p.Material].Grain {
		mid := (left + right) / 2
		v.arrow(fig, mid-18, y+4, mid+18, y+4)
		v.write(fig, mid+20, y+5, 30, "grain", font{size: 9})
	}
}
