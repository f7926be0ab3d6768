package geom

import "math"

// The arc of a bulge
//
// Let c be the chord of an edge, from p to q, and b its bulge, b = tan(θ/4)
// for the included angle θ. Then
//
//	radius          r = |c|·(1 + b²)/(4·|b|)
//	height          h = |c|·|b|/2, to the right of the chord for b > 0
//	centre          (p + q)/2 + n·(1 − b²)/(4·b), n the chord turned by 90°
//	half of it      has the bulge b/(1 + √(1 + b²))
//	sin(θ/2), cos   2·b/(1 + b²), (1 − b²)/(1 + b²)
//
// all without an angle: the centre is even rational in p, q and b. Only length
// and area need the arc tangent. That of the standard library is not the same
// to the last bit on machines that fuse multiplication and addition, so this
// file has its own, of basic arithmetic and square roots with every product
// rounded by itself.

const (
	flattest = 0x1p-50 // an edge of a smaller bulge is straight
	roundest = 0x1p20  // no edge has a larger bulge
)

// An edge of an outline, its bulge 0 if it is straight.
type edge struct {
	p, q Point
	b    float64
}

func (o Outline) edge(i int) edge {
	j := i + 1
	if j == len(o) {
		j = 0
	}
	return edge{o[i].Point, o[j].Point, clean(o[i].Bulge)}
}

// clean is 0 for a bulge that counts as straight.
func clean(b float64) float64 {
	if size := math.Abs(b); size >= flattest && size <= roundest {
		return b
	}
	return 0
}

func (e edge) chord() Point { return e.q.minus(e.p) }

// radius of an arc.
func (e edge) radius() float64 {
	return e.chord().length() * (1 + float64(e.b*e.b)) / (4 * math.Abs(e.b))
}

// length of the edge.
func (e edge) length() float64 {
	c := e.chord().length()
	if e.b == 0 {
		return c
	}
	return float64(c * (1 + float64(e.b*e.b)) * (atan(e.b) / e.b))
}

// segment is the area between arc and chord, of the sign of the bulge. It is
// r²/2·(θ − sin θ), which is
//
//	|c|²/8 · ((1 + b²)²·atan(b) − b·(1 − b²)) / b².
//
// What is left in brackets for a small b is of the order b³, so a series is
// used there: |c|²·b·Σ (−1)ⁿ·b²ⁿ⁻² / ((2n+1)·(2n−1)·(2n−3)), n = 1, 2, …
func (e edge) segment() float64 {
	if e.b == 0 {
		return 0
	}
	c := e.chord()
	square, b, t := dot(c, c).float(), e.b, float64(e.b*e.b)
	if math.Abs(b) > 0.5 {
		u := 1 + t
		return square / 8 * (float64(u*u*atan(b)) - float64(b*(1-b)*(1+b))) / t
	}
	sum, power := 0.0, -1.0
	for n := 1.0; n < 32; n++ {
		sum += power / ((2*n + 1) * (2*n - 1) * (2*n - 3))
		power *= -t
	}
	return float64(square * b * sum)
}

// halved is the bulge of either half of an arc.
func halved(b float64) float64 { return b / (1 + math.Sqrt(1+float64(b*b))) }

// atan is the arc tangent for |x| < 2⁵⁰⁰, within a few units of the last
// place: halved until the series in x is short.
func atan(x float64) float64 {
	scale := 1.0
	for math.Abs(x) > 0.125 {
		x, scale = halved(x), 2*scale
	}
	t, sum := float64(x*x), 0.0
	for k := 21.0; k > 0; k -= 2 {
		sum = 1/k - float64(t*sum)
	}
	return float64(scale * x * sum)
}

// tangent is the unit direction in which an arc leaves its start.
func (e edge) tangent() (x, y float64) {
	c := e.chord()
	l, u := c.length(), 1+float64(e.b*e.b)
	sin, cos := 2*e.b/u, (1-e.b)*(1+e.b)/u
	cx, cy := float64(c.X)/l, float64(c.Y)/l
	return float64(cx*cos) + float64(cy*sin), float64(cy*cos) - float64(cx*sin)
}

// bounds is the box of an edge, to the nearest unit.
func (e edge) bounds() Box {
	box := Box{
		Point{min(e.p.X, e.q.X), min(e.p.Y, e.q.Y)},
		Point{max(e.p.X, e.q.X), max(e.p.Y, e.q.Y)},
	}
	if e.b == 0 || e.p == e.q {
		return box
	}
	// The farthest point of the circle in a direction of an axis is
	// p + r·(n + axis), n the unit vector from p to the centre. It counts if it
	// is on the arc's side of the chord. For a flat arc n is nearly opposite to
	// the axis, and 1 + n·axis would lose its digits.
	tx, ty := e.tangent()
	r, s := e.radius(), math.Copysign(1, e.b)
	nx, ny := float64(-s*ty), float64(s*tx)
	c := e.chord()
	along := func(n, across float64) float64 {
		if n < 0 {
			return r * float64(across*across) / (1 - n)
		}
		return r * (1 + n)
	}
	onArc := func(x, y float64) bool {
		return s*(float64(float64(c.X)*y)-float64(float64(c.Y)*x)) < 0
	}
	if d := along(nx, ny); onArc(d, r*ny) {
		box.Max.X = max(box.Max.X, e.p.X+nearest(d))
	}
	if d := along(-nx, ny); onArc(-d, r*ny) {
		box.Min.X = min(box.Min.X, e.p.X-nearest(d))
	}
	if d := along(ny, nx); onArc(r*nx, d) {
		box.Max.Y = max(box.Max.Y, e.p.Y+nearest(d))
	}
	if d := along(-ny, nx); onArc(r*nx, -d) {
		box.Min.Y = min(box.Min.Y, e.p.Y-nearest(d))
	}
	return box
}

// nearest rounds to a whole unit; halves go away from 0.
func nearest(x float64) int64 { return int64(math.Round(x)) }
