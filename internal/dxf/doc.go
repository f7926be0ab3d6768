// Package dxf writes panels as DXF drawings.
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
// What is written can be read back to the unit of 25 nm: the panel is first
// brought to its normal form, millimetres are exact decimals (25 nm is 0.000025 mm), inches have ten decimals, bulges
// are printed so that they read back to the last bit.
//
// Sources: Autodesk, "DXF Reference" for AutoCAD 2000 and R12 (group codes,
// sections, object coordinate systems with the arbitrary axis algorithm).
package dxf
