package dxf

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// bezier is a spline of Bézier curves, as fitted makes it, at t within span i, with its
// first and second derivative (G. Farin, "Curves and Surfaces for CAGD", chapter 5;
// from memory).
func bezier(s spline, i int, t float64) (p, first, second spot) {
	c := s.control[3*i : 3*i+4]
	h := s.knots[3*i+4] - s.knots[3*i+3]
	u := 1 - t
	p = c[0].times(u * u * u).plus(c[1].times(3 * u * u * t)).plus(c[2].times(3 * u * t * t)).plus(c[3].times(t * t * t))
	first = c[1].minus(c[0]).times(u * u).plus(c[2].minus(c[1]).times(2 * u * t)).plus(c[3].minus(c[2]).times(t * t)).times(3 / h)
	second = c[2].minus(c[1]).minus(c[1].minus(c[0])).times(u).plus(c[3].minus(c[2]).minus(c[2].minus(c[1])).times(t)).times(6 / (h * h))
	return p, first, second
}

// A curve by its points passes through them, smooth to the second derivative, and
// ends as it is told to: these define it (C. de Boor, "A Practical Guide to
// Splines", 1978, chapter IV).
func TestFitted(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		e := &entity{value: map[int]float64{}}
		closed := rapid.Bool().Draw(t, "closed")
		tangents := rapid.Bool().Draw(t, "tangents")
		n := rapid.IntRange(3, 12).Draw(t, "n")
		x := 0.0
		for range n {
			x += float64(rapid.IntRange(1, 50).Draw(t, "dx"))
			e.fit = append(e.fit, spot{x, float64(rapid.IntRange(-40, 40).Draw(t, "y"))})
		}
		if closed {
			e.value[70] = 1
		}
		if tangents {
			e.value[12], e.value[22], e.value[13], e.value[23] = 3, 4, 0, -7
		}
		s, err := fitted(e)
		if err != nil {
			t.Fatal(err)
		}
		same := func(what string, a, b spot, scale float64) {
			if a.minus(b).length() > 1e-9*scale {
				t.Errorf("%s: %v and %v", what, a, b)
			}
		}
		spans := (len(s.control) - 1) / 3
		for i := range spans {
			p, d, dd := bezier(s, i, 1)
			same("a point", p, e.fit[(i+1)%n], 1e3)
			if i+1 < spans || closed {
				q, f, ff := bezier(s, (i+1)%spans, 0)
				same("a joint", p, q, 1e3)
				same("the slope", d, f, 1e3)
				same("the bend", dd, ff, 1e3)
			}
		}
		if closed {
			return
		}
		p, d, dd := bezier(s, 0, 0)
		q, f, ff := bezier(s, spans-1, 1)
		same("the first point", p, e.fit[0], 1e3)
		same("the last point", q, e.fit[n-1], 1e3)
		if tangents {
			same("the first tangent", d, spot{0.6, 0.8}, 1e3)
			same("the last tangent", f, spot{0, -1}, 1e3)
		} else {
			same("the first end", dd, spot{}, 1e3)
			same("the last end", ff, spot{}, 1e3)
		}
	})
}

// Points on a circle, in a ring: the curve is the circle but for what an even
// cubic spline misses of it, which falls with the fourth power of the spacing
// (de Boor, chapter V).
func TestFittedCircle(t *testing.T) {
	off := func(n int) float64 {
		e := &entity{value: map[int]float64{70: 1}}
		for k := range n {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / float64(n))
			e.fit = append(e.fit, spot{100 * cos, 100 * sin})
		}
		s, err := fitted(e)
		if err != nil {
			t.Fatal(err)
		}
		most := 0.0
		for i := range n {
			for k := range 20 {
				p, _, _ := bezier(s, i, float64(k)/20)
				most = max(most, math.Abs(p.length()-100))
			}
		}
		return most
	}
	if a, b := off(8), off(16); a > 0.5 || b > a/12 || b < a/20 {
		t.Errorf("with 8 points the circle is missed by %v, with 16 by %v", a, b)
	}
}
