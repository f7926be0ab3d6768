package geom

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// farthest is the limit of coordinates.
const farthest = 1 << 40

// A Kind of contour.
type Kind int

const (
	OuterContour Kind = iota
	InnerContour
	HoleContour
)

// A Contour of a panel: its outer outline, or an opening by its index in
// Inner or Holes.
type Contour struct {
	Kind  Kind
	Index int
}

// String names the contour, counting from 1.
func (c Contour) String() string {
	switch c.Kind {
	case InnerContour:
		return fmt.Sprintf("inner outline %d", c.Index+1)
	case HoleContour:
		return fmt.Sprintf("hole %d", c.Index+1)
	}
	return "the outer outline"
}

// A Place on a contour: the vertex where its edge of that index starts, or
// the centre of a hole.
type Place struct {
	Contour Contour
	Edge    int
	At      Point
}

func (p Place) String() string { return fmt.Sprint(written(p, nil)) }

// A Fault is why an outline or a panel is not simple. First and Second are
// the places it concerns, equal if there is one; At is where they meet. The
// Sentence says what is wrong and what to do.
type Fault struct {
	First, Second Place
	At            Point
	*Sentence
}

// Simple is nil for an outline that may be cut: two edges meet only where one
// starts as the other ends, no edge has length 0, coordinates, arcs and bulges
// are within limits, and there are at least three edges, or two with an arc. Else
// it is a *Fault, of several the first along the outline. Exact; O(n log n)
// but for outlines with many edges side by side.
func (o Outline) Simple() error {
	if f := faulty([]ring{{Contour{}, o}}, 1); f != nil {
		return f
	}
	return nil
}

// Simple is nil for a panel that may be cut: each contour is simple, no two
// meet, every opening is within the outer outline and none within another.
// Else it is a *Fault. Exact, for odd diameters too; O(n log n + k²) for n
// edges in k contours, but for outlines with many edges side by side.
func (s Shape) Simple() error {
	double := func(p Point) Point { return Point{2 * p.X, 2 * p.Y} }
	rings := []ring{{Contour{}, s.Outer.each(double, 1)}}
	for i, o := range s.Inner {
		rings = append(rings, ring{Contour{InnerContour, i}, o.each(double, 1)})
	}
	for i, h := range s.Holes {
		if h.Diameter <= 0 || h.Diameter >= farthest {
			at := Place{Contour{HoleContour, i}, 0, h.Center}
			return &Fault{at, at, h.Center, Say("%v has a diameter of %v: write one above 0 and below 27 km", at, Distance(h.Diameter))}
		}
		rings = append(rings, ring{Contour{HoleContour, i}, Hole{double(h.Center), 2 * h.Diameter}.Outline()})
	}
	if f := faulty(rings, 2); f != nil {
		return f
	}
	return nil
}

// A ring is a contour with its line.
type ring struct {
	Contour
	line Outline
}

// place of an edge, on coordinates scaled up.
func (r ring) place(i int, scale int64) Place {
	if r.Kind == HoleContour {
		i = 0
	}
	at := r.line[i].Point
	if r.Kind == HoleContour {
		at.X += (r.line[1].X - at.X) / 2
	}
	return Place{r.Contour, i, Point{at.X / scale, at.Y / scale}}
}

// faulty finds the first fault of a panel's rings, the outer one first.
func faulty(rings []ring, scale int64) *Fault {
	for _, r := range rings {
		if f := r.malformed(scale); f != nil {
			return f
		}
	}
	if f := tangled(rings, scale); f != nil {
		return f
	}
	return misplaced(rings, scale)
}

