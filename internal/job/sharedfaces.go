package job

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/rivet"
)

// compare holds two courses on one tube against each other.
func (r *reader) compare(mark string, a, b *onTube) {
	if a.v == b.v {
		return // one row in two courses, which Lay has looked at
	}
	overlap := min(a.to, b.to) - max(a.from, b.from)
	if overlap <= 0 {
		return
	}
	turns := (b.v.Place.Face - a.v.Place.Face + 4) % 4
	switch turns {
	case 0:
		r.sameFace(mark, a, b)
	case 1:
		r.adjacent(mark, a, b)
	case 3:
		r.adjacent(mark, b, a)
	}
}

// lapped is how far two courses may be apart to count as one through two skins,
// and how far holes of it may be off.
const lapped = length.Millimetre / 10

func (r *reader) sameFace(mark string, a, b *onTube) {
	if a.panel == b.panel && a.sameCopy(b) {
		return // rows of one skin, which Lay has looked at
	}
	if near(a.offset, b.offset) {
		t, off := a.unmet(b)
		if !off {
			t, off = b.unmet(a)
		}
		if off {
			r.fault(b.at, "%s and %s lie over each other on %s and their holes do not meet, as at %s along it; give both the same pitch and the same ends, or set the rows apart",
				quote(a.row), quote(b.row), quote(mark), r.about(length.Length(t)))
		}
		return
	}
	if a.inOneLap(b) {
		return // beside a row through both skins
	}
	r.says(b.at, []*onTube{a, b}, mark, rivet.Meeting(a.skin(b.offset-a.offset), b.skin(a.offset-b.offset)))
}

func near(s, t int64) bool { return max(s-t, t-s) <= int64(lapped) }

// sameCopy tells whether two rows of a mark can be of one copy of it: the holes at
// b's ends are then where they are on the face as a's row has it.
func (a *onTube) sameCopy(b *onTube) bool {
	if len(b.holes) == 0 {
		return false
	}
	for _, k := range []int{0, len(b.holes) - 1} {
		along, offset := a.place(b.holes[k])
		if !near(offset, b.offset) || !slices.ContainsFunc(b.along, func(t int64) bool { return near(t, along) }) {
			return false
		}
	}
	return true
}

// unmet is the first hole of b on the stretch of a where a has none.
func (a *onTube) unmet(b *onTube) (int64, bool) {
	for _, t := range b.along {
		i, _ := slices.BinarySearch(a.along, t-int64(lapped))
		if t >= a.from && t <= a.to && (i == len(a.along) || a.along[i] > t+int64(lapped)) {
			return t, true
		}
	}
	return 0, false
}

// inOneLap tells whether their rows share a line through both skins, and neither
// skin covers a course of the other for which it has no holes.
func (a *onTube) inOneLap(b *onTube) bool {
	lone := func(o, other *onTube) bool {
		return !slices.ContainsFunc(other.lines, func(t int64) bool { return near(o.offset, t) })
	}
	covers := func(o, other *onTube) bool {
		apart := other.offset - o.offset
		return o.edge(apart) >= max(apart, -apart)
	}
	shared := slices.ContainsFunc(a.lines, func(s int64) bool {
		return slices.ContainsFunc(b.lines, func(t int64) bool { return near(s, t) })
	})
	return shared && !(lone(a, b) && covers(b, a)) && !(lone(b, a) && covers(a, b))
}

// says tells findings about two rows.
func (r *reader) says(at Pos, rows []*onTube, mark string, findings []rivet.Finding) {
	names := rivet.Names{
		Length: func(units int64) string { return r.about(length.Length(units)) },
		Row:    func(i int) string { return quote(rows[i].row) },
	}
	for _, f := range findings {
		text := fmt.Sprintf("%s and %s on %s: %s", quote(rows[0].row), quote(rows[1].row), quote(mark), f.In(names))
		switch f.Severity {
		case rivet.Refuse:
			r.fault(at, "%s", text)
		case rivet.Warn:
			r.remark(at, "%s", text)
		}
	}
}

// adjacent finds rivets on two faces, b's the next after a's, whose blind ends
// would meet in the tube.
func (r *reader) adjacent(mark string, a, b *onTube) {
	reach := func(o *onTube) (int64, bool) {
		grip := r.job.Grip(*o.panel, *o.v)
		var body length.Length
		if fit := r.job.FitRivets(Joint{Diameter: length.Length(o.v.Row.Rivet.Diameter), Grip: grip}); len(fit) > 0 {
			body = r.job.Rivets[fit[0]].Length
		}
		if usual := rivet.Fit(o.v.Row.Rivet.Diameter, int64(grip)); body == 0 && len(usual) > 0 {
			body = length.Length(usual[0].Length)
		}
		if body == 0 {
			return 0, false
		}
		return rivet.Reach(int64(body), int64(grip), int64(r.job.Materials[o.v.Member].Section.Thickness), o.v.Row.Rivet.Diameter), true
	}
	reachA, knownA := reach(a)
	reachB, knownB := reach(b)
	if !knownA || !knownB {
		return
	}
	half := int64(r.job.Materials[a.v.Member].Section.OuterWidth()) / 2
	pairs := rivet.Adjacent(
		rivet.Blind{Along: a.along, Edge: half - a.offset, Diameter: a.v.Row.Rivet.Diameter, Reach: reachA},
		rivet.Blind{Along: b.along, Edge: half + b.offset, Diameter: b.v.Row.Rivet.Diameter, Reach: reachB})
	if len(pairs) == 0 {
		return
	}
	var places []string
	for i, p := range pairs {
		if i == 3 {
			places = append(places, "and others")
			break
		}
		places = append(places, r.about(length.Length(a.along[p[0]])))
	}
	r.fault(b.at, "the rivets of %s and %s, on adjacent faces of %s, would meet in it at %s; write yes under \"between\" for one of the rows, or start it elsewhere",
		quote(a.row), quote(b.row), quote(mark), strings.Join(places, ", "))
}
