package job

import (
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"sawbill/internal/length"
)

// Exact numbers from cells: amounts, angles, quantities, sizes.

var (
	plainDigits  = regexp.MustCompile(`^[+-]?(\d+(\.\d*)?|\.\d+)$`)
	commaDecimal = regexp.MustCompile(`^[+-]?\d*,\d+$`)
	commaGroups  = regexp.MustCompile(`^[+-]?\d{1,3}(,\d{3})+(\.\d+)?$`)
	blankGroups  = regexp.MustCompile(`^[+-]?\d{1,3}([ ']\d{3})+([.,]\d+)?$`)
)

// longestNumber bounds the digits of one number.
const longestNumber = 40

// decimal reads a decimal number. A comma is the decimal sign when comma is
// set, else a mark between thousands, and refused where it could be either.
func decimal(text string, comma bool) (*big.Rat, error) {
	t := length.Clean(text)
	if len(t) > longestNumber {
		return nil, fmt.Errorf("%s is too long for a number", quote(text))
	}
	point, mark := ".", ","
	swap := strings.NewReplacer()
	if comma {
		point, mark = ",", "."
		swap = strings.NewReplacer(",", ".", ".", ",")
	}
	n := swap.Replace(t)
	if blankGroups.MatchString(n) {
		n = strings.NewReplacer(" ", "", "'", "").Replace(n)
	}
	switch {
	case commaGroups.MatchString(n) && !strings.Contains(n, ".") && strings.Count(n, ",") == 1 && !strings.HasPrefix(n, "0"):
		return nil, fmt.Errorf("%s could have thousands or decimals; write %s or %s", quote(text), strings.ReplaceAll(t, mark, ""), strings.TrimSuffix(strings.TrimRight(strings.Replace(t, mark, point, 1), "0"), point))
	case commaGroups.MatchString(n) && !strings.HasPrefix(n, "0"):
		n = strings.ReplaceAll(n, ",", "")
	case commaDecimal.MatchString(n) && comma:
		return nil, fmt.Errorf(`%s has a point where the decimal sign is a comma; write %s, or say decimal = "." under [job]`, quote(text), strings.Replace(t, ".", ",", 1))
	case commaDecimal.MatchString(n):
		return nil, fmt.Errorf(`%s has a comma where the decimal sign is a point; write %s, or separate the table with semicolons and say decimal = "," under [job]`, quote(text), strings.Replace(t, ",", ".", 1))
	}
	if !plainDigits.MatchString(n) {
		return nil, fmt.Errorf("%s is not a number; write one such as 12 or 1%s5", quote(text), point)
	}
	v, ok := new(big.Rat).SetString(n)
	if !ok {
		return nil, fmt.Errorf("%s is not a number; write one such as 12 or 1%s5", quote(text), point)
	}
	return v, nil
}

// plainNumber is decimal for callers with their own sentence.
func plainNumber(text string, comma bool) (*big.Rat, bool) {
	v, err := decimal(text, comma)
	return v, err == nil
}

// roundHalfUp is the nearest whole number, halves upward.
func roundHalfUp(v *big.Rat) *big.Int {
	twice := new(big.Int).Lsh(v.Num(), 1)
	twice.Add(twice, v.Denom())
	return twice.Div(twice, new(big.Int).Lsh(v.Denom(), 1)) // floor, as the divisor is positive
}

var halfAngle = regexp.MustCompile(`^([+-]?)(?:(\d+)[ -])?(\d+)/(\d+)$`)
var minutes = regexp.MustCompile(`^([+-]?)(\d+)\s*°\s*(\d+)\s*'$`)
var degreeWord = regexp.MustCompile(`(?i)\s*(°|º|degrees?|deg\.?|grad|degrés?|grados?)$`)

// angle reads an end angle from square in thousandths of a degree. exact is
// false where it was rounded.
func angle(text string, comma bool) (milli int64, exact bool, err error) {
	t := length.Clean(text)
	if t == "" {
		return 0, true, nil
	}
	if len(t) > longestNumber {
		return 0, false, fmt.Errorf("%s is too long for an angle", quote(text))
	}
	bare := degreeWord.ReplaceAllString(t, "")
	var v *big.Rat
	if m := minutes.FindStringSubmatch(t); m != nil {
		v, _ = new(big.Rat).SetString(m[2])
		part, _ := new(big.Rat).SetString(m[3])
		v.Add(v, part.Quo(part, big.NewRat(60, 1)))
		if m[1] == "-" {
			v.Neg(v)
		}
	} else if m := halfAngle.FindStringSubmatch(bare); m != nil {
		over, _ := new(big.Rat).SetString(m[3])
		under, _ := new(big.Rat).SetString(m[4])
		if under.Sign() == 0 {
			return 0, false, fmt.Errorf("%s divides by zero; write an angle such as 22.5", quote(text))
		}
		v = over.Quo(over, under)
		if v.Cmp(big.NewRat(1, 1)) >= 0 {
			return 0, false, compound(text)
		}
		if m[2] != "" {
			w, _ := new(big.Rat).SetString(m[2])
			v.Add(v, w)
		}
		if m[1] == "-" {
			v.Neg(v)
		}
	} else if strings.ContainsAny(bare, "/x×;&+|") && strings.IndexAny(bare, "0123456789") == 0 {
		return 0, false, compound(text)
	} else if v, err = decimal(eitherSign(bare), comma && !fewDegrees.MatchString(bare)); err != nil {
		return 0, false, fmt.Errorf("%s is not an angle; write degrees from square, such as 45 or 22.5", quote(text))
	}
	if limit := big.NewRat(60, 1); new(big.Rat).Abs(v).Cmp(limit) > 0 {
		if v.Cmp(big.NewRat(90, 1)) == 0 {
			return 0, false, errors.New(`"90" is an angle from the length; angles are from square, so write 0 for a square cut`)
		}
		return 0, false, fmt.Errorf("%s is more than 60 degrees from square; angles are from square, 0 for a square cut and 45 for a mitre", quote(text))
	}
	thousandths := new(big.Rat).Mul(v, big.NewRat(1000, 1))
	return roundHalfUp(thousandths).Int64(), thousandths.IsInt(), nil
}

