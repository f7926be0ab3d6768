package section

import (
	"math"

	"sawbill/internal/length"
)

// Pound is one avoirdupois pound in kg, exact (international yard and pound
// agreement, 1959).
const Pound = 0.45359237

// unitsPerMM2 is the number of square base units in one mm².
const unitsPerMM2 = float64(length.Millimetre) * float64(length.Millimetre)

// Area returns the cross-sectional area in mm², nominal sizes. The material
// decides the corner radii where the designation does not. Sheets have no area
// per length: the result is 0.
//
// With B, H the outside sizes, T the wall, ro and ri the corner radii:
//
//	tube     2T(B + H - 2T) - (4 - π)(ro² - ri²)
//	round    πT(D - T)
//	angle    t(a + b - t) + (1 - π/4)(r1² - 2 r2²)
//	channel  2 b tf + (d - 2 tf) tw + 2(1 - π/4) r1²
func (s Section) Area(m Material) float64 {
	w, h, t := int64(s.Width), int64(s.Height), int64(s.Thickness)
	switch s.Shape {
	case SquareTube, RectTube:
		ro2, ri2 := s.tubeRadii(m) // twice the radii, so that 2.5 T stays whole
		straight := 2 * t * (w + h - 2*t)
		corners := ro2*ro2 - ri2*ri2
		return combine(straight, -(4-math.Pi)/4, corners)
	case RoundTube:
		return combine(0, math.Pi, t*(w-t))
	case Angle:
		r1, r2 := s.angleRadii(m)
		return combine(t*(w+h-t), 1-math.Pi/4, r1*r1-2*r2*r2)
	case Channel:
		tf, r1 := int64(s.Flange), s.channelRadius(m)
		return combine(2*w*tf+(h-2*tf)*t, 2*(1-math.Pi/4), r1*r1)
	case Flat:
		return combine(w*t, 0, 0)
	case SquareBar, Timber:
		return combine(w*h, 0, 0)
	case RoundBar:
		return combine(0, math.Pi/4, w*w)
	}
	return 0
}

// combine returns (whole + factor·part) in mm². The conversion of the product
// keeps a compiler from fusing it with the sum, which would differ by machine.
func combine(whole int64, factor float64, part int64) float64 {
	return (float64(whole) + float64(factor*float64(part))) / unitsPerMM2
}

// tubeRadii returns twice the outside and inside corner radius.
func (s Section) tubeRadii(m Material) (ro2, ri2 int64) {
	t := int64(s.Thickness)
	switch s.cornerFor(m) {
	case EN10219:
		switch {
		case s.Thickness <= 6*length.Millimetre:
			ro2, ri2 = 4*t, 2*t
		case s.Thickness <= 10*length.Millimetre:
			ro2, ri2 = 5*t, 3*t
		default:
			ro2, ri2 = 6*t, 4*t
		}
	case EN10210:
		ro2, ri2 = 3*t, 2*t
	case USHSS:
		ro2, ri2 = 4*t, 2*t
	case Stated:
		ro2 = 2 * int64(s.Root)
		ri2 = max(0, ro2-2*t)
	}
	// A thick small tube has no room for the rule's radius.
	side := int64(min(s.Width, s.Height))
	return min(ro2, side), min(ri2, side-2*t)
}

// OuterRadius returns the outside corner radius of a square or rectangular
// tube, and 0 for other shapes.
func (s Section) OuterRadius(m Material) length.Length {
	if s.Shape != SquareTube && s.Shape != RectTube {
		return 0
	}
	ro2, _ := s.tubeRadii(m)
	return length.Length(ro2+1) / 2
}

func (s Section) cornerFor(m Material) Corner {
	if s.Corner != ByMaterial {
		return s.Corner
	}
	switch {
	case m.Family != Steel && m.Family != Stainless:
		return Sharp
	case s.Unit == length.In:
		return USHSS
	}
	return EN10219
}

// MassPerMetre returns the theoretical mass of one metre in kg. It is 0 for
// sheets.
func MassPerMetre(s Section, m Material) float64 {
	return s.Area(m) * m.Density * 1e-6
}

// msgPerInch is the weight of US gauge steel sheet, 41.82 lb/ft² per inch of
// thickness, as kg/m² per 25 nm. The gauge numbers were fixed by weight at that
// figure (8.04 g/cm³), 2.4 % above the 7.85 of steel.
const msgPerInch = 41.82 * Pound / (0.3048 * 0.3048) / float64(length.Inch)

// MassPerArea returns the theoretical mass of one square metre of a sheet in
// kg, and 0 for other shapes. Steel sheet named by gauge weighs what the gauge
// table says unless the user states a density.
func (s Section) MassPerArea(m Material) float64 {
	if !s.IsSheet() {
		return 0
	}
	if s.Gauge != 0 && m.Family == Steel && !m.Stated {
		return float64(s.Thickness) * msgPerInch
	}
	return s.Thickness.Millimetres() * m.Density * 1e-3
}
