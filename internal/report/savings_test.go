package report

import (
	"bytes"
	"encoding/csv"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
	"sawbill/internal/plan/saving"
)

// prospects is a result put together by hand, with names that are hard to print.
func prospects(unit length.Unit) *saving.Result {
	step := length.Millimetre
	if unit.Imperial() {
		step = length.Inch / 16
	}
	changed := &plan.Plan{Number: "99887766"}
	of := func(name string, by length.Length, mark string) saving.Move {
		return saving.Move{Name: name, By: by * step, Sides: []job.Side{{Mark: mark, Of: job.PanelWidth, Factor: 1}}}
	}
	r := &saving.Result{
		Base:  &plan.Plan{Number: "1a2b3c4d", Job: plan.JobRef{Name: "Bird hide", Date: "2026-11-24"}, Currency: "EUR", Total: 123456, Bound: 120000, Status: plan.Open},
		Notes: 2, Unseen: 7,
	}
	for _, name := range append([]string{"bay width"}, hardMarks...) {
		d := saving.Dimension{Dimension: job.Dimension{Name: name, Less: 20 * step, More: 5 * step, Step: step}, Free: 3 * step, FreeMost: true, NoMore: true}
		for i := range 12 {
			d.Sides = append(d.Sides, job.Side{Mark: name, Of: job.SideOf(i % 3), Factor: int64(1 + i%2)})
		}
		d.Savings = []saving.Saving{
			{Moves: []saving.Move{of(name, -6, name)}, Amount: 2140, Least: 2140, InAll: 2140, Proven: true, Smallest: true, Plan: changed, Lines: []change.Line{
				{Supplier: name, Stock: "SHS 25x25x2", Alloy: "6063-T6", Length: 6000 * mm, Old: 8, New: 7},
				{Supplier: name, Stock: "SHS 25x25x2", Alloy: "6063-T6", Length: 1500 * mm, Old: 1, New: 0},
			}},
			{Moves: []saving.Move{of(name, -11, name)}, Amount: 900, Least: 300, InAll: 3040, Plan: changed,
				Charges: []saving.Charge{{Supplier: name, What: plan.SmallOrder, Old: 900}}},
		}
		r.Dimensions = append(r.Dimensions, d)
	}
	r.Pairs = []saving.Saving{{Moves: []saving.Move{of("bay width", -3, "R1"), of(hardMarks[0], -2, "R2")}, Amount: 100, InAll: 100, Plan: changed}}
	r.Near = []saving.Saving{{Moves: []saving.Move{of("", -9, "S2")}, Amount: 700, Least: 700, InAll: 700, Plan: changed},
		{Moves: []saving.Move{{Material: "rail", By: -2 * step, Sides: make([]job.Side, 19)}}, Amount: 700, Least: 700, InAll: 700, Proven: true, Plan: changed}}
	return r
}

func TestSavingsTerminal(t *testing.T) {
	for _, unit := range []length.Unit{length.MM, length.In, length.Ft} {
		var out bytes.Buffer
		if err := SavingsSummary(&out, prospects(unit), &job.Job{Unit: unit, Fraction: 16}, strings.Repeat("x", 100)); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(out.String()) {
			if n := cellWidth(strings.TrimSuffix(line, "\n")); n > 80 {
				t.Errorf("%d columns: %q", n, line)
			}
		}
		six := map[length.Unit]string{length.MM: "6 mm", length.In: "3/8 in", length.Ft: `3/8"`}[unit]
		eleven := map[length.Unit]string{length.MM: "11 mm", length.In: "11/16 in", length.Ft: `11/16"`}[unit]
		for _, want := range []string{
			"As it is: 1234.56 EUR before tax, at most 34.56 EUR could still be saved.",
			"    " + six + " less: saves 21.40\n", "Proven, and no smaller change saves as much.",
			"    " + eleven + " less: saves 9.00, 30.40 in all\n", "At least 3.00 is sure; the rest is by the best plans found.",
			"longer at no more cost; a step more costs more.", "small order: 0.00 instead of 9.00",
			"all 19 sides of rail, each ", "proved again, but for 2 claims.", "Not looked at: 7 pairs of dimensions",
		} {
			if !strings.Contains(out.String(), want) {
				t.Errorf("no %q in\n%s", want, out.String())
			}
		}
	}
}

func TestSavingsPapers(t *testing.T) {
	for _, unit := range []length.Unit{length.MM, length.In} {
		j := &job.Job{Name: "Bird hide", Unit: unit, Fraction: 16, Paper: map[length.Unit]string{length.MM: "A4", length.In: "Letter"}[unit]}
		files, _, err := Savings(prospects(unit), j)
		if err != nil {
			t.Fatal(err)
		}
		again, _, err := Savings(prospects(unit), j)
		if err != nil {
			t.Fatal(err)
		}
		for i := range files {
			if !bytes.Equal(files[i].Data, again[i].Data) {
				t.Errorf("%s differs from run to run", files[i].Path)
			}
		}
		rows, err := csv.NewReader(bytes.NewReader(find(t, files, "savings.csv").Data)).ReadAll()
		if err != nil {
			t.Fatal(err)
		}
		r := prospects(unit)
		if want := 1 + 3*len(r.Dimensions) + len(r.Pairs) + len(r.Near); len(rows) != want {
			t.Errorf("%d rows, want %d", len(rows), want)
		}
		change := map[length.Unit]string{length.MM: "-6", length.In: "-0.375"}[unit]
		if got := rows[1]; got[0] != "dimension" || got[1] != "bay width" || got[2] != change || got[6] != "21.40" || got[7] != "21.40" || got[10] != "true" ||
			got[12] != "bay width SHS 25x25x2 "+s6000(unit)+": 8 to 7; bay width SHS 25x25x2 "+s1500(unit)+": 1 to 0" {
			t.Errorf("%q", got)
		}
		if data := find(t, files, "savings.pdf").Data; !bytes.HasPrefix(data, []byte("%PDF-")) {
			t.Error("no PDF")
		}
	}
}

func s6000(u length.Unit) string { return style{unit: u}.exact(6000 * mm) }
func s1500(u length.Unit) string { return style{unit: u}.exact(1500 * mm) }
