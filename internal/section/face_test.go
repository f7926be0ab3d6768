package section

import (
	"testing"

	"sawbill/internal/length"
)

// TestFaces: the two sizes that a mitre can be laid across, and their names.
func TestFaces(t *testing.T) {
	const mm = length.Millimetre
	for _, c := range []struct {
		text         string
		narrow, wide length.Length
		names        [2]string
	}{
		{"SHS 25x25x2", 25 * mm, 25 * mm, [2]string{}},
		{"CHS 33.7x3", 337 * mm / 10, 337 * mm / 10, [2]string{}},
		{"RHS 20x40x2", 20 * mm, 40 * mm, [2]string{"narrow side", "wide side"}},
		{"flat 40x5", 5 * mm, 40 * mm, [2]string{"edge", "wide side"}},
		{"timber 45x70", 45 * mm, 70 * mm, [2]string{"narrow side", "wide side"}},
		{"L 40x40x4", 40 * mm, 40 * mm, [2]string{"lying leg", "standing leg"}},
		{"L 60x40x5", 40 * mm, 60 * mm, [2]string{"short leg", "long leg"}},
		{"channel 50x25x3x3", 25 * mm, 50 * mm, [2]string{"flange", "web"}},
	} {
		s, err := Parse(c.text, length.MM)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range Faces {
			want := [2]length.Length{c.narrow, c.wide}[f]
			if s.Across(f) != want || s.FaceName(f) != c.names[f] {
				t.Errorf("%s: %s across %v, want %s across %v", s, s.FaceName(f), s.Across(f), c.names[f], want)
			}
		}
	}
}
