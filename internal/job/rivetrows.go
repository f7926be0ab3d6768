package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/rivet"
	"sawbill/nest2d/geom"
)

// Rows of rivets: the line in the panel, the member of the frame behind it, and
// the holes that package rivet lays along it.

// RivetRow is one row of the table of rows.
type RivetRow struct {
	Name string
	// Edge is left, right, top or bottom where the row runs along that side of the
	// panel, Inset from it, or the number of a straight edge of its outline; else
	// "", and the row says from where to where.
	Edge   string
	Inset  length.Length
	Member int // index into Job.Materials
	Place  Place
	Row    rivet.Row
	// Through is what lies between the panel and the member at a seam: the part under
	// it. Shared rows are drilled here and riveted with the part over it.
	Through length.Length
	Shared  bool
	// Laid are its holes, in one line or in two.
	Laid []rivet.Laid
	// Sets are its rivets where it shares some with the rows Met, of other panels or of
	// other copies of its own.
	Sets []Set
	Met  []string
	// SetFor is how many panels there were when Sets were counted; 0: there are none.
	SetFor int64

	side int // of the panel's outline, counted from 1; 0: of the rectangle around it
}

// Rivets is how many are set in it, where copies of its panel differ in the one that
// takes the most.
func (v RivetRow) Rivets() int64 {
	switch {
	case v.Shared:
		return 0
	case v.SetFor > 0:
		return most(v.Sets)
	}
	return v.Holes()
}

// Holes is how many it has.
func (v RivetRow) Holes() int64 {
	n := int64(0)
	for _, l := range v.Laid {
		n += int64(len(l.Holes))
	}
	return n
}

// Grip is the thickness of all that a rivet of the row holds together: the
// panel, what lies between, the adhesive as a rivet clamps it, and the member's wall.
func (j *Job) Grip(p Panel, v RivetRow) length.Length {
	return j.Materials[p.Material].Section.Thickness + j.Materials[v.Member].Section.Thickness + length.Length(v.Row.Packing) + bondAt(v.Row) + v.Through
}

// bondAt is how thick the adhesive of a row is where a rivet clamps it.
func bondAt(v rivet.Row) length.Length {
	if v.Bond == 0 {
		return rivet.DefaultBond
	}
	return length.Length(max(0, v.Bond))
}

// Riveted are the job's joints and, behind them, the rows of rivets of its
// panels as joints of their own: one for each row and as many as there are panels, or,
// where it shares rivets, one for each of its sets. Their marks are the panel's, a blank and the row's name.
func (j *Job) Riveted() []Joint {
	all := slices.Clip(j.Joints)
	for _, p := range j.Panels {
		if p.Form == nil {
			continue
		}
		for _, v := range p.Form.Rows {
			joint := Joint{Mark: p.Mark + " " + v.Name, Bracket: -1, Rivets: v.Rivets(), Diameter: length.Length(v.Row.Rivet.Diameter),
				Grip: j.Grip(p, v), Quantity: p.Quantity, Group: p.Group, Pos: p.Pos}
			sets := v.Sets
			switch {
			case v.SetFor == 0:
			case v.SetFor != p.Quantity: // of other numbers than they were shared among
				joint.Rivets, sets = v.Holes(), nil
			case len(sets) == 0:
				joint.Note = "riveted with " + strings.Join(v.Met, ", ")
			}
			if len(sets) == 0 {
				all = append(all, joint)
			}
			for _, s := range sets {
				set := joint
				set.Rivets, set.Quantity, set.Grip = s.Each, s.Copies, joint.Grip+j.through(s)
				if len(s.Under) > 0 {
					set.Note = "with " + strings.Join(v.Met, ", ")
				}
				all = append(all, set)
			}
		}
	}
	return all
}

// rowDraft is a row that has been read and not laid.
type rowDraft struct {
	RivetRow
	at Pos
}

