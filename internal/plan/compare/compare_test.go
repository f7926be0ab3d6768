package compare

import (
	"bytes"
	"context"
	"encoding/json"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/option"
	"sawbill/internal/plan/planner"
)

// hatch is small enough to be worked out by hand. Kerf and trims are nothing,
// so bars and sheets are filled to the last millimetre.
const hatch = `[job]
name = "Hatch"
date = 2026-11-24
unit = "mm"
currency = "EUR"
[material.tube]
stock = "SHS 25x25x2"
alloy = "6063-T6"
process = "saw"
[material.skin]
stock = "sheet 1.5"
alloy = "5005-H14"
process = "shear"
[process.saw]
kerf = 0
[process.shear]
[process.wide-saw]
kind = "saw"
kerf = 10
[supplier.North]
delivery = 30
[supplier.East]
delivery = 12
minimum = 100
[variant.thin.material.skin]
stock = "sheet 1"
[variant.wide-kerf.material.tube]
process = "wide-saw"
[tables]
offers = '''
supplier, material, size, price, stock
North, tube, 6000, 20, 
North, tube, 4000, 14, 
North, tube, 3000, 9.50, 1
North, skin, 2000 x 1000, 40, 
East, skin, 2500 x 1250, 66, 
East, tube, 4000, 15, 
North, thin.skin, 2000 x 1000, 30, 
'''
pieces = '''
mark, material, length, quantity
P1, tube, 2000, 6
P2, tube, 1000, 2
'''
panels = '''
mark, material, length, width, quantity
S1, skin, 1000, 1000, 4
'''
`

// failer is a testing.TB or a rapid.T.
type failer interface {
	Helper()
	Fatal(args ...any)
}

