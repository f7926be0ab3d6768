package report

import (
	"fmt"

	"sawbill/internal/job"
	"sawbill/internal/report/drawing"
)

// Panels that are parted along seams.

// lapFacts say where another part lies over or under a panel.
func (s style) lapFacts(p job.Panel) []string {
	var facts []string
	for _, l := range p.Form.Laps {
		how := "over"
		if !l.Over {
			how = "under"
		}
		facts = append(facts, fmt.Sprintf("at the %s it lies %s %s %s", lapSide(p, l), s.smallWithUnit(l.Width), how, l.Other))
	}
	return facts
}

// lapSide is the side of a panel at which a lap is.
func lapSide(p job.Panel, l job.Lap) string {
	across := l.From.Y == l.To.Y
	switch {
	case across && 2*l.From.Y > int64(p.Width):
		return "top"
	case across:
		return "bottom"
	case 2*l.From.X > int64(p.Length):
		return "right"
	}
	return "left"
}

// laps draws the edges of the other parts over and under a panel, in long dashes.
func (v *panelView) laps(fig *drawing.Page) {
	for _, l := range v.panel.Form.Laps {
		first, last, any := within(v.panel.Shape().Outer, l.From, l.To)
		if !any {
			continue
		}
		edge := []drawing.Point{v.at(first), v.at(last)}
		v.hidden = append(v.hidden, [2]drawing.Point(edge))
		fig.Add(drawing.Line{Points: edge, Pen: drawing.Pen{Width: drawing.Thin, Dash: []float64{5, 1}}})
	}
}

// seamTable lists the seams of all panels that are parted.
func (d *document) seamTable() {
	if len(d.job.Seams) == 0 {
		return
	}
	d.title = "Seams"
	d.newPage()
	d.heading("Seams", 14)
	d.paragraph("Upper parts lie over lower ones, so that water runs off, unless the list says otherwise. Fit the part that lies under first; one row of rivets goes "+
		"through both parts, drilled in both. Bed every seam in sealant. Long dashes on the drawings: the edge of the other part.", 9)
	d.gap(2)
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	t := d.table(10, column{head: "ok", share: 8, tick: true}, column{head: "panel", share: 30, bold: true}, column{head: "over", share: 30}, column{head: "under", share: 30},
		right("lap", 24), right("gap", 24), right("length", 30), right("panels", 18), right("in all", 30))
	all := int64(0)
	for _, s := range d.job.Seams {
		over, under, lap, gap := s.Over, s.Under, d.small(s.Lap), ""
		if s.Lap == 0 {
			over, under, lap, gap = s.Over+", "+s.Under, "", "", d.small(s.Gap)
		}
		sum := int64(s.Length) * s.Quantity
		all += sum
		t.row("", s.Panel, over, under, lap, gap, d.small(s.Length), fmt.Sprint(s.Quantity), d.metresOf(sum))
	}
	t.sum("", "", "", "", "", "", "", "", d.metresOf(all))
	t.end()
}
