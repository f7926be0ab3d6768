package rivet

import (
	"slices"
	"testing"

	"sawbill/nest2d/geom"
)

// Federal Aviation Administration, AC 43.13-1B, 1998, paragraph 4-58 g: a sheet
// 10 in wide is spliced by rivets of 1/8 in in two rows. At the least spacing
// they come to 40; 3.7 to the inch, 37, are needed, and two rows of 19 equally
// spaced are chosen. The least spacing of two rows is 4 D in figure 4-5, from
// memory, and the edge distance 2 D.
func TestSplice(t *testing.T) {
	d := inch(1, 8)
	splice := func(pitch int64) (holes []int, rows []Laid) {
		rows, findings := Lay(geom.Rectangle(10*inchUnits, inchUnits), []Row{
			{From: pt(0, inchUnits/2-5*d/4), To: pt(10*inchUnits, inchUnits/2-5*d/4), Rivet: Rivet{Diameter: d}, Pitch: pitch, End: 2 * d},
			{From: pt(0, inchUnits/2+5*d/4), To: pt(10*inchUnits, inchUnits/2+5*d/4), Rivet: Rivet{Diameter: d}, Pitch: pitch, End: 2 * d},
		}, nil)
		if len(findings) != 0 {
			t.Errorf("findings %v", findings)
		}
		for _, l := range rows {
			holes = append(holes, len(l.Holes))
		}
		return holes, rows
	}
	if holes, _ := splice(4 * d); !slices.Equal(holes, []int{20, 20}) {
		t.Errorf("%v rivets at a pitch of 4 D, not twice 20", holes)
	}
	// 19 equally spaced leave 18 spaces of 9.5 in / 18.
	holes, rows := splice(thou(528))
	if !slices.Equal(holes, []int{19, 19}) || holes[0]+holes[1] < 37 {
		t.Errorf("%v rivets, not twice 19", holes)
	}
	if p := rows[0].Pitch; p < 95*inchUnits/180 || p > 95*inchUnits/180+1 {
		t.Errorf("a pitch of %s", millimetres(p))
	}
}

// The rules of AC 43.13-1B (edge 2 D, pitch 3 D), and of US Army TM
// 10-5410-229-13P (rows 2.5 D), as findings on either side of each limit.
func TestLimits(t *testing.T) {
	const d = 48 * mm / 10 // 1.5 D = 7.2, 2 D = 9.6, 2.5 D = 12, 3 D = 14.4 mm
	row := func(y int64) Row {
		return Row{From: pt(0, y), To: pt(500*mm, y), Rivet: Rivet{Diameter: d}}
	}
	none := Severity(-1)
	for _, c := range []struct {
		name  string
		rows  func() []Row
		worst Severity
	}{
		{"edge 2 D", func() []Row { return []Row{row(96 * mm / 10)} }, none},
		{"edge under 2 D", func() []Row { return []Row{row(95 * mm / 10)} }, Warn},
		{"edge 1.5 D", func() []Row { return []Row{row(72 * mm / 10)} }, Warn},
		{"edge under 1.5 D", func() []Row { return []Row{row(71 * mm / 10)} }, Refuse},
		{"end 2 D", func() []Row { r := row(50 * mm); r.End = 96 * mm / 10; return []Row{r} }, none},
		{"end under 2 D", func() []Row { r := row(50 * mm); r.End = 95 * mm / 10; return []Row{r} }, Warn},
		{"end under 1.5 D", func() []Row { r := row(50 * mm); r.End = 71 * mm / 10; return []Row{r} }, Refuse},
		{"pitch 3 D", func() []Row { r := row(50 * mm); r.Pitch = 144 * mm / 10; return []Row{r} }, Note},
		{"pitch under 3 D", func() []Row { r := row(50 * mm); r.Pitch = 143 * mm / 10; return []Row{r} }, Refuse},
		{"rows 2.5 D", func() []Row { return []Row{row(50 * mm), row(62 * mm)} }, none},
		{"rows under 2.5 D", func() []Row { return []Row{row(50 * mm), row(61 * mm)} }, Refuse},
		{"second 2.5 D", func() []Row { r := row(50 * mm); r.Second = &Second{-12 * mm}; return []Row{r} }, none},
		{"second under 2.5 D", func() []Row { r := row(50 * mm); r.Second = &Second{11 * mm}; return []Row{r} }, Refuse},
		// A face of 25 mm has one row of 4.8 mm in its middle, 2.6 D to either
		// side; off its centre by 2.9 mm there are 2 D, by 5.3 mm 1.5 D.
		{"member's middle", func() []Row { return []Row{on(row(50*mm), 0)} }, none},
		{"member 2 D", func() []Row { return []Row{on(row(50*mm), 29*mm/10)} }, none},
		{"member under 2 D", func() []Row { return []Row{on(row(50*mm), -30*mm/10)} }, Warn},
		{"member under 1.5 D", func() []Row { return []Row{on(row(50*mm), 54*mm/10)} }, Refuse},
	} {
		laid, findings := Lay(geom.Rectangle(500*mm, 100*mm), c.rows(), nil)
		worst := none
		for _, f := range findings {
			worst = max(worst, f.Severity)
		}
		if worst != c.worst {
			t.Errorf("%s: severity %d, expected %d: %v", c.name, worst, c.worst, findings)
		}
		if len(laid) == 0 && worst < Refuse {
			t.Errorf("%s: nothing laid", c.name)
		}
	}
}