// mostRivetRows and mostZones bound those of one panel, mostFormed all rows and
// corners with drawnCorners for a drawing, and mostHoles and allHoles the holes of
// the rows of one panel and of all, so that laying them comes to an end.
const (
	mostRivetRows = 200
	mostZones     = 1_000
	mostFormed    = 20_000
	drawnCorners  = 40
	mostHoles     = 10_000
	allHoles      = 50_000
)

func (r *reader) readRows(t *table) {
	for _, row := range t.rows {
		m := row.made()
		d := rowDraft{at: row.line.at}
		if !row.rivetRow(&d.RivetRow, len(m.rows)+1) {
			m.sound = false
			continue
		}
		if m.rows = append(m.rows, d); len(m.rows) == mostRivetRows+1 {
			r.fault(row.line.at, "%s has more than %d rows of rivets; check the table", quote(m.mark.text), mostRivetRows)
		}
		if r.formed++; r.formed == mostFormed {
			r.fault(row.line.at, "the tables have more than %d corners and rows; check them", mostFormed)
		}
		m.sound = m.sound && len(m.rows) <= mostRivetRows && r.formed < mostFormed
	}
}

func (c record) rivetRow(v *RivetRow, number int) bool {
	v.Name = c.cell("name").text
	if v.Name == "" {
		v.Name = fmt.Sprint("row ", number)
	}
	fine := c.onPiece(v)
	fine = c.member(&v.Member) && fine
	fine = c.runs(v) && fine
	var diameter, pitch, end, second, bond, offset length.Length
	fine = c.oneDiameter(&diameter) && fine
	if fine && diameter == 0 {
		c.t.r.fault(c.cell("diameter").at, "the row does not say which rivet; write its diameter")
		fine = false
	}
	fine = c.notNegative("pitch", &pitch) && fine
	fine = c.notNegative("end", &end) && fine
	fine = c.notNegative("bond", &bond) && fine
	fine = c.signed("offset", &offset) && fine
	fine = c.signed("second", &second) && fine
	v.Row.Rivet.Diameter, v.Row.Pitch, v.Row.End, v.Row.Offset, v.Row.Bond = int64(diameter), int64(pitch), int64(end), int64(offset), int64(bond)
	if c.cell("bond").text != "" && bond == 0 {
		v.Row.Bond = -1 // there is none
	}
	if second != 0 {
		v.Row.Second = &rivet.Second{Spacing: int64(second)}
	}
	if b := c.cell("between"); b.text != "" {
		yes, known := turnWords[fold(b.text)]
		if !known {
			c.t.r.fault(b.at, "between %s does not say whether the holes lie half-way; write yes or no", quote(b.text))
			return false
		}
		v.Row.Between = yes
	}
	return fine
}

// member finds the tube behind a row.
func (c record) member(to *int) bool {
	v := c.cell("member")
	if on := c.cell("on"); v.text == "" && on.text != "" { // it is of what the piece is of
		v.at = on.at
		i := slices.IndexFunc(c.t.r.job.Pieces, func(p Piece) bool { return p.Mark == on.text })
		if i < 0 {
			c.t.r.noPiece(on.at, on.text)
			return false
		}
		v.text = c.t.r.job.Materials[c.t.r.job.Pieces[i].Material].Key
	}
	key := -1
	var tubes []string
	for i, m := range c.t.r.job.Materials {
		if m.Section.Canonical != "" && m.Section.IsTube() {
			tubes = append(tubes, m.Key)
		}
		if fold(m.Key) == fold(v.text) && v.text != "" {
			key = i
		}
	}
	switch {
	case key >= 0 && c.t.r.job.Materials[key].Section.Canonical == "":
		return false // its stock has been refused
	case key >= 0 && c.t.r.job.Materials[key].Section.IsTube():
		*to = key
		return true
	case len(tubes) == 0:
		c.t.r.fault(v.at, "member %s is no tube, and the job has no material that is one; rows are riveted to tubes", quote(v.text))
	default:
		c.t.r.fault(v.at, "member %s is no tube of the job; write one of %s", quote(v.text), list(tubes))
	}
	return false
}

