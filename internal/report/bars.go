package report

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// materialName is how a material is headed: its key, section and alloy.
func materialName(m plan.Material) string {
	name := m.Stock
	if m.Alloy != "" {
		name += ", " + m.Alloy
	}
	if m.Key != "" && m.Key != m.Stock {
		name = m.Key + ": " + name
	}
	return name
}

// barPages draws the bars of every material; supplier, unless empty, chooses
// whose.
func (d *document) barPages(supplier string) {
	for _, m := range d.plan.Materials {
		pts := patterns(m, supplier)
		if m.Kind != plan.Bar || len(pts) == 0 {
			continue
		}
		d.title = materialName(m)
		d.newPage()
		v := d.barView(m, d.width())
		d.page().scale = d.ratio(1 / v.scale)
		d.heading(materialName(m), 14)
		d.paragraph(v.how(), 9)
		d.gap(1)
		d.head = func() {
			d.page().scale = d.ratio(1 / v.scale)
			d.y += 2
		}
		for _, pt := range pts {
			fig, list := v.figure(pt)
			d.need(fig.Height)
			d.page().Place(fig, d.left(), d.y)
			d.y += fig.Height
			if len(list) > 0 {
				d.paragraph(strings.Join(list, "; ")+".", 9)
			}
			d.y += 2
			d.page().Stroke(d.left(), d.y-2, d.right(), d.y-2, hair)
		}
		d.head = nil
	}
}

// how tells how the drawings of a material are meant.
func (v *barView) how() string {
	p := v.processes[v.material.Key]
	text := fmt.Sprintf("Large figure: length of the piece, overall, tip to tip. Running dimensions are from the bar's left end (0) to each right tip; "+
		"the blade runs right of the line. Kerf %s.", v.sawn(p.Kerf))
	if p.TrimLeft > 0 || p.TrimRight > 0 {
		text += fmt.Sprintf(" Cut off before use, kerf included: %s left, %s right.", v.fastener(p.TrimLeft), v.sawn(p.TrimRight))
	}
	if p.Tail > 0 {
		text += " The saw cannot hold the last " + v.sawn(p.Tail) + "."
	}
	if v.mitred() {
		text += " Angles are from square; (n) is a left tip; "
		if v.sec.EqualFaces() {
			text += fmt.Sprintf("slants are drawn across a face of %s.", v.withUnit(v.sec.OuterWidth()))
		} else {
			text += "each bar is drawn on the side named, and the mitres that slant there are laid across that. A mitre on the other side shows as a line, and slants in a second drawing, of the bar rolled a quarter away from you. " + v.lying(v.sec)
		}
		text += v.sharing(p) + v.goodSide()
	}
	if v.yardCut() {
		text += " Black bars: cut at the yard, so that the parts a, b and so on can be carried; mark each with the bar's number and its letter. " +
			"Running dimensions begin anew at the left end of each part."
	}
	return text + fmt.Sprintf(" Lengths %s, heights not to scale. Hatched: scrap. Open end: offcut to keep.", v.ratio(1/v.scale))
}

// goodSide says how the bar lies with its good side, where it has one.
func (v *barView) goodSide() string {
	m := v.materials[v.material.Key]
	switch {
	case !m.GoodSide:
		return ""
	case m.Section.EqualFaces():
		return " One side is the good one: lay it as drawn, towards you, with the mitres across it."
	case m.Section.Shape == section.Channel:
		return " The back of the web is the good side."
	case m.Section.Shape == section.Angle:
		return " One side is the good one: no piece is turned."
	}
	return " One " + m.Section.FaceName(section.Wide) + " is the good one: lay it towards you when you look at that side."
}

// sharing tells how mitres meet.
func (v *barView) sharing(p job.Process) string {
	switch {
	case !v.shares:
		return " Every mitre is a cut of its own, tip to tip."
	case p.OneWay:
		return " Mitres that match share one cut, a single line with one angle. The saw swings one way: roll the bar over wherever the slants change hand."
	}
	return " Mitres that match share one cut, a single line with one angle."
}

// sharesMitres says that mitres of a material share cuts: so does the saw, and one
// that swings one way only where the bar can be rolled.
func (s *set) sharesMitres(m plan.Material) bool {
	p, section := s.processes[m.Key], s.materials[m.Key].Section
	return p.SharedMitres && (!p.OneWay || section.Symmetric())
}

func (v *barView) mitred() bool {
	for _, l := range v.material.Layouts {
		for _, p := range l.Pieces {
			if v.pieces[p.Mark].Mitred() {
				return true
			}
		}
	}
	return false
}

func (v *barView) yardCut() bool {
	return slices.ContainsFunc(v.material.Layouts, func(l plan.Layout) bool { return len(l.FirstCuts) > 0 })
}

// goodsInFile is the paper on which a supplier's goods are checked.
func goodsInFile(folder string) string { return "goods-in-" + folder + ".pdf" }

// workshop makes the papers for the saw, and for what arrives.
func (s *set) workshop(names []string, where map[string]string) {
	const folder = "workshop"
	stocked := s.onShelf(folder)
	for _, name := range names {
		s.goodsIn(name, under(folder, goodsInFile(where[name])))
	}
	if s.has(plan.Bar, "") {
		d := s.document("Bar layouts", true)
		d.drawings = true
		d.barPages("")
		d.save(under(folder, "bars.pdf"))
	}
	if s.has(plan.Sheet, "") {
		d := s.document("Sheet layouts", true)
		d.drawings = true
		d.sheetPages("")
		d.save(under(folder, "sheets.pdf"))
	}
	if s.anyFormed(s.plan.Materials, "") {
		d := s.document("Panels", true)
		d.drawings = true
		d.panelPages(s.plan.Materials, "")
		d.save(under(folder, "panels.pdf"))
	}
	d := s.document("Cut list", false)
	d.cutList("")
	d.save(under(folder, "cutlist.pdf"))
	more := s.cutPapers(folder)
	s.add(under(folder, "buy.csv"), s.buyTable())
	s.add(under(folder, "cutlist.csv"), s.cutTable(""))
	s.add(under(folder, "layouts.csv"), s.layoutTable(""))
	s.figures()
	s.add(under(folder, "README.txt"), s.workshopReadme(names, where, stocked, more))
}

// has reports whether layouts of a kind exist from a supplier's stock.
func (s *set) has(kind, supplier string) bool {
	for _, m := range s.plan.Materials {
		if m.Kind == kind && len(patterns(m, supplier)) > 0 {
			return true
		}
	}
	return false
}
