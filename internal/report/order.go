package report

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// supplier makes one supplier's folder: nothing in it comes from another
// supplier, and nothing says what is proved.
func (s *set) supplier(name, folder string) {
	d := s.document("Order", false)
	d.order(name)
	d.save(under(folder, "order.pdf"))
	s.add(under(folder, "order.csv"), s.orderTable(name))
	if materials, kind := s.cutThere(name); len(materials) > 0 {
		s.with(materials, func() {
			list := s.document("Cut list, "+kind, false)
			list.cutList(name)
			list.save(under(folder, "cutlist.pdf"))
			draw := s.document("Layouts, "+kind, true)
			draw.drawings = true
			draw.barPages(name)
			draw.sheetPages(name)
			draw.save(under(folder, "layouts.pdf"))
		})
	}
	if materials := s.panelsFor(name); s.anyFormed(materials, name) {
		d := s.document("Panels", true)
		d.drawings = true
		d.panelPages(materials, name)
		d.save(under(folder, "panels.pdf"))
	}
	s.drawings(name, folder)
	s.add(under(folder, "README.txt"), s.supplierReadme(name))
}

const (
	partOfOrder = "part of the order"
	onlyIfYou   = "only if you cut for us"
)

// cutThere are the materials a supplier is given cut lists of: those that it cuts
// as part of the order; where it cuts none, all that it sells, in case it does.
func (s *set) cutThere(name string) ([]plan.Material, string) {
	var sold, cut []plan.Material
	for _, m := range s.plan.Materials {
		if len(patterns(m, name)) == 0 {
			continue
		}
		sold = append(sold, m)
		if s.processes[m.Key].BySupplier {
			cut = append(cut, m)
		}
	}
	if len(cut) > 0 {
		return cut, partOfOrder
	}
	return sold, onlyIfYou
}

// with draws as if the plan were of some materials only.
func (s *set) with(materials []plan.Material, draw func()) {
	whole := s.plan
	part := *whole
	part.Materials = materials
	s.plan = &part
	draw()
	s.plan = whole
}

func (d *document) order(name string) {
	b := billOf(d.plan, d.job, name)
	d.newPage()
	d.heading("Order to "+name, 18)
	d.paragraph(fmt.Sprintf("For: %s. Please quote plan no. %s in your answer.%s", d.plan.Job.Name, d.plan.Number, wayHome(b.way)), 10)
	d.gap(3)
	d.orderRows(b)
	d.gap(2)
	d.orderedCuts(b)
	d.carriedHome(name)
	d.asked(d.requests(b), 4)
}

// wayHome says who carries the goods.
func wayHome(way string) string {
	switch way {
	case plan.Fetched:
		return " We fetch the goods."
	case plan.Delivered:
		return " Please deliver the goods."
	}
	return ""
}

func (d *document) orderRows(b bill) {
	t := d.table(10.5, column{head: "ok", share: 8, tick: true}, column{head: "count", share: 15, align: drawing.Right, bold: true},
		column{head: "stock", share: 48, bold: true, wrap: true}, column{head: "alloy, temper, finish", share: 30}, column{head: "size", share: 36, bold: true},
		column{head: "each, as entered", share: 22, align: drawing.Right}, column{head: "amount, " + d.currency, share: 21, align: drawing.Right})
	for _, g := range b.goods {
		count, each := "", ""
		if g.Pack > 1 {
			count, each = plural(g.Count/g.Pack, "pack"), fmt.Sprintf("a pack of %d", g.Pack)
		}
		t.rowWith([]string{1: count, 2: d.wallText(g.material), 3: d.finish(g.material), 4: d.otherSize(g.Length, g.Width), 5: each}, "", fmt.Sprint(g.Count),
			g.material.Stock, g.material.Alloy, d.size(g.Length, g.Width), d.money(g.Each), d.money(g.Amount))
	}
	for _, m := range b.marks {
		t.rowWith([]string{2: m.material.Stock, 3: d.finish(m.material)}, "", fmt.Sprint(m.Count), m.Mark+", cut and ready", m.material.Alloy, "as listed below",
			d.money(m.Each), d.money(m.Amount))
	}
	for _, c := range b.charges {
		t.plain("", "", chargeText(c), "", "", d.chargeEach(c), d.money(c.Amount))
	}
	if b.tax == nil {
		t.sum("", "", "Sum", "", "", "", d.money(b.net()))
	} else {
		t.sum("", "", "Sum before tax", "", "", "", d.money(b.net()))
		t.plain("", "", d.taxText(*b.tax), "", "", "", d.money(b.tax.Amount))
		t.sum("", "", "Sum", "", "", "", d.money(b.net()+b.tax.Amount))
	}
	t.end()
}

