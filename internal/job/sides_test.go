package job

import (
	"bytes"
	"fmt"
	"math"
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/dxf"
	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// outlined is a job whose panel S1, 600 x 400, has that outline (x, y and radius
// of its corners) and those rows (edge, inset, from, to).
func outlined(t *testing.T, corners, rows []string, more string) (*Job, error) {
	t.Helper()
	text := sound + "outlines = '''\nmark, x, y, corner\n"
	for _, c := range corners {
		text += "S1, " + c + "\n"
	}
	if len(rows) > 0 {
		text += "'''\nrows = '''\nmark, edge, inset, from, to, member, rivet, pitch\n"
		for _, r := range rows {
			text += "S1, " + r + ", tube, 4, 60\n"
		}
	}
	return readText(t, text+"'''\nrivets = '''\ndiameter, length, grip from, grip to, pack, price\n4, 8, 3, 5, 100, 0.05 each\n'''\n"+more)
}

var (
	roof  = []string{"0, 0,", "600, 0,", "600, 300,", "0, 400,"}
	gable = []string{"0, 0,", "600, 0,", "600, 300,", "300, 400,", "0, 300,"}
	// chamfer lacks a corner of 100 x 100.
	chamfer = []string{"0, 0,", "500, 0,", "600, 100,", "600, 400,", "0, 400,"}
)

// A row along a slanted edge keeps its inset from it all along: by the edge's
// number, counted from the first corner whichever way they run, and by the name
// of the side that it faces.
func TestRowAlongSlantedEdge(t *testing.T) {
	clockwise := []string{"0, 0,", "0, 400,", "600, 300,", "600, 0,"}
	for _, c := range []struct {
		corners []string
		edge    string
	}{
		{roof, "3"}, {roof, "top"}, {clockwise, "2"}, {clockwise, "oben"},
		{[]string{"0, 0, 20", "600, 0,", "600, 300, 30", "0, 400,"}, "3"},
	} {
		j, err := outlined(t, c.corners, []string{c.edge + ", 12.5, ,"}, "")
		if err != nil {
			t.Fatalf("%v: %v", c, err)
		}
		holes := j.Panels[0].Form.Rows[0].Laid[0].Holes
		if len(holes) < 9 {
			t.Errorf("%v: %d holes", c, len(holes))
		}
		for _, h := range holes {
			// How far from the line x + 6 y = 2400 mm (Hesse's normal form: I. N.
			// Bronshtein & K. A. Semendyayev, "Handbook of Mathematics").
			off := (2400*40_000 - float64(h.X) - 6*float64(h.Y)) / math.Sqrt(37)
			if math.Abs(off-12.5*40_000) > 3 {
				t.Errorf("%v: the hole at %v is %.4f mm inside", c, h, off/40_000)
			}
		}
	}
}

// A drawing's edges are counted anticlockwise from its lowest corner, arcs left
// out.
func TestRowAlongDrawnEdge(t *testing.T) {
	j, err := outlined(t, []string{"0, 0, 20", "600, 0, 10", "600, 300, 30", "0, 400,"}, nil, "")
	if err != nil {
		t.Fatal(err)
	}
	var drawing bytes.Buffer
	if err := dxf.Write(&drawing, j.Panels[0].Shape(), dxf.Options{}); err != nil {
		t.Fatal(err)
	}
	for edge, way := range map[int][2]geom.Point{ // between which its line runs, in mm
		1: {{X: 20, Y: 12}, {X: 590, Y: 12}}, 2: {{X: 588, Y: 10}, {X: 588, Y: 275}}, 4: {{X: 12, Y: 400}, {X: 12, Y: 20}},
	} {
		k, err := readText(t, sound+fmt.Sprintf("outlines = '''\nmark, file\nS1, s1.dxf\n'''\nrows = '''\nmark, edge, inset, member, rivet\nS1, %d, 12, tube, 4\n'''\n", edge), "s1.dxf", drawing.String())
		if err != nil {
			t.Fatal(edge, err)
		}
		row := k.Panels[0].Form.Rows[0].Row
		for i, p := range []geom.Point{row.From, row.To} {
			if d := max(p.X-way[i].X*40_000, way[i].X*40_000-p.X, p.Y-way[i].Y*40_000, way[i].Y*40_000-p.Y); d > 8*40_000 {
				t.Errorf("edge %d runs from %v to %v", edge, row.From, row.To)
			}
		}
	}
}

// A row that runs past the outline is laid as far as the panel goes, no hole
// nearer than 2 D to the contour, and it is no remark that there is none beyond.
func TestRowPastOutline(t *testing.T) {
	for _, c := range []struct {
		corners []string
		row     string
	}{
		{roof, "right, 12.5, ,"},     // 300 of 400 long
		{roof, ", , 20; 0, 20; 900"}, // given by points far away
		{chamfer, "bottom, 12.5, ,"}, // a corner cut off
		{chamfer, "right, 12.5, ,"},  // at its beginning
		{[]string{"0, 0,", "600, 0,", "600, 400, 300", "0, 400,"}, "top, 12.5, ,"},                                                 // a round corner
		{gable, ", , -500; 350, 900; 350"},                                                                                         // both ends
		{[]string{"0, 0,", "600, 0,", "600, 400,", "400, 400,", "400, 150,", "200, 150,", "200, 400,", "0, 400,"}, "top, 12.5, ,"}, // across a notch
	} {
		j, err := outlined(t, c.corners, []string{c.row}, "")
		if err != nil {
			t.Fatalf("%v: %v", c, err)
		}
		for _, m := range j.Remarks {
			if strings.Contains(m.Text, "without a hole") {
				t.Errorf("%v: %s", c, m.Text)
			}
		}
		f := j.Panels[0].Form
		if f.Rows[0].Holes() < 3 {
			t.Errorf("%v: %d holes", c, f.Rows[0].Holes())
		}
		for _, h := range f.Rows[0].Laid[0].Holes {
			if f.Outline.Contains(h) != geom.Inside || f.Outline.Distance(h) < 2*4*40_000-2 {
				t.Errorf("%v: the hole at %v is %v from the contour", c, h, length.Length(f.Outline.Distance(h)))
			}
		}
	}
}

func TestEdgeFaults(t *testing.T) {
	for _, c := range []struct {
		corners   []string
		row, says string
	}{
		{roof, "5, 12, ,", `edge 5 is none of the 4 straight edges of "S1"; write a number from 1 to 4, counted from its first corner`},
		{roof, "0, 12, ,", "edge 0 is none"},
		{gable, "top, 12, ,", `"S1" has more than one edge at the top; write the number of one: 3 from 600 mm; 300 mm to 300 mm; 400 mm, 4 from 300 mm; 400 mm to 0 mm; 300 mm`},
		{gable, "roof, 12, ,", "or the number of an edge of the outline"},
	} {
		if _, err := outlined(t, c.corners, []string{c.row}, ""); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%s: %v", c.row, err)
		}
	}
}

