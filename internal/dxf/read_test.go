package dxf

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// Out, in and out again are the same bytes, in every manner of writing, and
// the panel between is the same to the unit.
func TestRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 14))
	shapes := []geom.Shape{skin(), {Outer: geom.Hole{Center: geom.Point{X: 7, Y: 9}, Diameter: 100 * mm}.Outline()}}
	for range 200 {
		shapes = append(shapes, panel(r, math.Exp(r.Float64()*math.Log(50))*50*mm))
	}
	for i, s := range shapes {
		for manner := range 8 {
			o := Options{Inches: manner&1 != 0, R12: manner&2 != 0, InsideOutside: manner&4 != 0, Mark: "A-1", Engrave: i == 0}
			first := written(t, s, o)
			var ask ReadOptions
			if o.R12 {
				ask.Unit = length.Millimetre
				if o.Inches {
					ask.Unit = length.Inch
				}
			}
			d, err := Read(bytes.NewReader(first), ask)
			if err != nil {
				t.Fatalf("panel %d: %v", i, err)
			}
			if len(d.Shapes) != 1 || !d.Shapes[0].Equal(s) {
				t.Fatalf("panel %d in manner %d comes back as another:\n%v\n%v", i, manner, d.Shapes, s)
			}
			if want := map[bool]int{true: 1}[o.Engrave]; len(d.Ignored) != want {
				t.Errorf("panel %d: ignored %q", i, d.Ignored)
			}
			if second := written(t, d.Shapes[0], o); !bytes.Equal(first, second) {
				t.Fatalf("panel %d in manner %d is written otherwise the second time", i, manner)
			}
		}
	}
}

// text is a drawing of entities given as groups parted by spaces, code and
// value in turn, in millimetres.
func text(entities string) string { return whole("", entities) }

func whole(before, entities string) string {
	return groups("0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC " + before + " 0 SECTION 2 ENTITIES " + entities + " 0 ENDSEC 0 EOF")
}

func groups(s string) string { return strings.Join(strings.Fields(s), "\n") + "\n" }

func line(x, y, u, v float64) string {
	return fmt.Sprintf("0 LINE 8 CUT 10 %v 20 %v 11 %v 21 %v ", x, y, u, v)
}

func circle(x, y, r float64) string { return fmt.Sprintf("0 CIRCLE 8 CUT 10 %v 20 %v 40 %v ", x, y, r) }

const square = "0 LWPOLYLINE 8 CUT 90 4 70 1 10 0 20 0 10 100 20 0 10 100 20 100 10 0 20 100 "

