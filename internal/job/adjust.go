package job

import (
	"fmt"
	"maps"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"sawbill/internal/length"
)

// The table of dimensions that may still be changed:
//
//	name,      marks,              less, more, step
//	bay width, "R3, R4, S2 width", 20,   0,    1

var adjustTables = []tableKind{
	{"adjust", []field{
		{name: "name", heads: "name,dimension,measure,what,bezeichnung,mass,abmessung,benennung,nom,cote,dimension nom,nombre,cota,medida"},
		{name: "marks", required: true, heads: "marks,mark,parts,pieces,sides,moves,teile,positionen,bauteile,stucke,reperes,repere,pieces et panneaux,marcas,piezas,partes"},
		{name: "less", unit: true, heads: "less,shorten,shorter,shorter by,shorten by,at most shorter,down,minus,kurzer,weniger,verkurzen,moins,raccourcir,plus court,menos,acortar,mas corto"},
		{name: "more", unit: true, heads: "more,lengthen,longer,longer by,lengthen by,at most longer,up,plus,langer,mehr,verlangern,rallonger,plus long,mas,alargar,mas largo"},
		{name: "step", unit: true, heads: "step,steps,increment,in steps of,schritt,schritte,schrittweite,raster,pas,increments,paso,pasos"},
	}},
}

// adjustMeasures are the fields of that table whose figures may have decimals.
var adjustMeasures = []string{"less", "more", "step"}

// unsided is a dimension whose marks have not been looked up: the lists they
// stand in may come later.
type unsided struct {
	Dimension
	marks cell
	less  cell
}

func (r *reader) readAdjust(t *table) {
	names := map[string]Pos{}
	if len(t.rows) > mostDimensions {
		r.fault(t.rows[mostDimensions].line.at, "there are more than %d dimensions; keep those that may really change", mostDimensions)
		return
	}
	for _, row := range t.rows {
		u := unsided{marks: row.cell("marks"), less: row.cell("less")}
		u.Name, u.Pos = row.cell("name").text, row.line.at
		if u.marks.text == "" {
			r.fault(u.marks.at, "the row names no marks; write what the dimension moves, such as P1, P2, S1 width")
			continue
		}
		if u.Name == "" {
			u.Name = u.marks.text
		}
		fine := true
		if first, twice := names[fold(u.Name)]; twice {
			r.fault(row.cell("name").at, "the dimension %s stands twice, first in line %d; give this row another name", quote(u.Name), first.Line)
			fine = false
		} else {
			names[fold(u.Name)] = row.line.at
		}
		fine = row.notNegative("less", &u.Less) && fine
		fine = row.notNegative("more", &u.More) && fine
		fine = row.step(&u.Step) && fine
		if fine && row.inSteps(u) {
			r.unsided = append(r.unsided, u)
		}
	}
}

// notNegative reads a length of 0 or more; blank is 0.
func (c record) notNegative(name string, to *length.Length) bool {
	v := c.cell(name)
	if v.text == "" {
		return true
	}
	l, ok := c.t.r.length(v.at, name, v.text, c.reading(name))
	if ok && l < 0 {
		c.t.r.fault(v.at, "%s %s is negative; write 0 or more", name, quote(v.text))
		return false
	}
	*to = l
	return ok
}

// step reads the step; blank is 1 mm, or 1/16 in where the job is in inches or feet.
func (c record) step(to *length.Length) bool {
	v := c.cell("step")
	usual := length.Millimetre
	if c.t.r.job.Unit.Imperial() {
		usual = length.Inch / 16
	}
	if v.text == "" {
		*to = usual
		return true
	}
	l, ok := c.t.r.length(v.at, "step", v.text, c.reading("step"))
	if ok && l <= 0 {
		c.t.r.fault(v.at, "step %s is not more than 0; write one such as %s, or leave it empty for that", quote(v.text), c.t.r.print(usual))
		return false
	}
	*to = l
	return ok
}

// inSteps refuses a dimension that cannot move, or in too many steps.
func (c record) inSteps(u unsided) bool {
	r := c.t.r
	far := max(u.Less, u.More)
	switch {
	case far == 0:
		r.fault(c.line.at, "%s may get neither shorter nor longer; write under less or more by how much it may, such as 10", quote(u.Name))
	case u.Step > far:
		r.fault(c.cell("step").at, "the step %s of %s is more than it may move, %s; write a smaller step", r.print(u.Step), quote(u.Name), r.print(far))
	case far/u.Step > mostSteps:
		r.fault(c.line.at, "%s may move by %s, more than %d steps of %s; write a larger step", quote(u.Name), r.print(far), mostSteps, r.print(u.Step))
	default:
		return true
	}
	return false
}

