package report

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/report/drawing"
)

// label is an upright text at a place of the bar, or over a stretch of it.
type label struct {
	at       float64
	from, to float64 // the stretch; none when equal
	text     string
	bold     bool
}

// labels are the upright texts: above the bar what does not fit into its piece and
// the cuts made at the yard, below it the running dimensions from the left end of
// the bar or of its part.
func (v *barView) labels(pt pattern, pieces []held) (above, below []label) {
	parts := stretches(pt.Layout)
	for _, st := range parts {
		zero := label{at: v.x(st.from), text: "0"}
		if st.name != "" {
			zero = label{at: v.x(st.from), text: st.name + ": 0", bold: true}
		}
		below = append(below, zero)
		if st.from == 0 && v.trimLeft > 0 {
			below = append(below, label{at: v.x(v.trimLeft), text: v.length(v.trimLeft)})
		}
		for i := st.first; i < st.after; {
			h, n := pieces[i], v.alike(pieces[i:st.after])
			if !v.fits(h) {
				above = append(above, v.outside(h, pieces[i+n-1], n))
			}
			i += n
		}
		for i, h := range pieces[st.first:st.after] {
			if h.left != 0 && (i > 0 || h.At != max(st.from, v.trimLeft)) {
				below = append(below, label{at: v.x(h.At), text: "(" + v.length(h.At-st.from) + ")"})
			}
			below = append(below, label{at: v.x(h.At + h.length), text: v.length(h.At + h.length - st.from), bold: true})
		}
		if !st.last {
			above = append(above, label{at: v.x(st.to), text: "cut at the yard, " + v.own(st.to), bold: true})
		}
	}
	// Where slants nest, a left tip lies before the right tip to its left.
	inOrder(below)
	inOrder(above)
	return above, below
}

func inOrder(labels []label) {
	slices.SortStableFunc(labels, func(a, b label) int { return cmp.Compare(a.at, b.at) })
}

// alike counts the pieces from the first on that one label serves.
func (v *barView) alike(pieces []held) int {
	n := 1
	for n < len(pieces) && pieces[n].Mark == pieces[0].Mark && !v.fits(pieces[0]) {
		n++
	}
	return n
}

// outside letters n equal pieces that are too short for it.
func (v *barView) outside(first, last held, n int) label {
	text := v.own(first.length) + "  " + first.Mark
	if first.left != 0 || first.right != 0 {
		text = v.own(first.length) + "  " + v.slants(first) + "  " + first.Mark
	}
	l := label{at: v.x((first.At + last.At + last.length) / 2), text: text, bold: true}
	if n > 1 {
		l.text = fmt.Sprintf("%d × %s", n, text)
		l.from, l.to = v.x(first.At), v.x(last.At+last.length)
	}
	return l
}

func (v *barView) slants(h held) string {
	left, right := v.degrees(abs(h.left)), v.degrees(abs(h.right))
	if twoSided(h.asLying()) {
		return left + " " + v.sec.FaceName(h.leftFace) + "/" + right + " " + v.sec.FaceName(h.rightFace)
	}
	return strings.TrimSpace(left + "/" + right + " " + v.sec.FaceName(views([]held{h})[0]))
}

func abs(a int64) int64 {
	if a < 0 {
		return -a
	}
	return a
}

var (
	lengthFont = font{size: 12, least: 10, bold: true, align: drawing.Centre}
	markFont   = font{size: 9, least: 7, align: drawing.Centre}
	angleFont  = font{size: 7.5}
)

// fits reports whether a piece is long enough on paper for its lettering.
func (v *barView) fits(h held) bool {
	room := v.inner(h)
	if v.measure(v.own(h.length), font{size: lengthFont.least, bold: true}) > room ||
		v.measure(h.Mark, font{size: markFont.least}) > max(room, v.markRoom(room)) {
		return false
	}
	angles := v.measure(v.degrees(abs(h.left))+v.degrees(abs(h.right)), angleFont) + 2.4
	return (h.left == 0 && h.right == 0) || angles <= v.x(h.length)
}

// markRoom is unlimited in a piece so long that a mark which does not fit into it would
// not fit beside it either, and is clipped in any place.
func (v *barView) markRoom(room float64) float64 {
	if room > tallest-15 {
		return math.Inf(1)
	}
	return 0
}

