package length

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"
)

// number is one exact value as written.
type number struct {
	value    *big.Rat
	whole    bool // digits only
	fraction bool // written with a slash
}

// number reads a whole number, a decimal, a fraction or a whole number and a
// fraction.
func (p *parser) number() (number, error) {
	lit := p.take("0123456789.,")
	if lit == "" {
		if p.rest == "" {
			return number{}, fmt.Errorf("%s has no number; write one such as 1200, 1.2 m or 47 3/8 in", Quote(p.text))
		}
		return number{}, fmt.Errorf("%s is not a length; write a number such as 1200, 1.2 m or 47 3/8 in", Quote(p.text))
	}
	if strings.HasPrefix(p.rest, "/") {
		return p.fraction(lit)
	}
	lit = p.groups(lit)
	whole, part, err := p.decimal(lit)
	if err != nil {
		return number{}, err
	}
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(len(part))), nil)
	n := number{value: new(big.Rat).SetFrac(decimalInt(whole+part), ten), whole: part == ""}

	// A fraction may follow after one blank or hyphen.
	if p.rest == "" || (p.rest[0] != ' ' && p.rest[0] != '-') {
		return n, nil
	}
	before := p.rest
	p.rest = p.rest[1:]
	top := p.take("0123456789")
	if top == "" || !strings.HasPrefix(p.rest, "/") {
		p.rest = before
		return n, nil
	}
	f, err := p.fraction(top)
	if err != nil {
		return number{}, err
	}
	if !n.whole {
		return number{}, fmt.Errorf("%s has decimals and a fraction; write one or the other", Quote(p.text))
	}
	if f.value.Cmp(big.NewRat(1, 1)) >= 0 {
		return number{}, fmt.Errorf("%s has a fraction of one or more after a whole number; write the number as 47 3/8 or 47.375", Quote(p.text))
	}
	n.value.Add(n.value, f.value)
	n.whole, n.fraction = false, true
	return n, nil
}

// fraction reads the slash and what is under it.
func (p *parser) fraction(top string) (number, error) {
	p.rest = p.rest[1:]
	bottom := p.take("0123456789")
	if !digits(top) || bottom == "" || strings.HasPrefix(p.rest, "/") || strings.HasPrefix(p.rest, ".") || strings.HasPrefix(p.rest, ",") {
		return number{}, fmt.Errorf("%s has a broken fraction; write two whole numbers and one slash, such as 3/8", Quote(p.text))
	}
	if strings.Trim(bottom, "0") == "" {
		return number{}, fmt.Errorf("%s divides by zero; write a fraction such as 3/8", Quote(p.text))
	}
	return number{value: new(big.Rat).SetFrac(decimalInt(top), decimalInt(bottom)), fraction: true}, nil
}

// groups joins digits that blanks divide into threes: 1 200 or 12 345 678,5. A
// group of three with a slash behind it is the top of a fraction instead.
func (p *parser) groups(lit string) string {
	if !digits(lit) || len(lit) > 3 || lit[0] == '0' {
		return lit
	}
	for strings.HasPrefix(p.rest, " ") {
		before := p.rest
		p.rest = p.rest[1:]
		g := p.take("0123456789.,")
		whole, _, _ := strings.Cut(strings.ReplaceAll(g, ",", "."), ".")
		if len(whole) != 3 || strings.HasPrefix(p.rest, "/") {
			p.rest = before
			return lit
		}
		lit += g
		if len(g) > 3 {
			return lit
		}
	}
	return lit
}

var swissGroups = regexp.MustCompile(`^([+-]?\d{1,3}(?:'\d{3})+)([.,]\d+)? ?([a-z]*)\.?$`)