// A panel and its other hand stay two hands of one.
func TestHandsMoveTogether(t *testing.T) {
	text := sound[:len(sound)-len("'''\n")] + "S2, skin, 600, 400, 2\n'''\noutlines = '''\nmark, x, y, mirror\nS1, 0, 0,\nS1, 600, 0,\nS1, 600, 300,\nS1, 0, 400,\nS2, , , S1\n'''\n" +
		"adjust = '''\nname, marks, less\nlong, MARKS, 20\n'''\n"
	for marks, says := range map[string]string{
		"S1 length; S2 length":      "",
		"S1 length":                 `"long": "S2" is the other hand of "S1", so both move alike; write S1 length, S2 length`,
		"2x S2 width; S1 width":     "write 2x S1 width, 2x S2 width",
		"2x S2 length; 2xS1 length": "",
	} {
		_, err := readText(t, strings.Replace(text, "MARKS", marks, 1))
		if says == "" && err != nil || says != "" && (err == nil || !strings.Contains(err.Error(), says)) {
			t.Errorf("%s: %v", marks, err)
		}
	}
}

// area is that of a polygon (C. F. Gauss's formula), in square millimetres.
func area(points ...[2]float64) float64 {
	sum := 0.0
	for i, p := range points {
		q := points[(i+1)%len(points)]
		sum += (p[0]*q[1] - q[0]*p[1]) / 2
	}
	return sum
}

