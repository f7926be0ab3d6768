package dxf

import "math"

// An affine maps (x, y) to (ax·x + bx·y + x, ay·x + by·y + y): a and b are
// what the units of either axis become, the spot where the origin goes. All
// products are rounded before they are added, for the same result everywhere.
type affine struct{ a, b, origin spot }

func scaling(s float64) affine { return affine{a: spot{s, 0}, b: spot{0, s}} }

var mirrored = affine{a: spot{-1, 0}, b: spot{0, 1}} // about the y axis

func (s spot) plus(t spot) spot       { return spot{s.x + t.x, s.y + t.y} }
func (s spot) minus(t spot) spot      { return spot{s.x - t.x, s.y - t.y} }
func (s spot) times(f float64) spot   { return spot{float64(s.x * f), float64(s.y * f)} }
func (s spot) dot(t spot) float64     { return float64(s.x*t.x) + float64(s.y*t.y) }
func (s spot) cross(t spot) float64   { return float64(s.x*t.y) - float64(s.y*t.x) }
func (s spot) length() float64        { return math.Sqrt(s.dot(s)) }
func (s spot) quarter() spot          { return spot{-s.y, s.x} } // turned anticlockwise
func (s spot) halfway(t spot) spot    { return spot{(s.x + t.x) / 2, (s.y + t.y) / 2} }
func (t affine) vector(s spot) spot   { return t.a.times(s.x).plus(t.b.times(s.y)) }
func (t affine) apply(s spot) spot    { return t.vector(s).plus(t.origin) }
func (t affine) determinant() float64 { return t.a.cross(t.b) }

// after is the map that does u first, then t.
func (t affine) after(u affine) affine {
	return affine{t.vector(u.a), t.vector(u.b), t.apply(u.origin)}
}

// alike tells whether two directions are those of a circle: as long, and at
// right angles, to nine digits.
func alike(u, v spot) bool {
	const digits = 1e-9
	l := max(u.length(), v.length())
	return math.Abs(u.length()-v.length()) <= digits*l && math.Abs(u.dot(v)) <= float64(digits*l)*l
}

// sincos is sine and cosine of degrees, exact for quarters of a turn. The
// standard library's differ in the last bit between machines.
func sincos(degrees float64) (sin, cos float64) {
	degrees = math.Mod(degrees, 360)
	quarters := math.Round(degrees / 90)
	x := float64(degrees-float64(90*quarters)) * (math.Pi / 180)
	square := float64(x * x)
	// Taylor's series about 0, for |x| ≤ π/4.
	sin, cos = 1, 1
	for k := 18.0; k > 0; k -= 2 {
		sin = 1 - float64(square*sin)/(k*(k+1))
		cos = 1 - float64(square*cos)/(k*(k-1))
	}
	sin = float64(x * sin)
	switch int(quarters) & 3 {
	case 1:
		return cos, -sin
	case 2:
		return -sin, -cos
	case 3:
		return -cos, sin
	}
	return sin, cos
}

// arctan is the arc tangent of x ≥ 0 in degrees, halved until its series is
// short.
func arctan(x float64) float64 {
	scale := 180 / math.Pi
	for x > 0.125 {
		x, scale = x/(1+math.Sqrt(1+float64(x*x))), 2*scale
	}
	square, sum := float64(x*x), 0.0
	for k := 21.0; k > 0; k -= 2 {
		sum = 1/k - float64(square*sum)
	}
	return float64(float64(scale*x) * sum)
}
