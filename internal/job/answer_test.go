package job

import (
	"encoding/csv"
	"fmt"
	"os"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

const screen = `[job]
name = "Reed screen"
unit = "mm"
currency = "EUR"
%s
[material.tube]
stock = "SHS 25x25x2"
alloy = "6063-T6"
process = "saw"

[material.skin]
stock = "sheet 1.5"
alloy = "5005-H14"
process = "saw"

[process.saw]
kind = "saw"
kerf = 2.5

[supplier.Rack]
on-hand = true

%s
[tables]
pieces = '''
mark, material, length, left, right, quantity
P1,   tube,     1200,   45,   45,    4
P2,   tube,     900,    0,    0,     2
'''
panels = '''
mark, material, length, width, quantity
S1,   skin,     1000,   600,   2
'''
offers = '''
%s'''
%s`

const screenOffers = `supplier, material, size,        price, stock
North,    tube,     6000,        21.40,
North,    skin,     2500 x 1250, 58,
East,     tube,     6000,        20.15,
East,     tube,     5000,        18,
Rack,     tube,     3000,        0,     2
`

func screenJob(t testing.TB) *Job {
	t.Helper()
	j, err := readText(t, fmt.Sprintf(screen, "", "", screenOffers, ""))
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// answer writes rows of an enquiry as a supplier sends them back.
func answer(t testing.TB, name string, rows [][]string, separator rune) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), name)
	f, err := os.Create(path)
	if err != nil {
		t.Fatal(err)
	}
	w := csv.NewWriter(f)
	w.Comma = separator
	if err := w.WriteAll(rows); err != nil {
		t.Fatal(err)
	}
	if err := f.Close(); err != nil {
		t.Fatal(err)
	}
	return path
}

var answerHeads = []string{"id", "mark", "material", "price each (EUR)", "from", "pack", "stock available", "note"}

// Every size once, our own stock not at all, and every mark.
func TestEnquiry(t *testing.T) {
	j := screenJob(t)
	var got []string
	for _, a := range j.Enquiry() {
		got = append(got, strings.TrimSpace(fmt.Sprintf("%s %s %s %d", j.Materials[a.Material].Key, a.Mark, j.sizeText(a.Length, a.Width), a.Quantity)))
	}
	want := []string{"tube  6000 mm 0", "tube  5000 mm 0", "skin  2500 x 1250 mm 0", "tube P1 1200 mm 4", "tube P2 900 mm 2", "skin S1 1000 x 600 mm 2"}
	if !reflect.DeepEqual(got, want) {
		t.Errorf("asked %q, want %q", got, want)
	}
	before := j.Enquiry()
	j.Pieces[0].Left = 30_000
	for i, a := range j.Enquiry() {
		if (a.ID != before[i].ID) != (a.Mark == "P1") {
			t.Errorf("id %s, was %s, though only P1 changed", a.ID, before[i].ID)
		}
	}
}

func TestAnswerFaults(t *testing.T) {
	j := screenJob(t)
	ids := map[string]string{}
	for _, a := range j.Enquiry() {
		ids[j.Materials[a.Material].Key+a.Mark+fmt.Sprint(int64(a.Length/40_000))] = a.ID
	}
	bar, p1, p2 := ids["tube6000"], ids["tubeP11200"], ids["tubeP2900"]
	for _, c := range []struct{ row, want string }{
		{bar + "|||much|", `price: "much" is not a price; write one such as 21.40 each, 3.70 per m or 4.20 per kg`},
		{bar + "||skin|20|", `the material is "skin" and row ` + bar + ` was sent with "tube"; the rows were mixed up, so fill in the enquiry as it was sent`},
		{p1 + "|P2|tube|7|", `the mark is "P2" and row ` + p1 + ` was sent with "P1"; the rows were mixed up, so fill in the enquiry as it was sent`},
		{p2 + "|P2|tube|3 per m|", `price "3 per m" is per m; write what one costs cut and ready, such as 4.80`},
		{"S0|||7|", `the enquiry of this job has no row "S0"; it was changed since, so ask again for the price`},
		{"|||7|", "the row has a price and no id; copy the whole row of the enquiry to give a further price"},
		{"delivery|||-3|", `delivery "-3" is not an amount; write 0 or more, such as 35`},
		{"cut|||3 per m|", `cut: "3 per m" is per something; write the amount alone, such as 35`},
		{bar + "|||7||0", `pack "0" is not a whole number from 1 up; write how many bars or sheets make one pack, or leave it empty where they are sold singly`},
		{bar + "||||", `no row of the enquiry has a price; fill in the column "price each"`},
	} {
		cells := append(strings.Split(c.row, "|"), "", "", "")
		// A row with nothing but figures at the end would be one of totals.
		rows := [][]string{answerHeads, cells, {p2, "P2", "tube", "", "", "", "", "last"}}
		_, err := ReadAnswer(answer(t, "filled.csv", rows, ','), j, "West")
		faults, ok := err.(Faults)
		if !ok || len(faults) != 1 || faults[0].Text != c.want {
			t.Errorf("%s: %v, want %q", c.row, err, c.want)
			continue
		}
		if faults[0].Pos.Line < 1 || faults[0].Pos.Column < 1 {
			t.Errorf("%s: the fault is at %s", c.row, faults[0].Pos)
		}
	}
	_, err := ReadAnswer(answer(t, "list.csv", [][]string{{"mark", "length"}, {"P1", "1200"}}, ','), j, "West")
	if err == nil || !strings.Contains(err.Error(), "names the columns of an enquiry") {
		t.Errorf("a cut list is taken for an enquiry: %v", err)
	}
}

