package rivet

import (
	"math"
	"slices"
	"strings"
	"testing"

	"sawbill/nest2d/geom"
)

const mm = millimetre

func pt(x, y int64) geom.Point { return geom.Point{X: x, Y: y} }

// A window skin: three rows cross a fourth.
func TestCrossings(t *testing.T) {
	p := geom.Rectangle(1000*mm, 600*mm)
	m := Member{25 * mm, 2 * mm, 3 * mm}
	r := Rivet{Diameter: 48 * mm / 10}
	in := int64(25 * mm / 2)
	rows := []Row{
		{From: pt(in, 0), To: pt(in, 600*mm), Rivet: r, Member: m},
		{From: pt(0, in), To: pt(1000*mm, in), Rivet: r, Member: m},
		{From: pt(500*mm, 0), To: pt(500*mm, 600*mm), Rivet: r, Member: m},
	}
	laid, findings := Lay(p, rows, nil)
	if len(laid) != 3 || len(findings) != 0 {
		t.Fatalf("%d rows laid and findings %v", len(laid), findings)
	}
	// The first hole is 2 D off the face of the member crossed: 12.5 + 12.5 +
	// 9.6 mm; the last 2.5 D off the end. 553.4 mm take ten spaces of at most
	// 60 mm, so that a row has eleven holes.
	for _, l := range []Laid{laid[0], laid[2]} {
		if n := len(l.Holes); n != 11 || l.Along[0] != 346*mm/10 || l.Along[10] != 588*mm || l.Pitch != 5534*mm/100 {
			t.Errorf("row %d has %d holes along %v, pitch %d", l.Row, n, l.Along, l.Pitch)
		}
	}
	// 12.5 − 1.5 · 4.8 = 5.3 mm of play.
	if laid[0].Play != 53*mm/10 {
		t.Errorf("the frame may be off by %s", millimetres(laid[0].Play))
	}
	if got := len(Drilled(p, rows, laid).Holes); got != 11+18+11 {
		t.Errorf("the panel has %d holes", got)
	}
}

const d48 = 48 * mm / 10

// skin is a panel of 400 mm by 100 mm with one row along its middle.
func skin(change func(*geom.Shape, *Row)) (geom.Shape, []Row) {
	p, r := geom.Rectangle(400*mm, 100*mm), Row{From: pt(0, 50*mm), To: pt(400*mm, 50*mm), Rivet: Rivet{Diameter: d48}}
	if change != nil {
		change(&p, &r)
	}
	return p, []Row{r}
}

func lay(t *testing.T, p geom.Shape, rows []Row, keep ...Zone) []int64 {
	t.Helper()
	laid, _ := Lay(p, rows, keep)
	if len(laid) == 0 {
		t.Fatal("nothing is laid")
	}
	return laid[len(laid)-1].Along
}

func same(t *testing.T, got []int64, tenths ...int64) {
	t.Helper()
	want := make([]int64, len(tenths))
	for i, v := range tenths {
		want[i] = v * mm / 10
	}
	if !slices.Equal(got, want) {
		t.Errorf("holes along %v, not %v", got, want)
	}
}

// 400 − 2 · 12 = 376 mm take seven spaces of 53.7 mm; with a pitch of 94 mm
// four. Where a zone is on the middle hole five spaces miss it, at no more holes
// than stretch by stretch: two in 126 mm on either side, six in all.
func TestEqualSpaces(t *testing.T) {
	p, rows := skin(nil)
	if got := lay(t, p, rows); len(got) != 8 || got[0] != 12*mm || got[7] != 388*mm || got[1] != 12*mm+scaled(376*mm, 1, 7) {
		t.Errorf("holes along %v", got)
	}
	p, rows = skin(func(_ *geom.Shape, r *Row) { r.Pitch = 94 * mm })
	same(t, lay(t, p, rows), 120, 1060, 2000, 2940, 3880)
	zone := Zone{Center: pt(200*mm, 50*mm), Radius: 30 * mm}
	same(t, lay(t, p, rows, zone), 120, 872, 1624, 2376, 3128, 3880)
	// One of 57.55 mm is wider than the space of any six holes: theirs stand
	// 2.45 mm more off its middle, with the hole's edge on its rim.
	zone.Radius = 5755 * mm / 100
	same(t, lay(t, p, rows, zone), 120, 760, 1400, 2600, 3240, 3880)
}

