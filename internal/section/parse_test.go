package section

import (
	"fmt"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/length"
)

// What the trade writes and the one spelling it gets; common practice, no
// source.
func TestParseCanonical(t *testing.T) {
	for _, c := range []struct {
		text string
		unit length.Unit
		want string
	}{
		{"SHS 25x25x2", length.MM, "SHS 25x25x2 mm"},
		{"shs25×25×2.0", length.MM, "SHS 25x25x2 mm"},
		{"25x25x2 SHS", length.CM, "SHS 25x25x2 mm"},
		{"SHS 25 x 25 x 2 mm", length.In, "SHS 25x25x2 mm"},
		{"SHS 25*25*2mm", length.In, "SHS 25x25x2 mm"},
		{"SHS 25 x 2", length.MM, "SHS 25x25x2 mm"},
		{"box section 25x25x2", length.MM, "SHS 25x25x2 mm"},
		{"tube 50x30x3", length.MM, "RHS 50x30x3 mm"},
		{"RHS 50x30x3", length.MM, "RHS 50x30x3 mm"},
		{"RHS 30x50x3", length.MM, "RHS 50x30x3 mm"},
		{"RHS 30x30x3", length.MM, "SHS 30x30x3 mm"},
		{"SHS 2,5 cm x 2,5 cm x 0,2 cm", length.MM, "SHS 25x25x2 mm"},
		{"CHS 33.7x3", length.MM, "CHS 33.7x3 mm"},
		{"CHS 33,7 x 3,0", length.MM, "CHS 33.7x3 mm"},
		{"round tube Ø33.7x3", length.MM, "CHS 33.7x3 mm"},
		{"CHS 33.7 OD x 3", length.MM, "CHS 33.7x3 mm"},
		{"round tube 2 O.D. x .125 wall", length.In, "round tube 2x0.125 in"},
		{"sq tube 1x1x.125 wall", length.In, "sq tube 1x1x0.125 in"},
		{"sq. tube 1x1x.125 wall", length.Ft, "sq tube 1x1x0.125 in"},
		{"square tube 1 x 1 x 1/8", length.In, "sq tube 1x1x0.125 in"},
		{"square tubing 1 x 1 x 1/8 in", length.MM, "sq tube 1x1x0.125 in"},
		{"1\" x 1\" x 1/8\" sq tube", length.MM, "sq tube 1x1x0.125 in"},
		{"1″ × 1″ × ⅛″ sq tube", length.MM, "sq tube 1x1x0.125 in"},
		{"sq tube 1x1, .125 wall", length.In, "sq tube 1x1x0.125 in"},
		{"sq tube 1x1, wall .125", length.In, "sq tube 1x1x0.125 in"},
		{"1-1/2 x 1-1/2 x .125 sq tube", length.In, "sq tube 1.5x1.5x0.125 in"},
		{"1 1/2 x 1½ x .125 sq tube", length.In, "sq tube 1.5x1.5x0.125 in"},
		{"rect tube 2x1x1/8", length.In, "rect tube 2x1x0.125 in"},
		{"rectangular tubing 1x2x1/8", length.In, "rect tube 2x1x0.125 in"},
		{"round tube 2 x .125", length.In, "round tube 2x0.125 in"},
		{"HSS 2x2x1/8", length.In, "sq tube 2x2x0.125 in HSS"},
		{"HSS 3x2x1/8", length.In, "rect tube 3x2x0.125 in HSS"},
		{"HSS 1.900x0.120", length.In, "round tube 1.9x0.12 in"},
		{"SHS 50x50x3 EN10210-2", length.MM, "SHS 50x50x3 mm EN 10210"},
		{"EN 10219 SHS 50x50x3", length.MM, "SHS 50x50x3 mm EN 10219"},
		{"SHS 50x50x3 sharp", length.MM, "SHS 50x50x3 mm sharp"},
		{"SHS 50x50x3 r 0", length.MM, "SHS 50x50x3 mm sharp"},
		{"SHS 50x50x3 r4.5", length.MM, "SHS 50x50x3 mm r 4.5"},
		{"L 40x40x4", length.MM, "L 40x40x4 mm"},
		{"L40x40x4", length.MM, "L 40x40x4 mm"},
		{"angle 40x4", length.MM, "L 40x40x4 mm"},
		{"equal angle 40x40x4", length.MM, "L 40x40x4 mm"},
		{"angle 30x50x4", length.MM, "L 50x30x4 mm"},
		{"L 40x40x4 r 6 toe 3", length.MM, "L 40x40x4 mm r 6 toe 3"},
		{"angle 2x2x1/4", length.In, "angle 2x2x0.25 in"},
		{"channel 2x1x.13x.13", length.In, "channel 2x1x0.13x0.13 in"},
		{"channel 50x25x3", length.MM, "channel 50x25x3x3 mm"},
		{"flat 40x5", length.MM, "flat 40x5 mm"},
		{"flat bar 5x40", length.MM, "flat 40x5 mm"},
		{"flat 40x40", length.MM, "sq bar 40 mm"},
		{"flat 1 x 1/8", length.In, "flat 1x0.125 in"},
		{"sq bar 12", length.MM, "sq bar 12 mm"},
		{"square bar 12x12", length.MM, "sq bar 12 mm"},
		{"round bar 12", length.MM, "round bar 12 mm"},
		{"12 mm rod", length.In, "round bar 12 mm"},
		{"SHS-25x25x2", length.MM, "SHS 25x25x2 mm"}, // the hyphen is punctuation
		{"sheet 1.5", length.MM, "sheet 1.5 mm"},
		{"1.5 mm sheet", length.In, "sheet 1.5 mm"},
		{"plate 5", length.MM, "sheet 5 mm"},
		{"sheet .063", length.In, "sheet 0.063 in"},
		{"sheet .063 in", length.MM, "sheet 0.063 in"},
		{"sheet 1/16", length.In, "sheet 0.0625 in"},
		{"sheet 16 ga", length.MM, "sheet 16 ga"},
		{"16 gauge sheet", length.In, "sheet 16 ga"},
		{"ply 12", length.MM, "ply 12 mm"},
		{"plywood 1/2", length.In, "ply 0.5 in"},
		{"foam 30", length.MM, "foam 30 mm"},
		{"foam 2", length.In, "foam 2 in"},
		{"xps 50", length.MM, "XPS 50 mm"},
		{"50 mm EPS foam", length.In, "EPS 50 mm"},
		{"board 18", length.MM, "board 18 mm"},
		{"board 38x89", length.MM, "timber 38x89 mm"},
		{"timber 70x45", length.MM, "timber 45x70 mm"},
		{"timber 45x70", length.MM, "timber 45x70 mm"},
		{"timber 2x4", length.In, "timber 2x4 nominal"},
		{"lumber 4x2", length.In, "timber 2x4 nominal"},
		{"timber 2x4 nominal", length.MM, "timber 2x4 nominal"},
		{"timber 2x4 in", length.MM, "timber 2x4 in"},
		{"timber 1-1/2 x 3-1/2", length.In, "timber 1.5x3.5 in"},
		{"5/4x6 board", length.In, "timber 5/4x6 nominal"},
	} {
		s, err := Parse(c.text, c.unit)
		if err != nil || s.Canonical != c.want {
			t.Errorf("Parse(%q, %v) = %q, %v; want %q", c.text, c.unit, s.Canonical, err, c.want)
		}
	}
}