// What is read, with areas in mm² by hand.
func TestRead(t *testing.T) {
	box := line(0, 0, 100, 0) + line(100, 100, 100, 0) + line(100, 100, 0, 100) + line(0, 0, 0, 100)
	tests := []struct {
		name, drawing string
		areas         []float64
		holes, inner  int
		warnings      []string // parts of them
	}{
		{"lines in any direction", text(box), []float64{10000}, 0, 0, nil},
		{"lines and an arc", text(line(0, 0, 100, 0) + line(100, 50, 0, 50) + "0 ARC 8 CUT 10 100 20 25 40 25 50 270 51 90 0 ARC 8 CUT 10 0 20 25 40 25 50 90 51 270 "),
			[]float64{5000 + math.Pi*625}, 0, 0, nil},
		{"an arc of three quarters", text("0 ARC 8 CUT 10 0 20 0 40 50 50 0 51 270 " + line(0, 0, 50, 0) + line(0, 0, 0, -50)), []float64{math.Pi * 2500 * 3 / 4}, 0, 0, nil},
		{"a hole", text(square + circle(50, 50, 10)), []float64{10000 - math.Pi*100}, 1, 0, nil},
		{"a hole of two arcs", text(square + "0 ARC 8 CUT 10 50 20 50 40 10 50 20 51 200 0 ARC 8 CUT 10 50 20 50 40 10 50 200 51 20 "), []float64{10000 - math.Pi*100}, 1, 0, nil},
		{"a disc", text(circle(0, 0, 50)), []float64{math.Pi * 2500}, 0, 0, nil},
		{"a disc in a window", text(square + circle(50, 50, 40) + circle(50, 50, 20)), []float64{10000 - math.Pi*1600, math.Pi * 400}, 1, 0, nil},
		{"two panels", text(square + line(200, 0, 300, 0) + line(300, 0, 250, 100) + line(250, 100, 200, 0)), []float64{10000, 5000}, 0, 0, nil},
		{"a window", text(square + "0 LWPOLYLINE 8 CUT 90 4 70 1 10 30 20 30 10 30 20 60 10 60 20 60 10 60 20 30 "), []float64{10000 - 900}, 0, 1, nil},
		{"twice", text(square + box + circle(50, 50, 10) + circle(50, 50, 10) + square), []float64{10000 - math.Pi*100}, 1, 0, []string{"twice was taken once: 6 lines"}},
		{"a gap", text(line(0, 0, 100, 0) + line(100, 0.03, 100, 100) + line(100, 100, 0, 100) + line(0, 100, 0, 0)), []float64{10000 - 1.5}, 0, 0, []string{"1 of them, the widest of 0.030 mm"}},
		{"closed by its last point", text("0 LWPOLYLINE 8 CUT 90 4 70 0 10 0 20 0 10 100 20 0 10 50 20 80 10 0 20 0 "), []float64{4000}, 0, 0, nil},
		{"an old polyline", text("0 POLYLINE 8 CUT 66 1 70 1 10 0 20 0 30 0 0 VERTEX 8 CUT 10 0 20 0 42 1 0 VERTEX 8 CUT 10 100 20 0 0 SEQEND 8 CUT "), []float64{math.Pi * 1250}, 0, 0, nil},
		{"an ellipse", text("0 ELLIPSE 8 CUT 10 10 20 20 11 60 21 80 40 0.5 41 0 42 6.283185307179586 "), []float64{math.Pi * 100 * 50}, 0, 0, []string{"within 0.010 mm: 1 ellipses"}},
		{"half an ellipse", text("0 ELLIPSE 8 CUT 10 0 20 0 11 100 21 0 40 0.5 41 0 42 3.141592653589793 " + line(-100, 0, 100, 0)), []float64{math.Pi * 2500}, 0, 0, []string{"arcs within"}},
		{"seen from below", text("0 ARC 8 CUT 10 0 20 0 40 50 50 0 51 180 230 -1 210 0 220 0 " + line(-50, 0, 50, 0)), []float64{math.Pi * 1250}, 0, 0, nil},
		{"a polyline seen from below", text("0 LWPOLYLINE 8 CUT 90 4 70 1 10 0 20 0 42 1 10 100 20 0 10 100 20 80 10 0 20 80 210 0 220 0 230 -1 "), []float64{8000 + math.Pi*1250}, 0, 0, nil},
		{"heights", text("0 CIRCLE 8 CUT 10 0 20 0 30 5 40 50 "), []float64{math.Pi * 2500}, 0, 0, []string{"heights (z)"}},
		// By symmetry a Bézier curve with handles of 50; its sector by the area of Bézier curves.
		{"a ring of fit points", text("0 SPLINE 8 CUT 70 1 71 3 11 100 21 0 11 0 21 100 11 -100 21 0 11 0 21 -100 "), []float64{4 * 7625}, 0, 0, []string{"1 ellipses and splines", "without tangents at their ends"}},
		{"tiny", text(circle(0, 0, 1)), []float64{math.Pi}, 0, 0, []string{"if the drawing is in inches it is 50.800 mm"}},
		{"tiny holes", text(square + circle(50, 50, 0.082)), []float64{10000 - math.Pi*0.082*0.082}, 1, 0, []string{"the smallest hole is 0.164 mm wide"}},
		{"huge", text(circle(0, 0, 20000)), []float64{math.Pi * 4e8}, 0, 0, []string{"the largest panel is 40000.000 mm"}},
		{"an array of blocks", whole("0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 HOLE 70 0 10 1 20 1 30 0 "+circle(1, 1, 2)+" 0 ENDBLK 0 ENDSEC", square+"0 INSERT 8 CUT 2 hole 10 20 20 20 70 4 71 3 44 15 45 20 "),
			[]float64{10000 - 12*math.Pi*4}, 12, 0, nil},
		{"a block turned, mirrored and stretched", whole("0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 B 70 0 10 0 20 0 30 0 "+square+" 0 ENDBLK 0 BLOCK 8 0 2 C 70 0 10 0 20 0 30 0 0 LWPOLYLINE 8 CUT 90 2 70 1 10 0 20 0 42 1 10 100 20 0 42 1 0 ENDBLK 0 ENDSEC",
			"0 INSERT 8 CUT 2 B 10 0 20 0 41 -2 42 3 50 30 0 INSERT 8 CUT 2 C 10 1000 20 0 41 1 42 0.5 50 10 "),
			[]float64{60000, math.Pi * 1250}, 0, 0, []string{"2 ellipses and splines"}},
		{"a spline that is a circle", text("0 SPLINE 8 CUT 70 1 71 2 72 12 73 9 40 0 40 0 40 0 40 1 40 1 40 2 40 2 40 3 40 3 40 4 40 4 40 4 " +
			"41 1 41 0.7071067811865476 41 1 41 0.7071067811865476 41 1 41 0.7071067811865476 41 1 41 0.7071067811865476 41 1 " +
			"10 50 20 0 10 50 20 50 10 0 20 50 10 -50 20 50 10 -50 20 0 10 -50 20 -50 10 0 20 -50 10 50 20 -50 10 50 20 0 "), []float64{math.Pi * 2500}, 0, 0, []string{"splines by"}},
		{"a spline that is a parabola", text("0 SPLINE 8 CUT 70 0 71 2 40 0 40 0 40 0 40 1 40 1 40 1 10 0 20 0 10 50 20 100 10 100 20 0 " + line(0, 0, 100, 0)), []float64{100 * 50 * 2. / 3}, 0, 0, []string{"splines by"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, err := Read(strings.NewReader(test.drawing), ReadOptions{})
			if err != nil {
				t.Fatal(err)
			}
			if len(d.Shapes) != len(test.areas) {
				t.Fatalf("%d panels, want %d: %v", len(d.Shapes), len(test.areas), d.Shapes)
			}
			holes, inner := 0, 0
			left := append([]float64(nil), test.areas...)
			for _, s := range d.Shapes {
				holes, inner = holes+len(s.Holes), inner+len(s.Inner)
				got := s.Area() / (mm * mm)
				for k, want := range left {
					if math.Abs(got-want) <= 1e-4*want {
						left = append(left[:k], left[k+1:]...)
						break
					}
				}
			}
			if len(left) > 0 {
				t.Errorf("no panel has the area %v: %v", left, d.Shapes)
			}
			if holes != test.holes || inner != test.inner {
				t.Errorf("%d holes, %d inner outlines; want %d, %d", holes, inner, test.holes, test.inner)
			}
			if len(d.Warnings) != len(test.warnings) {
				t.Fatalf("warnings %q, want %q", d.Warnings, test.warnings)
			}
			for i, w := range test.warnings {
				if !strings.Contains(d.Warnings[i], w) {
					t.Errorf("warning %q, want %q", d.Warnings[i], w)
				}
			}
		})
	}
}

