package job

import (
	"fmt"
	"sort"
	"strings"
)

// Pos is a place in a file: 1-based line and column, counted in characters;
// zero parts are unknown. In a spreadsheet they are row and column.
type Pos struct {
	File   string
	Line   int
	Column int
}

// String is file:line:column, as far as known.
func (p Pos) String() string {
	switch {
	case p.File == "":
		return ""
	case p.Line == 0:
		return p.File
	case p.Column == 0:
		return fmt.Sprintf("%s:%d", p.File, p.Line)
	}
	return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Column)
}

// Message is one sentence about one place.
type Message struct {
	Pos  Pos
	Text string
}

func (m Message) String() string {
	if at := m.Pos.String(); at != "" {
		return at + ": " + m.Text
	}
	return m.Text
}

// Faults is every fault found, in file order; it is the error Read returns.
type Faults []Message

// printed is how many faults Error lists; a table read with the wrong
// separator has one in every row, and nobody reads the fiftieth.
const printed = 50

func (f Faults) Error() string {
	var lines []string
	for _, m := range f[:min(len(f), printed)] {
		lines = append(lines, m.String())
	}
	if more := len(f) - printed; more > 0 {
		lines = append(lines, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(lines, "\n")
}

// Sort orders by file (as first met), line and column, keeping the order of equals.
func (f Faults) Sort() {
	order := map[string]int{}
	for _, m := range f {
		if _, met := order[m.Pos.File]; !met {
			order[m.Pos.File] = len(order)
		}
	}
	sort.SliceStable(f, func(a, b int) bool {
		p, q := f[a].Pos, f[b].Pos
		if p.File != q.File {
			return order[p.File] < order[q.File]
		}
		if p.Line != q.Line {
			return p.Line < q.Line
		}
		return p.Column < q.Column
	})
}
