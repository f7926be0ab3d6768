package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/nest2d/geom"
)

// lying is a panel's shape in its place on a sheet; turned is a quarter
// anticlockwise.
func lying(row job.Panel, p plan.Panel) geom.Shape {
	s := row.Shape()
	if p.Turned {
		s = s.Turn(1).Move(int64(row.Width), 0)
	}
	return s.Move(int64(p.X), int64(p.Y))
}

// host is the panel in whose opening another lies; nil when it lies in none.
func host(l plan.Layout, p plan.Panel) *plan.Panel {
	if p.In < 1 || p.In > len(l.Panels) {
		return nil
	}
	return &l.Panels[p.In-1]
}

// leastHole is the radius on paper of the smallest hole that is drawn: those of
// rivets would only blacken a sheet.
const leastHole = 0.8

// formed draws a panel with an outline or openings, in which the sheet that is
// left is hatched like the rest, and tells where it may be lettered, the largest
// room first.
func (v *sheetView) formed(fig *drawing.Page, row job.Panel, s geom.Shape, title string) [][]drawing.Point {
	if b := s.Bounds(); len(row.Form.Outline) > 0 && !v.material.Free {
		fig.Hatch(v.box(b), 2.2, hair)
	}
	fig.Add(drawing.Shape{Points: v.contour(s.Outer), Pen: medium, Fill: drawing.White, Title: title})
	var gaps []geom.Box
	gap := func(points []drawing.Point, b geom.Box, pen drawing.Pen) {
		fig.Add(drawing.Shape{Points: points, Fill: drawing.White})
		fig.Hatch(points, 2.2, hair)
		fig.Add(drawing.Shape{Points: points, Pen: pen})
		gaps = append(gaps, b)
	}
	for _, o := range s.Inner {
		gap(v.contour(o), o.Bounds(), medium)
	}
	for _, h := range s.Holes {
		if r := length.Length(h.Diameter).Millimetres() / 2 * v.scale; r >= leastHole {
			gap(circle(v.x(length.Length(h.Center.X)), v.y(length.Length(h.Center.Y)), r), h.Bounds(), thin)
		}
	}
	return v.clear(s, len(row.Form.Outline) > 0, gaps)
}

// contour is a line on the figure.
func (v *sheetView) contour(o geom.Outline) []drawing.Point {
	var drawn []drawing.Point
	for _, p := range chordsOf(o, v.scale) {
		drawn = append(drawn, drawing.Point{X: v.x(length.Length(p.X)), Y: v.y(length.Length(p.Y))})
	}
	return drawn
}

func (v *sheetView) box(b geom.Box) []drawing.Point {
	return v.outline(length.Length(b.Min.X), length.Length(b.Min.Y), length.Length(b.Length()), length.Length(b.Width()))
}

// mostLines is how many lines along each axis rooms are looked for between.
const mostLines = 12

// clear lists rectangles of a panel between its edges and gaps, the largest
// first; where there are none, the box around it.
func (v *sheetView) clear(s geom.Shape, outlined bool, gaps []geom.Box) [][]drawing.Point {
	whole := s.Bounds()
	xs, ys := []int64{whole.Min.X, whole.Max.X}, []int64{whole.Min.Y, whole.Max.Y}
	line := func(p geom.Point) { xs, ys = append(xs, p.X), append(ys, p.Y) }
	for _, g := range gaps {
		line(g.Min)
		line(g.Max)
	}
	if outlined {
		for _, p := range s.Outer {
			line(p.Point)
		}
	}
	rooms := geom.Boxes(geom.Thinned(xs, mostLines), geom.Thinned(ys, mostLines), func(b geom.Box) bool {
		return !slices.ContainsFunc(gaps, func(g geom.Box) bool {
			return g.Min.X < b.Max.X && b.Min.X < g.Max.X && g.Min.Y < b.Max.Y && b.Min.Y < g.Max.Y
		})
	})
	area := func(b geom.Box) float64 { return float64(b.Length()) * float64(b.Width()) }
	slices.SortStableFunc(rooms, func(a, b geom.Box) int { return cmp.Compare(area(b), area(a)) })
	const mostRooms = 24
	var out [][]drawing.Point
	for _, b := range rooms {
		if len(out) == mostRooms {
			break
		}
		if !outlined || s.Outer.Holds(b) {
			out = append(out, v.box(b))
		}
	}
	if len(out) == 0 {
		return [][]drawing.Point{v.box(whole)}
	}
	return out
}

// hosts tells which panels of a pattern are cut from openings of others.
func (d *document) hosts(pt pattern) {
	if list := hosting(pt.Layout); len(list) > 0 {
		d.need(8)
		d.paragraph("Inside openings, to be cut before these: "+strings.Join(list, ", ")+".", 9)
	}
}

// hosting lists what lies in openings of what, counted.
func hosting(l plan.Layout) []string {
	var list []string
	count := map[string]int{}
	for _, p := range l.Panels {
		if h := host(l, p); h != nil {
			text := p.Mark + " in " + h.Mark
			if count[text]++; count[text] == 1 {
				list = append(list, text)
			}
		}
	}
	for i, text := range list {
		if n := count[text]; n > 1 {
			list[i] = fmt.Sprintf("%d × %s", n, text)
		}
	}
	return list
}
