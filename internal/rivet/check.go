package rivet

import (
	"sawbill/nest2d/geom"
)

// faults are why a row cannot be laid at all.
func (r Row) faults(i int) []Finding {
	var out []Finding
	refuse := func(bad bool, format string, args ...any) {
		if bad {
			out = append(out, finding(Refuse, i, format, args...))
		}
	}
	far := func(p geom.Point) bool { return max(p.X, -p.X, p.Y, -p.Y) >= mostCoordinate }
	d, hole := r.Rivet.Diameter, r.Rivet.Hole
	if refuse(d <= 0 || d > mostDiameter, "a rivet of diameter %s cannot be laid: give one above 0 and up to %s", length(d), length(mostDiameter)); out != nil {
		return out
	}
	refuse(far(r.From) || far(r.To), "the row's line from %s to %s is too far away: give points of the panel", r.From, r.To)
	refuse(r.From == r.To, "the row's line has no length, as both its ends are %s: give two points", r.From)
	refuse(hole != 0 && (hole < d || hole > 2*d), "a hole of %s does not suit a rivet of %s: drill %s to %s", length(hole), length(d), length(HoleFor(d).Least), length(HoleFor(d).Most))
	for _, v := range []struct {
		name  string
		value int64
	}{{"pitch", r.Pitch}, {"end distance", r.End}, {"member's face", r.Member.Face}, {"member's wall", r.Member.Wall}, {"member's corner radius", r.Member.Radius}, {"packing", r.Packing}} {
		refuse(v.value < 0 || v.value > mostLength, "a %s of %s is out of range: give 0 or more", v.name, length(v.value))
	}
	refuse(max(r.Offset, -r.Offset) > mostLength, "the row is %s off its member: give a smaller offset", length(r.Offset))
	refuse(r.Second != nil && max(r.Second.Spacing, -r.Second.Spacing) > mostCoordinate, "the second row is too far from the first: give a smaller spacing")
	if out == nil {
		l := lineOf(r.From, r.To).length
		refuse(l/max(r.pitch(), leastPitch(d)) > mostHoles, "the row would have more than %d holes: give a larger pitch than %s", mostHoles, length(r.pitch()))
	}
	return out
}

// check compares a course as laid with the rules.
func (s *sheet) check(i int) {
	c := s.courses[i]
	if len(c.runs) == 0 {
		s.findings = append(s.findings, finding(Refuse, c.row, "no hole can be drilled along the row"))
	}
}
