package rivet

// The limits, as multiples of the diameter; their sources are in the package
// comment. An odd diameter is rounded to the safe side.

func times(n, over, d int64) int64 { return (n*d + over - 1) / over }

func leastEdge(d int64) int64    { return times(3, 2, d) }
func goodEdge(d int64) int64     { return 2 * d }
func leastPitch(d int64) int64   { return 3 * d }
func leastSpacing(d int64) int64 { return times(5, 2, d) }

const millimetre = 40_000

// DefaultPitch is the usual pitch of a skin by the rivet's diameter: 12.5 D,
// between 40 and 100 mm. Common practice, no source.
func DefaultPitch(diameter int64) int64 {
	return min(max(times(25, 2, diameter), 40*millimetre), widePitch)
}

// widePitch is the widest usual in a skin. Common practice, no source.
const widePitch = 100 * millimetre

// DefaultBond is the thickness of an elastic adhesive beside a rivet that has
// been pulled: 0.4 mm, unless spacers hold it. Common practice, no source.
const DefaultBond = 2 * millimetre / 5

// blindHead is half the width of the head that a rivet forms on the blind side,
// which is taken for 1.5 D. Common practice, no source.
func blindHead(d int64) int64 { return times(3, 4, d) }

// Lap is the least width of a lap, or of a member's face, with one or more rows
// of rivets: 2 D to either edge, 2.5 D between rows.
func Lap(diameter int64, rows int) int64 {
	return 2*goodEdge(diameter) + int64(rows-1)*leastSpacing(diameter)
}

// Limits within which a row is laid.
const (
	mostHoles      = 10_000
	mostSpacing    = 1000 * millimetre
	mostCoordinate = int64(1)<<40 - 2*mostSpacing // a second row has room as well
	mostDiameter   = 100 * millimetre
	mostLength     = int64(1) << 41 // of pitches, offsets and radii
	rounding       = 2              // units by which a hole may be off by rounding
)
