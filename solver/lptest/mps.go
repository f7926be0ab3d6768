package lptest

import (
	"bufio"
	"bytes"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"sawbill/solver"
)

// Problem is a linear program as read from an MPS file.
type Problem struct {
	Name    string
	Columns []Column
	Rows    []Row
	// Constant is added to the objective.
	Constant float64
}

// Column is one variable with its coefficients.
type Column struct {
	Name         string
	Cost         float64
	Lower, Upper float64
	Integer      bool
	Rows         []int32
	Values       []float64
}

// Row is one constraint.
type Row struct {
	Name         string
	Lower, Upper float64
}

// Load builds the problem in lp, rows first.
func (p *Problem) Load(lp solver.LP) {
	for _, r := range p.Rows {
		lp.AddRow(r.Lower, r.Upper, nil, nil)
	}
	for _, c := range p.Columns {
		lp.AddColumn(c.Cost, c.Lower, c.Upper, c.Rows, c.Values)
	}
}

// mpsReader holds what the sections share.
type mpsReader struct {
	p         *Problem
	objective string
	free      map[string]bool // free rows other than the objective
	rows      map[string]int
	columns   map[string]int
	kinds     []byte
	integer   bool
	lowerSet  map[int]bool
}

// ReadMPS reads MPS (the format of IBM's Mathematical Programming System/360,
// 1969, as commonly extended), first as free MPS, with fields separated by
// blanks, and if that is not possible as fixed MPS, with fields at their
// columns and blanks allowed in names. The first N row is the objective,
// further N rows are dropped. A right-hand side of the objective is the
// negative of its constant. An UP bound below zero on a column without a
// lower bound of its own makes the lower bound minus infinity.
func ReadMPS(r io.Reader) (*Problem, error) {
	text, err := io.ReadAll(r)
	if err != nil {
		return nil, err
	}
	p, freeErr := readMPS(text, false)
	if freeErr == nil {
		return p, nil
	}
	if p, err = readMPS(text, true); err != nil {
		return nil, fmt.Errorf("neither free MPS (%v) nor fixed MPS (%v)", freeErr, err)
	}
	return p, nil
}

func readMPS(text []byte, fixed bool) (*Problem, error) {
	m := &mpsReader{p: &Problem{}, free: map[string]bool{}, rows: map[string]int{},
		columns: map[string]int{}, lowerSet: map[int]bool{}}
	sc := bufio.NewScanner(bytes.NewReader(text))
	section := ""
	for line := 1; sc.Scan(); line++ {
		text := sc.Text()
		if strings.HasPrefix(text, "*") || strings.TrimSpace(text) == "" {
			continue
		}
		f := fields(text, fixed)
		if text[0] != ' ' && text[0] != '\t' {
			section = f[0]
			if section == "NAME" && len(f) > 1 {
				m.p.Name = f[1]
			}
			if section == "ENDATA" {
				return m.p, nil
			}
			continue
		}
		if err := m.line(section, f); err != nil {
			return nil, fmt.Errorf("line %d: %w", line, err)
		}
	}
	if err := sc.Err(); err != nil {
		return nil, err
	}
	return nil, fmt.Errorf("no ENDATA line")
}

// fields splits a line; in fixed MPS the fields start at columns 2, 5, 15,
// 25, 40 and 50.
func fields(text string, fixed bool) []string {
	if !fixed || text[0] != ' ' {
		return strings.Fields(text)
	}
	starts := []int{1, 4, 14, 24, 39, 49, len(text)}
	var f []string
	for k := range 6 {
		from, to := min(starts[k], len(text)), min(starts[k+1], len(text))
		if s := strings.TrimSpace(text[from:max(from, to)]); s != "" {
			f = append(f, s)
		}
	}
	return f
}

func (m *mpsReader) line(section string, f []string) error {
	switch section {
	case "ROWS":
		return m.row(f)
	case "COLUMNS":
		return m.column(f)
	case "RHS":
		return m.pairs(f, m.rightSide)
	case "RANGES":
		return m.pairs(f, m.rangeOf)
	case "BOUNDS":
		return m.bound(f)
	}
	return fmt.Errorf("data in section %q", section)
}

func (m *mpsReader) row(f []string) error {
	if len(f) != 2 {
		return fmt.Errorf("a row needs a kind and a name, not %q", f)
	}
	row := Row{Name: f[1], Lower: math.Inf(-1), Upper: math.Inf(1)}
	switch f[0] {
	case "N":
		if m.objective == "" {
			m.objective = f[1]
		} else {
			m.free[f[1]] = true
		}
		return nil
	case "E":
		row.Lower, row.Upper = 0, 0
	case "L":
		row.Upper = 0
	case "G":
		row.Lower = 0
	default:
		return fmt.Errorf("row kind %q is not N, E, L or G", f[0])
	}
	m.rows[f[1]] = len(m.p.Rows)
	m.kinds = append(m.kinds, f[0][0])
	m.p.Rows = append(m.p.Rows, row)
	return nil
}

