package rack

import (
	"bytes"
	"context"
	"database/sql"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"time"
	"unicode/utf8"

	"sawbill/internal/length"
)

// heads of a table of pieces; those behind material and length may be left out.
var heads = []string{"id", "material", "length", "width", "place", "date", "note", "job", "reserved for", "by plan", "reserved on", "in folder"}

// Rows are pieces as a table, heads first, every length exact.
func Rows(pieces []Offcut) [][]string {
	rows := [][]string{heads}
	for _, o := range pieces {
		wide, h := "", Hold{}
		if o.Width > 0 {
			wide = o.Width.String()
		}
		if o.Held != nil {
			h = *o.Held
		}
		rows = append(rows, []string{strconv.FormatInt(o.ID, 10), o.Material, o.Length.String(), wide, o.Place, o.Date, o.Note, o.Job, h.Job, h.Plan, h.Date, h.Folder})
	}
	return rows
}

// Faults are all that is wrong with a table: file, line, column and what to write.
type Faults []string

func (f Faults) Error() string { return strings.Join(f, "\n") }

// mostFaults are told of one table.
const mostFaults = 1000

// ReadCSV reads a table of pieces as Rows has them, with any of the separators
// comma, semicolon and tab, its columns in any order. Pieces without an id have the
// number 0. The error is Faults, with all of them.
func ReadCSV(file string, data []byte) ([]Offcut, error) {
	data = bytes.TrimPrefix(data, []byte("\ufeff"))
	t := &table{file: file, data: data, lines: bytes.Split(data, []byte("\n"))}
	if !utf8.Valid(data) {
		return nil, Faults{file + ":1:1: the file is not UTF-8; save it as \"CSV UTF-8\""}
	}
	t.Reader = csv.NewReader(bytes.NewReader(data))
	t.FieldsPerRecord = -1
	first, _, _ := bytes.Cut(data, []byte("\n"))
	for _, c := range ";\t" {
		if bytes.Count(first, []byte(string(c))) > bytes.Count(first, []byte(string(t.Comma))) {
			t.Comma = c
		}
	}
	pieces := t.read()
	if len(t.faults) > 0 {
		return nil, t.faults
	}
	return pieces, nil
}

// table is a CSV file while it is read.
type table struct {
	*csv.Reader
	file   string
	data   []byte
	lines  [][]byte
	column map[string]int
	row    []string
	faults Faults
	met    map[int64]int // line of each id
}

func (t *table) fault(field int, format string, args ...any) {
	if len(t.faults) < mostFaults {
		line, column := t.FieldPos(field)
		if line-1 < len(t.lines) && column-1 <= len(t.lines[line-1]) {
			column = utf8.RuneCount(t.lines[line-1][:column-1]) + 1
		}
		t.faults = append(t.faults, fmt.Sprintf("%s:%d:%d: %s", t.file, line, column, fmt.Sprintf(format, args...)))
	}
}

func (t *table) read() (pieces []Offcut) {
	t.met = map[int64]int{}
	for {
		row, err := t.Read()
		var syntax *csv.ParseError
		switch {
		case err == io.EOF && t.column == nil:
			t.faults = append(t.faults, t.file+":1:1: the file is empty; begin it with the heads "+strings.Join(heads, ","))
			return nil
		case err == io.EOF:
			return pieces
		case errors.As(err, &syntax):
			t.faults = append(t.faults, fmt.Sprintf("%s:%d:%d: the quotation marks are wrong; write a quotation mark in a cell twice, and the cell between two", t.file, syntax.Line, syntax.Column))
			return nil
		case err != nil:
			t.faults = append(t.faults, t.file+":1:1: "+err.Error())
			return nil
		}
		if t.row = row; t.column == nil {
			if !t.heads() {
				return nil
			}
			continue
		}
		if !slices.ContainsFunc(row, func(cell string) bool { return strings.TrimSpace(cell) != "" }) {
			continue
		}
		if len(row) > len(t.column) {
			t.fault(len(t.column), "the row has %d cells and the heads are %d; put a cell with the separator in it between quotation marks", len(row), len(t.column))
			continue
		}
		pieces = append(pieces, t.piece())
	}
}

// heads reads the first row.
func (t *table) heads() bool {
	t.column = map[string]int{}
	for i, cell := range t.row {
		head := strings.ToLower(strings.TrimSpace(cell))
		switch _, twice := t.column[head]; {
		case !slices.Contains(heads, head):
			t.fault(i, "%q is no head of a rack's table; the heads are %s", cell, strings.Join(heads, ", "))
		case twice:
			t.fault(i, "the head %q stands twice; leave one out", cell)
		}
		t.column[head] = i
	}
	for _, need := range []string{"material", "length"} {
		if _, there := t.column[need]; !there && len(t.faults) == 0 {
			t.fault(0, "there is no head %q; add the column", need)
		}
	}
	return len(t.faults) == 0
}

