package planner_test

import (
	"context"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/internal/section"
)

// TestLayoutsAreProved: a sheet of 5 x 5 holds three panels of 3 x 2 by
// edge-to-edge cuts, though four lie on it around a hole. What dual feasible
// functions do not see is proved by layouts, and the checker notes nothing; with
// a kerf, a second size to buy, and a raster that is too fine as well.
func TestLayoutsAreProved(t *testing.T) {
	for _, c := range []struct {
		name  string
		alter func(j *job.Job)
	}{
		{"square cuts", func(*job.Job) {}},
		{"a kerf", func(j *job.Job) { j.Processes[0].Kerf, j.Processes[0].TrimLeft = 3*mm, 0 }},
		{"three stages", func(j *job.Job) { j.Processes[0].Stages = 3 }},
		{"two marks of a size", func(j *job.Job) {
			j.Panels = append(j.Panels, j.Panels[0])
			j.Panels[0].Quantity, j.Panels[1].Quantity, j.Panels[1].Mark = 30, 10, "S2"
		}},
		{"a second offer", func(j *job.Job) {
			o := j.Offers[0]
			o.Length, o.Price, o.Stock = 305*mm, 2000, 3
			j.Offers = append(j.Offers, o)
		}},
	} {
		t.Run(c.name, func(t *testing.T) {
			j := pinwheels(t)
			c.alter(j)
			p, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick})
			if err != nil {
				t.Fatal(err)
			}
			findings, notes := check.Plan(j, p)
			for _, f := range findings {
				t.Errorf("%s", f)
			}
			for _, n := range notes {
				t.Errorf("noted: %s", n)
			}
			m := p.Materials[0]
			if m.SheetProof == nil || m.SheetProof.Layouts == nil || m.SheetProof.Searched || m.SheetProof.Layouts.Bound != m.Goals.Cost.Bound {
				t.Errorf("the proof is %+v, the bound %s", m.SheetProof, m.Goals.Cost.Bound)
			}
		})
	}
}

func pinwheels(t *testing.T) *job.Job {
	sheet, err := section.Parse("sheet 1.5", length.MM)
	if err != nil {
		t.Fatal(err)
	}
	alloy, err := section.LookupMaterial("S235")
	if err != nil {
		t.Fatal(err)
	}
	return &job.Job{
		Name: "Hide", Revision: "A", Date: "2026-11-24", Currency: "EUR", Digest: "0123456789abcdef",
		Suppliers: []job.Supplier{{Name: "Curlew", Delivers: true, CutKerf: -1}},
		Processes: []job.Process{{Key: "shear", Kind: job.PanelSaw}},
		Materials: []job.Material{{Key: "skin", Section: sheet, Alloy: alloy, Density: alloy.Density}},
		Offers: []job.Offer{{
			Length: 505 * mm, Width: 505 * mm, Price: 5800, Stock: -1, Pack: 1, Tiers: []job.Tier{{From: 1, Price: 5800}},
		}},
		Panels: []job.Panel{{Mark: "S1", Length: 300 * mm, Width: 200 * mm, Turn: true, Quantity: 40}},
	}
}
