package job

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// offered reads one offer of one material and gives its price in cents.
func offered(t *testing.T, unit, currency, material, size, price string) int64 {
	t.Helper()
	kind, list := "saw", "pieces = '''\nmark, length\nP1, 1 mm\n'''\n"
	if strings.Contains(material, "sheet") {
		kind, list = "laser", "panels = '''\nmark, size\nP1, 1 x 1 mm\n'''\n"
	}
	text := "[job]\nname = \"Hide\"\nunit = \"" + unit + "\"\ncurrency = \"" + currency + "\"\n[material.m]\nprocess = \"" + kind + "\"\n" + material +
		"\n[process.saw]\nkerf = 0\n[process.laser]\nspacing = 0\n[tables]\n" + list +
		"offers = '''\nsupplier; size; price\nNorth; " + size + "; " + price + "\n'''\n"
	j, err := readText(t, text)
	if err != nil {
		t.Fatal(err)
	}
	return j.Offers[0].Price
}

// Prices by weight against published weights. Within is the cents that the
// rounding of the published figure leaves open.
func TestPriceByWeight(t *testing.T) {
	cases := []struct {
		unit, material, size, price string
		cents, within               int64
		source                      string
	}{
		// 4.25 kg/m × 6 m × 2.00
		{"mm", "stock = \"SHS 50x50x3\"\nalloy = \"S235\"", "6000", "2,00 per kg", 5100, 6, "EN 10219, transcribed in github.com/waynemaranga/steelsnakes (CFSHS.json)"},
		// 1.36 kg/m × 6 m × 10.00
		{"mm", "stock = \"SHS 25x25x2\"\nalloy = \"S235\"", "6 m", "10 €/kg", 8160, 30, "EN 10219, same source"},
		// 0.515 lb/ft × 20 ft × 3.00, at the 0.098 lb/in³ of that table
		{"in", "stock = \"sq tube 1x1x.125\"\ndensity = \"0.098 lb/in3\"", "20 ft", "3,00 per lb", 3090, 4, "Aluminum Association tables, transcribed in github.com/youandvern/encomp-docs"},
		// 1.25 × 2.5 m × 1 mm at 2.80 g/cm³ is 8.75 kg, exactly
		{"mm", "stock = \"sheet 1\"\ndensity = \"2.80 g/cm3\"", "2500 x 1250", "4 per kg", 3500, 0, "aluminium sheet weight chart, sanghvioverseasinc.com"},
		// half a cent is rounded up: 8.75 × 0.50 = 4.375
		{"mm", "stock = \"sheet 1\"\ndensity = \"2.80 g/cm3\"", "2500 x 1250", "0,50 per kg", 438, 0, "same source"},
		// 4 × 8 ft × 1/8 in at 0.0975 lb/in³ is 56.16 lb, exactly
		{"in", "stock = \"sheet 1/8\"\ndensity = \"0.0975 lb/in3\"", "4 x 8 ft", "1 / lb", 5616, 0, "biologyinsights.com, how much does a 4x8 sheet of 1/8 aluminum weigh"},
		// 16 gauge steel is 2.5 lb/ft² by the gauge table: 32 ft² × 2.5 lb × 0.80
		{"in", "stock = \"sheet 16 ga\"\nalloy = \"mild steel\"", "48 x 96 in", "0,80 per lb", 6400, 10, "weight of sheet steel by gauge, roofonline.com"},
	}
	for _, c := range cases {
		got := offered(t, c.unit, "EUR", c.material, c.size, c.price)
		if d := got - c.cents; d > c.within || d < -c.within {
			t.Errorf("%s, %s at %s: %d cents, %d published (%s)", c.material, c.size, c.price, got, c.cents, c.source)
		}
	}
}

// Prices by length and area, by arithmetic: 1 ft = 0.3048 m exactly
// (international yard and pound agreement, 1959).
func TestPriceByMeasure(t *testing.T) {
	const bar, sheet = "stock = \"SHS 25x25x2\"\nalloy = \"6063\"", "stock = \"sheet 1.5\"\nalloy = \"5005\""
	for _, c := range []struct {
		material, size, price string
		cents                 int64
	}{
		{bar, "5000", "3,70 per m", 1850},
		{bar, "5000", "3,70/m", 1850},
		{bar, "20 ft", "1,15 per ft", 2300},
		{bar, "20 ft", "1,15 per foot", 2300},
		{bar, "6096 mm", "1,15 / ft", 2300},
		{bar, "6 m", "21,40", 2140},
		{bar, "6 m", "EUR 21,40 each", 2140},
		{bar, "6 m", "€ 21,40", 2140},
		{bar, "6 m", "21,40 €/Stk", 2140},
		{bar, "6 m", "1.234,50", 123450},
		{bar, "6 m", "1 234,50 pro Stange", 123450},
		{bar, "3333", "0,15 per m", 50}, // 0.49995
		{bar, "0,1 in", "1 per in", 10},
		{sheet, "2500 x 1250", "24 per m2", 7500},
		{sheet, "2500 x 1250", "24 per m²", 7500},
		{sheet, "2500 x 1250", "24 / sq m", 7500},
		{sheet, "4 x 8 ft", "3 per ft2", 9600},
		{sheet, "4 x 8 ft", "3 per sq ft", 9600},
		{sheet, "48 × 96 in", "3 per ft²", 9600},
		{sheet, "2500x1250", "58", 5800},
	} {
		if got := offered(t, "mm", "EUR", c.material, c.size, c.price); got != c.cents {
			t.Errorf("%s at %s: %d cents, not %d", c.size, c.price, got, c.cents)
		}
	}
}

// A price per foot of a bar in feet is the amount times the feet, rounded half
// up, whatever the figures.
func TestPricePerFoot(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tenths := rapid.Int64Range(1, 99_999).Draw(t, "tenths of a cent per foot")
		feet := rapid.Int64Range(1, 40).Draw(t, "feet")
		r := newReader("job.toml")
		r.job.Currency = "USD"
		p, err := r.parsePrice(fmt.Sprintf("%d.%03d per ft", tenths/1000, tenths%1000), false)
		if err != nil {
			t.Fatal(err)
		}
		tube, err := section.Parse("SHS 25x25x2", length.MM)
		if err != nil {
			t.Fatal(err)
		}
		amount, err := p.each(tube, section.Material{}, length.Length(feet)*length.Foot, 0)
		if err != nil {
			t.Fatal(err)
		}
		got, _, err := toCents(amount)
		if want := (tenths*feet + 5) / 10; err != nil || got != want {
			t.Fatalf("%d cents, not %d (%v)", got, want, err)
		}
	})
}
