package drawing

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// Lines a distance apart cover an area of their length times that distance, up
// to the ends: the trapezium rule. Area by the shoelace formula (Gauss).
func TestHatchCoversTheOutline(t *testing.T) {
	concave := []Point{{0, 0}, {40, 0}, {40, 30}, {20, 10}, {0, 30}}
	rapid.Check(t, func(t *rapid.T) {
		dx, dy := rapid.Float64Range(-50, 50).Draw(t, "dx"), rapid.Float64Range(-50, 50).Draw(t, "dy")
		outline := shift(concave, dx, dy)
		const spacing = 0.05
		var p Page
		p.Hatch(outline, spacing, Pen{Width: Hair})
		sum := 0.0
		for _, it := range p.Items {
			l := it.(Line)
			a, b := l.Points[0], l.Points[1]
			sum += math.Hypot(b.X-a.X, b.Y-a.Y)
			// A line may run along an edge: on the grid, to either side of it.
			m := Point{(a.X + b.X) / 2, (a.Y + b.Y) / 2}
			if !inside(outline, Point{m.X - 0.002, m.Y - 0.002}) && !inside(outline, Point{m.X + 0.002, m.Y + 0.002}) {
				t.Fatalf("a hatch line runs outside, at %v", m)
			}
		}
		if want := shoelace(outline); math.Abs(sum*spacing-want) > want*0.005 {
			t.Fatalf("hatched %v, area %v", sum*spacing, want)
		}
	})
}

func shoelace(ps []Point) float64 {
	s := 0.0
	for i, a := range ps {
		b := ps[(i+1)%len(ps)]
		s += a.X*b.Y - b.X*a.Y
	}
	return math.Abs(s) / 2
}

func inside(ps []Point, q Point) bool {
	in := false
	for i, a := range ps {
		b := ps[(i+1)%len(ps)]
		if (a.Y > q.Y) != (b.Y > q.Y) && q.X < a.X+(b.X-a.X)*(q.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

func TestHatchOfNothing(t *testing.T) {
	var p Page
	p.Hatch(nil, 1, Pen{})
	p.Hatch(Rectangle(0, 0, 0, 5), 1, Pen{})
	p.Hatch(Rectangle(0, 0, 5, 5), 0, Pen{})
	for _, it := range p.Items {
		l := it.(Line)
		if l.Points[0] != l.Points[1] {
			t.Error("lines in an empty outline")
		}
	}
}
