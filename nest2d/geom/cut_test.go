package geom

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// TestPart: the two parts of an outline make up the whole, each lies on its side
// of the line, and both are simple.
func TestPart(t *testing.T) {
	parted := 0
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 9).Draw(t, "corners")
		var o Outline
		for i := range n { // seen from the middle in turn, so that it is simple
			r := float64(rapid.Int64Range(20_000, 4_000_000).Draw(t, "radius"))
			a := 2 * math.Pi * (float64(i) + rapid.Float64Range(0.1, 0.9).Draw(t, "turn")) / float64(n)
			o = append(o, Vertex{Point: Point{int64(r * math.Cos(a)), int64(r * math.Sin(a))}})
		}
		if o.Simple() != nil || !o.Anticlockwise() {
			return
		}
		across, at := rapid.Bool().Draw(t, "across"), rapid.Int64Range(-1_000_000, 1_000_000).Draw(t, "at")
		low, err := o.Part(across, at, false)
		high, other := o.Part(across, at, true)
		if (err == nil) != (other == nil) {
			t.Fatalf("%v and %v", err, other)
		}
		if err != nil {
			return
		}
		parted++
		if low.Simple() != nil || high.Simple() != nil || !low.Anticlockwise() || !high.Anticlockwise() {
			t.Fatalf("%v and %v are no outlines", low, high)
		}
		// Two corners are rounded by half a unit along the line at most.
		if d := math.Abs(low.Area() + high.Area() - o.Area()); d > 20_000_000 {
			t.Errorf("the areas differ by %v", d)
		}
		b, c, whole := low.Bounds(), high.Bounds(), o.Bounds()
		if across && (b.Max.Y != at || c.Min.Y != at || b.Min.Y != whole.Min.Y || c.Max.Y != whole.Max.Y) ||
			!across && (b.Max.X != at || c.Min.X != at || b.Min.X != whole.Min.X || c.Max.X != whole.Max.X) {
			t.Errorf("%v and %v of %v at %d", b, c, whole, at)
		}
	})
	if parted == 0 {
		t.Error("nothing was ever parted: the test tests nothing")
	}
}

// Outlines that cannot be parted so, and a rounded one that can.
func TestPartRefused(t *testing.T) {
	square := Polygon(Point{0, 0}, Point{100, 0}, Point{100, 100}, Point{0, 100})
	comb := Polygon(Point{0, 0}, Point{300, 0}, Point{300, 100}, Point{200, 100}, Point{200, 50}, Point{100, 50}, Point{100, 100}, Point{0, 100})
	round, err := square.Rounded(2, 30)
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		o      Outline
		across bool
		at     int64
		want   string
	}{
		{square, true, 200, "the line does not cross the panel"},
		{square, true, 100, "the line runs through the corner at (0.003, 0.003) mm: move it a little"},
		{comb, true, 75, "the line parts the panel into more than two: move it, or part it elsewhere"},
		{round, true, 80, "the line meets the arc that starts at (0.003, 0.002) mm: move it off the rounding"},
	} {
		if _, err := c.o.Part(c.across, c.at, false); err == nil || err.Error() != c.want {
			t.Errorf("%v at %d: %v, want %s", c.o, c.at, err, c.want)
		}
	}
	high, err := round.Part(true, 60, true)
	if err != nil || math.Abs(high.Area()-(round.Area()-6000)) > 1e-9 {
		t.Errorf("%v, %v", high, err)
	}
}
