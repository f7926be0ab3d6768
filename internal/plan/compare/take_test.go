package compare

import (
	"context"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan/option"
	"sawbill/internal/plan/planner"
)

// tiers are rows of one offer, the second a price by quantity.
const tiers = "North, tube, 5000, 17, , 1\nNorth, tube, 5 m, 16, , 3\n"

// TestTake: an option that was taken costs what the comparison says of it, and
// nothing of the job is lost.
func TestTake(t *testing.T) {
	text := strings.ReplaceAll(hatch, "price, stock\n", "price, stock, from\n")
	for _, row := range strings.Split(hatch, "\n") {
		if strings.Count(row, ",") == 4 && !strings.HasPrefix(row, "supplier") {
			text = strings.Replace(text, row+"\n", row+",\n", 1)
		}
	}
	text = strings.Replace(text, "East, skin,", tiers+"East, skin,", 1)
	path := filepath.Join(t.TempDir(), "job.toml")
	write := func(data []byte) {
		if err := os.WriteFile(path, data, 0o644); err != nil {
			t.Fatal(err)
		}
	}
	write([]byte(text))
	d := job.Open(path)
	if d.Job == nil {
		t.Fatal(d.Faults)
	}
	r, err := Make(context.Background(), d.Job, nil, Options{Effort: planner.Quick, Seed: 1})
	if err != nil {
		t.Fatal(err)
	}
	taken := 0
	for _, row := range append(r.Table.Rows, r.Table.WhatIfs...) {
		taking, err := Take(d.Job, row.Name)
		if choice := row.Kind == option.Sizes || row.Kind == option.Supplier || row.Kind == option.Variant; (err == nil) != choice {
			t.Errorf("%s: %v", row.Name, err)
		}
		if err != nil || !row.Planned {
			continue
		}
		s := d.Sheets[slices.IndexFunc(d.Sheets, func(s job.Sheet) bool { return s.Name == "offers" })]
		var numbers []int
		var changes []job.CellChange
		for i, r := range s.Rows {
			if slices.Contains(taking.Without, r[0].At) {
				numbers = append(numbers, i)
			}
			if m := taking.For[r[0].At]; m != "" {
				changes = append(changes, job.CellChange{Row: i, Column: slices.Index(s.Fields, "material"), Text: m})
			}
		}
		if len(numbers) != len(taking.Without) || len(changes) != len(taking.For) {
			t.Fatalf("%s: %+v is not all in the table", row.Name, taking)
		}
		data, err := s.Change([]byte(text), changes)
		if err == nil {
			data, err = s.AsideLines([]byte(text), data, numbers...)
		}
		if err == nil && taking.Variant != "" {
			data, err = job.Built(path, data, taking.Variant)
		}
		if err != nil {
			t.Fatal(err)
		}
		write(data)
		j, err := job.Read(path)
		if err != nil {
			t.Fatalf("%s: %v\n%s", row.Name, err, data)
		}
		p, err := planner.Make(context.Background(), j, planner.Options{Effort: planner.Quick, Seed: 1})
		if err != nil {
			t.Fatalf("%s: %v", row.Name, err)
		}
		if p.Total != row.Total {
			t.Errorf("%s: %v when taken, %v in the comparison", row.Name, p.Total, row.Total)
		}
		if got := strings.ReplaceAll(string(data), "\n# ", "\n"); taking.Variant == "" && got != text {
			t.Errorf("%s: more than comments was written:\n%s", row.Name, data)
		}
		taken++
	}
	if taken < 10 {
		t.Errorf("only %d options were taken", taken)
	}
	racked := *d.Job
	racked.Suppliers = append(slices.Clip(d.Job.Suppliers), job.Supplier{Name: "Rack", OnHand: true})
	racked.Offers = append(slices.Clip(d.Job.Offers), job.Offer{Supplier: len(d.Job.Suppliers), Rack: 1, Length: 1000, Pack: 1, Stock: 1})
	if taking, err := Take(&racked, "without Rack"); err == nil {
		t.Errorf("what lies on the rack is set aside in a table: %v", taking)
	}
	if taking, err := Take(&racked, "North alone"); err != nil || slices.Contains(taking.Without, job.Pos{}) {
		t.Errorf("%v %v", taking, err)
	}
	if _, err := Take(d.Job, "skin: 1 x 1"); err == nil {
		t.Error("an option that there is not")
	}
}
