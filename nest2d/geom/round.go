package geom

import (
	"math"
	"slices"
)

// Rounded is the outline with the corner at vertex i, between two straight
// edges, replaced by an arc of the radius that touches both. Its ends are
// rounded to whole units. An edge that the arc takes up whole is left out; one
// too short is an error, and so is a vertex at which the outline does not turn.
func (o Outline) Rounded(i int, radius int64) (Outline, error) {
	n := len(o)
	if i < 0 || i >= n || n < 3 {
		return nil, Say("vertex %d of an outline of %d cannot be rounded: give the index of one of three or more", i, n)
	}
	if radius <= 0 {
		return nil, Say("the radius %v at %v is not above 0: leave the corner as it is or give a length", Distance(radius), o[i].Point)
	}
	before, after := o.edge((i+n-1)%n), o.edge(i)
	if before.b != 0 || after.b != 0 {
		return nil, Say("the corner at %v meets an arc: only a corner between straight edges can be rounded", o[i].Point)
	}
	u, w := before.chord(), after.chord()
	lu, lw := u.length(), w.length()
	turn := cross(u, w)
	if turn.sign() == 0 {
		return nil, Say("the outline does not turn a corner at %v: round another vertex", o[i].Point)
	}
	// The tangent of half the angle by which the outline turns.
	half := math.Abs(turn.float()) / (float64(lu*lw) + dot(u, w).float())
	reach := float64(float64(radius) * half)
	if limit := min(lu, lw); !(reach < limit+0.5) { // to the nearest unit
		return nil, Say("a radius of %v at %v needs %v of both edges, and one has %v: give a smaller radius",
			Distance(radius), o[i].Point, Distance(nearest(reach)), Distance(nearest(limit)))
	}
	along := func(v Point, l float64) Point {
		if l-reach < 0.5 {
			return v
		}
		return Point{nearest(float64(v.X) / l * reach), nearest(float64(v.Y) / l * reach)}
	}
	from, to := o[i].Point.minus(along(u, lu)), o[i].Point.plus(along(w, lw))
	if from == to {
		return nil, Say("a radius of %v at %v rounds nothing: give a larger one or leave the corner as it is", Distance(radius), o[i].Point)
	}
	bulge := math.Copysign(halved(half), float64(turn.sign()))
	out := slices.Clone(o[:i])
	if from == before.p && i > 0 {
		out = out[:i-1]
	}
	out = append(out, Vertex{from, bulge})
	if to != after.q {
		out = append(out, Vertex{to, 0})
	}
	rest := o[i+1:]
	if from == before.p && i == 0 {
		rest = rest[:len(rest)-1]
	}
	return append(out, rest...), nil
}