var edgeWords = map[string]string{
	"left": "left", "links": "left", "gauche": "left", "izquierda": "left", "right": "right", "rechts": "right", "droite": "right", "derecha": "right",
	"top": "top", "upper": "top", "oben": "top", "haut": "top", "arriba": "top", "bottom": "bottom", "lower": "bottom", "unten": "bottom", "bas": "bottom", "abajo": "bottom",
}

// runs reads where a row runs.
func (c record) runs(v *RivetRow) bool {
	r, edge, from, to := c.t.r, c.cell("edge"), c.cell("from"), c.cell("to")
	switch {
	case edge.text != "" && from.text+to.text != "":
		r.fault(edge.at, "the row has an edge and two points; leave the edge or the points empty")
		return false
	case edge.text == "" && (from.text == "" || to.text == ""):
		r.fault(c.line.at, "the row does not say where it runs; write an edge such as left, or both from and to")
		return false
	case edge.text == "":
		return c.point("from", &v.Row.From) && c.point("to", &v.Row.To)
	}
	var known bool
	if v.Edge, known = edgeWords[fold(edge.text)]; !known {
		n, err := strconv.Atoi(edge.text)
		if err != nil {
			r.fault(edge.at, "%s is no edge; write left, right, top or bottom, or the number of an edge of the outline", quote(edge.text))
			return false
		}
		v.Edge = strconv.Itoa(n)
	}
	if c.cell("inset").text == "" { // the member lies flush with the edge
		v.Inset = r.job.Materials[v.Member].Section.OuterWidth() / 2
		return true
	}
	return c.positive("inset", &v.Inset)
}

// point reads two coordinates with a comma or a semicolon between them.
func (c record) point(name string, to *geom.Point) bool {
	v := c.cell(name)
	parts := strings.Split(v.text, ";")
	if len(parts) == 1 {
		parts = strings.Split(v.text, ",")
	}
	if len(parts) != 2 {
		c.t.r.fault(v.at, "%s %s is not a point; write x and y with a semicolon between, such as \"20; 450\"", name, quote(v.text))
		return false
	}
	for i, to := range []*int64{&to.X, &to.Y} {
		l, ok := c.t.r.length(v.at, name, parts[i], c.reading(name))
		if !ok {
			return false
		}
		*to = int64(l)
	}
	return true
}

// signed reads a length that may be negative; blank is 0.
func (c record) signed(name string, to *length.Length) bool {
	v := c.cell(name)
	if v.text == "" {
		return true
	}
	l, ok := c.t.r.length(v.at, name, v.text, c.reading(name))
	*to = l
	return ok
}

func (r *reader) readZones(t *table) {
	for _, row := range t.rows {
		m := row.made()
		var z rivet.Zone
		var radius, height length.Length
		fine := row.place("x", &z.Center.X)
		fine = row.place("y", &z.Center.Y) && fine
		fine = row.positive("radius", &radius) && fine
		fine = row.notNegative("height", &height) && fine
		z.Radius, z.Height = int64(radius), int64(height)
		if m.zones = append(m.zones, z); len(m.zones) == mostZones+1 {
			r.fault(row.line.at, "%s has more than %d zones; check the table", quote(m.mark.text), mostZones)
		}
		m.sound = m.sound && fine && len(m.zones) <= mostZones
	}
}

