package rivet

import (
	"math"
	"slices"

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
	d, hole := r.Rivet.Diameter, r.Rivet.Hole
	if refuse(d <= 0 || d > mostDiameter, "a rivet of diameter %s cannot be laid: give one above 0 and up to %s", length(d), length(mostDiameter)); out != nil {
		return out
	}
	refuse(far(r.From, 0) || far(r.To, 0), "the row's line from %s to %s is too far away: give points of the panel", r.From, r.To)
	refuse(r.From == r.To, "the row's line has no length, as both its ends are %s: give two points", r.From)
	refuse(hole != 0 && (hole < d || hole > 2*d), "a hole of %s does not suit a rivet of %s: drill %s to %s", length(hole), length(d), length(HoleFor(d).Least), length(HoleFor(d).Most))
	for _, v := range []struct {
		name  string
		value int64
	}{{"pitch", r.Pitch}, {"end distance", r.End}, {"member's face", r.Member.Face}, {"member's wall", r.Member.Wall}, {"member's corner radius", r.Member.Radius}, {"packing", r.Packing}, {"bond line", r.bond()}} {
		refuse(v.value < 0 || v.value > mostLength, "a %s of %s is out of range: give 0 or more", v.name, length(v.value))
	}
	refuse(r.Offset < -mostLength || r.Offset > mostLength, "the row is %s off its member: give a smaller offset", length(r.Offset))
	refuse(r.Second != nil && (r.Second.Spacing < -mostSpacing || r.Second.Spacing > mostSpacing), "the second row is more than %s from the first: give a smaller spacing", length(mostSpacing))
	if out == nil {
		l := lineOf(r.From, r.To).length
		refuse(l/max(r.pitch(), leastPitch(d)) > mostHoles, "the row would have more than %d holes: give a larger pitch than %s", mostHoles, length(r.pitch()))
	}
	return out
}

// far tells whether any of a circle is too far from the origin.
func far(p geom.Point, radius int64) bool {
	return radius >= mostCoordinate || p.X <= radius-mostCoordinate || p.X >= mostCoordinate-radius ||
		p.Y <= radius-mostCoordinate || p.Y >= mostCoordinate-radius
}

// check compares a course as laid with the rules, and with the courses before.
func (s *sheet) check(i int) {
	c := s.courses[i]
	say := func(v Severity, format string, args ...any) {
		if c.second {
			format = "second row: " + format
		}
		s.findings = append(s.findings, finding(v, c.row, format, args...))
	}
	if !c.second {
		c.checkAsked(say)
	}
	for _, o := range s.courses[:i] {
		s.checkSpacing(c, o, say)
	}
	c.checkMember(say)
	if len(c.runs) == 0 {
		s.checkEmpty(c, say)
		return
	}
	s.checkEdges(c, say)
	c.checkGaps(s, say)
	if !c.second {
		s.checkHeads(c, say)
	}
}

// A say takes a finding of one course.
type say func(v Severity, format string, args ...any)

// checkAsked compares what a row asks for with the rules.
func (c *course) checkAsked(say say) {
	d := c.Rivet.Diameter
	if p := c.pitch(); p < leastPitch(d) {
		say(Refuse, "a pitch of %s is under 3 diameters: give %s or more", length(p), length(leastPitch(d)))
	} else if p > max(widePitch, leastPitch(d)) {
		say(Note, "a pitch of %s is wide for a skin, as %s is usual at most", length(p), length(widePitch))
	}
	switch e := c.end(); {
	case e < leastEdge(d):
		say(Refuse, "an end distance of %s is under 1.5 diameters: give %s, better %s", length(e), length(leastEdge(d)), length(goodEdge(d)))
	case e < goodEdge(d):
		say(Warn, "an end distance of %s is under 2 diameters: %s is better", length(e), length(goodEdge(d)))
	}
	if h := HoleFor(d); c.Rivet.Hole > h.Most {
		say(Warn, "a hole of %s is large for a rivet of %s, which may set loose in it: drill %s to %s", length(c.Rivet.Hole), length(d), length(h.Least), length(h.Most))
	}
}

