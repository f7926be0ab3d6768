package report

import (
	"fmt"
	"math"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// barView is how the bars of one material are drawn.
type barView struct {
	*set
	material plan.Material
	across   length.Length // width of the face a mitre is laid across
	kerf     length.Length
	trimLeft length.Length
	usable   func(l length.Length) length.Length // where the last piece must end
	cutError length.Length
	scale    float64 // paper mm per mm
	width    float64 // of the figure, mm
}

const (
	barHigh   = 13.0 // not to scale
	angleHigh = 4.0  // above the bar, for end angles
	labelStep = 4.1  // between upright labels
	leader    = 5.0  // least height of leader lines
)

func (s *set) barView(m plan.Material, width float64) *barView {
	v := &barView{set: s, material: m, width: width, across: s.materials[m.Key].Section.OuterWidth()}
	p := s.processes[m.Key]
	v.kerf, v.trimLeft, v.cutError = p.Kerf, p.TrimLeft, p.CutError
	v.usable = func(l length.Length) length.Length {
		end := l - p.TrimRight - p.Tail
		if p.Tail > 0 {
			end -= p.Kerf
		}
		return end
	}
	longest := length.Length(0)
	for _, l := range m.Layouts {
		longest = max(longest, l.Stock.Length)
	}
	v.scale = 1 / scaleFor(longest.Millimetres(), width-4)
	return v
}

// scaleFor is the smallest n of a round series for which a length drawn 1:n
// fits the room.
func scaleFor(mm, room float64) float64 {
	for _, decade := range []float64{1, 10, 100, 1000} {
		for _, n := range []float64{1, 1.25, 1.5, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.5, 4, 4.5, 5, 5.5, 6, 7, 8, 9} {
			if n*decade*room >= mm {
				return n * decade
			}
		}
	}
	return max(1, mm/room)
}

func (s style) ratio(n float64) string { return "1:" + s.decimal(trimZeros(fmt.Sprintf("%.2f", n))) }

func (v *barView) x(l length.Length) float64 { return l.Millimetres() * v.scale }

// label is an upright text at a place of the bar, or over a stretch of it.
type label struct {
	at       float64
	from, to float64 // the stretch; none when equal
	text     string
	bold     bool
}

func slanted(pieces []held) bool {
	for _, h := range pieces {
		if h.left != 0 || h.right != 0 {
			return true
		}
	}
	return false
}

// figure draws one pattern.
func (v *barView) figure(pt pattern) *drawing.Page {
	fig := &drawing.Page{Width: v.width}
	pieces := v.hold(pt.Pieces, v.across, v.kerf)
	above, below := v.labels(pt, pieces)
	y := v.title(fig, pt)
	y = v.ticks(fig, "Bar", pt.Numbers, y)
	angles := 1.0
	if slanted(pieces) {
		angles = angleHigh
	}
	if len(above) == 0 {
		y += 0.5
	} else if spots, ok := spread(places(above), labelStep, 0, v.width-2); ok {
		text := y + v.upright(above)
		y = text + leaderHeight(above, spots)
		v.leaders(fig, above, spots, text, y+angles, -1)
	} else {
		y = v.list(fig, y, "Not lettered on the drawing, from the left", runs(v.set, pieces))
	}
	y += angles
	v.bar(fig, pt, pieces, y)
	y += barHigh
	if spots, ok := spread(places(below), labelStep, 0, v.width-2); ok {
		high := leaderHeight(below, spots)
		v.leaders(fig, below, spots, y+high, y, 1)
		y += high + v.upright(below)
	} else {
		y = v.list(fig, y+1, "Right tips from the bar's left end", runs(v.set, pieces))
	}
	fig.Height = y + 2
	return fig
}

func (v *barView) title(fig *drawing.Page, pt pattern) float64 {
	n := int64(len(pt.Numbers))
	text := fmt.Sprintf("Pattern %d    %s %s", pt.Pattern, plural(n, "bar"), v.withUnit(pt.Stock.Length))
	x := v.write(fig, 0, 5, v.width*0.45, text, font{size: 13, least: 9, bold: true}) + 5
	if pt.Stock.Supplier != "" {
		x += v.write(fig, x, 5, v.width*0.2, "from "+pt.Stock.Supplier, font{size: 9}) + 5
	}
	note, tight := v.spare(pt)
	v.write(fig, x, 5, v.width-x, note, font{size: 9, least: 6.5, bold: tight})
	return 6.5
}

// spare says how much is left before the bar would be overfull, and whether the
// saw's stated error could use it up.
func (v *barView) spare(pt pattern) (string, bool) {
	if len(pt.Pieces) == 0 {
		return "no piece", false
	}
	last := pt.Pieces[len(pt.Pieces)-1]
	end := last.At + v.pieces[last.Mark].Length
	left := v.usable(pt.Stock.Length) - end
	note := "to spare " + v.smallWithUnit(left)
	cuts := length.Length(len(pt.Pieces))
	if v.trimLeft > 0 {
		cuts++
	}
	if v.cutError > 0 && left < v.cutError*cuts {
		return fmt.Sprintf("TIGHT: %s; %d cuts, each within %s, may use it up", note, cuts, v.smallWithUnit(v.cutError)), true
	}
	return note, false
}

// mostTicks is the number of boxes after which a tally is quicker.
const mostTicks = 120

func (v *barView) ticks(fig *drawing.Page, what string, numbers []int, y float64) float64 {
	if len(numbers) > mostTicks {
		v.write(fig, 0, y+5, v.width, what+"s "+ranges(numbers)+"   tally:", font{size: 10})
		return y + 7
	}
	const box, step = 4.0, 14.0
	x, line := 0.0, y+5
	x += v.write(fig, 0, line, v.width, what, font{size: 9}) + 3
	start := x
	for _, n := range numbers {
		if x+step > v.width {
			x, line = start, line+6
		}
		tick(fig, x, line, box)
		v.write(fig, x+box+1, line, step-box-2, fmt.Sprint(n), font{size: 10, least: 6})
		x += step
	}
	return line + 1.5
}

// ranges writes 1–3, 5, 7–9.
func ranges(numbers []int) string {
	var parts []string
	for i := 0; i < len(numbers); {
		k := i
		for k+1 < len(numbers) && numbers[k+1] == numbers[k]+1 {
			k++
		}
		if k == i {
			parts = append(parts, fmt.Sprint(numbers[i]))
		} else {
			parts = append(parts, fmt.Sprintf("%d–%d", numbers[i], numbers[k]))
		}
		i = k + 1
	}
	return strings.Join(parts, ", ")
}

// labels are the upright texts: above the bar what does not fit into its piece,
// below it the running dimensions from the bar's left end.
func (v *barView) labels(pt pattern, pieces []held) (above, below []label) {
	below = append(below, label{text: "0"})
	if v.trimLeft > 0 {
		below = append(below, label{at: v.x(v.trimLeft), text: v.length(v.trimLeft)})
	}
	for i := 0; i < len(pieces); {
		h, n := pieces[i], v.alike(pieces[i:])
		if !v.fits(h) {
			above = append(above, v.outside(h, pieces[i+n-1], n))
		}
		i += n
	}
	for i, h := range pieces {
		if h.left != 0 && (i > 0 || h.At != v.trimLeft) {
			below = append(below, label{at: v.x(h.At), text: "(" + v.length(h.At) + ")"})
		}
		below = append(below, label{at: v.x(h.At + h.length), text: v.length(h.At + h.length), bold: true})
	}
	// Where slants nest, a left tip lies before the right tip to its left.
	for i := 1; i < len(below); i++ {
		for k := i; k > 0 && below[k].at < below[k-1].at; k-- {
			below[k], below[k-1] = below[k-1], below[k]
		}
	}
	return above, below
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
	text := v.length(first.length) + "  " + first.Mark
	if first.left != 0 || first.right != 0 {
		text = v.length(first.length) + "  " + v.slants(first) + "  " + first.Mark
	}
	l := label{at: v.x((first.At + last.At + last.length) / 2), text: text, bold: true}
	if n > 1 {
		l.text = fmt.Sprintf("%d × %s", n, text)
		l.from, l.to = v.x(first.At), v.x(last.At+last.length)
	}
	return l
}

func (v *barView) slants(h held) string {
	return v.degrees(abs(h.left)) + "/" + v.degrees(abs(h.right))
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
	if v.measure(v.length(h.length), font{size: lengthFont.least, bold: true}) > room ||
		v.measure(h.Mark, font{size: markFont.least}) > max(room, v.markRoom(room)) {
		return false
	}
	angles := v.measure(v.slants(h)+"mm", angleFont)
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
var labelFont = font{size: 9.5, angle: 90}

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

// bar draws the bar itself with its upper edge at y.
func (v *barView) bar(fig *drawing.Page, pt pattern, pieces []held, y float64) {
	low := y + barHigh
	outline := func(from, to length.Length) []drawing.Point {
		return drawing.Rectangle(v.x(from), y, v.x(to-from), barHigh)
	}
	if v.trimLeft > 0 {
		fig.Add(drawing.Shape{Points: outline(0, v.trimLeft), Pen: thin})
		fig.Hatch(outline(0, v.trimLeft), 1.2, hair)
	}
	end := v.trimLeft
	for _, h := range pieces {
		leftLow, leftUp := h.leftEdge()
		rightLow, rightUp := h.rightEdge()
		fig.Add(drawing.Shape{Pen: medium, Points: []drawing.Point{
			{X: v.x(leftUp), Y: y}, {X: v.x(rightUp), Y: y}, {X: v.x(rightLow), Y: low}, {X: v.x(leftLow), Y: low}}})
		v.letter(fig, h, y)
		end = max(end, h.At+h.length)
	}
	v.rest(fig, pt, end, y)
	// The datum of the running dimensions.
	fig.Stroke(0, y-1, 0, low+1, thick)
}

func (v *barView) letter(fig *drawing.Page, h held, y float64) {
	if !v.fits(h) {
		return
	}
	low, up := h.leftEdge()
	rlow, rup := h.rightEdge()
	middle := v.x(max(low, up)+min(rlow, rup)) / 2
	room := v.inner(h)
	v.write(fig, middle, y+6, room, v.length(h.length), lengthFont)
	v.write(fig, middle, y+11, room, h.Mark, markFont)
	if h.left != 0 {
		v.write(fig, v.x(h.At)+0.8, y-0.9, 20, v.degrees(abs(h.left)), angleFont)
	}
	if h.right != 0 {
		f := angleFont
		f.align = drawing.Right
		v.write(fig, v.x(h.At+h.length)-0.8, y-0.9, 20, v.degrees(abs(h.right)), f)
	}
}

// rest draws what lies right of the last piece: an offcut to keep with an open
// end, or scrap.
func (v *barView) rest(fig *drawing.Page, pt pattern, end length.Length, y float64) {
	stock := pt.Stock.Length
	low := y + barHigh
	x0, x1 := v.x(stock-pt.Offcut), v.x(stock)
	if !pt.Kept {
		x0 = v.x(end)
		if x1-x0 < 0.05 {
			return
		}
		outline := drawing.Rectangle(x0, y, x1-x0, barHigh)
		fig.Add(drawing.Shape{Points: outline, Pen: thin})
		fig.Hatch(outline, 1.8, hair)
		return
	}
	// The broken end of a part drawn in part: a zigzag, nothing closing it.
	fig.Add(drawing.Line{Pen: medium, Points: []drawing.Point{{X: x1, Y: y}, {X: x0, Y: y}, {X: x0, Y: low}, {X: x1, Y: low}}})
	const tooth = 1.3
	fig.Add(drawing.Line{Pen: thin, Points: []drawing.Point{{X: x1, Y: y}, {X: x1 - tooth, Y: y + barHigh*0.3},
		{X: x1 + tooth, Y: y + barHigh*0.5}, {X: x1 - tooth, Y: y + barHigh*0.7}, {X: x1, Y: low}}})
	room := x1 - x0 - 3
	v.write(fig, (x0+x1)/2, y+6, room, v.length(pt.Offcut), font{size: 12, least: 7, align: drawing.Centre})
	v.write(fig, (x0+x1)/2, y+11, room, "offcut, keep", font{size: 8, least: 5.5, align: drawing.Centre})
}

// runs lists pieces with equal neighbours as one entry.
func runs(s *set, pieces []held) []string {
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
		first := s.length(a.At + a.length)
		if k == i {
			out = append(out, fmt.Sprintf("%s %s to %s", s.length(a.length), a.Mark, first))
		} else {
			out = append(out, fmt.Sprintf("%d × %s %s to %s and every %s up to %s", k-i+1, s.length(a.length), a.Mark,
				first, s.small(step), s.length(pieces[k].At+a.length)))
		}
		i = k + 1
	}
	return out
}

// mostLines keeps a list within one page; the tables carry all of it.
const mostLines = 12

func (v *barView) list(fig *drawing.Page, y float64, head string, entries []string) float64 {
	for i, e := range entries {
		entries[i] = clip(e, 80)
	}
	lines := v.wrap(head+": "+strings.Join(entries, "; ")+".", 9)
	if len(lines) > mostLines {
		lines = append(lines[:mostLines], "… the rest is in layouts.csv.")
	}
	for _, l := range lines {
		y += 4.4
		v.write(fig, 0, y, v.width+1, l, font{size: 9})
	}
	return y + 1.5
}

// wrap wraps a text to the figure's width.
func (v *barView) wrap(text string, size float64) []string {
	return v.face.Wrap(v.clean(text), size, false, v.width)
}
