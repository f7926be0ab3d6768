package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"path"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
)

// changed is a difference put together by hand: the hide with one more bar from
// the north and fewer sheets from Eastmere; what Marsh is to send stays.
func changed() *change.Diff {
	text := func(s string) change.Value { return change.Value{Form: change.Text, Text: s} }
	number := func(f change.Form, n int64) change.Value { return change.Value{Form: f, Number: n} }
	return &change.Diff{
		Currency: "EUR",
		Old: change.Side{Number: "1a2b3c4d", Job: plan.JobRef{Name: "Bird hide", Date: "2026-11-24"}, Goods: 27477, Charges: 3500, Payable: 30977, Bound: 30637, Status: plan.Open,
			Mass: plan.Masses{Pieces: 18_340_000, Bought: 25_000_000, Scrap: 2_500_000}, Struck: "effort"},
		New: change.Side{Number: "5e6f7a8b", Job: plan.JobRef{Name: "Bird hide", Revision: "C", Date: "2026-11-25"}, Goods: 23800, Charges: 3500, Payable: 27300, Bound: 27300, Status: plan.Proven,
			Mass: plan.Masses{Pieces: 19_340_000, Bought: 24_000_000, Scrap: 1_200_000}},
		Entries: []change.Entry{
			{Kind: change.Head, State: change.Changed, Fields: []change.Field{{Name: "revision", Old: text(""), New: text("C")}}},
			{Kind: change.Piece, Name: "P1", State: change.Changed, Fields: []change.Field{{Name: "length", Old: number(change.Length, int64(1200*mm)), New: number(change.Length, int64(1200*mm+1))},
				{Name: "left", Old: number(change.Angle, -22500), New: number(change.Angle, 45000)}}},
			{Kind: change.Panel, Name: "S9", State: change.Added, Fields: []change.Field{{Name: "turn", New: number(change.Flag, 1)}, {Name: "note", New: text(strings.Repeat("a long note ", 30))}}},
			{Kind: change.Material, Name: "tube", State: change.Changed, Fields: []change.Field{{Name: "growth", Old: number(change.Percent, 500), New: number(change.Percent, 250)}}},
			{Kind: change.Offer, Name: "Eastmere, skin", Length: 2500 * mm, Width: 1250 * mm, State: change.Removed, Fields: []change.Field{{Name: "price", Old: number(change.Money, 5817)}}},
			{Kind: change.Variant, Name: "thin", State: change.Added},
		},
		Lines: []change.Line{
			{Supplier: "Eastmere", Stock: "sheet 1.5 mm", Alloy: "5005-H14", Length: 2500 * mm, Width: 1250 * mm, Old: 4, New: 1},
			{Supplier: "Marsh Supply", Stock: "ply 12 mm", Alloy: "birch ply", Length: 2440 * mm, Width: 1220 * mm, Old: 2, New: 2},
			{Supplier: "North Reach Metals", Stock: "SHS 25x25x2 mm", Alloy: "6063-T6", Length: 6000 * mm, Old: 5, New: 6},
			{Supplier: "North Reach Metals", Stock: "SHS 25x25x2 mm", Alloy: "6063-T6", Length: 5000 * mm, Old: 2, New: 2},
		},
	}
}