// apostrophes takes out marks between thousands as the Swiss write them, 1'250.5.
// Where bare numbers are inches or feet they could be foot marks.
func (p *parser) apostrophes(bare Unit) error {
	m := swissGroups.FindStringSubmatch(strings.ToLower(p.rest))
	if m == nil {
		return nil
	}
	if u, ok := lookUnit(m[3]); ok {
		bare = u
	}
	joined := strings.ReplaceAll(m[1], "'", "")
	if bare.Imperial() {
		return fmt.Errorf("%s could be thousands or feet; write %s, or feet and inches as in 3' 11-3/8\"", Quote(p.text), strings.ReplaceAll(p.rest, "'", ""))
	}
	p.rest = joined + p.rest[len(m[1]):]
	return nil
}

// decimalInt is the whole number of a run of digits, leading zeros and all;
// big.Rat.SetString would take 010/16 for octal.
func decimalInt(s string) *big.Int {
	v, ok := new(big.Int).SetString(s, 10)
	if !ok {
		return new(big.Int)
	}
	return v
}

// decimal divides a literal of digits, points and commas into the digits before
// and after the decimal sign, or says why it cannot be read in one way only.
func (p *parser) decimal(lit string) (whole, part string, err error) {
	point, sep := ".", ","
	if p.comma {
		point, sep = ",", "."
	}
	whole, part, hasPoint := strings.Cut(lit, point)
	bad := fmt.Errorf("%s is not a number; write one such as 1200 or 1%s5", Quote(lit), point)
	if strings.Trim(lit, ".,") == "" {
		return "", "", bad
	}
	switch {
	case strings.Contains(part, sep) || strings.Contains(part, point):
		// 1.234,5 or 1.234.567 where the point is the decimal sign.
		if a, b, ok := strings.Cut(lit, sep); ok && grouped(a, point) && digits(b) {
			return "", "", fmt.Errorf("%s uses %s as the decimal sign; write %s, or %s", Quote(lit), name(sep), strings.ReplaceAll(a, point, "")+point+b, p.switchAdvice())
		}
		if grouped(lit, point) {
			return "", "", fmt.Errorf("%s uses %s between thousands; write %s", Quote(lit), name(point), strings.ReplaceAll(lit, point, ""))
		}
		return "", "", bad
	case !strings.Contains(whole, sep):
		if (whole != "" && !digits(whole)) || (part != "" && !digits(part)) {
			return "", "", bad
		}
		return whole, part, nil
	case grouped(whole, sep) && (hasPoint || strings.Count(whole, sep) > 1):
		return strings.ReplaceAll(whole, sep, ""), part, nil
	case grouped(whole, sep):
		joined := strings.ReplaceAll(whole, sep, "")
		advice := fmt.Sprintf("write %s, or %s", joined, trimmed(strings.Replace(whole, sep, point, 1), point))
		if p.comma {
			advice += ", or " + p.switchAdvice() // a whole table of 47.125 needs one line
		}
		return "", "", fmt.Errorf("%s could be %s or %s; %s", Quote(lit), joined, strings.Replace(whole, sep, point, 1), advice)
	case !hasPoint && strings.Count(whole, sep) == 1:
		return "", "", fmt.Errorf("%s has %s where the decimal sign is %s; write %s, or %s", Quote(lit), name(sep), name(point), lead(strings.Replace(whole, sep, point, 1)), p.switchAdvice())
	}
	return "", "", bad
}

// switchAdvice tells how to make the other sign the decimal one.
func (p *parser) switchAdvice() string {
	if p.comma {
		return `say decimal = "."`
	}
	return `separate the table with semicolons and say decimal = ","`
}

// name spells a separator out.
func name(sign string) string {
	if sign == "," {
		return "a comma"
	}
	return "a point"
}

// trimmed takes the zeros off the end of a decimal, and its sign if none is left.
func trimmed(s, point string) string {
	return strings.TrimSuffix(strings.TrimRight(s, "0"), point)
}

// lead puts a zero before a bare decimal sign.
func lead(s string) string {
	if strings.HasPrefix(s, ".") || strings.HasPrefix(s, ",") {
		return "0" + s
	}
	return s
}

// take removes and returns the longest run of the given characters.
func (p *parser) take(set string) string {
	rest := strings.TrimLeft(p.rest, set)
	got := p.rest[:len(p.rest)-len(rest)]
	p.rest = rest
	return got
}
