package geom

import (
	"bufio"
	"bytes"
	"encoding/json"
	"math"
	"math/rand/v2"
	"os/exec"
	"testing"
)

// python finds an interpreter with ezdxf and shapely; that of the system may
// have them where the first one does not.
func python(t *testing.T) string {
	for _, name := range []string{"python3", "/usr/bin/python3"} {
		if exec.Command(name, "-c", "import ezdxf.math, shapely.geometry").Run() == nil {
			return name
		}
	}
	t.Skip("NOT COMPARED with ezdxf and shapely: no python3 has both; on Debian install python3-ezdxf and python3-shapely")
	return ""
}

type answer struct {
	Valid     bool
	Area      float64
	Length    float64
	Bounds    [4]float64
	Centroid  [2]float64
	Inside    []bool
	Distances [][]float64
	Gaps      [][]float64
}

// Random panels with arcs and openings against ezdxf, which reads bulges as
// DXF means them, and shapely, which measures polygons of many chords.
func TestOracle(t *testing.T) {
	interpreter := python(t)
	const size = 1e8 // 2.5 m
	r := rand.New(rand.NewPCG(2024, 11))
	var shapes []Shape
	var probes [][]Point
	var input bytes.Buffer
	for range 500 {
		s := panel(r, size)
		// Floats of the oracle keep more digits near the origin.
		b := s.Bounds()
		s = s.Move(-b.Min.X, -b.Min.Y)
		var points []Point
		for range 4 {
			points = append(points, Point{r.Int64N(b.Length()), r.Int64N(b.Width())})
		}
		shapes, probes = append(shapes, s), append(probes, points)
		line := func(o Outline) (list [][3]float64) {
			for _, v := range o {
				list = append(list, [3]float64{float64(v.X), float64(v.Y), v.Bulge})
			}
			return list
		}
		job := map[string]any{"outer": line(s.Outer)}
		inner, holes, at := [][][3]float64{}, [][3]int64{}, [][2]int64{}
		for _, o := range s.Inner {
			inner = append(inner, line(o))
		}
		for _, h := range s.Holes {
			holes = append(holes, [3]int64{h.Center.X, h.Center.Y, h.Diameter})
		}
		for _, p := range points {
			at = append(at, [2]int64{p.X, p.Y})
		}
		job["inner"], job["holes"], job["points"] = inner, holes, at
		if err := json.NewEncoder(&input).Encode(job); err != nil {
			t.Fatal(err)
		}
	}
	cmd := exec.Command(interpreter, "-W", "ignore", "testdata/oracle.py")
	var errs bytes.Buffer
	cmd.Stdin, cmd.Stderr = &input, &errs
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("%v: %s", err, errs.String())
	}
	answers := bufio.NewScanner(bytes.NewReader(out))
	answers.Buffer(nil, 1<<20)
	valid := 0
	for i, s := range shapes {
		var want answer
		if !answers.Scan() {
			t.Fatalf("%d answers to %d shapes", i, len(shapes))
		}
		if err := json.Unmarshal(answers.Bytes(), &want); err != nil {
			t.Fatal(err)
		}
		fault := s.Simple()
		if (fault == nil) != want.Valid {
			t.Errorf("shape %d: %v, the oracle says %v", i, fault, want.Valid)
			continue
		}
		if want.Valid {
			valid++
			compare(t, i, s, probes[i], want)
		}
	}
	if valid < 100 || valid > 400 {
		t.Errorf("%d of %d shapes are valid: too few of one kind", valid, len(shapes))
	}
}

// compare allows for the oracle's chords, which are off the arcs by their
// height of r·(θ/300)²/8.
func compare(t *testing.T, i int, s Shape, points []Point, want answer) {
	const chords = 300
	off := 0.0
	for _, h := range s.Holes {
		off = max(off, float64(h.Diameter)/2*math.Pow(2*math.Pi/chords, 2)/8)
	}
	for _, o := range append([]Outline{s.Outer}, s.Inner...) {
		for k := range o {
			if e := o.edge(k); e.b != 0 {
				off = max(off, e.radius()*math.Pow(4*math.Atan(e.b)/chords, 2)/8)
			}
		}
	}
	off = 1.001*off + 1 // rounding to units on either side
	check := func(what string, got, want, tolerance float64) {
		if !(math.Abs(got-want) <= tolerance) {
			t.Errorf("shape %d: %s %v, the oracle says %v", i, what, got, want)
		}
	}
	check("area", s.Area(), want.Area, off*want.Length)
	check("length", s.CutLength(), want.Length, 2e-5*want.Length)
	b, c := s.Bounds(), s.Centroid()
	for k, got := range []int64{b.Min.X, b.Min.Y, b.Max.X, b.Max.Y} {
		check("bound", float64(got), want.Bounds[k], off)
	}
	check("centroid x", float64(c.X), want.Centroid[0], off)
	check("centroid y", float64(c.Y), want.Centroid[1], off)
	rims := s.rims()
	for k, p := range points {
		least := math.Inf(1)
		for j, rim := range rims {
			least = min(least, want.Distances[k][j])
			if rim.Kind != HoleContour {
				check("distance", float64(rim.line.Distance(p)), want.Distances[k][j], off)
			}
		}
		if got := s.Contains(p); least > off && (got == Inside) != want.Inside[k] {
			t.Errorf("shape %d: %v at %v, the oracle says %v", i, got, p, want.Inside[k])
		}
	}
	for j, r := range rims {
		for k := j + 1; k < len(rims); k++ {
			web, _ := r.web(rims[k], math.Inf(1))
			check("web", float64(web.Width), want.Gaps[j][k], 2*off)
		}
	}
}