func read(t failer, text string) *job.Job {
	t.Helper()
	dir, err := os.MkdirTemp("", "compare")
	if err != nil {
		t.Fatal(err)
	}
	defer os.RemoveAll(dir)
	path := filepath.Join(dir, "job.toml")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

var quick = Options{Effort: planner.Quick, Seed: 1, Program: "test"}

func compared(t testing.TB, j *job.Job, cache []byte) *Result {
	t.Helper()
	r, err := Make(context.Background(), j, cache, quick)
	if err != nil {
		t.Fatal(err)
	}
	return r
}

// The figures are worked out by hand. 14 m of tube are needed. One bar of 6 m
// and two of 4 m hold just that for 48; with the one bar of 3 m (9.50) at least
// 11 m more are needed, and two of 6 m are the cheapest that hold them: 49.50.
// Four panels fill two sheets of 2 × 1 m; one of 2.5 × 1.25 m holds two.
func TestHatch(t *testing.T) {
	r := compared(t, read(t, hatch), nil)
	type row struct {
		total, charges plan.Money
		stocks         int64
		notes          string
	}
	got := map[string]row{}
	for _, w := range r.Table.Rows {
		got[w.Name] = row{w.Total, w.Charges, w.Stocks, strings.Join(w.Notes, "; ")}
	}
	for _, w := range r.Table.WhatIfs {
		got["what if "+w.Name] = row{w.Total, w.Charges, w.Stocks, strings.Join(w.Notes, "; ")}
	}
	want := map[string]row{
		// tube 48, skin 2 × 40, North 30
		"as offered": {15800, 3000, 5, ""},
		// three of 6 m: 60
		"tube: 6000": {17000, 3000, 5, ""},
		// three of 4 m hold the six long ones and a fourth the short: 56
		"tube: 4000":        {16600, 3000, 6, ""},
		"tube: 3000":        {0, 0, 0, "tube: the stock runs out"},
		"tube: 6000 + 4000": {15800, 3000, 5, "same as offered"},
		"tube: 6000 + 3000": {15950, 3000, 5, ""},
		// 3 m (9.50), and 11 m of 4 m bars: three, which hold 12 m
		"tube: 4000 + 3000": {16150, 3000, 6, ""},
		"skin: 2000 x 1000": {15800, 3000, 5, "same as offered"},
		// two at 66 from East: 132 ≥ the minimum of 100; 48 + 132 + 30 + 12
		"skin: 2500 x 1250": {22200, 4200, 5, ""},
		"North alone":       {15800, 3000, 5, "same as offered"},
		// four of 4 m at 15: 60; 132; 12
		"East alone": {20400, 1200, 6, ""},
		// 48 + 2 × 30 + 30
		"thin": {13800, 3000, 5, ""},
		// with 10 mm a cut a bar of 6 m holds two long ones and a short one, one of
		// 4 m or of 3 m only one long
		"wide-kerf": {17000, 3000, 5, ""},
		// 2.9768 m² at 66 / 3.125 m² is 62.87; two of them from East
		"what if skin: 2440 x 1220": {48_00 + 125_74 + 42_00, 42_00, 5, "no offer, priced by area as 2500 x 1250"},
		// 3 m² at 66 / 3.125 m² is 63.36, and three panels fit on one
		"what if skin: 3000 x 1000": {48_00 + 126_72 + 42_00, 42_00, 5, "no offer, priced by area as 2500 x 1250"},
		"what if skin: 3000 x 1250": {48_00 + 158_40 + 42_00, 42_00, 5, "no offer, priced by area as 2500 x 1250"},
		"what if skin: 3000 x 1500": {48_00 + 190_08 + 42_00, 42_00, 5, "no offer, priced by area as 2500 x 1250"},
	}
	for name, w := range want {
		if g, ok := got[name]; !ok || g != w {
			t.Errorf("%s is %+v, want %+v", name, g, w)
		}
	}
	if len(got) != len(want) {
		t.Errorf("%d rows: %v", len(got), got)
	}
	best, next, others := r.Table.Best()
	if best.Name != "thin" || next.Name != "as offered" || others != 0 {
		t.Errorf("best %q, next %q, %d others", best.Name, next.Name, others)
	}
}

// The row as offered has the numbers of the plan that planner.Make gives.
func TestAsOffered(t *testing.T) {
	j := read(t, hatch)
	want, err := planner.Make(context.Background(), j, planner.Options{Effort: quick.Effort, Seed: quick.Seed})
	if err != nil {
		t.Fatal(err)
	}
	r := compared(t, j, nil)
	if d := cmp.Diff(want, r.Offered); d != "" {
		t.Error(d)
	}
	row := find(t, r.Table, "as offered")
	if row.Total != want.Payable || row.Goods != want.Total || row.Gap != want.Total-want.Bound || row.Mass != want.Mass ||
		row.Stocks != int64(len(want.Materials[0].Layouts)+len(want.Materials[1].Layouts)) {
		t.Errorf("%+v is not what the plan says", row)
	}
	if r.Table.Number != want.Number {
		t.Errorf("plan no. %s, want %s", r.Table.Number, want.Number)
	}
	if findings, _ := check.Plan(j, r.Offered); len(findings) > 0 {
		t.Error(findings)
	}
}

func find(t testing.TB, table *option.Table, name string) option.Row {
	t.Helper()
	for _, r := range table.Rows {
		if r.Name == name {
			return r
		}
	}
	t.Fatalf("there is no row %q", name)
	return option.Row{}
}

// What is kept gives the same table; what was tampered with is not believed.
func TestCache(t *testing.T) {
	j := read(t, hatch)
	first := compared(t, j, nil)
	again := compared(t, j, first.Cache)
	if d := cmp.Diff(first, again); d != "" {
		t.Error(d)
	}
	var k kept
	if err := json.Unmarshal(first.Cache, &k); err != nil || len(k.Parts) < 10 {
		t.Fatalf("%v, %d parts", err, len(k.Parts))
	}

	planned := func(cache []byte, o Options) int {
		t.Helper()
		n := -1
		o.Progress = func(_, of int) { n = of }
		r, err := Make(context.Background(), j, cache, o)
		if err != nil {
			t.Fatal(err)
		}
		if o.Seed == quick.Seed && o.Program == quick.Program {
			if d := cmp.Diff(first.Table, r.Table); d != "" {
				t.Error(d)
			}
		}
		return n
	}
	all := planned(nil, quick)
	if n := planned(first.Cache, quick); n != 0 || all < 10 {
		t.Errorf("with a cache %d problems are planned of %d", n, all)
	}
	spoilt := map[string][]byte{
		"no JSON":        first.Cache[1:],
		"a count":        bytes.Replace(first.Cache, []byte(`"count":2`), []byte(`"count":1`), 1),
		"another reason": bytes.Replace(first.Cache, []byte("runs out"), []byte("ran away"), 1),
		"an empty one":   []byte(`{}`),
		"a forged one":   forged(t, first.Cache, func(p *part) { p.Material.Goals.Cost.Value = 1 }),
		"a far offer":    forged(t, first.Cache, func(p *part) { p.Material.Buy = []plan.Line{{Offer: 99}} }),
	}
	for name, cache := range spoilt {
		if bytes.Equal(cache, first.Cache) {
			t.Fatalf("%s: nothing is spoilt", name)
		}
		if n := planned(cache, quick); n != all {
			t.Errorf("%s: %d problems are planned, want %d", name, n, all)
		}
	}
	other := quick
	other.Program = "another"
	if n := planned(first.Cache, other); n != all {
		t.Errorf("another program plans %d problems of %d", n, all)
	}
	other = quick
	other.Seed = 2
	if n := planned(first.Cache, other); n != all {
		t.Errorf("another seed plans %d problems of %d", n, all)
	}
}

// What the clock or a person cut short is said, and not kept.
func TestEndedEarly(t *testing.T) {
	j := read(t, hatch)
	ctx, cancel := context.WithCancelCause(context.Background())
	cancel(planner.ErrInterrupted)
	r, err := Make(ctx, j, nil, quick)
	if err != nil {
		t.Fatal(err)
	}
	if r.Table.Struck != "interrupt" {
		t.Errorf("the table says %q", r.Table.Struck)
	}
	var k kept
	if err := json.Unmarshal(r.Cache, &k); err != nil {
		t.Fatal(err)
	}
	for _, p := range k.Parts {
		if p.Material.Struck == "interrupt" || strings.HasSuffix(p.None, "no plan found") {
			t.Errorf("kept: %+v", p)
		}
	}
}

// forged changes every plan kept and makes the digest fit.
func forged(t *testing.T, cache []byte, change func(*part)) []byte {
	t.Helper()
	var k kept
	if err := json.Unmarshal(cache, &k); err != nil {
		t.Fatal(err)
	}
	for key, p := range k.Parts {
		if p.None == "" {
			change(&p)
		}
		k.Parts[key] = p
	}
	k.Digest = k.digest()
	text, err := json.Marshal(k)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// Small random jobs against every way to share the pieces out among bars.
func TestAgainstAllPartitions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lengths := rapid.SliceOfN(rapid.Int64Range(300, 2400), 1, 5).Draw(t, "pieces")
		sizes := rapid.SliceOfNDistinct(rapid.SampledFrom([]int64{2500, 3000, 4000, 6000}), 1, 4, rapid.ID).Draw(t, "sizes")
		delivery, minimum := rapid.Int64Range(0, 3000).Draw(t, "delivery"), rapid.Int64Range(0, 6000).Draw(t, "minimum")
		var offers, pieces strings.Builder
		price := map[int64]int64{}
		for _, s := range sizes {
			price[s] = rapid.Int64Range(500, 3000).Draw(t, "price")
			fmt.Fprintf(&offers, "North, tube, %d, %d.%02d\n", s, price[s]/100, price[s]%100)
		}
		for i, l := range lengths {
			fmt.Fprintf(&pieces, "P%d, tube, %d\n", i+1, l)
		}
		j := read(t, fmt.Sprintf(`[job]
name = "Random"
unit = "mm"
currency = "EUR"
[material.tube]
stock = "SHS 25x25x2"
alloy = "6063-T6"
process = "saw"
[process.saw]
kerf = 0
[supplier.North]
delivery = %d.%02d
minimum = %d.%02d
[tables]
offers = '''
supplier, material, size, price
%s'''
pieces = '''
mark, material, length
%s'''
`, delivery/100, delivery%100, minimum/100, minimum%100, &offers, &pieces))
		r, err := Make(context.Background(), j, nil, quick)
		if err != nil {
			t.Fatal(err)
		}
		rows := 0
		for _, row := range r.Table.Rows {
			on := sizes
			if row.Kind == option.Sizes {
				on = slices.DeleteFunc(slices.Clone(sizes), func(s int64) bool { return !strings.Contains(row.Name, fmt.Sprint(s)) })
			}
			rows++
			goods := cheapest(lengths, on, price)
			charges := delivery + max(0, minimum-goods)
			if !row.Planned || int64(row.Goods) != goods || int64(row.Total) != goods+charges || row.Gap != 0 {
				t.Fatalf("%s: goods %s, total %s, gap %s; want %d and %d of charges", row.Name, row.Goods, row.Total, row.Gap, goods, charges)
			}
		}
		if want := []int{1, 1, 3, 7, 11}[len(sizes)]; rows != want {
			t.Fatalf("%d rows for %d sizes, want %d", rows, len(sizes), want)
		}
		marks(t, r.Table.Rows)
	})
}

