package job

import (
	"math"
	"slices"
	"strings"

	"sawbill/internal/dxf"
	"sawbill/internal/length"
	"sawbill/internal/rivet"
	"sawbill/nest2d/geom"
)

// Reading what panels are made like. The tables are read first and put together
// last, when all panels and brackets are known.

// making is all that the tables say of one panel.
type making struct {
	mark     cell // where it is first named
	contours []*contour
	holes    []hole
	rows     []rowDraft
	zones    []rivet.Zone
	seams    []seamDraft
	mirror   cell        // the mark it mirrors
	drawing  *geom.Shape // of a file, its lower left corner at the origin
	drawn    Pos         // where the file is named
	// sound tells that no row of it was refused.
	sound bool
}

// contour is one closed line: the outer edge, or an opening.
type contour struct {
	name   string
	at     Pos
	points []corner
}

// corner is a corner of a contour; radius rounds it, and bulge bends the edge
// that starts there, as one of geom does.
type corner struct {
	geom.Point
	radius int64
	bulge  float64
	at     Pos
}

type hole struct {
	geom.Hole
	at Pos
}

// outerContour is what the tables call the outer edge.
const outerContour = "outer"

// made finds what is made of a panel, or begins it.
func (c record) made() *making {
	r, v := c.t.r, c.cell("mark")
	if v.text == "" {
		r.fault(v.at, "the row has no mark; write that of the panel it belongs to")
		return &making{}
	}
	m := r.makings[v.text]
	if m == nil {
		m = &making{mark: v, sound: true}
		r.makings[v.text] = m
		r.madeMarks = append(r.madeMarks, v.text)
	}
	return m
}

// place reads a coordinate, 0 or more.
func (c record) place(name string, to *int64) bool {
	v := c.cell(name)
	if v.text == "" {
		c.t.r.fault(v.at, "the row has no %s; write where it is, measured from the lower left corner of the panel", name)
		return false
	}
	l, ok := c.t.r.length(v.at, name, v.text, c.reading(name))
	if ok && l < 0 {
		c.t.r.fault(v.at, "%s %s is negative; measure from the lower left corner of the panel", name, quote(v.text))
		return false
	}
	*to = int64(l)
	return ok
}

// radius reads the radius of corners; blank is sharp.
func (c record) radius(to *int64) bool {
	var l length.Length
	fine := c.notNegative("corner", &l)
	*to = int64(l)
	return fine
}

func (r *reader) readOutlines(t *table) {
	for _, row := range t.rows {
		m := row.made()
		if v := row.cell("mirror"); v.text != "" {
			m.mirror = v
			continue
		}
		if row.cell("file").text != "" {
			if !row.drawing(m) {
				m.sound = false
			}
			continue
		}
		p := corner{at: row.line.at}
		fine := row.place("x", &p.X)
		fine = row.place("y", &p.Y) && fine
		if fine = row.radius(&p.radius) && fine; !fine {
			m.sound = false
			continue
		}
		if r.formed++; r.formed == mostFormed {
			r.fault(row.line.at, "the tables have more than %d corners and rows; check them", mostFormed)
		}
		if r.formed >= mostFormed {
			m.sound = false
			return
		}
		name := row.cell("contour").text
		if name == "" {
			name = outerContour
		}
		i := slices.IndexFunc(m.contours, func(c *contour) bool { return fold(c.name) == fold(name) })
		if i < 0 {
			i = len(m.contours)
			m.contours = append(m.contours, &contour{name: name, at: row.line.at})
		}
		m.contours[i].points = append(m.contours[i].points, p)
	}
}

func (r *reader) readOpenings(t *table) {
	for _, row := range t.rows {
		m := row.made()
		if !row.opening(m) {
			m.sound = false
		}
	}
}

// opening adds a round hole, or a rectangle whose lower left corner is given.
func (c record) opening(m *making) bool {
	var at corner
	fine := c.place("x", &at.X)
	fine = c.place("y", &at.Y) && fine
	var long, wide, diameter length.Length
	if v := c.cell("diameter"); v.text != "" {
		if other := c.cell("length"); other.text != "" {
			c.t.r.fault(other.at, "the opening has a diameter and a length; leave one of them empty")
			return false
		}
		fine = c.positive("diameter", &diameter) && fine
		m.holes = append(m.holes, hole{geom.Hole{Center: at.Point, Diameter: int64(diameter)}, c.line.at})
		return fine
	}
	fine = c.positive("length", &long) && fine
	fine = c.positive("width", &wide) && fine
	if fine = c.radius(&at.radius) && fine; !fine {
		return false
	}
	l, w := int64(long), int64(wide)
	o := &contour{at: c.line.at}
	for _, by := range []geom.Point{{}, {X: l}, {X: l, Y: w}, {Y: w}} {
		o.points = append(o.points, corner{Point: geom.Point{X: at.X + by.X, Y: at.Y + by.Y}, radius: at.radius, at: c.line.at})
	}
	m.contours = append(m.contours, o)
	return true
}