// Each refusal quotes what was written and says what to write instead.
func TestParseRefuses(t *testing.T) {
	for _, c := range []struct {
		text   string
		unit   length.Unit
		advice string
	}{
		{"", length.MM, "missing"},
		{"25x25x2", length.MM, "no word for its shape"},
		{"SHS", length.MM, "write it as SHS 25x25x2"},
		{"girder 25x25x2", length.MM, "not a known section"},
		{"6063 SHS 25x25x2", length.MM, "two places"},
		{"aluminium SHS 25x25x2", length.MM, "alloy in its own place"},
		{"SHS 25x30x2", length.MM, "rect tube"},
		{"SHS 25x25x2x2", length.MM, "write it as SHS 25x25x2"},
		{"SHS 25x25x12.5", length.MM, "no hollow"},
		{"SHS 25x25", length.MM, "no hollow"},
		{"SHS 25x25x0", length.MM, "zero"},
		{"CHS 33.7", length.MM, "write it as CHS 33.7x3"},
		{"L 4x40x40", length.MM, "leg, leg and thickness"},
		{"channel 50x25x30", length.MM, "depth, flange width"},
		{"sheet 1.5x2000x1000", length.MM, "belong to the offer"},
		{"sq bar 12x14", length.MM, "write flat"},
		{"sheet 2000", length.MM, "check the unit"},
		// Inches in a millimetre job and the other way round are never guessed.
		{"sq tube 1x1x.125", length.MM, "add in after the sizes"},
		{"sq tube 1 x 1 x 1/8", length.MM, "add in after the sizes"},
		{"sq tube 1x1x0.125", length.MM, "add in after the sizes"},
		{"sheet .063", length.MM, "add in after the sizes"},
		{"sheet 0.063", length.MM, "add in after the sizes"},
		{"timber 2x4", length.MM, "add in after the sizes"},
		{"SHS 25x25x2", length.In, "add mm after the sizes"},
		{"sheet 1.5", length.In, "add mm after the sizes"},
		{"ply 12", length.In, "add mm after the sizes"},
		{"foam 30", length.In, "add mm after the sizes"},
		{"timber 45x70", length.In, "add mm after the sizes"},
		{"SHS 1 in x 25 mm x 2", length.MM, "one unit"},
		{"SHS 1 ft x 1 ft x 1/8", length.In, "inches or millimetres"},
		{"sheet .0598", length.In, "write 0.060 in"},
		{"sheet 1/3 in", length.MM, "write 0.333 in"},
		// Gauges.
		{"aluminium sheet 16 ga", length.In, "gauge series is not that of steel"},
		{"5052 sheet 16 ga", length.In, "gauge series is not that of steel"},
		{"sq tube 1x1x16 ga", length.In, "write the thickness"},
		{"flat 16 ga", length.In, "write the thickness"},
		{"sheet 99 ga", length.In, "write the thickness"},
		{"pipe 1", length.In, "outside diameter and wall"},
		{"ply 12 nominal", length.MM, "only timber"},
		{"timber 2x5 nominal", length.In, "not a nominal lumber size"},
		{"SHS 50x50x3 EN 10219 sharp", length.MM, "two corner rules"},
		{"flat 40x5 EN 10219", length.MM, "leave it out"},
		{"ply 12 r 2", length.MM, "leave it out"},
		{"SHS 50x50x3 r 26", length.MM, "half its side"},
		{"SHS 50x50x3 r 4 toe 2", length.MM, "only an angle"},
		{"L 40x40x4 r 6 toe 5", length.MM, "larger than its thickness"},
		{strings.Repeat("SHS ", 50), length.MM, "too long"},
	} {
		s, err := Parse(c.text, c.unit)
		if err == nil || s != (Section{}) {
			t.Errorf("Parse(%q, %v) = %q, %v; want a refusal", c.text, c.unit, s, err)
			continue
		}
		if !strings.Contains(err.Error(), c.advice) || strings.Contains(err.Error(), "\n") {
			t.Errorf("Parse(%q): %q does not say %q", c.text, err, c.advice)
		}
	}
}

