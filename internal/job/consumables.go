package job

import (
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"sawbill/internal/length"
)

// What is used up: sealant and tape by length, paint and film by area, drill
// bits by the number of holes.

// Rule is what a consumable is measured by.
type Rule string

// The rules.
const (
	ByLength Rule = "length"
	ByArea   Rule = "area"
	ByCount  Rule = "count"
)

// What ByCount counts; each rivet is one hole.
const (
	OfRivets   = "rivets"
	OfBrackets = "brackets"
	OfJoints   = "joints"
	OfSeams    = "seams" // by length
)

// Consumable is one row of the list of what is used up. Lengths are in base
// units, areas in µm² and volumes in mm·µm², millionths of a mm³, so that inches
// are whole.
type Consumable struct {
	Name string
	By   Rule
	// Of is what is measured, as the table says it: an amount, Stated, or all of
	// Material that is cut (its edges with Edges set), or what Counted names.
	Of       string
	Stated   int64
	Material int // index into Job.Materials, or -1
	Edges    bool
	Counted  string
	// Coats is how many times over, at least 1.
	Coats int64
	// Bead is the section of a bead in µm², 0 for none: then the need is a volume.
	Bead     int64
	BeadText string
	// Waste is what is lost, in percent times 100 of the need.
	Waste int64
	// Content is what one pack holds or does, in the measure of the need. The texts
	// are what the table says.
	Content                   int64
	ContentText, CoverageText string
	Pack                      Pack
	Note                      string
	Pos                       Pos
}

func (r *reader) readConsumables(t *table) {
	if len(t.rows) > mostConsumables {
		r.fault(t.rows[mostConsumables].line.at, "there are more than %d consumables; check the table", mostConsumables)
		return
	}
	for _, row := range t.rows {
		c := Consumable{Name: row.cell("name").text, Material: -1, Coats: 1, Of: row.cell("of").text, BeadText: row.cell("bead").text,
			ContentText: row.cell("content").text, CoverageText: row.cell("coverage").text, Note: row.cell("note").text, Pos: row.line.at}
		fine := true
		if c.Name == "" {
			r.fault(row.cell("name").at, "the row has no name; write what is used up")
			fine = false
		}
		fine = row.rule(&c.By) && fine
		fine = row.countOf("coats", &c.Coats) && fine
		fine = row.share("waste", &c.Waste) && fine
		fine = fine && row.measureOf(&c)
		fine = fine && row.bead(&c)
		fine = fine && row.content(&c)
		if row.pack(&c.Pack, true) && fine {
			r.job.Consumables = append(r.job.Consumables, c)
		}
	}
}

var ruleWords = map[string]Rule{
	"length": ByLength, "lange": ByLength, "longueur": ByLength, "longitud": ByLength, "m": ByLength, "ft": ByLength,
	"area": ByArea, "flache": ByArea, "surface": ByArea, "superficie": ByArea, "m2": ByArea, "ft2": ByArea,
	"count": ByCount, "number": ByCount, "anzahl": ByCount, "nombre": ByCount, "numero": ByCount,
}

func (c record) rule(to *Rule) bool {
	v := c.cell("by")
	rule, ok := ruleWords[fold(v.text)]
	if !ok {
		c.t.r.fault(v.at, "by %s does not say what it is measured by; write length, area or count", quote(v.text))
	}
	*to = rule
	return ok
}

var (
	edgesOf = regexp.MustCompile(`(?i)^(?:the\s+)?edges?\s+(?:of\s+)?(.+)$`)
	allOf   = regexp.MustCompile(`(?i)^(?:all|the)\s+(?:of\s+)?(.+)$`)
)

// countedWords name what can be counted.
var countedWords = map[string]string{
	"rivets": OfRivets, "rivet": OfRivets, "holes": OfRivets, "hole": OfRivets,
	"brackets": OfBrackets, "bracket": OfBrackets, "joints": OfJoints, "joint": OfJoints,
}