func changePapers(t testing.TB, d *change.Diff, j *job.Job) []File {
	t.Helper()
	files, _, err := Changes(d, j)
	if err != nil {
		t.Fatal(err)
	}
	again, _, err := Changes(d, j)
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

func csvRows(t testing.TB, f File) []string {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(f.Data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	var out []string
	for _, r := range rows {
		out = append(out, strings.Join(r, "|"))
	}
	return out
}

func TestChangeFiles(t *testing.T) {
	files := changePapers(t, changed(), &job.Job{Unit: length.MM, Paper: "A4"})
	var names []string
	for _, f := range files {
		names = append(names, f.Path)
	}
	// Marsh has nothing to do.
	want := "changes.csv Eastmere/change.pdf Eastmere/change.csv North-Reach-Metals/change.pdf North-Reach-Metals/change.csv"
	if got := strings.Join(names, " "); got != want {
		t.Errorf("files %s, want %s", got, want)
	}
	got := csvRows(t, find(t, files, "North-Reach-Metals/change.csv"))
	if want := []string{"supplier|stock|alloy|length_mm|width_mm|old_count|new_count|add|cancel|old_plan|new_plan|mark",
		"North Reach Metals|SHS 25x25x2 mm|6063-T6|6000||5|6|1|0|1a2b3c4d|5e6f7a8b|",
		"North Reach Metals|SHS 25x25x2 mm|6063-T6|5000||2|2|0|0|1a2b3c4d|5e6f7a8b|"}; fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("note %q, want %q", got, want)
	}
	all := strings.Join(csvRows(t, find(t, files, "changes.csv")), "\n")
	for _, row := range []string{"kind|name|length_mm|width_mm|state|field|old|new|unit", "piece|P1|||changed|length|1200|1200.000025|mm", "piece|P1|||changed|left|-22.5|45|degrees",
		"panel|S9|||added|turn||true|", "material|tube|||changed|growth|5.00|2.50|%", "offer|Eastmere, skin|2500|1250|removed|price|58.17||EUR", "variant|thin|||added||||",
		"plan||||changed|to pay|309.77|273.00|EUR", "plan|||||charges|35.00|35.00|EUR", "plan||||changed|waste|10.00|5.00|%",
		"order|Eastmere: sheet 1.5 mm, 5005-H14|2500|1250|cancel 3|count|4|1|", "order|Marsh Supply: ply 12 mm, birch ply|2440|1220|as ordered|count|2|2|"} {
		if !strings.Contains("\n"+all+"\n", "\n"+row+"\n") {
			t.Errorf("changes.csv lacks %q:\n%s", row, all)
		}
	}
}

// A supplier reads of its own goods and of the two plans, not of prices, proofs
// or others.
func TestChangeNoteIsForOneSupplier(t *testing.T) {
	for _, unit := range []length.Unit{length.MM, length.In} {
		files := changePapers(t, changed(), &job.Job{Unit: unit, Paper: map[length.Unit]string{length.MM: "A4", length.In: "Letter"}[unit]})
		for name, says := range map[string]string{"Eastmere": "cancel 3", "North-Reach-Metals": "add 1"} {
			page := flat(text(t, find(t, files, path.Join(name, "change.pdf"))))
			for _, w := range []string{says, "1a2b3c4d", "5e6f7a8b"} {
				if !strings.Contains(page, flat(w)) {
					t.Errorf("%s: the note lacks %q: %s", name, w, page)
				}
			}
			other := map[string]string{"Eastmere": "North Reach", "North-Reach-Metals": "Eastmere"}[name]
			for _, w := range []string{other, "Marsh", "238.00", "273.00", "EUR", "proven", "saved"} {
				if strings.Contains(page, flat(w)) {
					t.Errorf("%s: the note says %q: %s", name, w, page)
				}
			}
		}
		qpdf := tool(t, "qpdf")
		for _, f := range pdfs(files) {
			run(t, f, qpdf, "--check", "FILE")
		}
	}
}

func TestChangeSummary(t *testing.T) {
	var b bytes.Buffer
	if err := ChangeSummary(&b, changed(), &job.Job{Unit: length.MM}, strings.Repeat("deep/", 40)); err != nil {
		t.Fatal(err)
	}
	narrow(t, b.String())
	for _, w := range []string{"~ job: revision C, was none", "~ piece P1: length 1200.000025 mm, was 1200 mm; left 45°, was −22.5°", "+ panel S9: turn yes; note a long note",
		"~ material tube: growth 2.5 %, was 5 %", "- offer Eastmere, skin, 2500 × 1250 mm: price 58.17", "+ variant thin", "-36.77", "+1.00", "-5.00 %",
		"Old total: at most 3.40 EUR could still be saved.", "New total: proven cheapest for the prices entered on 2026-11-25.", "1, was 4      cancel 3", "6, was 5         add 1",
		"after plan no. 1a2b3c4d.", "North-Reach-Metals/change.pdf"} {
		if !strings.Contains(b.String(), w) {
			t.Errorf("the summary lacks %q:\n%s", w, b.String())
		}
	}
	if b.Reset(); ChangeSummary(&b, changed(), &job.Job{Unit: length.MM}, "") != nil || strings.Contains(b.String(), "Papers") {
		t.Errorf("papers where none were written:\n%s", b.String())
	}
}

// Nothing a user names, counts or pays may break the lines.
func TestChangeSummaryOfAnything(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := changed()
		name := rapid.String().Draw(t, "name")
		d.New.Job.Name, d.Currency = name, rapid.StringN(0, 8, -1).Draw(t, "currency")
		d.New.Payable = plan.Money(rapid.Int64Range(0, 1e13).Draw(t, "payable"))
		d.Entries[1].Name, d.Entries[2].Fields[1].New.Text = rapid.String().Draw(t, "mark"), rapid.String().Draw(t, "note")
		d.Lines[0] = change.Line{Supplier: name, Stock: rapid.String().Draw(t, "stock"), Length: length.Length(rapid.Int64Range(1, 1e10).Draw(t, "length")),
			Old: rapid.Int64Range(0, 1e12).Draw(t, "old"), New: rapid.Int64Range(0, 1e12).Draw(t, "new")}
		var b bytes.Buffer
		if err := ChangeSummary(&b, d, &job.Job{Unit: rapid.SampledFrom([]length.Unit{length.MM, length.In, length.Ft}).Draw(t, "unit"), Fraction: 16}, name); err != nil {
			t.Fatal(err)
		}
		narrow(t, b.String())
	})
}