func (v *barView) inner(h held) float64 {
	return v.x(h.length-h.cutLeft-h.cutRight) - 1.4
}

func places(labels []label) []float64 {
	out := make([]float64, len(labels))
	for i, l := range labels {
		out[i] = l.at
	}
	return out
}

// leaderHeight is the height of leader lines that are steep enough to follow.
func leaderHeight(labels []label, spots []float64) float64 {
	aside := 0.0
	for i, l := range labels {
		aside = max(aside, math.Abs(l.at-spots[i]))
	}
	return min(leader+float64(0.2*aside), 3*leader)
}

// labelFont is for upright labels.
var labelFont = font{size: 9.5, least: 6.5, angle: 90}

// tallest is the longest an upright label may be.
const tallest = 48.0

// upright is the height that the labels need.
func (v *barView) upright(labels []label) float64 {
	high := 0.0
	for _, l := range labels {
		high = max(high, v.measure(l.text, font{size: labelFont.size, bold: l.bold}))
	}
	return min(high, tallest)
}

// leaders writes upright labels in their spots and leads from the bar's edge, at
// barY, to them; side is -1 above the bar and 1 below it.
func (v *barView) leaders(fig *drawing.Page, labels []label, spots []float64, textY, barY, side float64) {
	for i, l := range labels {
		f := labelFont
		f.bold = l.bold
		y := textY
		if side > 0 {
			y += min(v.measure(l.text, font{size: f.size, bold: f.bold}), tallest) + 0.5
		} else {
			y -= 0.5
		}
		v.write(fig, spots[i]+1.2, y, tallest, l.text, f)
		points := []drawing.Point{{X: l.at, Y: barY}, {X: l.at, Y: barY + side*1.5}, {X: spots[i], Y: textY - side*0.8}}
		if l.to > l.from {
			fig.Add(drawing.Line{Pen: thin, Points: []drawing.Point{{X: l.from + 0.2, Y: barY - 0.3}, {X: l.from + 0.2, Y: barY - 1.1},
				{X: l.to - 0.2, Y: barY - 1.1}, {X: l.to - 0.2, Y: barY - 0.3}}})
			points = []drawing.Point{{X: l.at, Y: barY - 1.1}, {X: l.at, Y: barY - 1.6}, {X: spots[i], Y: textY + 0.8}}
		} else if side < 0 {
			points = []drawing.Point{{X: l.at, Y: barY + 2.5}, {X: l.at, Y: barY - 0.5}, {X: spots[i], Y: textY + 0.8}}
		}
		fig.Add(drawing.Line{Points: points, Pen: hair})
	}
}

// runs lists pieces and their right tips, equal neighbours as one entry, part by part.
func (v *barView) runs(pt pattern, pieces []held) []string {
	var out []string
	for _, st := range stretches(pt.Layout) {
		list := v.runsOf(pieces[st.first:st.after], st.from)
		if st.name != "" {
			if len(list) == 0 {
				list = []string{"nothing"}
			}
			list[0] = fmt.Sprintf("part %s, %s long: %s", st.name, v.own(st.to-st.from), list[0])
		}
		out = append(out, list...)
	}
	return out
}

// runsOf lists the pieces of one part, measured from its left end.
func (v *barView) runsOf(pieces []held, from length.Length) []string {
	var out []string
	for i := 0; i < len(pieces); {
		a := pieces[i]
		k := i
		step := length.Length(0)
		for k+1 < len(pieces) && pieces[k+1].Mark == a.Mark {
			d := pieces[k+1].At - pieces[k].At
			if k > i && d != step {
				break
			}
			step = d
			k++
		}
		what := v.own(a.length) + " " + clip(a.Mark, 60)
		if a.left != 0 || a.right != 0 {
			what = v.own(a.length) + " " + v.slants(a) + " " + clip(a.Mark, 60)
		}
		first := v.length(a.At + a.length - from)
		if k == i {
			out = append(out, what+" to "+first)
		} else {
			out = append(out, fmt.Sprintf("%d × %s to %s and every %s up to %s", k-i+1, what,
				first, v.small(step), v.length(pieces[k].At+a.length-from)))
		}
		i = k + 1
	}
	return out
}
