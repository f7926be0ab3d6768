package planner_test

import (
	"context"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/internal/section"
)

// one is a job of one material, cut one way.
func one(t *testing.T, stock string, process job.Process, offers []job.Offer, pieces []job.Piece, panels []job.Panel) *job.Job {
	t.Helper()
	s, err := section.Parse(stock, length.MM)
	if err != nil {
		t.Fatal(err)
	}
	alloy, err := section.LookupMaterial("6063-T6")
	if err != nil {
		t.Fatal(err)
	}
	process.Key = "cut"
	return &job.Job{
		Name: "Hide", Currency: "EUR", Digest: "0123456789abcdef",
		Processes: []job.Process{process},
		Materials: []job.Material{{Key: "it", Section: s, Alloy: alloy, Density: alloy.Density}},
		Suppliers: []job.Supplier{{Name: "Curlew"}},
		Offers:    offers, Pieces: pieces, Panels: panels,
	}
}

// TestHardRows are jobs, as small as can be, whose plans the checker once
// refused or whose least cost was not reached. Costs are by hand.
func TestHardRows(t *testing.T) {
	saw := job.Process{Kind: job.Saw}
	for _, c := range []struct {
		name string
		job  *job.Job
		cost plan.Money
	}{
		{
			"an offer that is sold out costs less than any other",
			one(t, "SHS 25x25x2", saw, []job.Offer{{Length: 6000 * mm, Price: 0, Stock: 0}, {Length: 6000 * mm, Price: 100, Stock: -1}},
				[]job.Piece{{Mark: "P1", Length: 3000 * mm, Quantity: 3}}, nil),
			200,
		},
		{
			// The strip of 600 cannot be parted from the free sheet.
			"a free sheet is too narrow for the smallest strip",
			one(t, "sheet 1.5", job.Process{Kind: job.Shear, MinStrip: 1300 * mm},
				[]job.Offer{{Length: 1000 * mm, Width: 601 * mm, Price: 0, Stock: 2}, {Length: 1000 * mm, Width: 600 * mm, Price: 100, Stock: -1}},
				nil, []job.Panel{{Mark: "S1", Length: 1000 * mm, Width: 600 * mm, Quantity: 1}}),
			100,
		},
		{
			// No cut sets the panel's width, whatever the smallest strip is.
			"a sheet narrower than the smallest strip, cut across only",
			one(t, "sheet 1.5", job.Process{Kind: job.Shear, MinStrip: 700 * mm},
				[]job.Offer{{Length: 2000 * mm, Width: 600 * mm, Price: 100, Stock: -1}},
				nil, []job.Panel{{Mark: "S1", Length: 800 * mm, Width: 600 * mm, Quantity: 2}}),
			100,
		},
		{
			// 45° on both ends of one piece: its joint takes 40·√2, wherever it stands.
			"a mitred piece and a square one are a unit too long for a bar",
			one(t, "SHS 25x25x2", job.Process{Kind: job.Saw, Kerf: 40 * mm},
				[]job.Offer{{Length: 1056 * mm, Price: 1, Stock: -1}},
				[]job.Piece{
					{Mark: "P1", Length: 500 * mm, Quantity: 1},
					{Mark: "P2", Length: 500 * mm, Left: 45_000, Right: 45_000, Quantity: 1},
				}, nil),
			2,
		},
		{
			"free sheets of one kind",
			one(t, "sheet 1.5", job.Process{Kind: job.PanelSaw, Kerf: 3 * mm},
				[]job.Offer{{Length: 2503 * mm, Width: 1250 * mm, Price: 0, Stock: 9}},
				nil, []job.Panel{{Mark: "S1", Length: 1250 * mm, Width: 1250 * mm, Quantity: 4}}),
			0,
		},
		{
			"one panel, the sheet itself",
			one(t, "sheet 1.5", job.Process{Kind: job.Beam, Kerf: 300 * mm, Stages: 1, Exact: true},
				[]job.Offer{{Length: 2500 * mm, Width: 1250 * mm, Price: 100_000_000_000, Stock: 1}},
				nil, []job.Panel{{Mark: "S1", Length: 2500 * mm, Width: 1250 * mm, Quantity: 1}}),
			100_000_000_000,
		},
		{
			// No cut runs from edge to edge: four panels round a fifth.
			"a pinwheel for a beam",
			one(t, "sheet 1.5", job.Process{Kind: job.Beam, Kerf: 5 * mm, TrimLeft: 10 * mm, TrimBottom: 20 * mm},
				[]job.Offer{{Length: 910 * mm, Width: 920 * mm, Price: 100, Stock: -1}},
				nil, []job.Panel{
					{Mark: "S1", Length: 600 * mm, Width: 295 * mm, Quantity: 2},
					{Mark: "S2", Length: 295 * mm, Width: 600 * mm, Quantity: 2},
					{Mark: "S3", Length: 290 * mm, Width: 290 * mm, Quantity: 1},
				}),
			100,
		},
	} {
		t.Run(c.name, func(t *testing.T) {
			p, err := planner.Make(context.Background(), c.job, planner.Options{})
			if err != nil {
				t.Fatal(err)
			}
			findings, notes := check.Plan(c.job, p)
			if len(findings) > 0 || p.Total != c.cost || p.Status != plan.Proven {
				t.Errorf("%v; %s %s, the least is %s\n%v", findings, p.Total, p.Status, c.cost, notes)
			}
			if g := p.Materials[0].Goals.Count; c.job.Materials[0].Sheet() && g.Status != plan.Proven {
				t.Errorf("count %+v", g)
			}
		})
	}
}

