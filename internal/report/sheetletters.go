package report

import (
	"math"
	"slices"

	"sawbill/internal/report/drawing"
)

// lettering writes two lines into a rectangle, or one, upright if it must or
// rather should; false when they do not fit.
func (v *sheetView) lettering(fig *drawing.Page, out []drawing.Point, size, mark string, panel, rather bool) bool {
	l := letters{fig, out, size, clip(mark, 30), panel}
	two := []struct{ size, mark float64 }{{12, 11}, {10, 9}, {8.5, 8}}
	if rather {
		for _, f := range two {
			if v.twoLines(l, f.size, f.mark, true) {
				return true
			}
		}
	}
	for _, f := range two {
		if v.twoLines(l, f.size, f.mark, false) || v.twoLines(l, f.size, f.mark, true) {
			return true
		}
	}
	for _, f := range []font{{size: 10, bold: panel}, {size: 9, bold: panel}, {size: 7.5}} {
		if v.oneLine(l, f, rather) || v.oneLine(l, f, !rather) {
			return true
		}
	}
	return false
}

// letters is what is to be lettered in a rectangle.
type letters struct {
	fig        *drawing.Page
	out        []drawing.Point
	size, mark string
	panel      bool
}

// room is the middle of the rectangle, and how long and high lettering may be.
func (l letters) room(upright bool) (x, y, long, high float64) {
	w, h := l.out[1].X-l.out[0].X-2, l.out[2].Y-l.out[1].Y-2
	if upright {
		w, h = h, w
	}
	return (l.out[0].X + l.out[1].X) / 2, (l.out[0].Y + l.out[2].Y) / 2, w, h
}

func (v *sheetView) twoLines(l letters, size, mark float64, upright bool) bool {
	x, y, w, h := l.room(upright)
	need := max(v.measure(l.size, font{size: size, bold: l.panel}), v.measure(l.mark, font{size: mark}))
	high := (size + mark) * 0.42
	if need > w || high > h {
		return false
	}
	main := font{size: size, bold: l.panel, align: drawing.Centre}
	second := font{size: mark, align: drawing.Centre}
	if upright {
		main.angle, second.angle = 90, 90
		v.write(l.fig, x-0.4, y, w, l.size, main)
		v.write(l.fig, x+mark*0.36, y, w, l.mark, second)
		v.taken = append(v.taken, around(x, y, high, need))
		return true
	}
	v.write(l.fig, x, y-0.4, w, l.size, main)
	v.write(l.fig, x, y+mark*0.36, w, l.mark, second)
	v.taken = append(v.taken, around(x, y, need, high))
	return true
}

// oneLine is for strips.
func (v *sheetView) oneLine(l letters, f font, upright bool) bool {
	x, y, w, h := l.room(upright)
	text := l.size + "  " + l.mark
	need, high := v.measure(text, f), f.size*0.34
	if need > w || high > h+1.8 {
		return false
	}
	f.align = drawing.Centre
	if upright {
		f.angle = 90
		v.write(l.fig, x+f.size*0.13, y, w, text, f)
		v.taken = append(v.taken, around(x, y, high, need))
		return true
	}
	v.write(l.fig, x, y+f.size*0.13, w, text, f)
	v.taken = append(v.taken, around(x, y, need, high))
	return true
}

// keys names the panels that are too small for their lettering, in them or beside them.
func (v *sheetView) keys(fig *drawing.Page) {
	for _, k := range v.keyed {
		if slices.ContainsFunc(v.detailed, func(w window) bool { return w.holds(k.place) }) {
			continue
		}
		number := slices.Index(v.key, k.mark)
		if number < 0 {
			number, v.key = len(v.key), append(v.key, k.mark)
		}
		b := k.at
		x, y := (b.x0+b.x1)/2, (b.y0+b.y1)/2
		text := keyName(number, k.mark)
		f := font{size: 8, align: drawing.Centre}
		w := v.measure(text, f) + 0.6
		if c := around(x, y, w, 3.4); w > b.x1-b.x0 || b.y1-b.y0 < 3.4 || !v.free(c) {
			c, found := v.beside(x, y, w, 3.4)
			if !found {
				continue
			}
			fig.Stroke(x, y, (c.x0+c.x1)/2, (c.y0+c.y1)/2, hair)
			fig.Add(drawing.Shape{Points: drawing.Rectangle(c.x0, c.y0, w, 3.4), Pen: hair, Fill: drawing.White})
			x, y = (c.x0+c.x1)/2, (c.y0+c.y1)/2
		}
		v.taken = append(v.taken, around(x, y, w, 3.4))
		v.write(fig, x, y+1, w, text, f)
	}
}

func (v *sheetView) free(b box) bool {
	for _, t := range v.taken {
		if t.meets(b) {
			return false
		}
	}
	return true
}

// beside is the free box nearest to a point, in widening rings; there may be none.
// What finds no room on a crowded sheet stands in the table alone.
func (v *sheetView) beside(x, y, w, h float64) (box, bool) {
	const directions = 16
	for r := 6.0; r < 24; r += 2.5 {
		for i := range directions {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / directions)
			b := around(x+r*cos, y+r*sin, w, h)
			if b.x0 > v.within.x0 && b.y0 > v.within.y0 && b.x1 < v.within.x1 && b.y1 < v.within.y1 && v.free(b) {
				return b, true
			}
		}
	}
	return box{}, false
}
