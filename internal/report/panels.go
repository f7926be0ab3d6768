package report

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbill/internal/account"
	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/nest2d/geom"
)

// formed are the panels of a list of cuts that have a form of their own.
func formed(cuts []cut) []cut {
	var out []cut
	for _, c := range cuts {
		if c.panel.Form != nil {
			out = append(out, c)
		}
	}
	return out
}

// panelCuts are the panels of a material with a form of their own, whether cut
// by us or bought by the mark.
func (s *set) panelCuts(m plan.Material, supplier string) []cut {
	cuts := s.cuts(m, supplier)
	if supplier == "" || m.ByMark == supplier {
		for _, q := range m.Marks {
			cuts = append(cuts, cut{mark: q.Mark, quantity: q.Count, piece: s.pieces[q.Mark], panel: s.panels[q.Mark]})
		}
	}
	return formed(cuts)
}

// panelsFor are the materials of which a supplier gets panel drawings: those it is
// given cut lists of, and what is bought of it by the mark.
func (s *set) panelsFor(name string) []plan.Material {
	out, _ := s.cutThere(name)
	for _, m := range s.plan.Materials {
		if m.ByMark == name {
			out = append(out, m)
		}
	}
	return out
}

// anyFormed reports whether panel drawings are to be made.
func (s *set) anyFormed(materials []plan.Material, supplier string) bool {
	for _, m := range materials {
		if m.Kind == plan.Sheet && len(s.panelCuts(m, supplier)) > 0 {
			return true
		}
	}
	return false
}

// panelPages draws every panel with a form of its own, one a page and more where
// its holes need them.
func (d *document) panelPages(materials []plan.Material, supplier string) {
	weighed := map[string]plan.Mass{}
	for _, k := range account.Of(d.job).Marks {
		if _, isPanel := d.panels[k.Mark]; isPanel {
			weighed[k.Mark] = k.Each
		}
	}
	for _, m := range materials {
		if m.Kind != plan.Sheet {
			continue
		}
		for _, c := range d.panelCuts(m, supplier) {
			d.title = "Panel " + c.mark
			d.newPage()
			own := m.ByMark == supplier || !d.wants(supplier).DXFSheets
			d.panelPage(m, c, weighed[c.mark], supplier != "" && own && d.processes[m.Key].Kind == job.Beam)
		}
	}
	if supplier == "" {
		d.seamTable()
	}
}

// panelPage is one panel's; hasDXF tells that its reader has a DXF file of it as well.
func (d *document) panelPage(m plan.Material, c cut, each plan.Mass, hasDXF bool) {
	p := c.panel
	title := fmt.Sprintf("%s    %s × %s    %s", c.mark, d.own(p.Length), d.ownWithUnit(p.Width), plural(c.quantity, "panel"))
	d.heading(title, 14)
	d.paragraph(strings.Join(d.panelFacts(m, c, each, hasDXF), "; ")+".", 9)
	// The figure leaves the table its room, but keeps half of the page.
	height := d.bottom() - d.y - 2
	if len(p.Form.Shape.Holes) > 0 {
		const headAndFoot, row, line = 22, 6, 3
		room := headAndFoot + row*float64(len(p.Form.Holes))
		for _, v := range p.Form.Rows {
			for _, l := range v.Laid {
				// About how many lines the places take in their column.
				room += row + line*math.Floor(float64(len(d.places(l.Holes)))/(0.45*d.width()))
			}
		}
		height = max(height/2, height-room)
	}
	v, fig := d.panelFigure(p, d.width(), height)
	d.page().scale = d.ratio(1 / v.scale)
	d.page().Place(fig, d.left()+max(0, (d.width()-v.x(int64(p.Length)))/2), d.y)
	d.y += fig.Height + 2
	if len(v.unplaced) > 0 {
		d.paragraph("Radii not written on the drawing: "+strings.Join(v.unplaced, ", ")+".", 8)
	}
	d.holeRows(p)
}

