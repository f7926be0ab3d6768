package geom

import (
	"errors"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestSimple(t *testing.T) {
	const mm = 40000
	square := Rectangle(100*mm, 100*mm).Outer
	circle := Hole{Point{50 * mm, 50 * mm}, 20 * mm}.Outline()
	tests := []struct {
		name string
		o    Outline
		want string // part of the fault, empty for none
	}{
		{"square", square, ""},
		{"square clockwise", square.Reverse(), ""},
		{"circle", circle, ""},
		{"lens", Outline{{Point{0, 0}, 0.1}, {Point{100, 0}, 0.1}}, ""},
		{"crescent", Outline{{Point{0, 0}, 0.9}, {Point{100, 0}, -0.1}}, ""},
		{"bow tie", Polygon(Point{0, 0}, Point{10 * mm, 10 * mm}, Point{10 * mm, 0}, Point{0, 10 * mm}),
			"edge 1 of the outer outline, which starts at (0.000, 0.000) mm, and edge 3 of the outer outline, which starts at (10.000, 0.000) mm, meet at (5.000, 5.000) mm"},
		{"vertex twice", Polygon(Point{0, 0}, Point{4, 0}, Point{2, 2}, Point{4, 4}, Point{0, 4}, Point{2, 2}), "meet at"},
		{"vertex on edge", Polygon(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{2, 0}, Point{0, 4}), "meet at"},
		{"edge there and back", Polygon(Point{0, 0}, Point{4, 0}, Point{4, 4}, Point{4, 0}, Point{0, 3}), "meet at"},
		{"spike", Polygon(Point{0, 0}, Point{8, 0}, Point{4, 0}, Point{4, 4}), "meet at"},
		{"zero edge", Polygon(Point{0, 0}, Point{4, 0}, Point{4, 0}, Point{4, 4}), "edge 2 of the outer outline, which starts at (0.000, 0.000) mm, has no length"},
		{"two straight edges", Polygon(Point{0, 0}, Point{4, 0}), "2 edges and encloses nothing"},
		{"arc there and back", Outline{{Point{0, 0}, 0.3}, {Point{100, 0}, -0.3}}, "meet at"},
		{"empty", nil, "0 edges"},
		{"not a number", Outline{{Point{0, 0}, math.NaN()}, {Point{4, 0}, 0}, {Point{4, 4}, 0}}, "bulge NaN"},
		{"infinite", Outline{{Point{0, 0}, math.Inf(-1)}, {Point{4, 0}, 0}, {Point{4, 4}, 0}}, "bulge -Inf"},
		{"far", Polygon(Point{0, 0}, Point{1 << 41, 0}, Point{4, 4}), "too far"},
		{"far arc", Outline{{Point{0, 0}, 1000}, {Point{1 << 38, 0}, 0}, {Point{4, 4}, 0}}, "too far"},
		// An arc of radius 5 about (0, 0) from (-4, -3) to (4, -3): its lowest
		// point is (0, -5). tan of a quarter of twice atan(4/3) is 1/2.
		{"arc touches edge from above", Outline{{Point{-4, -3}, 0.5}, {Point{4, -3}, 0}, {Point{9, -5}, 0}, {Point{-9, -5}, 0}}, "meet at"},
		{"arc above the edge", Outline{{Point{-4, -3}, 0.5}, {Point{4, -3}, 0}, {Point{9, -6}, 0}, {Point{-9, -6}, 0}}, ""},
		{"arc within a hair", Outline{{Point{-4, -3}, math.Nextafter(0.5, 0)}, {Point{4, -3}, 0}, {Point{9, -5}, 0}, {Point{-9, -5}, 0}}, ""},
		{"arc beyond by a hair", Outline{{Point{-4, -3}, math.Nextafter(0.5, 1)}, {Point{4, -3}, 0}, {Point{9, -5}, 0}, {Point{-9, -5}, 0}}, "meet at"},
		// Two circles of radius 5 about (0, 0) and (10, 0) touch at (5, 0).
		{"arcs touch", Outline{{Point{3, -4}, 0.5}, {Point{3, 4}, 0}, {Point{7, 4}, 0.5}, {Point{7, -4}, 0}}, "meet at"},
		{"arcs apart", Outline{{Point{3, -4}, 0.5}, {Point{3, 4}, 0}, {Point{8, 4}, 0.5}, {Point{8, -4}, 0}}, ""},
		{"arcs apart by a hair", Outline{{Point{3, -4}, 0.5}, {Point{3, 4}, 0}, {Point{7, 4}, math.Nextafter(0.5, 0)}, {Point{7, -4}, 0}}, ""},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			for name, o := range map[string]Outline{"given": test.o, "moved": test.o.Move(-7, 9)} {
				err := o.Simple()
				if test.want == "" {
					if err != nil {
						t.Errorf("%s: %v", name, err)
					}
					continue
				}
				var fault *Fault
				if !errors.As(err, &fault) || name == "given" && !strings.Contains(err.Error(), test.want) {
					t.Errorf("%s: got %v, want %q", name, err, test.want)
				}
			}
		})
	}
}

