package job

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/rivet"
	"sawbill/nest2d/geom"
)

// A panel larger than every sheet is parted along seams. In a lap one part lies
// over the other and one row of rivets goes through both; else the parts end on
// either side of a gap. Rows and holes are laid on the whole panel and then given
// to the parts, so that they meet.

// Seam is one seam of a panel, between two of its parts.
type Seam struct {
	Panel string // the mark that was parted
	Over  string // the part that lies over the other in a lap; else the first
	Under string
	// Lap is how far they lie over each other, or Gap how far apart they are.
	Lap, Gap length.Length
	Length   length.Length
	Quantity int64
}

// Lap is where another part of the panel reaches over or under this one: its edge
// there.
type Lap struct {
	From, To geom.Point
	Other    string
	Over     bool          // this part lies over the other
	Width    length.Length // of the lap
}

// seamDraft is a row of the table of seams.
type seamDraft struct {
	across    bool // along x, so that it parts below from above
	place     int64
	lap, gap  int64
	butt      bool
	firstOver bool // the lower or left part lies over the other
	at        Pos
}

// half is how far the strip reaches to either side in which both parts lie, or none.
func (s seamDraft) half() int64 {
	if s.butt {
		return s.gap / 2
	}
	return s.lap / 2
}

// of is a point's place across the seam.
func (s seamDraft) of(p geom.Point) int64 {
	if s.across {
		return p.Y
	}
	return p.X
}

// mostSeams bounds those of one panel.
const mostSeams = 20

func (r *reader) readSeams(t *table) {
	for _, row := range t.rows {
		m := row.made()
		s := seamDraft{at: row.line.at, across: row.cell("y").text != ""}
		fine := row.seam(&s)
		if m.seams = append(m.seams, s); len(m.seams) == mostSeams+1 {
			r.fault(row.line.at, "%s has more than %d seams; offer a larger sheet", quote(m.mark.text), mostSeams)
		}
		m.sound = m.sound && fine && len(m.seams) <= mostSeams
	}
}

func (c record) seam(s *seamDraft) bool {
	r := c.t.r
	x, y, over := c.cell("x"), c.cell("y"), c.cell("over")
	if (x.text == "") == (y.text == "") {
		r.fault(c.line.at, "the seam needs either x or y; write y for one that runs along the panel's length, x for one across it")
		return false
	}
	name := "x"
	if s.across {
		name = "y"
	}
	fine := c.place(name, &s.place)
	var lap, gap length.Length
	fine = c.notNegative("lap", &lap) && fine
	fine = c.notNegative("gap", &gap) && fine
	s.lap, s.gap, s.butt = int64(lap), int64(gap), c.cell("gap").text != ""
	if s.butt && (c.cell("lap").text != "" || over.text != "") {
		r.fault(c.line.at, "the seam has a gap, so its parts do not lie over each other; leave lap and over empty, or gap")
		return false
	}
	if over.text == "" || !fine {
		return fine
	}
	word, known := edgeWords[fold(over.text)]
	switch {
	case known && s.across && word == "bottom", known && !s.across && word == "left":
		s.firstOver = true
	case known && s.across && word == "top", known && !s.across && word == "right":
	case s.across:
		r.fault(over.at, "over %s does not say which part lies over the other; write top or bottom", quote(over.text))
		return false
	default:
		r.fault(over.at, "over %s does not say which part lies over the other; write left or right", quote(over.text))
		return false
	}
	return true
}