// What an answer says and what a job with its rows as offers and quotes says is the same,
// whatever separator and decimal sign the supplier's program writes.
func TestAnswerRoundTrip(t *testing.T) {
	j := screenJob(t)
	rapid.Check(t, func(rt *rapid.T) {
		comma := rapid.Bool().Draw(rt, "decimal comma")
		money := func(cents int64) string {
			text := centsText(cents)
			if comma {
				text = strings.Replace(text, ".", ",", 1)
			}
			return text
		}
		rows := [][]string{answerHeads}
		marks := rapid.Bool().Draw(rt, "marks")
		for _, a := range j.Enquiry() {
			key := j.Materials[a.Material].Key
			price := rapid.Int64Range(1, 100_000).Draw(rt, "price")
			if a.Mark != "" {
				text := ""
				if marks {
					text = money(price)
				}
				rows = append(rows, []string{a.ID, a.Mark, key, text, "", "", "", ""})
				continue
			}
			pack, stock := "", ""
			if n := rapid.Int64Range(1, 4).Draw(rt, "pack"); n > 1 {
				pack = fmt.Sprint(n)
			}
			if rapid.Bool().Draw(rt, "limited") {
				stock = "500"
			}
			from := int64(1)
			for range rapid.IntRange(1, 3).Draw(rt, "tiers") {
				rows = append(rows, []string{a.ID, "", key, money(price), fmt.Sprint(from), pack, stock, ""})
				from += rapid.Int64Range(1, 20).Draw(rt, "step")
				price -= rapid.Int64Range(0, price-1).Draw(rt, "less")
			}
		}
		separator := ','
		if comma {
			separator = ';'
		}
		a, err := ReadAnswer(answer(t, "filled.csv", rows, separator), j, "West")
		if err != nil {
			rt.Fatal(err)
		}
		table := func(rows [][]string) string {
			var b strings.Builder
			w := csv.NewWriter(&b)
			if err := w.WriteAll(rows); err != nil {
				rt.Fatal(err)
			}
			return b.String()
		}
		head, quotes := "", ""
		if marks {
			head, quotes = a.SupplierText("West"), "quotes = '''\n"+table(a.QuoteRows("West"))+"'''\n"
		}
		k, err := readText(t, fmt.Sprintf(screen, "", head, table(a.OfferRows(j, "West")), quotes))
		if err != nil {
			rt.Fatal(err)
		}
		if len(k.Offers) != len(a.Offers) || len(k.Quotes) != len(a.Quotes) {
			rt.Fatalf("%d offers and %d quotes, want %d and %d", len(k.Offers), len(k.Quotes), len(a.Offers), len(a.Quotes))
		}
		for i, o := range k.Offers {
			w := a.Offers[i]
			if o.Material != w.Material || o.Length != w.Length || o.Width != w.Width || o.Pack != w.Pack || o.Stock != w.Stock || len(o.Tiers) != len(w.Tiers) {
				rt.Fatalf("offer %+v, want %+v", o, w)
			}
			for n, tier := range o.Tiers {
				if tier.From != w.Tiers[n].From || tier.Price != w.Tiers[n].Price {
					rt.Fatalf("tier %+v, want %+v", tier, w.Tiers[n])
				}
			}
		}
		for i, q := range k.Quotes {
			if q.Mark != a.Quotes[i].Mark || q.Price != a.Quotes[i].Price {
				rt.Fatalf("quote %+v, want %+v", q, a.Quotes[i])
			}
		}
	})
}
