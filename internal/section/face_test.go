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

// TestTurn: a bar of 40 x 20 on edge, its wide side in front, is turned about the line
// through the middle of that side: what was up is down, what was at the back stays. The
// legs of an angle are exchanged by the only turn that leaves it where it was.
func TestTurn(t *testing.T) {
	for _, c := range []struct {
		text   string
		face   Face
		angle  int64
		want   Face
		angled int64
	}{
		{"SHS 25x25x2", Narrow, 45_000, Narrow, 45_000},
		{"RHS 40x20x2", Narrow, 45_000, Narrow, 45_000},
		{"RHS 40x20x2", Wide, 45_000, Wide, -45_000},
		{"flat 40x5", Wide, -30_000, Wide, 30_000},
		{"channel 50x25x3x3", Wide, 45_000, Wide, -45_000},
		{"channel 50x25x3x3", Narrow, 45_000, Narrow, 45_000},
		{"L 40x40x4", Narrow, 45_000, Wide, 45_000},
		{"L 40x40x4", Wide, -45_000, Narrow, -45_000},
		{"L 40x40x4", Narrow, 0, Narrow, 0},
	} {
		s, err := Parse(c.text, length.MM)
		if err != nil {
			t.Fatal(err)
		}
		if f, a := s.Turn(c.face, c.angle); f != c.want || a != c.angled {
			t.Errorf("%s, %d on %v: turned %d on %v", s, c.angle, c.face, a, f)
		}
	}
}
