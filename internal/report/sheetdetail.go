package report

import (
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// A detail: the part of a sheet where panels are too small to be lettered and their cuts
// to be numbered, framed by a thin line and a letter, and drawn again at a larger
// scale (ISO 128-3).

// window is a rectangle on a sheet.
type window struct{ x0, y0, x1, y1 length.Length }

// detailEdge is how far what lies in a window may reach beyond it.
const detailEdge = 5 * length.Millimetre

func (w window) holds(o window) bool {
	return o.x0 >= w.x0 && o.y0 >= w.y0 && o.x1 <= w.x1 && o.y1 <= w.y1
}

// crossed reports whether a cut runs in the window, and not along its edge.
func (w window) crossed(c sheetCut) bool {
	inside := func(v, low, high length.Length) bool { return v > low+detailEdge && v < high-detailEdge }
	within := func(v, run, low, high length.Length) bool {
		return v >= low-detailEdge && v+run <= high+detailEdge
	}
	if c.along == plan.AlongLength {
		return inside(c.y, w.y0, w.y1) && within(c.x, c.long, w.x0, w.x1)
	}
	return inside(c.x, w.x0, w.x1) && within(c.y, c.long, w.y0, w.y1)
}

// fewKeyed is how many panels too small to letter make no detail, largestDetail how much of
// a sheet one shows, and leastGain how much larger it is drawn, at least.
const (
	fewKeyed      = 3
	largestDetail = 0.45
	leastGain     = 1.7
)

// crowded finds the window of a sheet that wants a detail.
func (v *sheetView) crowded() {
	if beam(v.material) || len(v.keyed) <= fewKeyed {
		return
	}
	w := v.keyed[0].place
	for _, k := range v.keyed {
		w = window{min(w.x0, k.place.x0), min(w.y0, k.place.y0), max(w.x1, k.place.x1), max(w.y1, k.place.y1)}
	}
	st := v.pattern.Stock
	if float64(w.x1-w.x0)*float64(w.y1-w.y0) <= largestDetail*float64(st.Length)*float64(st.Width) {
		v.detailed = &w
	}
}

// frame marks the window of the detail.
func (v *sheetView) frame(fig *drawing.Page) {
	if v.detailed == nil {
		return
	}
	const beyond = 0.9
	w := v.detailed
	x0, y0, x1, y1 := v.x(w.x0)-beyond, v.y(w.y1)-beyond, v.x(w.x1)+beyond, v.y(w.y0)+beyond
	fig.Box(x0, y0, x1-x0, y1-y0, thin, drawing.None)
	const high = 6.0
	b := around((x0+x1)/2, (y0+y1)/2, high, high)
	fig.Box(b.x0, b.y0, high, high, drawing.Pen{}, drawing.White)
	v.write(fig, (b.x0+b.x1)/2, b.y1-1.2, high, detailLetter, font{size: 14, bold: true, align: drawing.Centre})
}

const detailLetter = "A"

// The room around a detail on its figure, and above it for its name.
const (
	detailSide = 4.0
	detailHead = 8.0
)

// detailFor draws the detail of a sheet as large as a room takes it; false where that is
// hardly larger than the drawing, or leaves it as crowded.
func (s *set) detailFor(v *sheetView, wide, high float64) (*drawing.Page, bool) {
	w := *v.detailed
	long, width := (w.x1 - w.x0).Millimetres(), (w.y1 - w.y0).Millimetres()
	if wide < 4*detailSide || high < 2*detailHead {
		return nil, false
	}
	scale := 1 / max(1, scaleFor(long, wide-2*detailSide), scaleFor(width, high-detailHead-detailSide))
	e := &sheetView{set: v.set, material: v.material, pattern: v.pattern, scale: scale, window: &w}
	e.x0 = detailSide - float64(w.x0.Millimetres()*scale)
	e.y0 = detailHead + float64(w.y1.Millimetres()*scale)
	fig := &drawing.Page{Width: float64(long*scale) + 2*detailSide, Height: float64(width*scale) + detailHead + detailSide}
	e.within = box{0, detailHead - detailSide, fig.Width, fig.Height}
	e.inside(fig)
	for _, c := range v.cuts {
		if w.crossed(c) {
			e.cuts = append(e.cuts, c)
		}
	}
	e.balloons(fig)
	e.key = v.key[:v.outside:v.outside]
	e.keys(fig)
	s.write(fig, 0, 5, fig.Width+20, detailLetter+"   "+s.ratio(1/scale), font{size: 11, bold: true})
	fig.Width = max(fig.Width, 26)
	v.inDetail, v.key = e, e.key
	return fig, scale >= leastGain*v.scale && (len(e.keyed) <= len(v.keyed)/2 || e.named())
}

// named reports whether every panel that is too small for its size bears its name.
func (v *sheetView) named() bool {
	for _, k := range v.keyed {
		if k.at.x1-k.at.x0 < 8 || k.at.y1-k.at.y0 < 8 {
			return false
		}
	}
	return true
}

// inside draws what of a sheet is in the window.
func (v *sheetView) inside(fig *drawing.Page) {
	w := *v.window
	for _, p := range leaves(v.pattern.Tree) {
		q := *p
		q.X, q.Y = max(p.X, w.x0), max(p.Y, w.y0)
		q.Length, q.Width = min(p.X+p.Length, w.x1)-q.X, min(p.Y+p.Width, w.y1)-q.Y
		if q.Length > 0 && q.Width > 0 && p.Panel == 0 {
			v.leftover(fig, &q)
		}
	}
	for _, p := range v.pattern.Panels {
		row := v.panels[p.Mark]
		l, h := row.Length, row.Width
		if p.Turned {
			l, h = h, l
		}
		if w.holds(window{p.X, p.Y, p.X + l, p.Y + h}) {
			v.panel(fig, p)
		}
	}
	fig.Box(v.x(w.x0), v.y(w.y1), float64((w.x1-w.x0).Millimetres()*v.scale), float64((w.y1-w.y0).Millimetres()*v.scale), thin, drawing.None)
}
