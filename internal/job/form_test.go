package job

import (
	"bytes"
	"math"
	"math/big"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/dxf"
	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// formed is a job with one panel 600 x 400 of each kind of form, with four
// rivet rows around it, a window and its mirror image.
const formed = `outlines = '''
mark, contour, x, y, corner, mirror
S2, outer, 0, 0, 20,
S2, outer, 600, 0, ,
S2, outer, 600, 300, ,
S2, outer, 0, 400, ,
S2, vent, 300, 100, ,
S2, vent, 360, 100, ,
S2, vent, 330, 140, ,
S3, , , , , S2
'''
openings = '''
mark, x, y, length, width, corner, diameter
S1, 200, 150, 200, 120, 25,
S1, 100, 200, , , , 40
S2, 100, 150, , , , 10
'''
rows = '''
mark, name, edge, from, to, member, rivet, pitch
S1, low, bottom, , , tube, 4, 60
S1, high, top, , , tube, 4, 60
S1, left, left, , , tube, 4, 60
S1, right, right, , , tube, 4, 60
S2, slope, , 20; 380, 580; 286, tube, 4, 60
'''
rivets = '''
diameter, length, grip from, grip to, pack, price
4, 8, 3, 5, 100, 0.05 each
'''
consumables = '''
name, by, of, content, price
drill, count, rivets, 1, 2
tape, length, edges of skin, 25 m, 5
'''
adjust = '''
name, marks, less, more
long, S1 length, 100, 100
'''
`

func formedJob(t *testing.T) *Job {
	t.Helper()
	text := sound[:len(sound)-len("'''\n")] + "S2, skin, 600, 400, 1\nS3, skin, 600, 400, 3\n'''\n"
	j, err := readText(t, text+formed)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// Areas and lengths against closed forms of plane geometry (I. N. Bronshtein &
// K. A. Semendyayev, "Handbook of Mathematics": circle, ring, trapezium).
func TestFormMeasures(t *testing.T) {
	j := formedJob(t)
	mm2 := func(a *big.Int) float64 {
		f, _ := new(big.Float).SetInt(a).Float64()
		return f / 1.6e9
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-6*want {
			t.Errorf("%s is %.6f, want %.6f", what, got, want)
		}
	}
	hole := math.Pi / 4 * 4.1 * 4.1
	s1, s2, s3 := j.Panels[0], j.Panels[1], j.Panels[2]
	rivets := 0.0
	for _, v := range s1.Form.Rows {
		rivets += float64(v.Holes())
	}
	near("area of S1", mm2(s1.Area()), 600*400-(200*120-(4-math.Pi)*25*25)-math.Pi*20*20-rivets*hole)
	window := 2*(150+70) + 2*math.Pi*25
	near("cut of S1", length.Length(s1.CutLength()).Millimetres(), 2000+window+math.Pi*40+rivets*math.Pi*4.1)
	near("edges of S1", length.Length(s1.Edges()).Millimetres(), 2000+window+math.Pi*40)
	if s1.Pierces() != 3+int64(rivets) {
		t.Errorf("S1 has %d piercings and %v rivets", s1.Pierces(), rivets)
	}
	slope := float64(s2.Form.Rows[0].Holes())
	near("area of S2", mm2(s2.Area()), 600*350-(1-math.Pi/4)*20*20-60*40/2-math.Pi*25-slope*hole)
	near("edges of S2", length.Length(s2.Edges()).Millimetres(), 600-20+300+math.Hypot(600, 100)+400-20+math.Pi*10+60+2*50+math.Pi*10)
	if s2.Area().Cmp(s3.Area()) != 0 || s2.CutLength() != s3.CutLength() {
		t.Errorf("the other hand of S2 has %v square units and %d units of cut, S2 %v and %d", s3.Area(), s3.CutLength(), s2.Area(), s2.CutLength())
	}
	if !s3.Shape().MirrorY().Move(int64(s3.Length), 0).Equal(s2.Shape()) {
		t.Error("S3 is not S2 mirrored")
	}
	// S1 twice, S2 once, S3 three times.
	want := int64(2*rivets + 4*slope)
	var got int64
	for _, joint := range j.Riveted() {
		got += joint.Quantity * joint.Rivets
		if joint.Grip != mm(1.5+2+0.4) {
			t.Errorf("%s has a grip of %v", joint.Mark, joint.Grip)
		}
	}
	if n := j.Need(j.Consumables[0]); got != want || n.Cmp(big.NewRat(want, 1)) != 0 {
		t.Errorf("%d rivets in rows, %v drilled, want %d", got, n, want)
	}
	// Perpendicular to a side of the tube: every hole in the middle of its face.
	for _, v := range s1.Form.Rows {
		for _, l := range v.Laid {
			for _, h := range l.Holes {
				off := map[string]int64{"bottom": h.Y, "top": int64(s1.Width) - h.Y, "left": h.X, "right": int64(s1.Length) - h.X}[v.Edge]
				if off != int64(mm(12.5)) {
					t.Errorf("a hole of %s at %v lies %d units from its edge", v.Name, h, off)
				}
			}
		}
	}
}

// A dimension lays the rows anew and leaves openings where they are.
func TestMovedForm(t *testing.T) {
	j := formedJob(t)
	moved := j.Moved([]int64{-100})
	was, is := j.Panels[0], moved.Panels[0]
	if is.Length != mm(500) || is.Shape().Bounds() != (geom.Box{Max: geom.Point{X: int64(mm(500)), Y: int64(mm(400))}}) {
		t.Fatalf("moved it is %v", is.Shape().Bounds())
	}
	if was.Length != mm(600) || was.Shape().Bounds().Length() != int64(mm(600)) {
		t.Error("the job itself has changed")
	}
	if is.Form.Rows[0].Holes() >= was.Form.Rows[0].Holes() || is.Form.Rows[2].Holes() != was.Form.Rows[2].Holes() {
		t.Errorf("holes were %d and %d, are %d and %d", was.Form.Rows[0].Holes(), was.Form.Rows[2].Holes(), is.Form.Rows[0].Holes(), is.Form.Rows[2].Holes())
	}
	if is.Form.Openings[0][0] != was.Form.Openings[0][0] || moved.Panels[1].Form != j.Panels[1].Form {
		t.Error("what no dimension moves has moved")
	}
	if err := is.Shape().Simple(); err != nil {
		t.Error(err)
	}
}

// A drawing that was written is read back as the panel it is of, with what the
// tables add; what is no drawing of one panel is refused.
func TestDrawnPanel(t *testing.T) {
	j := formedJob(t)
	want := j.Panels[1]
	var drawing bytes.Buffer
	if err := dxf.Write(&drawing, want.Shape().Move(40_000_000, -8_000_000), dxf.Options{}); err != nil {
		t.Fatal(err)
	}
	const table = "outlines = '''\nmark, file, unit\nS1, drawings/s1.dxf,UNIT\n'''\n"
	read := func(unit, content string) (*Job, error) {
		return readText(t, sound+strings.Replace(table, "UNIT", unit, 1)+"openings = '''\nmark, x, y, diameter\nS1, 500, 50, 12\n'''\n",
			"drawings/s1.dxf", content)
	}
	k, err := read("", drawing.String())
	if err != nil {
		t.Fatal(err)
	}
	got := k.Panels[0].Shape()
	plus := want.Shape()
	plus.Holes = append(slices.Clip(plus.Holes), geom.Hole{Center: geom.Point{X: int64(mm(500)), Y: int64(mm(50))}, Diameter: int64(mm(12))})
	if !got.Normal().Equal(plus.Normal()) || len(k.Panels[0].Form.Holes) != len(plus.Holes) {
		t.Errorf("the drawing is read as %v", got)
	}
	two := want.Shape()
	for _, c := range []struct{ unit, content, says string }{
		{"furlong", drawing.String(), `unit "furlong" is not a unit of length`},
		{"in", drawing.String(), `the list of panels says 600 mm x 400 mm`},
		{"in", drawing.String(), `or write mm under unit if the drawing is in millimetres`},
		{"", strings.Replace(drawing.String(), "$INSUNITS\r\n 70\r\n4", "$INSUNITS\r\n 70\r\n1", 1), `15240 mm x 10160 mm over all and the list of panels says 600 mm x 400 mm; correct one of them, or write mm under unit if the drawing is in millimetres`},
		{"", "0\nSECTION\n", `the drawing "drawings/s1.dxf" cannot be taken`},
		{"", "", `the drawing "drawings/s1.dxf" cannot be taken`},
		{"", twice(t, two), "holds 2 panels; save each panel in a drawing of its own"},
	} {
		_, err := read(c.unit, c.content)
		if err == nil || !strings.Contains(err.Error(), c.says) || strings.Contains(err.Error(), "\n") {
			t.Errorf("%q: %v", c.says, err)
		}
	}
	if _, err := readText(t, sound+strings.Replace(table, "UNIT", "", 1)); err == nil || !strings.Contains(err.Error(), "does not exist") {
		t.Errorf("no drawing at all: %v", err)
	}
}

// twice is a drawing of two panels: the entities of two drawings in one.
func twice(t *testing.T, s geom.Shape) string {
	t.Helper()
	drawing := func(at int64) (before, entities, after string) {
		var b bytes.Buffer
		if err := dxf.Write(&b, s.Move(at, 0), dxf.Options{}); err != nil {
			t.Fatal(err)
		}
		text := strings.ReplaceAll(b.String(), "\r", "")
		at1 := strings.Index(text, "ENTITIES\n") + len("ENTITIES\n")
		at2 := at1 + strings.Index(text[at1:], "ENDSEC") - len("0\n")
		return text[:at1], strings.TrimRight(text[at1:at2], " "), text[at2:]
	}
	before, one, after := drawing(0)
	_, other, _ := drawing(80_000_000)
	return before + one + other + after
}

// Rows with more holes than anyone drills are refused and not laid.
func TestTooManyHoles(t *testing.T) {
	rows := "rows = '''\nmark, edge, inset, member, rivet, pitch\n" + strings.Repeat("S1, bottom, 20, tube, 4, 12\n", 100) + "'''\n"
	long := strings.Replace(strings.Replace(sound, "S1, skin, 600", "S1, skin, 9000", 1), "2500 x 1250", "9999 x 1250", 1)
	for text, says := range map[string]string{
		long + rows: "would have more than 10000 holes",
		sound + rows + "zones = '''\nmark, x, y, radius\n" + strings.Repeat("S1, 1, 1, 1\n", 1001) + "'''\n":     "more than 1000 zones",
		sound + "rows = '''\nmark, edge, member, rivet\n" + strings.Repeat("S1, left, tube, 4\n", 201) + "'''\n": "more than 200 rows of rivets",
		sound + "outlines = '''\nmark, x, y\n" + strings.Repeat("S1, 1, 1\n", 30_000) + "'''\n":                  "more than 20000 corners and rows",
	} {
		if _, err := readText(t, text); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("want %q, got %.300v", says, err)
		}
	}
}
