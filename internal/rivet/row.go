package rivet

import (
	"cmp"

	"sawbill/nest2d/geom"
)

// A Rivet by its nominal diameter, and the hole drilled for it; Hole 0 is the
// usual one, by HoleFor.
type Rivet struct {
	Diameter, Hole int64
}

// hole is the diameter of the hole.
func (r Rivet) hole() int64 {
	if r.Hole != 0 {
		return r.Hole
	}
	return HoleFor(r.Diameter).Least
}

// A Member is a tube behind the skin: the width of the face that the skin lies
// on, the wall's thickness and the outer corner's radius. Face 0 is no member,
// and nothing of it is checked then.
type Member struct {
	Face, Wall, Radius int64
}

// flat is half the width of the face that is flat within the tube as well: from
// the centre line to the side wall's inner face or to the start of the corner.
func (m Member) flat() int64 { return m.Face/2 - max(m.Wall, m.Radius) }

// A Row of rivets along the line between two points of the panel.
type Row struct {
	From, To geom.Point
	Rivet    Rivet
	// Pitch is the most from hole to hole, and End the least from either end of
	// the line to a hole; 0 is the usual: DefaultPitch, and 2.5 D.
	Pitch, End int64
	Member     Member
	// Offset is how far the row lies from the centre line of its member, above
	// 0 to the left of the way from From to To.
	Offset int64
	// Packing is the thickness of what lies between the skin and the member,
	// and Bond that of the adhesive where a rivet clamps it: 0 is DefaultBond,
	// below 0 none.
	Packing, Bond int64
	// Between lays the holes half-way between those that the row would have,
	// for a row on the adjacent face of a member, or beside another row.
	Between bool
	// Gaps are stretches along the line, from From, where no hole may be, as where
	// the panel is parted.
	Gaps [][2]int64
	// Second is a second row beside this one, staggered by half a pitch.
	Second *Second
}

// Second is the second of two staggered rows: how far from the first it lies,
// above 0 to the left of the way from From to To.
type Second struct{ Spacing int64 }

// pitch is the most from hole to hole.
func (r Row) pitch() int64 { return cmp.Or(r.Pitch, DefaultPitch(r.Rivet.Diameter)) }

// end is the least from an end of the line to a hole.
func (r Row) end() int64 { return cmp.Or(r.End, times(5, 2, r.Rivet.Diameter)) }

// bond is the thickness of the adhesive beside a rivet.
func (r Row) bond() int64 { return max(0, cmp.Or(r.Bond, DefaultBond)) }

// play is how far the member may lie to either side of where it should before a
// hole is nearer than 1.5 D to its edge or no longer on the flat of its face;
// 0 without a member.
func (r Row) play(offset int64) int64 {
	m := r.Member
	off := max(offset, -offset)
	return max(0, min(m.flat()-off-(r.Rivet.hole()+1)/2, m.Face/2-off-leastEdge(r.Rivet.Diameter)))
}

// A Zone of a panel in which no part of a rivet hole may lie: the joint of two
// members, or a bracket. Height is how far a bracket or its rivet heads stand
// up from the member under the skin.
type Zone struct {
	Center         geom.Point
	Radius, Height int64
}

// Laid is a row with its holes; a row with a second one is laid as two.
type Laid struct {
	Row    int // index
	Second bool
	// Holes are the centres in the direction of the row, and Along how far along
	// it each is, from From.
	Holes []geom.Point
	Along []int64
	// Pitch is the widest from hole to hole, but for gaps where the row is not
	// to be drilled; 0 with no two holes.
	Pitch int64
	// Play is how far the frame may be off to either side before holes miss the
	// flat of the member or come nearer than 1.5 D to its edge; 0 without one.
	Play int64
}

// Severity of a finding.
type Severity int

const (
	Note   Severity = iota // worth knowing
	Warn                   // against good practice
	Refuse                 // against a rule: not to be made so
)

func (s Severity) String() string {
	return [...]string{"note", "warn", "refuse"}[s]
}

// A Finding about a row, or about the panel if Row is below 0.
type Finding struct {
	Severity Severity
	Row      int // index, or -1
	// Text is a sentence without its full stop, with lengths in millimetres.
	Text string

	format string
	args   []any
}
