// Package rivet lays the holes of rivet rows in sheet panels: skins that are
// riveted, and mostly bonded as well, to the tubes of a frame. It is layout,
// not strength: nothing here says what a row of rivets carries.
//
// The unit is that of package geom: 25 nm. D is the diameter of the rivet.
//
// # Method
//
// A row runs along a straight line. Some of it is not to be drilled: what is
// near a contour of the panel or another hole, within a zone to keep clear, and
// where two rows cross, as their members are joined there. Each of these takes
// an interval from the line (line.go); the rest are the free stretches. Of a
// free length L, n = ⌈L/p⌉ equal spaces are no longer than the pitch p
// (space.go). If equal spaces from the first free point of the row to its last
// miss all that is not to be drilled, and need no more holes than the stretches
// one by one, the row is laid so, with one pitch. Else each stretch gets its
// own. What has been laid is then measured again, with the exact geometry of
// package geom, and compared with the rules (check.go).
//
// A row may run past the outline, where that is slanted or curved: it is then
// laid as far as the panel goes, its holes 2 D within the outline, and what is
// past it counts for no gap.
//
// Intervals are found in floats, with products rounded before they are added,
// and rounded outward to whole units: rows along the axes come out exact, any
// other within two units (50 nm), and the same on every machine. Rows along the
// axes that mirror each other are laid as mirrors of each other.
//
// # Limits
//
// Where two rows come near each other without crossing, the later gives way, so
// that their order matters there. A row of which a part runs along a contour at
// 1.5 to 2 D for more than a pitch is laid at that, and warned of; else holes
// keep 2 D. The head on the blind side is taken for 1.5 D wide, and the
// mandrel's head to stand a diameter out of the body: common practice, no
// source.
//
// # Rules
//
// Centre of a rivet to an edge, of skin and of member: 2 D, never under 1.5 D.
// Pitch in a row: at least 3 D. Between rows: at least 2.5 D. Two rows are
// staggered by half a pitch.
//
// Sources: Federal Aviation Administration, Advisory Circular 43.13-1B,
// "Acceptable Methods, Techniques, and Practices – Aircraft Inspection and
// Repair", 1998, chapter 4 (edge 2 D, pitch 3 D); US Army TM
// 10-5410-229-13P (edge, pitch, and row spacing of 2.5 D); US Navy, "Aviation
// Structural Mechanic", NAVEDTRA 14018 (pitch, staggered rows). The limit of
// 1.5 D is that of United States design rules for aluminium, from memory.
package rivet
