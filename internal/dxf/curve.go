package dxf

import (
	"fmt"
	"math"
)

// Curves as arcs
//
// A laser's control knows lines and arcs, and so does geom. Circles and their
// arcs stay what they are under motions, mirroring and even scaling. What a
// block inserted with unequal scales makes of them is an ellipse, and that is
// cut, as a spline is, into pieces, each replaced by the arc through its ends
// and its middle. A piece is halved until points between, at eighths, lie
// within the tolerance of the arc. Arcs of neighbours meet at a slight corner,
// whose height is within the tolerance as well.
//
// A spline is evaluated by de Boor's scheme in homogeneous coordinates, knot
// span by knot span, so that corners at multiple knots stay corners.
//
// Sources: C. de Boor, "On calculating with B-splines", Journal of
// Approximation Theory 6 (1972) 50–62; L. Piegl & W. Tiller, "The NURBS Book",
// 1997, chapter 4 (weights). From memory.

// An oval is the line c + u·cos t + v·sin t, t in degrees: of a circle, an
// ellipse, or an arc of either. u and v are any two conjugate half diameters,
// which an affine map takes to such.
type oval struct {
	c, u, v  spot
	from, to float64
}

// sweep of the oval in degrees, above 0 and at most 360.
func (o oval) sweep() float64 {
	const whole = 1e-4 // short of a full turn, by the digits of the file
	s := math.Mod(o.to-o.from, 360)
	if s <= whole {
		s += 360
	}
	if s >= 360-whole {
		return 360
	}
	return s
}

func (o oval) at(t float64) spot {
	sin, cos := sincos(t)
	return o.c.plus(o.u.times(cos)).plus(o.v.times(sin))
}

func (o oval) mapped(t affine) oval {
	return oval{t.apply(o.c), t.vector(o.u), t.vector(o.v), o.from, o.to}
}

// arcs is the oval as vertices, the last of which is its end, without an edge.
func (o oval) arcs(tolerance float64) []vertex {
	sweep := o.sweep()
	parts := math.Ceil(sweep / 90)
	if alike(o.u, o.v) {
		parts = math.Ceil(sweep / 180)
	}
	var line []vertex
	for i := range int(parts) {
		a, b := o.from+float64(sweep*float64(i)/parts), o.from+float64(sweep*float64(i+1)/parts)
		if alike(o.u, o.v) {
			line = append(line, vertex{o.at(a), math.Copysign(quarterTangent(sweep/parts), o.u.cross(o.v))})
		} else {
			line = fit(o.at, a, b, tolerance, 0, line)
		}
	}
	return append(line, vertex{spot: o.at(o.from + sweep)})
}

// quarterTangent is the bulge of an angle in degrees, up to 180.
func quarterTangent(degrees float64) float64 {
	if degrees == 180 {
		return 1
	}
	sin, cos := sincos(degrees / 4)
	return sin / cos
}

// ovalOf is the arc of a bulge as an oval from p to q.
func ovalOf(p, q spot, bulge float64) oval {
	n := (1 - bulge) * (1 + bulge) / (4 * bulge)
	c := p.halfway(q).plus(q.minus(p).quarter().times(n))
	u := p.minus(c)
	v := u.quarter()
	if bulge < 0 {
		v = v.times(-1)
	}
	return oval{c, u, v, 0, 4 * arctan(math.Abs(bulge))}
}

// fit appends the starts of the arcs that replace a curve from a to b.
func fit(at func(float64) spot, a, b, tolerance float64, depth int, line []vertex) []vertex {
	const deepest = 12
	p, m, q := at(a), at((a+b)/2), at(b)
	bulge := through(p, m, q)
	good := math.Abs(bulge) < 0.5
	for _, eighths := range [...]float64{1, 2, 3, 5, 6, 7} {
		good = good && off(at(a+float64((b-a)*eighths/8)), p, q, bulge) <= tolerance
	}
	if good || depth == deepest {
		return append(line, vertex{p, bulge})
	}
	line = fit(at, a, (a+b)/2, tolerance, depth+1, line)
	return fit(at, (a+b)/2, b, tolerance, depth+1, line)
}

// through is the bulge of the arc from p by m to q. By the inscribed angle
// (Euclid, Elements III.20) the line p, m, q turns at m by half the arc's angle.
func through(p, m, q spot) float64 {
	a, b := m.minus(p), q.minus(m)
	bulge := a.cross(b) / (float64(a.length()*b.length()) + a.dot(b))
	if !(math.Abs(bulge) > 1e-9) || math.IsInf(bulge, 0) {
		return 0
	}
	return bulge
}

