package report

import (
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// What is left of a bar beside its pieces: scrap, cuts of the yard, offcuts to keep.

// scrap hatches a stretch of the bar.
func (v *barView) scrap(fig *drawing.Page, from, to length.Length, y float64) {
	wide := v.x(to) - v.x(from)
	if wide < 0.05 {
		return
	}
	outline := drawing.Rectangle(v.x(from), y, wide, barHigh)
	fig.Add(drawing.Shape{Points: outline, Pen: thin})
	fig.Hatch(outline, 1.8, hair)
}

// yardMark is a cut made at the yard: a black bar across the stock and beyond it.
func (v *barView) yardMark(fig *drawing.Page, from, to length.Length, y float64) {
	const least, beyond = 0.9, 2.2
	wide := max(least, v.x(to)-v.x(from))
	fig.Box(v.x(from), y-beyond, wide, barHigh+2*beyond, drawing.Pen{}, drawing.Black)
}

// keptIn is the part whose leftover the plan keeps, the one that fits it most closely; -1
// when it keeps none. ends are the right tips of the last pieces.
func (v *barView) keptIn(l plan.Layout, parts []stretch, ends []length.Length) int {
	best := -1
	for i, st := range parts {
		over := st.to - ends[i] - l.Offcut
		if l.Kept && over >= 0 && (best < 0 || over < parts[best].to-ends[best]-l.Offcut) {
			best = i
		}
	}
	return best
}

// kept draws an offcut to keep, with an open end.
func (v *barView) kept(fig *drawing.Page, from, to length.Length, y float64) {
	low := y + barHigh
	x0, x1 := v.x(from), v.x(to)
	// The broken end of a part drawn in part: a zigzag, nothing closing it.
	fig.Add(drawing.Line{Pen: medium, Points: []drawing.Point{{X: x1, Y: y}, {X: x0, Y: y}, {X: x0, Y: low}, {X: x1, Y: low}}})
	const tooth = 1.3
	fig.Add(drawing.Line{Pen: thin, Points: []drawing.Point{{X: x1, Y: y}, {X: x1 - tooth, Y: y + barHigh*0.3},
		{X: x1 + tooth, Y: y + barHigh*0.5}, {X: x1 - tooth, Y: y + barHigh*0.7}, {X: x1, Y: low}}})
	room, middle := x1-x0-2*tooth-1.4, (x0+x1-tooth)/2
	v.write(fig, middle, y+6, room, v.length(to-from), font{size: 12, least: 7, align: drawing.Centre})
	v.write(fig, middle, y+11, room, "offcut, keep", font{size: 8, least: 5.5, align: drawing.Centre})
}