// US dressed sizes: mail.vterrain.org/Hawaii/Ben/lumber.htm, and the rule of
// PS 20-05 in sizes.com/materials/lumberSoftDimen_US.htm (5 and 6 in lose 1/2,
// 7 to 15 in lose 3/4); 5/4: gandalfddi.github.io/woodsize.htm; 2x2 and 2x3:
// common practice, no source.
func TestNominalTimber(t *testing.T) {
	for text, want := range map[string][2]string{
		"1x4": {"3/4", "3-1/2"}, "1x6": {"3/4", "5-1/2"}, "1x8": {"3/4", "7-1/4"}, "1x10": {"3/4", "9-1/4"}, "1x12": {"3/4", "11-1/4"},
		"2x4": {"1-1/2", "3-1/2"}, "2x6": {"1-1/2", "5-1/2"}, "2x8": {"1-1/2", "7-1/4"}, "2x10": {"1-1/2", "9-1/4"}, "2x12": {"1-1/2", "11-1/4"},
		"2x2": {"1-1/2", "1-1/2"}, "2x3": {"1-1/2", "2-1/2"}, "4x4": {"3-1/2", "3-1/2"}, "4x6": {"3-1/2", "5-1/2"}, "4x8": {"3-1/2", "7-1/4"},
		"6x6": {"5-1/2", "5-1/2"}, "8x8": {"7-1/4", "7-1/4"}, "8x10": {"7-1/4", "9-1/4"}, "6x8": {"5-1/2", "7-1/4"}, "5/4x6": {"1", "5-1/2"},
	} {
		s := section(t, "timber "+text, length.In)
		if got := [2]string{length.Exact(s.Width, length.In), length.Exact(s.Height, length.In)}; got != want {
			t.Errorf("%s is %v; want %v", text, got, want)
		}
		if s.Nominal != text || s.Canonical != "timber "+text+" nominal" {
			t.Errorf("%s: nominal %q, canonical %q", text, s.Nominal, s.Canonical)
		}
	}
	if s := section(t, "timber 2x4 in", length.MM); s.Width != 2*length.Inch || s.Height != 4*length.Inch || s.Nominal != "" {
		t.Errorf("2x4 with its unit is %v by %v", s.Width, s.Height)
	}
}

