package job

import (
	"path/filepath"
	"regexp"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"sawbill/internal/length"
)

// table is a grid whose columns are known.
type table struct {
	r       *reader
	kind    tableKind
	grid    grid
	header  int            // row of the heads
	body    int            // first row behind them
	width   int            // number of columns
	columns map[string]int // by field
	heads   map[string]known
	// comma tells whether a comma is the decimal sign.
	comma bool
	// unmarked tells that the table has no marks, so that its rows are numbered;
	// marked is how many have been.
	unmarked bool
	marked   int
	// after are the rows behind the heads that are neither blank nor totals.
	rows []record
}

// record is one row to be read.
type record struct {
	t    *table
	line line
	// heading is the last heading above the row, "" if there is none.
	heading string
}

func (r *reader) readTables() {
	all := r.blocks("tables")
	if len(all) == 0 {
		r.fault(Pos{File: r.doc.text.file}, "the job has no [tables]; add it with offers, and pieces or panels")
		return
	}
	b := all[0]
	if b.lacks("pieces") && b.lacks("panels") {
		r.fault(b.pos, `[tables] has neither pieces nor panels; add a line such as pieces = "pieces.csv"`)
	}
	maps := r.columnMaps()
	shared := sameFile(b.at["pieces"], b.at["panels"])
	for _, k := range tableKinds {
		e := b.at[k.name]
		if e == nil {
			continue
		}
		before := len(r.faults)
		r.shared = shared && k.name != "offers"
		t := r.table(k, e, maps[k.name])
		if t == nil {
			continue
		}
		switch k.name {
		case "offers":
			r.readOffers(t)
			r.offersSound = len(r.faults) == 0 && len(t.rows) > 0
		case "pieces":
			r.readPieces(t)
		case "panels":
			r.readPanels(t)
		}
		if len(t.rows) == 0 && len(r.faults) == before {
			r.fault(t.grid.rows[t.header].at, "the table of %s has heads and no rows; add a row below them", k.name)
		}
	}
	r.passedOver()
}

// sameFile reports whether pieces and panels stand in one list, as a drawing
// program writes it. Then each row is taken by its material.
func sameFile(pieces, panels *entry) bool {
	return pieces != nil && panels != nil && !pieces.value.block && !panels.value.block && pieces.value.text == panels.value.text
}

// columnMaps reads [columns.TABLE]: which head the user gave to which field.
func (r *reader) columnMaps() map[string]map[string]*entry {
	maps := map[string]map[string]*entry{}
	var names []string
	for _, k := range tableKinds {
		names = append(names, k.name)
	}
	for _, b := range r.blocks("columns") {
		k := kindNamed(b.name)
		if k.name == "" {
			r.fault(b.pos, "[columns.%s] is not for a table; the tables are %s", b.name, list(names))
			continue
		}
		maps[k.name] = map[string]*entry{}
		for _, s := range r.doc.sections {
			if len(s.path) != 2 || s.path[0] != "columns" || s.path[1] != b.name {
				continue
			}
			for _, e := range s.entries {
				if _, ok := k.field(e.key); !ok {
					advice := "the fields are " + strings.Join(k.names(), ", ")
					if near := nearest(e.key, k.names()); near != "" {
						advice = "the nearest is " + near
					}
					r.fault(e.pos, "%s is not a field of the %s; %s", quote(e.key), k.name, advice)
					continue
				}
				if e.value.kind != unstable.String {
					r.fault(e.value.pos, `%s is %s; write the head of the column in quotes, as in length = "L overall"`, e.key, described(e.value))
					continue
				}
				maps[k.name][e.key] = e
			}
		}
	}
	return maps
}

