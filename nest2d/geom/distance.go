package geom

import "math"

// Distances are found in floats: no coordinate below 2⁴¹ loses a bit in them,
// and what is computed is within a hundredth of a unit. Whether two lines meet
// is asked exactly and never taken from a distance.

// straightened is the radius above which an arc is replaced by chords, as its
// centre is too far away for the digits of a float: 880 m.
const straightened = 0x1p45

// A spot is a point between the units.
type spot struct{ x, y float64 }

func (p Point) spot() spot { return spot{float64(p.X), float64(p.Y)} }

func (s spot) minus(t spot) spot { return spot{s.x - t.x, s.y - t.y} }

// toward is the spot l·v away.
func (s spot) toward(v spot, l float64) spot {
	return spot{s.x + float64(v.x*l), s.y + float64(v.y*l)}
}

// halfway is the spot between both.
func (s spot) halfway(t spot) spot {
	return spot{float64((s.x + t.x) / 2), float64((s.y + t.y) / 2)}
}

func (s spot) dot(t spot) float64   { return float64(s.x*t.x) + float64(s.y*t.y) }
func (s spot) cross(t spot) float64 { return float64(s.x*t.y) - float64(s.y*t.x) }
func (s spot) length() float64      { return math.Sqrt(s.dot(s)) }

func (s spot) point() Point { return Point{nearest(s.x), nearest(s.y)} }

// A stretch is a straight line or an arc, with its circle.
type stretch struct {
	p, q   spot
	b      float64
	centre spot
	r      float64
}

// stretches is the edge as one, or as chords of an arc that is almost straight.
func (e edge) stretches() []stretch {
	p, q := e.p.spot(), e.q.spot()
	if e.b == 0 || e.p == e.q {
		return []stretch{{p: p, q: q}}
	}
	if r := e.radius(); r <= straightened {
		c := q.minus(p)
		centre := p.halfway(q).toward(spot{-c.y, c.x}, (1-e.b)*(1+e.b)/(4*e.b))
		return []stretch{{p, q, e.b, centre, r}}
	}
	depth := 0
	for h := e.chord().length() * math.Abs(e.b) / 2; h > 0x1p-6 && depth < 10; h /= 4 {
		depth++
	}
	var all []stretch
	for _, next := range append(divide(p, q, e.b, depth, nil), q) {
		all = append(all, stretch{p: p, q: next})
		p = next
	}
	return all
}

// divide appends the inner ends of the 2ᵈᵉᵖᵗʰ equal parts of an arc.
func divide(p, q spot, b float64, depth int, to []spot) []spot {
	if depth == 0 {
		return to
	}
	c := q.minus(p)
	top := p.halfway(q).toward(spot{c.y, -c.x}, b/2)
	half := halved(b)
	to = append(divide(p, top, half, depth-1, to), top)
	return divide(top, q, half, depth-1, to)
}

// holds tells whether a spot of the arc's circle is on the arc: between the
// lines from the centre to its ends. On which side of the chord it is would say
// the same, but for a flat arc only in more digits than there are.
func (l stretch) holds(x spot) bool {
	v := x.minus(l.centre)
	fromStart := l.p.minus(l.centre).cross(v) * l.b
	toEnd := v.cross(l.q.minus(l.centre)) * l.b
	if math.Abs(l.b) > 1 {
		return fromStart >= 0 || toEnd >= 0
	}
	return fromStart >= 0 && toEnd >= 0
}

// foot is the spot of the stretch that is nearest to x.
func (l stretch) foot(x spot) spot {
	best := l.p
	nearer := func(y spot) {
		if y.minus(x).length() < best.minus(x).length() {
			best = y
		}
	}
	nearer(l.q)
	if l.b != 0 {
		v := x.minus(l.centre)
		if d := v.length(); d > 0 {
			if y := l.centre.toward(v, l.r/d); l.holds(y) {
				nearer(y)
			}
		}
		return best
	}
	c := l.q.minus(l.p)
	if t := c.dot(x.minus(l.p)) / c.dot(c); t > 0 && t < 1 {
		nearer(l.p.toward(c, t))
	}
	return best
}

// A gap is the way from a spot of one line to a spot of another.
type gap struct {
	from, to spot
	length   float64
}

func between(from, to spot) gap { return gap{from, to, to.minus(from).length()} }

var noGap = gap{length: math.Inf(1)}