// cell is a cell of the row and its place; at the first where there is none.
func (t *table) cell(head string) (text string, field int) {
	i, there := t.column[head]
	if !there || i >= len(t.row) {
		return "", 0
	}
	return t.row[i], i
}

func (t *table) piece() (o Offcut) {
	if text, at := t.cell("id"); strings.TrimSpace(text) != "" {
		id, err := strconv.ParseInt(strings.TrimSpace(text), 10, 64)
		line, _ := t.FieldPos(at)
		switch first, twice := t.met[id]; {
		case err != nil || id < 1:
			t.fault(at, "id %q is no number from 1 up; write one, or leave it empty for a new one", text)
		case twice:
			t.fault(at, "the id %d stands twice, first in line %d; leave it empty for a new one", id, first)
		}
		o.ID, t.met[id] = id, line
	}
	text, at := t.cell("material")
	spelling, sheet, err := Material(text)
	if err != nil {
		t.fault(at, "material: %v", err)
	}
	o.Material = spelling
	o.Length = t.length("length")
	wide, at := t.cell("width")
	switch blank := strings.TrimSpace(wide) == ""; {
	case err != nil:
	case sheet && blank:
		t.fault(at, "%s is a sheet and has no width; write it under \"width\"", spelling)
	case sheet:
		o.Width = t.length("width")
	case !blank:
		t.fault(at, "width %q is given and %s is a bar; leave it empty", wide, spelling)
	}
	for head, to := range map[string]*string{"place": &o.Place, "note": &o.Note, "job": &o.Job} {
		*to = t.line(head)
	}
	o.Date = t.date("date")
	h := Hold{Owner{t.line("reserved for"), t.line("in folder")}, t.line("by plan"), t.date("reserved on")}
	switch _, at := t.cell("by plan"); {
	case h.Job != "":
		o.Held = &h
	case h != Hold{}:
		t.fault(at, "the reservation does not say for which job; write it under \"reserved for\", or leave its other cells empty")
	}
	return o
}

func (t *table) length(head string) length.Length {
	text, at := t.cell(head)
	l, err := length.Parse(text, length.Reading{Unit: length.MM})
	switch {
	case strings.TrimSpace(text) == "":
		t.fault(at, "the row has no %s; write one, in mm unless a unit is written", head)
	case err != nil:
		t.fault(at, "%s: %v", head, err)
	case l <= 0:
		t.fault(at, "%s %q is not a length of a piece; write one above 0", head, text)
	}
	return l
}

// line is a cell of one line, as it stands.
func (t *table) line(head string) string {
	text, at := t.cell(head)
	if text != oneLine(text) {
		t.fault(at, "%s %q is more than one line, or has characters that cannot be printed; write one line", head, text)
	}
	return text
}

func (t *table) date(head string) string {
	text, at := t.cell(head)
	text = strings.TrimSpace(text)
	if _, err := time.Parse(time.DateOnly, text); text != "" && err != nil {
		t.fault(at, "%s %q is no date; write it as 2026-05-02, or leave it empty", head, text)
	}
	return text
}

// Import puts pieces in, all or none, under the numbers and with the reservations
// that they have; those with the number 0 get one. It returns the numbers in order.
func (r *Rack) Import(ctx context.Context, pieces []Offcut) (ids []int64, err error) {
	err = r.write(ctx, func(tx *sql.Tx) error {
		ids = nil
		order := make([]int, 0, len(pieces)) // given numbers first, so that none is given anew
		for _, given := range []bool{true, false} {
			for i, o := range pieces {
				if (o.ID != 0) == given {
					order = append(order, i)
				}
			}
		}
		ids = make([]int64, len(pieces))
		for _, i := range order {
			o := pieces[i]
			var there int
			if err := tx.QueryRowContext(ctx, "SELECT count(*) FROM offcut WHERE id = ?", o.ID).Scan(&there); err != nil {
				return err
			}
			if there > 0 {
				return fmt.Errorf("no. %d is on the rack already; drop it first, or leave the id empty for a new one", o.ID)
			}
			in, err := put(ctx, tx, []Offcut{o})
			if err != nil {
				return err
			}
			ids[i] = in[0]
			if o.Held != nil {
				if err := hold(ctx, tx, *o.Held, []int64{ids[i]}); err != nil {
					return err
				}
			}
		}
		return nil
	})
	return ids, err
}