// outline is the contour with its corners rounded.
func (r *reader) outline(c *contour) (geom.Outline, bool) {
	o, err := rounded(c.points)
	if err == nil {
		return o, true
	}
	at := c.at
	if f, ok := err.(cornerFault); ok {
		at = f.corner.at
	}
	r.fault(at, "%s", geom.Told(err, r.units))
	return nil, false
}

// finishForms makes the panels that the tables say more of. A panel that
// mirrors another comes after all others.
func (r *reader) finishForms() {
	for _, mirrored := range []bool{false, true} {
		for _, mark := range r.madeMarks {
			m := r.makings[mark]
			if (m.mirror.text != "") != mirrored {
				continue
			}
			p := r.panelOf(m.mark)
			switch {
			case p == nil || !m.sound:
			case mirrored:
				r.mirror(p, m)
			default:
				r.form(p, m)
			}
		}
	}
	r.finishShared()
	r.partPanels()
	rivets := int64(0)
	for _, joint := range r.job.Riveted()[len(r.job.Joints):] {
		if rivets += joint.Quantity * joint.Rivets; rivets > mostCopies {
			r.fault(joint.Pos, "the rows of rivets come to more than %d rivets; check quantities and pitches", mostCopies)
			return
		}
	}
	r.bounding()
}

// panelOf finds the panel that a cell names.
func (r *reader) panelOf(c cell) *Panel {
	var marks []string
	for i := range r.job.Panels {
		if r.job.Panels[i].Mark == c.text {
			return &r.job.Panels[i]
		}
		marks = append(marks, r.job.Panels[i].Mark)
	}
	if r.unreadTables["panels"] || r.unreadTables["brackets"] || r.unreadTables["joints"] {
		return nil // it may stand in a row that is explained
	}
	if slices.ContainsFunc(r.job.Brackets, func(b Bracket) bool { return b.Cut && b.Kind == c.text }) {
		return nil // of which none is made, as has been said
	}
	advice := "write the mark of a panel"
	if near := nearest(c.text, marks); near != "" {
		advice = "the nearest is " + quote(near)
	}
	r.fault(c.at, "there is no panel %s; %s", quote(c.text), advice)
	return nil
}

// slight is how far an outline may miss the size in the list of panels, which then
// is taken from the outline: drawings are rounded.
const slight = length.Millimetre / 100

func (r *reader) form(p *Panel, m *making) {
	f := &Form{}
	places := map[geom.Contour]Pos{{Kind: geom.OuterContour}: m.mark.at}
	for _, c := range m.contours {
		o, ok := r.outline(c)
		if !ok {
			return
		}
		if c.name == outerContour {
			f.Outline, f.corners = o, c.points
			places[geom.Contour{Kind: geom.OuterContour}] = c.at
			continue
		}
		places[geom.Contour{Kind: geom.InnerContour, Index: len(f.Openings)}] = c.at
		f.Openings = append(f.Openings, o.Reverse())
	}
	if d := m.drawing; d != nil {
		if len(f.Outline) > 0 {
			r.fault(places[geom.Contour{Kind: geom.OuterContour}], "%s has an outline here and one in a drawing; take one of them out", quote(p.Mark))
			return
		}
		places[geom.Contour{Kind: geom.OuterContour}] = m.drawn
		f.Outline, f.corners, f.Holes = d.Outer, cornersOf(d.Outer), d.Holes
		f.Openings = append(slices.Clip(f.Openings), d.Inner...)
	}
	for _, h := range m.holes {
		places[geom.Contour{Kind: geom.HoleContour, Index: len(f.Holes)}] = h.at
		f.Holes = append(f.Holes, h.Hole)
	}
	if len(f.Outline) > 0 && !r.extents(p, f.Outline, m.drawing != nil, places[geom.Contour{Kind: geom.OuterContour}]) {
		return
	}
	if f.Outline.Equal(geom.Rectangle(int64(p.Length), int64(p.Width)).Outer) {
		f.Outline = nil
	}
	f.Clear = m.zones
	if fault, ok := f.bare(p).Simple().(*geom.Fault); ok {
		at := places[fault.First.Contour]
		if second, known := places[fault.Second.Contour]; known && fault.Second.Contour.Kind != geom.OuterContour {
			at = second
		}
		r.fault(at, "%s cannot be cut: %s", quote(p.Mark), fault.In(r.units))
		return
	}
	point := func(at geom.Point) string { return r.about(length.Length(at.X)) + "; " + r.about(length.Length(at.Y)) }
	for _, d := range m.rows {
		r.job.onMember(&d.RivetRow)
		if err := f.findSide(p, &d.RivetRow, point); err != nil {
			r.fault(d.at, "%v", err)
			return
		}
		f.Rows = append(f.Rows, d.RivetRow)
	}
	if !r.seamed(p, f, m) {
		return
	}
	p.Form = f
	if r.tooMany(p, m) || !r.told(p, m, f.lay(p)) {
		return
	}
	if err := f.Shape.Simple(); err != nil {
		r.fault(m.mark.at, "%s cannot be cut with its rows of rivets: %s", quote(p.Mark), geom.Told(err, r.units))
		return
	}
	for i, v := range f.Rows {
		r.rivetFor(p, v, m.rows[i].at)
	}
	if material := r.job.Materials[p.Material]; r.job.Processes[material.Process].Kind == Beam {
		for _, text := range dxf.Check(f.Shape, int64(material.Section.Thickness), r.about) {
			r.remark(m.mark.at, "%s: %s", quote(p.Mark), text)
		}
	}
}

