package dxf

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbill/nest2d/geom"
)

func written(t testing.TB, s geom.Shape, o Options) []byte {
	t.Helper()
	var out bytes.Buffer
	if err := Write(&out, s, o); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// python finds an interpreter with ezdxf; that of the system may have it where
// the first one does not.
func python(t *testing.T) string {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(name, "-c", "import ezdxf").Run() == nil {
			return name
		}
	}
	t.Skip("NOT READ BY ezdxf: no python3 has it; on Debian install python3-ezdxf")
	return ""
}

type seen struct {
	Version                           string
	Unit                              int
	Faults, Layers, Defined           []string
	Circles, Contours, Strokes, Other int
	Area, Length                      float64
	Box                               [4]float64
}

// read lets ezdxf read drawings.
func read(t *testing.T, drawings [][]byte) []seen {
	interpreter := python(t)
	folder := t.TempDir()
	var names strings.Builder
	for i, d := range drawings {
		name := filepath.Join(folder, fmt.Sprintf("%d.dxf", i))
		if err := os.WriteFile(name, d, 0o600); err != nil {
			t.Fatal(err)
		}
		fmt.Fprintln(&names, name)
	}
	cmd := exec.Command(interpreter, "-W", "ignore", "testdata/oracle.py")
	var errs bytes.Buffer
	cmd.Stdin, cmd.Stderr = strings.NewReader(names.String()), &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, errs.String())
	}
	var all []seen
	lines := bufio.NewScanner(bytes.NewReader(out))
	lines.Buffer(nil, 1<<20)
	for lines.Scan() {
		var s seen
		if err := json.Unmarshal(lines.Bytes(), &s); err != nil {
			t.Fatal(err)
		}
		all = append(all, s)
	}
	if len(all) != len(drawings) {
		t.Fatalf("%d answers to %d drawings", len(all), len(drawings))
	}
	return all
}

// ezdxf (a reader of DXF that is not ours) reads panels in every manner of
// writing, has nothing to complain of or to mend, and measures what we do.
func TestEzdxfReadsWhatIsWritten(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 2024))
	manners := []Options{{}, {}, {}, {Inches: true}, {R12: true}, {InsideOutside: true}, {InsideOutside: true, Inches: true, R12: true}}
	shapes := []geom.Shape{skin()}
	options := []Options{{InsideOutside: true, Engrave: true, Mark: "SKIN-01"}}
	for i := range 500 {
		shapes = append(shapes, panel(r, math.Exp(r.Float64()*math.Log(50))*50*mm))
		options = append(options, manners[i%len(manners)])
	}
	var drawings [][]byte
	for i, s := range shapes {
		drawings = append(drawings, written(t, s, options[i]))
	}
	for i, got := range read(t, drawings) {
		s, o := shapes[i], options[i]
		version, unit, size := "AC1015", 4, float64(millimetre)
		if o.Inches {
			unit, size = 1, inch
		}
		if o.R12 {
			version, unit = "AC1009", 0
		}
		if got.Version != version || got.Unit != unit {
			t.Errorf("drawing %d: version %s, unit %d; want %s, %d", i, got.Version, got.Unit, version, unit)
		}
		if len(got.Faults) > 0 {
			t.Errorf("drawing %d: %q", i, got.Faults)
		}
		if got.Circles != len(s.Holes) || got.Contours != 1+len(s.Inner) || got.Other != 0 || (got.Strokes > 0) != o.Engrave {
			t.Errorf("drawing %d: %d circles, %d contours, %d strokes, %d others; want %d, %d", i, got.Circles, got.Contours, got.Strokes, got.Other, len(s.Holes), 1+len(s.Inner))
		}
		layers := []string{LayerCut}
		if o.InsideOutside {
			layers = []string{LayerInside, LayerOutside}
			if s.Pierces() == 1 {
				layers = []string{LayerOutside}
			}
		}
		if o.Engrave {
			layers = append(layers, LayerEngrave)
		}
		if !slices.Equal(got.Layers, layers) {
			t.Errorf("drawing %d: layers %q, want %q", i, got.Layers, layers)
		}
		near := func(what string, got, want, scale float64) {
			if !(math.Abs(got-want) <= 1e-6*scale) {
				t.Errorf("drawing %d: %s %v, ours %v", i, what, got, want)
			}
		}
		near("area", got.Area, s.Area()/(size*size), s.Area()/(size*size))
		near("length", got.Length, s.CutLength()/size, s.CutLength()/size)
		b := s.Bounds()
		for k, v := range []int64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y} {
			// Bounds are rounded to half a unit, 1.25e-5 mm.
			near("extent", got.Box[k], float64(v)/size, float64(b.Length())/size+13)
		}
	}
}

