package geom

// Area enclosed by the outline in square units, below 0 when it runs
// clockwise. The polygon of the chords is exact before it is rounded; arcs are
// within some 10⁻¹⁵ of their own area. O(n).
func (o Outline) Area() float64 {
	twice := wide{}
	segments := 0.0
	for i := range o {
		e := o.edge(i)
		twice = twice.plus(cross(e.p.minus(o[0].Point), e.q.minus(o[0].Point)))
		segments += e.segment()
	}
	return float64(twice.float()/2) + segments
}

// Length of the outline along its edges, in units. O(n).
func (o Outline) Length() float64 {
	sum := 0.0
	for i := range o {
		sum += o.edge(i).length()
	}
	return sum
}

// Bounds is the least box around the outline with its arcs, to the nearest
// unit; the zero Box for an outline without vertices. O(n).
func (o Outline) Bounds() Box {
	var box Box
	for i := range o {
		b := o.edge(i).bounds()
		if i == 0 {
			box = b
		}
		box = box.around(b)
	}
	return box
}

// around is the least box around both.
func (b Box) around(c Box) Box {
	return Box{
		Point{min(b.Min.X, c.Min.X), min(b.Min.Y, c.Min.Y)},
		Point{max(b.Max.X, c.Max.X), max(b.Max.Y, c.Max.Y)},
	}
}

// Length of the box along x.
func (b Box) Length() int64 { return b.Max.X - b.Min.X }

// Width of the box along y.
func (b Box) Width() int64 { return b.Max.Y - b.Min.Y }

// Centroid of the enclosed area, to the nearest unit; the first vertex where
// the area is 0. O(n).
//
// The first moment of a circular segment about the centre of its circle is
// |c|³/12, towards the arc, whatever its angle.
func (o Outline) Centroid() Point {
	area, mx, my := o.moments()
	if area == 0 {
		if len(o) == 0 {
			return Point{}
		}
		return o[0].Point
	}
	return o[0].Point.plus(Point{nearest(mx / area), nearest(my / area)})
}

// moments is the area with its first moments about the first vertex.
func (o Outline) moments() (area, mx, my float64) {
	for i := range o {
		e := o.edge(i)
		p, q := e.p.minus(o[0].Point), e.q.minus(o[0].Point)
		triangle := float64(cross(p, q).float() / 2)
		area += triangle
		mx += float64(triangle * float64(p.X+q.X) / 3)
		my += float64(triangle * float64(p.Y+q.Y) / 3)
		if e.b == 0 {
			continue
		}
		c, segment := e.chord(), e.segment()
		area += segment
		// In the frame of the chord the segment's centroid is right of the
		// middle by the fraction f of the chord's length.
		l := c.length()
		f := float64(l*l)/(12*segment) - (1-e.b)*(1+e.b)/(4*e.b)
		mx += float64(segment * (float64(float64(p.X+q.X)/2) + float64(f*float64(c.Y))))
		my += float64(segment * (float64(float64(p.Y+q.Y)/2) - float64(f*float64(c.X))))
	}
	return area, mx, my
}

// Area of the hole in square units.
func (h Hole) Area() float64 {
	d := float64(h.Diameter)
	return float64(atan(1) * float64(d*d))
}

// Length is the circumference of the hole, in units.
func (h Hole) Length() float64 { return float64(4 * atan(1) * float64(h.Diameter)) }

// Bounds is the box around the hole, an odd diameter taken one unit larger.
func (h Hole) Bounds() Box {
	r := (h.Diameter + 1) / 2
	return Box{Point{h.Center.X - r, h.Center.Y - r}, Point{h.Center.X + r, h.Center.Y + r}}
}

// Area of the panel in square units: that of the outer outline less all
// openings, whichever way they run. O(n).
func (s Shape) Area() float64 {
	area := abs(s.Outer.Area())
	for _, o := range s.Inner {
		area -= abs(o.Area())
	}
	for _, h := range s.Holes {
		area -= h.Area()
	}
	return area
}

// CutLength is the length of all contours, in units: what a laser travels
// with its beam on. O(n).
func (s Shape) CutLength() float64 {
	sum := s.Outer.Length()
	for _, o := range s.Inner {
		sum += o.Length()
	}
	for _, h := range s.Holes {
		sum += h.Length()
	}
	return sum
}

// Pierces is the number of contours, each of which a beam must begin.
func (s Shape) Pierces() int {
	n := len(s.Inner) + len(s.Holes)
	if len(s.Outer) > 0 {
		n++
	}
	return n
}

// Bounds is the box around the panel.
func (s Shape) Bounds() Box { return s.Outer.Bounds() }

// Centroid of the panel's area, to the nearest unit: where a panel of even
// thickness balances. O(n).
func (s Shape) Centroid() Point {
	if len(s.Outer) == 0 {
		return Point{}
	}
	origin := s.Outer[0].Point
	area, mx, my := s.Outer.moments()
	if area < 0 {
		area, mx, my = -area, -mx, -my
	}
	less := func(a, x, y float64, from Point) {
		if a < 0 {
			a, x, y = -a, -x, -y
		}
		off := from.minus(origin)
		area -= a
		mx -= x + float64(a*float64(off.X))
		my -= y + float64(a*float64(off.Y))
	}
	for _, o := range s.Inner {
		if len(o) > 0 {
			a, x, y := o.moments()
			less(a, x, y, o[0].Point)
		}
	}
	for _, h := range s.Holes {
		less(h.Area(), 0, 0, h.Center)
	}
	if area == 0 {
		return origin
	}
	return origin.plus(Point{nearest(mx / area), nearest(my / area)})
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}