// Suppliers of inch stock guarantee inches; 25 mm is another good than 1 in
// (25.4 mm): name and real size stay apart.
func TestMillimetreIsNotInch(t *testing.T) {
	metric := section(t, "SHS 25x25x3", length.MM)
	inch := section(t, "sq tube 1x1x1/8", length.In)
	same := section(t, "SHS 25.4x25.4x3.175", length.MM)
	if metric.Width == inch.Width || metric.Canonical == inch.Canonical {
		t.Errorf("%v and %v are confused", metric, inch)
	}
	if same.Width != inch.Width || same.Thickness != inch.Thickness || same.Canonical == inch.Canonical {
		t.Errorf("%v and %v: sizes %v, %v", same, inch, same.Width, inch.Width)
	}
	if inch.OuterWidth() != length.Inch || inch.OuterHeight() != length.Inch {
		t.Errorf("faces of %v: %v, %v", inch, inch.OuterWidth(), inch.OuterHeight())
	}
}

func TestFacesAndSymmetry(t *testing.T) {
	mm := length.Millimetre
	for _, c := range []struct {
		text             string
		width, height    length.Length
		symmetric, equal bool
		tube, sheet      bool
	}{
		{"SHS 25x25x2", 25 * mm, 25 * mm, true, true, true, false},
		{"RHS 50x30x3", 30 * mm, 50 * mm, true, false, true, false},
		{"CHS 30x3", 30 * mm, 30 * mm, true, true, true, false},
		{"L 50x30x4", 30 * mm, 50 * mm, false, false, false, false},
		{"channel 50x25x3", 25 * mm, 50 * mm, false, false, false, false},
		{"flat 40x5", 5 * mm, 40 * mm, true, false, false, false},
		{"sq bar 12", 12 * mm, 12 * mm, true, true, false, false},
		{"round bar 12", 12 * mm, 12 * mm, true, true, false, false},
		{"timber 45x70", 45 * mm, 70 * mm, true, false, false, false},
		{"sheet 1.5", 0, 0, false, false, false, true},
		{"ply 12", 0, 0, false, false, false, true},
		{"foam 30", 0, 0, false, false, false, true},
		{"board 18", 0, 0, false, false, false, true},
	} {
		s := section(t, c.text, length.MM)
		if s.OuterWidth() != c.width || s.OuterHeight() != c.height {
			t.Errorf("%s: faces %v, %v; want %v, %v", c.text, s.OuterWidth(), s.OuterHeight(), c.width, c.height)
		}
		if s.Symmetric() != c.symmetric || s.EqualFaces() != c.equal || s.IsTube() != c.tube || s.IsSheet() != c.sheet || s.IsBar() == c.sheet {
			t.Errorf("%s: symmetric %v, equal faces %v, tube %v, sheet %v, bar %v", c.text, s.Symmetric(), s.EqualFaces(), s.IsTube(), s.IsSheet(), s.IsBar())
		}
		m := material(t, "6063")
		if bar := MassPerMetre(s, m) > 0; bar == c.sheet {
			t.Errorf("%s: mass per metre %v", c.text, MassPerMetre(s, m))
		}
		if sheet := s.MassPerArea(m) > 0; sheet != c.sheet {
			t.Errorf("%s: mass per area %v", c.text, s.MassPerArea(m))
		}
	}
}

