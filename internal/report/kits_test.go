package report

import (
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// sheltered is the example that comes with the program, and a plan that has only its name.
func sheltered(t *testing.T) (*plan.Plan, *job.Job) {
	t.Helper()
	j, err := job.Read("../../cmd/sawbill/demo/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	return &plan.Plan{Number: "5c6d7e8f", Currency: "EUR", Job: plan.JobRef{Name: j.Name, Revision: j.Revision, Date: j.Date}}, j
}

func kitNamed(t *testing.T, all []kit, name string) kit {
	t.Helper()
	for _, k := range all {
		if k.name == name {
			return k
		}
	}
	t.Fatalf("there is no kit %q", name)
	return kit{}
}

// The figures of the front wall, by hand from the example's tables: 30 joints of two
// C1 and eight rivets of 4.8; three panels each of S2 and S3, with beads along all four
// sides, 2 × (1160 + 905) and 2 × (1160 + 355) mm.
func TestKitByHand(t *testing.T) {
	_, j := sheltered(t)
	k := kitNamed(t, kits(j), "front wall")
	var got []string
	for _, p := range k.pieces {
		got = append(got, p.Mark)
	}
	for _, p := range k.joints {
		got = append(got, p.Mark)
	}
	for _, p := range append(k.fill, k.panels...) {
		got = append(got, p.Mark)
	}
	if s := strings.Join(got, " "); s != "P1 R1 R5 J1 G2 S2 S3" {
		t.Errorf("order of fit: %s", s)
	}
	if len(k.brackets) != 1 || k.brackets[0] != (bracketNeed{"C1", 60}) {
		t.Errorf("brackets: %v", k.brackets)
	}
	for i, want := range []length.Length{4130 * mm, 3030 * mm} {
		if bead, _ := bonded(k.panels[i]); bead != want {
			t.Errorf("%s: bead of %v, not %v", k.panels[i].Mark, bead, want)
		}
	}
	found := false
	for _, n := range k.rivets {
		found = found || n == rivetNeed{48 * mm / 10, 10 * mm, 240}
	}
	if !found {
		t.Errorf("rivets: %v", k.rivets)
	}
	// 4.13 m at 1.5 m a minute, 166 s, and 44 rivets at 5 a minute, 528 s.
	bead, rivets := bonded(k.panels[0])
	if rivets != 44 {
		t.Fatalf("%d rivets in %s", rivets, k.panels[0].Mark)
	}
	if sec := seconds(j.Assembly, bead, rivets); sec != 166+528 {
		t.Errorf("%d s", sec)
	}
}

// Every piece and panel is in one kit, and the kits have as many rivets and brackets as
// the joints and rows of the job.
func TestKitsAreTheWholeJob(t *testing.T) {
	_, j := sheltered(t)
	marks, rivets, brackets := map[string]int{}, int64(0), int64(0)
	for _, k := range kits(j) {
		for _, p := range k.pieces {
			marks[p.Mark]++
		}
		for _, p := range append(k.fill, k.panels...) {
			marks[p.Mark]++
		}
		for _, n := range k.rivets {
			rivets += n.count
		}
		for _, b := range k.brackets {
			brackets += b.count
		}
	}
	for _, b := range j.Brackets {
		if marks[b.Kind] != 0 {
			t.Errorf("the bracket %s is a piece of a kit", b.Kind)
		}
		marks[b.Kind] = 1 // counted with the joints
	}
	for _, p := range j.Pieces {
		if marks[p.Mark] != 1 {
			t.Errorf("%s is in %d kits", p.Mark, marks[p.Mark])
		}
	}
	for _, p := range j.Panels {
		if marks[p.Mark] != 1 {
			t.Errorf("%s is in %d kits", p.Mark, marks[p.Mark])
		}
	}
	wantRivets, wantBrackets := int64(0), int64(0)
	for _, r := range j.Riveted() {
		wantRivets += r.Quantity * r.Rivets
		wantBrackets += r.Quantity * r.Brackets
	}
	if rivets != wantRivets || brackets != wantBrackets || rivets == 0 {
		t.Errorf("%d rivets and %d brackets, not %d and %d", rivets, brackets, wantRivets, wantBrackets)
	}
}

// On Letter as on A4, in inches as in millimetres, with long names of groups and marks.
func TestKitPagesAreLegible(t *testing.T) {
	for _, paper := range []string{"A4", "Letter"} {
		p, j := sheltered(t)
		j.Paper, j.Unit = paper, map[string]length.Unit{"A4": length.MM, "Letter": length.In}[paper]
		j.Assembly.OpenTime = 5
		j.Pieces[0].Mark, j.Pieces[0].Note = strings.Repeat("long-mark-", 6), strings.Repeat("a long note ", 9)
		for i := range j.Panels {
			if j.Panels[i].Group == "roof" {
				j.Panels[i].Group = strings.Repeat("roof of the hide ", 12)
			}
		}
		s, err := newSet(p, j)
		if err != nil {
			t.Fatal(err)
		}
		d := s.kitPaper(kits(j))
		d.save("kits.pdf")
		mark := ""
		for n, page := range d.pages {
			textsApart(t, paper+" kits", n+1, &page.Page)
			for _, it := range page.Items {
				if x, ok := it.(drawing.Text); ok && x.Bold && strings.Trim(x.Text, "longmark-") == "" {
					mark += x.Text
				}
			}
		}
		if mark != j.Pieces[0].Mark {
			t.Errorf("%s: the long mark is printed as %q", paper, mark)
		}
	}
}

func TestNoGroupsNoKits(t *testing.T) {
	_, j := sheltered(t)
	for i := range j.Pieces {
		j.Pieces[i].Group = ""
	}
	for i := range j.Panels {
		j.Panels[i].Group = ""
	}
	j.Joints, j.Items = nil, nil
	if all := kits(j); len(all) != 0 {
		t.Errorf("%d kits of a job without groups", len(all))
	}
}

// What a kit says of the open time: nothing set leaves a blank, a long one is met, a
// short one warns with how many people.
func TestOpenTime(t *testing.T) {
	p, j := sheltered(t)
	for open, want := range map[int64]string{
		0:   "Open time of the adhesive, by its maker's data sheet: ________ min",
		200: "Each panel is riveted within the adhesive's open time of 200 min",
		5:   "LONGER THAN THE OPEN TIME of 5 min: S2 takes 12 min alone: 3 people, or bond it in 3 steps",
	} {
		j.Assembly.OpenTime = open
		s, err := newSet(p, j)
		if err != nil {
			t.Fatal(err)
		}
		s.kitPaper([]kit{kitNamed(t, kits(j), "front wall")}).save("kits.pdf")
		if s.err != nil {
			t.Fatal(s.err)
		}
		if page := strings.Join(strings.Fields(text(t, s.files[0])), " "); !strings.Contains(page, want) {
			t.Errorf("open time %d: the page does not say %q:\n%s", open, want, page)
		}
	}
}

// A tube whose faces 1 and 2 bear bonded skins is written on another; one that bears
// none, anywhere; panels on the back, clear of the bond.
func TestWhereToWrite(t *testing.T) {
	p, j := sheltered(t)
	for i := range j.Panels {
		if f := j.Panels[i].Form; f != nil {
			for k := range f.Rows {
				f.Rows[k].Place = job.Place{On: "P1", Face: 1 + (i+k)%2}
				f.Rows[k].Row.Bond = 0
			}
		}
	}
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	at := func(mark string) made {
		piece := s.pieces[mark]
		return made{material: plan.Material{Key: j.Materials[piece.Material].Key}, mark: mark, piece: piece}
	}
	if got := s.pieceFace(at("P1")); got != "face 3 or 4; bonded: 1, 2" {
		t.Errorf("P1: %s", got)
	}
	if got := s.pieceFace(at("P2")); got != "any face" {
		t.Errorf("P2: %s", got)
	}
	panel := made{material: plan.Material{Key: "skin", Kind: plan.Sheet}, mark: "S1", panel: s.panels["S1"]}
	if got := s.panelFace(panel); got != "back, not the good side, clear of the rows of rivets, where it is bonded" {
		t.Errorf("S1: %s", got)
	}
	for i := range j.Panels {
		if f := j.Panels[i].Form; f != nil {
			for k := range f.Rows {
				f.Rows[k].Row.Bond = -1
			}
		}
	}
	if got := s.pieceFace(at("P1")); got != "any face" {
		t.Errorf("P1 without adhesive: %s", got)
	}
}