// table finds the rows an entry gives or names, and their heads.
func (r *reader) table(k tableKind, e *entry, mapped map[string]*entry) *table {
	if e.value.kind != unstable.String {
		r.fault(e.value.pos, `%s is %s; write a file name in quotes, or the rows between ''' marks`, e.key, described(e.value))
		return nil
	}
	var grids []sheetGrid
	switch {
	case e.value.block && e.value.offset >= 0:
		text := r.doc.text
		g, ok := r.cut(k, text, e.value.offset, e.value.offset+len(e.value.text), mapped)
		if !ok {
			return nil
		}
		grids = []sheetGrid{{grid: g}}
	case e.value.block:
		r.fault(e.value.pos, `the rows of %s have backslashes between """ marks; put them between ''' marks`, e.key)
		return nil
	default:
		var ok bool
		if grids, ok = r.fileGrids(k, e, mapped); !ok {
			return nil
		}
	}
	best := pick(k, grids, mapped)
	if best == nil {
		asked := false
		for _, f := range k.fields {
			if e := mapped[f.name]; e != nil && e.value.text == "?" {
				r.fault(e.value.pos, "%s is not filled in; write the head of its column", f.name)
				asked = true
			}
		}
		if asked {
			return nil
		}
		at := e.value.pos
		if len(grids) == 1 && len(grids[0].grid.rows) > 0 {
			at = grids[0].grid.rows[0].at
		}
		r.fault(at, "no row of the table of %s names the columns; begin it with a row of heads such as %s, separated by commas, semicolons or tabs", k.name, exampleHeads[k.name])
		return nil
	}
	r.visit(grids, best)
	if len(best.rows) > mostRows {
		r.fault(best.rows[mostRows].at, "the table has more than %d rows; check the file", mostRows)
		return nil
	}
	return r.withHeads(k, *best, mapped)
}

var exampleHeads = map[string]string{
	"offers": "supplier, material, size, price",
	"pieces": "mark, material, length, left, right, quantity",
	"panels": "mark, material, length, width, quantity",
}