func (g gap) shorter(h gap) gap {
	if h.length < g.length {
		return h
	}
	return g
}

// gap is the shortest way between two stretches that do not meet. It begins
// or ends at an end of one of them, or it lies on the line through the centre
// of an arc: that at right angles to a straight stretch, or that through both
// centres. Whatever spots of the two are tried, their way is not too short.
func (l stretch) gap(m stretch) gap {
	best := between(l.p, m.foot(l.p))
	best = best.shorter(between(l.q, m.foot(l.q)))
	best = best.shorter(between(l.foot(m.p), m.p))
	best = best.shorter(between(l.foot(m.q), m.q))
	if l.b == 0 && m.b == 0 {
		return best
	}
	var v spot // along that line
	switch {
	case l.b == 0:
		c := l.q.minus(l.p)
		v = spot{-c.y, c.x}
	case m.b == 0:
		c := m.q.minus(m.p)
		v = spot{-c.y, c.x}
	default:
		v = m.centre.minus(l.centre)
	}
	d := v.length()
	if d == 0 {
		return best
	}
	for _, way := range [...]float64{1, -1} {
		if l.b != 0 {
			if x := l.centre.toward(v, way*l.r/d); l.holds(x) {
				best = best.shorter(between(x, m.foot(x)))
			}
		}
		if m.b != 0 {
			if x := m.centre.toward(v, way*m.r/d); m.holds(x) {
				best = best.shorter(between(l.foot(x), x))
			}
		}
	}
	return best
}

// gap is the shortest way from an edge to another, 0 where they meet.
func (e edge) gap(f edge) gap {
	if e.bounds().grown(1).distance(f.bounds().grown(1)) == 0 {
		if at, met := meet(e, f); met {
			return gap{at.spot(), at.spot(), 0}
		}
	}
	best := noGap
	for _, l := range e.stretches() {
		for _, m := range f.stretches() {
			best = best.shorter(l.gap(m))
		}
	}
	return best
}

func (b Box) grown(by int64) Box {
	return Box{Point{b.Min.X - by, b.Min.Y - by}, Point{b.Max.X + by, b.Max.Y + by}}
}

// distance of two boxes, 0 if they overlap.
func (b Box) distance(c Box) float64 {
	return Point{
		max(0, b.Min.X-c.Max.X, c.Min.X-b.Max.X),
		max(0, b.Min.Y-c.Max.Y, c.Min.Y-b.Max.Y),
	}.length()
}

// gap is the shortest way from one outline to another, if it is below limit.
func (o Outline) gap(p Outline, limit float64) gap {
	best := noGap
	best.length = limit
	boxes := make([]Box, len(p))
	for j := range p {
		boxes[j] = p.edge(j).bounds().grown(1)
	}
	around := p.Bounds().grown(1)
	for i := range o {
		e := o.edge(i)
		box := e.bounds().grown(1)
		if box.distance(around) >= best.length {
			continue
		}
		for j := range p {
			if box.distance(boxes[j]) < best.length {
				best = best.shorter(e.gap(p.edge(j)))
			}
		}
	}
	return best
}

// from is the shortest way from a point to the outline.
func (o Outline) from(x Point) gap {
	best := noGap
	for i := range o {
		e := o.edge(i)
		if e.touches(x) {
			return gap{x.spot(), x.spot(), 0}
		}
		if e.bounds().grown(1).distance(Box{x, x}) >= best.length {
			continue
		}
		for _, l := range e.stretches() {
			best = best.shorter(between(x.spot(), l.foot(x.spot())))
		}
	}
	return best
}

// whole is a length to the nearest unit, but 1 for what is not 0. Infinity,
// the distance to nothing, is the greatest whole number.
func whole(length float64) int64 {
	switch {
	case length == 0:
		return 0
	case length >= math.MaxInt64:
		return math.MaxInt64
	}
	return max(1, nearest(length))
}

// Distance from a point to the line of the outline, from within or without,
// to the nearest unit; 0 only for a point on it, math.MaxInt64 for an outline
// without vertices. O(n).
func (o Outline) Distance(x Point) int64 { return whole(o.from(x).length) }

// Gap is the distance between the lines of two outlines, one of which may lie
// within the other, to the nearest unit; 0 only where they meet, math.MaxInt64
// if one has no vertices. O(n·m), far less for outlines of short edges.
func (o Outline) Gap(p Outline) int64 { return whole(o.gap(p, math.Inf(1)).length) }