// cheapest tries every partition: the cheapest of a set is the cheapest bar for
// a part that holds its first piece, and the cheapest of the rest.
func cheapest(lengths, sizes []int64, price map[int64]int64) int64 {
	const none = int64(1) << 40
	best := make([]int64, 1<<len(lengths))
	for set := 1; set < len(best); set++ {
		best[set] = none
		for part := set; part > 0; part = (part - 1) & set {
			if part&set&-set == 0 {
				continue
			}
			sum := int64(0)
			for i, l := range lengths {
				if part>>i&1 == 1 {
					sum += l
				}
			}
			for _, s := range sizes {
				if sum <= s {
					best[set] = min(best[set], price[s]+best[set^part])
				}
			}
		}
	}
	return best[len(best)-1]
}

// marks holds the marked rows against the definition: every row is matched by a
// marked one, and no marked row by another that is marked.
func marks(t *rapid.T, rows []option.Row) {
	matches := func(a, b option.Row) bool {
		worse := func(x, y []int64) bool {
			for i := range x {
				if x[i] > y[i] {
					return true
				}
			}
			return false
		}
		figures := func(r option.Row) []int64 {
			return []int64{int64(r.Total), int64(r.Mass.Pieces), int64(r.Mass.Scrap), r.Stocks, int64(r.Longest)}
		}
		return !worse(figures(a), figures(b))
	}
	for i, r := range rows {
		held := slices.ContainsFunc(rows, func(m option.Row) bool { return m.Undominated && matches(m, r) })
		if !held {
			t.Fatalf("nothing marked is as good as %s", r.Name)
		}
		for k, m := range rows {
			if k != i && r.Undominated && m.Undominated && matches(m, r) {
				t.Fatalf("%s and %s are both marked and the one is as good as the other", m.Name, r.Name)
			}
		}
	}
}

// Cuts by hand. A bar: a trim, between two parallel slants one stroke, between
// others two, and one behind the last piece. A sheet of two strips, the
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
		{"T", 0, 1000, 2}, {"TT", 10, 3000, 4}, {"RR", 10, 3000, 3}, {"ST", 10, 3000, 4}, {"TS", 0, 2000, 3},
	} {
		l := plan.Layout{Stock: plan.Stock{Length: test.bar}}
		at := test.trim
		for _, m := range test.marks {
			l.Pieces = append(l.Pieces, plan.Piece{Mark: string(m), At: at})
			at += 1000
		}
		if got := barCuts(l, job.Process{TrimLeft: test.trim}, pieces); got != test.want {
			t.Errorf("%s in %d: %d cuts, want %d", test.marks, test.bar, got, test.want)
		}
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
