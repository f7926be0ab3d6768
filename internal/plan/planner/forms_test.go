package planner_test

import (
	"context"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/nest2d/geom"
)

// Three panels of one size and two forms, cut by who sells the sheet.
const cutOut = `[job]
name = "Screen"
unit = "mm"
currency = "EUR"
[material.skin]
stock = "sheet 1.5"
alloy = "5005-H14"
density = 2700
process = "laser"
[process.laser]
kind = "laser"
spacing = 5
margin = 10
[supplier.East]
metre-cut = 2.60
pierce = 0.15
delivery = 10
[tables]
offers = '''
supplier, material, size, price
East, skin, 2500 x 1250, 58
'''
panels = '''
mark, material, length, width, quantity
S1, skin, 600, 400, 2
S2, skin, 600, 400, 1
'''
openings = '''
mark, x, y, length, width, corner, diameter
S2, 200, 150, 200, 120, 25,
S2, 100, 200, , , , 40
'''
`

func cutOutJob(t *testing.T) *job.Job {
	t.Helper()
	path := filepath.Join(t.TempDir(), "job.toml")
	if err := os.WriteFile(path, []byte(cutOut), 0o600); err != nil {
		t.Fatal(err)
	}
	j, err := job.Read(path)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// Worked by hand. S1 is cut along 2 m and begun once. S2 has a window of
// 2·(150+70) + 2π·25 = 597.0796 mm and a hole of 40π = 125.6637 mm more, and is
// begun three times. At 2.60 a metre and 0.15 a piercing that is 5.20 + 0.15 = 5.35
// for S1 and 2.7227433·2.60 + 0.45 = 7.5291, so 7.53, for S2. What is left of S2 is
// 240 000 − (24 000 − (4−π)·625) − 400π = 215 279.9 mm², 1.5 mm thick and of 2.7 g/cm³.
func TestFormsAreCutAndWeighed(t *testing.T) {
	j := cutOutJob(t)
	p, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	if findings, _ := check.Plan(j, p); len(findings) > 0 {
		t.Fatal(findings)
	}
	for mark, want := range map[string]plan.Charge{
		"S1": {Supplier: "East", What: plan.Cutting + " S1", Count: 2, Each: 535, Amount: 1070},
		"S2": {Supplier: "East", What: plan.Cutting + " S2", Count: 1, Each: 753, Amount: 753},
	} {
		i := slices.IndexFunc(p.Charges, func(c plan.Charge) bool { return strings.HasSuffix(c.What, " "+mark) })
		if i < 0 || p.Charges[i] != want {
			t.Errorf("cutting %s is charged as %+v in %+v, want %+v", mark, i, p.Charges, want)
		}
	}
	const gram = 2.7 * 1.5 / 1000 // weighs a mm² of the sheet
	left := 240_000 - (24_000 - (4-math.Pi)*625) - 400*math.Pi
	if want := plan.Mass(math.Round((2*240_000 + left) * gram * 1000)); max(p.Mass.Pieces-want, want-p.Mass.Pieces) > 3 {
		t.Errorf("the panels weigh %v mg, want %v", int64(p.Mass.Pieces), int64(want))
	}
	if want := int64(math.Round(10_000 * (2*240_000 + left) / (2500 * 1250))); p.Materials[0].Shares.Used != want {
		t.Errorf("%d hundredths of a percent are used, want %d", p.Materials[0].Shares.Used, want)
	}
}

// What is changed of a panel's form after the plan was made is found.
func TestChangedFormIsFound(t *testing.T) {
	j := cutOutJob(t)
	p, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	const mm = int64(length.Millimetre)
	for name, change := range map[string]func(*job.Form){
		"a larger hole":     func(f *job.Form) { f.Shape.Holes[0].Diameter += mm },
		"a hole more":       func(f *job.Form) { f.Shape.Holes = append(f.Shape.Holes, geom.Hole{Diameter: 4 * mm}) },
		"no window":         func(f *job.Form) { f.Shape.Inner = nil },
		"an outline beside": func(f *job.Form) { f.Shape.Outer = f.Shape.Outer.Move(0, mm) },
		"a smaller outline": func(f *job.Form) { f.Shape.Outer = geom.Rectangle(590*mm, 400*mm).Outer },
	} {
		changed := *j
		changed.Panels = slices.Clone(j.Panels)
		f := *j.Panels[1].Form
		f.Shape.Holes = slices.Clone(f.Shape.Holes)
		change(&f)
		changed.Panels[1].Form = &f
		if findings, _ := check.Plan(&changed, p); len(findings) == 0 {
			t.Errorf("%s is not found", name)
		}
	}
}