// Cuts at the yard are charged as the order lists them. By hand: of 2000 mm the first
// panel takes 1000 + 3, the second 995, and 2 mm are left behind it, so two cuts; where
// the second takes 997, one. Where edges are trimmed off a sheet that is too large,
// the yard does that too, even where nothing more needs to be cut there.
func TestYardCutsAreCharged(t *testing.T) {
	for _, c := range []struct {
		name                 string
		load, trim, a, b     length.Length // mm
		cuts                 int64
		trimmedThere, parted bool
	}{
		{"a sliver behind the last panel", 1200, 0, 1000, 995, 2, false, true},
		{"to the edge", 1200, 0, 1000, 997, 1, false, true},
		{"trimmed", 1200, 10, 1000, 977, 5, true, true},
		{"only the raw sheet is too large", 1990, 10, 1000, 977, 4, true, false},
		{"small enough", 2000, 10, 1000, 977, 0, false, false},
	} {
		trim := c.trim * mm
		j := one(t, "ply 12", job.Process{Kind: job.PanelSaw, Kerf: 3 * mm, TrimLeft: trim, TrimRight: trim, TrimBottom: trim, TrimTop: trim},
			[]job.Offer{{Length: 2000 * mm, Width: 1000 * mm, Stock: -1, Price: 4000}}, nil,
			[]job.Panel{{Mark: "S1", Length: c.a * mm, Width: 1000*mm - 2*trim, Quantity: 1}, {Mark: "S2", Length: c.b * mm, Width: 1000*mm - 2*trim, Quantity: 1}})
		j.LongestLoad, j.Suppliers[0].Cut = c.load*mm, 100
		p, _ := planned(t, j)
		l := p.Materials[0].Layouts[0]
		if l.YardCuts() != c.cuts || l.TrimsAtYard != c.trimmedThere || l.Tree.AtYard != c.parted || p.Total != plan.Money(4000+100*c.cuts) {
			t.Errorf("%s: %d cuts, trimmed there %t, parted there %t, total %s; by hand %d, %t, %t", c.name, l.YardCuts(), l.TrimsAtYard, l.Tree.AtYard, p.Total, c.cuts, c.trimmedThere, c.parted)
		}
	}
}

// TestNoPlanWords: why there is no plan is said in the job's words.
func TestNoPlanWords(t *testing.T) {
	sheet := []job.Offer{{Length: 2000 * mm, Width: 1000 * mm, Price: 100, Stock: 1}}
	bar := []job.Offer{{Length: 2000 * mm, Price: 100, Stock: 1}}
	shear := job.Process{Kind: job.Shear, MinStrip: 500 * mm}
	for _, c := range []struct {
		job  *job.Job
		says string
	}{
		{one(t, "sheet 1.5", shear, sheet, nil, []job.Panel{{Mark: "S1", Length: 900 * mm, Width: 300 * mm, Quantity: 1}}),
			"none of the sheets in stock is large enough for S1"},
		{one(t, "SHS 25x25x2", job.Process{Kind: job.Saw, Kerf: 3 * mm, Tail: 60 * mm}, bar, []job.Piece{{Mark: "P1", Length: 1940 * mm, Quantity: 1}}, nil),
			"none of the bars in stock is large enough for P1"},
		{one(t, "sheet 1.5", shear, sheet, nil, []job.Panel{{Mark: "S1", Length: 1500 * mm, Width: 900 * mm, Quantity: 2}}),
			"at least 0.70 m² of sheet is missing; the best try leaves over 1 of S1"},
		{one(t, "sheet 1.5", shear, sheet, nil, []job.Panel{{Mark: "S1", Length: 500 * mm, Width: 500 * mm, Quantity: 40_000}}),
			"40000 panels are wanted"},
		{one(t, "sheet 1.5", shear, []job.Offer{{Length: 30_000 * mm, Width: 1000 * mm, Price: 1, Stock: -1}}, nil, []job.Panel{{Mark: "S1", Length: 500 * mm, Width: 500 * mm, Quantity: 4}}),
			"a sheet with a side of 30000.0 mm is offered"},
	} {
		_, err := planner.Make(context.Background(), c.job, planner.Options{})
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, expected %q", err, c.says)
		}
	}
}

// TestDensityOfTheJob: masses go by the material's own density.
func TestDensityOfTheJob(t *testing.T) {
	j := one(t, "flat 40x5", job.Process{Kind: job.Saw}, []job.Offer{{Length: 1000 * mm, Price: 1, Stock: -1}},
		[]job.Piece{{Mark: "P1", Length: 1000 * mm, Quantity: 1}}, nil)
	j.Materials[0].Density = 5000 // 40 × 5 × 1000 mm³ weigh 1 kg
	p, err := planner.Make(context.Background(), j, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if p.Mass.Bought != 1_000_000 {
		t.Errorf("%s kg, not 1", p.Mass.Bought)
	}
	if findings, _ := check.Plan(j, p); len(findings) > 0 {
		t.Error(findings)
	}
}