// measureOf reads what is measured: a material of the job, or an amount.
func (c record) measureOf(to *Consumable) bool {
	r, v := c.t.r, c.cell("of")
	if v.text == "" {
		r.fault(v.at, "the row does not say what is measured; write an amount such as 48 m or 12 m2, the name of a material, or rivets")
		return false
	}
	if to.By == ByCount {
		if to.Counted = countedWords[fold(v.text)]; to.Counted != "" {
			return true
		}
		n, err := quantity(v.text, c.comma("of"))
		if err != nil {
			r.fault(v.at, "of %s is neither a count nor rivets, brackets or joints; write one of them, or a whole number", quote(v.text))
			return false
		}
		to.Stated = n
		return true
	}
	if seams := fold(v.text); to.By == ByLength && (seams == "seams" || seams == "seam") {
		to.Counted = OfSeams
		return true
	}
	name := v.text
	if m := allOf.FindStringSubmatch(name); m != nil {
		name = m[1]
	}
	if m := edgesOf.FindStringSubmatch(name); m != nil {
		name, to.Edges = m[1], true
	}
	var keys []string
	for i, m := range r.job.Materials {
		if fold(m.Key) == fold(name) {
			to.Material = i
			return c.measurable(to, m)
		}
		keys = append(keys, m.Key)
	}
	if to.Edges || !strings.ContainsAny(name, "0123456789") {
		advice := "write an amount such as 48 m or 12 m2, or one of " + list(keys)
		if near := nearest(name, keys); near != "" {
			advice = "the nearest material is " + quote(near)
		}
		r.fault(v.at, "of %s is no material of the job; %s", quote(v.text), advice)
		return false
	}
	if to.By == ByLength {
		l, ok := r.length(v.at, "of", v.text, c.reading("of"))
		if ok && l <= 0 {
			r.fault(v.at, "of %s is not more than 0; write a length such as 48 m", quote(v.text))
		}
		to.Stated = int64(l)
		return ok && l > 0
	}
	return c.positiveIn(v, "of", areaUnits, "an area such as 12 m2", &to.Stated)
}

// measurable refuses a length of sheets and the edges of bars.
func (c record) measurable(to *Consumable, m Material) bool {
	v := c.cell("of")
	switch {
	case m.Section.Canonical == "":
		return false // its stock has been refused
	case to.Edges && to.By == ByArea:
		c.t.r.fault(v.at, "edges have a length and no area; write by length")
	case to.Edges && !m.Sheet():
		c.t.r.fault(v.at, "%s is a bar (%s) and has no edges; write %s for the length of its pieces", quote(m.Key), m.Section, quote(m.Key))
	case !to.Edges && to.By == ByLength && m.Sheet():
		c.t.r.fault(v.at, "%s is a sheet (%s) and has no length; write %s for the edges of its panels, or by area", quote(m.Key), m.Section, quote("edges of "+m.Key))
	default:
		return true
	}
	return false
}

// Units of area in µm² and of volume in mm·µm². The foot is 0.3048 m;
// the US gallon is 231 in³ and has 8 pints and 128 fluid ounces (NIST
// Handbook 44, appendix C).
var (
	areaUnits = map[string]*big.Rat{
		"mm2": big.NewRat(1_000_000, 1), "cm2": big.NewRat(100_000_000, 1), "m2": big.NewRat(1_000_000_000_000, 1),
		"sq m": big.NewRat(1_000_000_000_000, 1), "qm": big.NewRat(1_000_000_000_000, 1),
		"in2": big.NewRat(645_160_000, 1), "sq in": big.NewRat(645_160_000, 1),
		"ft2": big.NewRat(92_903_040_000, 1), "sq ft": big.NewRat(92_903_040_000, 1), "sqft": big.NewRat(92_903_040_000, 1),
	}
	cubicInch   = rat("16387.064/1")
	volumeUnits = func() map[string]*big.Rat {
		scaled := func(a, b int64) *big.Rat {
			v := big.NewRat(1_000_000*a, b)
			return v.Mul(v, cubicInch)
		}
		litre := func(parts int64) *big.Rat { return big.NewRat(1_000_000_000_000, parts) }
		return map[string]*big.Rat{
			"ml": litre(1000), "cc": litre(1000), "cm3": litre(1000), "cl": litre(100), "l": litre(1), "dm3": litre(1), "litre": litre(1), "litres": litre(1), "liter": litre(1),
			"in3": scaled(1, 1), "cu in": scaled(1, 1), "gal": scaled(231, 1), "us gal": scaled(231, 1), "qt": scaled(231, 4), "pt": scaled(231, 8),
			"oz": scaled(231, 128), "fl oz": scaled(231, 128), "us fl oz": scaled(231, 128),
		}
	}()
)

// positiveIn reads an amount above zero into whole units, rounded once.
func (c record) positiveIn(v cell, name string, units map[string]*big.Rat, want string, to *int64) bool {
	a, err := amountIn(v.text, c.t.comma && !v.number, units, "")
	if err != nil {
		c.t.r.fault(v.at, "%s: %v; write %s", name, err, want)
		return false
	}
	n := roundHalfUp(a)
	if n.Sign() <= 0 || !n.IsInt64() {
		c.t.r.fault(v.at, "%s %s is nothing, or beyond any job; write %s", name, quote(v.text), want)
		return false
	}
	*to = n.Int64()
	return true
}

var beadShape = regexp.MustCompile(`(?i)^(.*?)\s*\b(round|rund|rond|redondo|v|triangle|triangular|fillet|dreieck)\b\s*$`)

