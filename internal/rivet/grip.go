package rivet

import (
	"cmp"
	"slices"
)

// A Body is a length of rivet and the thicknesses that it holds together.
type Body struct {
	Name     string // as the series calls it
	Diameter int64
	Length   int64 // 0 where the series does not give it
	From, To int64 // grip
	// Doubt says what is uncertain of the figures, "" for nothing.
	Doubt string
}

// Metric grips. Source: ISO 15981:2002, "Open end blind rivets with break pull
// mandrel and protruding head – AlA/AlA", table of dimensions: recommended grip
// ranges in tenths of a millimetre by nominal length, for the diameters of
// columns.
var (
	columns = [][]int64{{32, 30}, {40}, {48, 50}, {64, 60}}
	bodies  = []struct {
		length int64
		grips  [4][2]int64
	}{
		{5, [4][2]int64{{5, 15}}},
		{6, [4][2]int64{{15, 35}, {10, 30}, {15, 25}}},
		{8, [4][2]int64{{35, 50}, {30, 50}, {25, 40}}},
		{10, [4][2]int64{{50, 70}, {50, 65}, {40, 60}}},
		{12, [4][2]int64{{70, 90}, {65, 85}, {60, 80}, {30, 60}}},
		{16, [4][2]int64{{90, 130}, {85, 125}, {80, 120}, {60, 100}}},
		{20, [4][2]int64{{130, 170}, {125, 165}, {120, 150}, {100, 140}}},
		{25, [4][2]int64{{170, 220}, {165, 210}, {150, 200}, {140, 180}}},
		{30, [4][2]int64{2: {200, 250}, 3: {180, 230}}},
	}
)

const metricDoubt = "the columns of ISO 15981 are assigned by the series of diameters: compare with the rivet's data sheet"

// series are the grips of the inch series in thousandths. The name has the
// diameter in 1/32 in, then the greatest grip in 1/16 in. Source: US Army TM
// 10-5410-221-14, table 4-3, "Blind rivet selection", but for 3/16 in.
var series = []struct {
	diameter int64
	doubt    string
	bodies   []Body
}{
	{inch(1, 8), "", []Body{{Name: "41", From: 20, To: 62}, {Name: "42", From: 63, To: 125}, {Name: "43", From: 126, To: 187}, {Name: "44", From: 188, To: 250}, {Name: "45", From: 251, To: 312}, {Name: "46", From: 313, To: 375}, {Name: "48", From: 376, To: 500}}},
	{inch(5, 32), "", []Body{{Name: "52", From: 20, To: 125}, {Name: "53", From: 126, To: 187}, {Name: "54", From: 188, To: 250}, {Name: "56", From: 251, To: 375}}},
	{inch(3, 16), "grips from memory: compare with the rivet's data sheet", []Body{{Name: "62", From: 20, To: 125}, {Name: "64", From: 126, To: 250}, {Name: "66", From: 251, To: 375}, {Name: "68", From: 376, To: 500}, {Name: "610", From: 501, To: 625}}},
	{inch(1, 4), "", []Body{{Name: "84", From: 125, To: 250}, {Name: "86", From: 251, To: 375}, {Name: "88", From: 376, To: 500}}},
}

// Fit are the bodies of a diameter that take a grip, the shortest first, since
// one too long curls and sets loose; none if no series has one. A grip that
// falls between two thousandths of the inch series counts to the smaller body.
func Fit(diameter, grip int64) []Body {
	var out []Body
	for _, s := range series {
		if s.diameter != diameter {
			continue
		}
		for _, b := range s.bodies {
			if thou(b.From) <= grip && grip < thou(b.To+1) {
				out = append(out, Body{b.Name, diameter, 0, thou(b.From), thou(b.To), s.doubt})
			}
		}
	}
	for i, c := range columns {
		if !slices.Contains(c, diameter*10/millimetre) || diameter%(millimetre/10) != 0 {
			continue
		}
		for _, b := range bodies {
			from, to := b.grips[i][0]*millimetre/10, b.grips[i][1]*millimetre/10
			if to > 0 && from <= grip && grip <= to {
				name := millimetres(diameter)[:len(millimetres(diameter))-3] + " x " + millimetres(b.length*millimetre)
				out = append(out, Body{name, diameter, b.length * millimetre, from, to, metricDoubt})
			}
		}
	}
	return out
}

// Grip of a row in a skin of that thickness: the sum of all that its rivets
// hold together, the adhesive as clamped included.
func (r Row) Grip(skin int64) int64 { return skin + r.bond() + r.Packing + r.Member.Wall }

// A Need is how many rivets of a diameter are needed for a grip.
type Need struct{ Diameter, Grip, Count int64 }

// Needs are the rivets of the rows laid in a panel of a thickness, by diameter,
// then by grip.
func Needs(skin int64, rows []Row, laid []Laid) []Need {
	var out []Need
	for _, l := range laid {
		r := rows[l.Row]
		n := Need{r.Rivet.Diameter, r.Grip(skin), int64(len(l.Holes))}
		i, found := slices.BinarySearchFunc(out, n, func(a, b Need) int {
			return cmp.Or(cmp.Compare(a.Diameter, b.Diameter), cmp.Compare(a.Grip, b.Grip))
		})
		if found {
			out[i].Count += n.Count
		} else {
			out = slices.Insert(out, i, n)
		}
	}
	return out
}
