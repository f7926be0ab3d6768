package job

import (
	"math/big"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/length"
)

func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		text  string
		comma bool
		want  string // "" is refused
	}{
		{"12", false, "12"}, {"12.5", false, "12.5"}, {".5", false, "0.5"}, {"-3", false, "-3"}, {"1,234.5", false, "1234.5"},
		{"1,234,567", false, "1234567"}, {"1 234.5", false, "1234.5"}, {"1'234.50", false, "1234.5"}, {"0012", false, "12"},
		{"1,234", false, ""}, {"1,5", false, ""}, {"1.234.567", false, ""}, {"1.2.3", false, ""}, {"", false, ""}, {"-", false, ""}, {"1e3", false, ""}, {"0x1", false, ""},
		{"12,5", true, "12.5"}, {",5", true, "0.5"}, {"1.234,5", true, "1234.5"}, {"1.234.567", true, "1234567"}, {"1 234,5", true, "1234.5"},
		{"1.234", true, ""}, {"1.5", true, ""}, {"1,2,3", true, ""}, {strings.Repeat("9", 41), false, ""},
	} {
		got, err := decimal(c.text, c.comma)
		switch {
		case c.want == "" && err == nil:
			t.Errorf("%q is read as %v", c.text, got)
		case c.want != "" && err != nil:
			t.Errorf("%q: %v", c.text, err)
		case c.want != "":
			if want, _ := new(big.Rat).SetString(c.want); want.Cmp(got) != 0 {
				t.Errorf("%q is read as %v", c.text, got)
			}
		}
	}
}

// What is written with two decimals is read back, in either convention.
func TestDecimalRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cents := rapid.Int64Range(0, mostCents).Draw(t, "cents")
		text := centsText(cents)
		if rapid.Bool().Draw(t, "comma") {
			text = strings.Replace(text, ".", ",", 1)
		}
		v, err := decimal(text, strings.Contains(text, ","))
		if err != nil {
			t.Fatal(err)
		}
		if got, exact, err := toCents(v); got != cents && err == nil || !exact {
			t.Fatalf("%s is read as %d cents", text, got)
		}
	})
}

func TestAngle(t *testing.T) {
	for _, c := range []struct {
		text  string
		comma bool
		want  int64
	}{
		{"", false, 0}, {"0", false, 0}, {"45", false, 45000}, {"-45", false, -45000}, {"−45°", false, -45000}, {"45°", false, 45000}, {"45 deg", false, 45000},
		{"22.5", false, 22500}, {"22,5", true, 22500}, {"22,5", false, 22500}, {"22.5°", true, 22500}, {"-7,125", false, -7125}, {"22.500", true, 22500}, {"22-1/2", false, 22500}, {"22 1/2°", false, 22500}, {"22½", false, 22500}, {"1/2", false, 500}, {"-22-1/2", false, -22500},
		{"22°30'", false, 22500}, {"-22°30′", false, -22500}, {"60", false, 60000}, {"26.565", false, 26565},
	} {
		got, exact, err := angle(c.text, c.comma)
		if got != c.want || !exact || err != nil {
			t.Errorf("%q: %d, %v, %v", c.text, got, exact, err)
		}
	}
	for _, text := range []string{"61", "-61", "90", "square", "45/30", "45 x 30", "45 & 30", "45; 30", "45°/30°", "1/0", "22,5,5", "2.2,5", "100,5", strings.Repeat("4", 50), "--4"} {
		if got, _, err := angle(text, false); err == nil {
			t.Errorf("%q is read as %d", text, got)
		}
	}
}

func TestQuantity(t *testing.T) {
	for text, want := range map[string]int64{"1": 1, "4": 4, "4 off": 4, "4x": 4, "12 pcs": 12, "3 Stk.": 3, "4.0": 4, "1000000": 1000000} {
		if got, err := quantity(text, false); got != want || err != nil {
			t.Errorf("%q: %d, %v", text, got, err)
		}
	}
	for _, text := range []string{"", "0", "-1", "1.5", "four", "1e3", "1000001", "4 m", "4 or 5", "99999999999999999999"} {
		if got, err := quantity(text, false); err == nil {
			t.Errorf("%q is read as %d", text, got)
		}
	}
}

