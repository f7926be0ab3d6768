package job

import (
	"bytes"
	"fmt"
	"slices"
	"strings"
)

// The tables of a job as they stand in their files, for whoever changes them in
// place: a cell is written anew where it stands, and nothing else in the file moves.

// Sheet is one table as it stands.
type Sheet struct {
	Name string // "pieces"
	File string
	// Spreadsheet tells that it stands in a workbook and cannot be changed here.
	Spreadsheet bool
	// Fields are what the columns mean, "" where that is nothing.
	Fields    []string
	Heads     []SheetCell
	Rows      [][]SheetCell // blank ones left out
	separator byte
	// end is where a further row begins; inside tells that the table stands in
	// the job file itself.
	end    int
	inside bool
}

// SheetCell is a cell and its place.
type SheetCell struct {
	Text     string
	At       Pos
	from, to int
}

// Draft is a job as it stands, with faults or without.
type Draft struct {
	// Job is nil while there are faults.
	Job     *Job
	Faults  Faults
	Remarks []Message
	Sheets  []Sheet
	// Files are the paths read.
	Files []string
}

// Open reads a job for somebody who may change it.
func Open(path string) *Draft {
	r := newReader(path)
	r.read(path)
	r.finish()
	d := &Draft{Faults: r.faults, Remarks: r.job.Remarks, Sheets: r.sheets, Files: r.job.Files}
	if len(r.faults) == 0 {
		d.Job = &r.job
	}
	return d
}

func (t *table) sheet() Sheet {
	heads := t.grid.rows[t.header]
	s := Sheet{Name: t.kind.name, File: t.grid.file, Spreadsheet: t.grid.separator == 0, separator: t.grid.separator, Fields: make([]string, t.width)}
	for field, i := range t.columns {
		if i < len(s.Fields) {
			s.Fields[i] = field
		}
	}
	s.Heads = cellsOf(heads, t.width)
	s.end = heads.end()
	for _, l := range t.grid.rows[t.header+1:] {
		if !l.blank() {
			s.Rows = append(s.Rows, cellsOf(l, t.width))
			s.end = l.end()
		}
	}
	s.inside = t.r.doc != nil && t.grid.file == t.r.doc.text.file
	return s
}

// end is where the text of the row's last cell ends.
func (l line) end() int {
	if len(l.cells) == 0 {
		return 0
	}
	return l.cells[len(l.cells)-1].to
}

func cellsOf(l line, width int) []SheetCell {
	var list []SheetCell
	for _, c := range l.cells[:min(width, len(l.cells))] {
		list = append(list, SheetCell{c.text, c.at, c.from, c.to})
	}
	return list
}

// A CellChange puts Text into a cell of a sheet: of row Row, counted from 0
// without blank rows; rows beyond the last are added below it.
type CellChange struct {
	Row, Column int
	Text        string
}

// Change is the sheet's file with cells written anew and rows taken out, all
// counted as they stand. Everything else keeps its bytes. Errors are one sentence.
func (s Sheet) Change(data []byte, cells []CellChange, without ...int) ([]byte, error) {
	if s.Spreadsheet {
		return nil, fmt.Errorf("the table of %s stands in a workbook, which is only read; change it in the spreadsheet program, or save it as CSV", s.Name)
	}
	type patch struct {
		from, to int
		text     string
	}
	var patches []patch
	added := map[int][]string{}
	for _, c := range cells {
		if c.Column < 0 || c.Column >= len(s.Heads) || c.Row < 0 || c.Row > len(s.Rows)+mostPasted {
			return nil, fmt.Errorf("row %d, column %d is not in the table of %s", c.Row+1, c.Column+1, s.Name)
		}
		text, err := s.spelled(c.Text)
		if err != nil {
			return nil, err
		}
		if c.Row >= len(s.Rows) {
			row := added[c.Row]
			for len(row) < len(s.Heads) {
				row = append(row, "")
			}
			row[c.Column] = text
			added[c.Row] = row
			continue
		}
		row := s.Rows[c.Row]
		if c.Column >= len(row) {
			last := row[len(row)-1]
			text = strings.Repeat(string(s.separator), c.Column-len(row)+1) + text
			patches = append(patches, patch{last.to, last.to, text})
			continue
		}
		patches = append(patches, patch{row[c.Column].from, row[c.Column].to, text})
	}
	for _, i := range without {
		if i < 0 || i >= len(s.Rows) {
			return nil, fmt.Errorf("row %d is not in the table of %s", i+1, s.Name)
		}
		from := lineStart(data, s.Rows[i][0].from)
		to := lineEnd(data, s.Rows[i][len(s.Rows[i])-1].to)
		if s.inside && bytes.Contains(data[from:to], []byte("'''")) {
			return nil, fmt.Errorf("row %d of the table of %s shares its line with the marks around the table; change it in the job file", i+1, s.Name)
		}
		patches = append(patches, patch{from, to, ""})
	}
	if len(added) > 0 {
		var b strings.Builder
		for _, i := range sortedKeys(added) {
			b.WriteString(lineBreak(data))
			b.WriteString(strings.Join(added[i], string(s.separator)))
		}
		patches = append(patches, patch{s.end, s.end, b.String()})
	}
	slices.SortStableFunc(patches, func(a, b patch) int { return a.from - b.from })
	var out bytes.Buffer
	at := 0
	for _, p := range patches {
		if p.from < at {
			return nil, fmt.Errorf("one cell of the table of %s is changed twice", s.Name)
		}
		out.Write(data[at:p.from])
		out.WriteString(p.text)
		at = p.to
	}
	out.Write(data[at:])
	return out.Bytes(), nil
}

