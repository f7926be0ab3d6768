package geom

import (
	"math/big"
)

// Where two edges meet, exactly
//
// An edge lies on the line a·(x² + y²) + b·x + c·y + d = 0: for an arc the
// equation of edge.power, times a power of two that makes all four whole
// numbers, for a straight edge the same with a = 0. Of two such lines, not
// both straight, a combination is straight, and on this radical line lie their
// common points (Coxeter & Greitzer, "Geometry Revisited", 1967, section 2.3).
// Running along it turns the question into a quadratic equation in whole
// numbers, so a common point has coordinates (u + v·√Δ)/w. Whether it lies
// between the ends of an edge, and whether it is a given point, asks for the
// sign of such a number alone, which is found without taking the root.
//
// The numbers grow to some 2 000 bits, a few microseconds for two edges; boxes
// keep most pairs from being asked about.

// A curve is the line an edge lies on, about an origin of its own.
type curve struct{ a, b, c, d *big.Int }

// curve is the line of the edge, its coordinates counted from the origin.
func (e edge) curve(origin Point) curve {
	p, q := e.p.minus(origin), e.q.minus(origin)
	m, k := fraction(e.b)
	one := new(big.Int).Lsh(big.NewInt(1), 2*k)
	one.Sub(one, new(big.Int).Mul(m, m))          // (1 − b²)·4ᵏ
	twice := new(big.Int).Lsh(m, k+1)             // 2b·4ᵏ
	form := func(straight, round wide) *big.Int { // straight·(1 − b²) − round·2b
		s := straight.big()
		s.Mul(s, one)
		r := round.big()
		return s.Sub(s, r.Mul(r, twice))
	}
	return curve{
		new(big.Int).Neg(twice),
		form(product(p.Y-q.Y, 1), product(-p.X-q.X, 1)),
		form(product(q.X-p.X, 1), product(-p.Y-q.Y, 1)),
		form(cross(p, q), dot(p, q)),
	}
}

// A meeting is a common point ((x0 + x1·√Δ)/w, (y0 + y1·√Δ)/w) of two lines,
// w > 0, counted from the origin.
type meeting struct {
	origin                    Point
	x0, x1, y0, y1, w, square *big.Int
}

// sign of fx·(x − at.X) + fy·(y − at.Y).
func (m meeting) sign(fx, fy int64, at Point) int {
	at = at.minus(m.origin)
	x, y := big.NewInt(fx), big.NewInt(fy)
	rational := new(big.Int).Mul(m.w, big.NewInt(-at.X))
	rational.Mul(rational.Add(rational, m.x0), x)
	other := new(big.Int).Mul(m.w, big.NewInt(-at.Y))
	rational.Add(rational, other.Mul(other.Add(other, m.y0), y))
	root := new(big.Int).Mul(m.x1, x)
	root.Add(root, other.Mul(m.y1, y))
	s, t := rational.Sign(), root.Sign()*m.square.Sign()
	switch {
	case s == 0:
		return t
	case t == 0 || s == t:
		return s
	}
	rational.Mul(rational, rational)
	root.Mul(root, root)
	return s * rational.Cmp(root.Mul(root, m.square))
}

// is tells whether the meeting is at a point.
func (m meeting) is(p Point) bool { return m.sign(1, 0, p) == 0 && m.sign(0, 1, p) == 0 }

// on tells whether a meeting of the edge's line with another is on the edge.
func (m meeting) on(e edge) bool {
	c := e.chord()
	if e.b == 0 {
		return m.sign(c.X, c.Y, e.p) >= 0 && m.sign(c.X, c.Y, e.q) <= 0
	}
	side := m.sign(-c.Y, c.X, e.p)
	return side == 0 || (side < 0) == (e.b > 0)
}

// point is the meeting to the nearest unit.
func (m meeting) point() Point {
	const precision = 4096
	root := new(big.Float).SetPrec(precision).SetInt(m.square)
	root.Sqrt(root)
	coordinate := func(u, v *big.Int) int64 {
		x := new(big.Float).SetPrec(precision).SetInt(v)
		x.Mul(x, root)
		x.Add(x, new(big.Float).SetPrec(precision).SetInt(u))
		f, _ := x.Quo(x, new(big.Float).SetPrec(precision).SetInt(m.w)).Float64()
		return nearest(f)
	}
	return m.origin.plus(Point{coordinate(m.x0, m.x1), coordinate(m.y0, m.y1)})
}