// A block turned by 45° in one stretched to twice its length is a rhombus: its
// diagonals are 200·√2 and 100·√2.
func TestReadSlants(t *testing.T) {
	drawing := whole("0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 IN 70 0 10 0 20 0 "+square+" 0 ENDBLK 0 BLOCK 8 0 2 OUT 70 0 10 0 20 0 0 INSERT 8 0 2 IN 10 0 20 0 50 45 0 ENDBLK 0 ENDSEC",
		"0 INSERT 8 CUT 2 OUT 10 0 20 0 41 2 42 1 ")
	d, err := Read(strings.NewReader(drawing), ReadOptions{})
	if err != nil {
		t.Fatal(err)
	}
	s := d.Shapes[0]
	b := s.Bounds()
	if got, want := s.CutLength()/mm, 4*math.Sqrt(20000+5000); math.Abs(got-want) > 1e-3 {
		t.Errorf("%v mm around, want %v", got, want)
	}
	if got, want := b.Length(), int64(math.Round(200*math.Sqrt2*mm)); got != want {
		t.Errorf("%d long, want %d", got, want)
	}
	if got, want := b.Width(), int64(math.Round(100*math.Sqrt2*mm)); got != want {
		t.Errorf("%d wide, want %d", got, want)
	}
}

// Seen from below, x runs to the left; a mark of the order of bytes at the
// beginning, and Windows' line ends, are no matter.
func TestReadFromBelow(t *testing.T) {
	below := " 210 0 220 0 230 -1 "
	drawings := map[string]string{
		"CIRCLE":     text("0 CIRCLE 8 CUT 10 70 20 10 40 20" + below),
		"LWPOLYLINE": text("0 LWPOLYLINE 8 CUT 90 2 70 1 10 50 20 10 42 1 10 90 20 10 42 1" + below),
		"ARC":        text("0 ARC 8 CUT 10 70 20 10 40 20 50 90 51 270" + below + "0 ARC 8 CUT 10 70 20 10 40 20 50 270 51 90" + below),
		"ELLIPSE":    text("0 ELLIPSE 8 CUT 10 -70 20 10 11 20 21 0 40 1 41 0 42 6.283185307179586" + below),
		"INSERT":     whole("0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 B 70 0 10 0 20 0 "+circle(0, 0, 20)+" 0 ENDBLK 0 ENDSEC", "0 INSERT 8 CUT 2 B 10 70 20 10"+below),
	}
	for kind, drawing := range drawings {
		d, err := Read(strings.NewReader("\ufeff"+strings.ReplaceAll(drawing, "\n", "\r\n")), ReadOptions{})
		if err != nil {
			t.Errorf("%s: %v", kind, err)
			continue
		}
		want := geom.Box{Min: geom.Point{X: -90 * mm, Y: -10 * mm}, Max: geom.Point{X: -50 * mm, Y: 30 * mm}}
		if got := d.Shapes[0].Bounds(); len(d.Shapes) != 1 || got != want {
			t.Errorf("%s: %v, want %v", kind, got, want)
		}
	}
}

