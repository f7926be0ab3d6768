package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// flattened tells what is wrong with a polygon in place of a simple outline.
// Sixteenths of its edges are asked for exactly, both scaled by 16; the error
// return tells that the polygon overlaps itself, where only its size is known.
func flattened(o Outline, points []Point, tolerance int64, side Side) (fault string, overlaps bool) {
	polygon := Polygon(points...)
	area, got := o.Area(), polygon.Area()
	if area < 0 {
		area, got = -area, -got
	}
	if slack := 1e-14 * area; side == Outward && got < area-slack || side == Inward && got > area+slack {
		return "the area is on the wrong side", false
	}
	if most := 1.0001 * o.Length() * float64(tolerance); math.Abs(got-area) > most {
		return "the area is far off", false
	}
	for i := range o {
		for _, s := range sampled(o.edge(i), 30) {
			// to the nearest unit, so by half a unit off, and Distance as much
			if p := s.point(); polygon.Distance(p) > tolerance+1 {
				return "the outline is farther than the tolerance from the polygon", false
			}
		}
	}
	if polygon.Simple() != nil {
		overlaps = true
	}
	const k = 16
	fine := o.each(func(p Point) Point { return Point{k * p.X, k * p.Y} }, 1)
	for i := range polygon {
		e := polygon.edge(i)
		c := e.chord()
		for t := int64(0); t < k; t++ {
			p := Point{k*e.p.X + t*c.X, k*e.p.Y + t*c.Y}
			if fine.Distance(p) > k*tolerance {
				return "the polygon is farther than the tolerance from the outline", false
			}
			where := fine.Contains(p)
			if !overlaps && side == Outward && where == Inside {
				return "the polygon cuts into the outline", false
			}
			if !overlaps && side == Inward && where == Outside {
				return "the polygon sticks out of the outline", false
			}
		}
	}
	return "", overlaps
}

func TestFlatten(t *testing.T) {
	whole, overlapping := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		o := outlines(t)
		if o.Simple() != nil {
			t.Skip("not simple")
		}
		if rapid.Bool().Draw(t, "clockwise") {
			o = o.Reverse()
		}
		size := o.Bounds().Length()
		tolerance := rapid.Int64Range(max(LeastTolerance, size/20000), max(LeastTolerance, size/20)).Draw(t, "tolerance")
		for _, side := range []Side{Outward, Inward} {
			points, err := o.Flatten(tolerance, side)
			if err != nil {
				t.Fatal(err)
			}
			fault, overlaps := flattened(o, points, tolerance, side)
			if fault != "" {
				t.Fatalf("side %d, tolerance %d, of %v: %s: %v", side, tolerance, o, fault, points)
			}
			if overlaps {
				overlapping++
			} else {
				whole++
			}
		}
	})
	if whole < 10*overlapping || whole == 0 {
		t.Errorf("%d polygons, and %d that overlap themselves", whole, overlapping)
	}
}

// Circles of every small size: the polygons are simple and on their side.
func TestFlattenCircles(t *testing.T) {
	for _, tolerance := range []int64{4, 5, 10, 100} {
		for d := int64(2); d < 400; d += 2 {
			o := Hole{Point{3, 5}, d}.Outline()
			for _, side := range []Side{Outward, Inward} {
				points, err := o.Flatten(tolerance, side)
				if err != nil {
					t.Fatal(err)
				}
				if len(points) < 3 && side == Inward && d <= 2*tolerance {
					continue // thinner than the tolerance
				}
				if fault, overlaps := flattened(o, points, tolerance, side); fault != "" || overlaps {
					t.Fatalf("diameter %d, side %d, tolerance %d: %s (overlaps: %v): %v", d, side, tolerance, fault, overlaps, points)
				}
			}
		}
	}
}

// Straight outlines stay as they are.
func TestFlattenStraight(t *testing.T) {
	o := Rectangle(100, 50).Outer
	for _, side := range []Side{Outward, Inward} {
		points, err := o.Flatten(4, side)
		if err != nil || !Polygon(points...).Equal(o) {
			t.Errorf("%v becomes %v, %v", o, points, err)
		}
	}
}

// The number of points follows from the height of arcs above their chords,
// r·(1 − cos(π/n)): a circle of radius 100 mm to 0.1 mm takes about
// π/√(2·0.1/100) = 70 chords, a power of two of which is 128.
func TestFlattenSparingly(t *testing.T) {
	o := Hole{Point{}, 200 * 40000}.Outline()
	for _, side := range []Side{Outward, Inward} {
		points, err := o.Flatten(4000, side)
		if err != nil || len(points) > 130 {
			t.Errorf("side %d: %d points, %v", side, len(points), err)
		}
	}
}

func TestFlattenFaults(t *testing.T) {
	o := Hole{Point{}, 200}.Outline()
	if _, err := o.Flatten(3, Outward); err == nil {
		t.Error("a tolerance of 3 is accepted")
	}
	for _, bad := range []Outline{nil, {{Point{}, math.NaN()}, {Point{1, 1}, 1}}, {{Point{}, 1e6}, {Point{1 << 39, 1}, 1e6}}, Polygon(Point{}, Point{}, Point{1, 1})} {
		if points, err := bad.Flatten(4, Inward); err == nil {
			t.Errorf("%v is flattened to %v", bad, points)
		}
	}
}

// Lines beside the circle of radius 65 about the origin.
func TestClears(t *testing.T) {
	tests := []struct {
		p, q Point
		want bool
	}{
		{Point{65, -50}, Point{65, 50}, true},   // touches
		{Point{65, -50}, Point{64, 50}, false},  // by less than a unit
		{Point{64, 12}, Point{65, 50}, true},    // begins outside, 64² + 12² = 65² + 15
		{Point{63, 16}, Point{80, 16}, true},    // begins on it and leaves
		{Point{63, 16}, Point{50, 80}, true},    // 63·13 < 16·64
		{Point{63, 16}, Point{60, 26}, false},   // 63·3 > 16·10
		{Point{60, 0}, Point{70, 0}, false},     // begins within
		{Point{70, 0}, Point{60, 0}, false},     // ends within
		{Point{-100, 0}, Point{100, 0}, false},  // across
		{Point{-100, 66}, Point{-90, 0}, true},  // beyond the end it would
		{Point{100, 0}, Point{200, 0}, true},    // away from it
		{Point{-13, 65}, Point{13, 65}, true},   // touches
		{Point{-13, 64}, Point{-14, 64}, true},  // outside, 13² + 64² = 65² + 40
		{Point{-39, 52}, Point{39, 52}, false},  // a chord
		{Point{-39, 52}, Point{-91, 13}, true},  // the tangent at (−39, 52)
		{Point{-39, 52}, Point{-91, 12}, false}, // a little inwards
	}
	for _, e := range []edge{{Point{-65, 0}, Point{65, 0}, 1}, {Point{-65, 0}, Point{65, 0}, -1}} {
		g := e.curve(Point{})
		for _, test := range tests {
			if got := g.clears(test.p, test.q); got != test.want {
				t.Errorf("%v to %v: %v, want %v", test.p, test.q, got, test.want)
			}
		}
	}
}