// An opening that is drawn as a circle of arcs is a true circle.
func TestWriteCircles(t *testing.T) {
	h := geom.Hole{Center: geom.Point{X: 30 * mm, Y: 40 * mm}, Diameter: 20 * mm}
	at := func(x, y int64) geom.Point { return geom.Point{X: x * mm, Y: y * mm} }
	quarter := math.Tan(math.Pi / 8)
	for name, o := range map[string]geom.Outline{
		"halves":   h.Outline(),
		"reversed": h.Outline().Reverse(),
		"quarters": {{Point: at(40, 40), Bulge: quarter}, {Point: at(30, 50), Bulge: quarter}, {Point: at(20, 40), Bulge: quarter}, {Point: at(30, 30), Bulge: quarter}},
	} {
		arcs, hole := geom.Rectangle(100*mm, 100*mm), geom.Rectangle(100*mm, 100*mm)
		arcs.Inner, hole.Holes = []geom.Outline{o}, []geom.Hole{h}
		if !bytes.Equal(written(t, arcs, Options{}), written(t, hole, Options{})) {
			t.Errorf("%s are not written as a hole", name)
		}
	}
	lens := geom.Rectangle(100*mm, 100*mm)
	lens.Inner = []geom.Outline{{{Point: at(40, 40), Bulge: 0.9}, {Point: at(20, 40), Bulge: 0.9}}}
	if got := bytes.Count(written(t, lens, Options{}), []byte("CIRCLE")); got != 0 {
		t.Errorf("a lens is written as %d circles", got)
	}
}

func TestWriteRefuses(t *testing.T) {
	eight := geom.Shape{Outer: geom.Polygon(geom.Point{}, geom.Point{X: 100 * mm, Y: 100 * mm}, geom.Point{X: 100 * mm}, geom.Point{Y: 100 * mm})}
	twice := geom.Rectangle(100*mm, 100*mm)
	twice.Holes = []geom.Hole{{Center: geom.Point{X: 50 * mm, Y: 50 * mm}, Diameter: 5 * mm}, {Center: geom.Point{X: 50 * mm, Y: 50 * mm}, Diameter: 5 * mm}}
	beyond := geom.Rectangle(100*mm, 100*mm)
	beyond.Holes = []geom.Hole{{Center: geom.Point{X: 150 * mm, Y: 50 * mm}, Diameter: 5 * mm}}
	tests := []struct {
		name string
		s    geom.Shape
		o    Options
		want string
	}{
		{"nothing", geom.Shape{}, Options{}, "encloses nothing"},
		{"crossing itself", eight, Options{}, "meet at (50.000, 50.000)"},
		{"a hole twice", twice, Options{}, "hole 1 at (50.000, 50.000) mm and hole 2"},
		{"a hole outside", beyond, Options{}, "not within the outer outline"},
		{"no mark", geom.Rectangle(100*mm, 100*mm), Options{Engrave: true}, "nothing to engrave"},
		{"a foreign letter", geom.Rectangle(100*mm, 100*mm), Options{Engrave: true, Mark: "TÜR"}, `"TÜR" has the character 'Ü'`},
		{"no room", geom.Rectangle(20*mm, 5*mm), Options{Engrave: true, Mark: "SKIN"}, "no place on the panel"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			var out bytes.Buffer
			err := Write(&out, test.s, test.o)
			if err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("%v, want one with %q", err, test.want)
			}
			if out.Len() > 0 {
				t.Errorf("%d bytes were written", out.Len())
			}
		})
	}
}

// The mark is clear of every cut, and no stroke lies on another.
func TestEngravedIsClear(t *testing.T) {
	var marks strings.Builder
	for r := range glyphs {
		if r != ' ' {
			marks.WriteRune(r)
		}
	}
	letters := []rune(marks.String())
	slices.Sort(letters)
	s := skin()
	for chunk := range slices.Chunk(letters, 8) {
		strokes, err := engraved(s, string(chunk))
		if err != nil {
			t.Fatal(err)
		}
		type step [2]geom.Point
		drawn := map[step]bool{}
		for _, line := range strokes {
			for i, p := range line {
				if s.Contains(p) != geom.Inside || s.Outer.Distance(p) < 2*cells[len(cells)-1] {
					t.Errorf("%q: %v is not clear", string(chunk), p)
				}
				if i == 0 {
					continue
				}
				// The smallest steps along the grid tell strokes that overlap.
				q := line[i-1]
				n := gcd(p.X-q.X, p.Y-q.Y) / gcdOf(strokes)
				for k := range n {
					a := geom.Point{X: q.X + (p.X-q.X)/n*k, Y: q.Y + (p.Y-q.Y)/n*k}
					b := geom.Point{X: q.X + (p.X-q.X)/n*(k+1), Y: q.Y + (p.Y-q.Y)/n*(k+1)}
					if drawn[step{a, b}] || drawn[step{b, a}] {
						t.Errorf("%q: from %v to %v twice", string(chunk), a, b)
					}
					drawn[step{a, b}] = true
				}
			}
		}
	}
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return max(a, -a)
}

// gcdOf is the size of the grid that strokes lie on.
func gcdOf(strokes [][]geom.Point) int64 {
	cell := int64(0)
	for _, line := range strokes {
		for i := range line[1:] {
			cell = gcd(cell, gcd(line[i+1].X-line[i].X, line[i+1].Y-line[i].Y))
		}
	}
	return cell
}
