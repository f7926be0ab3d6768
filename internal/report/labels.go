package report

import (
	"fmt"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/qr"
	"sawbill/internal/report/drawing"
	"sawbill/internal/report/pdf"
	"sawbill/internal/section"
)

// Labels, one for each piece and panel, in cutting order: on sheets of the job's
// paper, and one a page for a roll printer. The ends of a piece are drawn to one
// scale, its middle broken out; a panel is drawn whole.

// labelled makes the files of labels, and reports whether there are those for a roll.
func (s *set) labelled(all []made, folder string) (roll bool) {
	l := s.job.Labels
	if l.Rows == 0 {
		l = job.DefaultLabels(s.paper)
	}
	s.saveLabels(under(folder, "labels.pdf"), s.labelSheets(all, l))
	if roll = l.RollWidth > 0; roll {
		s.saveLabels(under(folder, "labels-roll.pdf"), s.labelRoll(all, l))
	}
	return roll
}

func (s *set) saveLabels(name string, pages []*drawing.Page) {
	data, err := pdf.Write(pdf.Document{Title: s.clean(s.plan.Job.Name + " – Labels"), Subject: s.clean("Plan no. " + s.plan.Number),
		Author: s.clean(s.job.Author), Date: s.date(), Pages: pages})
	if err != nil && s.err == nil {
		s.err = err
	}
	s.add(name, data)
}

// labelSheets lays labels out row by row.
func (s *set) labelSheets(all []made, l job.Labels) []*drawing.Page {
	paperWide, paperHigh := job.PaperSize(s.paper)
	w, h := l.Size(s.paper)
	wide, high := w.Millimetres(), h.Millimetres()
	padX, padY := pad(wide, l.MarginSide), pad(high, l.MarginTop)
	var pages []*drawing.Page
	for i, m := range all {
		at := int64(i) % (l.Rows * l.Columns)
		if at == 0 {
			pages = append(pages, &drawing.Page{Width: paperWide.Millimetres(), Height: paperHigh.Millimetres()})
		}
		p := pages[len(pages)-1]
		x := (l.MarginSide + length.Length(at%l.Columns)*(w+l.GapAcross)).Millimetres()
		y := (l.MarginTop + length.Length(at/l.Columns)*(h+l.GapDown)).Millimetres()
		cropMarks(p, x, y, wide, high)
		p.Place(s.label(m, wide-2*padX, high-2*padY), x+padX, y+padY)
	}
	return pages
}

// labelRoll gives each label a page.
func (s *set) labelRoll(all []made, l job.Labels) []*drawing.Page {
	wide, high := l.RollWidth.Millimetres(), l.RollHeight.Millimetres()
	padX, padY := pad(wide, length.Inch), pad(high, length.Inch)
	var pages []*drawing.Page
	for _, m := range all {
		p := &drawing.Page{Width: wide, Height: high}
		p.Place(s.label(m, wide-2*padX, high-2*padY), padX, padY)
		pages = append(pages, p)
	}
	return pages
}

// pad is the blank edge of a label, so wide that what printers leave blank at the
// paper's edge, some 4 mm, is blank where labels reach to it.
func pad(side float64, margin length.Length) float64 {
	const unprinted = 4.5
	return max(min(float64(side*0.05), 3), unprinted-margin.Millimetres())
}

// cropMarks mark where a label ends, for those who print on plain paper and cut.
func cropMarks(p *drawing.Page, x, y, w, h float64) {
	const tick = 1.5
	for _, c := range [][4]float64{{x, y, 1, 1}, {x + w, y, -1, 1}, {x, y + h, 1, -1}, {x + w, y + h, -1, -1}} {
		p.Add(drawing.Line{Pen: hair, Points: []drawing.Point{{X: c[0] + float64(tick*c[2]), Y: c[1]}, {X: c[0], Y: c[1]}, {X: c[0], Y: c[1] + float64(tick*c[3])}}})
	}
}

// The height of a label goes to its mark and size beside the code, to the drawing,
// and to three lines of small type.
const (
	labelHead, labelDrawn = 0.52, 0.16
	labelLines            = 3
)

