// Package dxf writes panels as DXF drawings and reads outlines from them.
//
// # What a laser shop gets
//
// One panel per drawing, full size, model space only: contours as closed
// LWPOLYLINE with their arcs as bulges, round openings as true CIRCLE, nothing
// compensated for the width of the beam. All of it lies on one layer, since
// shops that flatten a drawing cut whatever else they find. The drawing is of
// AutoCAD 2000 (AC1015): the oldest version with LWPOLYLINE and a unit in its
// header, with the handles, tables, blocks and objects that strict readers
// want. R12 (AC1009), which has neither, is written on request.
//
// What is written is read back to the unit of 25 nm, and written again gives
// the same bytes: the panel is first brought to its normal form, millimetres
// are exact decimals (25 nm is 0.000025 mm), inches have ten decimals, bulges
// are printed so that they read back to the last bit.
//
// # What is read
//
// LINE, ARC, CIRCLE, ELLIPSE, SPLINE, LWPOLYLINE, POLYLINE, and INSERT of
// blocks of them (scan.go, entity.go, insert.go). Straight edges and circular
// arcs are kept; ellipses and splines, also those by the points that they pass
// through (through.go), become arcs within a tolerance (curve.go). Loose pieces are joined end to end (join.go), contours sorted
// into panels and their openings (nest.go). Everything that is not read is
// reported, and whatever would leave a panel in doubt is refused: a contour
// with a gap, lines that branch, contours that cross.
//
// Sources: Autodesk, "DXF Reference" for AutoCAD 2000 and R12 (group codes,
// sections, object coordinate systems with the arbitrary axis algorithm).
package dxf
