package section

import (
	"testing"

	"sawbill/internal/length"
)

// Surface of a metre, from memory of the tables of EN 10219 and EN 10056, which
// take corner radii into account: 0.195 m² for SHS 50x50x3, 0.152 for CHS
// 48.3x3, 0.155 for L 40x40x4.
func TestGirth(t *testing.T) {
	for text, want := range map[string]float64{
		"SHS 50x50x3": 195, "CHS 48.3x3": 151.7, "L 40x40x4": 155, "flat 40x5": 90, "round bar 12": 37.7, "timber 45x95": 280, "channel 50x25x3x3": 194, "sheet 2": 0,
	} {
		s, err := Parse(text, length.MM)
		if err != nil {
			t.Fatal(err)
		}
		if got := s.Girth().Millimetres(); got < want*0.999 || got > want*1.04 {
			t.Errorf("%s: %.2f mm, want %.1f", text, got, want)
		}
	}
}
