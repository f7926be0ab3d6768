package report

import (
	"fmt"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// plus is how much longer than ordered a part may come, never shorter. The figures are
// common practice, no source; saws at a service are commonly held one-sided.
type plus struct{ finished, leftLong, panel length.Length }

func (s style) plusses() plus {
	if s.unit.Imperial() {
		return plus{length.Inch / 16, length.Inch / 8, length.Inch / 32}
	}
	return plus{2 * length.Millimetre, 3 * length.Millimetre, length.Millimetre}
}

func (p plus) piece(row job.Piece) length.Length {
	if row.LeftLong {
		return p.leftLong
	}
	return p.finished
}

// tolerance prints a one-sided tolerance.
func (s style) tolerance(over length.Length) string { return "−0 / +" + s.own(over) }

func state(row job.Piece) string {
	if row.LeftLong {
		return "left long, we trim"
	}
	return "finished"
}

// orderedPart is what a supplier cuts of one material.
type orderedPart struct {
	material plan.Material
	cuts     []cut
}

// orderedParts are the pieces and panels that are part of an order: those of materials
// the supplier cuts, and marks bought cut and ready.
func (s *set) orderedParts(b bill) []orderedPart {
	var out []orderedPart
	for _, m := range s.plan.Materials {
		if m.ByMark == b.supplier && b.supplier != "" {
			part := orderedPart{material: m}
			for _, q := range m.Marks {
				part.cuts = append(part.cuts, cut{mark: q.Mark, quantity: q.Count, piece: s.pieces[q.Mark], panel: s.panels[q.Mark]})
			}
			out = append(out, part)
			continue
		}
		if cuts := s.cuts(m, b.supplier); s.processes[m.Key].BySupplier && len(cuts) > 0 {
			out = append(out, orderedPart{m, cuts})
		}
	}
	return out
}

// orderedCuts writes the pieces and panels that the supplier is to cut.
func (d *document) orderedCuts(b bill) {
	parts := d.orderedParts(b)
	if len(parts) == 0 {
		return
	}
	d.need(45)
	d.heading("Please cut", 12)
	plus := d.plusses()
	text := "Tolerances are one-sided: never shorter."
	if slices.ContainsFunc(parts, func(p orderedPart) bool { return p.material.Kind != plan.Sheet }) {
		text = "Lengths are overall, long point to long point, before any mitre is taken off; angles are from square. " + text +
			" Finished pieces go into the frame as they come. Where they butt, every plus adds up: five pieces in a row, each " + d.ownWithUnit(plus.finished) +
			" over, make the frame " + d.ownWithUnit(5*plus.finished) + " too long. So please say if you can hold them closer. Pieces left long we trim to fit."
	}
	if slices.ContainsFunc(parts, func(p orderedPart) bool {
		return p.material.Kind == plan.Bar && d.sharesMitres(p.material) && slices.ContainsFunc(p.cuts, func(c cut) bool { return c.piece.Mitred() })
	}) {
		text += " Neighbours whose mitres match share one cut, as the layouts show; cut one by one, they may need more bars than are ordered."
	}
	d.paragraph(text, 9)
	for _, p := range parts {
		d.need(25)
		d.heading(materialName(p.material), 11)
		if p.material.Kind == plan.Sheet {
			d.orderedPanels(p.cuts, plus)
		} else {
			d.orderedPieces(p, plus)
		}
	}
	d.gap(1)
}

func (d *document) orderedPieces(p orderedPart, plus plus) {
	sec := d.materials[p.material.Key].Section
	columns := []column{{head: "ok", share: 8, tick: true}, {head: "mark", share: 24, bold: true, wrap: true, whole: true},
		{head: "pieces", share: 13, align: drawing.Right, bold: true}, {head: "long point, " + d.unit.String(), share: 22, align: drawing.Right, bold: true},
		{head: "left", share: 14, align: drawing.Right}, {head: "right", share: 14, align: drawing.Right},
		{head: "hand", share: 24}, {head: "edges", share: 32}, {head: "tolerance", share: 22}, {head: "as", share: 30}}
	sided := !sec.EqualFaces() && slices.ContainsFunc(p.cuts, func(c cut) bool { return c.piece.Mitred() })
	if sided {
		columns = append(columns, column{head: "mitres laid", share: 38, bold: true, wrap: true, whole: true})
	}
	t := d.table(9.5, columns...)
	for _, c := range p.cuts {
		row := c.piece
		left, right, sides := "", "", ""
		if row.Mitred() {
			left, right = d.degrees(row.Left), d.degrees(row.Right)
			long, short := edges(sec, row)
			sides = d.length(long) + " and " + d.length(short)
		}
		cells := []string{"", c.mark, fmt.Sprint(c.quantity), d.own(row.Length), left, right, hand(row), sides, d.tolerance(plus.piece(row)), state(row)}
		if sided {
			cells = append(cells, d.laidOn(sec, row))
		}
		t.row(cells...)
	}
	t.end()
	if sided {
		d.paragraph("Please lay each mitre across the side named. "+d.lying(sec), 9)
	}
}

func (d *document) orderedPanels(cuts []cut, plus plus) {
	once := d.drawnOnce(cuts)
	mark := d.shareFor(marksOf(cuts, cut.name), 9.5, 14, 30)
	t := d.table(9.5, column{head: "ok", share: 8, tick: true}, column{head: "mark", share: mark, bold: true, wrap: true, whole: true},
		column{head: "panels", share: 14, align: drawing.Right, bold: true}, column{head: "length × width, " + d.unit.String(), share: 38, align: drawing.Right, bold: true},
		column{share: 3}, column{head: "tolerance", share: 20}, column{head: "note", share: 103 - mark, wrap: true})
	for _, c := range cuts {
		t.row("", c.mark, fmt.Sprint(c.quantity), d.own(c.panel.Length)+" × "+d.own(c.panel.Width), "", d.tolerance(plus.panel), note(c.panel.Group, drawn(c.panel, once)))
	}
	t.end()
}