func (m *mpsReader) column(f []string) error {
	if len(f) >= 3 && f[1] == "'MARKER'" {
		m.integer = f[2] == "'INTORG'"
		return nil
	}
	if len(f) != 3 && len(f) != 5 {
		return fmt.Errorf("a column needs a name and one or two pairs, not %q", f)
	}
	j, ok := m.columns[f[0]]
	if !ok {
		j = len(m.p.Columns)
		m.columns[f[0]] = j
		m.p.Columns = append(m.p.Columns, Column{Name: f[0], Upper: math.Inf(1), Integer: m.integer})
	}
	return m.pairs(f, func(row string, v float64) error {
		c := &m.p.Columns[j]
		if row == m.objective {
			c.Cost = v
			return nil
		}
		i, ok := m.rows[row]
		if !ok {
			return m.unknownRow(row)
		}
		c.Rows = append(c.Rows, int32(i))
		c.Values = append(c.Values, v)
		return nil
	})
}

func (m *mpsReader) unknownRow(row string) error {
	if m.free[row] {
		return nil
	}
	return fmt.Errorf("row %q is not in ROWS", row)
}

// pairs calls use for each (name, number) of a line; the leading set name may
// be missing.
func (m *mpsReader) pairs(f []string, use func(name string, v float64) error) error {
	if len(f)%2 == 1 {
		f = f[1:]
	}
	for k := 0; k < len(f); k += 2 {
		v, err := strconv.ParseFloat(f[k+1], 64)
		if err != nil {
			return fmt.Errorf("%q is not a number", f[k+1])
		}
		if err := use(f[k], v); err != nil {
			return err
		}
	}
	return nil
}

func (m *mpsReader) rightSide(row string, v float64) error {
	if row == m.objective {
		m.p.Constant = -v
		return nil
	}
	i, ok := m.rows[row]
	if !ok {
		return m.unknownRow(row)
	}
	r := &m.p.Rows[i]
	if !math.IsInf(r.Lower, 0) {
		r.Lower = v
	}
	if !math.IsInf(r.Upper, 0) {
		r.Upper = v
	}
	return nil
}

// rangeOf applies R: [v−|R|, v] for L, [v, v+|R|] for G, and for E the side
// the sign of R points to.
func (m *mpsReader) rangeOf(row string, v float64) error {
	i, ok := m.rows[row]
	if !ok {
		return m.unknownRow(row)
	}
	r := &m.p.Rows[i]
	switch {
	case m.kinds[i] == 'L', m.kinds[i] == 'E' && v < 0:
		r.Lower = r.Upper - math.Abs(v)
	default:
		r.Upper = r.Lower + math.Abs(v)
	}
	return nil
}

func (m *mpsReader) bound(f []string) error {
	valued := f[0] != "FR" && f[0] != "MI" && f[0] != "PL" && f[0] != "BV"
	name, number := 2, 3
	if valued && len(f) == 3 || !valued && len(f) == 2 {
		name, number = 1, 2
	}
	if len(f) <= name || valued && len(f) <= number {
		return fmt.Errorf("bound %q is too short", f)
	}
	j, ok := m.columns[f[name]]
	if !ok {
		return fmt.Errorf("column %q is not in COLUMNS", f[name])
	}
	c := &m.p.Columns[j]
	var v float64
	if valued {
		var err error
		if v, err = strconv.ParseFloat(f[number], 64); err != nil {
			return fmt.Errorf("%q is not a number", f[number])
		}
	}
	switch f[0] {
	case "UP":
		c.Upper = v
		if v < 0 && !m.lowerSet[j] {
			c.Lower = math.Inf(-1)
		}
	case "LO":
		c.Lower = v
		m.lowerSet[j] = true
	case "FX":
		c.Lower, c.Upper = v, v
	case "FR":
		c.Lower, c.Upper = math.Inf(-1), math.Inf(1)
	case "MI":
		c.Lower = math.Inf(-1)
		m.lowerSet[j] = true
	case "PL":
		c.Upper = math.Inf(1)
	case "BV":
		c.Lower, c.Upper, c.Integer = 0, 1, true
	case "UI":
		c.Upper, c.Integer = v, true
	case "LI":
		c.Lower, c.Integer = v, true
		m.lowerSet[j] = true
	default:
		return fmt.Errorf("bound kind %q is unknown", f[0])
	}
	return nil
}
