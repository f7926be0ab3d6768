package dxf

import (
	"fmt"
	"math"
)

// Splines by the points they pass through
//
// A SPLINE may have fit points (group 11), the tangents at its ends (12 and 13),
// and no control points. It is then taken as the cubic spline, smooth to the
// second derivative, whose parameter grows from point to point by their distance,
// its end tangents of length 1; where they are missing the ends are natural,
// without curvature, and a closed one (70, bit 1) runs on smoothly. Between two
// points it is a cubic with the tangents that the smoothness asks for, a
// tridiagonal system of equations.
//
// Sources: Autodesk, "DXF Reference", SPLINE; C. de Boor, "A Practical Guide to
// Splines", 1978, chapter IV (equations, natural and given ends); W. H. Press et
// al., "Numerical Recipes", 1992, section 2.7 (closed: the formula of Sherman and
// Morrison). From memory.

// fitted makes a spline of an entity's fit points.
func fitted(e *entity) (spline, error) {
	var points []spot
	for _, p := range e.fit {
		if len(points) == 0 || p != points[len(points)-1] {
			points = append(points, p)
		}
	}
	closed := e.flag(1)
	if n := len(points); closed && n > 1 && points[0] == points[n-1] {
		points = points[:n-1]
	}
	if n := len(points); n < 2 || closed && n < 3 {
		return spline{}, fmt.Errorf("line %d: the SPLINE has %d different fit points, too few: export it as lines and arcs", e.line, n)
	}
	first, last := spot{e.value[12], e.value[22]}, spot{e.value[13], e.value[23]}
	var tangents []spot
	if closed {
		tangents = closedTangents(points)
		points, tangents = append(points, points[0]), append(tangents, tangents[0])
	} else {
		tangents = openTangents(points, first, last)
	}
	// As Bézier curves: every point a knot, three times over.
	s := spline{degree: 3, control: []spot{points[0]}, knots: []float64{0, 0, 0, 0}}
	at := 0.0
	for i := range points[1:] {
		h := points[i+1].minus(points[i]).length()
		at += h
		s.control = append(s.control, points[i].plus(tangents[i].times(h/3)), points[i+1].minus(tangents[i+1].times(h/3)), points[i+1])
		s.knots = append(s.knots, at, at, at)
	}
	s.knots = append(s.knots, at)
	return s, nil
}

// A tridiagonal system: row i is below·x[i−1] + middle·x[i] + above·x[i+1] = right.
type tridiagonal struct {
	below, middle, above []float64
	right                []spot
}

func newTridiagonal(n int) tridiagonal {
	return tridiagonal{make([]float64, n), make([]float64, n), make([]float64, n), make([]spot, n)}
}

// solve takes the rows from the first to the last and back; they are dominated by
// their middles.
func (t tridiagonal) solve() []spot {
	n := len(t.middle)
	above, x := make([]float64, n), make([]spot, n)
	for i := range n {
		pivot, right := t.middle[i], t.right[i]
		if i > 0 {
			pivot -= float64(t.below[i] * above[i-1])
			right = right.minus(x[i-1].times(t.below[i]))
		}
		above[i], x[i] = t.above[i]/pivot, right.times(1/pivot)
	}
	for i := n - 2; i >= 0; i-- {
		x[i] = x[i].minus(x[i+1].times(above[i]))
	}
	return x
}

// smooth is the row that makes the second derivative the same on both sides of b.
func (t tridiagonal) smooth(i int, a, b, c spot) {
	h, k := b.minus(a).length(), c.minus(b).length()
	t.below[i], t.middle[i], t.above[i] = k, 2*(h+k), h
	t.right[i] = b.minus(a).times(3 * k / h).plus(c.minus(b).times(3 * h / k))
}

// openTangents are the tangents at points, those at the ends given or natural.
func openTangents(points []spot, first, last spot) []spot {
	n := len(points)
	t := newTridiagonal(n)
	for i := 1; i < n-1; i++ {
		t.smooth(i, points[i-1], points[i], points[i+1])
	}
	end := func(i int, given, chord spot, beside *float64) {
		if l := given.length(); l > 0 {
			t.middle[i], t.right[i] = 1, given.times(1/l)
			return
		}
		t.middle[i], *beside = 2, 1
		t.right[i] = chord.times(3 / chord.length())
	}
	end(0, first, points[1].minus(points[0]), &t.above[0])
	end(n-1, last, points[n-1].minus(points[n-2]), &t.below[n-1])
	return t.solve()
}

// closedTangents are those at points that are joined to a ring. The corners of
// the system are taken off and put back by the formula of Sherman and Morrison.
func closedTangents(points []spot) []spot {
	n := len(points)
	t, u := newTridiagonal(n), newTridiagonal(n)
	for i := range n {
		t.smooth(i, points[(i+n-1)%n], points[i], points[(i+1)%n])
	}
	low, high, gamma := t.above[n-1], t.below[0], -t.middle[0]
	t.middle[0] -= gamma
	t.middle[n-1] -= low * high / gamma
	copy(u.below, t.below)
	copy(u.middle, t.middle)
	copy(u.above, t.above)
	u.right[0], u.right[n-1] = spot{x: gamma}, spot{x: low}
	x, z := t.solve(), u.solve()
	share := 1 + z[0].x + float64(high*z[n-1].x)/gamma
	f := x[0].plus(x[n-1].times(high / gamma)).times(1 / share)
	for i := range x {
		x[i] = x[i].minus(f.times(z[i].x))
	}
	return x
}

// finite reports whether a spline has numbers only.
func (s spline) finite() bool {
	for _, p := range s.control {
		if math.IsNaN(p.x+p.y) || math.IsInf(p.x+p.y, 0) {
			return false
		}
	}
	return true
}
