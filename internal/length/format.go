package length

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"
)

// Format says how a length is printed. Printing rounds, halves away from zero,
// and nothing else in the program does. The zero value prints whole
// millimetres.
type Format struct {
	Unit Unit
	// Fraction is the denominator to which inches are rounded, such as 16, 32 or
	// 64; 0 prints decimals. It applies to inches and feet only.
	Fraction int64
	// Decimals is the number of digits after the decimal sign, always printed;
	// negative counts as none.
	Decimals int
	// Comma prints a decimal comma.
	Comma bool
	// FeetInches prints feet and inches with their marks, 3' 11-3/8", where Unit
	// is the inch or the foot. A Fraction with the foot implies it.
	FeetInches bool
}

// String prints the number alone, such as 1200 or 47-3/8; feet and inches keep
// their marks. Fractions are reduced, a full one is carried, a zero one left
// out.
func (f Format) String(l Length) string {
	if f.Unit.Imperial() && (f.FeetInches || (f.Unit == Ft && f.Fraction > 0)) {
		return f.feetInches(l)
	}
	n, den := f.steps(l, f.Unit)
	return sign(n) + f.magnitude(n.Abs(n), den)
}

// WithUnit prints the number and its unit, such as 1200 mm or 47-3/8 in. Feet
// and inches have their marks already.
func (f Format) WithUnit(l Length) string {
	s := f.String(l)
	if strings.ContainsAny(s, `'"`) {
		return s
	}
	return s + " " + f.Unit.String()
}

// steps returns l rounded to the format's step, as n/den units.
func (f Format) steps(l Length, unit Unit) (n *big.Int, den int64) {
	den = f.denominator(unit)
	v := new(big.Rat).SetFrac(
		new(big.Int).Mul(big.NewInt(int64(l)), big.NewInt(den)), big.NewInt(int64(unit.Size())))
	return roundRat(v), den
}

func (f Format) denominator(unit Unit) int64 {
	if f.Fraction > 0 && unit.Imperial() {
		return f.Fraction
	}
	d := int64(1)
	for i := 0; i < min(f.Decimals, 12); i++ {
		d *= 10
	}
	return d
}

// magnitude prints n/den, n not negative.
func (f Format) magnitude(n *big.Int, den int64) string {
	whole, part := new(big.Int).QuoRem(n, big.NewInt(den), new(big.Int))
	if f.Fraction > 0 && f.Unit.Imperial() {
		return mixed(whole, part.Int64(), den)
	}
	if den == 1 {
		return whole.String()
	}
	point := "."
	if f.Comma {
		point = ","
	}
	return whole.String() + point + fmt.Sprintf("%0*d", min(f.Decimals, 12), part.Int64())
}

func (f Format) feetInches(l Length) string {
	n, den := f.steps(l, In)
	s := sign(n)
	feet, inches := new(big.Int).QuoRem(n.Abs(n), big.NewInt(12*den), new(big.Int))
	f.Unit = In
	in := f.magnitude(inches, den) + `"`
	if feet.Sign() == 0 {
		return s + in
	}
	return s + feet.String() + "' " + in
}

// mixed prints whole and num/den with the fraction reduced.
func mixed(whole *big.Int, num, den int64) string {
	if num == 0 {
		return whole.String()
	}
	r := big.NewRat(num, den)
	if whole.Sign() == 0 {
		return r.String()
	}
	return whole.String() + "-" + r.String()
}

func sign(n *big.Int) string {
	if n.Sign() < 0 {
		return "-"
	}
	return ""
}

// roundRat rounds to the nearest whole number, halves away from zero.
func roundRat(v *big.Rat) *big.Int {
	twice := new(big.Int).Lsh(v.Denom(), 1)
	n := new(big.Int).Abs(v.Num())
	n.Lsh(n, 1).Add(n, v.Denom()).Quo(n, twice)
	if v.Sign() < 0 {
		n.Neg(n)
	}
	return n
}

// Exact prints a length without rounding, so that Parse under Reading{Unit: u}
// gives the same value back. Metric units are decimals. Inches are a fraction
// where the trade has one (halves to sixty-fourths), else decimals where they
// end, else a fraction over whatever it takes (1 mm is 5/127 in). Feet are feet
// and inches.
func Exact(l Length, u Unit) string {
	if l < 0 {
		// The negative of the least int64 is itself; no length comes near it.
		return "-" + Exact(-l, u)
	}
	size := u.Size()
	switch u {
	case Ft:
		in := Exact(l%Foot, In) + `"`
		if l < Foot {
			return in
		}
		return strconv.FormatInt(int64(l/Foot), 10) + "' " + in
	case In:
		part := l % Inch
		if part%Sixtyfourth != 0 && part%127 == 0 {
			return decimals(l, size)
		}
		return mixed(big.NewInt(int64(l/Inch)), int64(part), int64(Inch))
	}
	return decimals(l, size)
}

// decimals prints l/size, whose expansion ends.
func decimals(l, size Length) string {
	s := new(big.Rat).SetFrac64(int64(l), int64(size)).FloatString(12)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}
