package report

import (
	"slices"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/rivet"
	"sawbill/nest2d/geom"
)

// withForms is the metric example with a window, a round opening and a row of
// rivets in the skin S1, and the lining cut with a laser by who sells it.
func withForms(t testing.TB) example {
	p, j := hide(t)
	unit := int64(mm)
	at := func(x, y int64) geom.Point { return geom.Point{X: x * unit, Y: y * unit} }
	row := rivet.Row{From: at(0, 15), To: at(1190, 15), Rivet: rivet.Rivet{Diameter: 4 * unit}, Member: rivet.Member{Face: 25 * unit, Wall: 2 * unit}}
	window := geom.Polygon(at(300, 200), at(300, 600), at(700, 600), at(700, 200))
	bare := geom.Rectangle(1190*unit, 790*unit)
	bare.Inner = []geom.Outline{window}
	bare.Holes = []geom.Hole{{Center: at(900, 400), Diameter: 60 * unit}}
	laid, findings := rivet.Lay(bare, []rivet.Row{row}, nil)
	if len(laid) != 1 || len(laid[0].Holes) < 5 {
		t.Fatalf("%v, %v", laid, findings)
	}
	j.Panels[0].Form = &job.Form{Openings: bare.Inner, Holes: bare.Holes, Rows: []job.RivetRow{{Name: "sill", Edge: "bottom", Inset: 15 * mm, Row: row, Laid: laid}},
		Shape: rivet.Drilled(bare, []rivet.Row{row}, laid)}
	j.Processes[2].BySupplier = true
	return example{"with forms", p, j}
}

// A panel with a form is drawn for the bench and for who cuts it, with the places
// of its holes; one that a laser cuts by order is drawn as DXF, plain or not.
func TestPanelDrawings(t *testing.T) {
	e := withForms(t)
	files, _ := packAgain(t, e)
	page := text(t, find(t, files, "workshop/panels.pdf"))
	for _, want := range []string{"S1", "1190 × 790 mm", "seen from the good side", "1 opening", "sill", "y 15,", "x 900, y 400", "grain", "says nothing of what they carry"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is not on the drawing:\n%s", want, page)
		}
	}
	for _, h := range e.job.Panels[0].Form.Rows[0].Laid[0].Holes {
		s := styleOf(e.plan, e.job)
		if x := s.small(length.Length(h.X)); !strings.Contains(page, x) {
			t.Errorf("the hole at x %s is not in the table:\n%s", x, page)
		}
	}
	run(t, find(t, files, "workshop/panels.pdf"), tool(t, "qpdf"), "--check", "FILE")
	drawing := string(find(t, files, "Eastmere/dxf/L1.dxf").Data)
	if strings.Count(drawing, "LWPOLYLINE") != 1 || !strings.Contains(drawing, "AC1015") {
		t.Errorf("the lining is drawn as\n%.300s", drawing)
	}
	if list := text(t, find(t, files, "workshop/cutlist.pdf")); !strings.Contains(list, "see panels.pdf") {
		t.Error("the cut list does not say where S1 is drawn")
	}
	for _, f := range files {
		if strings.Contains(f.Path, "dxf/") && f.Path != "Eastmere/dxf/L1.dxf" {
			t.Errorf("%s is written: nothing else is cut with a laser", f.Path)
		}
	}
	plain, _ := pack(t, examples(t)[0])
	for _, f := range plain {
		if strings.HasSuffix(f.Path, "/panels.pdf") || strings.HasSuffix(f.Path, ".dxf") {
			t.Errorf("%s is written where no panel has a form", f.Path)
		}
	}
}

// A supplier's drawings are as it wants them, and one whose mark cannot be
// engraved comes without it, which is told.
func TestDrawingsAsWanted(t *testing.T) {
	e := withForms(t)
	v := &e.job.Suppliers[1]
	v.DXFR12, v.DXFInsideOutside, v.DXFEngraved = true, true, true
	files, messages := packAgain(t, e)
	drawing := string(find(t, files, "Eastmere/dxf/L1.dxf").Data)
	for _, want := range []string{"AC1009", "CUT_OUTSIDE", "ENGRAVE"} {
		if !strings.Contains(drawing, want) {
			t.Errorf("%s is not in the drawing", want)
		}
	}
	if len(messages) != 0 {
		t.Errorf("remarks %v", messages)
	}
	rename := func(mark string) {
		for i := range e.job.Panels {
			if e.job.Panels[i].Mark == "L1" {
				e.job.Panels[i].Mark = mark
			}
		}
		for _, m := range e.plan.Materials {
			for _, l := range m.Layouts {
				for i := range l.Panels {
					if l.Panels[i].Mark == "L1" {
						l.Panels[i].Mark = mark
					}
				}
			}
		}
	}
	rename("Λ1")
	files, messages = packAgain(t, e)
	if drawing := string(find(t, files, "Eastmere/dxf/Λ1.dxf").Data); strings.Count(drawing, "POLYLINE") != 1 {
		t.Errorf("the drawing has more than its contour:\n%.2000s", drawing)
	}
	if len(messages) != 1 || !strings.Contains(messages[0].Text, `the drawing of "Λ1" has no mark on it`) {
		t.Errorf("remarks %v", messages)
	}
}

// A panel that lies in the opening of another is said to, and drawn in it.
func TestHostedPanelIsTold(t *testing.T) {
	e := withForms(t)
	m := &e.plan.Materials[slices.IndexFunc(e.plan.Materials, func(m plan.Material) bool { return m.Layouts[0].Panels != nil && len(m.Layouts[0].Panels) > 1 })]
	l := &m.Layouts[0]
	l.Panels[1].In, m.Free, l.Tree = 1, true, nil
	host := l.Panels[0].Mark
	files, _ := packAgain(t, e)
	inside := l.Panels[1].Mark + " in " + host
	if page := text(t, find(t, files, "workshop/sheets.pdf")); !strings.Contains(page, "Inside openings, to be cut before these: "+inside) {
		t.Errorf("%s is not on the page:\n%s", inside, page)
	}
	if rows := string(find(t, files, "workshop/layouts.csv").Data); !strings.Contains(rows, ","+host+"/1\r\n") {
		t.Errorf("it is not in the table:\n%s", rows)
	}
}
