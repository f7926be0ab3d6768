package length

import (
	"fmt"
	"math/big"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Reading says how a bare number and a comma are to be read. The zero value
// reads millimetres and a decimal point.
type Reading struct {
	// Unit is the unit of a number that carries none.
	Unit Unit
	// DecimalComma makes the comma the decimal sign and the point a separator
	// of thousands; otherwise it is the other way round.
	DecimalComma bool
}

// OffGridError says that a well-formed length falls between two steps of the
// base grid, as a third of an inch does. The caller may refuse it or take
// Nearest and show the rounding.
type OffGridError struct {
	// Text is what was written.
	Text string
	// Nearest is the closest Length, halves away from zero.
	Nearest Length
	// Unit is the unit the text was read in.
	Unit Unit
}

func (e *OffGridError) Error() string {
	return fmt.Sprintf("%s is not a whole number of 25 nm steps; write a close value such as %s", Quote(e.Text), e.advice())
}

// advice is a value near by that Parse accepts: thousandths for inches, which
// are on the grid, else the nearest step.
func (e *OffGridError) advice() string {
	if thou := (Format{Unit: In, Decimals: 3}).WithUnit(e.Nearest); e.Unit.Imperial() && thou != "0.000 in" {
		return thou
	}
	return e.Nearest.String()
}

// longestText bounds the work spent on one cell, in runes after cleaning.
const longestText = 80

// Parse reads a length:
//
//	1200   1.2 m   120cm   1 200   .125   1,234.5
//	47 3/8 in   47-3/8"   47⅜   1/2   9/8 in
//	3' 11-3/8"   3'11 3/8   3'-11 3/8"   3 ft 11 3/8 in   5 ft
//
// A bare number is in r.Unit; a number after feet is in inches. A bare fraction
// is read only where r.Unit is the inch or the foot, because 47 3/8 on a
// millimetre list is far more likely an inch value than 47.375 mm. A comma or
// point that could be either a decimal sign or a separator of thousands (1,234)
// is refused, as is the decimal sign of the other convention (1,5 where the
// point is the decimal sign). A sign in front is accepted; whether a negative
// length makes sense is the caller's to judge.
//
// A value that is not a whole number of 25 nm gives an *OffGridError; a value
// beyond Max and anything else an error of one sentence. The Length is 0
// whenever the error is not nil.
func Parse(text string, r Reading) (Length, error) {
	p := parser{text: text, rest: Clean(text), comma: r.DecimalComma}
	if p.rest == "" {
		return 0, fmt.Errorf("a length is missing; write a number such as 1200, 1.2 m or 47 3/8 in")
	}
	if utf8.RuneCountInString(p.rest) > longestText {
		return 0, fmt.Errorf("%s is too long for a length; write a number such as 1200, 1.2 m or 47 3/8 in", Quote(text))
	}
	if err := p.apostrophes(r.Unit); err != nil {
		return 0, err
	}
	value, unit, err := p.length(r.Unit)
	if err != nil {
		return 0, err
	}
	return p.onGrid(value, unit)
}

// parser holds what is still to be read of one text.
type parser struct {
	text  string // as written, for messages
	rest  string // cleaned, not yet read
	comma bool   // the comma is the decimal sign
}

// onGrid turns an exact value in a unit into a Length.
func (p *parser) onGrid(value *big.Rat, unit Unit) (Length, error) {
	v := new(big.Rat).Mul(value, new(big.Rat).SetInt64(int64(unit.Size())))
	limit := new(big.Rat).SetInt64(int64(Max))
	if new(big.Rat).Abs(v).Cmp(limit) > 0 {
		return 0, fmt.Errorf("%s is more than %d m; check the figure and its unit", Quote(p.text), Max/Metre)
	}
	if v.IsInt() {
		return Length(v.Num().Int64()), nil
	}
	return 0, &OffGridError{Text: p.text, Nearest: Length(roundRat(v).Int64()), Unit: unit}
}

// length reads the whole text: sign, number, unit and, after feet, inches.
func (p *parser) length(bare Unit) (*big.Rat, Unit, error) {
	negative := false
	if strings.HasPrefix(p.rest, "-") || strings.HasPrefix(p.rest, "+") {
		negative = p.rest[0] == '-'
		p.rest = strings.TrimLeft(p.rest[1:], " ")
	}
	first, err := p.number()
	if err != nil {
		return nil, 0, err
	}
	unit, written, err := p.unit()
	if err != nil {
		return nil, 0, err
	}
	value := first.value
	switch {
	case !written && p.rest != "":
		return nil, 0, p.leftOver(first)
	case !written:
		if unit = bare; first.fraction && !unit.Imperial() {
			return nil, 0, fmt.Errorf("%s has a fraction but no unit, and a bare number here is in %s; write %s in, or the value in decimals", Quote(p.text), unit, Clean(p.text))
		}
	case p.rest != "" && unit == Ft:
		inches, err := p.inches(first)
		if err != nil {
			return nil, 0, err
		}
		unit = In
		value = new(big.Rat).Add(new(big.Rat).Mul(value, big.NewRat(12, 1)), inches)
	case p.rest != "":
		return nil, 0, fmt.Errorf("%s goes on after the unit with %s; write one number and one unit, such as 1.2 m", Quote(p.text), Quote(p.rest))
	}
	if negative {
		value.Neg(value)
	}
	return value, unit, nil
}

// inches reads what follows the feet: a hyphen or none, a number below twelve
// and an inch mark or none.
func (p *parser) inches(feet number) (*big.Rat, error) {
	if strings.HasPrefix(p.rest, "-") {
		p.rest = strings.TrimLeft(p.rest[1:], " ")
	}
	n, err := p.number()
	if err != nil {
		return nil, err
	}
	unit, written, err := p.unit()
	if err != nil {
		return nil, err
	}
	switch {
	case p.rest != "", written && unit != In:
		return nil, fmt.Errorf("%s is not feet and inches; write it as 3' 11-3/8\"", Quote(p.text))
	case !feet.whole:
		return nil, fmt.Errorf("%s has a part of a foot and inches as well; write whole feet, as in 3' 11-3/8\"", Quote(p.text))
	case n.value.Cmp(big.NewRat(12, 1)) >= 0:
		return nil, fmt.Errorf("%s has twelve inches or more after the feet; carry them into the feet, or write the whole length in one unit", Quote(p.text))
	}
	return n.value, nil
}

// unit reads a unit word or mark, if one follows.
func (p *parser) unit() (u Unit, written bool, err error) {
	p.rest = strings.TrimLeft(p.rest, " ")
	if p.rest == "" {
		return 0, false, nil
	}
	end := 0
	if p.rest[0] == '\'' || p.rest[0] == '"' {
		end = 1
	} else {
		for i, c := range p.rest {
			if !unicode.IsLetter(c) && !unicode.IsMark(c) {
				break
			}
			end = i + utf8.RuneLen(c)
		}
	}
	if end == 0 {
		return 0, false, nil
	}
	word := p.rest[:end]
	after := p.rest[end:]
	u, ok := lookUnit(word)
	if !ok {
		if strings.EqualFold(word, "e") && after != "" {
			return 0, false, fmt.Errorf("%s uses powers of ten; write the number out, such as 1200", Quote(p.text))
		}
		return 0, false, fmt.Errorf("%s in %s is not a unit of length; write mm, cm, m, in or ft", Quote(word), Quote(p.text))
	}
	if word != "'" && word != `"` {
		after = strings.TrimPrefix(after, ".")
	}
	p.rest = strings.TrimLeft(after, " ")
	return u, true, nil
}

// leftOver explains a text that goes on after its number without a unit.
func (p *parser) leftOver(n number) error {
	if n.whole && strings.HasPrefix(p.rest, "-") {
		return fmt.Errorf("%s could be feet and inches, a fraction or a range; write 3' 11-3/8\" for feet and inches or 47-3/8 for a fraction", Quote(p.text))
	}
	return fmt.Errorf("%s cannot be read after %s; write a number such as 1200, 1.2 m or 47 3/8 in",
		Quote(p.rest), Quote(strings.TrimRight(strings.TrimSuffix(Clean(p.text), p.rest), " ")))
}
