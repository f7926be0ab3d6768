package report

import (
	"strings"
	"testing"

	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// Three trapezoids, 45° at both ends in 25 mm tube with a kerf of 2.5 mm, share two
// cuts: each lies 25 mm less 2.5/cos 45° = 3.536 mm into the one before. The plan
// says that the second is rolled over; so it is drawn, with one angle at a shared cut.
func TestSharedMitresAreDrawnAsPlanned(t *testing.T) {
	p, j := hide(t)
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	m := p.Materials[0]
	pr := s.processes[m.Key]
	pr.SharedMitres = true
	s.processes[m.Key] = pr
	step := 1200*mm - 25*mm + 3536*mm/1000
	pieces := []plan.Piece{{Mark: "P1", Copy: 1, At: 10 * mm}, {Mark: "P1", Copy: 2, At: 10*mm + step, Rolled: true}, {Mark: "P1", Copy: 3, At: 10*mm + 2*step}}
	m.Layouts = []plan.Layout{{Number: 1, Pattern: 1, Stock: m.Layouts[0].Stock, Pieces: pieces}}
	v := s.barView(m, 250)
	lie := v.held(pieces)
	for i, want := range []int64{45_000, -45_000, 45_000} {
		if lie[i].left != want || lie[i].right != want {
			t.Errorf("piece %d lies with %d and %d", i+1, lie[i].left, lie[i].right)
		}
	}
	for i := 1; i < len(lie); i++ {
		if !shared(lie[i-1], lie[i]) {
			t.Errorf("pieces %d and %d do not share their cut", i, i+1)
		}
		low, up := lie[i-1].rightEdge()
		nextLow, nextUp := lie[i].leftEdge()
		if gap := [2]length.Length{nextLow - low, nextUp - up}; gap != [2]length.Length{3536 * mm / 1000, 3536 * mm / 1000} {
			t.Errorf("between pieces %d and %d lie %v", i, i+1, gap)
		}
	}
	count := func(v *barView) int {
		fig, _ := v.figure(patterns(m, "")[0])
		n := 0
		for _, it := range fig.Items {
			if text, ok := it.(drawing.Text); ok && strings.Contains(text.Text, "45°") {
				n++
			}
		}
		return n
	}
	if n := count(v); n != 4 {
		t.Errorf("%d angles are lettered, two ends and two shared cuts make 4", n)
	}
	if !strings.Contains(v.how(), "share one cut") {
		t.Error("the page does not say that mitres share cuts")
	}
	pr.OneWay = true
	s.processes[m.Key] = pr
	if v := s.barView(m, 250); !v.shares || !strings.Contains(v.how(), "roll the bar over") {
		t.Error("the page does not say that the bar is rolled")
	}
	pr.SharedMitres = false
	s.processes[m.Key] = pr
	v = s.barView(m, 250)
	if strings.Contains(v.how(), "share one cut") || !strings.Contains(v.how(), "cut of its own") {
		t.Error("the page says that mitres share cuts, which they do not")
	}
}