// fewDegrees matches an angle with decimals. No angle has thousands, so a point
// and a comma mean the same there, whatever sign the lengths have.
var fewDegrees = regexp.MustCompile(`^[+-]?\d{0,2}[.,]\d+$`)

// eitherSign writes the decimals of an angle with a point.
func eitherSign(bare string) string {
	if fewDegrees.MatchString(bare) {
		return strings.Replace(bare, ",", ".", 1)
	}
	return bare
}

func compound(text string) error {
	return fmt.Errorf("%s is a compound cut, tilted two ways, and cannot be planned; write one angle from square, such as 45", quote(text))
}

var copiesWord = regexp.MustCompile(`(?i)^(\d[\d.,' ]*?)\s*(x|×|off|no|nos|pcs?|pieces?|ea|each|stk|st|stück|stueck|pièces?|piezas?|uds?)?\.?$`)

// quantity reads a positive whole number.
func quantity(text string, comma bool) (int64, error) {
	wrong := fmt.Errorf("%s is not a quantity; write a whole number from 1 up", quote(text))
	m := copiesWord.FindStringSubmatch(length.Clean(text))
	if m == nil {
		return 0, wrong
	}
	v, err := decimal(m[1], comma)
	if err != nil || !v.IsInt() || v.Sign() <= 0 {
		return 0, wrong
	}
	if v.Cmp(big.NewRat(mostCopies, 1)) > 0 {
		return 0, fmt.Errorf("%s copies are more than %d; check the quantity", quote(text), mostCopies)
	}
	return v.Num().Int64(), nil
}

var sizeSign = regexp.MustCompile(`\s*[x×X✕*]\s*|\s+by\s+`)

// sizes reads one length or two with an x between: 6000, 2500 x 1250,
// 4 x 8 ft. A unit behind the last number holds for all that have none. Sizes
// stay in the order written, the length first.
func (r *reader) sizes(at Pos, what, text string, reading length.Reading) ([]length.Length, bool) {
	clean := length.Clean(text)
	parts := sizeSign.Split(clean, -1)
	if len(parts) > 2 {
		r.fault(at, "%s %s has %d numbers; write length x width only, such as 2500 x 1250", what, quote(text), len(parts))
		return nil, false
	}
	if len(parts) == 2 {
		switch first, last := unitBehind(parts[0]), unitBehind(parts[1]); {
		case first == "" && strings.ContainsAny(last, "0123456789"):
			r.fault(at, "%s %s has feet and inches behind a bare number; write the unit behind both", what, quote(text))
			return nil, false
		case first == "" && last != "":
			parts[0] += " " + last
		case first != "" && last == "":
			r.fault(at, "%s %s has a unit behind the first number only; write it behind the last, such as 4 x 8 ft", what, quote(text))
			return nil, false
		}
	}
	var sides []length.Length
	for _, p := range parts {
		l, ok := r.length(at, what, p, reading)
		if !ok {
			return nil, false
		}
		if l <= 0 {
			r.fault(at, "%s %s is not more than 0; write a length such as 6000, or length x width such as 2500 x 1250", what, quote(text))
			return nil, false
		}
		sides = append(sides, l)
	}
	return sides, true
}

var firstUnit = regexp.MustCompile(`[\pL'"].*$`)

// unitBehind is what stands from the first unit of a number on: a unit, inches
// after the feet, or "" for a bare number.
func unitBehind(text string) string { return strings.TrimSpace(firstUnit.FindString(text)) }

// exponent is how a spreadsheet stores large and small numbers.
var exponent = regexp.MustCompile(`^-?\d(\.\d+)?E[+-]?\d{1,2}$`)

// unexponent writes such a number out, and cuts the noise that binary numbers
// carry in their seventeenth digit: 0.1+0.2 is stored as 0.30000000000000004.
func unexponent(text string) string {
	v, ok := new(big.Rat).SetString(text)
	if !ok || !strings.ContainsAny(text, ".E") {
		return text
	}
	return strings.TrimSuffix(strings.TrimRight(v.FloatString(12), "0"), ".")
}
