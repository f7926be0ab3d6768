package report

import (
	"fmt"
	"slices"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// besides is the width of the column of cuts beside a sheet's drawing.
const besides = 82.0

// sheetPages draws the sheets of every material, all of a material to one
// scale; supplier, unless empty, chooses whose.
func (d *document) sheetPages(supplier string) {
	for _, m := range d.plan.Materials {
		pts := patterns(m, supplier)
		if m.Kind != plan.Sheet || len(pts) == 0 {
			continue
		}
		d.title = materialName(m)
		d.newPage()
		d.heading(materialName(m), 13)
		d.paragraph(d.sheetHow(m), 9)
		room := d.width()
		if !beam(m) {
			room -= besides + 4
		}
		high := d.bottom() - d.y - sheetHead
		if beam(m) && slices.ContainsFunc(pts, func(pt pattern) bool {
			return slices.ContainsFunc(pt.Panels, func(p plan.Panel) bool { return d.panels[p.Mark].Form != nil })
		}) {
			high -= belowSheet
		}
		scale := sheetScale(m, room, high)
		d.page().scale = d.ratio(1 / scale)
		d.head = func() { d.page().scale = d.ratio(1 / scale) }
		for i, pt := range pts {
			v, fig := d.sheetView(m, pt, scale, room)
			if i > 0 && d.y+sheetHead+max(fig.Height, d.listHigh(v))+belowHigh(v) > d.bottom() {
				d.newPage()
			}
			d.sheetBlock(v, fig)
		}
		d.head = nil
	}
}

// beam reports whether sheets are cut round each panel, so that there is no
// order of cuts to show.
func beam(m plan.Material) bool { return m.Free || m.Spaced }

// sheetHead is the room for the lines above a sheet's drawing.
const sheetHead = 18.0

// sheetBlock draws one pattern and what belongs to it.
func (d *document) sheetBlock(v *sheetView, fig *drawing.Page) {
	pt := v.pattern
	text := fmt.Sprintf("Pattern %d    %s of %s", pt.Pattern, plural(int64(len(pt.Numbers)), "sheet"), d.size(pt.Stock.Length, pt.Stock.Width))
	d.y += 6
	x := d.left() + d.write(&d.page().Page, d.left(), d.y, d.width()*0.6, text, font{size: 13, least: 9, bold: true}) + 5
	if pt.Stock.Supplier != "" {
		d.write(&d.page().Page, x, d.y, d.right()-x, "from "+source(d.job, pt.Stock), font{size: 9})
	}
	d.y += 1.5
	d.sheetTicks(pt.Numbers)
	d.need(fig.Height)
	top := d.y
	d.page().Place(fig, d.left(), top)
	if beam(v.material) {
		d.y += fig.Height
		d.keyRows(v.key)
		d.hosts(pt)
		return
	}
	d.besideSheet(v, fig, d.right()-besides, top)
}

// sheetHow tells how the drawing is meant.
func (d *document) sheetHow(m plan.Material) string {
	p := d.processes[m.Key]
	text := "Large figures: length × width of the panel; one that lies turned a quarter is lettered upright."
	switch {
	case m.Free && p.Kerf > 0:
		text += fmt.Sprintf(" At least %s between panels; the cutter may place them otherwise.", d.smallWithUnit(p.Kerf))
	case m.Free:
		text += " The cutter may place them otherwise."
	case m.Spaced:
		text += fmt.Sprintf(" Planned edge to edge with the spacing as kerf: %s between panels; the cutter may place them otherwise.", d.smallWithUnit(p.Kerf))
	default:
		text += " Numbers on the lines: order of the cuts, " + stageText(p) + "; a rip runs along the sheet's length, a crosscut along its width."
		if d.yardCut(m) {
			text += " Heavy lines: cut at the yard, so that the parts can be carried."
		}
		if p.Kerf > 0 {
			text += fmt.Sprintf(" Kerf %s, on the far side of the line.", d.smallWithUnit(p.Kerf))
		}
	}
	if job, ok := d.materials[m.Key]; ok {
		if job.Grain {
			text += " The grain runs along the sheet's length."
		}
		if job.GoodSide {
			text += " One side is the good one: drawn with the good side up; keep the film on it, and turn no panel over."
		}
	}
	return text + " Hatched: scrap. Dashed: offcut to keep."
}

// yardCut reports whether any sheet of a material is cut at the yard.
func (d *document) yardCut(m plan.Material) bool {
	for _, l := range m.Layouts {
		if cutAtYard(l) {
			return true
		}
	}
	return false
}

func (d *document) sheetTicks(numbers []int) {
	fig := &drawing.Page{Width: d.width()}
	fig.Height = d.ticks(fig, "Sheet", numbers, 0)
	d.page().Place(fig, d.left(), d.y)
	d.y += fig.Height + 1
}

// belowSheet is the room kept below a drawing of panels with openings: they may be
// hard to letter, and others may lie in them.
const belowSheet = 22.0

// belowHigh is the height of a few lines below a drawing without cuts; a longer
// list of marks goes on the next page.
func belowHigh(v *sheetView) float64 {
	high := 0.0
	if beam(v.material) && len(v.key) > 0 {
		high = belowSheet / 2
	}
	if len(hosting(v.pattern.Layout)) > 0 {
		high = belowSheet
	}
	return high
}

// besideStep is the height of a line beside a drawing, besideText where what comes off
// begins on it.
const (
	besideStep = 4.6
	besideText = 44.0
)

// listHigh is the height of all that stands beside a drawing, as far as one page
// can hold it.
func (d *document) listHigh(v *sheetView) float64 {
	if beam(v.material) {
		return 0
	}
	lines := 3
	for _, l := range v.lines {
		lines += d.linesBeside(l)
	}
	if len(v.key) > 0 {
		lines += len(v.key) + 1
	}
	return min(float64(lines)*besideStep, d.bottom()-margin-5-sheetHead)
}

// linesBeside is how many lines of type an entry takes beside a drawing.
func (d *document) linesBeside(l orderLine) int {
	if l.head != "" {
		return 1
	}
	return max(1, len(d.textBeside(l)))
}

func (d *document) textBeside(l orderLine) []string {
	return d.face.Wrap(d.clean(l.text), 8.5, false, besides-besideText)
}

// besideSheet writes the cuts in order beside the drawing, and on as many pages
// after it as they need.
func (d *document) besideSheet(v *sheetView, fig *drawing.Page, x, top float64) {
	y := top + 4
	p := &d.page().Page
	d.write(p, x, y, besides, d.orderCount(v.order), font{size: 9, least: 7, bold: true})
	y += besideStep
	d.write(p, x, y, besides, "Measured from each part's lower or left edge, before its first cut", font{size: 7.5, least: 6})
	y += besideStep
	fits := int((d.bottom() - y) / besideStep)
	for i, l := range v.lines {
		n := d.linesBeside(l)
		if last := i+1 == len(v.lines); n > fits || n == fits && !last || l.head != "" && fits < 3 {
			d.write(p, x, y, besides, "continued on the next page", font{size: 8})
			d.cutRows(v.lines, i)
			d.keyRows(v.key)
			return
		}
		fits -= n
		if l.head != "" {
			d.write(p, x, y, besides, l.head, font{size: 8.5, least: 6, bold: true})
			y += besideStep
			continue
		}
		d.write(p, x, y, 12, l.numbers, font{size: 9, least: 6, bold: true})
		d.write(p, x+12.5, y, 13, l.kind, font{size: 8, least: 6})
		d.write(p, x+besideText-1.5, y, 17, l.at, font{size: 9, least: 5, bold: true, align: drawing.Right})
		for k, text := range d.textBeside(l) {
			d.write(p, x+besideText, y+float64(float64(k)*besideStep), besides-besideText, text, font{size: 8.5, least: 6})
		}
		y += float64(float64(n) * besideStep)
	}
	below := top + fig.Height
	if len(v.key) > 0 && int((d.bottom()-y)/besideStep) > len(v.key) {
		y += 2
		d.write(p, x, y, besides, "Panels too small to letter", font{size: 7.5})
		for i, k := range v.key {
			y += besideStep
			d.write(p, x, y, besides, d.keyLine(i, k), font{size: 9, least: 7})
		}
		y += besideStep
		d.y = max(below, y-besideStep+1)
		return
	}
	d.y = max(below, y-besideStep+1)
	d.keyRows(v.key)
}

func (d *document) keyLine(i int, mark string) string {
	row := d.panels[mark]
	return fmt.Sprintf("p%d  %s × %s  %s", i+1, d.own(row.Length), d.own(row.Width), clip(mark, 40))
}

// cutRows lists the cuts from one of the lines on, on pages of their own.
func (d *document) cutRows(lines []orderLine, from int) {
	again := d.head
	defer func() { d.head = again }()
	d.newPage()
	t := d.table(10, column{head: "cut", share: 12, bold: true}, column{head: "kind", share: 16}, column{head: "at, " + d.unit.String(), share: 22, align: drawing.Right, bold: true},
		column{head: "what comes off", share: 75, wrap: true, whole: true}, column{head: "done", share: 9, tick: true})
	for at := from; at >= 0 && lines[from].head == ""; at-- {
		if lines[at].head != "" {
			t.group(lines[at].head + ", continued")
			break
		}
	}
	for _, l := range lines[from:] {
		switch {
		case l.head != "":
			t.group(l.head)
		case l.numbers == "":
			t.plain("", l.kind, "", l.text)
		default:
			t.row(l.numbers, l.kind, l.at, l.text)
		}
	}
	t.end()
}

// keyRows lists the panels that the drawing names p1, p2 … below it, down one
// column after the other.
func (d *document) keyRows(key []string) {
	if len(key) == 0 {
		return
	}
	const step, between = 4.8, 7.0
	f := font{size: 9}
	wide := 0.0
	for i, p := range key {
		wide = max(wide, d.measure(d.keyLine(i, p), f))
	}
	d.need(20)
	wide = min(wide, d.width())
	columns := max(1, int((d.width()+between)/(wide+between)))
	d.paragraph("Panels too small to letter on the drawing:", 9)
	for i := 0; i < len(key); {
		rows := min((len(key)-i+columns-1)/columns, int((d.bottom()-d.y)/step))
		if rows < 1 {
			d.newPage()
			continue
		}
		for k := range min(rows*columns, len(key)-i) {
			x := d.left() + float64(k/rows)*(wide+between)
			d.write(&d.page().Page, x, d.y+float64(k%rows+1)*step-0.6, wide+0.1, d.keyLine(i+k, key[i+k]), f)
		}
		d.y += float64(float64(rows) * step)
		i += rows * columns
	}
	d.y += 2
}