// designations spells a random section in a random trade manner.
func designations() *rapid.Generator[string] {
	return rapid.Custom(func(t *rapid.T) string {
		inch := rapid.Bool().Draw(t, "inch")
		size := func(lo, hi int64) string { // mm in tenths, inches in sixteenths or thousandths
			n := rapid.Int64Range(lo, hi).Draw(t, "size")
			switch {
			case !inch:
				return fmt.Sprintf("%d.%d", n, rapid.IntRange(0, 9).Draw(t, "tenth"))
			case rapid.Bool().Draw(t, "decimal"):
				return fmt.Sprintf("%.3f", float64(n)/25)
			}
			return length.Exact(length.Length(n)*length.Inch/16, length.In)
		}
		x := rapid.SampledFrom([]string{"x", " x ", "×", "*", " X "}).Draw(t, "x")
		a, b, w := size(30, 90), size(30, 90), size(1, 8)
		var word, sizes, tail string
		switch rapid.IntRange(0, 10).Draw(t, "shape") {
		case 0:
			word, sizes = "SHS", a+x+a+x+w
			tail = rapid.SampledFrom([]string{"", " EN 10219", " EN10210-2", " sharp", " HSS", " r 0.25", " r 1/2"}).Draw(t, "rule")
		case 1:
			word, sizes = "rect tube", a+x+b+x+w
		case 2:
			word, sizes = "round tube", a+x+w
		case 3:
			word, sizes = "angle", a+x+b+x+w
			tail = rapid.SampledFrom([]string{"", " r 1/4 toe 1/64", " r 0.5", " sharp"}).Draw(t, "radii")
		case 4:
			word, sizes = "channel", a+x+b+x+w+x+w
		case 5:
			word, sizes = "flat", a+x+w
		case 6:
			word, sizes = "sq bar", a
		case 7:
			word, sizes = "rod", a
		case 8:
			word, sizes = "lumber", a+x+b
		default:
			word, sizes = rapid.SampledFrom([]string{"sheet", "ply", "foam", "XPS foam", "board"}).Draw(t, "word"), w
		}
		sizes += map[bool]string{true: " in", false: " mm"}[inch]
		if rapid.Bool().Draw(t, "word first") {
			return word + " " + sizes + tail
		}
		return sizes + " " + word + tail
	})
}

// The canonical spelling means the same section under any default unit, and the
// short name under the reader's own.
func TestCanonicalRoundTrip(t *testing.T) {
	units := []length.Unit{length.MM, length.CM, length.M, length.In, length.Ft}
	rapid.Check(t, func(t *rapid.T) {
		text := designations().Draw(t, "text")
		s, err := Parse(text, length.MM)
		if err != nil {
			t.Fatalf("Parse(%q): %v", text, err)
		}
		for _, u := range units {
			for _, spelling := range []string{text, s.Canonical, strings.ToUpper(s.Canonical), s.Name(u)} {
				if back, err := Parse(spelling, u); err != nil || back != s {
					t.Fatalf("%q is %+v; %q under %v gives %+v, %v", text, s, spelling, u, back, err)
				}
			}
		}
	})
}

