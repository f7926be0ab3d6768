package job

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/rivet"
	"sawbill/nest2d/geom"
)

// partPanels puts the parts of panels with seams in their places.
func (r *reader) partPanels() {
	if !slices.ContainsFunc(r.job.Panels, func(p Panel) bool { return r.seamsOf(p) != nil }) {
		return
	}
	var list []Panel
	for _, p := range r.job.Panels {
		m := r.makings[p.Mark]
		if r.seamsOf(p) == nil || p.Form == nil {
			list = append(list, p)
			continue
		}
		parts, ok := r.parted(p, m)
		if !ok {
			list = append(list, p)
			continue
		}
		for _, q := range parts {
			if slices.ContainsFunc(r.job.Panels, func(o Panel) bool { return o.Mark == q.Mark }) {
				r.fault(m.seams[0].at, "a part of %s would be called %s, which is a mark of its own; rename that", quote(p.Mark), quote(q.Mark))
			}
		}
		list = append(list, parts...)
	}
	r.job.Panels = list
}

// unparted reports whether a panel has seams and was not parted, as has been explained.
func (r *reader) unparted(p Panel) bool {
	m := r.makings[p.Mark]
	return m != nil && len(m.seams) > 0 && (p.Form == nil || p.Form.whole == nil)
}

// isPart tells whether a mark is that of a part of a panel.
func (r *reader) isPart(mark string) bool {
	return slices.ContainsFunc(r.job.Panels, func(p Panel) bool { return p.Mark == mark && p.Form != nil && p.Form.whole != nil })
}

// partsOf are the marks of the parts of a panel that was parted, or nothing.
func (r *reader) partsOf(mark string) []string {
	var parts []string
	for _, p := range r.job.Panels {
		if k := strings.LastIndexByte(p.Mark, '.'); k >= 0 && p.Mark[:k] == mark && p.Form != nil && p.Form.whole != nil {
			parts = append(parts, p.Mark)
		}
	}
	return parts
}

func (r *reader) seamsOf(p Panel) []seamDraft {
	if m := r.makings[p.Mark]; m != nil {
		return m.seams
	}
	return nil
}

// A cellOf is the part of a panel between seams: before[k] is the seam that bounds
// it below (k = 1) or left (k = 0), after that above or right; nil the panel's edge.
type cellOf struct {
	before, after [2]*seamDraft
	column, row   int
}

// bound is a seam that bounds a cell: the cell lies before it, or after.
type bound struct {
	*seamDraft
	before bool
}

// bounds are the seams around a cell.
func (c cellOf) bounds() []bound {
	var list []bound
	for k := range 2 {
		for side, s := range []*seamDraft{c.before[k], c.after[k]} {
			if s != nil {
				list = append(list, bound{s, side == 1})
			}
		}
	}
	return list
}

// reach is how far the strip in which both parts lie goes beyond the seam, seen
// from the cell.
func (s bound) reach() int64 {
	if s.before {
		return s.place + s.half()
	}
	return s.place - s.half()
}

// over tells whether the cell's part lies over the other in a lap.
func (s bound) over() bool { return s.before == s.firstOver }

// holds tells whether a point is between the cell's bounds, laps included.
func (c cellOf) holds(p geom.Point) bool {
	return !slices.ContainsFunc(c.bounds(), func(s bound) bool {
		return s.before && s.of(p) > s.reach() || !s.before && s.of(p) < s.reach()
	})
}

// outline is an outline's part in the cell.
func (c cellOf) outline(o geom.Outline) (geom.Outline, *seamDraft, error) {
	var err error
	for _, s := range c.bounds() {
		at := s.reach()
		if s.butt { // the gap lies between the parts
			at = 2*s.place - at
		}
		if o, err = o.Part(s.across, at, !s.before); err != nil {
			return nil, s.seamDraft, err
		}
	}
	return o, nil, nil
}

// partMark is the mark of a part: they are counted from the bottom and from the left.
func partMark(mark string, row, column, columns int) string {
	return fmt.Sprintf("%s.%d", mark, row*columns+column+1)
}

// parted are the parts of a panel, from the bottom and from the left.
func (r *reader) parted(p Panel, m *making) ([]Panel, bool) {
	f := p.Form
	var across, along []*seamDraft
	for i := range m.seams {
		if s := &m.seams[i]; s.across {
			across = append(across, s)
		} else {
			along = append(along, s)
		}
	}
	at := func(list []*seamDraft, i int) *seamDraft {
		if i < 0 || i >= len(list) {
			return nil
		}
		return list[i]
	}
	var parts []Panel
	name := func(row, column int) string { return partMark(p.Mark, row, column, len(along)+1) }
	whole := f.bare(&p).Outer
	for row := range len(across) + 1 {
		for column := range len(along) + 1 {
			c := cellOf{before: [2]*seamDraft{at(along, column-1), at(across, row-1)}, after: [2]*seamDraft{at(along, column), at(across, row)}, column: column, row: row}
			o, s, err := c.outline(whole)
			if err != nil {
				r.fault(s.at, "the seam cannot part %s: %s", quote(p.Mark), geom.Told(err, r.units))
				return nil, false
			}
			q := p
			q.Mark, q.Form = name(row, column), f.part(c, o)
			b := o.Bounds()
			q.Length, q.Width = length.Length(b.Length()), length.Length(b.Width())
			if f.Hand != "" {
				q.Form.Hand = partMark(f.Hand, row, len(along)-column, len(along)+1)
			}
			if err := q.Form.Shape.Simple(); err != nil {
				r.fault(m.seams[0].at, "%s cannot be cut: %s", quote(q.Mark), geom.Told(err, r.units))
				return nil, false
			}
			r.lap(p, &q, c, b, name)
			parts = append(parts, q)
		}
	}
	return parts, true
}

