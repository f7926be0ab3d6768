package planner_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/internal/section"
)

const mm = length.Millimetre

// drawJob makes a small job of one material in bars and one in sheets, with
// everything that a process can impose.
func drawJob(t *rapid.T) *job.Job {
	tube, err := section.Parse("SHS 25x25x2", length.MM)
	if err != nil {
		t.Fatal(err)
	}
	skin, err := section.Parse("sheet 1.5", length.MM)
	if err != nil {
		t.Fatal(err)
	}
	alloy, err := section.LookupMaterial("6063-T6")
	if err != nil {
		t.Fatal(err)
	}
	some := func(name string, most int) length.Length {
		return length.Length(rapid.IntRange(0, most).Draw(t, name)) * mm / 2
	}
	j := &job.Job{
		Name: "Hide", Revision: "A", Date: "2026-11-24", Currency: "EUR", Digest: "0123456789abcdef",
		Processes: []job.Process{
			{
				Key: "saw", Kind: job.Saw, Kerf: some("kerf", 8), TrimLeft: some("trim left", 40),
				TrimRight: some("trim right", 40), Tail: some("tail", 200) * length.Length(rapid.IntRange(0, 1).Draw(t, "has tail")),
			},
			{
				Key: "cut", Kind: rapid.SampledFrom([]job.ProcessKind{job.PanelSaw, job.Beam, job.Shear}).Draw(t, "kind"),
				Kerf: some("sheet kerf", 10), TrimLeft: some("left", 20), TrimRight: some("right", 20),
				TrimBottom: some("bottom", 20), TrimTop: some("top", 20),
				Stages: rapid.SampledFrom([]int{0, 2, 3}).Draw(t, "stages"), Exact: rapid.Bool().Draw(t, "exact"),
				MinStrip: some("strip", 30),
			},
		},
		Materials: []job.Material{
			{Key: "tube", Section: tube, Alloy: alloy, Density: alloy.Density, KeepOver: some("keep", 1000), Growth: 300},
			{
				Key: "skin", Section: skin, Alloy: alloy, Density: alloy.Density, Process: 1,
				Grain: rapid.Bool().Draw(t, "grain"), KeepLength: 300 * mm, KeepWidth: 200 * mm,
			},
		},
		Suppliers: []job.Supplier{{Name: "Curlew", Delivery: 3500, Minimum: 8000}, {Name: "Avocet"}},
	}
	stock := func() int64 { return rapid.SampledFrom([]int64{-1, -1, 1, 3}).Draw(t, "stock") }
	for i := range rapid.IntRange(1, 3).Draw(t, "bar offers") {
		j.Offers = append(j.Offers, job.Offer{
			Supplier: i % 2, Length: length.Length(rapid.IntRange(2000, 7000).Draw(t, "bar")) * mm,
			Price: rapid.Int64Range(1, 4000).Draw(t, "price"), Stock: stock(),
		})
	}
	for i := range rapid.IntRange(1, 3).Draw(t, "sheet offers") {
		j.Offers = append(j.Offers, job.Offer{
			Supplier: i % 2, Material: 1, Length: length.Length(rapid.IntRange(1000, 3000).Draw(t, "length")) * mm,
			Width: length.Length(rapid.IntRange(600, 1500).Draw(t, "width")) * mm,
			Price: rapid.Int64Range(1, 9000).Draw(t, "price"), Stock: stock(),
		})
	}
	angle := rapid.SampledFrom([]int64{0, 0, 0, 45_000, -45_000, 60_000, 22_500})
	for i := range rapid.IntRange(0, 8).Draw(t, "pieces") {
		j.Pieces = append(j.Pieces, job.Piece{
			Mark: fmt.Sprintf("P%d", i), Length: length.Length(rapid.IntRange(400, 7600).Draw(t, "piece")) * 15_875,
			Left: angle.Draw(t, "left"), Right: angle.Draw(t, "right"), Quantity: rapid.Int64Range(1, 5).Draw(t, "quantity"),
		})
	}
	for i := range rapid.IntRange(0, 6).Draw(t, "panels") {
		j.Panels = append(j.Panels, job.Panel{
			Mark: fmt.Sprintf("S%d", i), Material: 1, Turn: rapid.Bool().Draw(t, "turn"),
			Length: length.Length(rapid.IntRange(60, 1000).Draw(t, "panel length")) * mm,
			Width:  length.Length(rapid.IntRange(60, 600).Draw(t, "panel width")) * mm, Quantity: rapid.Int64Range(1, 4).Draw(t, "quantity"),
		})
	}
	return j
}

// TestEveryPlanIsProved: whatever the engines return, the checker proves it,
// and planning again gives the same bytes.
func TestEveryPlanIsProved(t *testing.T) {
	planned := 0
	rapid.Check(t, func(t *rapid.T) {
		j := drawJob(t)
		p, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick, Seed: 1})
		var none *planner.NoPlan
		if errors.As(err, &none) {
			return // stock may run out
		}
		if err != nil {
			t.Fatal(err)
		}
		planned++
		findings, _ := check.Plan(j, p)
		for _, f := range findings {
			t.Errorf("%s", f)
		}
		again, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick, Seed: 1})
		if err != nil {
			t.Fatal(err)
		}
		if !bytes.Equal(encode(t, p), encode(t, again)) {
			t.Error("planning the same job twice gave two plans")
		}
	})
	if planned == 0 {
		t.Error("no job could be planned: the test tests nothing")
	}
}

func encode(t *rapid.T, p *plan.Plan) []byte {
	b, err := p.Encode()
	if err != nil {
		t.Fatal(err)
	}
	read, err := plan.Decode(b)
	if err != nil {
		t.Fatal(err)
	}
	if b2, _ := read.Encode(); !bytes.Equal(b, b2) {
		t.Error("a plan read back is another plan")
	}
	return b
}

// TestInterrupted: the end of the context leaves a plan that is proved and
// says what struck.
func TestInterrupted(t *testing.T) {
	j := rapid.Custom(drawJob).Filter(func(j *job.Job) bool {
		return len(j.Pieces) > 3 && j.Offers[0].Stock < 0 && j.Offers[0].Length > 4000*mm && len(j.Panels) == 0
	}).Example(1)
	ctx, cancel := context.WithCancelCause(context.Background())
	cancel(planner.ErrInterrupted)
	p, err := planner.Make(ctx, j, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	if p.Struck != "interrupt" && p.Status != plan.Proven {
		t.Errorf("struck is %q, want interrupt", p.Struck)
	}
	if findings, _ := check.Plan(j, p); len(findings) > 0 {
		t.Error(findings)
	}
}
