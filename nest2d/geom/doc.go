// Package geom is exact plane geometry of sheet panels: outlines of straight
// edges and circular arcs, openings and round holes.
//
// # Conventions
//
// The unit is 25 nm: 1 mm is 40 000, 1/64 in is 15 875 of them. x points to the
// right, y up, and anticlockwise is positive. Coordinates below 2⁴⁰ in absolute
// value are accepted. An arc is given by its ends and its bulge, the tangent of
// a quarter of its included angle, above 0 when it bends anticlockwise, as in
// the LWPOLYLINE of DXF (Autodesk, "DXF Reference", group code 42). An edge
// with a bulge below 2⁻⁵⁰, above 2²⁰ or not a number is straight.
package geom
