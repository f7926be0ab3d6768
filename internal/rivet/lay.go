package rivet

import (
	"math"
	"slices"

	"sawbill/nest2d/geom"
)

// Lay lays the holes of the rows in the panel, clear of the zones, and says what
// is wrong with them. A row that cannot be laid is not among those laid and has
// a finding that refuses it; others may be refused as laid. Findings come in
// the order of rows. Rows that cross keep off the crossing, both alike; where
// holes of rows would else be too near each other, the later row gives way. The
// panel is not changed: Drilled adds the holes.
//
// O(h·(e + h)) for h holes and e edges of the panel.
func Lay(panel geom.Shape, rows []Row, keep []Zone) ([]Laid, []Finding) {
	for _, z := range keep {
		if z.Radius < 0 || far(z.Center, z.Radius) {
			return nil, []Finding{finding(Refuse, -1, "a zone of radius %s at %s is out of range: give a radius of 0 or more, and points of the panel", length(z.Radius), z.Center)}
		}
	}
	s, err := newSheet(panel, keep)
	if err != nil {
		return nil, []Finding{finding(Refuse, -1, "%s", err)}
	}
	for i, r := range rows {
		if faults := r.faults(i); len(faults) > 0 {
			s.findings = append(s.findings, faults...)
			continue
		}
		l := lineOf(r.From, r.To)
		s.courses = append(s.courses, &course{row: i, Row: r, line: l, offset: r.Offset})
		if r.Second != nil {
			s.courses = append(s.courses, &course{row: i, Row: r, second: true, line: l.beside(r.Second.Spacing), offset: r.Offset + r.Second.Spacing})
		}
	}
	for i := range s.courses {
		s.lay(i)
	}
	var laid []Laid
	for i, c := range s.courses {
		s.check(i)
		if len(c.runs) > 0 {
			laid = append(laid, c.laid())
		}
	}
	slices.SortStableFunc(s.findings, func(a, b Finding) int { return a.Row - b.Row })
	return laid, s.findings
}

// Drilled is the panel with the holes of rows that were laid.
func Drilled(panel geom.Shape, rows []Row, laid []Laid) geom.Shape {
	panel.Holes = slices.Clone(panel.Holes)
	for _, l := range laid {
		for _, p := range l.Holes {
			panel.Holes = append(panel.Holes, geom.Hole{Center: p, Diameter: rows[l.Row].Rivet.hole()})
		}
	}
	return panel
}

// A course is one line of holes: a row, or the second one beside it.
type course struct {
	Row
	row    int
	second bool
	line   line
	offset int64 // from the member's centre line
	blocks []block
	beyond []int64 // places past the panel's outline, one for each stretch there
	runs   []run
}

func (c *course) laid() Laid {
	l := Laid{Row: c.row, Second: c.second, Play: c.play(c.offset)}
	for _, r := range c.runs {
		for i, t := range r {
			l.Along = append(l.Along, t)
			l.Holes = append(l.Holes, c.line.at(t))
			if i > 0 {
				l.Pitch = max(l.Pitch, t-r[i-1])
			}
		}
	}
	return l
}

// A sheet is a panel with what is laid in it.
type sheet struct {
	panel geom.Shape
	// rims are the contours with arcs as chords, on the safe side of them.
	rims     [][]geom.Point
	keep     []Zone
	courses  []*course
	findings []Finding
}

func newSheet(panel geom.Shape, keep []Zone) (*sheet, error) {
	if err := panel.Simple(); err != nil {
		return nil, err
	}
	s := &sheet{panel: panel, keep: keep}
	for i := -1; i < len(panel.Inner); i++ {
		o, side := panel.Outer, geom.Inward
		if i >= 0 {
			o, side = panel.Inner[i], geom.Outward
		}
		rim, err := o.Flatten(geom.LeastTolerance, side)
		if err != nil {
			return nil, err
		}
		s.rims = append(s.rims, rim)
	}
	return s, nil
}

// lay finds the holes of a course, those before it having theirs.
func (s *sheet) lay(i int) {
	c := s.courses[i]
	s.block(i)
	if c.second {
		s.inside(c, stretch{0, c.line.length})
		c.runs = c.kept(between(s.courses[i-1].runs))
		return
	}
	end := max(c.end(), leastEdge(c.Rivet.Diameter))
	part := stretch{end, c.line.length - end}
	c.runs = equal(s.inside(c, part), c.blocks, max(c.pitch(), leastPitch(c.Rivet.Diameter)), leastPitch(c.Rivet.Diameter))
	if c.Between {
		c.runs = c.kept(between(c.runs))
	}
}

// between are the middles of the spaces of runs.
func between(runs []run) []run {
	var out []run
	for _, r := range runs {
		var m run
		for i := 1; i < len(r); i++ {
			m = append(m, r[i-1]+(r[i]-r[i-1])/2)
		}
		out = append(out, m)
	}
	return out
}

// kept are the runs without what is not to be drilled, parted there.
func (c *course) kept(runs []run) []run {
	var out []run
	for _, r := range runs {
		var part run
		for _, t := range r {
			if clear(t, c.blocks) {
				part = append(part, t)
			} else if len(part) > 0 {
				out, part = append(out, part), nil
			}
		}
		if len(part) > 0 {
			out = append(out, part)
		}
	}
	return out
}

// inside are the free stretches of a part of the course's line. What lies
// outside the panel joins the blocks.
func (s *sheet) inside(c *course, part stretch) []stretch {
	var in []stretch
	for _, f := range free(part, c.blocks) {
		if middle := c.line.at(f.from + (f.to-f.from)/2); s.panel.Contains(middle) == geom.Inside {
			in = append(in, f)
		} else {
			why := s.void(middle)
			c.blocks = append(c.blocks, block{f.from - 1, f.to + 1, why})
			if why.kind == outline {
				c.beyond = append(c.beyond, f.from+(f.to-f.from)/2)
			}
		}
	}
	sorted(c.blocks)
	return in
}

