package report

import (
	"fmt"
	"slices"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// besides is the width of the column of cuts beside a sheet's drawing.
const (
	besides    = 87.5
	besidesGap = 2.5
)

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
			room -= besides + besidesGap
		}
		high := d.bottom() - d.y - sheetHead
		if beam(m) && slices.ContainsFunc(pts, func(pt pattern) bool {
			return slices.ContainsFunc(pt.Panels, func(p plan.Panel) bool { return d.panels[p.Mark].Form != nil })
		}) {
			high -= belowSheet
		}
		scale := sheetScale(m, room, high)
		abreast := false
		if beam(m) && len(pts) > 1 {
			var half, smaller float64
			if half, smaller, abreast = d.abreast(m, pts, room, high, scale); abreast {
				room, scale = half, smaller
			}
		}
		d.page().scale = d.ratio(1 / scale)
		d.head = func() { d.page().scale = d.ratio(1 / scale) }
		for i := 0; i < len(pts); i++ {
			v, fig := d.sheetView(m, pts[i], scale, room)
			if i > 0 && d.y+d.headHigh(pts[i], room)+max(fig.Height, d.listHigh(v))+belowHigh(v) > d.bottom() {
				d.newPage()
			}
			top := d.y
			d.sheetBlock(v, fig, d.left(), room)
			if !abreast || len(hosting(v.pattern.Layout)) > 0 || i+1 == len(pts) {
				continue
			}
			if w, other := d.sheetView(m, pts[i+1], scale, room); len(hosting(w.pattern.Layout)) == 0 && top+d.headHigh(pts[i+1], room)+other.Height+belowHigh(w) <= d.bottom() {
				low := d.y
				d.y = top
				d.sheetBlock(w, other, d.left()+room+besideSheets, room)
				d.y = max(d.y, low)
				i++
			}
		}
		d.head = nil
	}
}

// besideSheets is the room between two sheets that are drawn beside each other.
const besideSheets = 8.0

// abreast is the room and the scale at which the sheets of a material are drawn two beside
// each other, and in two rows where that costs little more; false where they would be
// hard to read.
func (d *document) abreast(m plan.Material, pts []pattern, room, high, scale float64) (float64, float64, bool) {
	const smallest, little = 0.5, 0.8
	half := (room - besideSheets) / 2
	row := (d.bottom()-margin-5)/2 - sheetHead
	one, two := sheetScale(m, half, high), sheetScale(m, half, min(row, high))
	if two >= little*one {
		one = two
	}
	unlettered := func(scale, room float64) (n int) {
		for _, pt := range pts {
			v, _ := d.sheetView(m, pt, scale, room)
			n += len(v.keyed)
		}
		return n
	}
	return half, one, one >= smallest*scale && unlettered(one, half) <= unlettered(scale, room)
}

// beam reports whether sheets are cut round each panel, so that there is no
// order of cuts to show.
func beam(m plan.Material) bool { return m.Free || m.Spaced }

// sheetHead is the room for the lines above a sheet's drawing.
const sheetHead = 15.0

// headHigh is the height of them where there are many boxes to tick.
func (d *document) headHigh(pt pattern, room float64) float64 {
	return 8.5 + d.ticks(&drawing.Page{Width: room}, "Sheet", pt.Numbers, 0)
}

// sheetBlock draws one pattern and what belongs to it, in so wide a room from x on.
func (d *document) sheetBlock(v *sheetView, fig *drawing.Page, x, room float64) {
	pt := v.pattern
	right := d.right()
	if beam(v.material) {
		right = x + room
	}
	text := fmt.Sprintf("Pattern %d    %s of %s", pt.Pattern, plural(int64(len(pt.Numbers)), "sheet"), d.size(pt.Stock.Length, pt.Stock.Width))
	d.y += 6
	at := x + d.write(&d.page().Page, x, d.y, (right-x)*0.7, text, font{size: 13, least: 9, bold: true}) + 5
	d.write(&d.page().Page, at, d.y, right-at, d.cutFrom(v.material.Key, pt), font{size: 9, least: 6})
	d.y += 1.5
	ticks := &drawing.Page{Width: right - x}
	ticks.Height = d.ticks(ticks, "Sheet", pt.Numbers, 0)
	d.page().Place(ticks, x, d.y)
	d.y += ticks.Height + 1
	if room < d.width() && beam(v.material) {
		d.listBelow(fig, v.keyLines())
	}
	d.need(fig.Height)
	top := d.y
	d.page().Place(fig, x, top)
	if beam(v.material) {
		d.y += fig.Height
		if room == d.width() {
			d.keyRows(v.key)
		}
		d.hosts(pt)
		return
	}
	d.besideSheet(v, fig, top)
}

// sheetHow tells how the drawing is meant.
func (d *document) sheetHow(m plan.Material) string {
	p := d.processes[m.Key]
	text := "Large figures: length × width of the panel; one that lies turned a quarter is lettered upright."
	switch {
	case m.Free && p.Kerf > 0:
		text += fmt.Sprintf(" At least %s between panels; the cutter may place them otherwise.", d.sawn(p.Kerf))
	case m.Free:
		text += " The cutter may place them otherwise."
	case m.Spaced:
		text += fmt.Sprintf(" Planned edge to edge with the spacing as kerf: %s between panels; the cutter may place them otherwise.", d.sawn(p.Kerf))
	default:
		text += " Numbers on the lines: order of the cuts, " + stageText(p) + "; a rip runs along the sheet's length, a crosscut along its width."
		if d.yardCut(m) {
			text += " Heavy lines: cut at the yard, so that the parts can be carried."
		}
		if p.Kerf > 0 {
			text += fmt.Sprintf(" Kerf %s, on the far side of the line.", d.sawn(p.Kerf))
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
