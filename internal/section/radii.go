package section

import "sawbill/internal/length"

// en10056 gives the root radius r1 of rolled equal angles by leg, in 0.1 mm;
// each toe has half of it (EN 10056-1, as transcribed in
// github.com/waynemaranga/steelsnakes, EU/data/L_EQUAL.json). The radius
// belongs to the leg: every thickness of one leg shares it.
var en10056 = map[length.Length]length.Length{
	25: 35, 30: 50, 35: 50, 40: 60, 45: 70, 50: 70, 55: 80, 60: 80, 63: 90, 65: 90,
}

// inchAngle is one row of a table of inch angles, in 1/16 in.
type inchAngle struct{ a, b, t length.Length }

// aluminiumAngles gives root and toe radius in 1/16 in of US standard extruded
// angles with rounded corners (Aluminum Association type table, transcribed in
// github.com/youandvern/encomp-docs, source/csv/alum_shapes; the radii of
// 2x2x1/4 and 3x3x1/4 worked back from their weights). Sizes not listed are
// taken as sharp, as architectural angles are.
var aluminiumAngles = map[inchAngle][2]length.Length{
	{24, 24, 2}: {3, 2},
	{32, 32, 2}: {4, 2},
	{32, 32, 4}: {4, 2},
	{48, 48, 4}: {5, 4},
}

// steelAngles gives root and toe radius in 1/16 in of US rolled equal angles by
// leg, worked back from the areas and the distance k in
// github.com/waynemaranga/steelsnakes, US/data/L_EQUAL.json (k - t is the root
// radius; the toe is what remains in the area). The weights published beside
// them are 0.4 to 1.2 % lower for the thinnest sizes.
var steelAngles = map[length.Length][2]length.Length{
	32: {4, 2},
	40: {4, 2},
	48: {6, 4},
}

// aluminiumChannels gives the fillet radius of US standard extruded channels by
// depth, flange width, flange thickness and web thickness, all in 0.01 in
// (Aluminum Association standard channels,
// amesweb.info/Profiles/Aluminum-Standard-Channel-Sizes-Table.aspx).
var aluminiumChannels = map[[4]length.Length]length.Length{
	{200, 100, 13, 13}: 10, {200, 125, 26, 17}: 15,
	{300, 150, 20, 13}: 25, {300, 175, 26, 17}: 25,
	{400, 200, 23, 15}: 25, {400, 225, 29, 19}: 25,
	{500, 225, 26, 15}: 30, {500, 275, 32, 19}: 30,
	{600, 250, 29, 17}: 30, {600, 325, 35, 21}: 30,
	{700, 275, 29, 17}: 30, {700, 350, 38, 21}: 30,
	{800, 300, 35, 19}: 30, {800, 375, 41, 25}: 35,
	{900, 325, 35, 23}: 35, {900, 400, 44, 29}: 35,
	{1000, 350, 41, 25}: 35, {1000, 425, 50, 31}: 40,
	{1200, 400, 47, 29}: 40, {1200, 500, 62, 35}: 45,
}

// angleRadii returns root and toe radius of an angle in base units.
func (s Section) angleRadii(m Material) (r1, r2 int64) {
	switch s.Corner {
	case Sharp:
		return 0, 0
	case Stated:
		return int64(s.Root), int64(s.Toe)
	}
	const sixteenth = length.Inch / 16
	var r [2]length.Length
	switch rolled := m.Family == Steel || m.Family == Stainless; {
	case s.Unit != length.In:
		if leg := s.Height / length.Millimetre; rolled && s.Height == s.Width && leg*length.Millimetre == s.Height {
			r1 := en10056[leg] * length.Millimetre / 10
			return int64(r1), int64(r1 / 2)
		}
	case s.Height%sixteenth != 0 || s.Width%sixteenth != 0:
	case rolled && s.Height == s.Width:
		r = steelAngles[s.Height/sixteenth]
	case m.Family == Aluminium && s.Thickness%sixteenth == 0:
		r = aluminiumAngles[inchAngle{s.Height / sixteenth, s.Width / sixteenth, s.Thickness / sixteenth}]
	}
	return int64(r[0] * sixteenth), int64(r[1] * sixteenth)
}

// channelRadius returns the fillet radius of a channel in base units; a channel
// in no table is taken as sharp.
func (s Section) channelRadius(m Material) int64 {
	switch {
	case s.Corner == Stated:
		return int64(s.Root)
	case s.Corner == Sharp || m.Family != Aluminium || s.Unit != length.In:
		return 0
	}
	const hundredth = length.Inch / 100
	var key [4]length.Length
	for i, v := range [4]length.Length{s.Height, s.Width, s.Flange, s.Thickness} {
		if v%hundredth != 0 {
			return 0
		}
		key[i] = v / hundredth
	}
	return int64(aluminiumChannels[key] * hundredth)
}
