package compare

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
)

// shed has every way to buy that a supplier may offer, and is small enough to be
// worked out by hand. Kerf and trims are nothing.
const shed = `[job]
name = "Shed"
date = 2026-11-24
unit = "mm"
currency = "EUR"
longest-load = "3000 x 1500"
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
[supplier.North]
delivery = 30
fetch = 5
cut = 1
free-cuts = 2
[supplier.East]
delivery = 12
[supplier.Ready]
delivery = 10
lays-out = "supplier"
[supplier.Rack]
on-hand = true
[variant.careful.material.tube]
spare = 1
[tables]
offers = '''
supplier, material, size, price, stock, from, pack
North, tube, 4000, 14, , , 
North, tube, 4000, 12, , 3, 
East, tube, 6000, 17.50, , , 2
Rack, tube, 2000, 4, 2, , 
North, skin, 2000 x 1000, 40, , , 
'''
quotes = '''
supplier, mark, price
Ready, S1, 16.50
'''
pieces = '''
mark, material, length, quantity
P1, tube, 2000, 6
'''
panels = '''
mark, material, length, width, quantity
S1, skin, 1000, 1000, 4
'''
`

// The figures are worked out by hand. A bar of 4 m from North, fetched, is cut in
// two at the yard; two such cuts are free.
//
// Tube: two of 4 m (28) and the two on the rack (8), fetched 5: 41. Three of 4 m
// (36), fetched 5, one cut charged: 42. A pack from East: 35 + 12 = 47.
// Skin: four ready 66 + 10 = 76; two sheets from North 80, with nothing to add
// when North is fetched from anyway.
func TestShed(t *testing.T) {
	const ready, fetched, yard, packs, tier = "ready from Ready: skin", "fetched: North", "2 cuts at the yard", "in packs: tube", "by quantity: tube"
	type row struct {
		total, goods, carriage, payable plan.Money
		others                          string
		stocks, longest                 int64
		text                            string // terms and notes
	}
	all := []string{ready, fetched, yard}
	want := map[string]row{
		"as offered": {117_00, 102_00, 15_00, 109_00, "", 4, 3000, strings.Join(all, "; ")},
		"tube: 4000": {117_00, 102_00, 15_00, 109_00, "", 4, 3000, "same as offered"},
		// 47 + 76
		"tube: 6000":             {123_00, 101_00, 22_00, 123_00, "", 2, 6000, ready + "; " + packs},
		"skin: ready from Ready": {117_00, 102_00, 15_00, 109_00, "", 4, 3000, "same as offered"},
		// 41 + 80
		"skin: cut from stock": {121_00, 116_00, 5_00, 113_00, "", 6, 3000, fetched + "; " + yard},
		"North alone":          {121_00, 116_00, 5_00, 113_00, "", 6, 3000, fetched + "; " + yard},
		"East alone":           {text: "no offer of skin"},
		"Ready alone":          {text: "tube: the stock runs out"},
		"without North":        {123_00, 101_00, 22_00, 123_00, "", 2, 6000, ready + "; " + packs},
		"without East":         {117_00, 102_00, 15_00, 109_00, "", 4, 3000, "same as offered"},
		"without Ready":        {121_00, 116_00, 5_00, 113_00, "", 6, 3000, fetched + "; " + yard},
		// 42 + 76
		"without Rack": {118_00, 102_00, 15_00, 118_00, "square cuts 1.00", 3, 3000, ready + "; " + fetched + "; " + tier + "; 3 cuts at the yard"},
		// Three of 4 m to cut, and one from the rack (4) to spare.
		"careful": {122_00, 106_00, 15_00, 118_00, "square cuts 1.00", 4, 3000, ready + "; " + fetched + "; " + tier + "; spare: 1 tube; 3 cuts at the yard"},
		// Fetched with the tube at 41, for 20 a square metre: 59.54 and two on a
		// sheet, 62.50 and two, 60 and three, 75 and three, 90 and three.
		"what if 2440 x 1220": {41_00 + 119_08, 36_00 + 119_08, 5_00, 33_00 + 119_08, "", 6, 3000, fetched + "; " + yard},
		"what if 2500 x 1250": {41_00 + 125_00, 36_00 + 125_00, 5_00, 33_00 + 125_00, "", 6, 3000, fetched + "; " + yard},
		"what if 3000 x 1000": {41_00 + 120_00, 36_00 + 120_00, 5_00, 33_00 + 120_00, "", 6, 3000, fetched + "; " + yard},
		"what if 3000 x 1250": {41_00 + 150_00, 36_00 + 150_00, 5_00, 33_00 + 150_00, "", 6, 3000, fetched + "; " + yard},
		"what if 3000 x 1500": {41_00 + 180_00, 36_00 + 180_00, 5_00, 33_00 + 180_00, "", 6, 3000, fetched + "; " + yard},
	}
	r := compared(t, read(t, shed), nil)
	rows := slices.Clone(r.Table.Rows)
	for _, w := range r.Table.WhatIfs {
		w.Name, w.Notes = "what if "+strings.TrimPrefix(w.Name, "skin: "), nil
		rows = append(rows, w)
	}
	for _, g := range rows {
		var others []string
		for _, e := range g.Others {
			others = append(others, fmt.Sprint(e.What, " ", e.Amount))
		}
		got := row{g.Total, g.Goods, g.Carriage, g.Payable, strings.Join(others, "; "), g.Stocks, int64(g.Longest / 40_000), strings.Join(append(g.Manner(), g.Notes...), "; ")}
		if w, known := want[g.Name]; !known || got != w {
			t.Errorf("%s is %+v, want %+v", g.Name, got, w)
		}
		if g.Planned && g.Gap != 0 {
			t.Errorf("%s: %s could still be saved", g.Name, g.Gap)
		}
	}
	if len(rows) != len(want) {
		t.Errorf("%d rows, want %d", len(rows), len(want))
	}
	// One stroke at the yard in the middle of each of two bars of 4 m.
	if n := find(t, r.Table, "as offered").Cuts; n != 2 {
		t.Errorf("%d cuts, want 2", n)
	}
}