func TestReadIgnores(t *testing.T) {
	drawing := whole("0 SECTION 2 TABLES 0 TABLE 2 LAYER 70 2 0 LAYER 2 Axes 70 0 62 -3 0 LAYER 2 OLD 70 1 62 7 0 ENDTAB 0 ENDSEC",
		square+"0 TEXT 8 NOTES 10 0 20 0 40 5 1 sill 0 TEXT 8 NOTES 10 0 20 0 40 5 1 head "+
			strings.ReplaceAll(line(0, 0, 5, 5), "CUT", "AXES")+strings.ReplaceAll(line(0, 0, 5, 5), "CUT", "old")+
			strings.ReplaceAll(line(0, 0, 5, 5), "CUT", "Bend")+strings.ReplaceAll(line(0, 0, 5, 5), "CUT", "Defpoints")+
			"0 LINE 8 CUT 67 1 10 0 20 0 11 7 21 7 0 LINE 8 CUT 60 1 10 0 20 0 11 7 21 7 ")
	d, err := Read(strings.NewReader(drawing), ReadOptions{Skip: []string{"BEND"}})
	if err != nil {
		t.Fatal(err)
	}
	want := []string{`1 LINE on the layer "AXES"`, `1 LINE on the layer "Bend"`, `1 LINE on the layer "Defpoints"`, `1 LINE on the layer "old"`, `2 TEXT on the layer "NOTES"`}
	if got := strings.Join(d.Ignored, "\n"); got != strings.Join(want, "\n") {
		t.Errorf("ignored\n%s\nwant\n%s", got, strings.Join(want, "\n"))
	}
}

func TestReadUnits(t *testing.T) {
	with := func(code string) string {
		return strings.Replace(text(square), "$INSUNITS\n70\n4", "$INSUNITS\n70\n"+code, 1)
	}
	for code, side := range map[string]length.Length{"1": 100 * length.Inch, "4": 100 * length.Millimetre, "5": length.Metre, "14": 10 * length.Metre} {
		d, err := Read(strings.NewReader(with(code)), ReadOptions{})
		if err != nil {
			t.Fatal(err)
		}
		if got := d.Shapes[0].Bounds().Length(); got != int64(side) {
			t.Errorf("unit %s: %v long, want %v", code, length.Length(got), side)
		}
	}
	for _, code := range []string{"0", "11", "-3"} {
		if _, err := Read(strings.NewReader(with(code)), ReadOptions{}); err == nil || !strings.Contains(err.Error(), "say whether it is drawn in millimetres or inches") {
			t.Errorf("unit %s: %v", code, err)
		}
	}
	d, err := Read(strings.NewReader(with("1")), ReadOptions{Unit: length.Millimetre})
	if err != nil {
		t.Fatal(err)
	}
	if d.Unit != length.Millimetre || len(d.Warnings) != 1 || !strings.Contains(d.Warnings[0], "25.4 mm; it was read with 1 mm as asked") {
		t.Errorf("unit %v, warnings %q", d.Unit, d.Warnings)
	}
}