func on(r Row, offset int64) Row {
	r.Member, r.Offset = Member{25 * mm, 2 * mm, 3 * mm}, offset
	return r
}

// Laps that follow from the rules, for a rivet of 4.8 mm.
func TestLap(t *testing.T) {
	for rows, want := range map[int]int64{1: 192 * mm / 10, 2: 312 * mm / 10} {
		if got := Lap(48*mm/10, rows); got != want {
			t.Errorf("%d rows need %s, not %s", rows, millimetres(got), millimetres(want))
		}
	}
}

// US Army TM 10-5410-221-14, table 4-3: holes, and grips of the inch series.
// The metric rule of guides to ISO 15977. ISO 15981:2002: metric grips.
func TestTables(t *testing.T) {
	for _, c := range []struct{ diameter, least, most int64 }{
		{3175 * mm / 1000, 32512 * mm / 10000, 33528 * mm / 10000}, // .128 to .132 in
		{inch(1, 4), 65278 * mm / 10000, 66294 * mm / 10000},       // .257 to .261 in
		{48 * mm / 10, 49 * mm / 10, 50 * mm / 10},
		{4 * mm, 41 * mm / 10, 42 * mm / 10},
	} {
		if h := HoleFor(c.diameter); h.Least != c.least || h.Most != c.most {
			t.Errorf("rivet %s: hole %s to %s", millimetres(c.diameter), millimetres(h.Least), millimetres(h.Most))
		}
	}
	for _, c := range []struct {
		diameter, grip int64
		names          []string
	}{
		{inch(1, 8), thou(125), []string{"42"}},
		{inch(1, 8), thou(126), []string{"43"}},
		{inch(5, 32), thou(375), []string{"56"}},
		{inch(5, 32), thou(376), nil},
		{48 * mm / 10, 4 * mm, []string{"4.8 x 8 mm", "4.8 x 10 mm"}},
		{48 * mm / 10, 36 * mm / 10, []string{"4.8 x 8 mm"}},
		{32 * mm / 10, 15 * mm, []string{"3.2 x 20 mm"}},
		{64 * mm / 10, 2 * mm, nil},
		{7 * mm, 2 * mm, nil},
	} {
		var names []string
		for _, b := range Fit(c.diameter, c.grip) {
			names = append(names, b.Name)
			if b.From > c.grip || b.Length != 0 && b.Length <= b.To {
				t.Errorf("%+v takes no grip of %s", b, millimetres(c.grip))
			}
		}
		if !slices.Equal(names, c.names) {
			t.Errorf("rivet %s, grip %s: %v, not %v", millimetres(c.diameter), millimetres(c.grip), names, c.names)
		}
	}
}