// Two rows of spaces seen from either end are the same.
func TestPlacesMirror(t *testing.T) {
	for n := range int64(30) { // 1001/14 and 1001/22 end in a half
		s, m := stretch{7, 7 + 1001}, stretch{-1008, -7}
		a, b := s.places(n), m.places(n)
		for i := range a {
			if off := a[i] + b[len(b)-1-i]; off != 0 && !(n%2 == 0 && int64(i) == n/2) {
				t.Errorf("%d spaces: %v and %v", n, a, b)
			}
		}
	}
}

// Stretches nearer to each other than the least pitch are shortened alike, and
// the holes at their ends are that far from each other.
func TestApart(t *testing.T) {
	got := apart([]stretch{{0, 100}, {104, 107}, {111, 211}}, 14)
	if !slices.Equal(got, []stretch{{0, 95}, {116, 211}}) {
		t.Errorf("stretches %v", got)
	}
	if got := apart([]stretch{{0, 100}, {104, 200}}, 15); !slices.Equal(got, []stretch{{0, 94}, {110, 200}}) {
		t.Errorf("stretches %v", got)
	}
}

// A rivet hole drilled before is kept 3 D off, a large one 2 D from its edge.
func TestOtherHoles(t *testing.T) {
	for _, c := range []struct{ diameter, clear int64 }{{49 * mm / 10, 144 * mm / 10}, {40 * mm, 296 * mm / 10}} {
		p, rows := skin(func(p *geom.Shape, r *Row) {
			p.Holes = []geom.Hole{{Center: pt(200*mm, 50*mm), Diameter: c.diameter}}
			r.From, r.To = pt(100*mm, 50*mm), pt(300*mm, 50*mm)
			r.Pitch = 15 * mm // a dense row comes as near as it may
		})
		nearest := int64(math.MaxInt64)
		for _, a := range lay(t, p, rows) {
			nearest = min(nearest, max(a-100*mm, 100*mm-a))
		}
		if nearest < c.clear || nearest > c.clear+7*mm {
			t.Errorf("a hole of %s is kept %s off", millimetres(c.diameter), millimetres(nearest))
		}
	}
}

// A row that ends beside another without crossing it keeps 3 D off its holes.
func TestLaterRowGivesWay(t *testing.T) {
	p, rows := skin(nil)
	rows = append(rows, Row{From: pt(12*mm, 51*mm), To: pt(12*mm, 100*mm), Rivet: Rivet{Diameter: d48}, End: 8 * mm})
	if got := lay(t, p, rows)[0]; got != 134*mm/10 { // 14.4 mm from the hole at (12, 50)
		t.Errorf("the later row begins at %s", millimetres(got))
	}
}

// A row keeps 2 D off the face of the member it crosses, which is not centred
// on its own row: a row 3 mm to the right of its centre line, as seen upward.
func TestCrossingOffCentre(t *testing.T) {
	p, rows := skin(func(_ *geom.Shape, r *Row) { r.Pitch = 30 * mm })
	rows = append([]Row{{From: pt(200*mm, 0), To: pt(200*mm, 100*mm), Rivet: Rivet{Diameter: d48}, Member: Member{40 * mm, 2 * mm, 3 * mm}, Offset: -3 * mm}}, rows...)
	along := lay(t, p, rows)
	left, right := int64(0), int64(math.MaxInt64)
	for _, a := range along {
		if a < 200*mm {
			left = max(left, a)
		} else {
			right = min(right, a)
		}
	}
	// The centre line is at 197 mm: 197 ∓ (20 + 9.6).
	if left != 1674*mm/10 || right != 2266*mm/10 {
		t.Errorf("holes at %s and %s beside the member", millimetres(left), millimetres(right))
	}
}

// The second of two rows stands half-way, and not outside the panel.
func TestSecondRow(t *testing.T) {
	p, rows := skin(func(_ *geom.Shape, r *Row) { r.Pitch, r.Second = 94*mm, &Second{20 * mm} })
	laid, findings := Lay(p, rows, nil)
	if len(laid) != 2 || !laid[1].Second || len(findings) != 0 {
		t.Fatalf("laid %v, findings %v", laid, findings)
	}
	same(t, laid[1].Along, 590, 1530, 2470, 3410)
	if h := laid[1].Holes[0]; h != pt(59*mm, 70*mm) {
		t.Errorf("the second row begins at %v", h)
	}
	rows[0].Second.Spacing = -80 * mm
	if laid, findings = Lay(p, rows, nil); len(laid) != 1 || len(findings) == 0 {
		t.Errorf("a row beside the panel: laid %v, findings %v", laid, findings)
	}
	rows[0].Second, rows[0].Between = nil, true
	same(t, lay(t, p, rows), 590, 1530, 2470, 3410)
}

