package geom

import (
	"cmp"
	"slices"
)

// each applies f to every vertex and s to the sign of every bulge.
func (o Outline) each(f func(Point) Point, s float64) Outline {
	out := make(Outline, len(o))
	for i, v := range o {
		out[i] = Vertex{f(v.Point), float64(s*v.Bulge) + 0} // + 0: no negative zero
	}
	return out
}

// Move shifts the outline by (dx, dy).
func (o Outline) Move(dx, dy int64) Outline {
	return o.each(Point{dx, dy}.plus, 1)
}

// Turn turns the outline about the origin by quarters of a full turn,
// anticlockwise; a negative number turns clockwise.
func (o Outline) Turn(quarters int) Outline { return o.each(turning(quarters), 1) }

func turning(quarters int) func(Point) Point {
	return func(p Point) Point {
		for range quarters & 3 {
			p = Point{-p.Y, p.X}
		}
		return p
	}
}

// MirrorX mirrors the outline about the x axis: y changes sign, and so do
// bulges. An outline that ran anticlockwise now runs clockwise.
func (o Outline) MirrorX() Outline { return o.each(aboutX, -1) }

// MirrorY mirrors the outline about the y axis: x changes sign, and so do
// bulges. An outline that ran anticlockwise now runs clockwise.
func (o Outline) MirrorY() Outline { return o.each(aboutY, -1) }

func aboutX(p Point) Point { return Point{p.X, -p.Y} }
func aboutY(p Point) Point { return Point{-p.X, p.Y} }

// Reverse is the outline run the other way, from the same first vertex.
func (o Outline) Reverse() Outline {
	n := len(o)
	out := make(Outline, n)
	for i := range o {
		out[i].Point = o[(n-i)%n].Point
		out[i].Bulge = 0 - o[n-1-i].Bulge
	}
	return out
}

// Anticlockwise tells whether the enclosed area is above 0.
func (o Outline) Anticlockwise() bool { return o.Area() > 0 }

// Normal is the same outline run anticlockwise from its lowest vertex, the
// leftmost of these, with 0 for bulges that count as straight.
func (o Outline) Normal() Outline {
	if !o.Anticlockwise() {
		o = o.Reverse()
	}
	return o.started()
}

// started is the outline from its lowest, then leftmost vertex, with clean
// bulges. Among equal vertices, which no simple outline has, it is the first.
func (o Outline) started() Outline {
	first := 0
	for i, v := range o {
		if comparePoints(v.Point, o[first].Point) < 0 {
			first = i
		}
	}
	out := slices.Concat(o[first:], o[:first])
	for i := range out {
		out[i].Bulge = clean(out[i].Bulge)
	}
	return out
}

// comparePoints orders points from below, then from the left.
func comparePoints(p, q Point) int {
	return cmp.Or(cmp.Compare(p.Y, q.Y), cmp.Compare(p.X, q.X))
}

func compareOutlines(o, p Outline) int {
	return slices.CompareFunc(o, p, func(v, w Vertex) int {
		return cmp.Or(comparePoints(v.Point, w.Point), cmp.Compare(v.Bulge, w.Bulge))
	})
}

// Equal tells whether both outlines run through the same edges in the same
// direction, wherever each of them starts. O(n) for simple outlines.
func (o Outline) Equal(p Outline) bool {
	if len(o) != len(p) {
		return false
	}
	same := func(v, w Vertex) bool { return v.Point == w.Point && clean(v.Bulge) == clean(w.Bulge) }
	for i := range p {
		if slices.EqualFunc(o[:len(o)-i], p[i:], same) && slices.EqualFunc(o[len(o)-i:], p[:i], same) {
			return true
		}
	}
	return len(o) == 0
}

// each applies an exact motion of outlines and points to the whole panel.
func (s Shape) each(outline func(Outline) Outline, point func(Point) Point) Shape {
	out := Shape{Outer: outline(s.Outer)}
	for _, o := range s.Inner {
		out.Inner = append(out.Inner, outline(o))
	}
	for _, h := range s.Holes {
		out.Holes = append(out.Holes, Hole{point(h.Center), h.Diameter})
	}
	return out
}

// Move shifts the panel by (dx, dy).
func (s Shape) Move(dx, dy int64) Shape {
	return s.each(func(o Outline) Outline { return o.Move(dx, dy) }, Point{dx, dy}.plus)
}

// Turn turns the panel about the origin by quarters of a full turn,
// anticlockwise; a negative number turns clockwise.
func (s Shape) Turn(quarters int) Shape {
	return s.each(func(o Outline) Outline { return o.Turn(quarters) }, turning(quarters))
}

// MirrorX mirrors the panel about the x axis. Outlines are reversed as well,
// so that Outer runs anticlockwise if it did before.
func (s Shape) MirrorX() Shape {
	return s.each(func(o Outline) Outline { return o.MirrorX().Reverse() }, aboutX)
}

// MirrorY mirrors the panel about the y axis. Outlines are reversed as well,
// so that Outer runs anticlockwise if it did before.
func (s Shape) MirrorY() Shape {
	return s.each(func(o Outline) Outline { return o.MirrorY().Reverse() }, aboutY)
}

// Normal is the same panel in the one way to write it: Outer anticlockwise,
// every Inner clockwise, each from its lowest, then leftmost vertex, openings
// from below, then from the left. Panels that differ only in these are then
// equal byte by byte. Vertices along a straight edge are kept. O(n log n).
func (s Shape) Normal() Shape {
	out := Shape{Outer: s.Outer.Normal()}
	for _, o := range s.Inner {
		if o.Anticlockwise() {
			o = o.Reverse()
		}
		out.Inner = append(out.Inner, o.started())
	}
	slices.SortFunc(out.Inner, compareOutlines)
	out.Holes = slices.Clone(s.Holes)
	slices.SortFunc(out.Holes, func(g, h Hole) int {
		return cmp.Or(comparePoints(g.Center, h.Center), cmp.Compare(g.Diameter, h.Diameter))
	})
	return out
}

// Equal tells whether both are the same panel, however each is written.
func (s Shape) Equal(t Shape) bool {
	s, t = s.Normal(), t.Normal()
	return s.Outer.Equal(t.Outer) && slices.EqualFunc(s.Inner, t.Inner, Outline.Equal) && slices.Equal(s.Holes, t.Holes)
}
