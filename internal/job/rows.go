package job

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// Reading the rows of pieces and panels.

func (r *reader) readPieces(t *table) {
	marks := map[string]Pos{}
	for _, row := range t.rows {
		if r.shared && row.kindOf() == sheets {
			continue
		}
		p := Piece{Pos: row.line.at}
		fine := true
		fine = row.mark(&p.Mark, marks) && fine
		fine = row.positive("length", &p.Length) && fine
		fine = row.angle("left", &p.Left) && fine
		fine = row.angle("right", &p.Right) && fine
		fine = row.quantity(&p.Quantity) && fine
		fine = row.fit(&p.LeftLong) && fine
		fine = row.material(&p.Material, false) && fine
		fine = fine && row.faces(&p)
		p.Group, p.Note = row.group(), row.cell("note").text
		if fine && row.cuttable(p) {
			r.job.Pieces = append(r.job.Pieces, p)
		}
	}
}

func (r *reader) readPanels(t *table) {
	marks := map[string]Pos{}
	for _, row := range t.rows {
		if r.shared && row.kindOf() != sheets {
			continue
		}
		p := Panel{Pos: row.line.at}
		fine := true
		fine = row.mark(&p.Mark, marks) && fine
		if t.has("size") {
			fine = row.sides(&p.Length, &p.Width) && fine
		} else {
			fine = row.positive("length", &p.Length) && fine
			fine = row.positive("width", &p.Width) && fine
		}
		fine = row.quantity(&p.Quantity) && fine
		fine = row.material(&p.Material, true) && fine
		p.Group, p.Note = row.group(), row.cell("note").text
		if fine && row.turn(&p) {
			r.job.Panels = append(r.job.Panels, p)
		}
	}
}

// group is what the row says, else the heading it stands under.
func (c record) group() string {
	if text := c.cell("group").text; text != "" {
		return text
	}
	return c.heading
}

// stockKind is what the material of a row is bought in.
type stockKind int

const (
	unknown stockKind = iota
	bars
	sheets
)

// kindOf looks at the material of a row without a word about it.
func (c record) kindOf() stockKind {
	text := c.cell("material").text
	for i, m := range c.t.r.job.Materials {
		if m.Section.Canonical == "" || fold(m.Key) != fold(text) && !slices.Contains(c.t.r.bySection(text), i) {
			continue
		}
		if m.Sheet() {
			return sheets
		}
		return bars
	}
	if thick, err := length.Parse(c.cell("thickness").text, c.reading("thickness")); err == nil {
		if fits, _ := c.withThickness(thick); len(fits) > 0 {
			return sheets
		}
	}
	return unknown
}

// mark reads the mark and finds one that stands twice in its table.
func (c record) mark(to *string, met map[string]Pos) bool {
	m := c.cell("mark")
	if c.t.unmarked {
		c.t.marked++
		*to = fmt.Sprint(rowMarks[c.t.kind.name], c.t.marked)
		return true
	}
	if m.text == "" {
		c.t.r.fault(m.at, "the row has no mark; give it a short name such as P1")
		return false
	}
	*to = m.text
	if first, twice := met[m.text]; twice {
		c.t.r.fault(m.at, "the mark %s stands twice, first in line %d; give this row another mark, or make one row of them with both quantities", quote(m.text), first.Line)
		return false
	}
	met[m.text] = m.at
	return true
}

// positive reads a length above zero.
func (c record) positive(name string, to *length.Length) bool {
	v := c.cell(name)
	if v.text == "" {
		c.t.r.fault(v.at, "the row has no %s; write one such as 1200, 1.2 m or 47 3/8 in", name)
		return false
	}
	l, ok := c.t.r.length(v.at, name, v.text, c.reading(name))
	if ok && l <= 0 {
		c.t.r.fault(v.at, "%s %s is not more than 0; write one such as 1200", name, quote(v.text))
		return false
	}
	*to = l
	return ok
}

// sides reads a size of two lengths.
func (c record) sides(long, wide *length.Length) bool {
	v := c.cell("size")
	if v.text == "" {
		c.t.r.fault(v.at, "the row has no size; write length x width such as 2500 x 1250")
		return false
	}
	sides, ok := c.t.r.sizes(v.at, "size", v.text, c.reading("size"))
	if ok && len(sides) != 2 {
		c.t.r.fault(v.at, "size %s is one length; write length x width such as 2500 x 1250", quote(v.text))
		return false
	}
	if ok {
		*long, *wide = sides[0], sides[1]
	}
	return ok
}

