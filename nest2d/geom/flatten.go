package geom

import (
	"errors"
	"fmt"
	"math"
	"math/big"
)

// Flattening to one side
//
// A polygon of whole units in place of an outline with arcs must not cut into
// it where parts may not overlap, nor stick out where it stands for the sheet
// that is there. So an arc is replaced by chords with their ends on its inner
// side, or by tangents outside, a little farther out than the tangents so that
// rounding to whole units does not bring them in. Where the points would be is
// computed in floats; that they are on their side is then asked exactly: a
// point by its power to the circle, a line by the least power along it.
//
// Rounding takes up to √2 units inwards, and two outwards; the rest of the
// tolerance is the height of an arc above its chord, or of the corner of its
// tangents above the arc. Arcs are halved until that is met.

// A Side says on which side of an outline a polygon must be.
type Side int

const (
	Outward Side = iota // around the outline
	Inward              // within it
)

// LeastTolerance is the least tolerance of Flatten, in units: 100 nm.
const LeastTolerance = 4

// Flatten replaces arcs by straight lines: the polygon contains all of the
// outline's area (Outward), or all of it is contained there (Inward), and no
// point of either line is farther than the tolerance from the other. Vertices
// of the outline stay. The outline must be simple, of which only its vertices and
// edges are looked at here, one by one, and may run either way, as the polygon
// does then. Where it comes nearer to itself than twice the
// tolerance the polygon may touch or overlap itself; the points that it winds
// around in the outline's direction then are what is said here. Inward, an
// outline thinner than the tolerance may leave fewer than three points.
// O(n + √(r/tolerance)) for arcs of radius r.
func (o Outline) Flatten(tolerance int64, side Side) ([]Point, error) {
	if tolerance < LeastTolerance {
		return nil, fmt.Errorf("a tolerance of %d units is too fine to flatten arcs: give %d or more", tolerance, LeastTolerance)
	}
	if f := (ring{Contour{}, o}).malformed(1); f != nil {
		return nil, f
	}
	anticlockwise := o.Anticlockwise()
	var points []Point
	for i := range o {
		e := o.edge(i)
		points = append(points, e.p)
		if e.b == 0 {
			continue
		}
		if bulges := (e.b > 0) == anticlockwise; bulges == (side == Inward) {
			points = append(points, e.chords(tolerance)...)
			continue
		}
		tangents, err := e.tangents(tolerance)
		if err != nil {
			return nil, err
		}
		points = append(points, tangents...)
	}
	out := points[:0]
	for _, p := range points {
		if len(out) == 0 || p != out[len(out)-1] {
			out = append(out, p)
		}
	}
	for len(out) > 1 && out[0] == out[len(out)-1] {
		out = out[:len(out)-1]
	}
	return out, nil
}

// chords are points of the segment between arc and chord, which is convex, so
// that no line between two of them leaves it.
func (e edge) chords(tolerance int64) []Point {
	depth, b, c := 0, e.b, e.chord().length()
	for math.Abs(b)*c/2 > float64(tolerance-2) {
		c *= math.Sqrt(1+float64(b*b)) / 2
		b = halved(b)
		depth++
	}
	var points []Point
	for _, x := range divide(Point{}.spot(), e.chord().spot(), e.b, depth, nil) {
		if p, found := e.within(x); found {
			points = append(points, p)
		}
	}
	return points
}

// within is the point of the arc's segment nearest to a spot of the arc,
// counted from the edge's start. A circle of radius 1/√2 holds a point
// wherever it lies, so one is found within √2 if the segment is not narrower.
func (e edge) within(x spot) (Point, bool) {
	middle := x.point()
	best, found, least := Point{}, false, 2.0
	for dx := int64(-2); dx <= 2; dx++ {
		for dy := int64(-2); dy <= 2; dy++ {
			off := middle.plus(Point{dx, dy})
			d := off.spot().minus(x).length()
			if d >= least {
				continue
			}
			p := e.p.plus(off)
			if s := cross(e.chord(), off).sign(); s != 0 && (s < 0) == (e.b > 0) && e.power(p) <= 0 {
				best, found, least = p, true, d
			}
		}
	}
	return best, found
}

var errTangents = errors.New("geom: tangents of an arc meet its circle") // cannot be

// tangents are points whose lines, from one end of the arc to the other, do
// not enter its circle.
func (e edge) tangents(tolerance int64) ([]Point, error) {
	// Below tan(π/8), arcs of at most 90°, the tangents meet close to the arc.
	depth, b, c := 0, e.b, e.chord().length()
	for {
		size := math.Abs(b)
		if size < 0.42 && size*c*(1/((1-size)*(1+size))-0.5) <= float64(tolerance-3) {
			break
		}
		c *= math.Sqrt(1+float64(b*b)) / 2
		b = halved(b)
		depth++
	}
	spots := append(divide(Point{}.spot(), e.chord().spot(), e.b, depth, nil), e.chord().spot())
	g := e.curve(e.p)
	for _, push := range [...]float64{1, 2} {
		points := make([]Point, 0, len(spots))
		from := spot{}
		for _, to := range spots {
			c := to.minus(from)
			out := spot{c.y, -c.x}
			if e.b < 0 {
				out = spot{-c.y, c.x}
			}
			size := math.Abs(b)
			corner := from.halfway(to).toward(out, size/((1-size)*(1+size))+push/out.length())
			points = append(points, corner.point())
			from = to
		}
		if g.avoided(points, e.chord()) {
			for i, p := range points {
				points[i] = e.p.plus(p)
			}
			return points, nil
		}
	}
	return nil, errTangents
}

// avoided tells whether the lines from the origin through the points to the
// end all stay out of the circle.
func (g curve) avoided(points []Point, end Point) bool {
	from := Point{}
	for _, to := range append(points[:len(points):len(points)], end) {
		if !g.clears(from, to) {
			return false
		}
		from = to
	}
	return true
}

// clears tells whether the line from p to q does not enter the circle. Along
// p + t·(q − p) the equation of the circle is a·t² + 2h·t + f, above 0 outside
// it once its sign is such that a > 0; the least value f − h²/a counts if it
// is between the ends.
func (g curve) clears(p, q Point) bool {
	d := q.minus(p)
	number := func(w wide, by *big.Int) *big.Int { x := w.big(); return x.Mul(x, by) }
	f := number(dot(p, p), g.a)
	f.Add(f, number(product(p.X, 1), g.b))
	f.Add(f, number(product(p.Y, 1), g.c))
	f.Add(f, g.d)
	a := number(dot(d, d), g.a)
	h := number(dot(p, d), g.a) // twice h
	h.Lsh(h, 1)
	h.Add(h, number(product(d.X, 1), g.b))
	h.Add(h, number(product(d.Y, 1), g.c))
	if g.a.Sign() < 0 {
		a.Neg(a)
		h.Neg(h)
		f.Neg(f)
	}
	end := new(big.Int).Add(a, h)
	end.Add(end, f)
	if f.Sign() < 0 || end.Sign() < 0 {
		return false
	}
	slope := new(big.Int).Lsh(a, 1)
	if h.Sign() >= 0 || slope.Add(slope, h).Sign() <= 0 {
		return true
	}
	f.Mul(f, a)
	return f.Lsh(f, 2).Cmp(h.Mul(h, h)) >= 0
}
