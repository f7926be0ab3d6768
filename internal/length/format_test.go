package length

import (
	"fmt"
	"math"
	"math/big"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestFormat(t *testing.T) {
	sixteenths := Format{Unit: In, Fraction: 16}
	feet := Format{Unit: Ft, Fraction: 16}
	for _, c := range []struct {
		f    Format
		l    Length
		want string
	}{
		{Format{}, 1200 * Millimetre, "1200"},
		{Format{}, 1200*Millimetre + Millimetre/2, "1201"},
		{Format{}, 1200*Millimetre + Millimetre/2 - 1, "1200"},
		{Format{}, -(1200*Millimetre + Millimetre/2), "-1201"},
		{Format{}, -Millimetre / 4, "0"},
		{Format{Decimals: 1}, 1200 * Millimetre, "1200.0"},
		{Format{Decimals: 1, Comma: true}, 1203*Millimetre + 325*Micrometre, "1203,3"},
		{Format{Decimals: 2}, Millimetre / 100 * 7, "0.07"},
		{Format{Decimals: -3}, Millimetre, "1"},
		{Format{Unit: M, Decimals: 3}, 1200 * Millimetre, "1.200"},
		{Format{Unit: In, Decimals: 3}, 14*Inch + 5*Inch/8, "14.625"},
		// Reduce fractions, never print 0/16, carry 16/16 to the next inch;
		// common practice, no source.
		{sixteenths, 14*Inch + 10*Inch/16, "14-5/8"},
		{sixteenths, 14 * Inch, "14"},
		{sixteenths, 8 * Inch / 16, "1/2"},
		{sixteenths, 14*Inch + 63*Sixtyfourth, "15"},
		{sixteenths, 14*Inch + Sixtyfourth, "14"},
		{sixteenths, 14*Inch + 2*Sixtyfourth, "14-1/16"}, // a half, away from zero
		{sixteenths, -(14*Inch + 2*Sixtyfourth), "-14-1/16"},
		{sixteenths, -Sixtyfourth, "0"},
		{sixteenths, 0, "0"},
		{feet, 47*Inch + 3*Inch/8, `3' 11-3/8"`},
		{feet, 36 * Inch, `3' 0"`},
		{feet, 48*Inch - Sixtyfourth, `4' 0"`},
		{feet, 11 * Inch, `11"`},
		{feet, 0, `0"`},
		{feet, -(47*Inch + 3*Inch/8), `-3' 11-3/8"`},
		{Format{Unit: In, Fraction: 32, FeetInches: true}, 47*Inch + Inch/32, `3' 11-1/32"`},
		{Format{Unit: In, Decimals: 2, FeetInches: true}, 47*Inch + Inch/4, `3' 11.25"`},
		{Format{Unit: Ft, Decimals: 2}, 42 * Inch, "3.50"},
		{Format{Unit: MM, Fraction: 16, FeetInches: true}, 42 * Millimetre, "42"},
	} {
		if got := c.f.String(c.l); got != c.want {
			t.Errorf("%+v of %d = %q; want %q", c.f, c.l, got, c.want)
		}
	}
	for want, got := range map[string]string{
		"1200 mm":     Format{}.WithUnit(1200 * Millimetre),
		"47-3/8 in":   sixteenths.WithUnit(47*Inch + 3*Inch/8),
		`3' 11-3/8"`:  feet.WithUnit(47*Inch + 3*Inch/8),
		"25.4 mm":     Inch.String(),
		"0.000025 mm": Length(1).String(),
	} {
		if got != want {
			t.Errorf("got %q, want %q", got, want)
		}
	}
}

func TestExact(t *testing.T) {
	for _, c := range []struct {
		l    Length
		u    Unit
		want string
	}{
		{1200 * Millimetre, MM, "1200"}, {1, MM, "0.000025"}, {1200 * Millimetre, M, "1.2"}, {-5 * Millimetre, CM, "-0.5"},
		{47*Inch + 3*Inch/8, In, "47-3/8"}, {Inch, In, "1"}, {Inch / 1000 * 63, In, "0.063"}, {Millimetre, In, "5/127"},
		{Inch / 2, In, "1/2"}, {36 * Inch, Ft, `3' 0"`}, {-(36*Inch + Inch/2), Ft, `-3' 1/2"`}, {Inch / 2, Ft, `1/2"`}, {0, MM, "0"},
	} {
		if got := Exact(c.l, c.u); got != c.want {
			t.Errorf("Exact(%d, %v) = %q; want %q", c.l, c.u, got, c.want)
		}
	}
}

// lengths draws values on and off the usual steps.
func lengths() *rapid.Generator[Length] {
	return rapid.Custom(func(t *rapid.T) Length {
		step := rapid.SampledFrom([]Length{1, Micrometre, Millimetre, Sixtyfourth, Inch / 1000, Inch, Foot}).Draw(t, "step")
		return step * Length(rapid.Int64Range(-int64(Max/step), int64(Max/step)).Draw(t, "n"))
	})
}

// Exact and Parse are inverses in every unit.
func TestExactRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lengths().Draw(t, "l")
		for u := MM; u <= Ft; u++ {
			text := Exact(l, u)
			if got, err := Parse(text, Reading{Unit: u}); err != nil || got != l {
				t.Fatalf("%d in %v is %q, read back as %d, %v", l, u, text, got, err)
			}
		}
	})
}

