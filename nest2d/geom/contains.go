package geom

import (
	"math"
	"math/big"
)

// A Location of a point says where it lies: Outside, On the line, or Inside.
type Location int

const (
	Outside Location = iota
	On
	Inside
)

// Contains tells where a point lies. The answer is exact. What the outline
// winds around in either direction is inside. O(n).
//
// An outline winds around a point as often as the polygon of its chords does,
// and once more or less for each circular segment that holds the point. The
// point is thought moved by a step up and a far smaller one to the left, so
// that it is on no chord and on the level of no vertex.
func (o Outline) Contains(x Point) Location {
	winding := 0
	for i := range o {
		e := o.edge(i)
		if e.touches(x) {
			return On
		}
		side := e.side(x)
		switch {
		case e.p.Y <= x.Y && x.Y < e.q.Y && side > 0:
			winding++
		case e.q.Y <= x.Y && x.Y < e.p.Y && side < 0:
			winding--
		}
		if e.b > 0 && side < 0 && e.power(x) < 0 {
			winding++
		}
		if e.b < 0 && side > 0 && e.power(x) < 0 {
			winding--
		}
	}
	if winding == 0 {
		return Outside
	}
	return Inside
}

// Contains tells where a point lies: On is any contour, Inside the material.
func (s Shape) Contains(x Point) Location {
	if where := s.Outer.Contains(x); where != Inside {
		return where
	}
	for _, o := range s.Inner {
		switch o.Contains(x) {
		case On:
			return On
		case Inside:
			return Outside
		}
	}
	for _, h := range s.Holes {
		switch h.Contains(x) {
		case On:
			return On
		case Inside:
			return Outside
		}
	}
	return Inside
}

// Contains tells where a point lies: exact for odd diameters too.
func (h Hole) Contains(x Point) Location {
	d := x.minus(h.Center)
	d = Point{2 * d.X, 2 * d.Y}
	switch dot(d, d).minus(product(h.Diameter, h.Diameter)).sign() {
	case -1:
		return Inside
	case 0:
		return On
	}
	return Outside
}

// touches tells whether a point is on the edge.
func (e edge) touches(x Point) bool {
	if x == e.p || x == e.q {
		return true
	}
	side := cross(e.chord(), x.minus(e.p)).sign()
	switch {
	case e.b == 0:
		return side == 0 && dot(x.minus(e.p), x.minus(e.q)).sign() < 0
	case e.b > 0:
		return side < 0 && e.power(x) == 0
	}
	return side > 0 && e.power(x) == 0
}

// side is above 0 for a point to the left of the chord, moved off it as
// Contains says; 0 only for a chord of length 0.
func (e edge) side(x Point) int {
	c := e.chord()
	if s := cross(c, x.minus(e.p)).sign(); s != 0 {
		return s
	}
	if c.X != 0 {
		return sign(c.X)
	}
	return sign(c.Y)
}

func sign(x int64) int {
	switch {
	case x < 0:
		return -1
	case x > 0:
		return 1
	}
	return 0
}

// power is the sign of the power of a point to an arc's circle: −1 within,
// 0 on it, 1 beyond.
//
// On the circle the edge is seen under an angle whose tangent is fixed
// (Euclid, Elements III.21): with u and v from x to the ends of the chord,
// u × v · (1 − b²) = u · v · 2b. The difference of the two changes sign there.
// Floats settle it unless the difference is within their error; then integers
// of as many bits as the bulge asks for.
func (e edge) power(x Point) int {
	u, v := e.p.minus(x), e.q.minus(x)
	c, d := cross(u, v), dot(u, v)
	b := math.Abs(e.b)
	left := float64(c.float() * (1 - b) * (1 + b))
	if e.b < 0 {
		left = -left
	}
	right := float64(d.float() * 2 * b)
	if difference := right - left; math.Abs(difference) > 0x1p-48*(math.Abs(left)+math.Abs(right)) {
		if difference < 0 {
			return -1
		}
		return 1
	}
	m, k := fraction(e.b)
	one := new(big.Int).Lsh(big.NewInt(1), 2*k)
	exact := one.Sub(one, new(big.Int).Mul(m, m)) // (1 − b²)·4ᵏ
	exact.Mul(exact, c.big())
	twice := new(big.Int).Lsh(m, k+1) // 2b·4ᵏ
	return twice.Mul(twice, d.big()).Cmp(exact) * sign(m.Int64())
}

// fraction is a bulge as m/2ᵏ, exactly.
func fraction(b float64) (m *big.Int, k uint) {
	f, exponent := math.Frexp(b)
	n := int64(math.Ldexp(f, 53))
	exponent -= 53
	for exponent < 0 && n&1 == 0 {
		n /= 2
		exponent++
	}
	return big.NewInt(n), uint(-exponent) // no bulge reaches 2⁵³
}
