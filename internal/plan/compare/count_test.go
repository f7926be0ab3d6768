package compare

import (
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Cuts by hand. A bar: a trim, between two slants that lie in each other one stroke,
// between others two, and one behind the last piece. A sheet of two strips, the
// lower with two panels and a rest: a rip, two crosscuts, four trims.
func TestCuts(t *testing.T) {
	pieces := map[string]job.Piece{
		"S": {Length: 1000}, "T": {Length: 1000, Left: 45_000, Right: 45_000}, "R": {Length: 1000, Left: 45_000, Right: -45_000},
	}
	for _, test := range []struct {
		marks string
		trim  length.Length
		bar   length.Length
		want  int64
	}{
		{"S", 0, 1000, 0}, {"S", 0, 1001, 1}, {"S", 10, 1100, 2}, {"SS", 0, 2000, 1}, {"SS", 10, 3000, 3},
		{"T", 0, 1000, 2}, {"TT", 10, 3000, 4}, {"RR", 10, 3000, 4}, {"R<R", 10, 3000, 3}, {"T<T", 10, 3000, 3}, {"R<T<S", 10, 4000, 5}, {"ST", 10, 3000, 4}, {"TS", 0, 2000, 3},
	} {
		l := plan.Layout{Stock: plan.Stock{Length: test.bar}}
		at := test.trim
		for _, m := range test.marks {
			if m == '<' { // 40 mm of tube at 45°, one in the other
				at -= 40
				continue
			}
			l.Pieces = append(l.Pieces, plan.Piece{Mark: string(m), At: at})
			at += 1000
		}
		if got := barCuts(l, job.Process{TrimLeft: test.trim}, pieces); got != test.want {
			t.Errorf("%s in %d: %d cuts, want %d", test.marks, test.bar, got, test.want)
		}
	}
	// Cut at the yard between the first two: the ends there are square and ready.
	parted := plan.Layout{Stock: plan.Stock{Length: 4000}, FirstCuts: []length.Length{1010}, FirstKerf: 3,
		Pieces: []plan.Piece{{Mark: "S", At: 10}, {Mark: "S", At: 1013}, {Mark: "T", At: 2015}}}
	// The trim and the first cut; square to slant takes two; one behind the last.
	if got := barCuts(parted, job.Process{TrimLeft: 10}, pieces); got != 5 {
		t.Errorf("%d cuts of a bar in two parts, want 5", got)
	}
	tree := &plan.Part{Length: 100, Width: 100, Cut: plan.AlongLength, Parts: []*plan.Part{
		{Length: 100, Width: 40, Cut: plan.AlongWidth, Parts: []*plan.Part{{Length: 30, Width: 40, Panel: 1}, {X: 30, Length: 30, Width: 40, Panel: 2}, {X: 60, Length: 40, Width: 40, Kept: true}}},
		{Y: 40, Length: 100, Width: 60, Kept: true},
	}}
	l := plan.Layout{Tree: tree, Panels: make([]plan.Panel, 2)}
	trimmed := job.Process{TrimLeft: 1, TrimRight: 1, TrimBottom: 1, TrimTop: 1}
	if got := sheetCuts(l, trimmed); got != 7 {
		t.Errorf("%d cuts of a sheet, want 7", got)
	}
	trimmed.Kind = job.Beam
	if got := sheetCuts(l, trimmed); got != 2 {
		t.Errorf("%d outlines, want 2", got)
	}
	if got := keptParts(tree); got != 2 {
		t.Errorf("%d parts kept, want 2", got)
	}
}
