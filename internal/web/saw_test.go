package web

import (
	"testing"

	"sawbill/internal/job"
)

// TestOutline: 45 degrees go as far along as the piece is high; both of one sign
// make a trapezoid with its longer edge at the foot, or at the top where both are
// negative; one of each a parallelogram.
func TestOutline(t *testing.T) {
	for _, c := range []struct {
		left, right int64
		want        string
	}{
		{0, 0, ""},
		{45_000, 45_000, "M41.0 12 L259.0 12 L295.0 48 L5.0 48 Z"},
		{-45_000, -45_000, "M5.0 12 L295.0 12 L259.0 48 L41.0 48 Z"},
		{45_000, -45_000, "M41.0 12 L295.0 12 L259.0 48 L5.0 48 Z"},
		{0, 45_000, "M5.0 12 L259.0 12 L295.0 48 L5.0 48 Z"},
	} {
		if got := outlineOf(job.Piece{Left: c.left, Right: c.right}); got != c.want {
			t.Errorf("%d, %d: %s, want %s", c.left, c.right, got, c.want)
		}
	}
}