// Aside is the sheet's file with rows made comments, all counted as they stand:
// they are read no more and can be put back. Everything else keeps its bytes.
// Errors are one sentence.
func (s Sheet) Aside(data []byte, rows ...int) ([]byte, error) {
	if s.Spreadsheet {
		return nil, fmt.Errorf("the table of %s stands in a workbook, which is only read; take the rows out in the spreadsheet program, or save it as CSV", s.Name)
	}
	var starts []int
	for _, i := range rows {
		if i < 0 || i >= len(s.Rows) {
			return nil, fmt.Errorf("row %d is not in the table of %s", i+1, s.Name)
		}
		from := lineStart(data, s.Rows[i][0].from)
		to := lineEnd(data, s.Rows[i][len(s.Rows[i])-1].to)
		if s.inside && bytes.Contains(data[from:to], []byte("'''")) {
			return nil, fmt.Errorf("row %d of the table of %s shares its line with the marks around the table; change it in the job file", i+1, s.Name)
		}
		for at := from; at < to; at = lineEnd(data, at) { // a quoted cell may hold line ends
			starts = append(starts, at)
		}
	}
	slices.Sort(starts)
	var out bytes.Buffer
	at := 0
	for _, i := range slices.Compact(starts) {
		out.Write(data[at:i])
		out.WriteString("# ")
		at = i
	}
	out.Write(data[at:])
	return out.Bytes(), nil
}

// mostPasted is how many rows can be added at once.
const mostPasted = 20_000

// spelled is a text as it stands in a cell.
func (s Sheet) spelled(text string) (string, error) {
	text = oneRow(text)
	if s.inside && strings.Contains(text, "'''") {
		return "", fmt.Errorf("%s cannot stand in a table inside the job file, as ''' ends it there", quote(text))
	}
	if len(text) > longestCell {
		return "", fmt.Errorf("the text is longer than any cell of a table")
	}
	if strings.ContainsAny(text, string(s.separator)+`"`) && (strings.IndexByte(text, s.separator) >= 0 || strings.HasPrefix(text, `"`)) || strings.HasPrefix(text, "#") {
		return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`, nil
	}
	return text, nil
}

func lineStart(data []byte, at int) int {
	for at > 0 && data[at-1] != '\n' && data[at-1] != '\r' {
		at--
	}
	return at
}

// lineEnd is behind the line end after an offset.
func lineEnd(data []byte, at int) int {
	for at < len(data) && data[at] != '\n' && data[at] != '\r' {
		at++
	}
	if at < len(data) && data[at] == '\r' {
		at++
	}
	if at < len(data) && data[at] == '\n' {
		at++
	}
	return at
}

// lineBreak is how the lines of a text end.
func lineBreak(data []byte) string {
	switch i := bytes.IndexAny(data, "\r\n"); {
	case i < 0 || data[i] == '\n':
		return "\n"
	case i+1 < len(data) && data[i+1] == '\n':
		return "\r\n"
	}
	return "\r"
}

func sortedKeys(m map[int][]string) []int {
	var list []int
	for k := range m {
		list = append(list, k)
	}
	slices.Sort(list)
	return list
}
