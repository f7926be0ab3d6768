package section

import "sawbill/internal/length"

// leg identifies one row of a table of rolled or extruded angles.
type leg struct{ a, b, t length.Length }

// en10056 gives the root radius of equal angles in mm; each toe has half of it
// (EN 10056-1). Sizes in mm.
var en10056 = map[leg]length.Length{}

// aaAngles gives root and toe radius of US extruded aluminium angles.
var aaAngles = map[leg][2]length.Length{}

// aaChannels gives the root radius of US extruded aluminium channels by depth,
// flange, flange thickness and web thickness.
var aaChannels = map[[4]length.Length]length.Length{}

func (s Section) angleRadii(m Material) (r1, r2 int64) {
	switch s.Corner {
	case Sharp:
		return 0, 0
	case Stated:
		return int64(s.Root), int64(s.Toe)
	}
	key := leg{s.Height, s.Width, s.Thickness}
	switch {
	case m.Family == Aluminium:
		r := aaAngles[key]
		return int64(r[0]), int64(r[1])
	case m.Family == Steel || m.Family == Stainless:
		r := en10056[key]
		return int64(r), int64(r) / 2
	}
	return 0, 0
}

func (s Section) channelRadius(m Material) int64 {
	switch {
	case s.Corner == Sharp:
		return 0
	case s.Corner == Stated:
		return int64(s.Root)
	case m.Family == Aluminium:
		return int64(aaChannels[[4]length.Length{s.Height, s.Width, s.Flange, s.Thickness}])
	}
	return 0
}