// finishAdjust looks the marks up, once the lists are read.
func (r *reader) finishAdjust() {
	known := marksOf(&r.job)
	for _, u := range r.unsided {
		d := u.Dimension
		fine := true
		for _, item := range markSeparator.Split(u.marks.text, -1) {
			if item = strings.TrimSpace(item); item == "" {
				continue
			}
			s, err := known.side(item)
			switch {
			case err != nil && len(r.partsOf(s.Mark)) > 0:
				err = fmt.Errorf("%s is parted along seams, which lie where its members are, so its size cannot move; take it out", quote(s.Mark))
			case err == nil && s.Of != PieceLength && r.isPart(s.Mark):
				err = fmt.Errorf("%s is a part between seams, which lie where their members are, so its size cannot move; take it out", quote(s.Mark))
			}
			if err == nil && d.moves(s) {
				s.Factor = 1
				err = fmt.Errorf("%s stands twice; keep one, with a factor such as 2x %s", quote(s.Spell()), s.Spell())
			}
			if err != nil {
				r.fault(u.marks.at, "%s: %v", quote(u.Name), err)
				fine = false
				break
			}
			d.Sides = append(d.Sides, s)
		}
		if !fine {
			continue
		}
		if err := r.bothHands(d); err != nil {
			r.fault(u.marks.at, "%s: %v", quote(u.Name), err)
			continue
		}
		if len(d.Sides) == 0 {
			r.fault(u.marks.at, "marks %s names no mark; write what the dimension moves, such as P1, P2, S1 width", quote(u.marks.text))
			continue
		}
		r.job.Dimensions = append(r.job.Dimensions, d)
		if err := r.remains(); err != nil {
			r.fault(u.less.at, "%s: %v", quote(u.Name), err)
			r.job.Dimensions = r.job.Dimensions[:len(r.job.Dimensions)-1]
		}
	}
}

// bothHands refuses a dimension that would move a panel and not its other hand.
func (r *reader) bothHands(d Dimension) error {
	factor := func(mark string, of SideOf) int64 {
		for _, s := range d.Sides {
			if s.Mark == mark && s.Of == of {
				return s.Factor
			}
		}
		return 0
	}
	for _, p := range r.job.Panels {
		if p.Form == nil || p.Form.Hand == "" {
			continue
		}
		for _, of := range []SideOf{PanelLength, PanelWidth} {
			one, other := Side{p.Form.Hand, of, factor(p.Form.Hand, of)}, Side{p.Mark, of, factor(p.Mark, of)}
			if one.Factor == other.Factor {
				continue
			}
			both := max(one.Factor, other.Factor)
			one.Factor, other.Factor = both, both
			return fmt.Errorf("%s is the other hand of %s, so both move alike; write %s, %s", quote(p.Mark), quote(p.Form.Hand), one.Spell(), other.Spell())
		}
	}
	return nil
}

func (d Dimension) moves(s Side) bool {
	for _, t := range d.Sides {
		if t.Mark == s.Mark && t.Of == s.Of {
			return true
		}
	}
	return false
}

var (
	markSeparator = regexp.MustCompile(`[,;\n]|\s\+\s`)
	markFactor    = regexp.MustCompile(`^(\d+)\s*[x×*]\s*(\S.*)$`)
)

// sideWords may stand behind a mark.
var sideWords = map[string]bool{ // true: the width
	"length": false, "lange": false, "laenge": false, "longueur": false, "longitud": false, "largo": false,
	"width": true, "breite": true, "height": true, "hohe": true, "hoehe": true, "largeur": true, "hauteur": true, "ancho": true, "alto": true,
}