// panelFacts tell what is known of a panel in figures.
func (d *document) panelFacts(m plan.Material, c cut, each plan.Mass, hasDXF bool) []string {
	p := c.panel
	seen := "seen from the " + face(d.materials[m.Key])
	if hasDXF {
		seen += ", as in its DXF file"
	}
	facts := []string{materialName(m), seen}
	if p.Form.Hand != "" {
		facts = append(facts, "the other hand of "+p.Form.Hand)
	}
	if each != 0 {
		facts = append(facts, "mass "+d.mass(each)+" each")
	}
	facts = append(facts, "cut length "+d.metresOf(p.CutLength()), plural(p.Pierces(), "piercing"))
	if n := len(p.Form.Openings); n > 0 {
		facts = append(facts, plural(int64(n), "opening"))
	}
	if n := len(p.Form.Shape.Holes); n > 0 {
		facts = append(facts, plural(int64(n), "round hole"))
	}
	for _, n := range pinsFor(p) {
		facts = append(facts, fmt.Sprintf("skin pins for holes of %s: %d", d.unitOn(d.fastener(n.hole)), n.count))
	}
	facts = append(facts, d.lapFacts(p)...)
	if n := note(p.Group, p.Note); n != "" {
		facts = append(facts, n)
	}
	return facts
}

func face(m job.Material) string {
	if m.GoodSide {
		return "good side, which is up"
	}
	return "side that is up"
}

// metresOf prints a long length in metres, or in feet.
func (s style) metresOf(units int64) string {
	if s.unit.Imperial() {
		return s.float(float64(units)/float64(length.Foot), 2) + " ft"
	}
	return s.float(float64(units)/float64(length.Metre), 2) + " m"
}

// holeRows is the table of holes: the round openings, then row by row.
func (d *document) holeRows(p job.Panel) {
	if len(p.Form.Shape.Holes) == 0 {
		return
	}
	d.need(26)
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	t := d.table(9, column{head: "row", share: 8, bold: true}, column{head: "name", share: 25, wrap: true}, column{head: "member", share: 18},
		right("rivet", 12), right("hole", 12), right("holes", 12), right("pitch", 16), right("frame ±", 14), column{share: 3},
		column{head: "places of the holes, " + d.unit.String(), share: 150, wrap: true, whole: true})
	for _, h := range p.Form.Holes {
		t.row("", "round opening", "", "", d.fastener(length.Length(h.Diameter)), "1", "", "", "", d.places([]geom.Point{h.Center}))
	}
	// Of the drawing's holes those of rows stand behind the round openings.
	next := len(p.Form.Holes)
	for i, row := range p.Form.Rows {
		for _, l := range row.Laid {
			if len(l.Holes) == 0 {
				continue
			}
			hole := length.Length(p.Form.Shape.Holes[next].Diameter)
			next += len(l.Holes)
			name := row.Name
			if l.Second {
				name += ", second"
			}
			if row.Shared {
				name += ", riveted with the part over it"
			}
			if len(row.Met) > 0 {
				name += ", through both with " + strings.Join(row.Met, ", ")
			}
			t.row(fmt.Sprint(i+1), name, d.job.Materials[row.Member].Key, d.fastener(length.Length(row.Row.Rivet.Diameter)), d.fastener(hole),
				fmt.Sprint(len(l.Holes)), d.small(length.Length(l.Pitch)), d.small(length.Length(l.Play)), "", d.places(l.Holes))
		}
	}
	t.end()
	if len(p.Form.Rows) > 0 {
		d.paragraph("Places are measured from the lower left corner to the middle of a hole. Pitch: the widest between two holes of a row, gaps left out. "+
			"Frame ±: how far the frame may be off before a hole misses its member. Dashed: the members behind the panel. This is where holes lie; it says nothing of what they carry.", 8)
	}
}

// places lists the middles of holes; what is the same for all is said once.
func (d *document) places(holes []geom.Point) string {
	var xs, ys, both []string
	sameX, sameY := true, true
	print := d.fastener // fractions of an inch, but for a list that has others
	if slices.ContainsFunc(holes, func(h geom.Point) bool {
		return h.X%int64(length.Sixtyfourth) != 0 || h.Y%int64(length.Sixtyfourth) != 0
	}) {
		print = d.small
	}
	for _, h := range holes {
		x, y := print(length.Length(h.X)), print(length.Length(h.Y))
		xs, ys, both = append(xs, x), append(ys, y), append(both, x+"; "+y)
		sameX, sameY = sameX && h.X == holes[0].X, sameY && h.Y == holes[0].Y
	}
	switch {
	case sameX && sameY:
		return "x " + xs[0] + ", y " + ys[0]
	case sameX:
		return "x " + xs[0] + ",  y " + strings.Join(ys, "  ")
	case sameY:
		return "y " + ys[0] + ",  x " + strings.Join(xs, "  ")
	}
	return "x; y  " + strings.Join(both, "   ")
}
