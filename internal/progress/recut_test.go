package progress

import (
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

func sectionOf(t *testing.T, text string) section.Section {
	s, err := section.Parse(text, length.MM)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// TestRecut: what a mitred piece that came out wrong can still become, worked out by
// hand for RHS 40x20 at 45° with a kerf of 3 mm (4.243 mm along the bar).
func TestRecut(t *testing.T) {
	const mm = length.Millimetre
	const n, w = section.Narrow, section.Wide
	rect, angle := sectionOf(t, "RHS 40x20x2"), sectionOf(t, "L 40x40x4")
	piece := func(s section.Section, l length.Length, left int64, leftFace section.Face, right int64, rightFace section.Face) part {
		return part{length: l, left: end{left, leftFace}, right: end{right, rightFace}, section: s, turns: s.Turns(false)}
	}
	frame := piece(rect, 1000*mm, 45_000, w, 45_000, w)
	for _, c := range []struct {
		what  string
		of    part
		l     length.Length
		p     part
		fits  bool
		exact length.Length // the longest that goes in, 0 not asked
	}{
		{"the same, shorter: one end is kept", frame, 980 * mm, piece(rect, 900*mm, 45_000, w, 45_000, w), true, 980*mm - 4_242_641*mm/1_000_000},
		{"square: both mitres fall off", frame, 980 * mm, piece(rect, 800*mm, 0, n, 0, n), true, 980*mm - 80*mm - 3*mm},
		{"mitres on the other side", frame, 980 * mm, piece(rect, 800*mm, 45_000, n, 45_000, n), true, 980*mm - 80*mm - 4_242_641*mm/1_000_000},
		{"a parallelogram keeps one end", frame, 980 * mm, piece(rect, 800*mm, 45_000, w, -45_000, w), true, 980*mm - 40*mm - 4_242_641*mm/1_000_000},
		{"as long and as mitred, it is one", frame, 980 * mm, piece(rect, 980*mm, 45_000, w, 45_000, w), true, 0},
		{"as long and mitred on the other side", frame, 980 * mm, piece(rect, 980*mm, 45_000, n, 45_000, n), false, 0},
		{"of an angle, the other hand", piece(angle, 1000*mm, 0, n, 45_000, w), 1000 * mm, piece(angle, 1000*mm, 45_000, w, 0, n), false, 0},
		{"of an angle, turned onto its other leg", piece(angle, 1000*mm, 0, n, 45_000, n), 1000 * mm, piece(angle, 1000*mm, 45_000, w, 0, n), true, 0},
	} {
		const kerf = 3 * mm
		if got := c.p.liesIn(c.of, c.l, kerf); got != c.fits {
			t.Errorf("%s: %t", c.what, got)
		}
		if c.exact > 0 {
			p := c.p
			p.length = c.exact - 2 // kerfs are taken for a little more
			if !p.liesIn(c.of, c.l, kerf) {
				t.Errorf("%s: %v does not go in", c.what, p.length)
			}
			p.length = c.exact + 2
			if p.liesIn(c.of, c.l, kerf) {
				t.Errorf("%s: %v goes in", c.what, p.length)
			}
		}
	}
	if got := frame.square(1000 * mm); got != 920*mm {
		t.Errorf("between the mitres lie %v square, want 920 mm", got)
	}
	if two := piece(rect, 1000*mm, 45_000, w, 45_000, n); two.square(1000*mm) != 940*mm || !two.otherHand() {
		t.Error("a piece mitred on two sides has another hand, and 940 mm between its mitres")
	}
	for _, c := range []struct {
		p    part
		want bool
	}{{frame, false}, {piece(rect, 1000*mm, 45_000, w, -45_000, w), false}, {piece(rect, 1000*mm, 45_000, w, 0, n), false},
		{piece(angle, 1000*mm, 45_000, w, 0, n), true}, {piece(angle, 1000*mm, 45_000, w, 45_000, w), false}, {piece(angle, 1000*mm, 45_000, w, 45_000, n), true}} {
		if c.p.otherHand() != c.want {
			t.Errorf("%+v has another hand: %t", c.p, !c.want)
		}
	}
}

// TestRecutByTrial holds it against every place at which the one might lie in the other.
func TestRecutByTrial(t *testing.T) {
	sections := []section.Section{sectionOf(t, "SHS 25x25x2"), sectionOf(t, "RHS 40x20x2"), sectionOf(t, "L 40x40x4"), sectionOf(t, "L 60x40x5"), sectionOf(t, "channel 50x25x3x3")}
	for i := range sections {
		s := &sections[i] // a few units in size, that all places can be tried
		s.Width, s.Height = s.Width/(5*length.Millimetre), s.Height/(5*length.Millimetre)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SampledFrom(sections).Draw(t, "section")
		anEnd := func(name string) end {
			e := end{angle: rapid.SampledFrom([]int64{0, 45_000, -45_000, 26_565, -26_565}).Draw(t, name)}
			if e.angle != 0 && !s.EqualFaces() {
				e.face = section.Face(rapid.IntRange(0, 1).Draw(t, "side"))
			}
			return e
		}
		of := part{left: anEnd("left"), right: anEnd("right"), section: s, turns: s.Turns(false)}
		p := part{left: anEnd("left"), right: anEnd("right"), section: s, turns: s.Turns(false), length: length.Length(rapid.IntRange(1, 50).Draw(t, "length"))}
		l := length.Length(rapid.IntRange(1, 60).Draw(t, "measured"))
		fits := false
		for _, way := range p.ways() {
			left, right := p.lying(way[0], way[1])
			fits = fits || left == of.left && right == of.right && p.length == l
			for x := -l; x <= l; x++ {
				inside := true
				for corner := range 4 {
					inside = inside && of.left.reach(s, corner) <= x+left.reach(s, corner) &&
						x+p.length-right.reach(s, corner)+kerfAt(0, left.angle, right.angle) <= l-of.right.reach(s, corner)
				}
				fits = fits || inside && x >= 0 && x+p.length <= l
			}
		}
		if got := p.liesIn(of, l, 0); got != fits {
			t.Fatalf("%+v in %+v of %d: %t, by trial %t", p, of, l, got, fits)
		}
	})
}
