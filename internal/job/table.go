package job

import (
	"path/filepath"
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
		if k.name == "consumables" {
			r.finishJoints() // brackets are cut too, and are painted and taped
			r.finishForms()
		}
		e := b.at[k.name]
		if e == nil {
			continue
		}
		before := len(r.faults)
		r.shared = shared && k.lists()
		t := r.table(k, e, maps[k.name])
		if t != nil {
			r.sheets = append(r.sheets, t.sheet())
		}
		if t == nil {
			r.unreadTables[k.name] = true
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
		case "outlines":
			r.readOutlines(t)
		case "openings":
			r.readOpenings(t)
		case "rows":
			r.readRows(t)
		case "seams":
			r.readSeams(t)
		case "zones":
			r.readZones(t)
		case "quotes":
			r.readQuotes(t)
		case "adjust":
			r.readAdjust(t)
		default:
			r.readBillTable(t)
		}
		if (k.lists() || k.name == "quotes") && len(r.faults) > before {
			r.unreadTables[k.name] = true
		}
		if len(t.rows) == 0 && len(r.faults) == before {
			r.fault(t.grid.rows[t.header].at, "the table of %s has heads and no rows; add a row below them", k.name)
		}
	}
	r.unsealed()
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
	"quotes": "supplier, mark, price",

	"enquiry": "id, mark, material, stock and alloy, size, count, price each, from, pack, stock available, note",

	"outlines": "mark, contour, x, y, corner",
	"openings": "mark, x, y, length, width, corner, diameter",
	"rows":     "mark, edge, inset, member, rivet, pitch",
	"seams":    "mark, y, lap, over",
	"zones":    "mark, x, y, radius",

	"brackets":    "kind, material, length, price, pack, mass",
	"rivets":      "diameter, length, grip from, grip to, pack, price",
	"joints":      "mark, bracket, brackets, rivets, diameter, grip, quantity",
	"items":       "name, supplier, price, mass, quantity",
	"consumables": "name, by, of, bead, waste, content, price",
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
	path := r.path(name)
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

// path is a file's as it is named from the folder of the job file.
func (r *reader) path(name string) string {
	path := filepath.FromSlash(strings.ReplaceAll(name, `\`, "/"))
	if !filepath.IsAbs(path) {
		path = filepath.Join(r.dir, path)
	}
	return path
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