// void is why there is no material at a point: the opening that it lies in, or
// the outline.
func (s *sheet) void(p geom.Point) cause {
	for i, o := range s.panel.Inner {
		if o.Contains(p) != geom.Outside {
			return cause{opening, i}
		}
	}
	return cause{outline, 0}
}

// block finds what of a course's line is not to be drilled.
func (s *sheet) block(i int) {
	c := s.courses[i]
	d, hole := c.Rivet.Diameter, c.Rivet.hole()
	add := func(b block, ok bool) {
		if ok {
			c.blocks = append(c.blocks, b)
		}
	}
	for k := range s.rims {
		c.blocks = append(c.blocks, s.rim(c, k)...)
	}
	for k, h := range s.panel.Holes {
		add(c.line.disc(h.Center, max(goodEdge(d)+(h.Diameter+1)/2, leastPitch(d)), cause{otherHole, k}))
	}
	for k, z := range s.keep {
		add(c.line.disc(z.Center, z.Radius+(hole+1)/2, cause{zone, k}))
	}
	for _, g := range c.Gaps {
		c.blocks = append(c.blocks, block{g[0], g[1], cause{parting, 0}})
	}
	for k, o := range s.courses {
		if o.row == c.row {
			continue
		}
		add(c.crossed(o))
		if k < i && !(c.parallel(o) && c.spacing(o) >= leastSpacing(max(d, o.Rivet.Diameter))) {
			for _, p := range o.laid().Holes {
				add(c.line.disc(p, leastPitch(max(d, o.Rivet.Diameter)), cause{otherRow, o.row}))
			}
		}
	}
	sorted(c.blocks)
}

// rim is what a contour takes of a line: all nearer than 2 D, or, where the row
// runs along it in the material at 1.5 to 2 D for more than a pitch, all nearer
// than 1.5 D.
func (s *sheet) rim(c *course, k int) []block {
	why := cause{opening, k - 1}
	if k == 0 {
		why = cause{outline, 0}
	}
	near := func(r int64) (out []block) {
		rim := s.rims[k]
		for i, p := range rim {
			if b, ok := c.line.edge(p, rim[(i+1)%len(rim)], r, why); ok {
				out = append(out, b)
			}
		}
		return joined(sorted(out))
	}
	good, least := near(goodEdge(c.Rivet.Diameter)), near(leastEdge(c.Rivet.Diameter))
	beside := int64(0)
	for _, b := range good {
		for _, f := range free(stretch{b.from, b.to}, least) {
			if s.panel.Contains(c.line.at(f.from+(f.to-f.from)/2)) == geom.Inside {
				beside += f.to - f.from
			}
		}
	}
	if beside > c.pitch() {
		return least
	}
	return good
}

// joined are sorted blocks of one cause with those that overlap made one.
func joined(blocks []block) []block {
	out := blocks[:0]
	for _, b := range blocks {
		if n := len(out); n > 0 && b.from < out[n-1].to {
			out[n-1].to = max(out[n-1].to, b.to)
		} else {
			out = append(out, b)
		}
	}
	return out
}

// slight is the sine of an angle, some 6°, below which rows count as parallel.
const slight = 0.1

func (c *course) sine(o *course) float64 {
	return math.Abs(float64(c.line.ux*o.line.uy) - float64(c.line.uy*o.line.ux))
}

func (c *course) parallel(o *course) bool { return c.sine(o) < slight }

// spacing is the least distance between the lines of two courses as far as they
// run beside each other; the largest number where they do not.
func (c *course) spacing(o *course) int64 {
	s1, o1 := c.line.local(o.line.from)
	s2, o2 := c.line.local(o.line.to)
	if max(s1, s2) < 0 || min(s1, s2) > float64(c.line.length) {
		return math.MaxInt64
	}
	if float64(o1*o2) < 0 {
		return 0
	}
	return int64(math.Round(min(math.Abs(o1), math.Abs(o2))))
}

// crossed is what a course keeps off another that it crosses: its holes are a
// pitch from those beyond the crossing, and 2 D off the other's member.
func (c *course) crossed(o *course) (block, bool) {
	sine := c.sine(o)
	s1, o1 := c.line.local(o.line.from)
	s2, o2 := c.line.local(o.line.to)
	if sine < slight || float64(o1*o2) > 0 {
		return block{}, false
	}
	at := s1 + float64((s2-s1)*(o1/(o1-o2)))
	if at < 0 || at > float64(c.line.length) {
		return block{}, false
	}
	// With holes at r from the crossing on both lines, those on its near sides
	// are 2 r sin(θ/2) apart, θ the angle of the lines up to a right one.
	half := math.Sqrt((1 - math.Sqrt(max(0, 1-float64(sine*sine)))) / 2)
	r := float64(leastPitch(max(c.Rivet.Diameter, o.Rivet.Diameter)))/(2*half) - nearly
	from, to := at-r, at+r
	if o.Member.Face > 0 {
		// The other's centre line, seen from its own row, is at −offset.
		_, left := o.line.local(c.line.from)
		slope := float64(o.line.ux*c.line.uy) - float64(o.line.uy*c.line.ux)
		wide := float64(o.Member.Face)/2 + float64(goodEdge(c.Rivet.Diameter)) - nearly
		f, t, _ := linear(slope, left+float64(o.offset), -wide, wide)
		from, to = min(from, f), max(to, t)
	}
	return c.line.span(from, to, cause{crossing, o.row})
}
