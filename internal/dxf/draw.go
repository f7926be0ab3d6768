package dxf

import (
	"fmt"
	"math"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// A canvas collects what a file draws, blocks put in their places, in units
// of 25 nm: circles, closed outlines, and loose edges yet to be joined.
type canvas struct {
	file    *file
	curve   float64         // tolerance of curves
	skipped map[string]bool // layers, by key
	layer   string          // being drawn on
	circles []geom.Hole
	closed  []geom.Outline
	loose   []edge
	ignored map[sort]int
	edges   int // so far
	steps   int // entities looked at
	heights bool
	guessed int // splines without control points and end tangents
	curves  int // ellipses and splines that became arcs,
	arcs    int // so many
	empty   int // lines of no length
}

// An edge between two points, straight or an arc.
type edge struct {
	p, q  geom.Point
	bulge float64
	layer string
}

const (
	mostEdges = 20_000
	mostSteps = 1_000_000
	deepest   = 16      // blocks within blocks
	farthest  = 1 << 40 // units, as geom has it
)

// draw puts a block's entities on the canvas. What is on layer 0 of a block is
// on the layer on which it is inserted.
func (c *canvas) draw(b *block, t affine, layer string, depth int) error {
	if depth > deepest {
		return fmt.Errorf("the block %s is inserted more than %d blocks deep, or within itself: explode it", length.Quote(b.name), deepest)
	}
	if err := c.step(1 + len(b.ignored)); err != nil {
		return err
	}
	add(c.ignored, b.ignored)
	for i := range b.entities {
		e := &b.entities[i]
		if err := c.step(1); err != nil {
			return err
		}
		on := e.layer
		if depth > 0 && on == "0" {
			on = layer
		}
		if c.skipped[key(on)] || c.file.layers[key(on)] {
			c.ignored[sort{e.kind, on}]++
			continue
		}
		if err := c.entity(e, t, on, depth); err != nil {
			return err
		}
	}
	return nil
}

func (c *canvas) step(n int) error {
	c.steps += n
	if c.steps > mostSteps {
		return fmt.Errorf("blocks of the drawing are inserted so often that more than %d things are drawn: leave out what is not to be cut", mostSteps)
	}
	return nil
}

func (c *canvas) entity(e *entity, t affine, layer string, depth int) error {
	c.layer = layer
	turned, err := e.fromBelow()
	if err != nil {
		return err
	}
	inPlane := t
	if turned {
		inPlane = t.after(mirrored)
	}
	for _, code := range [...]int{30, 31, 38} {
		c.heights = c.heights || e.value[code] != 0
	}
	switch e.kind {
	case "INSERT":
		return c.insert(e, inPlane, layer, depth)
	case "LINE":
		return c.chain([]vertex{{spot: spot{e.value[10], e.value[20]}}, {spot: spot{e.value[11], e.value[21]}}}, false, t)
	case "LWPOLYLINE":
		return c.chain(e.vertices, e.flag(1), inPlane)
	case "POLYLINE":
		if e.flag(16) || e.flag(64) {
			c.ignored[sort{"POLYLINE that is a mesh", layer}]++
			return nil
		}
		if e.flag(8) {
			inPlane = t
		}
		return c.chain(e.vertices, e.flag(1), inPlane)
	case "CIRCLE", "ARC":
		r := e.value[40]
		if !(r > 0) {
			return fmt.Errorf("line %d: the %s has the radius %v: delete it or draw it anew", e.line, e.kind, r)
		}
		o := oval{spot{e.value[10], e.value[20]}, spot{r, 0}, spot{0, r}, 0, 360}
		if e.kind == "ARC" {
			o.from, o.to = e.value[50], e.value[51]
		}
		return c.oval(o, inPlane)
	case "ELLIPSE":
		const degree = 180 / math.Pi
		major, ratio := spot{e.value[11], e.value[21]}, e.or(40, 1)
		if !(major.length() > 0) || !(ratio > 0) {
			return fmt.Errorf("line %d: the ELLIPSE has no width: delete it or draw it anew", e.line)
		}
		minor := major.quarter().times(ratio)
		if turned {
			minor = minor.times(-1)
		}
		return c.oval(oval{spot{e.value[10], e.value[20]}, major, minor,
			float64(e.or(41, 0) * degree), float64(e.or(42, 2*math.Pi) * degree)}, t)
	case "SPLINE":
		s, err := splineOf(e)
		if err != nil {
			return err
		}
		if len(e.vertices) == 0 && e.value[12] == 0 && e.value[22] == 0 && e.value[13] == 0 && e.value[23] == 0 {
			c.guessed++
		}
		for i := range s.control {
			s.control[i] = t.apply(s.control[i])
		}
		line := s.arcs(c.curve)
		c.curves, c.arcs = c.curves+1, c.arcs+len(line)-1
		return c.place(line, false)
	}
	return nil
}

// fromBelow tells whether an entity is drawn in a plane seen from below, its
// x axis to the left: so the arbitrary axis algorithm has it for the normal
// (0, 0, −1).
func (e *entity) fromBelow() (bool, error) {
	const slant = 1e-9
	x, y, z := e.value[210], e.value[220], e.or(230, 1)
	if e.kind == "LINE" || e.kind == "SPLINE" || math.Abs(x) <= slant && math.Abs(y) <= slant && z > 0 {
		return false, nil
	}
	if math.Abs(x) <= slant && math.Abs(y) <= slant && z < 0 {
		return true, nil
	}
	return false, fmt.Errorf("line %d: the %s lies in another plane than the drawing: flatten it", e.line, e.kind)
}

// insert draws a block in its place, or in all places of an array.
func (c *canvas) insert(e *entity, t affine, layer string, depth int) error {
	b := c.file.blocks[key(e.block)]
	if b == nil || b.external {
		return fmt.Errorf("line %d: the block %s is not in the drawing: bind it before the export", e.line, length.Quote(e.block))
	}
	sx, sy := e.or(41, 1), e.or(42, 1)
	if sx == 0 || sy == 0 {
		return fmt.Errorf("line %d: the block %s is inserted with the scale 0: delete it", e.line, length.Quote(e.block))
	}
	sin, cos := sincos(e.value[50])
	across, up := spot{cos, sin}, spot{-sin, cos}
	columns, rows := max(1, int(e.value[70])), max(1, int(e.value[71]))
	if columns > mostSteps || rows > mostSteps {
		return c.step(mostSteps)
	}
	for i := range columns {
		for k := range rows {
			at := spot{e.value[10], e.value[20]}
			at = at.plus(across.times(float64(e.value[44] * float64(i)))).plus(up.times(float64(e.value[45] * float64(k))))
			put := affine{across.times(sx), up.times(sy), at}
			put.origin = put.apply(b.base.times(-1))
			if err := c.draw(b, t.after(put), layer, depth+1); err != nil {
				return err
			}
		}
	}
	return nil
}

// oval draws a circle as such, and arcs and ellipses as chains of arcs.
func (c *canvas) oval(o oval, t affine) error {
	o = o.mapped(t)
	if alike(o.u, o.v) {
		if o.sweep() < 360 {
			return c.place(o.arcs(c.curve), false)
		}
		at, err := c.point(o.c)
		if err != nil {
			return err
		}
		d := math.Round(2 * o.u.length())
		if !(d < farthest) {
			return tooFar(o.c)
		}
		if d < 1 {
			c.empty++
			return nil
		}
		c.circles = append(c.circles, geom.Hole{Center: at, Diameter: int64(d)})
		return c.count(1)
	}
	line := o.arcs(c.curve)
	c.curves, c.arcs = c.curves+1, c.arcs+len(line)-1
	if o.sweep() == 360 {
		return c.place(line[:len(line)-1], true)
	}
	return c.place(line, false)
}

// chain draws a polyline through a map. One that is no motion makes ellipses
// of its arcs.
func (c *canvas) chain(line []vertex, closed bool, t affine) error {
	motion := alike(t.a, t.b)
	turn := math.Copysign(1, t.determinant())
	var out []vertex
	for i, v := range line {
		next := line[(i+1)%len(line)]
		last := i == len(line)-1
		switch {
		case v.bulge == 0 || last && !closed || v.spot == next.spot:
			out = append(out, vertex{spot: t.apply(v.spot)})
		case motion:
			out = append(out, vertex{t.apply(v.spot), v.bulge * turn})
		case !(math.Abs(v.bulge) < 1e3 && math.Abs(v.bulge) > 1e-9):
			return fmt.Errorf("an arc with the bulge %v is in a block inserted with unequal scales: explode it", v.bulge)
		default:
			arcs := ovalOf(v.spot, next.spot, v.bulge).mapped(t).arcs(c.curve)
			out = append(out, arcs[:len(arcs)-1]...)
			c.curves, c.arcs = c.curves+1, c.arcs+len(arcs)-1
		}
	}
	return c.place(out, closed)
}

// place rounds a chain to units and takes it as a contour, if it is closed or
// ends where it starts, or as loose edges.
func (c *canvas) place(line []vertex, closed bool) error {
	if err := c.count(len(line)); err != nil {
		return err
	}
	o := make(geom.Outline, len(line))
	for i, v := range line {
		p, err := c.point(v.spot)
		if err != nil {
			return err
		}
		o[i] = geom.Vertex{Point: p, Bulge: v.bulge}
	}
	o = dense(o)
	if n := len(o); n > 1 && o[0].Point == o[n-1].Point {
		o, closed = o[:n-1], true
	}
	if len(o) < 2 {
		c.empty++
		return nil
	}
	if closed {
		c.closed = append(c.closed, o)
		return nil
	}
	for i := range o[1:] {
		c.loose = append(c.loose, edge{o[i].Point, o[i+1].Point, o[i].Bulge, c.layer})
	}
	return nil
}

// dense is a chain without edges of no length.
func dense(o geom.Outline) geom.Outline {
	var out geom.Outline
	for _, v := range o {
		if n := len(out); n > 0 && out[n-1].Point == v.Point {
			out = out[:n-1]
		}
		out = append(out, v)
	}
	return out
}

func (c *canvas) count(n int) error {
	c.edges += n
	if c.edges > mostEdges {
		return fmt.Errorf("the drawing has more than %d edges: leave out what is not to be cut, or draw its curves with fewer", mostEdges)
	}
	return nil
}

func (c *canvas) point(s spot) (geom.Point, error) {
	if !(math.Abs(s.x) < farthest && math.Abs(s.y) < farthest) {
		return geom.Point{}, tooFar(s)
	}
	return geom.Point{X: int64(math.Round(s.x)), Y: int64(math.Round(s.y))}, nil
}

func tooFar(s spot) error {
	return fmt.Errorf("something is drawn at (%.6g, %.6g) mm, farther than 27 km from the origin: move the drawing to its origin, or correct its unit", s.x/millimetre, s.y/millimetre)
}
