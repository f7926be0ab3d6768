package report

import (
	"fmt"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/section"
)

// barView is how the bars of one material are drawn.
type barView struct {
	*set
	material plan.Material
	sec      section.Section
	kerf     length.Length
	shares   bool // mitres share cuts
	trimLeft length.Length
	tail     length.Length
	usable   func(l length.Length) length.Length // where the last piece must end
	cutError length.Length
	scale    float64 // paper mm per mm
	width    float64 // of the figure, mm
}

const (
	barHigh   = 13.0 // not to scale
	angleHigh = 4.0  // above the bar, for end angles
	viewGap   = 5.0  // between the two sides of a bar
	labelStep = 4.1  // between upright labels
	leader    = 5.0  // least height of leader lines
)

func (s *set) barView(m plan.Material, width float64) *barView {
	v := &barView{set: s, material: m, width: width, sec: s.materials[m.Key].Section}
	p := s.processes[m.Key]
	v.shares = s.sharesMitres(m)
	v.kerf, v.trimLeft, v.tail, v.cutError = p.Kerf, p.TrimLeft, p.Tail, p.CutError
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

// held is how the pieces of a bar lie: as the plan says where mitres share cuts.
func (v *barView) held(pieces []plan.Piece) []held {
	if v.shares {
		return v.heldAs(pieces, v.sec)
	}
	return v.hold(pieces, v.sec, v.kerf)
}

func slanted(pieces []held) bool {
	for _, h := range pieces {
		if h.left != 0 || h.right != 0 {
			return true
		}
	}
	return false
}

// figure draws one pattern; where the labels find no room, it returns a list of
// the pieces to print below.
func (v *barView) figure(pt pattern) (*drawing.Page, []string) {
	fig := &drawing.Page{Width: v.width}
	pieces := v.held(pt.Pieces)
	above, below := v.labels(pt, pieces)
	y, right := v.title(fig, pt)
	if n := len(pt.Numbers); n <= tickedBeside && right+tickRoom(n) < v.width {
		boxes := &drawing.Page{Width: tickRoom(n)}
		v.ticks(boxes, "Bar", pt.Numbers, 0)
		fig.Place(boxes, v.width-boxes.Width, 0)
		y++
	} else {
		y = v.ticks(fig, "Bar", pt.Numbers, y)
	}
	crowded, angles := false, 1.0
	if slanted(pieces) {
		angles = angleHigh
	}
	if len(above) == 0 {
		y += 0.5
	} else if spots, ok := spread(places(above), labelStep, 0, v.width-2); ok {
		const clear = 1.2 // of what stands above
		text := y + clear + v.upright(above)
		y = text + leaderHeight(above, spots)
		v.leaders(fig, above, spots, text, y+angles, -1)
	} else {
		crowded = true
	}
	for i, side := range views(pieces) {
		if i > 0 {
			y += viewGap
			v.write(fig, 0, y, v.width, v.sideOf(v.sec, side)+", the bar rolled a quarter away from you", sideFont)
		}
		y += angles
		v.bar(fig, pt, pieces, side, y)
		y += barHigh
	}
	if spots, ok := spread(places(below), labelStep, 0, v.width-2); ok {
		high := leaderHeight(below, spots)
		v.leaders(fig, below, spots, y+high, y, 1)
		y += high + v.upright(below)
	} else {
		crowded = true
	}
	fig.Height = y + 1
	if crowded {
		v.write(fig, 0, y+4.5, v.width, "The pieces lie too close to letter them all; listed, they are:", font{size: 9})
		fig.Height += 5
		return fig, v.runs(pt, pieces)
	}
	return fig, nil
}

// tickedBeside is how many boxes to tick may stand beside the title of a pattern.
const tickedBeside = 6

// tickRoom is how wide a row of boxes to tick is.
func tickRoom(boxes int) float64 { return 10 + float64(14*boxes) }

// title heads a pattern; it returns how far it reaches down and to the right.
func (v *barView) title(fig *drawing.Page, pt pattern) (low, right float64) {
	n := int64(len(pt.Numbers))
	text := fmt.Sprintf("Pattern %d    %s of %s", pt.Pattern, plural(n, "bar"), v.ownWithUnit(pt.Stock.Length))
	x := v.write(fig, 0, 5, v.width*0.45, text, font{size: 13, least: 9, bold: true}) + 5
	if from := v.cutFrom(v.material.Key, pt); from != "" {
		x += v.write(fig, x, 5, v.width*0.28, from, font{size: 9, least: 6.5}) + 5
	}
	if pieces := v.held(pt.Pieces); slanted(pieces) && !v.sec.EqualFaces() {
		x += v.write(fig, x, 5, v.width*0.25, v.sideOf(v.sec, views(pieces)[0]), sideFont) + 5
	}
	note, tight := v.spare(pt)
	x += v.write(fig, x, 5, v.width-x, note, font{size: 9, least: 6.5, bold: tight})
	return 6.5, x + 5
}

// sideFont names the side of a bar that is drawn.
var sideFont = font{size: 9, least: 6.5, bold: true}

// spare says how much is left before the bar, or a part of it, would be overfull,
// and whether the saw's stated error could use it up.
func (v *barView) spare(pt pattern) (string, bool) {
	var notes []string
	tight := ""
	for _, st := range stretches(pt.Layout) {
		if st.first == st.after {
			continue
		}
		last := pt.Pieces[st.after-1]
		left := v.end(st) - last.At - v.pieces[last.Mark].Length
		note := v.spared(left)
		if st.name != "" {
			note = "in part " + st.name + " " + note
		}
		notes = append(notes, note)
		cuts := length.Length(st.after - st.first)
		if v.trimLeft > 0 && st.from == 0 {
			cuts++
		}
		if v.cutError > 0 && left < v.cutError*cuts && tight == "" {
			tight = fmt.Sprintf("; %d cuts, each within %s, may use it up", cuts, v.sawn(v.cutError))
			if st.name != "" {
				tight = "; in part " + st.name + " " + tight[2:]
			}
		}
	}
	if len(notes) == 0 {
		return "no piece", false
	}
	note := "to spare " + strings.Join(notes, ", ")
	if tight != "" {
		return "TIGHT: " + note + tight, true
	}
	return note, false
}

// end is where the last piece of a part must end: an end that the yard cut needs no
// trim, but the saw grips it as it does the bar's.
func (v *barView) end(st stretch) length.Length {
	if st.last {
		return v.usable(st.to)
	}
	if v.tail > 0 {
		return st.to - v.tail - v.kerf
	}
	return st.to
}

// bar draws the bar itself, seen from a side, with its upper edge at y.
func (v *barView) bar(fig *drawing.Page, pt pattern, whole []held, side section.Face, y float64) {
	pieces := make([]held, len(whole))
	for i, h := range whole {
		pieces[i] = h.from(side)
	}
	low := y + barHigh
	outline := func(from, to length.Length) []drawing.Point {
		return drawing.Rectangle(v.x(from), y, v.x(to-from), barHigh)
	}
	if v.trimLeft > 0 {
		fig.Add(drawing.Shape{Points: outline(0, v.trimLeft), Pen: thin})
		fig.Hatch(outline(0, v.trimLeft), 1.2, hair)
	}
	parts := stretches(pt.Layout)
	ends := make([]length.Length, len(parts))
	for i, st := range parts {
		start := max(st.from, v.trimLeft)
		ends[i] = st.from
		for _, h := range pieces[st.first:st.after] {
			ends[i] = max(ends[i], h.At+h.length)
		}
		if slanted(pieces[st.first:st.after]) {
			// What falls out between slants that do not nest shows behind the pieces.
			fig.Hatch(outline(start, ends[i]), 1.2, hair)
		}
	}
	for i, h := range pieces {
		leftLow, leftUp := h.leftEdge()
		rightLow, rightUp := h.rightEdge()
		fig.Add(drawing.Shape{Pen: medium, Fill: drawing.White, Title: v.about(whole[i]), Points: []drawing.Point{
			{X: v.x(leftUp), Y: y}, {X: v.x(rightUp), Y: y}, {X: v.x(rightLow), Y: low}, {X: v.x(leftLow), Y: low}}})
		for e, in := range h.hidden {
			if x := h.At + in; in > 0 {
				if e == 1 {
					x = h.At + h.length - in
				}
				fig.Stroke(v.x(x), y, v.x(x), low, thin)
			}
		}
		v.letter(fig, h, y, i > 0 && v.shares && shared(pieces[i-1], h))
	}
	keep := v.keptIn(pt.Layout, parts, ends)
	for i, st := range parts {
		if i == keep {
			v.kept(fig, st.to-pt.Offcut, st.to, y)
		} else {
			v.scrap(fig, ends[i], st.to, y)
		}
		if !st.last {
			v.yardMark(fig, st.to, st.to+pt.FirstKerf, y)
		}
	}
	// The datum of the running dimensions.
	fig.Stroke(0, y-1, 0, low+1, thick)
}

// about says of a piece what it is, where it lies and where it goes.
func (v *barView) about(h held) string {
	text := fmt.Sprintf("%s: %s", h.Mark, v.ownWithUnit(h.length))
	if h.left != 0 || h.right != 0 {
		text += fmt.Sprintf("; left %s, right %s", v.degrees(h.left), v.degrees(h.right))
		if on := v.laidOn(v.sec, h.asLying()); on != "" {
			text += ", " + on
		}
		text += ", " + v.shortPoint(v.sec, h.asLying())
	}
	text += fmt.Sprintf("; from %s to %s", v.length(h.At), v.withUnit(h.At+h.length))
	row := v.pieces[h.Mark]
	return v.clean(text + goes(row.Group, row.Note))
}

// goes says where a piece or panel goes, behind what else is said of it.
func goes(group, text string) string {
	if n := note(group, text); n != "" {
		return "; for " + n
	}
	return ""
}

func (v *barView) letter(fig *drawing.Page, h held, y float64, again bool) {
	if !v.fits(h) {
		return
	}
	low, up := h.leftEdge()
	rlow, rup := h.rightEdge()
	middle := v.x(max(low, up)+min(rlow, rup)) / 2
	room := v.inner(h)
	v.write(fig, middle, y+6, room, v.own(h.length), lengthFont)
	v.write(fig, middle, y+11, room, h.Mark, markFont)
	if h.left != 0 && !again {
		v.write(fig, v.x(h.At)+0.8, y-0.9, 20, v.degrees(abs(h.left)), angleFont)
	}
	if h.right != 0 {
		f := angleFont
		f.align = drawing.Right
		v.write(fig, v.x(h.At+h.length)-0.8, y-0.9, 20, v.degrees(abs(h.right)), f)
	}
}
