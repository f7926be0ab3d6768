package rivet

import (
	"strings"
	"testing"

	"sawbill/nest2d/geom"
)

// Two skins that meet with a gap of 2 mm, each with a row of 4.8 mm rivets 2 D
// from its edge, have their rows 21.2 mm apart and need a face of 40.4 mm.
func TestMeeting(t *testing.T) {
	skins := func(face, offset int64) (Skin, Skin) {
		r := Row{Rivet: Rivet{Diameter: d48}, Member: Member{Face: face}, Offset: offset}
		s := r
		s.Offset = -offset
		return Skin{r, 96 * mm / 10}, Skin{s, 96 * mm / 10}
	}
	for _, c := range []struct {
		face, offset int64 // in tenths
		says         string
	}{
		{404, 106, ""},
		{403, 106, "narrow"},
		{500, 95, "overlap by 0.2 mm"},
		{500, 59, "under 2.5 diameters"},
	} {
		a, b := skins(c.face*mm/10, c.offset*mm/10)
		text := ""
		for _, f := range Meeting(a, b) {
			text += f.Text + "; "
		}
		if !strings.Contains(text, c.says) || c.says == "" && text != "" {
			t.Errorf("face %d, offset %d: %q", c.face, c.offset, text)
		}
	}
}

// A tube of 25 mm with a row of 4.8 mm in the middle of two adjacent faces: a
// body of 12 mm in a grip of 3.4 mm, 2 mm of it wall, reaches 15.4 mm into the
// tube, past the middle, so that the ends meet unless they are 7.2 mm apart. One
// of 5.5 mm reaches 8.9 mm, as far as the other's 8.9 mm.
func TestAdjacent(t *testing.T) {
	long := Reach(12*mm, 34*mm/10, 2*mm, d48)
	if long != 154*mm/10 {
		t.Errorf("a reach of %s", millimetres(long))
	}
	a := Blind{[]int64{0, 60 * mm, 120 * mm}, 125 * mm / 10, d48, long}
	b := a
	if hits := Adjacent(a, b); len(hits) != 3 || hits[1] != [2]int{1, 1} {
		t.Errorf("not staggered: %v", hits)
	}
	b.Along = []int64{30 * mm, 90 * mm}
	if hits := Adjacent(a, b); hits != nil {
		t.Errorf("staggered: %v", hits)
	}
	b.Along = []int64{72 * mm / 10, 60*mm + 71*mm/10}
	if hits := Adjacent(a, b); len(hits) != 1 || hits[0] != [2]int{1, 1} {
		t.Errorf("just clear and just not: %v", hits)
	}
	a.Reach, b.Reach = 89*mm/10, 89*mm/10
	if hits := Adjacent(a, b); hits != nil {
		t.Errorf("short bodies: %v", hits)
	}
	a.Reach = long
	if Adjacent(a, b) != nil || Adjacent(b, a) != nil {
		t.Error("a short body that ends before a long one beside it is said to meet it")
	}
}

// Rivets by diameter and grip: a skin of 1 mm, 0.4 mm of adhesive, and walls.
func TestNeeds(t *testing.T) {
	p := geom.Rectangle(400*mm, 300*mm)
	row := func(y, d, wall int64) Row {
		return Row{From: pt(0, y*mm), To: pt(400*mm, y*mm), Rivet: Rivet{Diameter: d}, Member: Member{30 * mm, wall, wall}, Pitch: 94 * mm, End: 12 * mm}
	}
	rows := []Row{row(50, d48, 3*mm), row(100, d48, 2*mm), row(150, 4*mm, 2*mm), row(200, d48, 2*mm)}
	rows[3].Second = &Second{-15 * mm}
	rows[3].Member = Member{60 * mm, 2 * mm, 2 * mm}
	rows[2].Bond, rows[2].Packing = -1, mm
	laid, findings := Lay(p, rows, nil)
	if len(findings) != 0 {
		t.Errorf("findings %v", findings)
	}
	want := []Need{{4 * mm, 4 * mm, 5}, {d48, 34 * mm / 10, 5 + 5 + 4}, {d48, 44 * mm / 10, 5}}
	if got := Needs(mm, rows, laid); len(got) != 3 || got[0] != want[0] || got[1] != want[1] || got[2] != want[2] {
		t.Errorf("needs %v, not %v", got, want)
	}
}
