package job

import (
	"cmp"
	"slices"
	"strings"

	"sawbill/internal/length"
)

// Joints, the brackets they are made with and the rivets that hold them.
// Brackets cut from stock become pieces or panels of the job, so that they are
// bought and laid out with the rest.

// Bracket is a kind of bracket: cut from a material of the job, or bought.
type Bracket struct {
	Kind string
	// Cut is true when the kind is also the mark of the pieces or panels that
	// are cut from Material; Pack has no meaning then.
	Cut           bool
	Material      int           // index into Job.Materials, or -1 when bought
	Length, Width length.Length // of a cut one; Width 0 for a piece of bar
	Pack          Pack
	Note          string
	Pos           Pos
}

// Rivet is one size of rivet in one kind of box.
type Rivet struct {
	Name             string
	Diameter, Length length.Length
	// GripFrom and GripTo are the least and the most that it can hold together.
	GripFrom, GripTo length.Length
	Pack             Pack
	Note             string
	Pos              Pos
}

// Joint is one row of the list of joints: Quantity alike.
type Joint struct {
	Mark     string
	Bracket  int   // index into Job.Brackets, or -1 for none
	Brackets int64 // at each joint
	Rivets   int64 // at each joint
	// Diameter of the rivets, and Grip, the thickness of all that they hold
	// together, the adhesive between included.
	Diameter, Grip length.Length
	Quantity       int64
	Group, Note    string
	Pos            Pos
}

// FitRivets are the indices of the rivets on sale that suit a joint, the best
// first: of the shortest body whose grip takes the joint, since a body too long
// curls and sets loose; then by the price of one, then in table order.
func (j *Job) FitRivets(joint Joint) []int {
	var fit []int
	for i, r := range j.Rivets {
		if r.Diameter == joint.Diameter && r.GripFrom <= joint.Grip && joint.Grip <= r.GripTo {
			fit = append(fit, i)
		}
	}
	slices.SortStableFunc(fit, func(a, b int) int {
		p, q := j.Rivets[a], j.Rivets[b]
		return cmp.Or(cmp.Compare(p.Length, q.Length), cmp.Compare(p.Pack.Price*q.Pack.Count, q.Pack.Price*p.Pack.Count))
	})
	for i, k := range fit {
		if j.Rivets[k].Length != j.Rivets[fit[0]].Length {
			return fit[:i]
		}
	}
	return fit
}

func (r *reader) readBrackets(t *table) {
	met := map[string]Pos{}
	for _, row := range t.rows {
		b := Bracket{Material: -1, Note: row.cell("note").text, Pos: row.line.at}
		fine := row.distinct("kind", &b.Kind, met)
		material, price := row.cell("material"), row.cell("price")
		switch {
		case material.text != "" && price.text != "":
			r.fault(price.at, "the bracket %s has a material and a price; leave the price empty where it is cut from stock, or the material where it is bought", quote(b.Kind))
			fine = false
		case material.text != "":
			b.Cut = true
			fine = row.anyMaterial(&b.Material) && row.cutSize(&b) && fine
		case price.text == "":
			r.fault(row.line.at, "the bracket %s has neither a material nor a price; write the material and length it is cut to, or the price it is bought at", quote(b.Kind))
			fine = false
		default:
			fine = row.pack(&b.Pack, false) && fine
		}
		if fine {
			r.job.Brackets = append(r.job.Brackets, b)
		}
	}
}

// cutSize reads what a bracket is cut to.
func (c record) cutSize(b *Bracket) bool {
	m := c.t.r.job.Materials[b.Material]
	if m.Section.Canonical == "" {
		return false // its stock has been refused
	}
	fine := c.positive("length", &b.Length)
	wide := c.cell("width")
	switch {
	case m.Sheet():
		return c.positive("width", &b.Width) && fine
	case wide.text != "":
		c.t.r.fault(wide.at, "%s is a bar (%s), so a bracket of it has no width; leave the cell empty", quote(m.Key), m.Section)
		return false
	}
	return fine
}

