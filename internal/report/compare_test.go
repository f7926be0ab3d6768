package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
)

// sideBySide is a table put together by hand, with names that are hard to
// print.
func sideBySide() *option.Table {
	row := func(name string, kind option.Kind, goods, charges, gap plan.Money, pieces plan.Mass) option.Row {
		cuts := charges / 10 // the rest is carriage
		return option.Row{Name: name, Kind: kind, Planned: true, Goods: goods, Charges: charges, Carriage: charges - cuts, Total: goods + charges, Gap: gap, Cuts: 31,
			Others: []option.Extra{{What: plan.SquareCuts, Amount: cuts}}, Payable: goods + charges + 7, Terms: []string{"fetched: North"},
			Mass: plan.Masses{Pieces: pieces, Bought: 2 * pieces, Scrap: pieces / 3}, Stocks: 7, Offcuts: 2, Longest: 6000 * mm}
	}
	t := &option.Table{Job: plan.JobRef{Name: "Bird hide", Date: "2026-11-24"}, Currency: "EUR", Number: "1a2b3c4d"}
	t.Rows = append(t.Rows, row("as offered", option.AsOffered, 12345, 3800, 120, 18_000_000))
	t.Rows[0].Undominated = true
	for i, name := range append([]string{"skin: 2500 x 1250 + 3000 x 1500"}, hardMarks...) {
		t.Rows = append(t.Rows, row(name, option.Variant, plan.Money(12345+i), 3800, 0, plan.Mass(17_000_000+i*300_000)))
	}
	alike := row("tube: 6000", option.Sizes, 12345, 3800, 120, 18_000_000)
	alike.Alike, alike.Notes = true, []string{"same as offered"}
	t.Rows = append(t.Rows, alike, option.Row{Name: "East alone", Kind: option.Supplier, Notes: []string{"no offer of tube, skin, floor, foam and everything else that is built of it"}})
	t.WhatIfs = []option.Row{row("skin: 3000 x 1500", option.WhatIf, 9_999_999_999, 0, 0, 18_000_000), {Name: "skin: 2000 x 1000", Kind: option.WhatIf, Notes: []string{"S1 fits no sheet"}}}
	for i := range 60 {
		t.WhatIfs = append(t.WhatIfs, row(fmt.Sprintf("sheet %d", i), option.WhatIf, plan.Money(20_000+i), 1, 0, 18_000_000))
	}
	return t
}

// compared makes the papers of a table for a job in millimetres or inches.
func compared(t *testing.T, table *option.Table, unit length.Unit) []File {
	t.Helper()
	paper := "A4"
	if unit.Imperial() {
		paper = "Letter"
	}
	files, _, err := Comparison(table, &job.Job{Name: table.Job.Name, Unit: unit, Paper: paper})
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := Comparison(table, &job.Job{Name: table.Job.Name, Unit: unit, Paper: paper})
	if err != nil {
		t.Fatal(err)
	}
	for i := range files {
		if !bytes.Equal(files[i].Data, again[i].Data) {
			t.Errorf("%s differs from run to run", files[i].Path)
		}
	}
	return files
}

func TestCompareCSV(t *testing.T) {
	table := sideBySide()
	data := find(t, compared(t, table, length.MM), "compare.csv").Data
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if head := strings.Join(rows[0], ","); head != "option,total,currency,cuts,delivery,bought_kg,scrap_kg,scrap_pct,stock_count,offcuts,build_kg,gap,note" {
		t.Errorf("the head is %s", head)
	}
	all := append(table.Rows[:len(table.Rows):len(table.Rows)], table.WhatIfs...)
	if len(rows) != 1+len(all) {
		t.Fatalf("%d lines for %d rows", len(rows), len(all))
	}
	for i, want := range all {
		got := rows[i+1]
		if !want.Planned {
			if got[1] != "" || !strings.HasPrefix(got[12], "no plan: ") {
				t.Errorf("without a plan: %q", got)
			}
			continue
		}
		// To the cent: what is printed is goods, carriage, and the charges named in
		// the note.
		_, note, named := strings.Cut(got[12], "square cuts ")
		cutting, terms, _ := strings.Cut(note, "; ")
		var total, delivery, cuts plan.Money
		for text, m := range map[string]*plan.Money{got[1]: &total, got[4]: &delivery, cutting: &cuts} {
			if err := m.UnmarshalJSON([]byte(`"` + text + `"`)); err != nil {
				t.Fatal(err)
			}
		}
		if total-delivery-cuts != want.Goods || delivery != want.Carriage || !named || terms != "fetched: North" {
			t.Errorf("%s: %s less %s is not %s and %q", want.Name, total, delivery, want.Goods, got[12])
		}
		// A third of a half.
		if got[7] != "16.67" {
			t.Errorf("%s: scrap %s %%", want.Name, got[7])
		}
	}
}

