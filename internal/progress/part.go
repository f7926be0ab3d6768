package progress

import (
	"math"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/section"
)

// part is what a mark is, of bar or of sheet.
type part struct {
	material      int
	length, width length.Length // width 0 of a piece
	left, right   end
	section       section.Section
	turns         section.Turns
	turn          bool // of a panel
}

// parts are those of a job by mark.
func parts(j *job.Job) map[string]part {
	all := map[string]part{}
	for _, p := range j.Pieces {
		m := j.Materials[p.Material]
		all[p.Mark] = part{material: p.Material, length: p.Length, left: end{p.Left, p.LeftFace}, right: end{p.Right, p.RightFace}, section: m.Section, turns: m.Section.Turns(m.GoodSide)}
	}
	for _, p := range j.Panels {
		all[p.Mark] = part{material: p.Material, length: p.Length, width: p.Width, turn: p.Turn && !j.Materials[p.Material].Grain}
	}
	return all
}

// kerfAt is what a cut at the steeper of two angles takes along the bar, and a
// little more where it is mitred: rests are rather taken for too short.
func kerfAt(kerf length.Length, a, b int64) length.Length {
	steep := max(a, -a, b, -b)
	if steep == 0 {
		return kerf
	}
	return length.Length(math.Ceil(float64(kerf)/math.Cos(float64(steep)/1000*math.Pi/180))) + 1
}

// goesIn says that a part can be cut from a piece of stock, apart from trims: it
// needs no cut where the sizes are the same.
func (p part) goesIn(l, w, kerf length.Length) bool {
	fits := func(side, room length.Length) bool { return side == room || side+kerf <= room }
	if p.width == 0 {
		return w == 0 && fits(p.length, l)
	}
	return fits(p.length, l) && fits(p.width, w) || p.turn && fits(p.width, l) && fits(p.length, w)
}
