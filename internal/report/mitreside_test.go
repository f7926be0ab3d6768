package report

import (
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/section"
)

// oblong is the hide of RHS 40x20 with its first pieces laid as given.
func oblong(t *testing.T, left, right section.Face, turned bool) (*set, plan.Material, []plan.Piece) {
	p, j := hide(t)
	j.Materials[0].Section = mustSection(t, "RHS 40x20x2", length.MM)
	for i := range j.Pieces {
		if q := &j.Pieces[i]; q.Mark == "P1" {
			q.Left, q.Right, q.LeftFace, q.RightFace = 45_000, 45_000, left, right
		}
	}
	j.Processes[0].SharedMitres = true
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	m := p.Materials[0]
	pieces := []plan.Piece{{Mark: "P1", Copy: 1, At: 10 * mm, Turned: turned}}
	m.Layouts = []plan.Layout{{Number: 1, Pattern: 1, Stock: m.Layouts[0].Stock, Pieces: pieces}}
	return s, m, pieces
}

// TestSidesDrawn: a bar of RHS 40x20 is drawn on the side that its mitres are laid on, 40
// or 20 mm across at 45°; with mitres on both it is drawn twice, and each shows slanted
// in one drawing alone. Turned end for end about the line square to the wide side, tips
// on that side are up that were down, and those on the narrow side stay.
func TestSidesDrawn(t *testing.T) {
	const n, w = section.Narrow, section.Wide
	for _, c := range []struct {
		left, right section.Face
		turned      bool
		named       string
		// slants of every drawing in mm at the left and right end, above 0 with the tip below
		want [][2]float64
	}{
		{w, w, false, "wide side (40 mm)", [][2]float64{{40, 40}}},
		{n, n, false, "narrow side (20 mm)", [][2]float64{{20, 20}}},
		{w, n, false, "narrow side (20 mm), the bar rolled a quarter away from you", [][2]float64{{40, 0}, {0, 20}}},
		{w, n, true, "narrow side (20 mm), the bar rolled a quarter away from you", [][2]float64{{0, -40}, {20, 0}}},
		{w, w, true, "wide side (40 mm)", [][2]float64{{-40, -40}}},
	} {
		s, m, _ := oblong(t, c.left, c.right, c.turned)
		v := s.barView(m, 250)
		fig, _ := v.figure(patterns(m, "")[0])
		var got [][2]float64
		named, angles := false, 0
		for _, it := range fig.Items {
			switch it := it.(type) {
			case drawing.Shape:
				if strings.HasPrefix(it.Title, "P1") {
					q := it.Points
					got = append(got, [2]float64{(q[0].X - q[3].X) / v.scale, (q[2].X - q[1].X) / v.scale})
				}
			case drawing.Text:
				named = named || it.Text == c.named
				if strings.HasPrefix(it.Text, "45°") {
					angles++
				}
			}
		}
		same := len(got) == len(c.want)
		for i := range got {
			for e := range 2 {
				same = same && got[i][e] > c.want[i][e]-0.01 && got[i][e] < c.want[i][e]+0.01
			}
		}
		if !same || !named || angles != 2 {
			t.Errorf("%+v: drawn with %v, named %t, %d angles", c, got, named, angles)
		}
		if how := v.how(); !strings.Contains(how, "drawn on the side named") || !strings.Contains(how, "rolled a quarter") {
			t.Errorf("the page says %s", how)
		}
	}
}

// TestSidesTold: papers name the side wherever they give an angle of an unequal section.
func TestSidesTold(t *testing.T) {
	s, _, _ := oblong(t, section.Wide, section.Narrow, false)
	rect := s.job.Materials[0].Section
	row := s.pieces["P1"]
	if got, want := s.ends(rect, row), "45° on the wide side (40 mm), 45° on the narrow side (20 mm), short point 1140"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	row.RightFace = section.Wide
	if got, want := s.ends(rect, row), "45° / 45° on the wide side (40 mm), trapezoid, short point 1120"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	if got, want := s.ends(mustSection(t, "SHS 40x40x2", length.MM), job.Piece{Length: 500 * mm, Left: 45_000, Right: -45_000}), "45° / −45°, parallelogram, both edges 460"; got != want {
		t.Errorf("%s, want %s", got, want)
	}
	table := string(s.cutTable(""))
	if !strings.Contains(table, "left_face,right_face") || !strings.Contains(table, "45,45,wide side,narrow side,1140,") {
		t.Errorf("the table of cuts is %s", table)
	}
	asked := s.job.Enquiry()
	if rows := string(s.enquiryTable(asked)); !strings.Contains(rows, "on the wide side (40 mm)") {
		t.Errorf("the enquiry is %s", rows)
	}
	other := *s.job
	other.Pieces = append([]job.Piece(nil), s.job.Pieces...)
	for i := range other.Pieces {
		if q := &other.Pieces[i]; q.Mark == "P1" {
			q.LeftFace = section.Narrow
		}
	}
	for i, a := range other.Enquiry() {
		if a.Mark == "P1" && a.ID == asked[i].ID {
			t.Error("a price for a mitre on one side is taken for one on the other")
		}
	}
	d := s.document("Test", false)
	d.newPage()
	d.cutList("")
	d.save("test.pdf")
	body := text(t, find(t, s.files, "test.pdf"))
	for _, want := range []string{"mitres laid", "wide side", "narrow side", "Each mitre runs across the side named"} {
		if !strings.Contains(body, want) {
			t.Errorf("the cut list does not say %q", want)
		}
	}
}

// TestSidesAtOnce: a saw that takes 100 x 60 mm holds three bars of RHS 40x20 on each other
// with their wide sides up, one on edge; mitred at 45° they take 40/cos 45° = 56.6 mm of
// its width, so none lies beside them.
func TestSidesAtOnce(t *testing.T) {
	const n, w = section.Narrow, section.Wide
	for _, c := range []struct {
		left, right section.Face
		want        int
	}{{w, w, 3}, {n, n, 1}, {w, n, 1}} {
		s, m, _ := oblong(t, c.left, c.right, false)
		p := s.processes[m.Key]
		p.CapacityWidth, p.CapacityHeight = 100*mm, 60*mm
		s.processes[m.Key] = p
		if got := s.atOnce(m, m.Layouts[0]); got != c.want {
			t.Errorf("laid on %v and %v: %d at once, want %d", c.left, c.right, got, c.want)
		}
	}
}