// fileGrids reads the file an entry names.
func (r *reader) fileGrids(k tableKind, e *entry, mapped map[string]*entry) ([]sheetGrid, bool) {
	name := e.value.text
	if strings.ContainsFunc(name, func(c rune) bool { return c < ' ' }) {
		r.fault(e.value.pos, `a backslash in double quotes begins a special character; write %s = '%s' in single quotes, or with forward slashes`, e.key, strings.Trim(e.value.raw, `"`))
		return nil, false
	}
	if strings.TrimSpace(name) == "" {
		r.fault(e.value.pos, `%s is empty; write a file name as in %[1]s = "%[1]s.csv", or the rows between ''' marks`, e.key)
		return nil, false
	}
	path := filepath.FromSlash(strings.ReplaceAll(name, `\`, "/"))
	if !filepath.IsAbs(path) {
		path = filepath.Join(r.dir, path)
	}
	switch strings.ToLower(filepath.Ext(path)) {
	case ".xls", ".ods", ".numbers", ".pdf", ".doc", ".docx", ".dxf", ".dwg":
		r.fault(e.value.pos, "the table %s is neither CSV nor XLSX; save it as one of them", quote(name))
		return nil, false
	}
	data, ok := r.file(path, e.value.pos, "the table", name)
	if !ok {
		return nil, false
	}
	if strings.HasPrefix(string(data[:min(4, len(data))]), "PK\x03\x04") {
		sheets, err := readWorkbook(path, data)
		if err != nil {
			r.fault(Pos{File: path}, "%v", err)
			return nil, false
		}
		return sheets, true
	}
	text := newSource(path, data)
	if !r.utf8(text) {
		return nil, false
	}
	from := 0
	if strings.HasPrefix(string(data[:min(3, len(data))]), "\ufeff") {
		from = 3
	}
	if strings.TrimSpace(string(data[from:])) == "" {
		r.fault(Pos{File: path}, "the file is empty; write a row of heads such as %s and the rows below it", exampleHeads[k.name])
		return nil, false
	}
	g, ok := r.cut(k, text, from, len(data), mapped)
	return []sheetGrid{{grid: g}}, ok
}

// sniffed is how much of a text decides which separator it has.
const sniffed = 64 << 10

// cut finds the separator and cuts the text.
func (r *reader) cut(k tableKind, text source, from, to int, mapped map[string]*entry) (grid, bool) {
	head := to
	if to-from > sniffed {
		head = min(text.end(from+sniffed), to)
	}
	var separator byte = ','
	most := -1
	for _, s := range separators {
		g, _ := splitText(text, from, head, s, 200)
		row, count := headRow(k, g, mapped)
		if count == 0 {
			continue
		}
		// Heads decide; among equals the rows that have as many cells.
		score := 1000 * count
		for _, l := range g.rows[row:] {
			if len(l.cells) == len(g.rows[row].cells) {
				score++
			}
		}
		if score > most {
			separator, most = s, score
		}
	}
	g, broken := splitText(text, from, to, separator, mostRows+1)
	if broken != nil {
		r.fault(broken.Pos, "%s", broken.Text)
		return g, false
	}
	return g, true
}

// searched is how many rows may stand above the heads.
const searched = 60

// headRow finds the row that names the columns: the first with every head the
// table needs, else the one with the most heads, at least two.
func headRow(k tableKind, g grid, mapped map[string]*entry) (row, count int) {
	best, most := 0, 1
	for i, l := range g.rows[:min(len(g.rows), searched)] {
		fields := map[string]bool{}
		for _, c := range l.cells {
			if f, ok := k.head(c.text, mapped); ok {
				fields[f.field] = true
			}
		}
		complete := len(fields) > 1
		for _, f := range k.fields {
			complete = complete && (!f.required || fields[f.name])
		}
		if k.name != "pieces" {
			complete = complete && (fields["size"] || fields["length"])
		}
		if complete {
			return i, len(fields)
		}
		if len(fields) > most {
			best, most = i, len(fields)
		}
	}
	if most < 2 {
		return 0, 0
	}
	return best, most
}

// head recognises a head, by the job's own map first.
func (k tableKind) head(text string, mapped map[string]*entry) (known, bool) {
	if text == "" {
		return known{}, false
	}
	for _, f := range k.fields {
		if e := mapped[f.name]; e != nil && sameHead(e.value.text, text) {
			got, ok := k.recognise(text)
			if !ok || got.field != f.name {
				got = k.withUnit(f.name, "")
				if b := inBrackets.FindStringSubmatch(length.Clean(text)); b != nil {
					got = k.withUnit(f.name, b[2])
				}
			}
			return got, true
		}
	}
	got, ok := k.recognise(text)
	if ok && mapped[got.field] != nil {
		return known{}, false // another column has been given to this field
	}
	return got, ok
}

func sameHead(a, b string) bool {
	if fa := fold(a); fa != "" {
		return fa == fold(b)
	}
	return strings.TrimSpace(a) == strings.TrimSpace(b)
}

// withHeads takes the columns from the row of heads and the rows from below it.
func (r *reader) withHeads(k tableKind, g grid, mapped map[string]*entry) *table {
	t := &table{r: r, kind: k, grid: g, columns: map[string]int{}, heads: map[string]known{}}
	t.header, _ = headRow(k, g, mapped)
	heads := g.rows[t.header]
	t.width = heads.filled()
	ok := true
	unread := 0 // columns with a head that means nothing here
	first := map[string]cell{}
	for i, c := range heads.cells[:t.width] {
		h, known := k.head(c.text, mapped)
		switch before, twice := first[h.field]; {
		case !known && r.shared && readElsewhere(k, c.text):
		case !known && c.text != "":
			r.remark(c.at, "the column %s is not read%s", quote(c.text), unreadAngle(k, c.text))
			unread++
		case !known:
		case twice && fold(before.text) == fold(c.text):
			r.fault(c.at, "the head %s stands twice; take one out or rename it", quote(c.text))
			ok = false
		case twice:
			r.fault(c.at, "the columns %s and %s both look like the %s; say which it is with [columns.%s] and %s = %s", quote(before.text), quote(c.text), h.field, k.name, h.field, tomlText(c.text))
			ok = false
		default:
			t.columns[h.field], t.heads[h.field], first[h.field] = i, h, c
		}
	}
	for _, f := range k.fields {
		if e := mapped[f.name]; e != nil {
			if _, found := t.columns[f.name]; !found {
				if e.value.text == "?" {
					r.fault(e.value.pos, "%s is not filled in; write the head of its column, one of %s", f.name, headList(heads.cells[:t.width]))
					ok = false
					continue
				}
				r.fault(e.value.pos, "the table of %s has no column %s; its heads are %s", k.name, quote(e.value.text), headList(heads.cells[:t.width]))
				ok = false
				continue
			}
		}
		if _, found := t.columns[f.name]; f.required && !found && mapped[f.name] == nil {
			if t.unmarked = f.name == "mark" && unread == 0; t.unmarked {
				r.remark(heads.at, "the table of %s has no marks; its rows are marked %s1, %[2]s2 and so on", k.name, rowMarks[k.name])
				continue
			}
			r.fault(heads.at, "the table of %s has no column for the %s; name it %s, or say which it is with [columns.%s] and %[2]s = \"its head\"", k.name, f.name, quote(f.name), k.name)
			ok = false
		}
	}
	_, size := t.columns["size"]
	_, long := t.columns["length"]
	_, wide := t.columns["width"]
	switch {
	case k.name == "pieces":
	case size && long:
		r.fault(first["length"].at, "the table of %s has a column %s and a column %s; say which it is with [columns.%s], or keep one", k.name, quote(first["size"].text), quote(first["length"].text), k.name)
		ok = false
	case !size && !long:
		r.fault(heads.at, "the table of %s has no column for the size; name one \"size\", with cells such as 2500 x 1250, or two \"length\" and \"width\"", k.name)
		ok = false
	case k.name == "panels" && !size && !wide:
		r.fault(heads.at, "the table of panels has no column for the width; name it \"width\"")
		ok = false
	}
	if !ok {
		return nil
	}
	t.unitsBelow()
	titles := 0
	for _, l := range g.rows[:t.header] {
		if !l.blank() {
			titles++
		}
	}
	if titles > 0 {
		were := "were"
		if titles == 1 {
			were = "was"
		}
		r.remark(g.rows[0].at, "%s above the heads %s not read", plural(titles, "row"), were)
	}
	t.comma = t.decimalComma()
	t.keepRows(heads)
	return t
}

var angleWord = regexp.MustCompile(`\b(angles?|mit(re|er)s?|bevels?|winkel|gehrung(en)?|coupes?|angulos?|ingletes?)\b`)

// unreadAngle warns of end angles that are left out.
func unreadAngle(k tableKind, head string) string {
	if k.name != "pieces" || !angleWord.MatchString(fold(head)) {
		return ""
	}
	return "; if it holds end angles, give each end a column, named left and right"
}

// unitsBelow reads a row of units below the heads, such as mm and pcs, as what
// might have stood in the heads.
func (t *table) unitsBelow() {
	t.body = t.header + 1
	if t.body >= len(t.grid.rows) || !isUnits(t.grid.rows[t.body]) {
		return
	}
	units := t.grid.rows[t.body].cells
	t.body++
	for name, i := range t.columns {
		if i >= len(units) || units[i].text == "" {
			continue
		}
		h := t.heads[name]
		if below := t.kind.withUnit(name, strings.Trim(units[i].text, "()[] ")); h.unit == nil && h.per == "" {
			h.unit, h.per = below.unit, below.per
		}
		t.heads[name] = h
	}
}

var noLengthUnit = regexp.MustCompile(`^(pcs?|pieces?|stk|stuck|pces?|uds?|no|nr|deg|grad|degres?|grados?|kg|lb|lbs|g|m2|eur|usd|gbp|chf|x|)$`)

// isUnits reports whether a row holds units and nothing else.
func isUnits(l line) bool {
	for _, c := range l.cells {
		word := strings.Trim(c.text, "()[] ")
		if _, err := length.ParseUnit(word); err != nil && !noLengthUnit.MatchString(fold(word)) {
			return false
		}
	}
	return !l.blank()
}

// rowMarks begin the marks of rows that have none.
var rowMarks = map[string]string{"pieces": "P", "panels": "S"}

// readElsewhere reports whether a head that means nothing in one table means
// something in another.
func readElsewhere(k tableKind, head string) bool {
	for _, other := range tableKinds {
		if _, ok := other.head(head, nil); ok && other.name != k.name && other.name != "offers" {
			return true
		}
	}
	return false
}

func headList(cells []cell) string {
	var all []string
	for _, c := range cells {
		if c.text != "" {
			all = append(all, quote(c.text))
		}
	}
	return strings.Join(all, ", ")
}

// cell returns the cell of a field; without one its place is the row's.
func (c record) cell(name string) cell {
	if i, ok := c.t.columns[name]; ok && i < len(c.line.cells) {
		return c.line.cells[i]
	}
	return cell{at: c.line.at}
}

// has reports whether the table has a column for the field.
func (t *table) has(name string) bool {
	_, ok := t.columns[name]
	return ok
}

// reading is how a bare length in a field is read.
func (c record) reading(name string) length.Reading {
	reading := length.Reading{Unit: c.t.r.job.Unit, DecimalComma: c.t.comma && !c.cell(name).number}
	if u := c.t.heads[name].unit; u != nil {
		reading.Unit = *u
	}
	return reading
}

// comma reports whether the comma is the decimal sign in a cell.
func (c record) comma(name string) bool { return c.t.comma && !c.cell(name).number }
