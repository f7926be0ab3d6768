package report

import "sawbill/internal/report/drawing"

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