// pi to twenty places.
var pi = rat("3.14159265358979323846/1")

// bead reads the section of a bead: an area, width x depth, or a size with a
// word for its shape, "6 round" or "8 x 10 v".
func (c record) bead(to *Consumable) bool {
	r, v := c.t.r, c.cell("bead")
	if v.text == "" {
		return true
	}
	if to.By != ByLength {
		r.fault(v.at, "a bead is laid by length and the row says by %s; write by length, or leave the bead empty", to.By)
		return false
	}
	text, shape := length.Clean(v.text), ""
	if _, err := amountIn(text, c.comma("bead"), areaUnits, ""); err == nil {
		return c.positiveIn(v, "bead", areaUnits, "its section such as 6 x 4, 6 round, 8 x 10 v or 24 mm2", &to.Bead)
	}
	if m := beadShape.FindStringSubmatch(text); m != nil {
		text, shape = m[1], strings.ToLower(m[2])
	}
	sides, ok := r.sizes(v.at, "bead", text, c.reading("bead"))
	if !ok {
		return false
	}
	round := strings.HasPrefix(shape, "r")
	if len(sides) == 1 {
		if shape == "" {
			r.fault(v.at, "bead %s is one size and does not say its shape; write width x depth such as 6 x 4, or 6 round", quote(v.text))
			return false
		}
		sides = append(sides, sides[0])
	} else if round {
		r.fault(v.at, "bead %s is round and has two sizes; write its diameter alone", quote(v.text))
		return false
	}
	// A product of two lengths of 25 nm is in units of 625 nm², 1600 to the µm².
	area := new(big.Rat).SetFrac(new(big.Int).Mul(big.NewInt(int64(sides[0])), big.NewInt(int64(sides[1]))), big.NewInt(1600))
	switch {
	case round:
		area.Mul(area, new(big.Rat).Quo(pi, big.NewRat(4, 1)))
	case shape != "":
		area.Mul(area, big.NewRat(1, 2))
	}
	n := roundHalfUp(area)
	if n.Sign() == 0 || n.Cmp(big.NewInt(1_000_000_000_000)) > 0 {
		r.fault(v.at, "bead %s is nothing, or beyond any seam; write its section such as 6 x 4", quote(v.text))
		return false
	}
	to.Bead = n.Int64()
	return true
}

var coverageText = regexp.MustCompile(`(?i)^(.+?)\s*(?:/|\bper\b|\bpro\b|\bpar\b|\bpor\b)\s*(.+)$`)

// content reads what one pack does: a volume of sealant, a length of tape, an
// area of film, or what the coverage makes of a tin; of things counted, how many
// one does by how many are in a pack.
func (c record) content(to *Consumable) bool {
	r, v, cover := c.t.r, c.cell("content"), c.cell("coverage")
	if v.text == "" {
		r.fault(v.at, "the row has no content; write what one pack holds, such as 310 ml, 50 m, 2.5 l or 100")
		return false
	}
	if cover.text != "" && to.By == ByLength {
		r.fault(cover.at, "coverage has a meaning by area and by count; give a sealant a bead, or a tape its length as content")
		return false
	}
	fine := true
	switch {
	case to.By == ByCount:
		n, does := int64(1), int64(1)
		fine = c.countOf("content", &n) && c.countOf("coverage", &does)
		to.Content = n * does
	case to.By == ByArea && cover.text != "":
		fine = c.covered(to)
	case to.By == ByArea:
		fine = c.positiveIn(v, "content", areaUnits, "what one pack covers such as 12 m2, or a volume and a coverage such as 9 m2 per l", &to.Content)
	case to.Bead > 0:
		fine = c.positiveIn(v, "content", volumeUnits, "what one pack holds such as 310 ml, 600 ml or 10.1 fl oz", &to.Content)
	default:
		l, ok := r.length(v.at, "content", v.text, c.reading("content"))
		if ok && l <= 0 {
			r.fault(v.at, "content %s is not more than 0; write a length such as 50 m", quote(v.text))
		}
		to.Content, fine = int64(l), ok && l > 0
	}
	if !fine {
		return false
	}
	if packs := r.job.packsOf(*to); packs.Cmp(big.NewInt(mostPacks)) > 0 || r.job.Need(*to).Cmp(big.NewRat(mostNeed, 1)) > 0 {
		r.fault(v.at, "with a content of %s more than %d packs are needed; check the units of the row", quote(v.text), mostPacks)
		return false
	}
	return true
}

