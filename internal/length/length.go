// Package length holds exact lengths: reading, printing and the one base unit.
//
// A Length is a whole number of 25 nm. On that grid 0.001 mm is 40, 0.001 in
// is 1 016 and 1/64 in is 15 875, so everything a tape, a drawing or a supplier
// states in either system is held without rounding (1 in = 25.4 mm exactly,
// the international inch of 1959). Values are rounded once, when printed;
// sums are taken from exact values, because sums of rounded lengths drift: ten
// pieces rounded to 1/16 in can miss by 5/16 in.
//
// Parse reads what people write. Where a text can be read in two ways it is
// refused with advice, never guessed.
package length

import (
	"fmt"
	"strconv"
	"strings"
)

// Length is a distance in units of 25 nm. Products of two lengths below 75 m
// stay inside int64.
type Length int64

// The units, exact.
const (
	Micrometre  Length = 40
	Millimetre  Length = 40_000
	Centimetre  Length = 10 * Millimetre
	Metre       Length = 1000 * Millimetre
	Sixtyfourth Length = 15_875 // 1/64 in
	Inch        Length = 64 * Sixtyfourth
	Foot        Length = 12 * Inch
)

// Max is the largest magnitude Parse accepts. Anything longer than a kilometre
// on a cut list is a slip of the pen.
const Max = 1000 * Metre

// Millimetres returns the length in millimetres as a float, for drawing. Do not
// decide anything by it.
func (l Length) Millimetres() float64 { return float64(l) / float64(Millimetre) }

// String returns the exact length in millimetres with its unit.
func (l Length) String() string { return Exact(l, MM) + " mm" }

// Unit is a unit of length a person may write or read in.
type Unit int

// The units. MM is the zero value.
const (
	MM Unit = iota
	CM
	M
	In
	Ft
)

var unitNames = [...]string{MM: "mm", CM: "cm", M: "m", In: "in", Ft: "ft"}

// String returns the canonical name: mm, cm, m, in or ft.
func (u Unit) String() string {
	if u < MM || u > Ft {
		return fmt.Sprintf("Unit(%d)", int(u))
	}
	return unitNames[u]
}

// Size returns the length of one unit. An unknown Unit counts as millimetres.
func (u Unit) Size() Length {
	switch u {
	case CM:
		return Centimetre
	case M:
		return Metre
	case In:
		return Inch
	case Ft:
		return Foot
	default:
		return Millimetre
	}
}

// Imperial reports whether the unit is the inch or the foot.
func (u Unit) Imperial() bool { return u == In || u == Ft }

// unitWords maps what people write to a unit. "pie" (Spanish foot) is left out:
// it is too short to tell from a slip; the plural is not.
var unitWords = map[string]Unit{
	"mm": MM, "millimeter": MM, "millimeters": MM, "millimetre": MM, "millimetres": MM,
	"millimètre": MM, "millimètres": MM, "milímetro": MM, "milímetros": MM, "milimetro": MM, "milimetros": MM,
	"cm": CM, "centimeter": CM, "centimeters": CM, "centimetre": CM, "centimetres": CM,
	"zentimeter": CM, "centimètre": CM, "centimètres": CM, "centímetro": CM, "centímetros": CM,
	"centimetro": CM, "centimetros": CM,
	"m": M, "meter": M, "meters": M, "metre": M, "metres": M, "mètre": M, "mètres": M, "metro": M, "metros": M,
	"in": In, "inch": In, "inches": In, `"`: In, "zoll": In, "pouce": In, "pouces": In, "pulgada": In, "pulgadas": In,
	"ft": Ft, "foot": Ft, "feet": Ft, "'": Ft, "fuß": Ft, "pied": Ft, "pieds": Ft, "pies": Ft,
}

// ParseUnit reads the name of a unit: mm, cm, m, in or ft, their English,
// German, French and Spanish words in either number, or the marks ' and " in
// any of their typographic forms. Case and a full stop at the end are ignored.
func ParseUnit(text string) (Unit, error) {
	if u, ok := lookUnit(Clean(text)); ok {
		return u, nil
	}
	return MM, fmt.Errorf("%s is not a unit of length; write mm, cm, m, in or ft", Quote(text))
}

func lookUnit(word string) (Unit, bool) {
	u, ok := unitWords[strings.TrimSuffix(strings.ToLower(word), ".")]
	return u, ok
}

// Quote puts a user's text in quotation marks for a message: what would upset a
// terminal becomes a question mark, what would drown the sentence is cut short.
// Inch marks stay as they are, because "3' 11"" reads better than any escape.
func Quote(text string) string {
	const longest = 60
	r := []rune(text)
	tail := ""
	if len(r) > longest {
		r, tail = r[:longest], "…"
	}
	for i, c := range r {
		if !strconv.IsPrint(c) && c != '\u00a0' {
			r[i] = '?'
		}
	}
	return `"` + string(r) + tail + `"`
}
