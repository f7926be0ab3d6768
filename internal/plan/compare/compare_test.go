package compare

import (
	"bytes"
	"context"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"sawbill/internal/job"
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
// Whatever skin East sells, all tube comes from there too: four bars of 4 m for
// 60 cost less than 48 and North's delivery of 30.
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
		// two at 66 from East: 132 ≥ the minimum of 100; 60 + 132 + 12
		"skin: 2500 x 1250": {20400, 1200, 6, ""},
		"North alone":       {15800, 3000, 5, "same as offered"},
		// four of 4 m at 15: 60; 132; 12
		"East alone": {20400, 1200, 6, ""},
		// 48 + 2 × 30 + 30
		"thin": {13800, 3000, 5, ""},
		// with 10 mm a cut a bar of 6 m holds two long ones and a short one, one of
		// 4 m or of 3 m only one long
		"wide-kerf": {17000, 3000, 5, ""},
		// 2.9768 m² at 66 / 3.125 m² is 62.87; two of them
		"what if skin: 2440 x 1220": {60_00 + 125_74 + 12_00, 12_00, 6, "no offer, priced by area as 2500 x 1250"},
		// 3 m² at 66 / 3.125 m² is 63.36, and three panels fit on one
		"what if skin: 3000 x 1000": {60_00 + 126_72 + 12_00, 12_00, 6, "no offer, priced by area as 2500 x 1250"},
		"what if skin: 3000 x 1250": {60_00 + 158_40 + 12_00, 12_00, 6, "no offer, priced by area as 2500 x 1250"},
		"what if skin: 3000 x 1500": {60_00 + 190_08 + 12_00, 12_00, 6, "no offer, priced by area as 2500 x 1250"},
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
	if row.Total != want.Total || row.Goods != want.Goods || row.Payable != want.Payable || row.Gap != want.Total-want.Bound || row.Mass != want.Mass ||
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
	if err := json.Unmarshal(first.Cache, &k); err != nil || len(k.Parts) < 10 || len(k.Wholes) < 10 {
		t.Fatalf("%v, %d parts, %d wholes", err, len(k.Parts), len(k.Wholes))
	}

	planned := func(cache []byte, o Options) int {
		t.Helper()
		n := -1
		o.Progress = func(done, _ int) { n = done }
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
		"a forged part": forged(t, first.Cache, func(k *kept) {
			changeParts(k, func(p *part) { p.Material.Goals.Cost.Value = 1 })
			k.Wholes = nil
		}),
		"a far offer": forged(t, first.Cache, func(k *kept) {
			changeParts(k, func(p *part) { p.Material.Buy = []plan.Line{{Offer: 99}} })
			k.Wholes = nil
		}),
		"a forged whole": forged(t, first.Cache, func(k *kept) {
			for key, h := range k.Wholes {
				h.Plan = bytes.Replace(h.Plan, []byte(`"goods":"`), []byte(`"goods":"1`), 1)
				k.Wholes[key] = h
			}
		}),
		"no plans at all": forged(t, first.Cache, func(k *kept) {
			for key := range k.Wholes {
				k.Wholes[key] = keptWhole{}
			}
			k.Parts = nil
		}),
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

// forged changes what is kept and makes the digest fit.
func forged(t *testing.T, cache []byte, change func(*kept)) []byte {
	t.Helper()
	var k kept
	if err := json.Unmarshal(cache, &k); err != nil {
		t.Fatal(err)
	}
	change(&k)
	k.Digest = k.digest()
	text, err := json.Marshal(k)
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// changeParts changes every plan of a material that is kept.
func changeParts(k *kept, change func(*part)) {
	for key, p := range k.Parts {
		if p.None == "" {
			change(&p)
		}
		k.Parts[key] = p
	}
}
