package report

import (
	"math"
	"strconv"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// style is how a job's reader wants numbers.
type style struct {
	unit     length.Unit
	fraction int64
	comma    bool
	currency string
}

func styleOf(p *plan.Plan, j *job.Job) style {
	return style{unit: j.Unit, fraction: j.Fraction, comma: j.DecimalComma, currency: p.Currency}
}

// finest is the number of decimals that lengths are printed with at most: the
// tenth of a millimetre or the thousandth of an inch that a tape or a stop
// cannot better.
var finest = map[length.Unit]int{length.MM: 1, length.CM: 2, length.M: 4, length.In: 3, length.Ft: 4}

// length prints a length without its unit. Only here is it rounded.
func (s style) length(l length.Length) string {
	return s.format(l, s.fraction, finest[s.unit])
}

// own prints the length that a piece, a panel or a stock has by itself, as the
// job states it: a digit or two finer than what follows from cutting.
func (s style) own(l length.Length) string {
	fraction := s.fraction
	if fraction > 0 && s.unit.Imperial() {
		for fraction < 64 && l%(length.Inch/length.Length(max(1, min(fraction, 64)))) != 0 {
			fraction *= 2
		}
	}
	return s.format(l, fraction, finest[s.unit]+1)
}

func (s style) ownWithUnit(l length.Length) string { return s.unitOn(s.own(l)) }

// small prints a kerf, a trim or a slack: a step finer, and never as a fraction.
func (s style) small(l length.Length) string {
	return s.format(l, 0, max(2, finest[s.unit]))
}

func (s style) format(l length.Length, fraction int64, decimals int) string {
	f := length.Format{Unit: s.unit, Fraction: fraction, Decimals: decimals, Comma: s.comma}
	text := f.String(l)
	if fraction > 0 && s.unit.Imperial() {
		return text
	}
	return trimZeros(text)
}

func trimZeros(text string) string {
	if !strings.ContainsAny(text, ".,") {
		return text
	}
	text = strings.TrimRight(strings.TrimRight(text, "0"), ".,")
	if text == "-0" {
		return "0"
	}
	return text
}

// withUnit is length with the unit behind it.
func (s style) withUnit(l length.Length) string {
	return s.unitOn(s.length(l))
}

func (s style) unitOn(text string) string {
	if strings.ContainsAny(text, `'"`) {
		return text
	}
	return text + " " + s.unit.String()
}

// sawn prints a kerf or a trim as the trade does: a fraction of an inch where it is one.
func (s style) sawn(l length.Length) string { return s.unitOn(s.fastener(l)) }

// spared prints what is left over, rounded down to what can be read off a rule.
func (s style) spared(l length.Length) string {
	if s.fraction > 0 && s.unit.Imperial() && l > 0 {
		step := length.Inch / length.Length(min(s.fraction, 64))
		if l >= step {
			return s.sawn(l / step * step)
		}
	}
	return s.smallWithUnit(l)
}

func (s style) smallWithUnit(l length.Length) string { return s.small(l) + " " + s.unit.String() }

// other is the length in the other system, "(47.244 in)" or "(1200 mm)".
func (s style) other(l length.Length) string {
	o := s
	o.fraction = 0
	if s.unit.Imperial() {
		o.unit = length.MM
	} else {
		o.unit = length.In
	}
	return "(" + o.withUnit(l) + ")"
}

// size is a bar's length or a sheet's length × width.
func (s style) size(l, w length.Length) string {
	if w == 0 {
		return s.ownWithUnit(l)
	}
	return s.own(l) + " × " + s.ownWithUnit(w)
}

func (s style) otherSize(l, w length.Length) string {
	if w == 0 {
		return s.other(l)
	}
	a, b := s.other(l), s.other(w)
	a = a[:strings.LastIndex(a, " ")]
	return a + " × " + b[1:]
}

// money prints an amount without its currency.
func (s style) money(m plan.Money) string { return s.decimal(m.String()) }

func (s style) amount(m plan.Money) string {
	return strings.TrimSpace(s.money(m) + " " + s.currency)
}

// kilogramsPerPound is exact by the international agreement of 1959.
const kilogramsPerPound = 0.45359237

// mass prints a mass in kilograms, or in pounds with the kilograms behind it.
func (s style) mass(m plan.Mass) string {
	kg := s.float(m.Kilograms(), 2) + " kg"
	if !s.unit.Imperial() {
		return kg
	}
	return s.float(m.Kilograms()/kilogramsPerPound, 2) + " lb (" + kg + ")"
}

// massUnit and bareMass serve columns.
func (s style) massUnit() string {
	if s.unit.Imperial() {
		return "lb"
	}
	return "kg"
}

func (s style) bareMass(m plan.Mass) string {
	if s.unit.Imperial() {
		return s.float(m.Kilograms()/kilogramsPerPound, 2)
	}
	return s.float(m.Kilograms(), 2)
}

func (s style) float(v float64, decimals int) string {
	scale := math.Pow10(decimals)
	return s.decimal(strconv.FormatFloat(math.Round(v*scale)/scale, 'f', decimals, 64))
}

// share prints hundredths of a percent.
func (s style) share(v int64) string { return s.float(float64(v)/100, 1) + " %" }

// degrees prints thousandths of a degree.
func (s style) degrees(v int64) string {
	text := s.decimal(trimZeros(strconv.FormatFloat(float64(v)/1000, 'f', 3, 64)))
	return strings.Replace(text, "-", "−", 1) + "°"
}

func (s style) decimal(text string) string {
	if s.comma {
		return strings.Replace(text, ".", ",", 1)
	}
	return text
}

// plural is "1 bar", "2 bars".
func plural(n int64, one string) string {
	if n == 1 {
		return "1 " + one
	}
	if strings.HasSuffix(one, "ch") {
		return strconv.FormatInt(n, 10) + " " + one + "es"
	}
	return strconv.FormatInt(n, 10) + " " + one + "s"
}
