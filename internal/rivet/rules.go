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

// Limits within which a row is laid.
const (
	mostHoles      = 10_000
	mostCoordinate = int64(1) << 40
	mostDiameter   = 100 * millimetre
	mostLength     = int64(1) << 41 // of pitches, offsets and radii
	rounding       = 2              // units by which a hole may be off by rounding
)