// label draws one label without its blank edge.
func (s *set) label(m made, wide, high float64) *drawing.Page {
	p := &drawing.Page{Width: wide, Height: high}
	head, drawn := float64(high*labelHead), float64(high*labelDrawn)
	side := min(head, float64(wide*0.4))
	room := wide - s.code(p, s.codeText(m), wide-side, side)
	size := min(float64(head*0.3), 6)
	s.bigLines(p, fmt.Sprintf("%s/%d", m.mark, m.copy), room, head-size-2)
	text := s.ownWithUnit(m.piece.Length)
	if m.material.Kind == plan.Sheet {
		text = s.size(m.panel.Length, m.panel.Width)
	}
	points := size / capital
	s.write(p, 0, head-1.2, room, text, font{size: points, least: min(points, 4), bold: true})
	if m.material.Kind == plan.Sheet {
		s.smallPanel(p, m, head, drawn)
	} else {
		s.endsDrawn(p, m, head+0.4, drawn-0.6)
	}
	s.labelFoot(p, m, head+drawn, high)
	return p
}

// capital is the height of a capital or a digit in mm per point, and a little.
const capital = 0.7*25.4/72 + 0.01

// labelFoot writes the lines below the drawing: where it comes from, what it is, whose it is.
func (s *set) labelFoot(p *drawing.Page, m made, y, high float64) {
	step := (high - y) / labelLines
	points := min(step/0.42, 8)
	f := font{size: points, least: min(points, 4)}
	bold := f
	bold.bold = true
	revision := ""
	if r := s.plan.Job.Revision; r != "" {
		revision = ", rev. " + r
	}
	rest := p.Width
	number := font{size: f.size, least: f.least, align: drawing.Right}
	plan := "plan no. " + s.plan.Number
	rest -= s.write(p, p.Width, y+3*step-0.6, p.Width/2, plan, number) + 1.5
	s.write(p, 0, y+step-0.6, p.Width, m.origin(), bold)
	s.write(p, 0, y+2*step-0.6, p.Width, materialName(m.material), f)
	s.write(p, 0, y+3*step-0.6, rest-s.measure(revision, font{size: f.least}), s.plan.Job.Name+revision, f)
}

// origin says what a piece or panel is cut from.
func (m made) origin() string {
	what := "bar"
	if m.material.Kind == plan.Sheet {
		what = "sheet"
	}
	if m.number == 0 {
		return "ready from " + m.from
	}
	if m.part != "" {
		return fmt.Sprintf("%s %d of %s, %s", what, m.number, m.material.Key, m.part)
	}
	return fmt.Sprintf("%s %d of %s", what, m.number, m.material.Key)
}

// bigLines writes a text as large as it goes into a room from the top down: on one
// line if that leaves it legible, else broken into several.
func (s *set) bigLines(p *drawing.Page, text string, wide, high float64) {
	text = s.clean(text)
	const legible = 8.0
	for points := min(high/capital, 24); ; points *= 0.94 {
		lines := s.face.Wrap(text, points, true, wide)
		step := points * typeLine
		fits := float64(len(lines)-1)*step+points*capital <= high
		if points >= legible && len(lines) > 1 {
			fits = false
		}
		if fits || points < 4 {
			most := max(1, int((high-points*capital)/step)+1)
			for i, line := range lines[:min(len(lines), most)] {
				if i == most-1 && len(lines) > most {
					line += "…"
				}
				s.write(p, 0, points*capital+float64(i)*step, wide, line, font{size: points, bold: true})
			}
			return
		}
	}
}

