package section

import (
	"fmt"
	"strconv"
	"strings"

	"sawbill/internal/length"
)

// metricWords and inchWords are the shape words of the canonical spelling.
var metricWords = map[Shape]string{
	SquareTube: "SHS", RectTube: "RHS", RoundTube: "CHS", Angle: "L", Channel: "channel", Flat: "flat",
	SquareBar: "sq bar", RoundBar: "round bar", Timber: "timber", Sheet: "sheet", Plywood: "ply",
	Foam: "foam", Board: "board",
}

var inchWords = map[Shape]string{
	SquareTube: "sq tube", RectTube: "rect tube", RoundTube: "round tube", Angle: "angle",
}

var cornerWords = map[Corner]string{
	Sharp: "sharp", EN10219: "EN 10219", EN10210: "EN 10210", USHSS: "HSS",
}

// Name returns the canonical spelling for a reader who thinks in unit: without
// the unit where that is the one the section is in. Parse(Name(u), u) is the
// same section.
func (s Section) Name(unit length.Unit) string {
	return s.spell(unit.Imperial() != (s.Unit == length.In))
}

// spell writes the designation, with its unit if told to.
func (s Section) spell(withUnit bool) string {
	word := metricWords[s.Shape]
	if w := inchWords[s.Shape]; w != "" && s.Unit == length.In {
		word = w
	}
	if s.Grade != "" {
		word = s.Grade
	}
	switch {
	case s.Gauge != 0:
		return fmt.Sprintf("%s %d ga", word, s.Gauge)
	case s.Nominal != "":
		return word + " " + s.Nominal + " nominal"
	}
	var v []length.Length
	switch s.Shape {
	case SquareTube, RectTube, Angle:
		v = []length.Length{s.Height, s.Width, s.Thickness}
	case RoundTube, Flat:
		v = []length.Length{s.Width, s.Thickness}
	case Channel:
		v = []length.Length{s.Height, s.Width, s.Flange, s.Thickness}
	case SquareBar, RoundBar:
		v = []length.Length{s.Width}
	case Timber:
		v = []length.Length{s.Width, s.Height}
	default:
		v = []length.Length{s.Thickness}
	}
	n := make([]string, len(v))
	for i := range v {
		n[i] = s.digits(v[i])
	}
	out := word + " " + strings.Join(n, "x")
	// A bare whole-inch size would read as nominal lumber, and a bare size
	// outside the usual range would be refused.
	if withUnit || s.Shape == Timber && s.Unit == length.In || s.plausible("") != nil {
		out += " " + s.Unit.String()
	}
	if s.Corner == Stated {
		out += " r " + s.digits(s.Root)
		if s.Toe != 0 {
			out += " toe " + s.digits(s.Toe)
		}
	} else if s.Corner != ByMaterial {
		out += " " + cornerWords[s.Corner]
	}
	return out
}

// digits prints a size in the section's unit as a decimal; an inch size whose
// decimals do not end, as a fraction.
func (s Section) digits(l length.Length) string {
	if s.Unit != length.In || l%127 != 0 {
		return length.Exact(l, s.Unit)
	}
	// On the grid an inch size whose decimals end has at most six.
	t := strconv.FormatInt(int64(l)*125/127, 10) // in 1e-6 in: 1 in = 1 016 000 = 8 000 · 127
	if len(t) < 7 {
		t = strings.Repeat("0", 7-len(t)) + t
	}
	t = t[:len(t)-6] + "." + t[len(t)-6:]
	return strings.TrimSuffix(strings.TrimRight(t, "0"), ".")
}

// plausible refuses a bare size no stock has in the default unit. The ranges
// are wide, common practice, no source: they only tell millimetres from inches.
func (s Section) plausible(text string) error {
	mm, in := length.Millimetre, length.Inch
	var least, most length.Length // of the largest size, in mm and in inches
	largest := max(s.Width, s.Height)
	switch s.Shape {
	case Sheet:
		least, most, largest = 3*mm/10, in, s.Thickness
	case Plywood, Board:
		least, most, largest = 2*mm, 3*in, s.Thickness
	case Foam:
		least, most, largest = 3*mm, 12*in, s.Thickness
	case SquareBar, RoundBar:
		least, most = 2*mm, 8*in
	case Timber:
		least, most = 13*mm, 24*in
	default:
		least, most = 5*mm, 16*in
	}
	switch {
	case s.Unit == length.In && largest > most:
		return fmt.Errorf("%s would be %s in, as numbers here are in inches; add mm after the sizes if they are millimetres, or in to insist", length.Quote(text), s.digits(largest))
	case s.Unit != length.In && largest < least:
		return fmt.Errorf("%s would be %s mm, as numbers here are in millimetres; add in after the sizes if they are inches, or mm to insist", length.Quote(text), s.digits(largest))
	}
	return nil
}