// wallText states the wall or thickness, which a name alone leaves to be mistaken.
func (d *document) wallText(m plan.Material) string {
	s := d.materials[m.Key].Section
	switch {
	case s.Thickness == 0:
		return ""
	case s.IsSheet():
		return d.smallWithUnit(s.Thickness) + " thick"
	case s.IsTube():
		return "wall " + d.smallWithUnit(s.Thickness)
	}
	return d.smallWithUnit(s.Thickness) + " thick"
}

// finish is what the job says of the surface; a line to fill in where it says nothing.
func (d *document) finish(m plan.Material) string {
	switch row := d.materials[m.Key]; {
	case row.GoodSide && row.Sheet():
		return "good side, film on"
	case row.GoodSide:
		return "one good side"
	}
	return "finish: ……………………"
}

// carriedHome lists the cuts that let us carry the goods.
func (d *document) carriedHome(name string) {
	bars, sheets := firstCuts(d.plan, name), yardSheets(d.plan, name)
	if len(bars)+len(sheets) == 0 {
		if d.longSpare(name) {
			d.paragraph("Please cut what is longer than we can carry, where you like.", 9.5)
		}
		return
	}
	d.need(35)
	d.need(50) // the table must not begin on a page of its own
	d.heading("Please cut before loading, so that we can carry it", 12)
	d.paragraph("Measure from one end of the bar to the near side of the cut, and cut on the mark: both sides are needed. "+
		"Write the bar's number and the part's letter on each part. For sheets: a rip runs along the length, a crosscut along the width; "+
		"measure from the lower or left edge of what the cut is said to be of, as it was before its first cut.", 9)
	t := d.table(10, column{head: "done", share: 9, tick: true}, column{head: "count", share: 12, align: drawing.Right, bold: true},
		column{head: "stock", share: 44, wrap: true}, column{head: "numbers", share: 24, wrap: true},
		column{head: "cut at, " + d.unit.String(), share: 56, bold: true, wrap: true, whole: true}, column{head: "parts", share: 48, wrap: true, whole: true})
	for _, c := range bars {
		var at []string
		for _, cut := range c.FirstCuts {
			at = append(at, d.own(cut))
		}
		t.row("", fmt.Sprint(len(c.numbers)), c.material.Stock+", "+d.size(c.Stock.Length, 0), "bars "+ranges(c.numbers), strings.Join(at, ", "), d.partSizes(c.Layout))
	}
	for _, c := range sheets {
		var at, parts []string
		for _, cut := range sheetOrderOf(c.Layout).all() {
			if cut.atYard {
				at = append(at, fmt.Sprintf("%s at %s of %s × %s", cut.name, d.own(cut.at), d.own(cut.of.Length), d.own(cut.of.Width)))
			}
		}
		for _, p := range yardParts(c.Tree) {
			parts = append(parts, d.own(p.Length)+" × "+d.own(p.Width))
		}
		t.row("", fmt.Sprint(len(c.numbers)), c.material.Stock+", "+d.size(c.Stock.Length, c.Stock.Width), "sheets "+ranges(c.numbers),
			strings.Join(at, "; "), strings.Join(parts, ", "))
	}
	t.end()
	if d.longSpare(name) {
		d.paragraph("Cut the bars and sheets that are not listed too, where you like, so that no part is longer than we can carry.", 9.5)
	}
}