// part is what of a form is in a cell, whose outline is o, moved to the origin.
func (f *Form) part(c cellOf, o geom.Outline) *Form {
	by := o.Bounds().Min
	at := func(p geom.Point) geom.Point { return geom.Point{X: p.X - by.X, Y: p.Y - by.Y} }
	g := &Form{whole: f}
	o = o.Move(-by.X, -by.Y)
	b := o.Bounds()
	if !o.Equal(geom.Rectangle(b.Length(), b.Width()).Outer) {
		g.Outline = o
	}
	g.Shape.Outer = o
	for _, in := range f.Openings {
		if c.holds(in.Bounds().Min) && c.holds(in.Bounds().Max) {
			g.Openings = append(g.Openings, in.Move(-by.X, -by.Y))
		}
	}
	for _, h := range f.Holes {
		if c.holds(h.Center) {
			g.Holes = append(g.Holes, geom.Hole{Center: at(h.Center), Diameter: h.Diameter})
		}
	}
	for _, z := range f.Clear {
		if c.holds(z.Center) {
			z.Center = at(z.Center)
			g.Clear = append(g.Clear, z)
		}
	}
	g.Shape.Inner, g.Shape.Holes = g.Openings, slices.Clone(g.Holes)
	for _, v := range f.Rows {
		if v = v.in(c, at); len(v.Laid) == 0 {
			continue
		}
		g.Rows = append(g.Rows, v)
		g.Shape = rivet.Drilled(g.Shape, []rivet.Row{v.Row}, rowZero(v.Laid))
	}
	return g
}

// rowZero are laid rows as those of the first.
func rowZero(laid []rivet.Laid) []rivet.Laid {
	laid = slices.Clone(laid)
	for i := range laid {
		laid[i].Row = 0
	}
	return laid
}

// in is what of a row lies in a cell.
func (v RivetRow) in(c cellOf, at func(geom.Point) geom.Point) RivetRow {
	for _, s := range c.bounds() {
		if !s.butt && s.of(v.Row.From) == s.place && s.of(v.Row.To) == s.place {
			v.Shared = v.Shared || !s.over()
		}
	}
	laid := v.Laid
	v.Laid = nil
	for _, l := range laid {
		kept := rivet.Laid{Row: l.Row, Second: l.Second, Play: l.Play}
		last := int64(-1)
		for i, h := range l.Holes {
			if !c.holds(h) {
				continue
			}
			kept.Holes, kept.Along = append(kept.Holes, at(h)), append(kept.Along, l.Along[i])
			if last >= 0 {
				kept.Pitch = max(kept.Pitch, l.Along[i]-last)
			}
			last = l.Along[i]
		}
		if kept.Pitch = min(kept.Pitch, l.Pitch); len(kept.Holes) > 0 {
			v.Laid = append(v.Laid, kept)
		}
	}
	v.Row.From, v.Row.To = at(v.Row.From), at(v.Row.To)
	v.Edge, v.side, v.Row.Gaps = "", 0, nil
	return v
}

// lap notes the seams of a part, each once, and where it lies over or under another.
func (r *reader) lap(p Panel, q *Panel, c cellOf, b geom.Box, name func(row, column int) string) {
	for _, s := range c.bounds() {
		other := name(s.beyond(c))
		if !s.butt {
			// The other part ends as far beyond the seam as this one does.
			edge := 2*s.place - s.reach()
			from, to := geom.Point{X: edge, Y: b.Min.Y}, geom.Point{X: edge, Y: b.Max.Y}
			if s.across {
				from, to = geom.Point{X: b.Min.X, Y: edge}, geom.Point{X: b.Max.X, Y: edge}
			}
			at := func(p geom.Point) geom.Point { return geom.Point{X: p.X - b.Min.X, Y: p.Y - b.Min.Y} }
			q.Form.Laps = append(q.Form.Laps, Lap{at(from), at(to), other, s.over(), length.Length(s.lap)})
		}
		if !s.before {
			continue // told by the part before it
		}
		seam := Seam{Panel: p.Mark, Over: q.Mark, Under: other, Lap: length.Length(s.lap), Gap: length.Length(s.gap), Quantity: p.Quantity}
		if !s.over() {
			seam.Over, seam.Under = other, q.Mark
		}
		if s.butt {
			seam.Lap = 0
		}
		seam.Length = length.Length(chord(q.Form.Shape.Outer, s.across, s.place, b.Min))
		r.job.Seams = append(r.job.Seams, seam)
	}
}

// beyond is the row and column of the cell beyond the seam.
func (s bound) beyond(c cellOf) (row, column int) {
	step := -1
	if s.before {
		step = 1
	}
	if s.across {
		return c.row + step, c.column
	}
	return c.row, c.column + step
}

// chord is how long a part is along the line of its seam.
func chord(o geom.Outline, across bool, place int64, by geom.Point) int64 {
	o = o.Move(by.X, by.Y)
	part, err := o.Part(across, place, false)
	if err != nil { // a gap lies there: the edge of the part itself
		part = o
	}
	low, high := int64(math.MaxInt64), int64(math.MinInt64)
	most := int64(math.MinInt64)
	for _, v := range part {
		p, t := v.Y, v.X
		if !across {
			p, t = v.X, v.Y
		}
		if p > most {
			most, low, high = p, t, t
		}
		if p == most {
			low, high = min(low, t), max(high, t)
		}
	}
	return high - low
}