func TestCompareTerminal(t *testing.T) {
	for _, unit := range []length.Unit{length.MM, length.In} {
		var out bytes.Buffer
		if err := CompareSummary(&out, sideBySide(), &job.Job{Unit: unit}, "a/very/long/path/"+strings.Repeat("x", 100)); err != nil {
			t.Fatal(err)
		}
		for line := range strings.Lines(out.String()) {
			if n := cellWidth(strings.TrimSuffix(line, "\n")); n > 80 {
				t.Errorf("%d columns: %q", n, line)
			}
		}
		for _, want := range []string{"Buy as offered: 161.45 EUR in all", "Bought so: fetched: North.", "* as offered", "skin: 2500 x 1250 + 3000 x 1500", "no offer of tube"} {
			if !strings.Contains(out.String(), want) {
				t.Errorf("no %q in\n%s", want, out.String())
			}
		}
	}
}

func TestVerdict(t *testing.T) {
	s := style{currency: "EUR"}
	row := func(name string, kind option.Kind, total, gap plan.Money) option.Row {
		return option.Row{Name: name, Kind: kind, Planned: true, Total: total, Payable: total, Gap: gap}
	}
	taxed := row("without North", option.Supplier, 1000, 1)
	taxed.Payable = 1190
	offered, thin := row("as offered", option.AsOffered, 1000, 0), row("thin", option.Variant, 900, 50)
	for _, test := range []struct {
		rows []option.Row
		want string
	}{
		{nil, "None of the options has a plan."},
		{[]option.Row{{Name: "as offered"}}, "None of the options has a plan."},
		{[]option.Row{offered}, "Buy as offered: 10.00 EUR in all. No plan of this option can cost less, goods and charges together: proven for the prices entered on 2026-11-24."},
		{[]option.Row{offered, offered, offered}, "Buy as offered: 10.00 EUR in all, and 2 other options come to the same. No plan of this option can cost less, goods and charges together: proven for the prices entered on 2026-11-24."},
		{[]option.Row{thin, offered}, "Buy the variant thin: 9.00 EUR in all; the next best, as offered, costs 1.00 EUR more. At most 0.50 EUR of it could still be saved."},
		{[]option.Row{taxed}, "Buy without North: 10.00 EUR in all (to pay, with tax and without our own stock: 11.90 EUR). At most 0.01 EUR of it could still be saved."},
		{[]option.Row{row("North alone", option.Supplier, 1000, 1)}, "Buy from North alone: 10.00 EUR in all. At most 0.01 EUR of it could still be saved."},
	} {
		if got := s.verdictOf(&option.Table{Job: plan.JobRef{Date: "2026-11-24"}, Rows: test.rows}); got != test.want {
			t.Errorf("%s\nwant %s", got, test.want)
		}
	}
}

// An axis holds its values between round ends in at most six steps.
func TestSpan(t *testing.T) {
	for _, test := range []struct{ low, high, from, to, step int64 }{
		{168570, 188590, 165000, 190000, 5000}, {7, 7, 7, 7, 1}, {0, 1, 0, 1, 1}, {0, 10_000_000_000, 0, 10_000_000_000, 5_000_000_000}, {99, 101, 99, 101, 1},
	} {
		var a axis
		a.span([]int64{test.high, test.low})
		if a.from != test.from || a.to != test.to || a.step != test.step {
			t.Errorf("%d to %d: %d to %d by %d", test.low, test.high, a.from, a.to, a.step)
		}
	}
}

// Independent readers open the papers, in both systems and with nothing planned.
func TestComparePapers(t *testing.T) {
	empty := &option.Table{Job: plan.JobRef{Name: "Nothing"}, Currency: "EUR", Rows: []option.Row{{Name: "as offered", Notes: []string{"no offer of tube"}}}}
	for _, table := range []*option.Table{sideBySide(), empty} {
		for _, unit := range []length.Unit{length.MM, length.In} {
			dir := t.TempDir()
			files := compared(t, table, unit)
			look(t, dir, files)
			readsWith(t, "every option", filepath.Join(dir, "compare.pdf"), table.Rows[0].Name)
			svg := find(t, files, "compare.svg").Data
			if table.Rows[0].Planned && !bytes.Contains(svg, []byte("as offered")) {
				t.Error("the drawing does not name the job as offered")
			}
		}
	}
}

func readsWith(t *testing.T, what, path, want string) {
	t.Helper()
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("LEFT OUT: pdftotext is not installed: " + what)
	}
	text, err := exec.Command("pdftotext", "-layout", path, "-").CombinedOutput()
	if err != nil {
		t.Fatalf("%v: %s", err, text)
	}
	if !strings.Contains(string(text), want) {
		t.Errorf("no %q in %s", want, path)
	}
}
