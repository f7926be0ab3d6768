package job

import (
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// New writes the text of a job file for a cut list, to lie beside it: the
// list's own columns named, a header for each material found, and a table of
// offers whose prices are left empty. What the list does not say is written as
// "?" or left empty, so that Read asks for it and nothing is guessed silently.
// The error is Faults.
func New(listPath string) ([]byte, error) {
	r := newReader(listPath)
	l, ok := r.list(listPath)
	if !ok {
		r.faults.Sort()
		return nil, r.faults
	}
	return []byte(l.jobText(filepath.Base(listPath))), nil
}

// cutList is a cut list about to become a job.
type cutList struct {
	kind tableKind
	grid grid
	head int
	// columns by field, and the fields whose head must be told to the reader.
	columns map[string]int
	told    map[string]string
	missing []string
	unit    length.Unit
	unitBy  string // how the unit was found, for the comment
	comma   bool   // decimal = "," must be said
	found   []listed
}

// listed is one material found in the list.
type listed struct {
	key, stock, alloy string
	section           section.Section
	sheet             bool
}

// list reads a list without knowing more than its heads.
func (r *reader) list(path string) (*cutList, bool) {
	named := Pos{File: path}
	data, ok := r.file(path, named, "the list", path)
	if !ok {
		return nil, false
	}
	var grids []sheetGrid
	text := newSource(path, data)
	if strings.HasPrefix(string(data[:min(4, len(data))]), "PK\x03\x04") {
		sheets, err := readWorkbook(path, data)
		if err != nil {
			r.fault(named, "%v", err)
			return nil, false
		}
		grids = sheets
	} else if !r.utf8(text) {
		return nil, false
	}
	best, most := cutList{}, 0
	for _, k := range []tableKind{kindNamed("panels"), kindNamed("pieces")} {
		candidates := grids
		if grids == nil {
			from := 0
			if strings.HasPrefix(string(data[:min(3, len(data))]), "\ufeff") {
				from = 3
			}
			g, ok := r.cut(k, text, from, len(data), nil)
			if !ok {
				return nil, false
			}
			candidates = []sheetGrid{{grid: g}}
		}
		for _, c := range candidates {
			l := cutList{kind: k, grid: c.grid}
			var count int
			if l.head, count = headRow(k, c.grid, nil); count == 0 {
				if l.head, count = anyHeads(c.grid), 1; l.head < 0 {
					continue
				}
			}
			l.assign()
			if k.name == "panels" && !l.areas() {
				continue
			}
			if count > most {
				best, most = l, count
			}
		}
	}
	if most == 0 {
		r.fault(named, "no row of the list names the columns; begin it with a row of heads such as %s, separated by commas, semicolons or tabs", exampleHeads["pieces"])
		return nil, false
	}
	best.measure()
	best.materials()
	return &best, true
}

// anyHeads is the first row with two texts and no number, or -1.
func anyHeads(g grid) int {
	for i, l := range g.rows[:min(len(g.rows), searched)] {
		texts, numbers := 0, 0
		for _, c := range l.cells {
			switch {
			case c.text == "":
			case numeric(c.text):
				numbers++
			default:
				texts++
			}
		}
		if texts >= 2 && numbers == 0 {
			return i
		}
	}
	return -1
}

// assign gives each field its column. Where several heads would do, the one
// whose name comes first among the field's heads, and the reader is told.
func (l *cutList) assign() {
	l.columns, l.told = map[string]int{}, map[string]string{}
	cells := l.grid.rows[l.head].cells
	for _, f := range l.kind.fields {
		var fit []int
		for i, c := range cells {
			if h, ok := l.kind.head(c.text, nil); ok && h.field == f.name {
				fit = append(fit, i)
			}
		}
		if len(fit) == 0 {
			if f.required {
				l.missing = append(l.missing, f.name)
			}
			continue
		}
		best := fit[0]
		if f.name == "material" {
			for _, i := range slices.Backward(fit) {
				if l.designations(i) {
					best = i
				}
			}
		} else {
			order := strings.Split(f.name+","+f.heads, ",")
			rank := func(i int) int {
				if at := slices.Index(order, fold(cells[i].text)); at >= 0 {
					return at
				}
				return len(order)
			}
			for _, i := range fit {
				if rank(i) < rank(best) {
					best = i
				}
			}
		}
		l.columns[f.name] = best
		if len(fit) > 1 {
			l.told[f.name] = strings.Join(strings.Fields(cells[best].text), " ")
		}
	}
	if l.kind.name == "panels" {
		_, size := l.columns["size"]
		for _, name := range []string{"length", "width"} {
			if _, ok := l.columns[name]; !ok && !size {
				l.missing = append(l.missing, name)
			}
		}
	}
}

// rows are the rows below the heads that hold something in a column.
func (l *cutList) cells(column int) []cell {
	var all []cell
	for _, row := range l.grid.rows[l.head+1:] {
		if column < len(row.cells) && row.cells[column].text != "" && !totalWord.MatchString(fold(row.cells[0].text)) {
			all = append(all, row.cells[column])
		}
	}
	return all
}

// designations reports whether a column holds designations of sections.
func (l *cutList) designations(column int) bool {
	for _, c := range l.cells(column) {
		if _, s, _ := designation(c.text, length.MM); s.Canonical != "" {
			return true
		}
	}
	return false
}

// areas reports whether most rows have a width or a size of two lengths.
func (l *cutList) areas() bool {
	long, isLong := l.columns["length"]
	wide, isWide := l.columns["width"]
	if isLong && isWide {
		return 2*len(l.cells(wide)) > len(l.cells(long))
	}
	size, ok := l.columns["size"]
	return ok && len(l.cells(size)) > 0 && sizeSign.MatchString(l.cells(size)[0].text)
}

var inchFigure = regexp.MustCompile(`['"]|\bin\b|\bft\b|\d/\d`)
var commaFraction = regexp.MustCompile(`^\d+,\d{1,2}$`)

// measure finds the unit: from a head, else from the figures, else millimetres.
func (l *cutList) measure() {
	l.unit, l.unitBy = length.MM, "the list does not say; check it"
	points := false
	for _, name := range []string{"length", "size", "width"} {
		i, ok := l.columns[name]
		if !ok {
			continue
		}
		head := l.grid.rows[l.head].cells[i].text
		if h, _ := l.kind.head(head, nil); h.unit != nil && l.unitBy != "" {
			l.unit, l.unitBy = *h.unit, ""
		}
		for _, c := range l.cells(i) {
			if inchFigure.MatchString(length.Clean(c.text)) && l.unitBy != "" {
				l.unit, l.unitBy = length.In, "as the list has inches; check it"
			}
			points = points || !c.number && pointFigure.MatchString(c.text)
			l.comma = l.comma || l.grid.separator != ';' && l.grid.separator != '\t' && commaFraction.MatchString(c.text)
		}
	}
	l.comma = l.comma && !points
}

// quotesOut takes out of a key what would need care in TOML and in a table;
// keys are told apart without it.
var quotesOut = strings.NewReplacer(`"`, "", "'", "", `\`, " ", ",", " ")

// materials lists what the material column names, once each.
func (l *cutList) materials() {
	sheet := l.kind.name == "panels"
	column, ok := l.columns["material"]
	if !ok {
		key := "bar"
		if sheet {
			key = "sheet"
		}
		l.found = []listed{{key: key, stock: "?", alloy: "?", sheet: sheet}}
		return
	}
	met := map[string]bool{}
	for _, c := range l.cells(column) {
		alloy, s, rest := designation(c.text, l.unit)
		m := listed{key: strings.Join(strings.Fields(c.text), " "), stock: "?", alloy: alloy, section: s, sheet: sheet}
		name := fold(c.text)
		if s.Canonical != "" {
			m.stock, m.sheet = rest, s.IsSheet()
			name = s.Canonical + " " + fold(alloy)
			m.key = strings.ReplaceAll(strings.ToLower(strings.Join(strings.Fields(rest), "-")), `"`, "in")
			if alloy != "" && strings.Contains(fold(c.text), fold(alloy)) {
				m.key += "-" + strings.ToLower(strings.ReplaceAll(alloy, " ", "-"))
			}
		}
		m.key = strings.Join(strings.Fields(oneLine(quotesOut.Replace(m.key))), " ")
		if met[name] || name == "" {
			continue
		}
		met[name] = true
		if m.alloy == "" {
			m.alloy = l.alloyBeside(column)
		}
		l.found = append(l.found, m)
		if len(l.found) == 100 {
			break // a column of a hundred different materials is none of materials
		}
	}
	if len(l.found) == 0 {
		l.found = []listed{{key: "material", stock: "?", alloy: "?", sheet: sheet}}
	}
	for i := range l.found {
		for n := 2; slices.ContainsFunc(l.found[:i], func(o listed) bool { return fold(o.key) == fold(l.found[i].key) }); n++ {
			l.found[i].key += fmt.Sprintf("-%d", n)
		}
	}
}

// alloyBeside is the alloy that another column names in every row, or "?".
func (l *cutList) alloyBeside(material int) string {
	for i := range l.grid.rows[l.head].cells {
		if h, ok := l.kind.head(l.grid.rows[l.head].cells[i].text, nil); i == material || !ok && !strings.Contains("alloy grade legierung gute alliage nuance aleacion calidad", fold(l.grid.rows[l.head].cells[i].text)) || ok && h.field != "material" {
			continue
		}
		cells := l.cells(i)
		if len(cells) == 0 {
			continue
		}
		same := true
		for _, c := range cells {
			same = same && c.text == cells[0].text
		}
		if _, err := section.LookupMaterial(cells[0].text); err == nil && same {
			return cells[0].text
		}
	}
	return "?"
}