// extents holds an outline, drawn in a file or not, to the size of its panel.
func (r *reader) extents(p *Panel, o geom.Outline, drawn bool, at Pos) bool {
	b := o.Bounds()
	if b.Min != (geom.Point{}) {
		r.fault(at, "the outline of %s begins at %s, %s; measure it from the lower left corner of the panel, so that its least x and its least y are 0",
			quote(p.Mark), r.print(length.Length(b.Min.X)), r.print(length.Length(b.Min.Y)))
		return false
	}
	long, wide := length.Length(b.Length()), length.Length(b.Width())
	if max(long-p.Length, p.Length-long, wide-p.Width, p.Width-wide) > slight {
		advice := "correct one of them"
		if drawn {
			advice += otherUnit(p, long, wide)
		}
		r.fault(at, "the outline of %s is %s x %s over all and the list of panels says %s x %s; %s",
			quote(p.Mark), r.print(long), r.print(wide), r.print(p.Length), r.print(p.Width), advice)
		return false
	}
	p.Length, p.Width = long, wide
	return true
}

// otherUnit says that a drawing is of the size of its panel if its unit is
// another, or nothing.
func otherUnit(p *Panel, long, wide length.Length) string {
	const near = 0.005 // the rounding of a drawing or of the list
	is := func(factor float64) bool {
		fits := func(drawn, listed length.Length) bool {
			return math.Abs(float64(drawn)*factor-float64(listed)) <= near*float64(listed)
		}
		return fits(long, p.Length) && fits(wide, p.Width)
	}
	switch {
	case is(25.4):
		return `, or write in under unit if the drawing is in inches`
	case is(1 / 25.4):
		return `, or write mm under unit if the drawing is in millimetres`
	case is(10):
		return `, or write cm under unit if the drawing is in centimetres`
	case is(1000):
		return `, or write m under unit if the drawing is in metres`
	}
	return ""
}

// bounding remarks on a panel of a form that is bought as its rectangle, where
// that costs much.
func (r *reader) bounding() {
	var all []string
	var lost, whole float64
	for _, p := range r.job.Panels {
		if p.Form == nil || len(p.Form.Outline) == 0 {
			continue
		}
		rectangle := float64(p.Length) * float64(p.Width)
		lost += float64(p.Quantity) * (rectangle - p.Form.Outline.Area())
		whole += float64(p.Quantity) * rectangle
		all = append(all, p.Mark)
	}
	if len(all) == 0 {
		return
	}
	side, unit := float64(length.Metre), "m²"
	if r.job.Unit.Imperial() {
		side, unit = float64(length.Foot), "ft²"
	}
	square := float64(side * side)
	r.remark(Pos{File: r.doc.text.file}, "the outlined panels (%s) are laid out as the rectangles around them: %.2f %s of %.2f %[3]s lies beside their outlines",
		strings.Join(all, ", "), lost/square, unit, whole/square)
}