func TestShapeSimple(t *testing.T) {
	square := func(x, y, size int64) Outline { return Rectangle(size, size).Outer.Move(x, y) }
	tests := []struct {
		name  string
		shape Shape
		want  string
	}{
		{"plain", Shape{Outer: square(0, 0, 100), Inner: []Outline{square(10, 10, 30).Reverse()}, Holes: []Hole{{Point{60, 60}, 21}}}, ""},
		{"hole outside", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{300, 60}, 20}}}, "hole 1 at (0.008, 0.002) mm is not within the outer outline"},
		{"hole across", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{20, 20}, 4}, {Point{100, 60}, 20}}}, "and hole 2 at (0.003, 0.002) mm meet"},
		// An odd diameter: the rim is at 10.5 from the centre.
		{"hole apart by half a unit", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{11, 60}, 21}}}, ""},
		{"hole beyond by half a unit", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{10, 60}, 21}}}, "meet"},
		{"hole touches", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{10, 60}, 20}}}, "meet"},
		{"holes touch", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{20, 20}, 25}, {Point{40, 35}, 25}}}, "meet"},
		{"holes cross", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{20, 20}, 25}, {Point{40, 34}, 25}}}, "meet"},
		{"hole twice", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{20, 20}, 25}, {Point{20, 20}, 25}}}, "hole 1 at (0.001, 0.001) mm and hole 2"},
		{"hole within hole", Shape{Outer: square(0, 0, 100), Holes: []Hole{{Point{20, 20}, 25}, {Point{20, 20}, 15}}}, "hole 2 at (0.001, 0.001) mm is within hole 1"},
		{"outline within outline", Shape{Outer: square(0, 0, 100), Inner: []Outline{square(20, 20, 50), square(30, 30, 20)}}, "inner outline 2 at (0.001, 0.001) mm is within inner outline 1"},
		{"outer within inner", Shape{Outer: square(40, 40, 10), Inner: []Outline{square(20, 20, 50)}}, "is not within the outer outline"},
		{"no diameter", Shape{Outer: square(40, 40, 10), Holes: []Hole{{Point{45, 45}, 0}}}, "diameter of 0.000 mm"},
		{"no outer", Shape{Inner: []Outline{square(20, 20, 50)}}, "the outer outline has 0 edges"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			err := test.shape.Simple()
			if test.want == "" && err != nil || test.want != "" && (err == nil || !strings.Contains(err.Error(), test.want)) {
				t.Errorf("got %v, want %q", err, test.want)
			}
		})
	}
}

// A simple outline into which a crossing is planted is not simple any more.
func TestPlantedCrossings(t *testing.T) {
	planted := 0
	rapid.Check(t, func(t *rapid.T) {
		o := outlines(t)
		if o.Simple() != nil {
			t.Skip("not simple")
		}
		i := rapid.IntRange(0, len(o)-1).Draw(t, "vertex")
		bad := append(Outline{}, o...)
		switch rapid.SampledFrom([]string{"swap", "spike", "repeat", "pinch"}).Draw(t, "fault") {
		case "swap": // two ends of an edge: its neighbours or their arcs cross
			j := (i + 1) % len(o)
			if len(o) < 4 {
				t.Skip("a triangle has no crossing")
			}
			for k := range bad {
				bad[k].Bulge = 0
			}
			if bad.Simple() != nil {
				t.Skip("its polygon is not simple")
			}
			bad[i], bad[j] = bad[j], bad[i]
			// A quadrangle in convex position gets a bow; others may not.
			if !crosses(bad) {
				t.Skip("still simple")
			}
		case "spike": // to a far point and back
			far := Vertex{Point: o[i].Point.plus(Point{3e9, 1e9})}
			back := o[i]
			bad[i].Bulge = 0
			bad = append(append(append(Outline{}, bad[:i+1]...), far, back), bad[i+1:]...)
		case "repeat": // the same outline again
			bad = append(bad, o...)
		case "pinch": // one vertex moved onto another edge's end
			bad[i].Point = o[(i+2)%len(o)].Point
		}
		planted++
		if bad.Simple() == nil {
			t.Fatalf("%v is called simple", bad)
		}
	})
	if planted == 0 {
		t.Error("no crossing was planted")
	}
}

// crosses asks every pair of edges of a polygon in floats.
func crosses(o Outline) bool {
	n := len(o)
	for i := range n {
		for j := i + 2; j < n; j++ {
			if i == 0 && j == n-1 {
				continue
			}
			a, b, c, d := o[i].spot(), o[(i+1)%n].spot(), o[j].spot(), o[(j+1)%n].spot()
			if b.minus(a).cross(c.minus(a))*b.minus(a).cross(d.minus(a)) < 0 &&
				d.minus(c).cross(a.minus(c))*d.minus(c).cross(b.minus(c)) < 0 {
				return true
			}
		}
	}
	return false
}

// The sweep must find what asking all pairs finds.
func TestSweep(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 7))
	simple, tangledUp := 0, 0
	for range 600 {
		o := random(r, Point{}, 1e6)
		if r.IntN(2) == 0 { // some far less tame
			for i := range o {
				o[i].Bulge *= 3
			}
		}
		want := false
		for i := range o {
			for j := i + 1; j < len(o); j++ {
				a, b := span{index: i, e: o.edge(i)}, span{index: j, e: o.edge(j)}
				_, met := meet(a.e, b.e, joints([]ring{{line: o}}, a, b)...)
				_, again := meet(b.e, a.e, joints([]ring{{line: o}}, a, b)...)
				if met != again {
					t.Fatalf("edges %d and %d of %v meet one way only", i, j, o)
				}
				want = want || met
			}
		}
		if got := o.Simple() != nil; got != want {
			t.Fatalf("%v: fault %v, pairs say %v", o, o.Simple(), want)
		}
		if want {
			tangledUp++
		} else {
			simple++
		}
	}
	if simple < 50 || tangledUp < 50 {
		t.Errorf("%d simple, %d not: too few of one", simple, tangledUp)
	}
}
