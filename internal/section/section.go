// Package section knows cross-sections and materials: how a designation is
// read, the one spelling it is stored under, its area, and its mass.
//
// # One spelling
//
// Parse takes what the trade writes and fills Canonical with exactly one
// spelling per designation. It always states its unit, so it means the same in
// a millimetre job and an inch job, and Parse(Canonical) gives the same Section
// under any default unit:
//
//	SHS 25x25x2 mm          sq tube 1x1x0.125 in
//	RHS 50x30x3 mm          rect tube 2x1x0.125 in
//	CHS 33.7x3 mm           round tube 2x0.125 in
//	L 40x40x4 mm            angle 2x2x0.25 in
//	channel 50x25x3x3 mm    depth x flange width x flange thickness x web thickness
//	flat 40x5 mm            sq bar 12 mm            round bar 12 mm
//	sheet 1.5 mm            sheet 16 ga             ply 12 mm
//	foam 30 mm              XPS 50 mm               board 18 mm
//	timber 45x70 mm         timber 2x4 nominal
//
// Numbers are decimals without trailing zeros, sizes run larger first (smaller
// first for timber, as it is sold), the alloy is not part of it. A corner rule
// named in the designation follows the unit: SHS 50x50x3 mm EN 10210. A size
// stays in the unit it was written in, because the two systems are different
// goods: 1 in tube is 25.4 mm, and neither fits where 25 mm tube does. Two
// spellings of one product that differ in the last digit (.188 and 3/16) stay
// two, for the same reason.
//
// # Mass
//
// Masses are theoretical: nominal sizes times density. Real bars and sheets
// differ by a few per cent, mostly below. Areas are exact integers up to the
// factor pi; only then floats, combined in one fixed order, so that the same
// figures come out on every machine.
package section

import (
	"sawbill/internal/length"
)

// Shape is the kind of a cross-section.
type Shape int

// The shapes. Sheet and what follows it are bought by area, the rest by length.
const (
	SquareTube Shape = iota
	RectTube
	RoundTube
	Angle
	Channel // parallel flanges
	Flat
	SquareBar
	RoundBar
	Timber
	Sheet // metal
	Plywood
	Foam
	Board // MDF, particle board, composite panel
)

var shapeNames = [...]string{
	SquareTube: "square tube", RectTube: "rectangular tube", RoundTube: "round tube",
	Angle: "angle", Channel: "channel", Flat: "flat", SquareBar: "square bar",
	RoundBar: "round bar", Timber: "timber", Sheet: "sheet", Plywood: "plywood",
	Foam: "foam", Board: "board",
}

// String returns the shape in words.
func (s Shape) String() string {
	if s < 0 || int(s) >= len(shapeNames) {
		return "unknown shape"
	}
	return shapeNames[s]
}

// Corner is a rule for the corner radii of a square or rectangular tube.
type Corner int

// The corner rules; each reproduces the weights published under its standard.
// ByMaterial is the rule of the trade: aluminium and other extrusions sharp,
// steel in millimetres EN 10219, steel in inches US HSS.
const (
	ByMaterial Corner = iota
	Sharp
	// EN10219 is cold-formed tube: outside and inside radius 2.0 and 1.0 T up
	// to 6 mm wall, 2.5 and 1.5 T up to 10 mm, 3.0 and 2.0 T above.
	EN10219
	// EN10210 is hot-finished tube: 1.5 and 1.0 T.
	EN10210
	// USHSS is ASTM A500 tube by its nominal wall: 2.0 and 1.0 T. (The design
	// wall, 0.93 T, is for strength and gives no weight.)
	USHSS
	// Stated is an outside radius written in the designation; the inside radius
	// is that less the wall, at least zero.
	Stated
)

// Section is a cross-section as designated. Sections are comparable with ==.
type Section struct {
	Shape Shape
	// Unit is the unit the sizes were written in, MM or In.
	Unit length.Unit
	// Width and Height are the outside sizes. Tube, angle, channel: Height is
	// the larger side, the long leg, the depth; Width the other side, leg,
	// flange. Flat: Width by Thickness. Bars and round tube: both the outside
	// size. Timber: Width the smaller side. Zero for sheets.
	Width, Height length.Length
	// Thickness is the wall of a tube, the leg of an angle, the web of a
	// channel, the thickness of a flat or sheet. Zero for bars and timber.
	Thickness length.Length
	// Flange is the flange thickness of a channel.
	Flange length.Length
	// Corner is the corner rule of a square or rectangular tube. The areas of
	// angles and channels take it too: Sharp says so, ByMaterial looks the size
	// up in the tables, Stated takes Root and Toe.
	Corner Corner
	// Root is the stated outside radius of a tube, or the root radius of an
	// angle or channel; Toe the radius at each toe of an angle.
	Root, Toe length.Length
	// Gauge is the US (Manufacturers' Standard) gauge number of steel sheet,
	// whose name it is; Thickness then is the nominal one to the nearest 25 nm.
	Gauge int
	// Nominal is the name of dressed timber, such as 2x4, whose real size is in
	// Width and Height.
	Nominal string
	// Grade is the kind of foam as written: XPS, EPS, PIR or empty.
	Grade string
	// Canonical is the one spelling of the designation.
	Canonical string
}

// String returns the canonical spelling.
func (s Section) String() string { return s.Canonical }

// IsSheet reports whether the section is bought by area and cut in two
// directions.
func (s Section) IsSheet() bool { return s.Shape >= Sheet }

// IsTube reports whether the section is hollow.
func (s Section) IsTube() bool {
	return s.Shape == SquareTube || s.Shape == RectTube || s.Shape == RoundTube
}

// IsBar reports whether the section is bought by length, hollow or not.
func (s Section) IsBar() bool { return !s.IsSheet() }

// Symmetric reports whether a piece may be both turned end for end and rolled
// over about its length without becoming another piece: tubes, bars, flats and
// timber, but not an angle or a channel.
func (s Section) Symmetric() bool {
	return s.IsBar() && s.Shape != Angle && s.Shape != Channel
}

// EqualFaces reports whether every face of the section is the same, so that an
// end angle needs no word on which face it is laid.
func (s Section) EqualFaces() bool {
	switch s.Shape {
	case SquareTube, RoundTube, SquareBar, RoundBar:
		return true
	}
	return false
}

// OuterWidth returns the smaller outside size of a bar, as used across the face
// of a mitre: the side of a square, the diameter of a round, the narrow side of
// a rectangle, the shorter leg, the flange, the thickness of a flat. Sheets
// have none.
func (s Section) OuterWidth() length.Length {
	if s.Shape == Flat {
		return s.Thickness
	}
	return s.Width
}

// OuterHeight returns the larger outside size of a bar: the wide side of a
// rectangle or flat, the longer leg, the depth of a channel. Sheets have none.
func (s Section) OuterHeight() length.Length {
	if s.Shape == Flat {
		return s.Width
	}
	return s.Height
}
