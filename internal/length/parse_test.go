package length

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The international inch: 1 in = 25.4 mm, 1 ft = 304.8 mm, exactly (international
// yard and pound agreement, 1959).
func TestInternationalInch(t *testing.T) {
	for _, c := range []struct {
		a, b string
	}{
		{"1 in", "25.4 mm"}, {"1 ft", "304.8 mm"}, {"1/64 in", "0.396875 mm"}, {"39 3/8 in", "1000.125 mm"},
		{"1 m", "1000 mm"}, {"100 cm", "1 m"}, {"0.001 in", "0.0254 mm"},
	} {
		if a, b := must(t, c.a, Reading{}), must(t, c.b, Reading{}); a != b {
			t.Errorf("%s = %d units, %s = %d", c.a, a, c.b, b)
		}
	}
	if Sixtyfourth != 15_875 || Micrometre != 40 || Inch/1000 != 1016 {
		t.Error("base unit is not 25 nm")
	}
}

func must(t testing.TB, text string, r Reading) Length {
	t.Helper()
	l, err := Parse(text, r)
	if err != nil {
		t.Fatalf("Parse(%q): %v", text, err)
	}
	return l
}

const frac = 47*Inch + 3*Inch/8 // 47 3/8 in = 3 ft 11 3/8 in

// Ways of writing on tape-and-saw lists; common practice, no source. The value
// of each is worked out by hand in inches or millimetres.
func TestParseForms(t *testing.T) {
	mm, in, ft := Reading{Unit: MM}, Reading{Unit: In}, Reading{Unit: Ft}
	comma := Reading{DecimalComma: true}
	for _, c := range []struct {
		text string
		r    Reading
		want Length
	}{
		{"1200", mm, 1200 * Millimetre},
		{"1200", Reading{Unit: CM}, 12000 * Millimetre},
		{" 1200 ", mm, 1200 * Millimetre},
		{"1200.", mm, 1200 * Millimetre},
		{"1413 mm", in, 1413 * Millimetre},
		{"1.2 m", mm, 1200 * Millimetre},
		{"1.2m", in, 1200 * Millimetre},
		{"120cm", mm, 1200 * Millimetre},
		{"120 cm.", mm, 1200 * Millimetre},
		{"12 Millimeter", mm, 12 * Millimetre},
		{"0.5", mm, Millimetre / 2},
		{".125", in, Inch / 8},
		{".125", mm, Millimetre / 8},
		{"55.625", in, 55*Inch + 5*Inch/8},
		{"55 5/8", in, 55*Inch + 5*Inch/8},
		{"4' 7-5/8\"", mm, 55*Inch + 5*Inch/8},
		{"47 3/8 in", mm, frac},
		{"47-3/8\"", mm, frac},
		{"47 3/8\"", mm, frac},
		{"47 3/8''", mm, frac},
		{"47⅜ in", mm, frac},
		{"47 ⅜", in, frac},
		{"47 3⁄8 Zoll", mm, frac},
		{"47³⁄₈ pouces", mm, frac},
		{"47 3∕8 pulgadas", mm, frac},
		{"3' 11-3/8\"", mm, frac},
		{"3'11 3/8", mm, frac},
		{"3'-11 3/8\"", mm, frac},
		{"3' - 11 3/8\"", mm, frac},
		{"3'-11-3/8\"", mm, frac},
		{"3 ft 11 3/8 in", mm, frac},
		{"3ft 11.375in.", mm, frac},
		{"3 feet 11 3/8 inches", mm, frac},
		{"3′ 11⅜″", mm, frac},
		{"3’ 11 3/8”", mm, frac},
		{"3‘ 11 3/8’’", mm, frac},
		{"3`11 3/8", mm, frac},
		{"3'\u00a011\u20113/8\"", mm, frac},
		{"3' 3/8\"", mm, 36*Inch + 3*Inch/8},
		{"5 ft", mm, 60 * Inch},
		{"5'", mm, 60 * Inch},
		{"5", ft, 60 * Inch},
		{"5-1/2", ft, 66 * Inch},
		{"3.5 ft", mm, 42 * Inch},
		{"½", in, Inch / 2},
		{"½ mm", in, Millimetre / 2},
		{"47½", in, 47*Inch + Inch/2},
		{"1 1/2 mm", mm, 3 * Millimetre / 2},
		{"9/8 in", mm, 9 * Inch / 8},
		{"010/016 in", mm, 10 * Inch / 16}, // a leading zero is not octal
		{"1'080/0100", mm, 12*Inch + 8*Inch/10},
		{"007", mm, 7 * Millimetre},
		{"1 200", mm, 1200 * Millimetre},
		{"12 345.5", mm, 12345*Millimetre + Millimetre/2},
		{"1\u00a0200", mm, 1200 * Millimetre},
		{"1\u2009200", mm, 1200 * Millimetre},
		{"1\u202f200 mm", mm, 1200 * Millimetre},
		{"1 200 3/8 in", mm, 1200*Inch + 3*Inch/8},
		{"1,234.5", mm, 1234*Millimetre + Millimetre/2},
		{"1,5", comma, 3 * Millimetre / 2},
		{"0,125", comma, Millimetre / 8},
		{"1 200,5", comma, 1200*Millimetre + Millimetre/2},
		{"1.234,5", comma, 1234*Millimetre + Millimetre/2},
		{"1,2 m", comma, 1200 * Millimetre},
		{"-5", mm, -5 * Millimetre},
		{"−5 mm", mm, -5 * Millimetre},
		{"+5", mm, 5 * Millimetre},
		{"-3' 11-3/8\"", mm, -frac},
		{"- 47-3/8", in, -frac},
		{"0", mm, 0},
		{"\ufeff1200", mm, 1200 * Millimetre},
		{"1000 m", mm, Max},
	} {
		if got, err := Parse(c.text, c.r); err != nil || got != c.want {
			t.Errorf("Parse(%q, %+v) = %d, %v; want %d", c.text, c.r, got, err, c.want)
		}
	}
}

// Each refusal quotes what was written and says what to write instead.
func TestParseRefuses(t *testing.T) {
	mm, in := Reading{}, Reading{Unit: In}
	comma := Reading{DecimalComma: true}
	for _, c := range []struct {
		text   string
		r      Reading
		advice string
	}{
		{"", mm, "missing"},
		{"  \u00a0", mm, "missing"},
		{"1,5", mm, `write 1.5, or separate the table with semicolons and say decimal = ","`},
		{"0,125", mm, "write 0.125"},
		{",125", mm, "write 0.125"},
		{"1,234", mm, "could be 1234 or 1.234"},
		{"1.234", comma, "could be 1234 or 1,234"},
		{"1.5", comma, "write 1,5"},
		{"1.234,5", mm, "write 1234.5"},
		{"1,234.5", comma, "write 1234,5"},
		{"1.234.567", mm, "write 1234567"},
		{"1.2.3", mm, "not a number"},
		{"1,23,4", mm, "not a number"},
		{"1..5", mm, "not a number"},
		{".", mm, "not a number"},
		{"47 3/8", mm, "write 47 3/8 in"},
		{"½", mm, "write 1/2 in"},
		{"3-11-3/8", in, `write 3' 11-3/8"`},
		{"3-11", in, `write 3' 11-3/8"`},
		{"3' 14\"", mm, "twelve inches"},
		{"3' 12\"", mm, "twelve inches"},
		{"3.5' 2\"", mm, "whole feet"},
		{"3' 11 mm", mm, "not feet and inches"},
		{"3' 11\" 2", mm, "not feet and inches"},
		{"47 9/8", in, "47 3/8"},
		{"47 8/8", in, "47 3/8"},
		{"1.5 1/2", in, "one or the other"},
		{"1/0 in", mm, "divides by zero"},
		{"1/00 in", mm, "divides by zero"},
		{"1/2/3 in", mm, "one slash"},
		{"1/2.5 in", mm, "two whole numbers"},
		{"1.5/2 in", mm, "two whole numbers"},
		{"1/ in", mm, "two whole numbers"},
		{"NaN", mm, "write a number"},
		{"inf", mm, "write a number"},
		{"ten", mm, "write a number"},
		{"-", mm, "no number"},
		{"--5", mm, "write a number"},
		{"1e3", mm, "write the number out"},
		{"0x10", mm, "not a unit"},
		{"12 parsec", mm, "mm, cm, m, in or ft"},
		{"12 km", mm, "mm, cm, m, in or ft"},
		{"12 x 4", mm, "mm, cm, m, in or ft"},
		{"12 #", mm, "cannot be read"},
		{"1 20", mm, "cannot be read"},
		{"1 2000", mm, "cannot be read"},
		{"0 200", mm, "cannot be read"},
		{"1200 300", mm, "cannot be read"},
		{"1 m 20 cm", mm, "one number and one unit"},
		{"1200 mm 5", mm, "one number and one unit"},
		{"1000.000025 m", mm, "more than 1000 m"},
		{"-1001 m", mm, "more than 1000 m"},
		{"99999999999999999999999999999999", mm, "more than 1000 m"},
		{strings.Repeat("1", 200), mm, "too long"},
		{"１２", mm, "write a number"},
	} {
		got, err := Parse(c.text, c.r)
		if err == nil || got != 0 {
			t.Errorf("Parse(%q, %+v) = %d, %v; want a refusal", c.text, c.r, got, err)
			continue
		}
		if !strings.Contains(err.Error(), c.advice) {
			t.Errorf("Parse(%q): %q does not say %q", c.text, err, c.advice)
		}
		if strings.Contains(err.Error(), "\n") {
			t.Errorf("Parse(%q): %q is not one line", c.text, err)
		}
	}
}

// Thousands as the Swiss write them; never a foot in a list of millimetres.
func TestApostrophes(t *testing.T) {
	for text, want := range map[string]Length{
		"1'000": 1000 * Millimetre, "1'011": 1011 * Millimetre, "1’250.5": 1250*Millimetre + Millimetre/2, "12'345'678": 0, "-2'100 mm": -2100 * Millimetre, "2'100mm": 2100 * Millimetre,
		"1' 000": 304*Millimetre + 4*Millimetre/5, "1'-11": 584*Millimetre + Millimetre/5, "3'11": 1193*Millimetre + 4*Millimetre/5, "1'": 304*Millimetre + 4*Millimetre/5,
	} {
		got, err := Parse(text, Reading{})
		if text == "12'345'678" {
			if err == nil {
				t.Errorf("%q is read as %s", text, got)
			}
			continue
		}
		if err != nil || got != want {
			t.Errorf("%q: %s, %v; want %s", text, got, err, want)
		}
	}
	for _, text := range []string{"1'000", "2'100.5", "1'250 in"} {
		if got, err := Parse(text, Reading{Unit: In}); err == nil || !strings.Contains(err.Error(), "could be thousands or feet") {
			t.Errorf("%q: %s, %v", text, got, err)
		}
	}
	if got, err := Parse("1'250 mm", Reading{Unit: In}); err != nil || got != 1250*Millimetre {
		t.Errorf("%s, %v", got, err)
	}
}

// What a refusal advises must itself be accepted.
func TestAdviceIsAccepted(t *testing.T) {
	advised := regexp.MustCompile(`write (?:a close value such as )?([-0-9][^;,]*?(?:,\d+)?)(?:, or|$)`)
	for _, c := range []struct {
		text string
		r    Reading
	}{
		{"1,5", Reading{}}, {",5", Reading{Unit: In}}, {"1,234", Reading{}}, {"1.234,5", Reading{}},
		{"47 3/8", Reading{}}, {"1.234", Reading{DecimalComma: true}}, {"1.5", Reading{DecimalComma: true}},
		{"1,234.5", Reading{DecimalComma: true}}, {"1.234.567", Reading{Unit: MM}},
		{"1/3 in", Reading{}}, {"1/7 mm", Reading{}}, {"2/7 ft", Reading{}}, {"0.00001 in", Reading{}}, {"1/7", Reading{Unit: Ft}},
	} {
		_, err := Parse(c.text, c.r)
		if err == nil {
			t.Fatalf("%q accepted", c.text)
		}
		m := advised.FindStringSubmatch(err.Error())
		if m == nil {
			t.Errorf("%q: no value in %q", c.text, err)
			continue
		}
		if _, again := Parse(m[1], c.r); again != nil && !strings.Contains(again.Error(), "1000 m") {
			t.Errorf("%q advises %q, which gives: %v", c.text, m[1], again)
		}
	}
}

func TestOffGrid(t *testing.T) {
	for _, c := range []struct {
		text    string
		nearest Length
	}{
		{"1/3 in", 338_667},   // 338 666.67
		{"0.00001 mm", 0},     // 0.4
		{"0.0000125 mm", 1},   // exactly half, away from zero
		{"-0.0000125 mm", -1}, //
		{"1/128 in", 7938},    // 7 937.5
		{"0.0001 in", 102},    // 101.6
		{"1/7 m", 5_714_286},  // 5 714 285.71
		{"3' 1/3\"", 36*Inch + 338_667},
	} {
		got, err := Parse(c.text, Reading{})
		var off *OffGridError
		if !errors.As(err, &off) {
			t.Errorf("%s: %d, %v; want an OffGridError", c.text, got, err)
			continue
		}
		if got != 0 || off.Nearest != c.nearest || off.Text != c.text {
			t.Errorf("%s: %d, %+v; want nearest %d", c.text, got, off, c.nearest)
		}
	}
	if _, err := Parse("0.000025 mm", Reading{}); err != nil {
		t.Errorf("25 nm itself: %v", err)
	}
}

func TestParseUnit(t *testing.T) {
	for u := MM; u <= Ft; u++ {
		if got, err := ParseUnit(u.String()); err != nil || got != u {
			t.Errorf("%v: %v, %v", u, got, err)
		}
		if got, err := ParseUnit(" " + strings.ToUpper(u.String()) + ". "); err != nil || got != u {
			t.Errorf("%v in capitals: %v, %v", u, got, err)
		}
	}
	for text, want := range map[string]Unit{
		"″": In, "''": In, "”": In, "'": Ft, "′": Ft, "Zoll": In, "pouces": In, "pulgada": In,
		"Inches": In, "feet": Ft, "pieds": Ft, "Meter": M, "mètres": M, "millimetre": MM,
	} {
		if got, err := ParseUnit(text); err != nil || got != want {
			t.Errorf("%q: %v, %v; want %v", text, got, err, want)
		}
	}
	for _, text := range []string{"", "yd", "mil", "thou", "pie", "mm2", "µm"} {
		if _, err := ParseUnit(text); err == nil || !strings.Contains(err.Error(), "mm, cm, m, in or ft") {
			t.Errorf("%q: %v", text, err)
		}
	}
}

// A length spelt at random in feet, inches and a binary fraction, in any of the
// usual styles, is worth what integer arithmetic says.
func TestSpeltFeetAndInches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		feet := rapid.Int64Range(0, 300).Draw(t, "feet")
		inches := rapid.Int64Range(0, 11).Draw(t, "inches")
		den := rapid.SampledFrom([]int64{1, 2, 4, 8, 16, 32, 64}).Draw(t, "den")
		num := rapid.Int64Range(0, den-1).Draw(t, "num")
		want := Length(feet*12+inches)*Inch + Length(num)*Inch/Length(den)

		ft := rapid.SampledFrom([]string{"'", "′", "’", " ft", "ft", " ft.", " feet", " FT"}).Draw(t, "ft")
		in := rapid.SampledFrom([]string{"\"", "″", "”", "''", "′′", " in", " in.", "in", " inches", ""}).Draw(t, "in")
		gap := rapid.SampledFrom([]string{"", " ", "-", " - ", "\u00a0", "\u2009"}).Draw(t, "gap")
		join := rapid.SampledFrom([]string{" ", "-", "\u00a0", "\u2011"}).Draw(t, "join")
		slash := rapid.SampledFrom([]string{"/", "⁄", "∕"}).Draw(t, "slash")
		text := fmt.Sprint(feet) + ft + gap + fmt.Sprint(inches)
		if num > 0 {
			text += join + fmt.Sprint(num) + slash + fmt.Sprint(den)
		}
		text += in
		if got, err := Parse(text, Reading{}); err != nil || got != want {
			t.Fatalf("Parse(%q) = %d, %v; want %d", text, got, err, want)
		}
	})
}

