package job

import (
	"cmp"
	"math"
	"slices"
	"strconv"

	"sawbill/internal/length"
	"sawbill/internal/rivet"
	"sawbill/nest2d/geom"
)

// Rows of different panels that lie on one tube of the frame: where they say on
// which, they are held against each other. Where several tubes of a mark are
// made, each is taken to have the same rows.

// Place is where on the frame a row lies.
type Place struct {
	On string // mark of a piece of tube; "" where the row does not say
	// Face is 1 to 4, in turn round the tube: seen from outside with the piece's
	// left end on the left, face 2 adjoins face 1 at its upper edge, and so on.
	Face int
	// Start is how far the row's beginning is from the piece's left end. Turned
	// rows run towards that end.
	Start  length.Length
	Turned bool
}

// place reads where a row lies on the frame.
func (c record) onPiece(v *RivetRow) bool {
	r, on := c.t.r, c.cell("on")
	face, start, turned := c.cell("face"), c.cell("start"), c.cell("turned")
	if on.text == "" {
		for _, other := range []cell{face, start, turned} {
			if other.text != "" {
				r.fault(other.at, "%s says where on a piece the row lies and none is named; write its mark under \"on\"", quote(other.text))
				return false
			}
		}
		return true
	}
	v.Place = Place{On: on.text, Face: 1}
	if face.text != "" {
		n, err := strconv.Atoi(face.text)
		if err != nil || n < 1 || n > 4 {
			r.fault(face.at, "face %s is none of a tube's; write 1 to 4, in turn round it", quote(face.text))
			return false
		}
		v.Place.Face = n
	}
	if turned.text != "" {
		yes, known := turnWords[fold(turned.text)]
		if !known {
			r.fault(turned.at, "turned %s does not say whether the row runs towards the piece's left end; write yes or no", quote(turned.text))
			return false
		}
		v.Place.Turned = yes
	}
	return c.signed("start", &v.Place.Start)
}

// onTube is one course of holes seen from its tube.
type onTube struct {
	row      string // what it is called
	at       Pos
	panel    *Panel
	v        *RivetRow
	offset   int64 // from the face's centre line, above 0 towards the next face
	along    []int64
	from, to int64 // the stretch of the row
	holes    []geom.Point
	lines    []int64 // offsets of all courses of the row
}

// finishShared compares rows that lie on the same tube.
func (r *reader) finishShared() {
	tubes, handed := map[string][]onTube{}, map[string][]onTube{}
	var marks []string
	for i := range r.job.Panels {
		p := &r.job.Panels[i]
		m := r.makings[p.Mark]
		if p.Form == nil || m == nil {
			continue
		}
		for k := range p.Form.Rows {
			v := &p.Form.Rows[k]
			on := v.Place.On
			switch {
			case on == "":
			case p.Form.other != nil: // what is wrong with them has been told of the other hand
				handed[on] = append(handed[on], courses(p, v, m.mark.at)...)
			case len(m.rows) == len(p.Form.Rows):
				list, ok := r.coursesOn(p, v, m.rows[k].at)
				if !ok {
					continue
				}
				if len(tubes[on]) == 0 {
					marks = append(marks, on)
				}
				tubes[on] = append(tubes[on], list...)
			}
		}
	}
	compared := 0
	for _, mark := range marks {
		all := tubes[mark]
		for i := range all {
			for k := range i {
				if compared++; compared > mostCompared {
					r.remark(all[i].at, "too many rows lie on the tubes; those from here on are not held against each other")
					return
				}
				r.compare(mark, &all[k], &all[i])
			}
		}
	}
	place := map[*Panel]int{} // in the list
	for i := range r.job.Panels {
		place[&r.job.Panels[i]] = i
	}
	for _, mark := range marks {
		i := slices.IndexFunc(r.job.Pieces, func(q Piece) bool { return q.Mark == mark })
		all := append(tubes[mark], handed[mark]...)
		slices.SortStableFunc(all, func(a, b onTube) int { return cmp.Compare(place[a.panel], place[b.panel]) })
		r.shareRivets(r.job.Pieces[i], all)
	}
}

// mostCompared bounds the pairs of rows that are compared.
const mostCompared = 200_000

// coursesOn are the courses of a row as its tube has them.
func (r *reader) coursesOn(p *Panel, v *RivetRow, at Pos) ([]onTube, bool) {
	i := slices.IndexFunc(r.job.Pieces, func(q Piece) bool { return q.Mark == v.Place.On })
	if i < 0 {
		r.noPiece(at, v.Place.On)
		return nil, false
	}
	q := r.job.Pieces[i]
	if q.Material != v.Member {
		r.fault(at, "%s is of %s, and the row %s says %s is behind it; correct one of them", quote(q.Mark), quote(r.job.Materials[q.Material].Key), quote(v.Name), quote(r.job.Materials[v.Member].Key))
		return nil, false
	}
	list := courses(p, v, at)
	for i := range list {
		if !r.onLength(q, &list[i]) {
			return nil, false
		}
	}
	return list, true
}