// longSpare reports whether something fetched that nothing is cut from is too long to carry.
func (d *document) longSpare(name string) bool {
	b := billOf(d.plan, d.job, name)
	return b.way == plan.Fetched && d.job.LongestLoad > 0 && slices.ContainsFunc(b.goods, func(g purchase) bool {
		return g.Spare > 0 && max(g.Length, g.Width) > d.job.LongestLoad
	})
}

// yardParts are the parts of a tree that leave the yard.
func yardParts(p *plan.Part) []*plan.Part {
	if p == nil || !p.AtYard {
		return []*plan.Part{p}
	}
	var out []*plan.Part
	for _, q := range p.Parts {
		out = append(out, yardParts(q)...)
	}
	return out
}

// requests are what goes wrong when an order leaves it open.
func (d *document) requests(b bill) []string {
	lines := []string{
		"confirm this order in writing before cutting: cut goods cannot be returned;",
		"confirm section, alloy and temper, wall or thickness, length and count, and how close you can hold the lengths;",
		"supply full sizes: the stock may be longer, never shorter, than stated;",
		"ask before you put another grade or size in place of one that is out of stock.",
	}
	if d.goodSide(b.supplier) {
		lines = append(lines, "protect the good side of the sheets with film and load them with it facing up.")
	}
	if _, kind := d.cutThere(b.supplier); kind == partOfOrder {
		lines = append(lines, "hand over the leftovers that layouts.pdf marks to keep: they are paid for.")
	}
	if l := d.job.LongestLoad; l > 0 && b.way != plan.Delivered {
		load := d.withUnit(l) + " " + d.other(l)
		if w := d.job.WidestLoad; w > 0 {
			load = d.size(l, w) + " " + d.otherSize(l, w)
		}
		lines = append(lines, "the longest thing we can carry is "+load+".")
	}
	return lines
}

// asked writes what a supplier is asked to do, with boxes to tick, and below it, on the
// same page where one page can hold both, where to sign.
func (d *document) asked(lines []string, gap float64) {
	const size, step, box = 9.5, 4.6, 6.0
	var all [][]string
	high := 16 + gap + signatureHigh
	for _, l := range lines {
		wrapped := d.face.Wrap(d.clean(l), size, false, d.width()-box)
		all = append(all, wrapped)
		high += 1.6 + step*float64(len(wrapped))
	}
	d.need(min(high, d.fullPage()))
	d.heading("Please", 12)
	for _, wrapped := range all {
		d.need(7)
		tick(&d.page().Page, d.left(), d.y+4.5, 3.6)
		at := d.y
		for k, text := range wrapped {
			d.write(&d.page().Page, d.left()+box, at+4.5+float64(step*float64(k)), d.width()-box+1, text, font{size: size})
		}
		d.y = at + 1.6 + float64(step*float64(len(wrapped)))
	}
	d.gap(gap)
	d.signatures()
}

// signatureHigh is the height of the lines to sign on.
const signatureHigh = 36.0

func (d *document) goodSide(name string) bool {
	for _, b := range bought(d.plan, name) {
		if b.material.Kind == plan.Sheet && d.materials[b.material.Key].GoodSide {
			return true
		}
	}
	return false
}

// signatures are lines to sign on, two to a row.
func (d *document) signatures() {
	d.need(signatureHigh)
	half := d.width() / 2
	for i, what := range []string{"ordered by, date", "confirmed by supplier before cutting, date", "agreed by (tolerances, finish, date ready)", "received complete, date"} {
		if i%2 == 0 {
			d.y += 14
		}
		p := &d.page().Page
		x := d.left() + float64(i%2)*half
		p.Stroke(x, d.y, x+half-6, d.y, thin)
		d.write(p, x, d.y+3.5, half-6, what, font{size: 7.5})
	}
	d.y += 5
}