// distinct reads a name that stands once in its table.
func (c record) distinct(field string, to *string, met map[string]Pos) bool {
	v := c.cell(field)
	*to = v.text
	if v.text == "" {
		c.t.r.fault(v.at, "the row has no %s; give it a short name", field)
		return false
	}
	if first, twice := met[fold(v.text)]; twice {
		c.t.r.fault(v.at, "the %s %s stands twice, first in line %d; rename one, or make one row of them", field, quote(v.text), first.Line)
		return false
	}
	met[fold(v.text)] = v.at
	return true
}

func (r *reader) readRivets(t *table) {
	for _, row := range t.rows {
		v := Rivet{Name: row.cell("name").text, Note: row.cell("note").text, Pos: row.line.at}
		fine := row.positive("diameter", &v.Diameter)
		fine = row.positive("length", &v.Length) && fine
		fine = row.positive("grip-to", &v.GripTo) && fine
		if from := row.cell("grip-from"); from.text != "" {
			l, ok := r.length(from.at, "grip-from", from.text, row.reading("grip-from"))
			v.GripFrom, fine = l, ok && fine
		}
		if fine && (v.GripFrom < 0 || v.GripFrom > v.GripTo || v.GripTo >= v.Length) {
			r.fault(row.cell("grip-to").at, "a rivet %s long cannot have a grip from %s to %s; the grip ascends and ends below the length", r.print(v.Length), r.print(v.GripFrom), r.print(v.GripTo))
			fine = false
		}
		if row.pack(&v.Pack, false) && fine {
			r.job.Rivets = append(r.job.Rivets, v)
		}
	}
}

func (r *reader) readJoints(t *table) {
	marks := map[string]Pos{}
	for _, row := range t.rows {
		j := Joint{Bracket: -1, Group: row.group(), Note: row.cell("note").text, Pos: row.line.at}
		fine := row.mark(&j.Mark, marks)
		fine = row.quantity(&j.Quantity) && fine
		fine = row.bracket(&j) && fine
		fine = row.riveted(&j) && fine
		if fine && j.Bracket < 0 && j.Rivets == 0 && row.cell("bracket").text == "" {
			r.fault(row.line.at, "the joint %s has neither brackets nor rivets; write one of them, or take the row out", quote(j.Mark))
			fine = false
		}
		if fine {
			r.job.Joints = append(r.job.Joints, j)
		}
	}
}

// bracket finds the kind of bracket a joint has and how many.
func (c record) bracket(j *Joint) bool {
	r, v := c.t.r, c.cell("bracket")
	count := c.cell("brackets")
	if v.text == "" {
		if count.text != "" && count.text != "0" {
			r.fault(count.at, "the joint %s has brackets and does not say of which kind; write one under \"bracket\"", quote(j.Mark))
			return false
		}
		return true
	}
	j.Brackets = 1
	if !c.countOf("brackets", &j.Brackets) {
		return false
	}
	var kinds []string
	for i, b := range r.job.Brackets {
		if fold(b.Kind) == fold(v.text) {
			j.Bracket = i
			return true
		}
		kinds = append(kinds, b.Kind)
	}
	switch near := nearest(v.text, kinds); {
	case r.unreadTables["brackets"]:
		return true // the kind may stand in a row that is explained
	case len(kinds) == 0:
		r.fault(v.at, "the joint %s is made with the bracket %s and the job has no table of brackets; add brackets to [tables], with the kind and its material and length, or its price", quote(j.Mark), quote(v.text))
	case near != "":
		r.fault(v.at, "there is no bracket %s; the nearest is %s", quote(v.text), quote(near))
	default:
		r.fault(v.at, "there is no bracket %s; the brackets are %s", quote(v.text), strings.Join(kinds, ", "))
	}
	return false
}