// Area grows with the wall and stays below the outline; the corner rules order
// themselves: the sharper, the heavier.
func TestAreaBounds(t *testing.T) {
	steel, alloy := material(t, "S235"), material(t, "6063")
	rapid.Check(t, func(t *rapid.T) {
		h := length.Length(rapid.Int64Range(20, 200).Draw(t, "h")) * length.Millimetre
		w := length.Length(rapid.Int64Range(20, 200).Draw(t, "w")) * length.Millimetre
		wall := length.Length(rapid.Int64Range(1, int64(min(h, w))/2-1).Draw(t, "wall"))
		s := Section{Shape: RectTube, Height: max(h, w), Width: min(h, w), Thickness: wall}
		sharp := s.Area(alloy)
		if outline := h.Millimetres() * w.Millimetres(); sharp <= 0 || sharp >= outline {
			t.Fatalf("%v x %v x %v: area %v of %v", h, w, wall, sharp, outline)
		}
		thicker := s
		thicker.Thickness++
		if thicker.Area(alloy) <= sharp {
			t.Fatalf("a thicker wall is lighter")
		}
		last := sharp
		for _, c := range []Corner{EN10210, EN10219} {
			s.Corner = c
			a := s.Area(steel)
			if a > last || a <= 0 {
				t.Fatalf("%v x %v x %v: corner rule %d gives %v after %v", h, w, wall, c, a, last)
			}
			last = a
		}
	})
}

func TestNoWordMeansTwoShapes(t *testing.T) {
	seen := map[string]Shape{}
	for shape, words := range shapeWords {
		for _, w := range strings.Split(words, "|") {
			if other, ok := seen[w]; ok {
				t.Errorf("%q is %v and %v", w, other, Shape(shape))
			}
			seen[w] = Shape(shape)
		}
	}
	for s := SquareTube; s <= Board; s++ {
		if _, err := Parse(examples[s], length.MM); err != nil {
			t.Errorf("the example for %v, %q, is refused: %v", s, examples[s], err)
		}
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range []string{"SHS 25x25x2", "1-1/2 x 1-1/2 x .125 sq tube", "sheet 16 ga", "timber 2x4", "L 40x40x4 r 6 toe 3", "1″×1″×⅛″ box", "CHS 33,7x3 mm", "HSS 2x2x1/8 in", "x", "1 1x"} {
		f.Add(s, true)
		f.Add(s, false)
	}
	steel, alloy := material(f, "steel"), material(f, "6063")
	f.Fuzz(func(t *testing.T, text string, inch bool) {
		unit := length.MM
		if inch {
			unit = length.In
		}
		s, err := Parse(text, unit)
		if err != nil {
			if s != (Section{}) || err.Error() == "" || strings.ContainsAny(err.Error(), "\n\r\x1b") {
				t.Fatalf("Parse(%q) = %+v with %q", text, s, err)
			}
			return
		}
		for _, u := range []length.Unit{length.MM, length.In} {
			if back, err := Parse(s.Canonical, u); err != nil || back != s {
				t.Fatalf("Parse(%q) is %+v; its canonical gives %+v, %v", text, s, back, err)
			}
		}
		for _, m := range []Material{steel, alloy} {
			if mass := MassPerMetre(s, m) + s.MassPerArea(m); !(mass >= 0) {
				t.Fatalf("Parse(%q) weighs %v", text, mass)
			}
		}
	})
}

func ExampleParse() {
	for _, text := range []string{"25×25×2.0 SHS", "sq tube 1 x 1 x 1/8 in", "sq tube 1x1x.125"} {
		s, err := Parse(text, length.MM)
		if err != nil {
			fmt.Println(err)
			continue
		}
		m, _ := LookupMaterial("EN AW-6063 T66")
		fmt.Printf("%s in %s: %.3f kg/m\n", s, m.Name, MassPerMetre(s, m))
	}
	// Output:
	// SHS 25x25x2 mm in 6063-T66: 0.497 kg/m
	// sq tube 1x1x0.125 in in 6063-T66: 0.762 kg/m
	// "sq tube 1x1x.125" has a fraction or a leading point, which is an inch size, but numbers here are in mm; add in after the sizes
}