// checkSpacing compares a course with an earlier one that runs beside it.
func (s *sheet) checkSpacing(c, o *course, say say) {
	d := max(c.Rivet.Diameter, o.Rivet.Diameter)
	least := leastSpacing(d)
	if !c.parallel(o) {
		return
	}
	gap := c.spacing(o)
	if gap+rounding >= least || gap == 0 && o.row != c.row && !c.over(o) {
		return
	}
	if o.row == c.row {
		say(Refuse, "the rows are %s apart, under 2.5 diameters: give a spacing of %s or more", length(gap), length(least))
	} else {
		say(Refuse, "the row is %s from %s, under 2.5 diameters: move it to %s or more", length(gap), rowRef(o.row), length(least))
	}
}

// over tells whether two courses on one line overlap by more than their ends.
func (c *course) over(o *course) bool {
	s1, _ := c.line.local(o.line.from)
	s2, _ := c.line.local(o.line.to)
	return min(max(s1, s2), float64(c.line.length))-max(min(s1, s2), 0) > float64(leastPitch(c.Rivet.Diameter))
}

// checkMember sees that holes are on the flat of the member's face.
func (c *course) checkMember(say say) {
	m, d := c.Member, c.Rivet.Diameter
	if m.Face == 0 {
		return
	}
	off := max(c.offset, -c.offset)
	edge, hole := m.Face/2-off, (c.Rivet.hole()+1)/2
	switch {
	case edge < leastEdge(d):
		say(Refuse, "the row is %s from the edge of its member, under 1.5 diameters: give %s, better %s", length(edge), length(leastEdge(d)), length(goodEdge(d)))
	case edge < goodEdge(d):
		say(Warn, "the row is %s from the edge of its member, under 2 diameters: %s is better", length(edge), length(goodEdge(d)))
	}
	switch {
	case off+hole > m.flat():
		say(Refuse, "a hole of %s, %s from the member's centre line, runs into its side wall or corner, as the face is flat to %s: move the row to the centre or take a smaller rivet", length(c.Rivet.hole()), length(off), length(m.flat()))
	case off+blindHead(d) > m.flat():
		say(Warn, "the blind heads, some %s wide, touch the member's side wall or corner, as its face is flat to %s from the centre line: move the row to the centre or take a smaller rivet", length(2*blindHead(d)), length(m.flat()))
	}
}

// checkEmpty says why a course has no hole.
func (s *sheet) checkEmpty(c *course, say say) {
	if c.second {
		say(Warn, "no hole is laid, as the first has no two with room between them")
		return
	}
	d, near, where := c.Rivet.Diameter, int64(math.MaxInt64), cause{}
	middle := c.line.at(c.line.length / 2)
	s.contours(func(k cause, o geom.Outline) {
		if e := o.Distance(middle); e < near {
			near, where = e, k
		}
	})
	switch {
	case s.panel.Contains(middle) == geom.Inside && near < leastEdge(d):
		say(Refuse, "the row runs %s from the edge of %s, under 1.5 diameters: give %s, better %s", length(near), s.name(where), length(leastEdge(d)), length(goodEdge(d)))
	case c.line.length < 2*leastEdge(d):
		say(Refuse, "the row is %s long and has no place for a rivet of %s: give %s or more", length(c.line.length), length(d), length(2*goodEdge(d)))
	default:
		say(Refuse, "no hole can be drilled along the row, because of %s: move or shorten it, or take it out", s.names(c.blocks, stretch{c.end(), c.line.length - c.end()}))
	}
}

// checkEdges measures from the holes to the contours.
func (s *sheet) checkEdges(c *course, say say) {
	d := c.Rivet.Diameter
	holes := c.laid().Holes
	s.contours(func(k cause, o geom.Outline) {
		near, at := int64(math.MaxInt64), geom.Point{}
		for _, p := range holes {
			if e := o.Distance(p); e < near {
				near, at = e, p
			}
		}
		switch {
		case near+rounding < leastEdge(d):
			say(Refuse, "the hole at %s is %s from the edge of %s, under 1.5 diameters: give %s, better %s", at, length(near), s.name(k), length(leastEdge(d)), length(goodEdge(d)))
		case near+rounding < goodEdge(d):
			say(Warn, "the hole at %s is %s from the edge of %s, under 2 diameters: %s is better", at, length(near), s.name(k), length(goodEdge(d)))
		}
	})
}