// endsDrawn draws the ends of a piece as they are listed, the left one on the left,
// each on the side that its mitre is laid on and as large as fits, the middle broken
// out; a mitre is lettered.
func (s *set) endsDrawn(p *drawing.Page, m made, y, high float64) {
	row := m.piece
	sec := s.materials[m.material.Key].Section
	// A square end shows the side that the other is laid on.
	on := [2]section.Face{row.LeftFace, row.RightFace}
	switch {
	case row.Left == 0:
		on[0] = on[1]
	case row.Right == 0:
		on[1] = on[0]
	}
	if sec.OuterWidth() <= 0 {
		return
	}
	h := asListed(row, sec)
	mm := func(e int, l length.Length) float64 {
		return float64(l.Millimetres() * float64(high/sec.Across(on[e]).Millimetres()))
	}
	middle, gap, tooth := p.Width/2, 1.6, high*0.3
	leftLow, leftUp := h.leftEdge()
	rightLow, rightUp := h.rightEdge()
	low := y + high
	fromRight := func(l length.Length) float64 { return p.Width - mm(1, row.Length-l) }
	var breaks []drawing.Line
	for e, x := range []float64{middle - gap, middle + gap} {
		tips := [2]float64{mm(0, leftUp), mm(0, leftLow)}
		if e == 1 {
			tips = [2]float64{fromRight(rightUp), fromRight(rightLow)}
		}
		p.Add(drawing.Line{Pen: medium, Points: []drawing.Point{{X: x, Y: y}, {X: tips[0], Y: y}, {X: tips[1], Y: low}, {X: x, Y: low}}})
		breaks = append(breaks, drawing.Line{Pen: thin, Points: []drawing.Point{{X: x, Y: y}, {X: x + tooth/3, Y: y + float64(high*0.35)}, {X: x - tooth/3, Y: y + float64(high*0.65)}, {X: x, Y: low}}})
	}
	for _, l := range breaks {
		p.Add(l)
	}
	points := min(high/capital*0.8, 9)
	at := y + (high+float64(points*capital))/2
	room := middle - gap - tooth/3
	if row.Left != 0 {
		x := mm(0, h.cutLeft) + 0.8
		s.write(p, x, at, room-x, s.lettered(sec, row.Left, on[0]), font{size: points, least: 4})
	}
	if row.Right != 0 {
		x := mm(1, h.cutRight) + 0.8
		s.write(p, p.Width-x, at, room-x, s.lettered(sec, row.Right, on[1]), font{size: points, least: 4, align: drawing.Right})
	}
}

// lettered is an angle, with the side that it is laid on where they differ.
func (s style) lettered(sec section.Section, angle int64, f section.Face) string {
	if name := sec.FaceName(f); name != "" {
		return s.degrees(abs(angle)) + " " + name
	}
	return s.degrees(abs(angle))
}

// smallPanel draws a panel's outline and openings to scale, and says what the
// drawing is seen from.
func (s *set) smallPanel(p *drawing.Page, m made, y, high float64) {
	row := m.panel
	long, wide := row.Length.Millimetres(), row.Width.Millimetres()
	if long <= 0 || wide <= 0 {
		return
	}
	scale := min(high/wide, float64(p.Width*0.5)/long)
	v := &panelView{set: s, panel: row, scale: scale, y0: y + float64(wide*scale)}
	shape := row.Shape()
	fig := &drawing.Page{}
	v.outline(fig, shape.Outer)
	for _, o := range shape.Inner {
		v.outline(fig, o)
	}
	for _, it := range fig.Items {
		if o, ok := it.(drawing.Shape); ok {
			o.Pen = thin
			p.Add(o)
		}
	}
	var facts []string
	material := s.materials[m.material.Key]
	if material.GoodSide {
		facts = append(facts, "seen from the good side")
	}
	if material.Grain {
		facts = append(facts, "grain along "+s.own(row.Length))
	}
	points := min(high/capital*0.6, 7.5)
	x := float64(long*scale) + 1.5
	s.write(p, x, y+(high+float64(points*capital))/2, p.Width-x, strings.Join(facts, ", "), font{size: points, least: 4})
}

// codeText is what the code of a label says, a line each: mark and copy, job, plan
// number.
func (s *set) codeText(m made) string {
	const most = 40 // of the job's name, since the plan number tells the job as well
	return fmt.Sprintf("%s/%d\n%s\n%s", m.mark, m.copy, clip(s.plan.Job.Name, most), s.plan.Number)
}

// code draws a text as a QR code with its upper right corner at that of the page,
// and returns the width it takes with the blank edge at its left; 0 when the text is
// too long for one.
func (s *set) code(p *drawing.Page, text string, x, side float64) float64 {
	c, err := qr.Encode(text)
	if err != nil {
		return 0
	}
	// Below it the blank edge is as wide.
	cells := drawing.Cells{Count: c.Side, Black: c.Dark, Side: side / float64(c.Side+qr.Quiet)}
	width := float64(c.Side) * cells.Side
	cells.X = x + side - width
	p.Add(cells)
	return width + qr.Quiet*cells.Side
}