// An outline is stretched at its middle: corners beyond move with their edge, a
// ridge in the middle stays there, a corner cut off keeps its size and a radius
// its own.
func TestStretchedOutline(t *testing.T) {
	quarter := func(r float64) float64 { return r * r * (1 - math.Pi/4) } // what a rounded right corner lacks
	for _, c := range []struct {
		corners []string
		want    float64
	}{
		{roof, area([2]float64{0, 0}, [2]float64{620, 0}, [2]float64{620, 290}, [2]float64{0, 390})},
		{gable, area([2]float64{0, 0}, [2]float64{620, 0}, [2]float64{620, 290}, [2]float64{310, 390}, [2]float64{0, 290})},
		{chamfer, 620*390 - 100*100/2},
		{[]string{"0, 0, 20", "600, 0, 50", "600, 400,", "0, 400,"}, 620*390 - quarter(20) - quarter(50)},
	} {
		j, err := outlined(t, c.corners, nil, "adjust = '''\nname, marks, less, more\nlong, S1 length, 0, 20\nwide, S1 width, 10, 0\n'''\n")
		if err != nil {
			t.Fatalf("%v: %v", c.corners, err)
		}
		is := j.Moved([]int64{20, -10}).Panels[0]
		if b := is.Shape().Bounds(); b != (geom.Box{Max: geom.Point{X: int64(mm(620)), Y: int64(mm(390))}}) {
			t.Errorf("%v: moved it is %v", c.corners, b)
		}
		got, _ := new(big.Float).SetInt(is.Area()).Float64()
		if got /= 1.6e9; math.Abs(got-c.want) > 1e-3*c.want/100 {
			t.Errorf("%v: moved it has %.3f mm², not %.3f", c.corners, got, c.want)
		}
	}
}

// An arc of a drawing across the middle cannot be stretched, and is said so; one
// at a corner can.
func TestStretchedDrawing(t *testing.T) {
	read := func(o geom.Outline) error {
		var drawing bytes.Buffer
		if err := dxf.Write(&drawing, geom.Shape{Outer: o}, dxf.Options{}); err != nil {
			t.Fatal(err)
		}
		_, err := readText(t, sound+"outlines = '''\nmark, file\nS1, s1.dxf\n'''\nadjust = '''\nname, marks, more\nlong, S1 length, 20\n'''\n", "s1.dxf", drawing.String())
		return err
	}
	bow := geom.Polygon(geom.Point{}, geom.Point{X: 24_000_000}, geom.Point{X: 24_000_000, Y: 4_000_000}, geom.Point{Y: 4_000_000})
	bow[2].Bulge = 1
	if err := read(bow); err == nil || !strings.Contains(err.Error(), `makes "S1" 620 mm x 400 mm, a size that its outline, openings or rows of rivets do not go with; write a smaller limit under more, or take this side out`) {
		t.Error(err)
	}
	round, err := geom.Rectangle(24_000_000, 16_000_000).Outer.Rounded(2, 2_000_000)
	if err != nil {
		t.Fatal(err)
	}
	if err := read(round); err != nil {
		t.Error(err)
	}
}