// seamed puts the seams of a panel in order and tells its rows where not to be
// drilled. Rows that run along a seam go through both parts.
func (r *reader) seamed(p *Panel, f *Form, m *making) bool {
	slices.SortStableFunc(m.seams, func(a, b seamDraft) int {
		if a.across != b.across {
			return map[bool]int{true: -1, false: 1}[a.across]
		}
		return cmp.Compare(a.place, b.place)
	})
	fine := true
	for i := range m.seams {
		fine = r.rowsAt(p, f, m, &m.seams[i]) && fine
	}
	for i := 1; i < len(m.seams) && fine; i++ {
		a, b := m.seams[i-1], m.seams[i]
		if a.across == b.across && b.place-b.half() <= a.place+a.half() {
			r.fault(b.at, "the seam runs into the one before it; set them apart")
			fine = false
		}
	}
	for _, s := range m.seams {
		low, high := s.place-s.half(), s.place+s.half()
		meets := func(b geom.Box) bool { return s.of(b.Max) >= low && s.of(b.Min) <= high }
		for i, o := range f.Openings {
			if fine && meets(o.Bounds()) {
				r.fault(s.at, "the seam of %s runs through its opening no. %d; move the one or the other", quote(p.Mark), i+1)
				fine = false
			}
		}
		for _, h := range f.Holes {
			if fine && meets(h.Bounds()) {
				r.fault(s.at, "the seam of %s runs through its hole at %s; %s; move the one or the other", quote(p.Mark), r.about(length.Length(h.Center.X)), r.about(length.Length(h.Center.Y)))
				fine = false
			}
		}
	}
	return fine
}

// rowsAt looks at the rows of a panel from one of its seams.
func (r *reader) rowsAt(p *Panel, f *Form, m *making, s *seamDraft) bool {
	on := -1
	for i := range f.Rows {
		from, to := f.Rows[i].along(f, p)
		if s.of(from) == s.place && s.of(to) == s.place {
			on = i
		}
	}
	var d int64
	switch {
	case on < 0 && !s.butt:
		r.fault(s.at, "no row of rivets runs along the seam of %s, and its parts must be joined on a member; add a row along it, or put the seam where one is", quote(p.Mark))
		return false
	case on >= 0 && s.butt:
		r.fault(s.at, "the row %s runs in the gap of the seam; put a row on either side of it", quote(f.Rows[on].Name))
		return false
	case on >= 0:
		d = f.Rows[on].Row.Rivet.Diameter
		if s.lap == 0 {
			s.lap = 4 * d // 2 D to either edge
		}
		if 2*s.half() < 3*d {
			r.fault(s.at, "a lap of %s leaves under 1.5 diameters to its edges; give %s or more", r.about(length.Length(s.lap)), r.about(length.Length(4*d)))
			return false
		}
		if s.lap < 4*d {
			r.remark(s.at, "a lap of %s leaves under 2 diameters to its edges; %s is better", r.about(length.Length(s.lap)), r.about(length.Length(4*d)))
		}
	}
	if !s.across && !s.butt && !s.firstOver {
		r.remark(s.at, "the right part of %s lies over the left one at this seam; see that it faces away from wind and spray, or write left under over", quote(p.Mark))
	}
	fine := true
	for i := range f.Rows {
		v := &f.Rows[i]
		from, to := v.along(f, p)
		a, b := s.of(from), s.of(to)
		edge := s.half() + 2*v.Row.Rivet.Diameter
		switch {
		case a == s.place && b == s.place:
			if v.Row.Second != nil {
				r.fault(m.rows[i].at, "the row %s runs along a seam and has a second row; give each a row of its own", quote(v.Name))
				fine = false
			}
			v.Through += r.job.Materials[p.Material].Section.Thickness + bondAt(v.Row)
		case max(a, b) < s.place-edge || min(a, b) > s.place+edge:
		case a == b && s.butt:
			r.fault(m.rows[i].at, "the row %s is %s from the seam of %s, under 2 diameters from the edge that its gap leaves; put it %s or more away", quote(v.Name), r.about(length.Length(max(a-s.place, s.place-a))), quote(p.Mark), r.about(length.Length(edge)))
			fine = false
		case a == b:
			r.fault(m.rows[i].at, "the row %s is %s from the seam of %s; put it on the seam, or %s or more away", quote(v.Name), r.about(length.Length(max(a-s.place, s.place-a))), quote(p.Mark), r.about(length.Length(edge)))
			fine = false
		default:
			v.Row.Gaps = append(v.Row.Gaps, gap(from, to, a, b, s.place-edge, s.place+edge))
		}
	}
	return fine
}

