// Package geom is exact plane geometry of sheet panels: outlines of straight
// edges and circular arcs, openings and round holes.
//
// # Conventions
//
// The unit is 25 nm: 1 mm is 40 000, 1/64 in is 15 875 of them. x points to the
// right, y up, and anticlockwise is positive. Coordinates below 2⁴⁰ in absolute
// value are accepted (27 km), arcs included.
//
// An arc is given by its ends and its bulge, the tangent of a quarter of its
// included angle, above 0 when it bends anticlockwise, as in the LWPOLYLINE of
// DXF (Autodesk, "DXF Reference", group code 42). An edge with a bulge below
// 2⁻⁵⁰ in size is straight, as it stays within 2⁻⁹ of a unit of its chord. So
// is, everywhere but in Simple, which finds fault with it, one above 2²⁰ or not
// a number.
//
// Values are not changed by methods; what they return is new.
//
// # What is exact
//
// The bulge, a float, is taken for the fraction it is. The arc through whole
// points then lies on a circle with rational coefficients, and its questions
// can be settled in integers: where a point lies (Contains), whether two edges
// meet and so whether a panel can be cut (Simple), whether a polygon stays on
// its side (Flatten). Motions and normal forms are exact as well.
//
// What is measured is irrational: areas and lengths are floats with some 15
// digits, coordinates and distances are rounded to the nearest unit. So Bounds
// may be half a unit less than the outline, and a distance that is 0 is so
// exactly. All floats are of basic arithmetic and square roots, products
// rounded before they are added, and come out the same on every machine.
//
// # Method
//
// The bulge gives centre, radius, area and the power of a point to the circle
// without trigonometry (arc.go, contains.go). Edges meet where the radical axis
// of their circles does, found as surds whose signs are compared (meet.go); a
// sweep from the left finds the pairs to ask (simple.go). A point is inside by
// the winding number of the chords and of the segments above them. Distances
// between arcs lie at ends or on the line of centres (distance.go).
//
// # Limits
//
// Simple takes time proportional to the square of the number of edges where
// many lie above each other. Webs are those between contours: a neck within
// one outline is not found. Arcs of a radius above 880 m are measured for
// distances as a thousand chords at most. There are no offsets and no unions.
//
// Sources: H. S. M. Coxeter & S. L. Greitzer, "Geometry Revisited", 1967,
// chapter 2 (power of a point, radical axis); M. I. Shamos & D. Hoey,
// "Geometric intersection problems", 17th Symposium on Foundations of Computer
// Science (1976) 208–215 (sweep); I. N. Bronshtein & K. A. Semendyayev,
// "Handbook of Mathematics" (circular segment). From memory.
package geom