// along is the line of a row that runs along an edge of a panel.
func (v RivetRow) along(f *Form, p *Panel) (from, to geom.Point) {
	l, w, in := int64(p.Length), int64(p.Width), int64(v.Inset)
	if sides := f.sides(p); v.side > 0 && v.side <= len(sides) {
		return sides[v.side-1].within(in)
	}
	switch v.Edge {
	case "left":
		return geom.Point{X: in}, geom.Point{X: in, Y: w}
	case "right":
		return geom.Point{X: l - in}, geom.Point{X: l - in, Y: w}
	case "bottom":
		return geom.Point{Y: in}, geom.Point{X: l, Y: in}
	case "top":
		return geom.Point{Y: w - in}, geom.Point{X: l, Y: w - in}
	}
	return v.Row.From, v.Row.To
}

// onMember tells package rivet what lies behind the row.
func (j *Job) onMember(v *RivetRow) {
	m := j.Materials[v.Member]
	v.Row.Member = rivet.Member{Face: int64(m.Section.OuterWidth()), Wall: int64(m.Section.Thickness), Radius: int64(m.Section.OuterRadius(m.Alloy))}
}

// tooMany refuses rows that would have more holes than can be laid in good time.
func (r *reader) tooMany(p *Panel, m *making) bool {
	holes := 0.0
	for _, v := range p.Form.Rows {
		from, to := v.along(p.Form, p)
		pitch := v.Row.Pitch
		if pitch == 0 {
			pitch = rivet.DefaultPitch(v.Row.Rivet.Diameter)
		}
		n := math.Hypot(float64(to.X-from.X), float64(to.Y-from.Y))/float64(max(pitch, v.Row.Rivet.Diameter)) + 1
		if holes += n; v.Row.Second != nil {
			holes += n
		}
	}
	r.holes += min(holes, allHoles)
	switch {
	case holes > mostHoles:
		r.fault(m.mark.at, "the rows of %s would have more than %d holes; check their pitches", quote(p.Mark), mostHoles)
	case r.holes > allHoles:
		r.fault(m.mark.at, "with those of %s the rows would have more than %d holes in all marks; check their pitches", quote(p.Mark), allHoles)
	default:
		return false
	}
	return true
}

// told are the findings about a panel's rows: what is against a rule is a fault,
// what is against good practice a remark.
func (r *reader) told(p *Panel, m *making, findings []rivet.Finding) bool {
	fine := true
	names := rivet.Names{
		Length: r.units,
		Row:    func(i int) string { return quote(p.Form.Rows[i].Name) },
	}
	for _, f := range findings {
		at := m.mark.at
		what := quote(p.Mark)
		if f.Row >= 0 {
			at = m.rows[f.Row].at
			what += ", " + names.Row(f.Row)
		}
		switch f.Severity {
		case rivet.Refuse:
			r.fault(at, "%s: %s", what, f.In(names))
			fine = false
		case rivet.Warn:
			r.remark(at, "%s: %s", what, f.In(names))
		}
	}
	return fine
}

// about is a length to the hundredth of a millimetre or the thousandth of an inch,
// 64ths of an inch as they are.
func (r *reader) about(l length.Length) string {
	fine := length.Millimetre / 100
	if r.job.Unit.Imperial() {
		if l%(length.Inch/64) == 0 {
			return r.print(l)
		}
		fine = length.Inch / 1000
	}
	half := fine / 2
	if l < 0 {
		half = -half
	}
	return r.print((l + half) / fine * fine)
}

// units is the same for lengths of package geom.
func (r *reader) units(units int64) string { return r.about(length.Length(units)) }

// rivetFor sees that a rivet on sale takes a row.
func (r *reader) rivetFor(p *Panel, v RivetRow, at Pos) bool {
	if len(r.job.Rivets) == 0 || r.unreadTables["rivets"] {
		return true
	}
	grip := r.job.Grip(*p, v)
	if len(r.job.FitRivets(Joint{Diameter: length.Length(v.Row.Rivet.Diameter), Grip: grip})) > 0 {
		return true
	}
	r.fault(at, "no rivet of diameter %s in the table of rivets takes the grip of this row, %s; add one, or correct the row", r.print(length.Length(v.Row.Rivet.Diameter)), r.print(grip))
	return false
}
