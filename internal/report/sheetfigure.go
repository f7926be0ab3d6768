package report

import (
	"fmt"
	"math"
	"slices"

	"sawbill/internal/job"
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
	order    *sheetOrder
	cuts     []sheetCut // of the order
	lines    []orderLine
	// key lists the marks too long for their panels, which bear its names.
	key []string
	// keyed are those panels.
	keyed []keyed
	// taken is where lettering and balloons stand already, within is where they may.
	taken  []box
	within box
	// detailed are the windows that are lettered in drawings of their own; window is what
	// such a drawing shows.
	detailed []window
	window   *window
}

// keyed is a panel on the figure that is too small for its lettering.
type keyed struct {
	mark  string
	at    box
	place window
}

// box is a rectangle on the figure.
type box struct{ x0, y0, x1, y1 float64 }

func around(x, y, w, h float64) box { return box{x - w/2, y - h/2, x + w/2, y + h/2} }

func (b box) meets(c box) bool {
	return b.x0 < c.x1 && c.x0 < b.x1 && b.y0 < c.y1 && c.y0 < b.y1
}

// The room around a sheet on its figure, for dimensions.
const (
	sheetSide = 8.0
	sheetFoot = 12.0
	sheetTop  = 4.0
)

// sheetScale is the scale at which the largest sheet of a material fits a room.
func sheetScale(m plan.Material, width, height float64) float64 {
	n := 1.0
	for _, l := range m.Layouts {
		n = max(n, scaleFor(l.Stock.Length.Millimetres(), width-sheetSide-3),
			scaleFor(l.Stock.Width.Millimetres(), height-sheetFoot-sheetTop))
	}
	return 1 / n
}

// sheetView draws one pattern to scale.
func (s *set) sheetView(m plan.Material, pt pattern, scale, width float64) (*sheetView, *drawing.Page) {
	v := &sheetView{set: s, material: m, pattern: pt, x0: sheetSide, scale: scale}
	w := pt.Stock.Width.Millimetres()
	fig := &drawing.Page{Width: width, Height: w*v.scale + sheetFoot + sheetTop}
	v.y0 = w*v.scale + sheetTop
	if !beam(m) {
		v.order = sheetOrderOf(pt.Layout)
		v.cuts, v.lines = v.order.all(), s.orderLines(v.order)
	}
	v.within = box{v.x0, 0.5, fig.Width, v.y0}
	v.sheet(fig)
	v.crowded()
	v.dimensions(fig)
	v.balloons(fig)
	v.keys(fig)
	v.frame(fig)
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
	if v.material.Free {
		fig.Hatch(v.outline(0, 0, st.Length, st.Width), 2.2, hair)
		if s := v.pattern.Strip; s != nil {
			fig.Add(drawing.Shape{Points: v.outline(s.X, s.Y, s.Length, s.Width), Fill: drawing.White})
			v.leftover(fig, s)
		}
	}
	for _, p := range v.pattern.Panels {
		v.panel(fig, p)
	}
	fig.Add(drawing.Shape{Points: v.outline(0, 0, st.Length, st.Width), Pen: thick})
	v.yardLines(fig)
}

// yardLines draws the cuts made at the yard over everything, beyond the part's edges.
func (v *sheetView) yardLines(fig *drawing.Page) {
	const beyond = 1.6
	for _, c := range v.cuts {
		if !c.atYard {
			continue
		}
		x, y := v.x(c.x), v.y(c.y)
		if c.along == plan.AlongLength {
			fig.Stroke(x-beyond, y, v.x(c.x+c.long)+beyond, y, heavy)
		} else {
			fig.Stroke(x, y+beyond/2, x, v.y(c.y+c.long)-beyond, heavy)
		}
	}
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
	v.lettering(fig, out, v.length(p.Length)+" × "+v.length(p.Width), "offcut, keep", false, false)
}

