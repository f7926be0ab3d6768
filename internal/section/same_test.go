package section

import (
	"testing"

	"sawbill/internal/length"
)

func TestSame(t *testing.T) {
	for _, c := range []struct {
		a, b string
		same bool
	}{
		{"SHS 25.4x25.4x3.175 mm", "sq tube 1x1x1/8 in", true},
		{"SHS 25.4x25.4x3.175 mm", `sq tube 1" x 1" x 0.125"`, true},
		{"flat 50.8x6.35 mm", "flat 2x1/4 in", true},
		{"sheet 1.5875 mm", "sheet 1/16 in", true},
		{"timber 38.1x88.9 mm", "timber 2x4 nominal", true},
		{"SHS 25x25x3 mm", "sq tube 1x1x1/8 in", false},
		{"SHS 50x50x3 mm", "SHS 50x50x3 mm EN 10210", false},
		{"SHS 25x25x2 mm", "SHS 25x25x2.5 mm", false},
		{"XPS 50 mm", "EPS 50 mm", false},
	} {
		a, err := Parse(c.a, length.MM)
		if err != nil {
			t.Fatal(err)
		}
		b, err := Parse(c.b, length.MM)
		if err != nil {
			t.Fatal(err)
		}
		if a.Same(b) != c.same || b.Same(a) != c.same {
			t.Errorf("%s and %s: same is %v", a, b, a.Same(b))
		}
	}
}