// gap is the stretch of a line, from a to b across a seam, that lies between low
// and high.
func gap(from, to geom.Point, a, b, low, high int64) [2]int64 {
	l := float64(rivet.Length(from, to))
	at := func(v int64) float64 { return l * float64(v-a) / float64(b-a) }
	x, y := at(low), at(high)
	return [2]int64{int64(math.Floor(min(x, y))), int64(math.Ceil(max(x, y)))}
}

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

// holds tells whether a point is between the cell's bounds, laps included.
func (c cellOf) holds(p geom.Point) bool {
	for k := range 2 {
		if s := c.before[k]; s != nil && s.of(p) < s.place-s.half() {
			return false
		}
		if s := c.after[k]; s != nil && s.of(p) > s.place+s.half() {
			return false
		}
	}
	return true
}

// bounds is the outline's part in the cell.
func (c cellOf) bounds(o geom.Outline) (geom.Outline, *seamDraft, error) {
	var err error
	for k := range 2 {
		for side, s := range []*seamDraft{c.before[k], c.after[k]} {
			if s == nil {
				continue
			}
			at, beyond := s.place-s.half(), side == 0
			if !beyond {
				at = s.place + s.half()
			}
			if s.butt { // the gap lies between the parts
				at = 2*s.place - at
			}
			if o, err = o.Part(s.across, at, beyond); err != nil {
				return nil, s, err
			}
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
			o, s, err := c.bounds(whole)
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
	for k := range 2 {
		for side, s := range []*seamDraft{c.before[k], c.after[k]} {
			if s != nil && !s.butt && s.of(v.Row.From) == s.place && s.of(v.Row.To) == s.place {
				first := side == 1 // the cell is the one before the seam
				v.Shared = v.Shared || first != s.firstOver
			}
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
	for k := range 2 {
		for side, s := range []*seamDraft{c.before[k], c.after[k]} {
			if s == nil {
				continue
			}
			row, column := c.row, c.column
			step := 2*side - 1
			if k == 0 {
				column += step
			} else {
				row += step
			}
			other := name(row, column)
			first := side == 1
			over := first == s.firstOver
			edge := s.place - s.half() // of the other part
			if side == 0 {
				edge = s.place + s.half()
			}
			from, to := geom.Point{X: edge, Y: b.Min.Y}, geom.Point{X: edge, Y: b.Max.Y}
			if s.across {
				from, to = geom.Point{X: b.Min.X, Y: edge}, geom.Point{X: b.Max.X, Y: edge}
			}
			if !s.butt {
				at := func(p geom.Point) geom.Point { return geom.Point{X: p.X - b.Min.X, Y: p.Y - b.Min.Y} }
				q.Form.Laps = append(q.Form.Laps, Lap{at(from), at(to), other, over, length.Length(s.lap)})
			}
			if side == 0 {
				continue // told by the part before it
			}
			seam := Seam{Panel: p.Mark, Over: q.Mark, Under: other, Lap: length.Length(s.lap), Gap: length.Length(s.gap), Quantity: p.Quantity}
			if !over {
				seam.Over, seam.Under = other, q.Mark
			}
			if s.butt {
				seam.Lap = 0
			}
			seam.Length = length.Length(chord(q.Form.Shape.Outer, s.across, s.place, b.Min))
			r.job.Seams = append(r.job.Seams, seam)
		}
	}
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

// unsealed says when nothing is bought for the seams.
func (r *reader) unsealed() {
	var sum length.Length
	for _, s := range r.job.Seams {
		sum += s.Length * length.Length(s.Quantity)
	}
	if sum == 0 || slices.ContainsFunc(r.job.Consumables, func(c Consumable) bool { return c.Counted == OfSeams }) || r.unreadTables["consumables"] {
		return
	}
	for _, m := range r.madeMarks {
		if seams := r.makings[m].seams; len(seams) > 0 {
			r.remark(seams[0].at, "the seams are %s long together and nothing is bought to seal them; add a consumable by length, of seams", r.about(sum))
			return
		}
	}
}