// A face of 25 mm with walls of 2 mm and a corner of 4 mm is flat to 8.5 mm
// from its centre line. A hole of 4.9 mm fits there up to 6.05 mm off, a blind
// head of 7.2 mm up to 4.9 mm; the edge distance of 1.5 D ends at 5.3 mm.
func TestMemberFlat(t *testing.T) {
	for _, c := range []struct {
		face, radius, offset int64 // in tenths
		play                 int64
		says                 string
	}{
		{250, 40, 0, 53, ""},
		{250, 40, 29, 24, ""},
		{250, 40, 49, 4, "2 diameters"},
		{250, 40, 50, 3, "blind heads"},
		{250, 40, 61, 0, "runs into its side wall or corner"},
		{250, 75, 0, 25, ""},           // flat to 5 mm: 5 − 2.45, rounded down below
		{160, 40, 0, 8, "2 diameters"}, // flat to 4 mm, more than 3.6
		{140, 50, 0, 0, "runs into"},   // flat to 3 mm
	} {
		p, rows := skin(func(_ *geom.Shape, r *Row) {
			r.Member, r.Offset = Member{c.face * mm / 10, 2 * mm, c.radius * mm / 10}, c.offset*mm/10
		})
		laid, findings := Lay(p, rows, nil)
		text := ""
		for _, f := range findings {
			text += f.Text + "; "
		}
		if !strings.Contains(text, c.says) || c.says == "" && text != "" {
			t.Errorf("a face of %d, offset %d: %q", c.face, c.offset, text)
		}
		if laid[0].Play/(mm/10) != c.play {
			t.Errorf("a face of %d, offset %d: play %s", c.face, c.offset, millimetres(laid[0].Play))
		}
	}
}

// A row given twice is refused, one that goes on where another ends is not.
func TestRowsOnOneLine(t *testing.T) {
	for _, c := range []struct {
		from    int64
		refused bool
	}{{0, true}, {300 * mm, true}, {400 * mm, false}} {
		p, rows := skin(nil)
		p.Outer = geom.Rectangle(800*mm, 100*mm).Outer
		rows = append(rows, rows[0])
		rows[1].From.X += c.from
		rows[1].To.X += c.from
		_, findings := Lay(p, rows, nil)
		if refused := len(findings) > 0 && findings[0].Severity == Refuse; refused != c.refused {
			t.Errorf("from %s: %v", millimetres(c.from), findings)
		}
	}
}

// Rows along sloped edges, just 1.5 D from them, in right-angled triangles of
// whole sides: the rounding of floats takes no hole from them.
func TestSlopedEdge(t *testing.T) {
	for _, side := range [][3]int64{{4, 3, 5}, {12, 5, 13}, {15, 8, 17}, {24, 7, 25}, {21, 20, 29}, {35, 12, 37}, {40, 9, 41}, {45, 28, 53}, {60, 11, 61}} {
		a, b, c := side[0], side[1], side[2]
		d, l := 8000/c*24*c, 20_000_000/c // D near 4.8 mm, l times c near 500 mm
		p := geom.Shape{Outer: geom.Polygon(pt(0, 0), pt(a*l, b*l), pt(0, b*l))}
		x, y := -d/c*3/2*b, d/c*3/2*a
		r := Row{From: pt(x, y), To: pt(a*l+x, b*l+y), Rivet: Rivet{Diameter: d}, End: c * l / 4, Pitch: c * l / 4}
		laid, findings := Lay(p, []Row{r}, nil)
		if len(laid) != 1 || len(laid[0].Holes) < 2 {
			t.Fatalf("sides %v: laid %v, findings %v", side, laid, findings)
		}
		for i, h := range laid[0].Holes {
			s := float64(laid[0].Along[i]) / float64(c*l)
			if away(h, pt(x+int64(s*float64(a*l)), y+int64(s*float64(b*l)))) > 2 {
				t.Errorf("sides %v: the hole at %v is off the line", side, h)
			}
		}
		for _, f := range findings {
			if f.Severity == Refuse {
				t.Errorf("sides %v: %s", side, f.Text)
			}
		}
	}
}