func (c record) angle(name string, to *int64) bool {
	v := c.cell(name)
	milli, exact, err := angle(v.text, c.comma(name))
	if err != nil {
		c.t.r.fault(v.at, "%s: %v", name, err)
		return false
	}
	if !exact {
		c.t.r.remark(v.at, "%s %s was rounded to a thousandth of a degree, %g", name, quote(v.text), float64(milli)/1000)
	}
	*to = milli
	return true
}

// quantity reads the quantity; a table without the column means one of each.
func (c record) quantity(to *int64) bool {
	r := c.t.r
	*to = 1
	v := c.cell("quantity")
	if c.t.has("quantity") {
		if v.text == "" {
			r.fault(v.at, "the row has no quantity; write a whole number from 1 up")
			return false
		}
		n, err := quantity(v.text, c.comma("quantity"))
		if err != nil {
			r.fault(v.at, "quantity: %v", err)
			return false
		}
		*to = n
	}
	if before := r.copies; before <= mostCopies {
		if r.copies += *to; r.copies > mostCopies {
			r.fault(v.at, "the quantities add up to more than %d; check them", mostCopies)
			return false
		}
	}
	return true
}

// material finds the bar or sheet material of a piece or panel.
func (c record) material(to *int, sheet bool) bool {
	r, v := c.t.r, c.cell("material")
	if sheet {
		if found, fine := c.byThickness(to); found {
			return fine
		}
	}
	if v.text == "" {
		only := -1
		for i, m := range r.job.Materials {
			if m.Section.Canonical != "" && m.Sheet() == sheet {
				if only >= 0 {
					r.fault(v.at, "the row has no material and there are several; write one of %s", list(r.keys(sheet)))
					return false
				}
				only = i
			}
		}
		if only < 0 {
			kind, stock := "bar", "SHS 25x25x2"
			if sheet {
				kind, stock = "sheet", "sheet 1.5"
			}
			r.fault(v.at, `the row has no material and the job has none that is a %s; add a [material.NAME] with stock such as "%s"`, kind, stock)
			return false
		}
		*to = only
		return true
	}
	if !c.anyMaterial(to) {
		return false
	}
	m := r.job.Materials[*to]
	switch {
	case m.Section.Canonical == "":
		return false // its stock has been refused
	case m.Sheet() && !sheet:
		r.fault(v.at, "%s is a sheet (%s) and pieces are cut from bars; put the row into panels, or name a bar", quote(v.text), m.Section)
		return false
	case !m.Sheet() && sheet:
		r.fault(v.at, "%s is a bar (%s) and panels are cut from sheets; put the row into pieces, or name a sheet", quote(v.text), m.Section)
		return false
	}
	return true
}

// keys are the material keys of one kind.
func (r *reader) keys(sheet bool) []string {
	var all []string
	for _, m := range r.job.Materials {
		if m.Section.Canonical != "" && m.Sheet() == sheet {
			all = append(all, m.Key)
		}
	}
	return all
}

// anyMaterial finds a material by its key or by its designation.
func (c record) anyMaterial(to *int) bool {
	r, v := c.t.r, c.cell("material")
	if v.text == "" {
		if len(r.job.Materials) == 1 {
			*to = 0
			return true
		}
		if len(r.job.Materials) > 1 {
			r.fault(v.at, "the row has no material; write the name of one under [material.NAME]")
		}
		return false
	}
	var keys []string
	for i, m := range r.job.Materials {
		if fold(m.Key) == fold(v.text) {
			*to = i
			return true
		}
		keys = append(keys, m.Key)
	}
	if len(keys) == 0 {
		return false // said once, for the whole job
	}
	found := r.bySection(v.text)
	switch len(found) {
	case 1:
		*to = found[0]
		return true
	case 0:
		if r.lostHeader {
			return false // it may stand under a header that is explained
		}
		advice := "the materials are " + strings.Join(keys, ", ")
		if near := nearest(v.text, keys); near != "" {
			advice = "the nearest is " + quote(near)
		}
		r.fault(v.at, "there is no material %s; %s", quote(v.text), advice)
		return false
	}
	var names []string
	for _, i := range found {
		names = append(names, r.job.Materials[i].Key)
	}
	r.fault(v.at, "%s fits several materials; write one of %s", quote(v.text), list(names))
	return false
}