func TestSizes(t *testing.T) {
	for _, c := range []struct {
		text string
		unit length.Unit
		want []length.Length
	}{
		{"6000", length.MM, []length.Length{mm(6000)}},
		{"6 m", length.MM, []length.Length{mm(6000)}},
		{"20 ft", length.MM, []length.Length{mm(6096)}},
		{"2500 x 1250", length.MM, []length.Length{mm(2500), mm(1250)}},
		{"2500×1250", length.MM, []length.Length{mm(2500), mm(1250)}},
		{"2500x1250 mm", length.In, []length.Length{mm(2500), mm(1250)}},
		{"1250 x 2500", length.MM, []length.Length{mm(1250), mm(2500)}},
		{"4 ft x 8 ft", length.MM, []length.Length{mm(1219.2), mm(2438.4)}},
		{"4x8 ft", length.MM, []length.Length{mm(1219.2), mm(2438.4)}},
		{"4' x 8'", length.MM, []length.Length{mm(1219.2), mm(2438.4)}},
		{"96 x 48 in", length.MM, []length.Length{mm(2438.4), mm(1219.2)}},
		{"96 by 48", length.In, []length.Length{mm(2438.4), mm(1219.2)}},
		{"8' 6\" x 4' 1/2\"", length.In, []length.Length{mm(2590.8), mm(1231.9)}},
	} {
		r := newReader("job.toml")
		got, ok := r.sizes(Pos{}, "size", c.text, length.Reading{Unit: c.unit})
		if !ok || len(got) != len(c.want) || got[0] != c.want[0] || got[len(got)-1] != c.want[len(got)-1] {
			t.Errorf("%q: %v, %v", c.text, got, r.faults)
		}
	}
	for _, text := range []string{"", "x", "2500 x", "x 1250", "2500 x 1250 x 1.5", "0 x 4", "-1 x 4", "8 ft x 4", "4 x 3' 6\"", "wide"} {
		r := newReader("job.toml")
		if got, ok := r.sizes(Pos{}, "size", text, length.Reading{}); ok || len(r.faults) != 1 {
			t.Errorf("%q: %v, %v", text, got, r.faults)
		}
	}
}

func TestDistance(t *testing.T) {
	// The two textbook pairs (Wagner and Fischer 1974 have the method; the words
	// are common practice, no source) and a swap.
	for _, c := range []struct {
		a, b string
		want int
	}{{"kitten", "sitting", 3}, {"saturday", "sunday", 3}, {"kerf", "kref", 1}, {"", "abc", 3}, {"same", "same", 0}} {
		if got := distance(c.a, c.b); got != c.want || distance(c.b, c.a) != c.want {
			t.Errorf("%s, %s: %d", c.a, c.b, got)
		}
	}
}

func TestFold(t *testing.T) {
	for text, want := range map[string]string{
		"Länge [mm]": "lange mm", "  Stück ": "stuck", "Qté": "qte", "Ángulo izquierdo": "angulo izquierdo", "Pos.-Nr.": "pos nr",
		"length_mm": "length mm", "Maß": "mass", "m²": "m2", "": "", "##": "",
	} {
		if got := fold(text); got != want {
			t.Errorf("%q: %q", text, got)
		}
	}
}

// No head stands for two fields of one table, but for those that a table
// settles by the field's own name.
func TestHeadsAreDistinct(t *testing.T) {
	for _, k := range tableKinds {
		met := map[string]string{}
		for _, f := range k.fields {
			for _, h := range strings.Split(f.heads, ",") {
				if fold(h) != h {
					t.Errorf("%s: the head %q is not folded", k.name, h)
				}
				if other, twice := met[h]; twice && other != f.name && h != "stock" {
					t.Errorf("%s: the head %q is %s and %s", k.name, h, other, f.name)
				}
				met[h] = f.name
			}
		}
	}
}
