package job

import (
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
	// other is the list of the other kind in another worksheet.
	other *cutList
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
	best, most, heads := map[string]*cutList{}, map[string]int{}, map[string]int{}
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
			l := &cutList{kind: k, grid: c.grid}
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
			if score := headScore(k, c.grid.rows[l.head], count); score > most[k.name] {
				best[k.name], most[k.name] = l, score
				heads[k.name] = count
			}
		}
	}
	l, other := best["panels"], best["pieces"]
	if most["pieces"] > most["panels"] {
		l, other = other, l
	}
	if l == nil {
		r.fault(named, "no row of the list names the columns; begin it with a row of heads such as %s, separated by commas, semicolons or tabs", exampleHeads["pieces"])
		return nil, false
	}
	l.measure()
	l.materials()
	if other != nil && other.grid.file != l.grid.file && heads[other.kind.name] >= listHeads && len(other.missing) == 0 {
		other.measure()
		other.materials()
		l.other = other
		l.join()
	}
	return l, true
}

// join adds what the other list has and this one lacks.
func (l *cutList) join() {
	if l.unitBy != "" && l.other.unitBy == "" {
		l.unit, l.unitBy = l.other.unit, ""
	}
	l.comma = l.comma || l.other.comma
	for _, m := range l.other.found {
		same := func(o listed) bool { return fold(o.key) == fold(m.key) }
		if !slices.ContainsFunc(l.found, same) {
			l.found = append(l.found, m)
		}
	}
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
		if f.name == "material" {
			fit = l.materialColumns(fit)
		}
		if len(fit) == 0 {
			if f.required && f.name != "mark" {
				l.missing = append(l.missing, f.name)
			}
			continue
		}
		best := fit[0]
		if f.name != "material" {
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
		if h, ok := l.kind.head(cells[best].text, nil); len(fit) > 1 || !ok || h.field != f.name {
			l.told[f.name] = strings.Join(strings.Fields(cells[best].text), " ")
		}
	}
	if _, ok := l.columns["mark"]; !ok && l.unknownHeads() {
		l.missing = append(l.missing, "mark")
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

// unknownHeads reports whether a head means nothing here, so that it may be that
// of the marks. Without one the list has none, and its rows are numbered.
func (l *cutList) unknownHeads() bool {
	for i, c := range l.grid.rows[l.head].cells {
		_, ok := l.kind.head(c.text, nil)
		if material, given := l.columns["material"]; c.text != "" && !ok && !(given && material == i) && !readElsewhere(l.kind, c.text) {
			return true
		}
	}
	return false
}

// materialColumns puts the column that holds designations first: of those with
// a head for the material, else of those whose head means nothing here, as
// drawing programs put them under a description.
func (l *cutList) materialColumns(fit []int) []int {
	for k, i := range fit {
		if l.designations(i) > 0 {
			fit[0], fit[k] = fit[k], fit[0]
			return fit
		}
	}
	for i, c := range l.grid.rows[l.head].cells {
		if _, ok := l.kind.head(c.text, nil); ok || c.text == "" {
			continue
		}
		if n := l.designations(i); n > 0 && 2*n >= len(l.cells(i)) {
			return append([]int{i}, fit...)
		}
	}
	return fit
}

// cells are the cells of a column that hold something, below the heads and not
// in a row of totals.
func (l *cutList) cells(column int) []cell {
	var all []cell
	for _, row := range l.grid.rows[l.head+1:] {
		first := slices.IndexFunc(row.cells, func(c cell) bool { return c.text != "" })
		if column < len(row.cells) && row.cells[column].text != "" && !totalWord.MatchString(fold(row.cells[first].text)) {
			all = append(all, row.cells[column])
		}
	}
	return all
}

// designations counts the designations of sections in a column, those alike once
// read only once, as a list has few.
func (l *cutList) designations(column int) int {
	count, met := 0, map[string]bool{}
	for _, c := range l.cells(column) {
		is, known := met[c.text]
		if !known && len(met) < 100 {
			_, metric, _ := designation(c.text, length.MM)
			_, inches, _ := designation(c.text, length.In)
			is = metric.Canonical != "" || inches.Canonical != ""
			met[c.text] = is
		}
		if is {
			count++
		}
	}
	return count
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

var thousands = regexp.MustCompile(`^\d{1,3}('\d{3})+\b`)
var metricFigure = regexp.MustCompile(`\d\s*(mm|cm|m)\b`)
var inchFigure = regexp.MustCompile(`['"]|\bin\b|\bft\b|\d/\d`)
var commaFraction = regexp.MustCompile(`^\d+,\d{1,2}$`)

// measure finds the unit: from a head, else from the figures, else millimetres.
func (l *cutList) measure() {
	l.unit, l.unitBy = length.MM, "the list does not say; check it"
	points, inches, metric := false, 0, 0
	for _, name := range []string{"length", "size", "width"} {
		i, ok := l.columns[name]
		if !ok {
			continue
		}
		head := l.grid.rows[l.head].cells[i].text
		if h, _ := l.kind.head(head, nil); h.unit != nil && l.unitBy != "" {
			l.unit, l.unitBy = *h.unit, ""
		}
		if h, ok := l.unitBelow(name, i); ok && l.unitBy != "" {
			l.unit, l.unitBy = h, ""
		}
		for _, c := range l.cells(i) {
			if t := length.Clean(c.text); thousands.MatchString(t) {
				continue
			} else if metricFigure.MatchString(t) {
				metric++
			} else if inchFigure.MatchString(t) {
				inches++
			}
			points = points || !c.number && pointFigure.MatchString(c.text)
			l.comma = l.comma || l.grid.separator != ';' && l.grid.separator != '\t' && commaFraction.MatchString(c.text)
		}
	}
	if inches > metric && l.unitBy != "" {
		l.unit, l.unitBy = length.In, "as the list has inches; check it"
	}
	l.comma = l.comma && !points
}

// unitBelow is the unit of a column in a row of units below the heads.
func (l *cutList) unitBelow(name string, column int) (length.Unit, bool) {
	if l.head+1 >= len(l.grid.rows) || !isUnits(l.grid.rows[l.head+1]) || column >= len(l.grid.rows[l.head+1].cells) {
		return 0, false
	}
	h := l.kind.withUnit(name, strings.Trim(l.grid.rows[l.head+1].cells[column].text, "()[] "))
	if h.unit == nil {
		return 0, false
	}
	return *h.unit, true
}