// The other hand of a panel is its mirror image to the unit, before and after a
// dimension moves both, with the same mass, cuts and rivets; and mirrored again it
// is the panel itself.
func TestMirrorImage(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		a, b := rapid.Int64Range(20, 580).Draw(rt, "a"), rapid.Int64Range(220, 380).Draw(rt, "b")
		text := sound[:len(sound)-len("'''\n")] + "S2, skin, 600, 400, 2\n'''\n" + fmt.Sprintf(`outlines = '''
mark, x, y, corner, mirror
S1, 0, 0, 15,
S1, 600, 0, ,
S1, 600, %d, ,
S1, %d, 400, ,
S1, 0, 400, 10,
S2, , , , S1
'''
openings = '''
mark, x, y, length, width, corner, diameter
S1, 60, 60, 50, 30, 5,
S1, 40, 100, , , , 11
'''
rows = '''
mark, edge, inset, from, to, member, rivet
S1, bottom, 12, , , tube, 4
S1, right, 12, , , tube, 4
S1, 3, 12.3, , , tube, 4
S1, , , 20; 20, 600; 300, tube, 4
'''
rivets = '''
diameter, length, grip from, grip to, pack, price
4, 8, 3, 5, 100, 0.05 each
'''
adjust = '''
name, marks, less, more
long, S1 length; S2 length, 0, 15
'''
`, b, min(a, 560))
		r, err := readText(t, text)
		if err != nil {
			rt.Fatal(err)
		}
		for _, k := range []*Job{r, r.Moved([]int64{15})} {
			one, other := k.Panels[0], k.Panels[1]
			l := int64(one.Length)
			if !other.Shape().Equal(one.Shape().MirrorY().Move(l, 0)) || !other.Shape().MirrorY().Move(l, 0).Equal(one.Shape()) {
				rt.Fatalf("%v and %v", one.Shape(), other.Shape())
			}
			if one.Area().Cmp(other.Area()) != 0 || one.CutLength() != other.CutLength() || one.Pierces() != other.Pierces() {
				rt.Fatal("areas or cuts differ")
			}
			for i, row := range one.Form.Rows {
				for n, laid := range row.Laid {
					for m, h := range laid.Holes {
						if w := other.Form.Rows[i].Laid[n].Holes[m]; w != (geom.Point{X: l - h.X, Y: h.Y}) {
							rt.Fatalf("row %d: %v and %v", i+1, h, w)
						}
					}
				}
			}
		}
	})
}

// Where a job is in inches, so is what is wrong with its outlines, openings,
// drawings and rows of rivets.
func TestGeometryInInches(t *testing.T) {
	text := strings.NewReplacer(`unit = "mm"`, `unit = "in"`, "25x25x2", "25x25x2 mm", "sheet 1.5", "sheet 1.5 mm", "S1, skin, 600, 400", "S1, skin, 24, 16",
		"2500 x 1250", "96 x 48", "6000, 21.40", "240, 21.40", "P1, tube, 1200", "P1, tube, 48", "kerf = 2.5", "kerf = 0.1", "spacing = 5", "spacing = 0.2", "margin = 10", "margin = 0.4").Replace(sound)
	const head = "0\nSECTION\n2\nENTITIES\n"
	entities := func(lines ...[4]float64) string {
		var b strings.Builder
		b.WriteString(head)
		for _, l := range lines {
			fmt.Fprintf(&b, "0\nLINE\n8\nCUT\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", l[0], l[1], l[2], l[3])
		}
		return b.String() + "0\nENDSEC\n0\nEOF\n"
	}
	for table, want := range map[string]string{
		"outlines = '''\nmark, x, y, corner\nS1, 0, 0, 20\nS1, 24, 0,\nS1, 24, 16,\nS1, 0, 16,\n'''\n": "a radius of 20 in at (0 in, 0 in) needs 20 in of both edges, and one has 16 in",
		"openings = '''\nmark, x, y, diameter\nS1, 24, 8, 4\n'''\n":                                    "meet at (24 in, ",
		"openings = '''\nmark, x, y, diameter\nS1, 12, 8, 1/32\n'''\n":                                 `the opening at (12 in, 8 in) is 1/32 in across, less than the sheet's thickness of`,
		"outlines = '''\nmark, file, unit\nS1, s1.dxf, in\n'''\n":                                      "from its end at (0 in, 0 in) the nearest other end, at (0 in, 15 in), is 15 in away",
	} {
		j, err := readText(t, text+table, "s1.dxf", entities([4]float64{0, 0, 24, 0}, [4]float64{24, 0, 24, 16}, [4]float64{24, 16, 0, 15}))
		var says string
		if err != nil {
			says = err.Error()
		} else {
			for _, m := range j.Remarks {
				says += m.Text + "\n"
			}
		}
		if !strings.Contains(says, want) || strings.Contains(says, " mm") {
			t.Errorf("%s: %s", table, says)
		}
	}
}