// off is how far x is from the arc or line from p to q, which it is beside.
func off(x, p, q spot, bulge float64) float64 {
	if math.Abs(bulge) < 1e-6 {
		c := q.minus(p)
		if l := c.length(); l > 0 {
			return math.Abs(c.cross(x.minus(p))) / l
		}
		return x.minus(p).length()
	}
	o := ovalOf(p, q, bulge)
	return math.Abs(x.minus(o.c).length() - o.u.length())
}

// A spline is a rational B-spline.
type spline struct {
	degree  int
	knots   []float64
	control []spot
	weights []float64
}

// splineOf takes one from an entity.
func splineOf(e *entity) (spline, error) {
	const steepest = 15
	s := spline{int(e.value[71]), e.knots, nil, e.weights}
	for _, v := range e.vertices {
		s.control = append(s.control, v.spot)
	}
	fault := func(what string) (spline, error) {
		return spline{}, fmt.Errorf("line %d: the SPLINE has %s: export it as lines and arcs", e.line, what)
	}
	n := len(s.control)
	switch {
	case n == 0 && len(e.fit) > 0:
		f, err := fitted(e)
		if err == nil && !f.finite() {
			return fault("fit points that no curve can be laid through")
		}
		return f, err
	case s.degree < 1 || s.degree > steepest:
		return fault(fmt.Sprintf("the degree %d", s.degree))
	case n <= s.degree:
		return fault(fmt.Sprintf("%d control points, too few for its degree %d", n, s.degree))
	case len(s.knots) != n+s.degree+1:
		return fault(fmt.Sprintf("%d knots for %d control points of degree %d", len(s.knots), n, s.degree))
	case len(s.weights) != 0 && len(s.weights) != n:
		return fault(fmt.Sprintf("%d weights for %d control points", len(s.weights), n))
	}
	for _, w := range s.weights {
		if !(w > 0) {
			return fault(fmt.Sprintf("the weight %v", w))
		}
	}
	run := 1
	for i := 1; i < len(s.knots); i++ {
		switch {
		case s.knots[i] < s.knots[i-1]:
			return fault("knots that do not rise")
		case s.knots[i] > s.knots[i-1]:
			run = 0
		case run >= s.degree && i > s.degree && i < n:
			return fault("a break at a knot")
		}
		run++
	}
	if !(s.knots[s.degree] < s.knots[n]) {
		return fault("equal knots only")
	}
	return s, nil
}

// at evaluates the spline in a knot span.
func (s spline) at(t float64, span int) spot {
	type weighted struct {
		spot
		w float64
	}
	d := make([]weighted, s.degree+1)
	for i := range d {
		k := span - s.degree + i
		w := 1.0
		if len(s.weights) > 0 {
			w = s.weights[k]
		}
		d[i] = weighted{s.control[k].times(w), w}
	}
	for r := 1; r <= s.degree; r++ {
		for i := s.degree; i >= r; i-- {
			low, high := s.knots[span-s.degree+i], s.knots[span+1+i-r]
			f := (t - low) / (high - low)
			d[i].spot = d[i-1].times(1 - f).plus(d[i].times(f))
			d[i].w = float64((1-f)*d[i-1].w) + float64(f*d[i].w)
		}
	}
	return d[s.degree].times(1 / d[s.degree].w)
}

// arcs is the spline as vertices, the last of which is its end.
func (s spline) arcs(tolerance float64) []vertex {
	const parts = 4 // of a span, so that no bend hides between the points looked at
	var line []vertex
	last := s.degree
	for span := s.degree; span < len(s.control); span++ {
		low, high := s.knots[span], s.knots[span+1]
		if !(low < high) {
			continue
		}
		last = span
		if s.degree == 1 {
			line = append(line, vertex{spot: s.at(low, span)})
			continue
		}
		at := func(t float64) spot { return s.at(t, span) }
		for i := range parts {
			a, b := low+float64((high-low)*float64(i)/parts), low+float64((high-low)*float64(i+1)/parts)
			line = fit(at, a, b, tolerance, 0, line)
		}
	}
	return append(line, vertex{spot: s.at(s.knots[len(s.control)], last)})
}