// contours calls f with each contour of the panel.
func (s *sheet) contours(f func(cause, geom.Outline)) {
	f(cause{outline, 0}, s.panel.Outer)
	for i, o := range s.panel.Inner {
		f(cause{opening, i}, o)
	}
}

// checkGaps says where a course has no hole for more than its pitch.
func (c *course) checkGaps(s *sheet, say say) {
	pitch := c.pitch()
	if wide := c.laid().Pitch; wide > max(pitch, leastPitch(c.Rivet.Diameter))+rounding {
		say(Note, "the pitch comes to %s, above the %s asked for, as one space more would make it under 3 diameters", length(wide), length(pitch))
	}
	gap := func(from, to int64) {
		for _, g := range s.covered(c, stretch{from, to}) {
			severity := Note
			if g.to-g.from > 2*pitch {
				severity = Warn
			}
			if g.to-g.from > pitch+rounding {
				say(severity, "%s without a hole, from %s to %s along the row, because of %s", length(g.to-g.from), length(g.from), length(g.to), s.names(c.blocks, g))
			}
		}
	}
	if c.second || c.Between {
		return // it has gaps where the row it stands between has them
	}
	at := int64(0)
	for _, r := range c.runs {
		gap(at, r[0])
		at = r[len(r)-1]
	}
	gap(at, c.line.length)
}

// covered is what of a stretch between holes, or from one to an end of the line,
// lies over the panel: past its outline there is nothing to rivet.
func (s *sheet) covered(c *course, gap stretch) []stretch {
	out := func(t int64) bool { return s.panel.Outer.Contains(c.line.at(t)) == geom.Outside }
	var beyond []int64
	for _, t := range append([]int64{0, c.line.length}, c.beyond...) {
		if gap.from <= t && t <= gap.to && out(t) {
			beyond = append(beyond, t)
		}
	}
	if len(beyond) == 0 {
		return []stretch{gap}
	}
	// The outline is passed between a place on this side of it and one on that.
	rim := func(in, past int64) int64 {
		for max(in-past, past-in) > 1 {
			if middle := in + (past-in)/2; out(middle) {
				past = middle
			} else {
				in = middle
			}
		}
		return in
	}
	var parts []stretch
	if !out(gap.from) {
		parts = append(parts, stretch{gap.from, rim(gap.from, slices.Min(beyond))})
	}
	if !out(gap.to) {
		parts = append(parts, stretch{rim(gap.to, slices.Max(beyond)), gap.to})
	}
	return parts
}

// checkHeads finds zones in which something stands up under the skin.
func (s *sheet) checkHeads(c *course, say say) {
	for k, z := range s.keep {
		blocked := slices.ContainsFunc(c.blocks, func(b block) bool { return b.cause == cause{zone, k} })
		if room := c.bond() + c.Packing; blocked && z.Height > room {
			say(Warn, "at %s something stands up %s under the skin, which lies %s above its member: relieve the skin, sink the heads or pack the member", z.Center, length(z.Height), length(room))
		}
	}
}

// names are the causes of blocks that reach into a stretch.
func (s *sheet) names(blocks []block, part stretch) list {
	var seen []cause
	for _, b := range blocks {
		if b.from < part.to && b.to > part.from && !slices.Contains(seen, b.cause) {
			seen = append(seen, b.cause)
		}
	}
	if len(seen) == 0 {
		return list{"its length"}
	}
	var out list
	for i, k := range seen {
		if i == mostNamed {
			return append(out, "and others")
		}
		out = append(out, s.name(k))
	}
	return out
}

// mostNamed is how many causes a finding names.
const mostNamed = 3

func (s *sheet) name(k cause) any {
	switch k.kind {
	case outline:
		return "the panel"
	case opening:
		return named{"opening ", k.index + 1}
	case otherHole:
		return named{"the hole at ", s.panel.Holes[k.index].Center}
	case zone:
		return named{"the zone at ", s.keep[k.index].Center}
	case parting:
		return "a seam"
	case crossing:
		return named{"the crossing with ", rowRef(k.index)}
	}
	return named{"the holes of ", rowRef(k.index)}
}
