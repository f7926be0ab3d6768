package job

import (
	"cmp"
	"math"
	"slices"

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
