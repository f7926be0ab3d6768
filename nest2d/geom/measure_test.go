package geom

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

func near(t *testing.T, what string, got, want float64) {
	t.Helper()
	if !(math.Abs(got-want) <= 1e-14*math.Abs(want)) {
		t.Errorf("%s: got %v, want %v", what, got, want)
	}
}

// Area of a circular segment r²/2·(θ − sin θ) and length of its arc r·θ:
// I. N. Bronshtein & K. A. Semendyayev, Handbook of Mathematics, plane
// geometry, the circle (from memory).
func TestSegment(t *testing.T) {
	for _, degrees := range []float64{0.5, 1, 5, 20, 45, 90, 120, 180, 240, 300, 350} {
		theta := degrees * math.Pi / 180
		e := edge{Point{-3e6, 7e6}, Point{1e6, 10e6}, math.Tan(theta / 4)}
		r := 5e6 / (2 * math.Sin(theta/2))
		near(t, "radius", e.radius(), r)
		near(t, "length", e.length(), r*theta)
		// The formula itself loses digits where θ is small.
		got, want := e.segment(), r*r/2*(theta-math.Sin(theta))
		if math.Abs(got-want) > 4e-16*r*r+1e-14*want {
			t.Errorf("segment of %v°: got %v, want %v", degrees, got, want)
		}
	}
}

// For a flat arc the segment is 2/3 of chord times height (Archimedes,
// Quadrature of the Parabola, to which it tends).
func TestFlatSegment(t *testing.T) {
	for _, b := range []float64{1e-8, -1e-9, 1e-12, flattest} {
		e := edge{Point{}, Point{3e6, 4e6}, b}
		near(t, "flat segment", e.segment(), 2./3*5e6*(5e6*b/2))
		near(t, "flat arc", e.length(), 5e6)
	}
}

// The two ways to compute the segment agree where they take over.
func TestSegmentContinuous(t *testing.T) {
	e, f := edge{Point{}, Point{1000, 0}, 0.5}, edge{Point{}, Point{1000, 0}, math.Nextafter(0.5, 1)}
	near(t, "segment", e.segment(), f.segment())
}

func TestAtan(t *testing.T) {
	for x := 0x1p-50; x < 0x1p21; x *= 1.37 {
		near(t, "atan", atan(x), math.Atan(x))
		near(t, "atan", atan(-x), -math.Atan(x))
	}
}

func TestClosedForms(t *testing.T) {
	const mm = 40000
	// Rectangle 100 × 50 mm with four corners rounded to radius r: the area is
	// less by (4 − π)·r², the outline shorter by (8 − 2π)·r.
	o := Rectangle(100*mm, 50*mm).Outer
	for i := 3; i >= 0; i-- {
		var err error
		if o, err = o.Rounded(i, 10*mm); err != nil {
			t.Fatal(err)
		}
	}
	const r = 10. * mm
	near(t, "rounded area", o.Area(), 5000*mm*mm-(4-math.Pi)*r*r)
	near(t, "rounded length", o.Length(), 300*mm-(8-2*math.Pi)*r)
	if got, want := o.Bounds(), (Box{Point{0, 0}, Point{100 * mm, 50 * mm}}); got != want {
		t.Errorf("bounds of the rounded rectangle %v, want %v", got, want)
	}
	if err := o.Simple(); err != nil {
		t.Error(err)
	}

	// Circle π·r² and annulus π·(R² − r²).
	ring := Shape{Outer: Hole{Point{7, 9}, 2 * mm}.Outline(), Holes: []Hole{{Point{7, 9}, mm}}}
	near(t, "annulus", ring.Area(), math.Pi*(1-0.25)*mm*mm)
	near(t, "annulus cut", ring.CutLength(), 3*math.Pi*mm)
	if ring.Pierces() != 2 || ring.Centroid() != (Point{7, 9}) {
		t.Errorf("annulus: %d pierces, centroid %v", ring.Pierces(), ring.Centroid())
	}
	near(t, "hole of two halves", Hole{Diameter: mm}.Outline().Area(), Hole{Diameter: mm}.Area())

	// Regular polygon of n corners on a circle of radius R: area
	// n/2·R²·sin(2π/n), perimeter 2n·R·sin(π/n). Its corners are rounded.
	for n := 3; n <= 12; n++ {
		const R = 1e10
		var points []Point
		for k := range n {
			a := 2 * math.Pi * float64(k) / float64(n)
			points = append(points, Point{nearest(R * math.Cos(a)), nearest(R * math.Sin(a))})
		}
		o, f := Polygon(points...), float64(n)
		if want := f / 2 * R * R * math.Sin(2*math.Pi/f); math.Abs(o.Area()/want-1) > 1e-9 {
			t.Errorf("%d corners: area %v, want %v", n, o.Area(), want)
		}
		if want := 2 * f * R * math.Sin(math.Pi/f); math.Abs(o.Length()/want-1) > 1e-9 {
			t.Errorf("%d corners: length %v, want %v", n, o.Length(), want)
		}
	}

	// The centroid of a half disk is 4r/(3π) from its diameter.
	half := Outline{{Point{-mm, 0}, 0}, {Point{mm, 0}, 1}}
	if got, want := half.Centroid(), (Point{0, nearest(4 * mm / (3 * math.Pi))}); got != want {
		t.Errorf("centroid of the half disk %v, want %v", got, want)
	}
	// A quarter of a turn later it is at the same distance; with an opening at
	// one side it moves to the other: 100 × 100 less 20 × 20 at (80, 50).
	if got, want := half.Turn(1).Centroid(), (Point{-nearest(4 * mm / (3 * math.Pi)), 0}); got != want {
		t.Errorf("centroid of the turned half disk %v, want %v", got, want)
	}
	plate := Rectangle(100, 100)
	plate.Inner = []Outline{Rectangle(20, 20).Outer.Move(70, 40)}
	if got, want := plate.Centroid(), (Point{nearest((10000*50. - 400*80) / 9600), 50}); got != want {
		t.Errorf("centroid of the plate %v, want %v", got, want)
	}
}