// side reads one side of a dimension: a mark, "length" or "width" behind it, a
// factor such as 2x before it. What is a mark as it stands is taken as one.
func (m marks) side(item string) (Side, error) {
	s := Side{Factor: 1}
	var word string
	s.Mark, word = m.bare(item)
	if f := markFactor.FindStringSubmatch(item); f != nil && m[s.Mark] == 0 {
		n, err := strconv.ParseInt(f[1], 10, 64)
		if err != nil || n < 1 || n > mostFactor {
			return s, fmt.Errorf("the factor of %s is not a whole number from 1 to %d; write one such as 2x %s", quote(item), mostFactor, f[2])
		}
		s.Factor = n
		s.Mark, word = m.bare(f[2])
	}
	width := sideWords[fold(word)]
	switch is := m[s.Mark]; {
	case is == 0:
		advice := "write a mark of the pieces or panels"
		if near := nearest(s.Mark, slices.Sorted(maps.Keys(m))); near != "" {
			advice = "the nearest is " + quote(near)
		}
		return s, fmt.Errorf("there is no piece and no panel %s; %s", quote(s.Mark), advice)
	case is == aPiece && width:
		return s, fmt.Errorf("%s is a piece, which only its length can move; write %s", quote(s.Mark), s.Mark)
	case is == aPiece:
		s.Of = PieceLength
	case width:
		s.Of = PanelWidth
	case word == "":
		return s, fmt.Errorf("%s is a panel; write %[2]s length or %[2]s width", quote(s.Mark), s.Mark)
	default:
		s.Of = PanelLength
	}
	return s, nil
}

// bare parts a text into a mark and the name of its side, "" when it has none.
func (m marks) bare(text string) (mark, side string) {
	at := strings.LastIndexAny(text, " \t")
	if m[text] != 0 || at < 0 {
		return text, ""
	}
	if _, known := sideWords[fold(text[at:])]; !known {
		return text, ""
	}
	return strings.TrimSpace(text[:at]), strings.TrimSpace(text[at:])
}

const (
	aPiece = 1 << iota
	aPanel
)

// marks tells what has a mark: a piece, a panel or both.
type marks map[string]int

func marksOf(j *Job) marks {
	m := marks{}
	for _, p := range j.Pieces {
		m[p.Mark] |= aPiece
	}
	for _, p := range j.Panels {
		m[p.Mark] |= aPanel
	}
	return m
}

// remains refuses limits at which nothing is left of a piece or panel, or at
// which it would be longer than anything on earth, when all dimensions move as
// far as they may.
func (r *reader) remains() error {
	j := &r.job
	all := func(steps func(Dimension) int64) *Job {
		var n []int64
		for _, d := range j.Dimensions {
			n = append(n, steps(d))
		}
		return j.Moved(n)
	}
	least := all(func(d Dimension) int64 { return -d.StepsLess() })
	most := all(Dimension.StepsMore)
	fits := func(was, is Panel) bool {
		_, ok := was.Resized(is.Length, is.Width)
		return ok
	}
	gone := func(mark string, was, is length.Length) error {
		return fmt.Errorf("moved as far as it may, it takes %s from %s, which is %s; write a smaller limit under less", r.print(was-is), quote(mark), r.print(was))
	}
	for i, p := range least.Pieces {
		switch {
		case p.Length <= 0:
			return gone(p.Mark, j.Pieces[i].Length, p.Length)
		case p.Length < j.Pieces[i].Length && shortSide(p, j.Materials[p.Material].Section) <= 0:
			return fmt.Errorf("moved as far as it may, it leaves nothing on the short side of %s, between its mitres; write a smaller limit under less", quote(p.Mark))
		case most.Pieces[i].Length > length.Max:
			return fmt.Errorf("moved as far as it may, it makes %s longer than %s; write a smaller limit under more", quote(p.Mark), r.print(length.Max))
		}
	}
	for i, p := range least.Panels {
		was, big := j.Panels[i], most.Panels[i]
		switch {
		case p.Length <= 0:
			return gone(p.Mark+" length", was.Length, p.Length)
		case p.Width <= 0:
			return gone(p.Mark+" width", was.Width, p.Width)
		case max(big.Length, big.Width) > length.Max:
			return fmt.Errorf("moved as far as it may, it makes %s longer than %s; write a smaller limit under more", quote(p.Mark), r.print(length.Max))
		case p.Form != was.Form && !fits(was, p):
			return fmt.Errorf(ofNoSize, quote(p.Mark), r.print(p.Length), r.print(p.Width), "less")
		case big.Form != was.Form && !fits(was, big):
			return fmt.Errorf(ofNoSize, quote(p.Mark), r.print(big.Length), r.print(big.Width), "more")
		}
	}
	return nil
}

// ofNoSize refuses a size that a panel cannot have.
const ofNoSize = "moved as far as it may, it makes %s %s x %s, a size that its outline, openings or rows of rivets do not go with; write a smaller limit under %s, or take this side out"