// Printing rounds to the nearest step: what is printed reads back no more than
// half a step away, and prints the same again.
func TestFormatNearest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := lengths().Draw(t, "l") / 2 // so that none is rounded past Max
		f := Format{
			Unit:       Unit(rapid.IntRange(0, int(Ft)).Draw(t, "unit")),
			Fraction:   rapid.SampledFrom([]int64{0, 1, 2, 8, 16, 32, 64}).Draw(t, "fraction"),
			Decimals:   rapid.IntRange(0, 3).Draw(t, "decimals"),
			Comma:      rapid.Bool().Draw(t, "comma"),
			FeetInches: rapid.Bool().Draw(t, "feet"),
		}
		s := f.String(l)
		r := Reading{Unit: f.Unit, DecimalComma: f.Comma}
		got, err := Parse(s, r)
		if err != nil {
			off, ok := err.(*OffGridError)
			if !ok {
				t.Fatalf("%+v prints %d as %q, which gives %v", f, l, s, err)
			}
			got = off.Nearest
		}
		unit, step := f.Unit, int64(1)
		if f.Unit == Ft && (f.FeetInches || f.Fraction > 0) {
			unit = In
		}
		if f.Fraction > 0 && f.Unit.Imperial() {
			step = f.Fraction
		} else {
			step = int64(math.Pow10(f.Decimals))
		}
		half := new(big.Rat).SetFrac64(int64(unit.Size()), 2*step)
		half.Add(half, big.NewRat(1, 2)) // the nearest of an off-grid print
		miss := new(big.Rat).SetInt64(int64(got - l))
		if miss.Abs(miss).Cmp(half) > 0 {
			t.Fatalf("%+v prints %d as %q, %d away", f, l, s, got-l)
		}
		if strings.HasPrefix(s, "-") && got == 0 {
			t.Fatalf("%+v prints %d as %q", f, l, s)
		}
		if err == nil && f.String(got) != s {
			t.Fatalf("%q prints again as %q", s, f.String(got))
		}
	})
}

// Fractions are printed reduced and proper, whatever the denominator.
func TestFractionsReduced(t *testing.T) {
	for n := Length(0); n <= 3*64; n++ {
		for _, den := range []int64{2, 4, 8, 16, 32, 64} {
			s := Format{Unit: In, Fraction: den}.String(n * Sixtyfourth)
			i := strings.LastIndex(s, "-")
			top, bottom, ok := strings.Cut(s[i+1:], "/")
			if !ok {
				continue
			}
			a, _ := strconv.Atoi(top)
			b, _ := strconv.Atoi(bottom)
			if a%2 == 0 || a >= b || int64(b) > den {
				t.Errorf("%d/64 to 1/%d prints %q", n, den, s)
			}
		}
	}
}

// Rounding every number and then adding drifts; ten pieces rounded to 1/16 in
// can miss by 5/16 in (arithmetic). Sums of exact lengths do not.
func TestSumsAreExact(t *testing.T) {
	piece := 10*Inch + 2*Sixtyfourth - 1 // just under the half step
	f := Format{Unit: In, Fraction: 16}
	var rounded, exact Length
	for range 10 {
		exact += piece
		rounded += must(t, f.String(piece), Reading{Unit: In})
	}
	if f.String(exact) != "100-5/16" || f.String(rounded) != "100" {
		t.Errorf("exact %s, rounded %s", f.String(exact), f.String(rounded))
	}
}

func TestQuote(t *testing.T) {
	for in, want := range map[string]string{
		`3' 11"`: `"3' 11""`, "a\x1b[31mb": `"a?[31mb"`, "x\ny": `"x?y"`, strings.Repeat("é", 70): `"` + strings.Repeat("é", 60) + `…"`,
	} {
		if got := Quote(in); got != want {
			t.Errorf("Quote(%q) = %s; want %s", in, got, want)
		}
	}
}

func ExampleParse() {
	for _, text := range []string{"1.2 m", "47 3/8 in", `3' 11-3/8"`, "1,5", "1/3 in"} {
		l, err := Parse(text, Reading{Unit: MM})
		if err != nil {
			fmt.Println(err)
			continue
		}
		fmt.Println(l)
	}
	// Output:
	// 1200 mm
	// 1203.325 mm
	// 1203.325 mm
	// "1,5" has a comma where the decimal sign is a point; write 1.5, or separate the table with semicolons and say decimal = ","
	// "1/3 in" is not a whole number of 25 nm steps; write a close value such as 0.333 in
}

func ExampleFormat() {
	l := 47*Inch + 3*Inch/8
	fmt.Println(Format{Unit: MM, Decimals: 1}.WithUnit(l))
	fmt.Println(Format{Unit: In, Fraction: 16}.WithUnit(l))
	fmt.Println(Format{Unit: Ft, Fraction: 16}.WithUnit(l))
	// Output:
	// 1203.3 mm
	// 47-3/8 in
	// 3' 11-3/8"
}