// riveted reads how a joint is riveted and sees that a rivet on sale takes it.
func (c record) riveted(j *Joint) bool {
	r, v := c.t.r, c.cell("rivets")
	if v.text == "" || v.text == "0" {
		return true
	}
	if !c.countOf("rivets", &j.Rivets) || !c.oneDiameter(&j.Diameter) || !c.positive("grip", &j.Grip) {
		return false
	}
	if r.unreadTables["rivets"] || len(r.job.FitRivets(*j)) > 0 {
		return true
	}
	if len(r.job.Rivets) == 0 {
		r.fault(v.at, "the joint %s is riveted and the job has no table of rivets; add rivets to [tables], with diameter, length, grip from, grip to, pack and price", quote(j.Mark))
		return false
	}
	var grips []string
	for _, s := range r.job.Rivets {
		if s.Diameter == j.Diameter {
			grips = append(grips, length.Exact(s.GripFrom, r.job.Unit)+" to "+r.print(s.GripTo))
		}
	}
	if len(grips) == 0 {
		r.fault(c.cell("diameter").at, "no rivet of diameter %s is in the table of rivets; add a row with it", r.print(j.Diameter))
		return false
	}
	r.fault(c.cell("grip").at, "no rivet of diameter %s takes a grip of %s; those in the table take %s, so add a row or correct the grip", r.print(j.Diameter), r.print(j.Grip), strings.Join(grips, ", "))
	return false
}

// oneDiameter reads the diameter; where all rivets have one it need not be said.
func (c record) oneDiameter(to *length.Length) bool {
	if c.cell("diameter").text != "" {
		return c.positive("diameter", to)
	}
	for _, v := range c.t.r.job.Rivets {
		if *to != 0 && v.Diameter != *to {
			c.t.r.fault(c.cell("diameter").at, "the row does not say which rivet and there are several diameters; write one under \"diameter\"")
			return false
		}
		*to = v.Diameter
	}
	return true
}

// finishJoints makes pieces and panels of the brackets that are cut from stock.
func (r *reader) finishJoints() {
	count, group := make([]int64, len(r.job.Brackets)), make([]*string, len(r.job.Brackets))
	rivets := int64(0)
	for i := range r.job.Joints {
		j := &r.job.Joints[i]
		rivets += j.Quantity * j.Rivets
		all := rivets
		if b := j.Bracket; b >= 0 {
			count[b] += j.Quantity * j.Brackets
			all = max(all, count[b])
			if group[b] == nil {
				group[b] = &j.Group
			} else if *group[b] != j.Group {
				group[b] = new(string)
			}
		}
		if all > mostCopies {
			r.fault(j.Pos, "the joints come to more than %d rivets or brackets; check the quantities", mostCopies)
			return
		}
	}
	marks := map[string]bool{}
	for _, p := range r.job.Pieces {
		marks[p.Mark] = true
	}
	for _, p := range r.job.Panels {
		marks[p.Mark] = true
	}
	for i, b := range r.job.Brackets {
		switch {
		case count[i] == 0 && !r.unreadTables["joints"]:
			r.remark(b.Pos, "no joint is made with the bracket %s, so none is cut or bought", quote(b.Kind))
			continue
		case count[i] == 0 || !b.Cut:
			continue
		case marks[b.Kind]:
			r.fault(b.Pos, "the bracket %s has the mark of a piece or panel; rename one of them", quote(b.Kind))
			continue
		}
		if r.copies += count[i]; r.copies > mostCopies {
			r.fault(b.Pos, "with the brackets the quantities add up to more than %d; check them", mostCopies)
			return
		}
		if m := r.job.Materials[b.Material]; m.Sheet() {
			r.job.Panels = append(r.job.Panels, Panel{Mark: b.Kind, Material: b.Material, Length: b.Length, Width: b.Width,
				Turn: !m.Grain, Quantity: count[i], Group: *group[i], Note: b.note(), Pos: b.Pos})
			continue
		}
		r.job.Pieces = append(r.job.Pieces, Piece{Mark: b.Kind, Material: b.Material, Length: b.Length,
			Quantity: count[i], Group: *group[i], Note: b.note(), Pos: b.Pos})
	}
}

func (b Bracket) note() string { return strings.TrimSuffix("bracket, "+b.Note, ", ") }