// meet finds a point common to both edges other than those given, which are
// ends of both. The point is rounded to the nearest unit.
func meet(e, f edge, except ...Point) (Point, bool) {
	excepted := func(is func(Point) bool) bool {
		for _, p := range except {
			if is(p) {
				return true
			}
		}
		return false
	}
	for _, x := range [...]Point{f.p, f.q} {
		if e.touches(x) && !excepted(func(p Point) bool { return p == x }) {
			return x, true
		}
	}
	for _, x := range [...]Point{e.p, e.q} {
		if f.touches(x) && !excepted(func(p Point) bool { return p == x }) {
			return x, true
		}
	}
	if e.p == e.q || f.p == f.q {
		return Point{}, false
	}
	if e.b == 0 && f.b == 0 {
		return crossing(e, f)
	}
	if f.b != 0 && e.b == 0 {
		e, f = f, e
	}
	g, h := e.curve(e.p), f.curve(e.p)
	combined := func(u, v *big.Int) *big.Int { // of h and g, so that a vanishes
		x := new(big.Int).Mul(g.a, v)
		return x.Sub(x, new(big.Int).Mul(h.a, u))
	}
	b, c, d := combined(g.b, h.b), combined(g.c, h.c), combined(g.d, h.d)
	if b.Sign() == 0 && c.Sign() == 0 {
		// Circles about one centre. If they are one circle, and no end of one
		// arc is within the other, both have the same two ends.
		same := d.Sign() == 0 && len(except) == 2 && (e.b > 0) != (f.b > 0)
		return e.p, same
	}
	for _, m := range meetings(g, b, c, d, e.p) {
		if m.on(e) && m.on(f) && !excepted(m.is) {
			return m.point(), true
		}
	}
	return Point{}, false
}

// meetings are the common points of a circle g and the line b·x + c·y + d = 0.
//
// With n = b² + c², a point of the line is (−b·d − c·s, −c·d + b·s)/n. Set into
// g this gives g.a·s² + q·s + r = 0, where q = b·g.c − c·g.b and
// r = g.a·d² − (b·g.b + c·g.c)·d + g.d·n.
func meetings(g curve, b, c, d *big.Int, origin Point) []meeting {
	mul := func(x, y *big.Int) *big.Int { return new(big.Int).Mul(x, y) }
	n := mul(b, b)
	n.Add(n, mul(c, c))
	q := mul(b, g.c)
	q.Sub(q, mul(c, g.b))
	r := mul(b, g.b)
	r.Add(r, mul(c, g.c))
	r.Sub(mul(g.a, d), r)
	r.Mul(r, d)
	r.Add(r, mul(g.d, n))

	square := mul(g.a, r) // Δ = q² − 4·g.a·r
	square.Sub(mul(q, q), square.Lsh(square, 2))
	if square.Sign() < 0 {
		return nil
	}
	twice := new(big.Int).Lsh(g.a, 1)
	w := mul(twice, n)
	twice.Mul(twice, d)
	x := mul(c, q)
	x.Sub(x, mul(twice, b))
	y := mul(b, q)
	y.Add(y, mul(twice, c))
	y.Neg(y)
	if w.Sign() < 0 {
		w.Neg(w)
		x.Neg(x)
		y.Neg(y)
	}
	minus := func(z *big.Int) *big.Int { return new(big.Int).Neg(z) }
	found := []meeting{{origin, x, minus(c), y, b, w, square}}
	if square.Sign() > 0 {
		found = append(found, meeting{origin, x, c, y, minus(b), w, square})
	}
	return found
}

// crossing finds where two straight edges cross, neither of which has an end
// on the other.
func crossing(e, f edge) (Point, bool) {
	c, d := e.chord(), f.chord()
	s, t := cross(c, f.p.minus(e.p)), cross(c, f.q.minus(e.p))
	u, v := cross(d, e.p.minus(f.p)), cross(d, e.q.minus(f.p))
	if s.sign()*t.sign() >= 0 || u.sign()*v.sign() >= 0 {
		return Point{}, false
	}
	part := u.float() / (u.float() - v.float())
	return e.p.plus(Point{nearest(part * float64(c.X)), nearest(part * float64(c.Y))}), true
}
