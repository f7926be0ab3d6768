package job

import (
	"fmt"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// buy is the sound job with something above [tables], and other offers and quotes
// where they are given.
func buy(above, offers, quotes string) string {
	text := strings.Replace(sound, "[tables]\n", above+"\n[tables]\n", 1)
	if quotes != "" {
		text = strings.Replace(text, "[tables]\n", "[tables]\nquotes = '''\nsupplier, mark, price\n"+quotes+"'''\n", 1)
	}
	if offers != "" {
		from, to := strings.Index(text, "supplier, material, size"), strings.Index(text, "'''\npieces")
		text = text[:from] + offers + text[to:]
	}
	return text
}

func TestSupplierTerms(t *testing.T) {
	text := buy(`[supplier.North]
delivery = 35
fetch = 4.50
minimum = 80
cut = 1.20
mitre = 2
free-cuts = 10
cut-kerf = 4
metre-cut = "0.26 per ft"
pierce = 0.155
per-sheet = 5
set-up = "12 EUR"
tax = "8.25 %"
[supplier.West]
lays-out = "supplier"
fetch = 7
[supplier.East]
delivery = 0
metre-cut = 0.85
[supplier.Shed]
on-hand = true
lays-out = "us"`, "supplier, material, size, price, stock\nNorth, tube, 6000, 21.40,\nShed, tube, 2000, 0, 3\nEast, skin, 2500 x 1250, 58,\nMoor, skin, 2000 x 1000, 40,\n", "")
	j, err := readText(t, text)
	if err != nil {
		t.Fatal(err)
	}
	if err := compileSchema(t).Validate(asJSON(t, []byte(text))); err != nil {
		t.Error(err)
	}
	// 0.26 per foot of 0.3048 m is 0.853018… per metre.
	want := []Supplier{
		{Name: "North", Delivers: true, Fetched: true, Delivery: 3500, Fetch: 450, Minimum: 8000, Cut: 120, Mitre: 200, FreeCuts: 10, CutKerf: mm(4),
			CutMetre: 85302, Pierce: 15500, PerSheet: 500, SetUp: 1200, Tax: 8250},
		{Name: "West", Fetched: true, Fetch: 700, CutKerf: -1, ByMark: true},
		{Name: "East", Delivers: true, CutKerf: -1, CutMetre: 85000},
		{Name: "Shed", Delivers: true, CutKerf: -1, OnHand: true},
		{Name: "Moor", Fetched: true, CutKerf: -1},
	}
	if d := cmp.Diff(want, j.Suppliers, cmp.Transformer("anywhere", func(Pos) string { return "" })); d != "" {
		t.Error(d)
	}
}

func TestTiersAndPacks(t *testing.T) {
	for _, test := range []struct {
		rows  string
		price int64
		pack  int64
		stock int64
		tiers []Tier
	}{
		{"North, tube, 6000, 21.40 each, , ,", 2140, 1, -1, []Tier{{1, 2140, "21.40 each"}}},
		// 3.333 per m × 6 m is 19.998; the rounded bar times 4.
		{"North, tube, 6000, 3.333 per m, , 4, 40", 2000, 4, 40, []Tier{{1, 8000, "3.333 per m"}}},
		// 100 / 3 is 33.333… each; the pack costs what it says.
		{"North, tube, 6000, 100 per pack, , 3,", 3333, 3, -1, []Tier{{1, 10000, "100 per pack"}}},
		{"North, tube, 6000, 100 / bundle, 5+, 1,", 10000, 1, -1, []Tier{{5, 10000, "100 / bundle"}}},
		{"North, tube, 6000, 21.40 each, , ,\nNorth, tube, 6000, 19.90, ≥ 10, ,\nNorth, tube, 6000, 3.30 per m, 50 pcs, ,", 2140, 1, -1,
			[]Tier{{1, 2140, "21.40 each"}, {10, 1990, "19.90"}, {50, 1980, "3.30 per m"}}},
		{"North, tube, 6000, 80 per pack, 4, 4, 400\nNorth, tube, 6000, 19.5 each, 40, 4, 400", 2000, 4, 400, []Tier{{4, 8000, "80 per pack"}, {40, 7800, "19.5 each"}}},
	} {
		j, err := readText(t, buy("", "supplier, material, size, price, from, pack, stock\n"+test.rows+"\nEast, skin, 2500 x 1250, 58, , ,\n", ""))
		if err != nil {
			t.Errorf("%s: %v", test.rows, err)
			continue
		}
		o := j.Offers[0]
		if o.Price != test.price || o.Pack != test.pack || o.Stock != test.stock || len(j.Offers) != 2 || len(j.Remarks) > 0 {
			t.Errorf("%s: %+v, remarks %v", test.rows, o, j.Remarks)
		}
		if d := cmp.Diff(test.tiers, o.Tiers); d != "" {
			t.Errorf("%s: %s", test.rows, d)
		}
	}
	// Without a quantity rows of one size are offers of their own.
	j, err := readText(t, buy("", "supplier, material, size, price, stock\nNorth, tube, 6000, 31, 3\nNorth, tube, 6000, 47,\nEast, skin, 2500 x 1250, 58,\n", ""))
	if err != nil || len(j.Offers) != 3 {
		t.Errorf("%v, %+v", err, j)
	}
}

func TestBuyingHeads(t *testing.T) {
	for _, heads := range []string{
		"supplier; material; size; price; from qty; pack of", "Lieferant; Werkstoff; Abmessung; Preis; ab Menge; VPE",
		"Fournisseur; Matière; Format; Prix; À partir de; Lot de", "Proveedor; Material; Medida; Precio; Desde; Piezas por paquete",
		"supplier; material; size; price per pack; min. qty; bundle",
	} {
		j, err := readText(t, buy("", heads+"\nNorth; tube; 6000; 21.40; 8; 4\nEast; skin; 2500 x 1250; 58; ; 1\n", ""))
		if err != nil {
			t.Errorf("%s: %v", heads, err)
			continue
		}
		if o := j.Offers[0]; len(j.Remarks) > 0 || o.Pack != 4 || o.Tiers[0].From != 8 {
			t.Errorf("%s: %+v, %v", heads, o, j.Remarks)
		}
	}
	for _, word := range []string{"left long", "Long, we trim", "Übermaß", "Uebermass", "à ajuster", "a ajustar"} {
		j, err := readText(t, strings.Replace(sound, "quantity\nP1, tube, 1200, 45, 45, 4", "quantity, fit\nP1, tube, 1200, 45, 45, 4, \""+word+"\"\nP2, tube, 1200, 45, 45, 4, finished\nP3, tube, 1200, 45, 45, 4,", 1))
		if err != nil || !j.Pieces[0].LeftLong || j.Pieces[1].LeftLong || j.Pieces[2].LeftLong {
			t.Errorf("%s: %v, %+v", word, err, j)
		}
	}
}

// What may be bought, and what a job cannot get home, with every sentence.
func TestBuying(t *testing.T) {
	const west, sheet = "[supplier.West]\nlays-out = \"supplier\"", "supplier, material, size, price, stock\nEast, skin, 2500 x 1250, 58,\n"
	load := func(text, long string) string {
		return strings.Replace(text, "currency = \"EUR\"\n", "currency = \"EUR\"\nlongest-load = "+long+"\n", 1)
	}
	barsOnly := func(text string) string {
		from, to := strings.Index(text, "panels = '''"), strings.LastIndex(text, "'''")
		text = text[:from] + text[to+4:]
		return strings.Replace(text, "East, skin, 2500 x 1250, 58\n", "", 1)
	}
	alter := func(text, old, fresh string) string {
		if !strings.Contains(text, old) {
			t.Fatalf("%q is not in the job", old)
		}
		return strings.Replace(text, old, fresh, 1)
	}
	tooLong := `"P1" is 1200 mm long and at most %d mm of "tube" can be fetched under the longest load of %d mm; have a supplier deliver it, raise longest-load or split the piece`
	for name, test := range map[string]struct {
		text string
		want []string
	}{
		"quotes in place of an offer": {buy(west, sheet, "West, P1, 4.80\n"), nil},
		"a quote at fault says no more": {buy(west, sheet, "West, P1, x\n"),
			[]string{`price: "x" is not a price; write one such as 21.40 each, 3.70 per m or 4.20 per kg`}},
		"quotes for some of the marks": {alter(buy(west, "", "West, P1, 4.80\n"), "45, 4\n", "45, 4\nP2, tube, 300, 0, 0, 1\n"),
			[]string{`remark: "West" quotes marks of "tube" and not "P2", so none of them can be bought of it by the mark; add a row to quotes`}},
		"quotes for some of the marks and no offer": {alter(buy(west, sheet, "West, P1, 4.80\n"), "45, 4\n", "45, 4\nP2, tube, 300, 0, 0, 1\n"),
			[]string{`"P1" is cut from "tube" and no supplier offers it; add a row to offers`}},
		"a quote for two": {alter(buy(west, "", "West, S1, 4.80\n"), "P1, tube", "S1, tube"),
			[]string{`the mark "S1" is a panel here and a piece in job.toml:32:1; give one of them another mark, for their labels would be alike`}},
		"a quote of our own stock": {buy("[supplier.Shed]\non-hand = true", "", "Shed, S1, 4.80\n"),
			[]string{`"Shed" is our own stock and quotes nothing; take the row out`}},
		"a piece too long for bars and quoted": {alter(buy(west, "", "West, P1, 4.80\n"), "tube, 1200", "tube, 7000"), nil},

		"too long to fetch":                      {load(sound, "1199"), []string{fmt.Sprintf(tooLong, 1199, 1199)}},
		"as long as can be fetched":              {load(sound, "1200"), nil},
		"the tail is held in every part":         {load(alter(sound, "kerf = 2.5", "kerf = 2.5\ntail = 30"), "1210"), []string{fmt.Sprintf(tooLong, 1180, 1210)}},
		"too long to fetch and delivered":        {load(buy("[supplier.North]\ndelivery = 3", "", ""), "1199"), nil},
		"too long to fetch, of our own stock":    {load(buy("[supplier.Shed]\non-hand = true", "supplier, material, size, price, stock\nNorth, tube, 6000, 9,\nShed, tube, 1300, 0, 4\nEast, skin, 2500 x 1250, 58,\n", ""), "1199"), nil},
		"too long to fetch, cut by the supplier": {load(alter(sound, "kerf = 2.5", "kerf = 2.5\ntail = 30\ndone-by = \"supplier\""), "1199"), []string{fmt.Sprintf(tooLong, 1199, 1199)}},
		"quoted and too long to fetch":           {load(buy(west, sheet, "West, P1, 4.80\n"), "1199"), []string{`"P1" is cut from "tube" and no supplier offers it; add a row to offers`}},
		"quoted and delivered":                   {load(buy(west+"\ndelivery = 3", sheet, "West, P1, 4.80\n"), "1199"), nil},
		"a panel turned in the load":             {load(alter(sound, "skin, 600, 400", "skin, 400, 600"), `"1200 x 400"`), nil},
		"a panel too wide for the load": {load(sound, `"399 x 1200"`),
			[]string{`"S1" is 600 mm x 400 mm and the longest load is 1200 mm x 399 mm; have a supplier of "skin" deliver it, raise longest-load or split the panel`}},
		"a widest load without sheets": {barsOnly(load(sound, `"3000 x 400"`)), []string{`remark: nothing is cut from the material "skin"`}},
		"a widest load of bars alone": {alter(barsOnly(load(sound, `"3000 x 400"`)), "[material.skin]\nstock = \"sheet 1.5\"\nalloy = \"5005-H14\"\nprocess = \"laser\"\n", ""),
			[]string{"remark: the second length of longest-load is for sheets and the job has none"}},

		"a spare of a size that holds all": {alter(sound, "process = \"laser\"", "process = \"laser\"\nspare = 2\nspare-percent = 2.5"), nil},
		"no size that holds all": {alter(alter(buy("", "supplier, material, size, price\nNorth, tube, 6000, 9\nEast, skin, 2500 x 500, 58\nEast, skin, 700 x 700, 30\n", ""), "process = \"laser\"", "process = \"laser\"\nspare-percent = 5"),
			"S1, skin, 600, 400, 2", "S1, skin, 600, 600, 2\nS2, skin, 2000, 300, 1"),
			[]string{`no offer of "skin" is one from which every mark of it can be cut, so none is fit for a spare; offer a larger size, or take spare out of [material.skin]`}},
		"spares beyond any job": {alter(alter(sound, "process = \"laser\"", "process = \"laser\"\nspare = 2"), "process = \"saw\"", "process = \"saw\"\nspare = 999999"),
			[]string{"the spares add up to more than 1000000; check them"}},
	} {
		t.Run(name, func(t *testing.T) {
			j, err := readText(t, test.text)
			var got []string
			if faults, ok := err.(Faults); ok {
				for _, f := range faults {
					got = append(got, f.Text)
				}
			} else if err != nil {
				t.Fatal(err)
			} else {
				for _, m := range j.Remarks {
					got = append(got, "remark: "+m.Text)
				}
			}
			if d := cmp.Diff(test.want, got); d != "" {
				t.Error(d)
			}
		})
	}
}

func TestQuotesAndVariants(t *testing.T) {
	text := buy(`[supplier.West]
lays-out = "supplier"
delivery = 30
[supplier.North]
delivery = 35
[variant.near.supplier.North]
fetch = 2
[variant.thin.material.skin]
stock = "sheet 1.2"`, "supplier, material, size, price\nNorth, tube, 6000, 21.40\nEast, skin, 2500 x 1250, 58\nEast, thin.skin, 2500 x 1250, 48\n", "West, P1, 4.805\nWest, S1, € 12\n")
	j, err := readText(t, text)
	if err != nil {
		t.Fatal(err)
	}
	want := []Quote{{Supplier: 0, Mark: "P1", Price: 481}, {Supplier: 0, Mark: "S1", Price: 1200}}
	anywhere := cmp.Transformer("anywhere", func(Pos) string { return "" })
	if d := cmp.Diff(want, j.Quotes, anywhere); d != "" || len(j.Remarks) > 0 {
		t.Error(d, j.Remarks)
	}
	near, thin := j.Variants[0].Job, j.Variants[1].Job
	if s := near.Suppliers[1]; s.Delivery != 3500 || !s.Delivers || !s.Fetched || s.Fetch != 200 || len(near.Quotes) != 2 {
		t.Errorf("near: %+v", s)
	}
	if s := j.Suppliers[1]; s.Fetched || s.Fetch != 0 || thin.Suppliers[1] != s {
		t.Errorf("the job itself is changed: %+v", s)
	}
	// What West asks for S1 was for another sheet.
	if d := cmp.Diff(want[:1], thin.Quotes, anywhere); d != "" || !thin.Processes[1].BySupplier {
		t.Error(d)
	}
}

// Whatever rows say the same size, an offer that is read has ascending
// quantities, prices that do not rise, and a stock from which it can be sold.
func TestOffersProperty(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		rows := "supplier, material, size, price, from, pack, stock\nEast, skin, 2500 x 1250, 58, , ,\n"
		blank := func(name string, most int) string {
			if n := rapid.IntRange(0, most).Draw(rt, name); n > 0 {
				return fmt.Sprint(n)
			}
			return ""
		}
		pack, stock := blank("pack", 3), blank("stock", 30)
		for range rapid.IntRange(1, 4).Draw(rt, "rows") {
			unit := rapid.SampledFrom([]string{"each", "per m", "per kg", "per pack"}).Draw(rt, "unit")
			rows += fmt.Sprintf("North, tube, 6000, %d %s, %s, %s, %s\n", rapid.IntRange(1, 30).Draw(rt, "price"), unit, blank("from", 20), pack, stock)
		}
		j, err := readText(t, buy("", rows, ""))
		if (j == nil) == (err == nil) {
			rt.Fatalf("job %v with error %v", j, err)
		}
		if err != nil {
			return
		}
		for _, o := range j.Offers {
			if o.Pack < 1 || len(o.Tiers) == 0 || o.Tiers[0].From < 1 || o.Price > o.Tiers[0].Price {
				rt.Fatalf("%s%+v", rows, o)
			}
			for i, tier := range o.Tiers {
				if i > 0 && (tier.From <= o.Tiers[i-1].From || tier.Price > o.Tiers[i-1].Price) {
					rt.Fatalf("%s%+v", rows, o)
				}
			}
			if o.Stock >= 0 && o.Stock/o.Pack*o.Pack < o.Tiers[0].From {
				rt.Fatalf("%s%+v: none can be bought", rows, o)
			}
		}
	})
}
