package geom

import "fmt"

// A Point of the plane, in units of 25 nm. Coordinates below 2⁴⁰ in absolute
// value (27 km) are accepted.
type Point struct{ X, Y int64 }

// A Vertex of an outline and the edge that starts there. Bulge is the tangent
// of a quarter of the edge's included angle: above 0 when the edge bends
// anticlockwise, 0 when it is straight, 1 for half a circle.
type Vertex struct {
	Point
	Bulge float64
}

// An Outline is a closed line: the last edge ends at the first vertex.
type Outline []Vertex

// A Hole is a true circle, its diameter in units.
type Hole struct {
	Center   Point
	Diameter int64
}

// A Shape is a sheet panel: what lies inside Outer and outside every opening.
// Once Normal, Outer runs anticlockwise and every Inner clockwise.
type Shape struct {
	Outer Outline
	Inner []Outline
	Holes []Hole
}

// A Box is a rectangle along the axes.
type Box struct{ Min, Max Point }

// Rectangle is a panel of length l along x and width w along y with one
// corner at the origin.
func Rectangle(l, w int64) Shape {
	return Shape{Outer: Polygon(Point{0, 0}, Point{l, 0}, Point{l, w}, Point{0, w})}
}

// Polygon is an outline of straight edges.
func Polygon(points ...Point) Outline {
	o := make(Outline, len(points))
	for i, p := range points {
		o[i].Point = p
	}
	return o
}

// Outline is the hole as two half circles, anticlockwise. An odd diameter, of
// which half is no whole number of units, is taken one unit larger.
func (h Hole) Outline() Outline {
	r := (h.Diameter + 1) / 2
	return Outline{
		{Point{h.Center.X - r, h.Center.Y}, 1},
		{Point{h.Center.X + r, h.Center.Y}, 1},
	}
}

// String gives the point in millimetres, to the micrometre.
func (p Point) String() string {
	return fmt.Sprintf("(%s, %s)", millimetres(p.X), millimetres(p.Y))
}

// String gives the vertex as its point, with the bulge of a bent edge.
func (v Vertex) String() string {
	if v.Bulge == 0 {
		return v.Point.String()
	}
	return fmt.Sprintf("%v bulge %v", v.Point, v.Bulge)
}

func millimetres(x int64) string {
	sign := ""
	if x < 0 {
		sign, x = "-", -x
	}
	micrometres := (x + 20) / 40
	if micrometres == 0 {
		sign = ""
	}
	return fmt.Sprintf("%s%d.%03d", sign, micrometres/1000, micrometres%1000)
}
