package report

import (
	"fmt"
	"math"

	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// sheetView is how one pattern of sheets is drawn.
type sheetView struct {
	*set
	material plan.Material
	pattern  pattern
	scale    float64 // paper mm per mm
	x0, y0   float64 // the sheet's lower left corner on the figure
	cuts     []sheetCut
	// key lists the panels too small for their lettering; they bear its numbers.
	key []plan.Panel
}

// figure draws the sheet within a room of so many millimetres.
func (s *set) sheetView(m plan.Material, pt pattern, width, height float64) (*sheetView, *drawing.Page) {
	const side, foot, top = 8.0, 12.0, 4.0
	v := &sheetView{set: s, material: m, pattern: pt, x0: side}
	l, w := pt.Stock.Length.Millimetres(), pt.Stock.Width.Millimetres()
	n := max(scaleFor(l, width-side-3), scaleFor(w, height-foot-top))
	v.scale = 1 / n
	fig := &drawing.Page{Width: width, Height: w*v.scale + foot + top}
	v.y0 = w*v.scale + top
	if !m.Spaced {
		v.cuts = sheetCuts(pt.Tree)
	}
	v.sheet(fig)
	v.dimensions(fig)
	v.balloons(fig)
	return v, fig
}

func (v *sheetView) x(l length.Length) float64 { return v.x0 + l.Millimetres()*v.scale }
func (v *sheetView) y(l length.Length) float64 { return v.y0 - l.Millimetres()*v.scale }

func (v *sheetView) outline(x, y, l, w length.Length) []drawing.Point {
	return drawing.Rectangle(v.x(x), v.y(y+w), l.Millimetres()*v.scale, w.Millimetres()*v.scale)
}

func (v *sheetView) sheet(fig *drawing.Page) {
	st := v.pattern.Stock
	if root := v.pattern.Tree; root != nil {
		v.trims(fig, root)
		for _, p := range leaves(root) {
			if p.Panel == 0 {
				v.leftover(fig, p)
			}
		}
	}
	for _, p := range v.pattern.Panels {
		v.panel(fig, p)
	}
	fig.Add(drawing.Shape{Points: v.outline(0, 0, st.Length, st.Width), Pen: thick})
}

// trims hatches what lies between the sheet's edges and the part that is cut.
func (v *sheetView) trims(fig *drawing.Page, root *plan.Part) {
	st := v.pattern.Stock
	right, upper := root.X+root.Length, root.Y+root.Width
	for _, t := range [][4]length.Length{
		{0, 0, root.X, st.Width},
		{right, 0, st.Length - right, st.Width},
		{root.X, 0, root.Length, root.Y},
		{root.X, upper, root.Length, st.Width - upper},
	} {
		if t[2] > 0 && t[3] > 0 {
			fig.Hatch(v.outline(t[0], t[1], t[2], t[3]), 1.2, hair)
		}
	}
	fig.Add(drawing.Shape{Points: v.outline(root.X, root.Y, root.Length, root.Width), Pen: hair})
}

func (v *sheetView) leftover(fig *drawing.Page, p *plan.Part) {
	out := v.outline(p.X, p.Y, p.Length, p.Width)
	if !p.Kept {
		fig.Hatch(out, 2.2, hair)
		fig.Add(drawing.Shape{Points: out, Pen: hair})
		return
	}
	fig.Add(drawing.Shape{Points: out, Pen: drawing.Pen{Width: drawing.Medium, Dash: []float64{3, 1.2}}})
	v.lettering(fig, out, v.length(p.Length)+" × "+v.length(p.Width), "offcut, keep", false)
}

func (v *sheetView) panel(fig *drawing.Page, p plan.Panel) {
	row := v.panels[p.Mark]
	l, w := row.Length, row.Width
	if p.Turned {
		l, w = w, l
	}
	out := v.outline(p.X, p.Y, l, w)
	fig.Add(drawing.Shape{Points: out, Pen: medium, Fill: drawing.White})
	if v.lettering(fig, out, v.length(row.Length)+" × "+v.length(row.Width), p.Mark, true) {
		return
	}
	v.key = append(v.key, p)
	number := "p" + fmt.Sprint(len(v.key))
	size := min(7, (out[2].Y-out[0].Y)*2)
	v.write(fig, (out[0].X+out[1].X)/2, (out[0].Y+out[2].Y)/2+size*0.13, 30, number,
		font{size: max(size, 3), align: drawing.Centre})
}

// lettering writes two lines into a rectangle, upright if it must; false when
// they do not fit.
func (v *sheetView) lettering(fig *drawing.Page, out []drawing.Point, size, mark string, panel bool) bool {
	w, h := out[1].X-out[0].X-2, out[2].Y-out[1].Y-2
	x, y := (out[0].X+out[1].X)/2, (out[0].Y+out[2].Y)/2
	mark = clip(mark, 30)
	for _, f := range []struct{ size, mark float64 }{{12, 11}, {10, 9}, {8.5, 8}} {
		need := max(v.measure(size, font{size: f.size, bold: panel}), v.measure(mark, font{size: f.mark}))
		high := (f.size + f.mark) * 0.42
		main := font{size: f.size, bold: panel, align: drawing.Centre}
		second := font{size: f.mark, align: drawing.Centre}
		switch {
		case need <= w && high <= h:
			v.write(fig, x, y-0.4, w, size, main)
			v.write(fig, x, y+f.mark*0.36, w, mark, second)
			return true
		case need <= h && high <= w:
			main.angle, second.angle = 90, 90
			v.write(fig, x-0.4, y, h, size, main)
			v.write(fig, x+f.mark*0.36, y, h, mark, second)
			return true
		}
	}
	return false
}

func (v *sheetView) dimensions(fig *drawing.Page) {
	st := v.pattern.Stock
	y := v.y0 + 5
	fig.Stroke(v.x(0), v.y0+1, v.x(0), y+1, hair)
	fig.Stroke(v.x(st.Length), v.y0+1, v.x(st.Length), y+1, hair)
	v.arrow(fig, v.x(0), y, v.x(st.Length), y)
	v.write(fig, (v.x(0)+v.x(st.Length))/2, y-0.8, 60, v.length(st.Length), font{size: 10, align: drawing.Centre})
	x := v.x0 - 3
	fig.Stroke(x-1, v.y0, v.x0-1, v.y0, hair)
	fig.Stroke(x-1, v.y(st.Width), v.x0-1, v.y(st.Width), hair)
	v.arrow(fig, x, v.y0, x, v.y(st.Width))
	v.write(fig, x-0.8, (v.y0+v.y(st.Width))/2, 60, v.length(st.Width), font{size: 10, align: drawing.Centre, angle: 90})
	if v.materials[v.material.Key].Grain {
		mid := (v.x(0) + v.x(st.Length)) / 2
		v.arrow(fig, mid-18, y+4.5, mid+18, y+4.5)
		v.write(fig, mid+20, y+5.5, 30, "grain", font{size: 9})
	}
}

// arrow is a line with a closed head at both ends.
func (v *sheetView) arrow(fig *drawing.Page, x1, y1, x2, y2 float64) {
	fig.Stroke(x1, y1, x2, y2, thin)
	long := math.Hypot(x2-x1, y2-y1)
	if long < 6 {
		return
	}
	ux, uy := (x2-x1)/long, (y2-y1)/long
	for _, e := range []struct{ x, y, s float64 }{{x1, y1, 1}, {x2, y2, -1}} {
		bx, by := e.x+e.s*ux*2.5, e.y+e.s*uy*2.5
		fig.Add(drawing.Shape{Fill: drawing.Black, Points: []drawing.Point{{X: e.x, Y: e.y},
			{X: bx - uy*0.45, Y: by + ux*0.45}, {X: bx + uy*0.45, Y: by - ux*0.45}}})
	}
}

// balloons number the cut lines in order, each at the line's start or as near
// to it as the others leave room.
func (v *sheetView) balloons(fig *drawing.Page) {
	const r = 2.2
	var taken []drawing.Point
	free := func(p drawing.Point) bool {
		for _, t := range taken {
			if math.Hypot(t.X-p.X, t.Y-p.Y) < 2*r {
				return false
			}
		}
		return true
	}
	for _, c := range v.cuts {
		run := c.long.Millimetres() * v.scale
		at := func(along float64) drawing.Point {
			if c.along == plan.AlongLength {
				return drawing.Point{X: v.x(c.x) + along, Y: v.y(c.y)}
			}
			return drawing.Point{X: v.x(c.x), Y: v.y(c.y) - along}
		}
		spot := at(min(r+0.5, run/2))
		for along := r + 0.5; along < run-r; along += r {
			if p := at(along); free(p) {
				spot = p
				break
			}
		}
		taken = append(taken, spot)
		v.balloon(fig, spot, r, fmt.Sprint(c.number))
	}
}

func (v *sheetView) balloon(fig *drawing.Page, at drawing.Point, r float64, text string) {
	const sides = 16
	circle := make([]drawing.Point, sides)
	for i := range circle {
		sin, cos := math.Sincos(2 * math.Pi * float64(i) / sides)
		circle[i] = drawing.Point{X: at.X + r*cos, Y: at.Y + r*sin}
	}
	fig.Add(drawing.Shape{Points: circle, Pen: thin, Fill: drawing.White})
	v.write(fig, at.X, at.Y+1, 2*r-0.4, text, font{size: 7.5, least: 5, bold: true, align: drawing.Centre})
}