func TestReadRefuses(t *testing.T) {
	deep := "0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 A 70 0 10 0 20 0 0 INSERT 8 CUT 2 A 10 0 20 0 0 ENDBLK 0 ENDSEC"
	many := "0 SECTION 2 BLOCKS "
	for i := range 12 {
		many += fmt.Sprintf("0 BLOCK 8 0 2 N%d 10 0 20 0 %s 0 ENDBLK ", i, strings.Repeat(fmt.Sprintf("0 INSERT 8 0 2 N%d 10 0 20 0 ", i+1), 10))
	}
	many += "0 BLOCK 8 0 2 N12 10 0 20 0 0 ENDBLK 0 ENDSEC"
	tests := []struct{ name, drawing, want string }{
		{"empty", "", "is empty"},
		{"binary", binarySentinel + "\r\n\x1a\x00", "binary DXF"},
		{"DWG", "AC1027\x00\x00", `begins with "AC1027"`},
		{"the first bytes of a DWG", "AC10", `begins with "AC10"`},
		{"a picture", "\x89PNG\r\n", "not a group code"},
		{"a long line", "0\nSECTION\n2\n" + strings.Repeat("x", 100_000), "longer than"},
		{"cut off", strings.TrimSuffix(text(square), "0\nEOF\n"), "without the mark EOF"},
		{"no end of a section", groups("0 SECTION 2 ENTITIES " + square + " 0 EOF"), `"ENTITIES" has no end`},
		{"nothing", text(""), "no contour"},
		{"text only", text("0 TEXT 8 CUT 10 0 20 0 1 sill "), "no contour"},
		{"comma", text("0 CIRCLE 8 CUT 10 1,5 20 0 40 5 "), `"1,5" has a decimal comma`},
		{"no number", text("0 CIRCLE 8 CUT 10 NaN 20 0 40 5 "), `"NaN" is not a number`},
		{"hexadecimal", text("0 CIRCLE 8 CUT 10 0x1p4 20 0 40 5 "), "is not a number"},
		{"far", text(circle(1e9, 0, 5)), "farther than 27 km"},
		{"very far", text(circle(1e300, 0, 5)), "too large"},
		{"no radius", text(circle(0, 0, 0)), "radius 0"},
		{"open", text(line(0, 0, 100, 0) + line(100, 0.31, 100, 100) + line(100, 100, 0, 0)), `open: from its end at (100.000, 0.000) mm the nearest other end, at (100.000, 0.310) mm, is 0.310 mm away`},
		{"a stray line", text(square + line(10, 10, 20, 20)), `layer "CUT" is open`},
		{"a branch", text(line(0, 0, 100, 0) + line(100, 0, 100, 100) + line(100, 100, 0, 0) + line(0, 0, -5, 5)), "3 ends of lines meet at (0.000, 0.000) mm"},
		{"crossing panels", text(square + "0 LWPOLYLINE 8 CUT 90 3 70 1 10 50 20 50 10 200 20 50 10 200 20 60 "), "cross or touch"},
		{"a hole over the edge", text(square + circle(100, 50, 10)), "cross or touch"},
		{"holes that cross", text(square + circle(50, 50, 10) + circle(60, 50, 10)), "hole 1"},
		{"a speck", text(square + line(50, 50, 50.02, 50)), "is open"},
		{"a disc over the edge of its window", text(square + circle(50, 50, 30) + circle(70, 70, 8)), "cross or touch"},
		{"a bow", text("0 LWPOLYLINE 8 CUT 90 4 70 1 10 0 20 0 10 100 20 100 10 100 20 0 10 0 20 50 "), "meet at"},
		{"another plane", text("0 CIRCLE 8 CUT 10 0 20 0 40 5 210 1 220 0 230 0 "), "another plane"},
		{"no block", text("0 INSERT 8 CUT 2 GONE 10 0 20 0 "), `"GONE" is not in the drawing`},
		{"a block within itself", whole(deep, "0 INSERT 8 CUT 2 A 10 0 20 0 "), "within itself"},
		{"blocks beyond number", whole(many, "0 INSERT 8 CUT 2 N0 10 0 20 0 "), "more than 1000000"},
		{"an array beyond number", whole("0 SECTION 2 BLOCKS 0 BLOCK 8 0 2 A 10 0 20 0 0 ENDBLK 0 ENDSEC", "0 INSERT 8 CUT 2 A 10 0 20 0 70 30000 71 30000 "), "more than 1000000"},
		{"one fit point", text("0 SPLINE 8 CUT 70 8 71 3 11 5 21 5 11 5 21 5 "), "1 different fit points, too few"},
		{"two in a ring", text("0 SPLINE 8 CUT 70 1 71 3 11 0 21 0 11 1 21 1 11 0 21 0 "), "2 different fit points, too few"},
		{"fit points that end elsewhere", text("0 SPLINE 8 CUT 70 8 71 3 11 0 21 0 11 1 21 1 "), "is open"},
		{"too few knots", text("0 SPLINE 8 CUT 71 3 40 0 40 1 10 0 20 0 10 1 20 1 10 2 20 0 10 3 20 3 "), "2 knots for 4 control points"},
		{"edges beyond number", text(strings.Repeat(circle(0, 0, 5), 21_000)), "more than 20000 edges"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			d, err := Read(strings.NewReader(test.drawing), ReadOptions{})
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("%v, %v; want an error with %q", d, err, test.want)
			}
		})
	}
	if _, err := Read(strings.NewReader(text(square)), ReadOptions{Limit: 50}); err == nil || !strings.Contains(err.Error(), "larger than 1 MB") {
		t.Errorf("beyond the limit: %v", err)
	}
}

