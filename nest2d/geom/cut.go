package geom

import "math/big"

// Parting a panel along a line that runs along an axis.

// Part is the part of an outline on one side of the line x = at, or y = at when
// across is set: that of the larger coordinates when beyond is set. The new edge
// is straight; the places where the line meets slanted edges are rounded to whole
// units. The outline must be simple and anticlockwise. Errors, as sentences, when
// the line misses it, touches a corner or an arc, or parts it into more than two. O(n).
func (o Outline) Part(across bool, at int64, beyond bool) (Outline, error) {
	place := func(p Point) int64 {
		v := p.X
		if across {
			v = p.Y
		}
		if beyond {
			return v - at
		}
		return at - v
	}
	var out Outline
	crossed := 0
	for i := range o {
		e := o.edge(i)
		p, q := place(e.p), place(e.q)
		if e.b != 0 {
			b := e.bounds()
			low, high := place(b.Min), place(b.Max)
			if low < 0 != (high < 0) || low == 0 || high == 0 {
				return nil, Say("the line meets the arc that starts at %s: move it off the rounding", e.p)
			}
		}
		if p == 0 {
			return nil, Say("the line runs through the corner at %s: move it a little", e.p)
		}
		if p > 0 {
			out = append(out, o[i])
		}
		if p > 0 != (q > 0) {
			crossed++
			out = append(out, Vertex{Point: e.crossing(across, at)})
		}
	}
	switch {
	case crossed == 0:
		return nil, Say("the line does not cross the panel")
	case crossed > 2:
		return nil, Say("the line parts the panel into more than two: move it, or part it elsewhere")
	}
	return out, nil
}

// crossing is where a straight edge meets a line, to the nearest unit.
func (e edge) crossing(across bool, at int64) Point {
	p, d := e.p, e.q.minus(e.p)
	if across {
		return Point{p.X + mulDiv(d.X, at-p.Y, d.Y), at}
	}
	return Point{at, p.Y + mulDiv(d.Y, at-p.X, d.X)}
}

// mulDiv is a·b/c to the nearest whole number, halves upward.
func mulDiv(a, b, c int64) int64 {
	n := product(a, b).big()
	if c < 0 {
		n.Neg(n)
		c = -c
	}
	n.Lsh(n, 1)
	n.Add(n, big.NewInt(c))
	return n.Div(n, big.NewInt(2*c)).Int64() // Div rounds down for a positive divisor
}