// covered reads a coverage such as 9 m2 per l beside a content in litres or
// kilograms.
func (c record) covered(to *Consumable) bool {
	r, v, cover := c.t.r, c.cell("content"), c.cell("coverage")
	const want = "a coverage such as 9 m2 per l beside a content such as 2.5 l"
	m := coverageText.FindStringSubmatch(length.Clean(cover.text))
	if m == nil {
		r.fault(cover.at, "coverage %s does not say per what; write %s", quote(cover.text), want)
		return false
	}
	area, err := amountIn(m[1], c.comma("coverage"), areaUnits, "")
	if err != nil {
		r.fault(cover.at, "coverage: %v; write %s", err, want)
		return false
	}
	units := volumeUnits
	if massUnits[fold(m[2])] != nil && units[fold(m[2])] == nil {
		units = massUnits
	}
	one, ok := units[fold(m[2])]
	if !ok {
		r.fault(cover.at, "coverage %s is per %s, which is neither a volume nor a mass; write %s", quote(cover.text), quote(m[2]), want)
		return false
	}
	holds, err := amountIn(v.text, c.comma("content"), units, "")
	if err != nil {
		r.fault(v.at, "content: %v; write it in the unit of the coverage, such as 2.5 %s", err, m[2])
		return false
	}
	does := area.Mul(area, holds.Quo(holds, one))
	n := roundHalfUp(does)
	if n.Sign() <= 0 || !n.IsInt64() {
		r.fault(v.at, "content %s with a coverage of %s is nothing, or beyond any job; check both", quote(v.text), quote(cover.text))
		return false
	}
	to.Content = n.Int64()
	return true
}

// Need is what a consumable is needed for, waste and coats included, in the
// measure of its content.
func (j *Job) Need(c Consumable) *big.Rat {
	need := j.once(c)
	return need.Mul(need, big.NewRat(10_000+c.Waste, 10_000))
}

// Applied is Need without the waste: what stays on the thing.
func (j *Job) Applied(c Consumable) *big.Rat { return j.once(c) }

// once is the need with all coats and without waste.
func (j *Job) once(c Consumable) *big.Rat {
	need := new(big.Rat).Mul(j.measured(c), big.NewRat(c.Coats, 1))
	if c.Bead > 0 {
		need.Mul(need, big.NewRat(c.Bead, int64(length.Millimetre)))
	}
	return need
}

// measured is what a consumable is measured by, once over: base units of
// length, µm² or a count.
func (j *Job) measured(c Consumable) *big.Rat {
	sum := big.NewInt(c.Stated)
	add := func(factors ...int64) {
		n := big.NewInt(1)
		for _, f := range factors {
			n.Mul(n, big.NewInt(f))
		}
		sum.Add(sum, n)
	}
	for _, joint := range j.Riveted() {
		switch c.Counted {
		case OfRivets:
			add(joint.Quantity, joint.Rivets)
		case OfBrackets:
			add(joint.Quantity, joint.Brackets)
		}
	}
	if c.Counted == OfSeams {
		for _, s := range j.Seams {
			add(s.Quantity, int64(s.Length))
		}
	}
	if c.Counted == OfJoints {
		for _, joint := range j.Joints {
			add(joint.Quantity)
		}
	}
	if c.Material < 0 {
		return new(big.Rat).SetInt(sum)
	}
	for _, p := range j.Pieces {
		switch {
		case p.Material != c.Material:
		case c.By == ByLength:
			add(p.Quantity, int64(p.Length))
		default:
			add(p.Quantity, int64(p.Length), int64(j.Materials[p.Material].Section.Girth()))
		}
	}
	for _, p := range j.Panels {
		switch {
		case p.Material != c.Material:
		case c.Edges:
			add(p.Quantity, p.Edges())
		default:
			sum.Add(sum, new(big.Int).Mul(big.NewInt(p.Quantity), p.Area()))
		}
	}
	if c.By == ByLength {
		return new(big.Rat).SetInt(sum)
	}
	return new(big.Rat).SetFrac(sum, big.NewInt(1600)) // µm²
}

// packsOf is how many packs hold the need of a consumable.
func (j *Job) packsOf(c Consumable) *big.Int {
	packs := new(big.Rat).Quo(j.Need(c), big.NewRat(c.Content, 1))
	n, rest := new(big.Int).QuoRem(packs.Num(), packs.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		n.Add(n, big.NewInt(1))
	}
	return n
}

// PacksOf is how many packs hold the need of a consumable.
func (j *Job) PacksOf(c Consumable) int64 { return j.packsOf(c).Int64() }

// Measure says what the need of a consumable is counted in.
func (c Consumable) Measure() string {
	switch {
	case c.Bead > 0:
		return "volume"
	case c.By == ByLength:
		return "length"
	case c.By == ByArea:
		return "area"
	}
	return fmt.Sprint(ByCount)
}
