package report

import (
	"cmp"
	"slices"

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

func (w window) with(o window) window {
	return window{min(w.x0, o.x0), min(w.y0, o.y0), max(w.x1, o.x1), max(w.y1, o.y1)}
}

func (w window) area() float64 { return float64(w.x1-w.x0) * float64(w.y1-w.y0) }

func (w window) meets(o window) bool { return w.x0 < o.x1 && o.x0 < w.x1 && w.y0 < o.y1 && o.y0 < w.y1 }

// fewKeyed is how many panels too small to letter make no detail, looseDetail how much
// larger than its panels one may be, leastGain how much larger it is drawn beside its
// sheet, at least, and mostClustered the panels of which more than one is made.
const (
	fewKeyed      = 3
	looseDetail   = 1.7
	leastGain     = 1.7
	mostClustered = 200
)

// crowd is panels too small to letter that lie close to each other.
type crowd struct {
	window
	panels int
	filled float64 // of the window's area
}

// crowded finds the windows of a sheet that want a detail: panels too small to letter are
// put together two by two, those first that leave least between them, as long as they fill
// their window well.
func (v *sheetView) crowded() {
	if beam(v.material) || len(v.keyed) <= fewKeyed {
		return
	}
	var all []crowd
	for _, k := range v.keyed {
		all = append(all, crowd{k.place, 1, k.place.area()})
	}
	join := func(i, k int) {
		all[i] = crowd{all[i].with(all[k].window), all[i].panels + all[k].panels, all[i].filled + all[k].filled}
		all = slices.Delete(all, k, k+1)
	}
	for len(v.keyed) > mostClustered && len(all) > 1 {
		join(0, 1)
	}
	for {
		first, second, least := -1, -1, looseDetail
		for k := range all {
			for i := range k {
				loose := all[i].with(all[k].window).area() / (all[i].filled + all[k].filled)
				if all[i].meets(all[k].window) {
					loose = 0
				}
				if loose < least {
					first, second, least = i, k, loose
				}
			}
		}
		if first < 0 {
			break
		}
		join(first, second)
	}
	slices.SortFunc(all, func(a, b crowd) int { return cmp.Or(cmp.Compare(a.x0, b.x0), cmp.Compare(a.y0, b.y0)) })
	for _, c := range all {
		if c.panels > fewKeyed && len(v.detailed) < len(detailLetters) {
			v.detailed = append(v.detailed, c.window)
		}
	}
}

// frame marks the windows of the details.
func (v *sheetView) frame(fig *drawing.Page) {
	const beyond, high = 0.9, 5.0
	for i, w := range v.detailed {
		x0, y0, x1, y1 := v.x(w.x0)-beyond, v.y(w.y1)-beyond, v.x(w.x1)+beyond, v.y(w.y0)+beyond
		fig.Box(x0, y0, x1-x0, y1-y0, thin, drawing.None)
		b := around((x0+x1)/2, (y0+y1)/2, high, high)
		if !v.free(b) {
			if c, found := v.beside((x0+x1)/2, (y0+y1)/2, high, high); found {
				b = c
			}
		}
		v.taken = append(v.taken, b)
		fig.Box(b.x0, b.y0, high, high, drawing.Pen{}, drawing.White)
		v.write(fig, (b.x0+b.x1)/2, b.y1-0.8, high, detailName(i), font{size: 13, bold: true, align: drawing.Centre})
	}
}

// detailLetters name details, from the end of the alphabet, since parts of a sheet are lettered
// from its start; figures' neighbours are left out.
const detailLetters = "ZYXWVUTSRPNMLKJH"

func detailName(i int) string { return detailLetters[i : i+1] }

// The room around a detail on its figure, and above it for its name.
const (
	detailSide = 4.0
	detailHead = 8.0
)

// detailFor draws a detail of a sheet as large as a room takes it, and tells whether it is
// much larger than on the sheet, and lettered. Its key begins with that of the sheet.
func (s *set) detailFor(v *sheetView, i int, wide, high float64) (*drawing.Page, *sheetView, bool) {
	w := v.detailed[i]
	long, width := (w.x1 - w.x0).Millimetres(), (w.y1 - w.y0).Millimetres()
	if wide < 4*detailSide || high < 2*detailHead {
		return nil, nil, false
	}
	scale := 1 / max(1, scaleFor(long, wide-2*detailSide), scaleFor(width, high-detailHead-detailSide))
	e := &sheetView{set: v.set, material: v.material, pattern: v.pattern, scale: scale, window: &w, key: slices.Clone(v.key)}
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
	e.keys(fig)
	s.write(fig, 0, 5, fig.Width+20, "detail "+detailName(i)+"   "+s.ratio(1/scale), font{size: 11, bold: true})
	fig.Width = max(fig.Width, 36)
	return fig, e, scale >= leastGain*v.scale && (len(e.keyed) <= fewKeyed || e.named())
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