func (v *sheetView) panel(fig *drawing.Page, p plan.Panel) {
	row := v.panels[p.Mark]
	l, w := row.Length, row.Width
	if p.Turned {
		l, w = w, l
	}
	rooms := [][]drawing.Point{v.outline(p.X, p.Y, l, w)}
	if row.Form == nil {
		fig.Add(drawing.Shape{Points: rooms[0], Pen: medium, Fill: drawing.White, Title: v.about(row, p)})
	} else {
		rooms = v.formed(fig, row, lying(row, p), v.about(row, p))
	}
	for _, out := range rooms {
		if v.lettering(fig, out, v.own(row.Length)+" × "+v.own(row.Width), p.Mark, true, p.Turned) {
			return
		}
	}
	out := rooms[0]
	v.keyed = append(v.keyed, keyed{p.Mark, box{out[0].X, out[0].Y, out[2].X, out[2].Y}, window{p.X, p.Y, p.X + l, p.Y + w}})
}

// about says of a panel what it is, where it lies and where it goes.
func (v *sheetView) about(row job.Panel, p plan.Panel) string {
	text := fmt.Sprintf("%s: %s", row.Mark, v.size(row.Length, row.Width))
	if p.Turned {
		text += "; turned"
	}
	text += fmt.Sprintf("; its corner at %s, %s", v.length(p.X), v.withUnit(p.Y))
	return v.clean(text + goes(row.Group, row.Note))
}

func (v *sheetView) dimensions(fig *drawing.Page) {
	st := v.pattern.Stock
	y := v.y0 + 5
	fig.Stroke(v.x(0), v.y0+1, v.x(0), y+1, hair)
	fig.Stroke(v.x(st.Length), v.y0+1, v.x(st.Length), y+1, hair)
	v.arrow(fig, v.x(0), y, v.x(st.Length), y)
	v.write(fig, (v.x(0)+v.x(st.Length))/2, y-0.8, 60, v.own(st.Length), font{size: 10, align: drawing.Centre})
	x := v.x0 - 3
	fig.Stroke(x-1, v.y0, v.x0-1, v.y0, hair)
	fig.Stroke(x-1, v.y(st.Width), v.x0-1, v.y(st.Width), hair)
	v.arrow(fig, x, v.y0, x, v.y(st.Width))
	v.write(fig, x-0.8, (v.y0+v.y(st.Width))/2, 60, v.own(st.Width), font{size: 10, align: drawing.Centre, angle: 90})
	if v.materials[v.material.Key].Grain {
		mid := (v.x(0) + v.x(st.Length)) / 2
		v.arrow(fig, mid-18, y+4.5, mid+18, y+4.5)
		v.write(fig, mid+20, y+5.5, 30, "grain", font{size: 9})
	}
}

// arrow is a line with a closed head at both ends.
func (s *set) arrow(fig *drawing.Page, x1, y1, x2, y2 float64) {
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

// balloons number the cut lines in order, each at the line's start, as near to
// it along the line as the lettering and the others leave room, or beside it.
func (v *sheetView) balloons(fig *drawing.Page) {
	const r = 2.2
	for _, c := range v.cuts {
		if slices.ContainsFunc(v.detailed, func(w window) bool { return w.crossed(c) }) {
			continue
		}
		run := c.long.Millimetres() * v.scale
		at := func(along float64) drawing.Point {
			if c.along == plan.AlongLength {
				return drawing.Point{X: v.x(c.x) + along, Y: v.y(c.y)}
			}
			return drawing.Point{X: v.x(c.x), Y: v.y(c.y) - along}
		}
		spot, found := drawing.Point{}, false
		for along := r + 0.5; along < run-r && !found; along += r {
			spot = at(along)
			found = v.free(around(spot.X, spot.Y, 2*r, 2*r))
		}
		if !found {
			start := at(min(r, run/2))
			b, free := v.beside(start.X, start.Y, 2*r, 2*r)
			if !free {
				continue
			}
			spot = drawing.Point{X: (b.x0 + b.x1) / 2, Y: (b.y0 + b.y1) / 2}
			fig.Stroke(start.X, start.Y, spot.X, spot.Y, hair)
		}
		v.taken = append(v.taken, around(spot.X, spot.Y, 2*r, 2*r))
		v.balloon(fig, spot, r, fmt.Sprint(c.number))
	}
}

func (s *set) balloon(fig *drawing.Page, at drawing.Point, r float64, text string) {
	fig.Add(drawing.Shape{Points: circle(at.X, at.Y, r), Pen: thin, Fill: drawing.White})
	s.write(fig, at.X, at.Y+1, 2*r-0.4, text, font{size: 7.5, least: 5, bold: true, align: drawing.Centre})
}
