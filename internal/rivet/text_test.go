package rivet

import (
	"fmt"
	"strings"
	"testing"

	"sawbill/nest2d/geom"
)

// Findings name what is wrong with its value, in the reader's unit and words.
func TestFindings(t *testing.T) {
	inner := geom.Polygon(pt(100*mm, 30*mm), pt(250*mm, 30*mm), pt(250*mm, 70*mm), pt(100*mm, 70*mm))
	for _, c := range []struct {
		name   string
		change func(*geom.Shape, *Row)
		keep   []Zone
		says   string
	}{
		{"opening", func(p *geom.Shape, r *Row) { p.Inner = []geom.Outline{inner} }, nil,
			"warn: 169.2 mm without a hole, from 90.4 mm to 259.6 mm along the row, because of opening 1\n"},
		// The row is 1.5 to 2 D from the edge of an opening, but within it.
		{"along an opening within", func(p *geom.Shape, r *Row) { p.Inner = []geom.Outline{inner.Move(0, 115*mm/10)} }, nil,
			"warn: 169.2 mm without a hole, from 90.4 mm to 259.6 mm along the row, because of opening 1\n"},
		{"outside", func(p *geom.Shape, r *Row) { r.From, r.To = pt(0, 200*mm), pt(400*mm, 200*mm) }, nil,
			"refuse: no hole can be drilled along the row, because of the panel"},
		{"blocked", nil, []Zone{{pt(200*mm, 50*mm), 300 * mm, 0}},
			"refuse: no hole can be drilled along the row, because of the zone at (200 mm, 50 mm): move or shorten it, or take it out\n"},
		{"edge", func(p *geom.Shape, r *Row) { r.From, r.To = pt(0, 5*mm), pt(400*mm, 5*mm) }, nil,
			"refuse: the row runs 5 mm from the edge of the panel, under 1.5 diameters: give 7.2 mm, better 9.6 mm"},
		{"short", func(p *geom.Shape, r *Row) { r.From, r.To = pt(40*mm, 50*mm), pt(50*mm, 50*mm) }, nil,
			"refuse: the row is 10 mm long"},
		{"no length", func(p *geom.Shape, r *Row) { r.To = r.From }, nil, "refuse: the row's line has no length"},
		{"diameter", func(p *geom.Shape, r *Row) { r.Rivet.Diameter = -mm }, nil, "refuse: a rivet of diameter -1 mm"},
		{"hole", func(p *geom.Shape, r *Row) { r.Rivet.Hole = 4 * mm }, nil, "refuse: a hole of 4 mm does not suit a rivet of 4.8 mm: drill 4.9 mm to 5 mm"},
		{"large hole", func(p *geom.Shape, r *Row) { r.Rivet.Hole = 52 * mm / 10 }, nil, "warn: a hole of 5.2 mm is large"},
		{"wide", func(p *geom.Shape, r *Row) { r.Pitch = 120 * mm }, nil, "note: a pitch of 120 mm is wide"},
		{"head", nil, []Zone{{pt(100*mm, 60*mm), 15 * mm, 12 * mm / 10}},
			"warn: at (100 mm, 60 mm) something stands up 1.2 mm under the skin, which lies 0.4 mm above its member"},
		{"head with packing", func(p *geom.Shape, r *Row) { r.Packing = mm }, []Zone{{pt(100*mm, 60*mm), 15 * mm, 12 * mm / 10}}, ""},
		{"zone", nil, []Zone{{pt(100*mm, 60*mm), -mm, 0}}, "refuse: a zone of radius -1 mm"},
		{"not simple", func(p *geom.Shape, r *Row) { p.Inner = []geom.Outline{inner.Move(300*mm, 0)} }, nil, "refuse: "},
	} {
		p, rows := skin(c.change)
		_, findings := Lay(p, rows, c.keep)
		text := ""
		for _, f := range findings {
			text += f.Severity.String() + ": " + f.Text + "\n"
		}
		if !strings.Contains(text, c.says) || (c.says == "") != (text == "") || strings.Count(text, "\n") > 1 {
			t.Errorf("%s: %q", c.name, text)
		}
	}
}

// A skin with one row on a tube of 25 mm, crossed by another in its middle.
func Example() {
	inch := func(units int64) string { return fmt.Sprintf("%.3f in", float64(units)/1_016_000) }
	skin := geom.Rectangle(400*mm, 100*mm)
	tube := Member{Face: 25 * mm, Wall: 2 * mm, Radius: 3 * mm}
	rows := []Row{
		{From: geom.Point{X: 0, Y: 50 * mm}, To: geom.Point{X: 400 * mm, Y: 50 * mm}, Rivet: Rivet{Diameter: 48 * mm / 10}, Member: tube, Pitch: 40 * mm},
		{From: geom.Point{X: 200 * mm, Y: 0}, To: geom.Point{X: 200 * mm, Y: 100 * mm}, Rivet: Rivet{Diameter: 48 * mm / 10}, Member: tube, Pitch: 40 * mm},
	}
	laid, findings := Lay(skin, rows, nil)
	for _, l := range laid {
		fmt.Printf("row %d: %d holes of %s, pitch %s, the frame may be off by %s\n", l.Row+1, len(l.Holes), millimetres(rows[l.Row].Rivet.hole()), millimetres(l.Pitch), millimetres(l.Play))
	}
	for _, f := range findings {
		fmt.Printf("row %d, %v: %s\n", f.Row+1, f.Severity, f.In(Names{Length: inch}))
	}
	// Output:
	// row 1: 12 holes of 4.9 mm, pitch 33.18 mm, the frame may be off by 5.3 mm
	// row 2: 4 holes of 4.9 mm, pitch 15.9 mm, the frame may be off by 5.3 mm
	// row 1, note: 1.740 in without a hole, from 7.004 in to 8.744 in along the row, because of the crossing with row 2
	// row 2, note: 1.740 in without a hole, from 1.098 in to 2.839 in along the row, because of the crossing with row 1
}