// A decimal spelt at random, grouped or not, under either convention.
func TestSpeltDecimals(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		micro := rapid.Int64Range(0, 900_000_000).Draw(t, "µm")
		r := Reading{DecimalComma: rapid.Bool().Draw(t, "comma")}
		point, sep := ".", ","
		if r.DecimalComma {
			point, sep = ",", "."
		}
		group := rapid.SampledFrom([]string{"", " ", "\u202f", sep}).Draw(t, "group")
		whole, part := fmt.Sprint(micro/1000), fmt.Sprintf("%03d", micro%1000)
		if group != "" {
			for i := len(whole) - 3; i > 0; i -= 3 {
				whole = whole[:i] + group + whole[i:]
			}
		}
		text := whole + point + part
		if got, err := Parse(text, r); err != nil || got != Length(micro)*Micrometre {
			t.Fatalf("Parse(%q, %+v) = %d, %v; want %d", text, r, got, err, micro*40)
		}
	})
}

// FuzzParse: no panic, a refusal gives no length, an accepted text gives one
// within Max that survives being printed exactly in every unit.
func FuzzParse(f *testing.F) {
	for _, s := range []string{
		"1200", "1.2 m", "47 3/8 in", "3' 11-3/8\"", "½", "11⅜", "1 200,5", "1,234", "1/0", "NaN", "1e3", "-5", "3-11-3/8", "''", "1²", "5'0",
		"\xff", "1\u200b2", "1 m 2", "1234567890123456789012345678901234567890", "¹⁄₂", "1 000 000 mm", "2/7 ft",
	} {
		f.Add(s, 0, false)
		f.Add(s, 3, true)
	}
	f.Fuzz(func(t *testing.T, text string, unit int, comma bool) {
		if unit < 0 || unit > int(Ft) {
			unit = 0
		}
		l, err := Parse(text, Reading{Unit: Unit(unit), DecimalComma: comma})
		if err != nil {
			if l != 0 || err.Error() == "" || strings.ContainsAny(err.Error(), "\n\r\x1b") {
				t.Fatalf("Parse(%q) = %d with %q", text, l, err)
			}
			return
		}
		if l > Max || l < -Max {
			t.Fatalf("Parse(%q) = %d, beyond Max", text, l)
		}
		for u := MM; u <= Ft; u++ {
			if back, err := Parse(Exact(l, u), Reading{Unit: u}); err != nil || back != l {
				t.Fatalf("Parse(%q) = %d, printed %q in %v, read back %d, %v", text, l, Exact(l, u), u, back, err)
			}
		}
	})
}