// courses are those of a row as its tube has them; of the other hand of a panel, as the
// other hand of the tube has them.
func courses(p *Panel, v *RivetRow, at Pos) []onTube {
	long := length.Length(rivet.Length(v.Row.From, v.Row.To))
	begin, end := v.Place.Start, v.Place.Start+long
	if v.Place.Turned {
		begin, end = v.Place.Start-long, v.Place.Start
	}
	var list []onTube
	var lines []int64
	for _, l := range v.Laid {
		o := onTube{row: p.Mark + " " + v.Name, at: at, panel: p, v: v, offset: v.Row.Offset, from: int64(begin), to: int64(end)}
		if l.Second && v.Row.Second != nil {
			o.offset += v.Row.Second.Spacing
		}
		for _, t := range l.Along {
			if v.Place.Turned {
				t = -t
			}
			o.along = append(o.along, int64(v.Place.Start)+t)
		}
		slices.Sort(o.along)
		if v.Place.Turned != (p.Form.other != nil) {
			o.offset = -o.offset
		}
		o.holes = l.Holes
		list = append(list, o)
		lines = append(lines, o.offset)
	}
	for i := range list {
		list[i].lines = lines
	}
	return list
}

// onLength holds the holes of a course against the ends of its piece.
func (r *reader) onLength(q Piece, o *onTube) bool {
	if len(o.along) == 0 {
		return true
	}
	d := o.v.Row.Rivet.Diameter
	first, last := o.along[0], int64(q.Length)-o.along[len(o.along)-1]
	switch end := min(first, last); {
	case end < 0:
		r.fault(o.at, "%s has holes from %s to %s along %s, which is %s long; correct where the row starts", quote(o.row), r.about(length.Length(first)),
			r.about(length.Length(o.along[len(o.along)-1])), quote(q.Mark), r.print(q.Length))
		return false
	case 2*end < 3*d:
		r.fault(o.at, "%s has a hole %s from the end of %s, under 1.5 diameters; end the row sooner, or correct where it starts", quote(o.row), r.about(length.Length(end)), quote(q.Mark))
		return false
	case end < 2*d:
		r.remark(o.at, "%s has a hole %s from the end of %s, under 2 diameters", quote(o.row), r.about(length.Length(end)), quote(q.Mark))
	}
	return true
}

// noPiece says that a row lies on a piece that is not in the list.
func (r *reader) noPiece(at Pos, mark string) {
	if r.unreadTables["pieces"] {
		return // it may stand in a row that is explained
	}
	var marks []string
	for _, q := range r.job.Pieces {
		marks = append(marks, q.Mark)
	}
	advice := "write the mark of a piece"
	if near := nearest(mark, marks); near != "" {
		advice = "the nearest is " + quote(near)
	}
	r.fault(at, "there is no piece %s for the row to lie on; %s", quote(mark), advice)
}

// edge is how far a skin reaches past its row towards one that is apart from it,
// at its middle hole, as the ends are near the panel's other edges: apart or more
// where it reaches that row.
func (o *onTube) edge(apart int64) int64 {
	if len(o.holes) == 0 {
		return 0
	}
	hole, outer := o.holes[len(o.holes)/2], o.panel.Form.Shape.Outer
	if o.v.Place.Turned {
		apart = -apart
	}
	from, to := o.v.Row.From, o.v.Row.To
	l := math.Hypot(float64(to.X-from.X), float64(to.Y-from.Y))
	covered := func(t int64) bool {
		if apart < 0 {
			t = -t
		}
		left := float64(t) / l
		return outer.Contains(geom.Point{
			X: hole.X - int64(math.Round(left*float64(to.Y-from.Y))),
			Y: hole.Y + int64(math.Round(left*float64(to.X-from.X)))}) != geom.Outside
	}
	most := max(apart, -apart)
	near := outer.Distance(hole)
	const rounding = 4
	if !covered(near + rounding) {
		return near
	}
	if covered(most) {
		return most
	}
	in, out := int64(0), most
	for out-in > 1 {
		if middle := in + (out-in)/2; covered(middle) {
			in = middle
		} else {
			out = middle
		}
	}
	return in
}

// place is where a point of the panel is on the tube, as a row of it lies there.
func (o *onTube) place(q geom.Point) (along, offset int64) {
	from, to := o.v.Row.From, o.v.Row.To
	l := math.Hypot(float64(to.X-from.X), float64(to.Y-from.Y))
	ux, uy := float64(to.X-from.X)/l, float64(to.Y-from.Y)/l
	x, y := float64(q.X-from.X), float64(q.Y-from.Y)
	along, offset = int64(math.Round(float64(x*ux)+float64(y*uy))), o.v.Row.Offset+int64(math.Round(float64(y*ux)-float64(x*uy)))
	if o.v.Place.Turned {
		along, offset = -along, -offset
	}
	return int64(o.v.Place.Start) + along, offset
}

// skin is what rivet.Meeting is to know of one of two, the other that far from it.
func (o *onTube) skin(apart int64) rivet.Skin {
	row := o.v.Row
	row.Offset = o.offset
	return rivet.Skin{Row: row, Edge: o.edge(apart)}
}