// Sine and cosine against the standard library, exact at quarters; the arc
// tangent as well.
func TestTrigonometry(t *testing.T) {
	for d := -720.0; d <= 720; d += 0.37 {
		sin, cos := sincos(d)
		if s, c := math.Sincos(d * math.Pi / 180); math.Abs(sin-s) > 4e-15 || math.Abs(cos-c) > 4e-15 {
			t.Errorf("%v°: %v, %v; want %v, %v", d, sin, cos, s, c)
		}
		if x := math.Abs(d); math.Abs(arctan(x)-math.Atan(x)*180/math.Pi) > 1e-12 {
			t.Errorf("arctan %v: %v", x, arctan(x))
		}
	}
	for q, want := range [][2]float64{{0, 1}, {1, 0}, {0, -1}, {-1, 0}} {
		if sin, cos := sincos(float64(90*q - 360)); sin != want[0] || cos != want[1] {
			t.Errorf("%d quarters: %v, %v", q, sin, cos)
		}
	}
}

// endless repeats a text for ever after a beginning.
type endless struct {
	begin, text string
	at          int
}

func (e *endless) Read(p []byte) (int, error) {
	n := copy(p, e.begin)
	e.begin = e.begin[n:]
	for n < len(p) {
		k := copy(p[n:], e.text[e.at:])
		n, e.at = n+k, (e.at+k)%len(e.text)
	}
	return n, nil
}

// Drawings that never end are refused, whatever they are full of.
func TestReadEndless(t *testing.T) {
	section := func(name string) string { return groups("0 SECTION 2 " + name) }
	tests := []struct{ name, begin, text, want string }{
		{"points", section("ENTITIES") + "0\nLWPOLYLINE\n", "10\n1\n20\n1\n", "more than 500000 points"},
		{"knots", section("ENTITIES") + "0\nSPLINE\n", "40\n1\n", "more than 500000 points"},
		{"vertices", section("ENTITIES") + "0\nPOLYLINE\n", "0\nVERTEX\n10\n1\n", "more than 500000 points"},
		{"lines", section("ENTITIES"), "0\nLINE\n10\n1\n", "or 100000 things"},
		{"blocks", section("BLOCKS"), "0\nBLOCK\n2\nB\n0\nENDBLK\n", "or 100000 things"},
		{"layers", section("TABLES"), "0\nLAYER\n2\nL\n62\n-1\n", "or 100000 things"},
		{"text", section("ENTITIES"), "0\nTEXT\n1\nsill\n", "larger than 20 MB"},
		{"comments", "", "999\nsill\n", "larger than 20 MB"},
		{"sections", "", groups("0 SECTION 2 THUMBNAILIMAGE 310 00 0 ENDSEC"), "larger than 20 MB"},
		{"one line", "0\nSECTION", "X", "longer than"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			if d, err := Read(&endless{begin: test.begin, text: test.text}, ReadOptions{Limit: 20_000_000}); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("%v, %v; want an error with %q", d, err, test.want)
			}
		})
	}
}
