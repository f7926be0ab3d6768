package rivet

import (
	"math"
	"math/bits"
	"slices"

	"sawbill/nest2d/geom"
)

// line is the line of a row, and measures along it and to its left.
type line struct {
	from, to geom.Point
	length   int64   // to the nearest unit
	ux, uy   float64 // its direction; ±1 and 0 along the axes
}

// lineOf is the line between two different points.
func lineOf(from, to geom.Point) line {
	dx, dy := float64(to.X-from.X), float64(to.Y-from.Y)
	l := hypot(dx, dy)
	return line{from, to, int64(math.Round(l)), dx / l, dy / l}
}

// hypot is the length of a vector: the same on every machine, unlike that of
// package math.
func hypot(x, y float64) float64 { return math.Sqrt(float64(x*x) + float64(y*y)) }

// at is the point at a distance along the line.
func (l line) at(t int64) geom.Point {
	return geom.Point{
		X: l.from.X + scaled(l.to.X-l.from.X, t, l.length),
		Y: l.from.Y + scaled(l.to.Y-l.from.Y, t, l.length),
	}
}

// scaled is a·b/c to the nearest whole number, halves away from 0, for b within
// 0 and c.
func scaled(a, b, c int64) int64 {
	if a < 0 {
		return -scaled(-a, b, c)
	}
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	q, rest := bits.Div64(hi, lo, uint64(c))
	if rest >= uint64(c)-rest {
		q++
	}
	return int64(q)
}

// beside is the line moved to its left.
func (l line) beside(spacing int64) line {
	dx, dy := int64(math.Round(-float64(l.uy*float64(spacing)))), int64(math.Round(float64(l.ux*float64(spacing))))
	l.from, l.to = geom.Point{X: l.from.X + dx, Y: l.from.Y + dy}, geom.Point{X: l.to.X + dx, Y: l.to.Y + dy}
	return l
}

// local is a point seen from the line: along it, and to its left.
func (l line) local(p geom.Point) (along, left float64) {
	x, y := float64(p.X-l.from.X), float64(p.Y-l.from.Y)
	return float64(x*l.ux) + float64(y*l.uy), float64(y*l.ux) - float64(x*l.uy)
}

// A block is an open interval of a line that is not to be drilled, and why:
// its ends may be.
type block struct {
	from, to int64
	cause    cause
}

// A cause of a block: its kind, and the index of what it is.
type cause struct {
	kind  causeKind
	index int
}

type causeKind int

const (
	outline causeKind = iota
	opening
	otherHole
	zone
	crossing
	otherRow
	parting
)

// nearly is what a radius is lessened by, so that a line just as far as that
// from a point, but for the rounding of floats, is clear of it.
const nearly = 0.25

// span turns an interval into a block, rounded outward and cut to the line.
func (l line) span(from, to float64, c cause) (block, bool) {
	from, to = max(math.Floor(from), -1), min(math.Ceil(to), float64(l.length)+1)
	if !(to-from >= 1) {
		return block{}, false
	}
	return block{int64(from), int64(to), c}, true
}

// disc is what a disc takes of the line.
func (l line) disc(center geom.Point, radius int64, c cause) (block, bool) {
	s, o := l.local(center)
	if from, to, ok := chord(s, o, float64(radius)-nearly); ok {
		return l.span(from, to, c)
	}
	return block{}, false
}

// chord is where a line is within a circle about a point at s along it and o
// to its side.
func chord(s, o, r float64) (from, to float64, ok bool) {
	h := float64(r*r) - float64(o*o)
	if r <= 0 || h <= 0 {
		return 0, 0, false
	}
	h = math.Sqrt(h)
	return s - h, s + h, true
}

// edge is what the surroundings of a straight edge take of the line: all within
// the radius of it. They are convex, so it is one interval.
func (l line) edge(a, b geom.Point, radius int64, c cause) (block, bool) {
	r := float64(radius) - nearly
	s1, o1 := l.local(a)
	s2, o2 := l.local(b)
	from, to := math.Inf(1), math.Inf(-1)
	grow := func(f, t float64, ok bool) {
		if ok {
			from, to = min(from, f), max(to, t)
		}
	}
	grow(chord(s1, o1, r))
	grow(chord(s2, o2, r))
	if m := hypot(s2-s1, o2-o1); m > 0 {
		// Between the ends of the edge a point t of the line is as far from it
		// as |(t−s1)·vo + o1·vs|, and its foot is (t−s1)·vs − o1·vo from a.
		vs, vo := (s2-s1)/m, (o2-o1)/m
		f1, t1, ok1 := linear(vo, float64(o1*vs), -r, r)
		f2, t2, ok2 := linear(vs, -float64(o1*vo), 0, m)
		f, t := max(f1, f2), min(t1, t2)
		grow(s1+f, s1+t, ok1 && ok2 && f < t)
	}
	if from > to {
		return block{}, false
	}
	return l.span(from, to, c)
}

// linear is where a·x + b lies strictly within two bounds.
func linear(a, b, low, high float64) (from, to float64, ok bool) {
	switch {
	case a > 0:
		return (low - b) / a, (high - b) / a, true
	case a < 0:
		return (high - b) / a, (low - b) / a, true
	}
	return math.Inf(-1), math.Inf(1), low < b && b < high
}

// sorted orders blocks along the line, and at one place by cause.
func sorted(blocks []block) []block {
	slices.SortStableFunc(blocks, func(a, b block) int {
		if a.from != b.from {
			return sign(a.from - b.from)
		}
		return sign(a.to - b.to)
	})
	return blocks
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

// A stretch of a line, both ends included.
type stretch struct{ from, to int64 }

// free are the stretches of a part of the line outside all blocks, which are
// sorted.
func free(part stretch, blocks []block) []stretch {
	var out []stretch
	at := part.from
	for _, b := range blocks {
		if b.to <= at {
			continue
		}
		if b.from > part.to {
			break
		}
		if b.from >= at {
			out = append(out, stretch{at, b.from})
		}
		at = b.to
	}
	if at <= part.to {
		out = append(out, stretch{at, part.to})
	}
	return out
}

// clear tells whether no block, of those sorted, holds a place.
func clear(t int64, blocks []block) bool {
	for _, b := range blocks {
		if b.from >= t {
			break
		}
		if t < b.to {
			return false
		}
	}
	return true
}

// Length is how far two points are apart, to the nearest unit.
func Length(from, to geom.Point) int64 { return lineOf(from, to).length }