// malformed finds a fault of a single vertex or edge.
func (r ring) malformed(scale int64) *Fault {
	straight := true
	for i, v := range r.line {
		e, at := r.line.edge(i), r.place(i, scale)
		far := func(b Box) bool {
			return max(b.Max.X, b.Max.Y) >= farthest*scale || min(b.Min.X, b.Min.Y) <= -farthest*scale
		}
		fault := func(format string, args ...any) *Fault {
			return &Fault{at, at, at.At, Say(format, args...)}
		}
		switch {
		case far(Box{e.p, e.p}) || far(Box{e.q, e.q}) || far(e.bounds()):
			return fault("%v is too far from the origin: move the drawing to within 27 km of it", at)
		case !(math.Abs(v.Bulge) <= roundest):
			return fault("%v has the bulge %v: write a number of at most 2^20 in size, 0 for a straight edge", at, v.Bulge)
		case e.p == e.q:
			return fault("%v has no length: leave out one of two equal vertices", at)
		}
		straight = straight && e.b == 0
	}
	if n := len(r.line); n < 2 || n == 2 && straight {
		at := Place{Contour: r.Contour}
		if n > 0 {
			at = r.place(0, scale)
		}
		return &Fault{at, at, at.At, Say("%v has %d edges and encloses nothing: give three or more, or two of which one is an arc", r.Contour, n)}
	}
	return nil
}

// A span is an edge in the sweep: its number among all, and its box.
type span struct {
	number, ring, index int
	e                   edge
	box                 Box
}

// tangled finds the first pair of edges that meet where they may not. Edges
// are taken from the left, each asked against those that reach as far.
func tangled(rings []ring, scale int64) *Fault {
	var spans []span
	for k, r := range rings {
		for i := range r.line {
			e := r.line.edge(i)
			box := e.bounds()
			if e.b != 0 {
				box = box.grown(1) // it is rounded
			}
			spans = append(spans, span{len(spans), k, i, e, box})
		}
	}
	slices.SortFunc(spans, func(s, t span) int {
		return cmp.Or(cmp.Compare(s.box.Min.X, t.box.Min.X), cmp.Compare(s.number, t.number))
	})
	var active []span
	var first, second span
	var where Point
	found := false
	for _, s := range spans {
		active = slices.DeleteFunc(active, func(t span) bool { return t.box.Max.X < s.box.Min.X })
		for _, t := range active {
			if t.box.Min.Y > s.box.Max.Y || t.box.Max.Y < s.box.Min.Y {
				continue
			}
			a, b := s, t
			if a.number > b.number {
				a, b = b, a
			}
			if found && cmp.Or(cmp.Compare(a.number, first.number), cmp.Compare(b.number, second.number)) > 0 {
				continue
			}
			if at, met := meet(a.e, b.e, joints(rings, a, b)...); met {
				first, second, where, found = a, b, at, true
			}
		}
		active = append(active, s)
	}
	if !found {
		return nil
	}
	p, q := rings[first.ring].place(first.index, scale), rings[second.ring].place(second.index, scale)
	where = Point{where.X / scale, where.Y / scale}
	return &Fault{p, q, where, Say("%v and %v meet at %v: move them apart", p, q, where)}
}

// joints are the points where two edges, the first before the second, may
// meet as neighbours along an outline.
func joints(rings []ring, a, b span) []Point {
	if a.ring != b.ring {
		return nil
	}
	var at []Point
	if b.index == a.index+1 {
		at = append(at, b.e.p)
	}
	if a.index == 0 && b.index == len(rings[a.ring].line)-1 {
		at = append(at, a.e.p)
	}
	return at
}

// misplaced finds an opening outside the panel or within another. Since no
// lines meet, one vertex tells where the whole line is.
func misplaced(rings []ring, scale int64) *Fault {
	boxes := make([]Box, len(rings))
	for i, r := range rings {
		boxes[i] = r.line.Bounds().grown(1)
	}
	within := func(i, j int) bool {
		x := rings[i].line[0].Point
		b := boxes[j]
		return b.Min.X <= x.X && x.X <= b.Max.X && b.Min.Y <= x.Y && x.Y <= b.Max.Y && rings[j].line.Contains(x) == Inside
	}
	fault := func(i, j int, format string) *Fault {
		p, q := rings[i].place(0, scale), rings[j].place(0, scale)
		return &Fault{p, q, p.At, Say(format, rings[i].Contour, p.At, rings[j].Contour, q.At)}
	}
	for i := 1; i < len(rings); i++ {
		if !within(i, 0) {
			return fault(i, 0, "%v at %v is not within %v, which starts at %v: move it inside or leave it out")
		}
	}
	for i := 1; i < len(rings); i++ {
		for j := 1; j < len(rings); j++ {
			if i != j && within(i, j) {
				return fault(i, j, "%v at %v is within %v at %v: leave out one of them, or cut the inner one as a panel of its own")
			}
		}
	}
	return nil
}
