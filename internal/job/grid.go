package job

import (
	"bytes"
	"regexp"
	"strings"
)

// A grid is a table as rows of cells, wherever it came from.
type grid struct {
	file string
	rows []line
	// separator is between the cells of a text; 0 for a spreadsheet.
	separator byte
	// comments are lines with separators that were taken for comments and might
	// have been meant as rows.
	comments []Pos
}

// line is one row of a grid.
type line struct {
	cells []cell
	at    Pos
}

// cell is one cell, trimmed, and its place. number is set for what a
// spreadsheet holds as a number, which has a decimal point in any language.
type cell struct {
	text   string
	at     Pos
	number bool
	// from and to are where its text stands in the source, quotes included; both
	// 0 in a spreadsheet.
	from, to int
}

// blank reports whether nothing stands in the row.
func (l line) blank() bool {
	for _, c := range l.cells {
		if c.text != "" {
			return false
		}
	}
	return true
}

// filled counts the cells up to the last that holds something.
func (l line) filled() int {
	n := len(l.cells)
	for n > 0 && l.cells[n-1].text == "" {
		n--
	}
	return n
}

// longestCell is the most bytes a cell may hold, more than any spreadsheet
// program allows; beyond it a closing quote is missing, or it is no table.
const longestCell = 64 << 10

// separators in the order they win when nothing else decides. A semicolon or a
// tab is hardly ever in a cell by chance, a comma often.
var separators = []byte{';', '\t', ','}

// splitText cuts a text into cells at a separator. The text begins at offset
// base of the source, so that places are those in the file. A cell in double
// quotes may hold the separator, line ends and doubled quotes (RFC 4180); a
// lone quote in a cell that does not begin with one is an inch mark. most
// limits the rows.
//
// The second result says what ended the rows early, if anything did.
func splitText(text source, base, end int, separator byte, most int) (grid, *Message) {
	g := grid{file: text.file, separator: separator}
	data := text.data[:end]
	at := base
	for at < len(data) && len(g.rows) < most {
		if comment(data[at:]) {
			next := min(text.end(at), end)
			if mark := bytes.TrimLeft(data[at:next], " \t"); len(mark) > 1 && mark[1] > '9' && bytes.Count(mark, []byte{separator}) > 1 {
				g.comments = append(g.comments, text.at(at))
			}
			at = next
			continue
		}
		row := line{at: text.at(at)}
		for {
			start := at + len(data[at:]) - len(bytes.TrimLeft(data[at:], blanks(separator)))
			if start < len(data) && data[start] == '"' {
				content, next, closed := quotedCell(data, start, separator)
				if !closed {
					return g, &Message{text.at(start), "the quote that begins this cell is never closed; close it, or take it out"}
				}
				if next >= 0 {
					row.cells = append(row.cells, cell{text: oneRow(content), at: text.at(start), from: start, to: next})
					at = next
					if at < len(data) && data[at] == separator && len(row.cells) < mostColumns {
						at++
						continue
					}
					break
				}
			}
			stop := at
			for stop < len(data) && data[stop] != separator && data[stop] != '\n' && data[stop] != '\r' {
				stop++
			}
			if stop-at > longestCell {
				return g, &Message{text.at(at), "a cell of this row is longer than any cell of a table; check that the file is a table"}
			}
			bare := strings.TrimSpace(string(data[at:stop]))
			begin := min(start, stop)
			row.cells = append(row.cells, cell{text: bare, at: text.at(begin), from: begin, to: begin + len(bare)})
			at = stop
			if at < len(data) && data[at] == separator && len(row.cells) < mostColumns {
				at++
				continue
			}
			break
		}
		at = min(text.end(at), end)
		g.rows = append(g.rows, row)
	}
	return g, nil
}

var lineEnds = regexp.MustCompile(`\s*[\r\n\v\f\x{2028}\x{2029}]\s*`)

// oneRow is the text of a cell without blanks around it and with one in place
// of each line end.
func oneRow(content string) string {
	return strings.TrimSpace(lineEnds.ReplaceAllString(content, " "))
}

func blanks(separator byte) string {
	if separator == '\t' {
		return " "
	}
	return " \t"
}

// comment reports whether a line begins with #.
func comment(data []byte) bool {
	t := bytes.TrimLeft(data, " \t")
	return len(t) > 0 && t[0] == '#' && (len(t) == 1 || t[1] == ' ' || t[1] == '#' || t[1] == '\t' || t[1] == '\n' || t[1] == '\r' || t[1] > '9')
}

// quotedCell reads a cell that begins with a quote. next is where the separator
// or line end behind it stands, or -1 if something else follows the closing
// quote, in which case the quotes are part of the cell.
func quotedCell(data []byte, start int, separator byte) (content string, next int, closed bool) {
	var b strings.Builder
	i := start + 1
	for {
		stop := bytes.IndexByte(data[i:], '"')
		if stop < 0 || i+stop-start > longestCell {
			return "", -1, false
		}
		b.Write(data[i : i+stop])
		i += stop + 1
		if i < len(data) && data[i] == '"' {
			b.WriteByte('"')
			i++
			continue
		}
		break
	}
	for i < len(data) && (data[i] == ' ' || data[i] == '\t' && separator != '\t') {
		i++
	}
	if i == len(data) || data[i] == separator || data[i] == '\n' || data[i] == '\r' {
		return b.String(), i, true
	}
	return "", -1, true
}
