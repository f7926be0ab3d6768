package geom

import (
	"math"
	"testing"
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