// bySection finds the materials a designation may mean: those with its section
// and, when it names an alloy, with that alloy.
func (r *reader) bySection(text string) []int {
	if found, known := r.designated[text]; known {
		return found
	}
	var found []int
	name, s, _ := designation(text, r.job.Unit)
	alloy, err := section.LookupMaterial(name)
	for i, m := range r.job.Materials {
		if s.Canonical == "" || m.Section.Canonical != s.Canonical {
			continue
		}
		// An alloy without its temper fits any temper.
		if err == nil && m.Alloy.Name != alloy.Name && !strings.HasPrefix(m.Alloy.Name, alloy.Name+"-") {
			continue
		}
		found = append(found, i)
	}
	r.designated[text] = found
	return found
}

// fitWords say whether a piece comes finished or is left long for us to trim.
var fitWords = map[string]bool{
	"finished": false, "finish": false, "to size": false, "exact": false, "no": false, "fertig": false, "fertigmass": false, "auf mass": false,
	"fini": false, "finie": false, "a la cote": false, "terminado": false, "terminada": false, "a medida": false,
	"left long": true, "leave long": true, "long": true, "long we trim": true, "we trim": true, "trim": true, "trim to fit": true, "oversize": true, "yes": true,
	"ubermass": true, "mit ubermass": true, "lang": true, "lang lassen": true, "laisse long": true, "laissee longue": true, "a ajuster": true,
	"largo": true, "dejar largo": true, "a ajustar": true,
}

// fit reads whether we trim the piece ourselves.
func (c record) fit(to *bool) bool {
	v := c.cell("fit")
	long, known := fitWords[withoutUmlaut.Replace(fold(v.text))]
	if !known {
		long, known = fitWords[fold(v.text)]
	}
	if v.text != "" && !known {
		c.t.r.fault(v.at, "fit %s does not say how the piece comes; write finished, or left long where you trim it yourselves", quote(v.text))
		return false
	}
	*to = long
	return true
}

// cuttable refuses a piece whose mitres meet before its length is used up.
func (c record) cuttable(p Piece) bool {
	r := c.t.r
	if shortSide(p, r.job.Materials[p.Material].Section) > 0 {
		return true
	}
	v := c.cell("length")
	r.fault(v.at, "length %s is too short for its mitres: nothing is left on the short side of %s; lengths are overall, tip to tip", quote(v.text), r.job.Materials[p.Material].Section)
	return false
}

// turnWords say whether a panel may be turned a quarter. Under a head for the
// grain they say the reverse, whether it is bound.
var turnWords = map[string]bool{
	"yes": true, "y": true, "true": true, "1": true, "x": true, "ja": true, "j": true, "oui": true, "o": true, "si": true, "s": true, "verdadero": true, "wahr": true, "vrai": true,
	"no": false, "n": false, "false": false, "0": false, "nein": false, "non": false, "falso": false, "falsch": false, "faux": false,
}

var grainWords = map[string]bool{ // true: may turn
	"free": true, "any": true, "none": true, "frei": true, "libre": true, "either": true, "keine": true, "sans": true, "sin": true, "90": true,
	"length": false, "along length": false, "lengthwise": false, "long": false, "l": false, "fixed": false, "lange": false, "langs": false, "longueur": false, "largo": false,
}

var grainHead = regexp.MustCompile(`grain|faser|maser|\bfil\b|veta`)

// turn settles whether a panel may be turned.
func (c record) turn(p *Panel) bool {
	r, v := c.t.r, c.cell("turn")
	bound := r.job.Materials[p.Material].Grain
	p.Turn = !bound
	if v.text == "" {
		return true
	}
	word := fold(v.text)
	may, known := turnWords[word]
	if i, ok := c.t.columns["turn"]; ok && known && grainHead.MatchString(fold(c.t.grid.rows[c.t.header].cells[i].text)) {
		may = !may
	}
	if free, ok := grainWords[word]; ok {
		may, known = free, true
	}
	switch {
	case !known:
		r.fault(v.at, "%s does not say whether the panel may be turned; write yes or no", quote(v.text))
		return false
	case may && bound:
		r.fault(v.at, "the panel may be turned and its material has its grain along the length; write no, or take grain out of [material.%s]", r.job.Materials[p.Material].Key)
		return false
	}
	p.Turn = may
	return true
}
