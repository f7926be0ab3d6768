package report

import (
	"fmt"
	"math"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/mass"
	"sawbill/internal/report/drawing"
	"sawbill/internal/section"
)

// Goods are checked when they come, since what is cut cannot go back: this page
// says what to count, measure and weigh. It is ours; suppliers do not get it.

// goodsIn makes the page for one supplier.
func (s *set) goodsIn(name, file string) {
	b := billOf(s.plan, s.job, name)
	d := s.document("Goods in", true)
	d.newPage()
	d.heading("Goods in from "+name, 18)
	d.paragraph("Check before you sign, and before the first cut. Write down what you find; hold back what is wrong, and say so in writing.", 10)
	d.gap(2)
	d.goodsRows(b)
	d.arrivedParts(b)
	d.howToCheck(b)
	d.save(file)
}

// weighing is how far a calculated mass may be from a scale's, in percent.
type weighing struct{ less, more int }

// weighable says how near a calculated mass is. Published tables of one section differ by
// 1 %, for their densities; rolled sheet comes 1 to 4 % under nominal, since mills roll to the
// thin edge of the tolerance (a fabricator's "True material thickness": gauge 7 of .179 in
// came at .173 in). Foam and wood are not near enough to tell.
func weighable(m job.Material) (weighing, bool) {
	switch m.Alloy.Family {
	case section.Aluminium, section.Steel, section.Stainless:
		if m.Sheet() {
			return weighing{4, 1}, true
		}
		return weighing{1, 1}, true
	}
	return weighing{}, false
}

// massOf is the theoretical mass of count bars or sheets, in kilograms.
func (s *set) massOf(m plan.Material, count int64, long, wide length.Length) float64 {
	row, ok := s.materials[m.Key]
	if !ok {
		return 0
	}
	alloy := mass.Of(row)
	metres := func(l length.Length) float64 { return float64(l) / float64(length.Metre) }
	if row.Sheet() {
		return row.Section.MassPerArea(alloy) * metres(long) * metres(wide) * float64(count)
	}
	return section.MassPerMetre(row.Section, alloy) * metres(long) * float64(count)
}

// scale prints kilograms as a scale shows them, and between what the calculation allows.
func (s style) scale(kg float64, w weighing) (mass, between string) {
	v, unit := kg, "kg"
	if s.unit.Imperial() {
		v, unit = kg/kilogramsPerPound, "lb"
	}
	low, high := float64(v*float64(100-w.less))/100, float64(v*float64(100+w.more))/100
	return s.float(v, 1) + " " + unit, s.float(math.Floor(float64(low*10))/10, 1) + " – " + s.float(math.Ceil(float64(high*10))/10, 1)
}

// calculated prints a mass and how far the calculation may be off.
func (d *document) calculated(m plan.Material, kg float64) (mass, between string) {
	if kg <= 0 {
		return "", ""
	}
	w, near := weighable(d.materials[m.Key])
	mass, between = d.scale(kg, w)
	if !near {
		between = "not to be relied on"
	}
	return mass, between
}

// wholeGoods are the bars and sheets that arrive as such: of what the supplier cuts, the
// spare ones.
func (d *document) wholeGoods(b bill) []purchase {
	var out []purchase
	for _, g := range b.goods {
		if d.processes[g.material.Key].BySupplier {
			g.Count = g.Spare
		}
		if g.Count > 0 {
			out = append(out, g)
		}
	}
	return out
}

// cutMass is the theoretical mass of a row of pieces or panels: of a piece over its centre
// line, since a mitre takes off half of what it slants over.
func (s *set) cutMass(m plan.Material, c cut) float64 {
	if m.Kind == plan.Sheet {
		return s.massOf(m, c.quantity, c.panel.Length, c.panel.Width)
	}
	return s.massOf(m, c.quantity, centreLine(s.materials[m.Key].Section, c.piece), 0)
}

func (d *document) goodsRows(b bill) {
	whole := d.wholeGoods(b)
	if len(whole) == 0 {
		return
	}
	t := d.table(10, column{head: "count", share: 14, align: drawing.Right, bold: true}, column{head: "stock, alloy and temper", share: 56, bold: true, wrap: true},
		column{head: "size", share: 42, bold: true}, column{head: "mass calculated", share: 27, align: drawing.Right},
		column{head: "counted", share: 16, box: true}, column{head: "shortest", share: 20, box: true}, column{head: "wall, thickness", share: 20, box: true},
		column{head: "weighed", share: 20, box: true}, column{head: "straight", share: 13, tick: true}, column{head: "received", share: 18, box: true}, column{head: "rejected", share: 18, box: true})
	for _, g := range whole {
		mass, between := d.calculated(g.material, d.massOf(g.material, g.Count, g.Length, g.Width))
		size := d.otherSize(g.Length, g.Width)
		if d.inParts(g) {
			size += ", in parts"
		}
		t.rowWith([]string{1: d.wallText(g.material), 2: size, 3: between}, fmt.Sprint(g.Count), stockName(g.material), d.size(g.Length, g.Width), mass)
	}
	t.end()
}

// inParts reports whether the yard cut what this line buys.
func (d *document) inParts(g purchase) bool {
	for _, l := range g.material.Layouts {
		if l.Stock.Offer == g.Offer && (len(l.FirstCuts) > 0 || cutAtYard(l)) {
			return true
		}
	}
	return false
}