// Two suppliers: without the one is the other alone. One supplier and our own
// stock: only the stock can be left out.
func TestSuppliers(t *testing.T) {
	for _, test := range []struct {
		drop []string
		want []string
	}{
		{[]string{"Rack", "Ready"}, []string{"North alone", "East alone"}},
		{[]string{"East", "Ready"}, []string{"without Rack"}},
		{[]string{"East", "Ready", "Rack"}, nil},
		{[]string{"Ready"}, []string{"North alone", "East alone", "without Rack"}},
		{[]string{"Rack"}, []string{"North alone", "East alone", "Ready alone", "without North", "without East", "without Ready"}},
	} {
		text := shed
		for _, name := range test.drop {
			for line := range strings.Lines(shed) {
				if strings.HasPrefix(line, name+", ") {
					text = strings.Replace(text, line, "", 1)
				}
			}
			if name == "Ready" {
				text = strings.Replace(text, "quotes = '''\nsupplier, mark, price\n'''\n", "", 1)
			}
			a := strings.Index(text, "[supplier."+name+"]")
			b := a + 1 + strings.Index(text[a+1:], "\n[")
			text = text[:a] + text[b+1:]
		}
		var got []string
		for _, c := range bySupplier(read(t, text)) {
			if c.kind != option.Supplier {
				t.Errorf("%s is of the kind %s", c.name, c.kind)
			}
			got = append(got, c.name)
		}
		if !slices.Equal(got, test.want) {
			t.Errorf("without %v: %v, want %v", test.drop, got, test.want)
		}
	}
}

// A row says in full how it is bought only where that is not as offered; and fewer
// offers that come to less show that the search as offered fell short.
func TestJudge(t *testing.T) {
	offered := option.Row{Kind: option.AsOffered, Planned: true, Total: 10, Goods: 8, Terms: []string{"fetched: North"}}
	row := func(kind option.Kind, total plan.Money, terms ...string) option.Row {
		return option.Row{Kind: kind, Planned: true, Total: total, Goods: 8, Terms: terms}
	}
	for _, test := range []struct {
		row          option.Row
		terms, notes string
	}{
		{row(option.Sizes, 10, "fetched: North"), "", "same as offered"},
		{row(option.Sizes, 11, "fetched: North"), "bought as offered", ""},
		{row(option.Sizes, 11), "", ""},
		{row(option.Sizes, 10, "fetched: East"), "fetched: East", "same as offered"},
		{row(option.Supplier, 9, "in packs: tube"), "in packs: tube", "cheaper than found as offered"},
		{row(option.Variant, 9, "fetched: North"), "bought as offered", ""},
		{row(option.WhatIf, 9), "", ""},
	} {
		r := test.row
		judge(&r, offered)
		if got := strings.Join(r.Manner(), "; "); got != test.terms {
			t.Errorf("%+v is bought so: %s", test.row, got)
		}
		if got := strings.Join(r.Notes, "; "); got != test.notes {
			t.Errorf("%+v is noted: %s", test.row, got)
		}
	}
}
