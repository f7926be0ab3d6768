package report

import (
	"context"
	"fmt"
	"regexp"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/planner"
	"sawbill/internal/report/drawing"
)

// planned plans the barrow that comes with the program, with a number of gussets.
func planned(t *testing.T, gussets int64) (*plan.Plan, *job.Job) {
	t.Helper()
	j, err := job.Read("../../cmd/sawbill/demo/barrow/job.toml")
	if err != nil {
		t.Fatal(err)
	}
	for i := range j.Panels {
		if j.Panels[i].Mark == "G1" {
			j.Panels[i].Quantity = gussets
		}
	}
	p, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	return p, j
}

// On a sheet of many small panels every cut is numbered once and every panel lettered
// once, on the sheet or on its detail, clear of the others.
func TestDetailOfACrowdedSheet(t *testing.T) {
	number := regexp.MustCompile(`^\d+$`)
	details := 0
	for _, gussets := range []int64{2, 16, 40} {
		p, j := planned(t, gussets)
		s, err := newSet(p, j)
		if err != nil {
			t.Fatal(err)
		}
		d := s.document("sheets", true)
		d.sheetPages("")
		d.save("sheets.pdf")
		marks, numbers := map[string]int64{}, map[string]int{}
		for n, page := range d.pages {
			textsApart(t, fmt.Sprintf("%d gussets", gussets), n+1, &page.Page)
			for _, it := range page.Items {
				x, ok := it.(drawing.Text)
				switch {
				case !ok:
				case x.Text == detailName(0) && x.Align == drawing.Centre:
					details++
				case x.Bold && x.Size <= 7.5 && number.MatchString(x.Text):
					numbers[x.Text]++
				case x.Align == drawing.Centre:
					marks[x.Text]++
				}
			}
		}
		cuts := map[string]int{}
		want := map[string]int64{}
		for _, m := range p.Materials {
			for _, l := range m.Layouts {
				for _, c := range sheetOrderOf(l).all() {
					cuts[fmt.Sprint(c.number)]++
				}
				for _, q := range l.Panels {
					want[q.Mark]++
				}
			}
		}
		if fmt.Sprint(numbers) != fmt.Sprint(cuts) {
			t.Errorf("%d gussets: numbers %v, cuts %v", gussets, numbers, cuts)
		}
		for mark, n := range want {
			if marks[mark] != n {
				t.Errorf("%d gussets: %s is lettered %d times, not %d", gussets, mark, marks[mark], n)
			}
		}
	}
	if details == 0 {
		t.Error("there was no detail")
	}
}