// arrivedParts lists what came cut: pieces and panels, and the parts of what was cut to be carried.
func (d *document) arrivedParts(b bill) {
	plus := d.plusses()
	for _, p := range d.orderedParts(b) {
		d.need(35)
		d.heading("Cut by the supplier: "+materialName(p.material), 12)
		t := d.table(10, column{head: "mark", share: 34, bold: true, wrap: true, whole: true}, column{head: "count", share: 14, align: drawing.Right, bold: true},
			column{head: "size, " + d.unit.String(), share: 44, bold: true, align: drawing.Right}, column{head: "asked for", share: 22, align: drawing.Right},
			column{head: "ends", share: 42, wrap: true}, column{head: "mass calculated", share: 26, align: drawing.Right}, column{head: "counted", share: 18, box: true}, column{head: "shortest", share: 22, box: true},
			column{head: "longest", share: 22, box: true}, column{head: "angles", share: 14, tick: true}, column{head: "received", share: 18, box: true}, column{head: "rejected", share: 18, box: true})
		for _, c := range p.cuts {
			size, ends, over := d.own(c.piece.Length), "", plus.piece(c.piece)
			if p.material.Kind == plan.Sheet {
				size, over = d.own(c.panel.Length)+" × "+d.own(c.panel.Width), plus.panel
			} else {
				ends = d.ends(d.materials[p.material.Key].Section, c.piece)
			}
			mass, between := d.calculated(p.material, d.cutMass(p.material, c))
			t.rowWith([]string{5: between}, c.mark, fmt.Sprint(c.quantity), size, d.tolerance(over), ends, mass)
		}
		t.end()
	}
	if cuts := firstCuts(d.plan, b.supplier); len(cuts) > 0 {
		d.need(30)
		d.heading("Cut at the yard to be carried", 12)
		t := d.table(10, column{head: "stock", share: 60, wrap: true}, column{head: "bars", share: 40, wrap: true}, column{head: "parts", share: 80, bold: true, wrap: true, whole: true},
			column{head: "all parts there", share: 24, tick: true}, column{head: "numbered", share: 20, tick: true})
		for _, c := range cuts {
			t.row(stockName(c.material), ranges(c.numbers), d.partSizes(c.Layout))
		}
		t.end()
	}
}

// howToCheck tells how to count, measure and weigh. It states a figure only where one is
// published, and names where.
func (d *document) howToCheck(b bill) {
	bars, sheets, film := false, false, false
	see := func(m plan.Material) {
		if m.Kind == plan.Sheet {
			sheets, film = true, film || d.materials[m.Key].GoodSide
		} else {
			bars = true
		}
	}
	for _, g := range b.goods {
		see(g.material)
	}
	for _, m := range b.marks {
		see(m.material)
	}
	lines := []string{
		"Count every line, and read the label or stamp: section, alloy and temper. Where label and certificate differ, hold the goods and ask in writing.",
		"Length: measure the shortest of each line. Stock of fixed length may be longer, never shorter; what is over must not be planned on.",
	}
	if bars {
		lines = append(lines, "Wall: measure with a calliper at a sawn end, clear of the corner radius. Ask beforehand for the tolerance the bars are sold to, and hold them to that.",
			"Ends: trims are planned for ends that are bent, dented or out of square; a bar that needs more is short.",
			"Straight: sight along each bar, and roll it on a flat floor. Ask beforehand for the straightness it is sold to.")
	}
	if sheets {
		lines = append(lines, "Thickness: measure with a micrometer at three edges. Sheet is sold by nominal thickness and often comes thinner: gauge 7 of .179 in was found at .173 in (\"True material thickness\", a fabricator's note).",
			"Flat and square: compare the two diagonals; lay the sheet down and look for waves, bent corners and scratches.")
	}
	if film {
		lines = append(lines, "Film: on the good side, whole, and the same side up on every sheet. A shear leaves its burr on the underside, so good side up (\"Shearing, cutting, burrs\", a metal merchant's note).")
	}
	if len(d.orderedParts(b)) > 0 {
		lines = append(lines, "Cut lengths: two suppliers publish +1/8 in and −0/+2 mm for sawn pieces; ISO 2768-1, class m, allows ±0.8 mm from 400 to 1000 mm and ±1.2 mm from 1000 to 2000 mm. "+
			"Pieces that all come a little long make a butted frame grow by the sum: lay one row out and measure it before you cut the next.")
	}
	if bars || sheets {
		weigh := "Weigh what the scale can hold. The mass is calculated from nominal sizes; the figures below it are how far the calculation may be off: 1 %, since published tables of one section differ by so much"
		if sheets {
			weigh += ", and for sheets to 4 % less, as the thin gauge 7 came"
		}
		lines = append(lines, weigh+". Beyond them measure the wall before you reject anything.")
	}
	d.need(float64(len(lines))*9 + 12)
	d.heading("How to check", 12)
	for _, text := range lines {
		d.need(10)
		tick(&d.page().Page, d.left(), d.y+4.5, 3.6)
		at := d.left()
		for _, line := range d.face.Wrap(d.clean(text), 9.5, false, d.width()-7) {
			d.need(5)
			d.y += 4.5
			d.write(&d.page().Page, at+6, d.y, d.width()-5, line, font{size: 9.5})
		}
		d.y += 1.5
	}
	d.need(16)
	d.y += 12
	p := &d.page().Page
	p.Stroke(d.left(), d.y, d.left()+80, d.y, thin)
	d.write(p, d.left(), d.y+3.5, 80, "checked by, date", font{size: 7.5})
	d.y += 5
}
