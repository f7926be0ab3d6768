package rivet

// A Drill is the range of a rivet's hole. A hole too large on the blind side
// lets the mandrel's head pull in, and the joint is loose.
type Drill struct {
	Least, Most int64
	// Number is the usual twist drill of the inch series, "" for a metric rivet.
	Number string
	// Doubt says what is uncertain of the figures, "" for nothing.
	Doubt string
}

// drills of the inch series. Source: US Army TM 10-5410-221-14, table 4-3,
// "Blind rivet selection", but for 3/16 in.
var drills = []struct {
	diameter int64
	Drill
}{
	{inch(1, 8), Drill{thou(128), thou(132), "No. 30", ""}},
	{inch(5, 32), Drill{thou(160), thou(164), "No. 20", ""}},
	{inch(3, 16), Drill{thou(192), thou(196), "No. 11", "range from memory; the drill is .191 in"}},
	{inch(1, 4), Drill{thou(257), thou(261), "letter F", ""}},
}

const inchUnits = 1_016_000

func inch(n, over int64) int64 { return inchUnits * n / over }
func thou(n int64) int64       { return inchUnits / 1000 * n }

// HoleFor is the hole of a rivet by its nominal diameter: that of the inch
// series, or else the metric rule, 0.1 to 0.2 mm more than the diameter, which
// guides to ISO 15977, "Open end blind rivets with break pull mandrel and
// protruding head – AIA/St", give.
func HoleFor(diameter int64) Drill {
	for _, d := range drills {
		if d.diameter == diameter {
			return d.Drill
		}
	}
	return Drill{Least: diameter + millimetre/10, Most: diameter + millimetre/5}
}