// Coordinates of metres in every position give areas that are exact: the
// polygon is summed in 128 bits and rounded once.
func TestAreaOfPolygonIsExact(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "n")
		coordinate := rapid.Int64Range(-(1<<40)+1, 1<<40-1)
		points := make([]Point, n)
		for i := range points {
			points[i] = Point{coordinate.Draw(t, "x"), coordinate.Draw(t, "y")}
		}
		sum := new(big.Int)
		for i, p := range points { // the shoelace formula, elsewhere and otherwise
			q := points[(i+1)%n]
			sum.Add(sum, new(big.Int).Mul(big.NewInt(p.X), big.NewInt(q.Y)))
			sum.Sub(sum, new(big.Int).Mul(big.NewInt(q.X), big.NewInt(p.Y)))
		}
		want, _ := new(big.Float).SetInt(sum).Float64()
		if got := Polygon(points...).Area(); math.Abs(got-want/2) > math.Abs(want)*0x1p-52 {
			t.Errorf("area %v, want %v", got, want/2)
		}
	})
}

// Area and length by Green's theorem over a fine polygon of points of the
// arcs, computed with the standard trigonometry from centre and angles.
func TestGreen(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := outlines(t)
		var area, length float64
		for i := range o {
			line := sampled(o.edge(i), 2000)
			for k := range line[1:] {
				p, q := line[k].minus(o[0].spot()), line[k+1].minus(o[0].spot())
				area += p.cross(q) / 2
				length += q.minus(p).length()
			}
		}
		if math.Abs(area-o.Area()) > 1e-7*length*length || math.Abs(length/o.Length()-1) > 1e-6 {
			t.Errorf("area %v, length %v; sampled %v, %v", o.Area(), o.Length(), area, length)
		}
	})
}

// sampled are n + 1 spots of an edge at equal angles.
func sampled(e edge, n int) []spot {
	p, q := e.p.spot(), e.q.spot()
	c := q.minus(p)
	line := []spot{p}
	for k := 1; k < n; k++ {
		part := float64(k) / float64(n)
		if e.b == 0 {
			line = append(line, p.toward(c, part))
			continue
		}
		theta := 4 * math.Atan(e.b)
		r := c.length() / (2 * math.Sin(theta/2)) // below 0 for clockwise arcs
		heading := math.Atan2(c.y, c.x) - theta/2
		l := 2 * r * math.Sin(part*theta/2) // the chord so far
		a := heading + part*theta/2
		line = append(line, p.toward(spot{math.Cos(a), math.Sin(a)}, l))
	}
	return append(line, q)
}

// The box holds all sampled spots, and reaches no farther than they do.
func TestBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := outlines(t)
		lo, hi := spot{math.Inf(1), math.Inf(1)}, spot{math.Inf(-1), math.Inf(-1)}
		for i := range o {
			for _, s := range sampled(o.edge(i), 2000) {
				lo = spot{min(lo.x, s.x), min(lo.y, s.y)}
				hi = spot{max(hi.x, s.x), max(hi.y, s.y)}
			}
		}
		box, size := o.Bounds(), hi.minus(lo).length()
		for _, pair := range [][2]float64{
			{lo.x, float64(box.Min.X)}, {lo.y, float64(box.Min.Y)},
			{float64(box.Max.X), hi.x}, {float64(box.Max.Y), hi.y},
		} {
			if excess := pair[0] - pair[1]; excess < -0.501 || excess > 0.501+1e-6*size {
				t.Fatalf("box %v, sampled %v to %v", box, lo, hi)
			}
		}
	})
}
