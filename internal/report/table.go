package report

import (
	"slices"
	"strings"

	"sawbill/internal/report/drawing"
	"sawbill/internal/report/screen"
)

// shareFor is the share of a column of such texts in a table as wide as its shares are
// millimetres: as wide as the longest, between least and most.
func (s *set) shareFor(texts []string, size, least, most float64) float64 {
	for _, text := range texts {
		least = max(least, s.measure(text, font{size: size, bold: true})+4)
	}
	return min(least, most)
}

// kept are words that stay on one line.
func kept(text string) string { return strings.ReplaceAll(text, " ", "\u00a0") }

// column of a table; its share of the width.
type column struct {
	head  string
	share float64
	align drawing.Align
	bold  bool
	// tick draws a box to tick in every row, box an empty field to fill in.
	tick, box bool
	// wrap breaks long texts into lines instead of lessening and clipping them;
	// whole lets them have more lines than other cells.
	wrap, whole bool
}

// table writes rows under a head that is repeated on each page.
type table struct {
	*document
	columns []column
	size    float64 // points
	high    float64 // of a row, mm
	total   float64
	byHand  []bool // columns that are filled in by hand, and not shown on a screen
}

// table starts a table at the pen.
func (d *document) table(size float64, columns ...column) *table {
	t := &table{document: d, columns: columns, size: size, high: size*typeLine + 2}
	for _, c := range columns {
		t.total += c.share
	}
	t.tellTable()
	d.need(3 * t.high)
	t.drawHead()
	d.head = t.drawHead
	return t
}

// typeLine is the height of a line of type in mm per point.
const typeLine = 0.42

// end lets the next page start without the table's head.
func (t *table) end() {
	t.head = nil
	t.y += 2
}

func (t *table) drawHead() {
	p := &t.page().Page
	t.y += t.high - 1
	t.cells(func(i int, c column, x, w float64) {
		t.put(x, w, c.head, font{size: t.size * 0.75, least: 5, align: c.align})
	})
	t.y += 1
	p.Stroke(t.left(), t.y, t.right(), t.y, medium)
}

func (t *table) cells(draw func(i int, c column, x, w float64)) {
	x := t.left()
	for i, c := range t.columns {
		w := t.width() * c.share / t.total
		draw(i, c, x, w)
		x += w
	}
}

func (t *table) put(x, w float64, text string, f font) {
	const pad = 1.2
	at := x + pad
	switch f.align {
	case drawing.Right:
		at = x + w - pad
	case drawing.Centre:
		at = x + w/2
	}
	t.write(&t.page().Page, at, t.y-0.6, w-2*pad, text, f)
}

// row writes one row; missing cells stay empty.
func (t *table) row(cells ...string) { t.line(false, cells, nil) }

// plain writes a row without boxes to tick.
func (t *table) plain(cells ...string) {
	columns := t.columns
	t.columns = slices.Clone(columns)
	for i := range t.columns {
		t.columns[i].tick, t.columns[i].box, t.columns[i].bold = false, false, false
	}
	t.line(false, cells, nil)
	t.columns = columns
}

// rowWith writes a row with a second, small line.
func (t *table) rowWith(second []string, cells ...string) { t.line(false, cells, second) }

// sum is a bold row.
func (t *table) sum(cells ...string) { t.line(true, cells, nil) }

func (t *table) line(bold bool, cells, second []string) {
	const pad = 1.2
	t.tellLine(bold, cells, second)
	small := t.size * 0.8
	texts := make([][]string, len(t.columns))
	more := 0.0
	t.cells(func(i int, c column, x, w float64) {
		if i < len(cells) && cells[i] != "" {
			texts[i] = []string{cells[i]}
			if c.wrap && t.measure(cells[i], font{size: t.size, bold: bold || c.bold}) > w-2*pad {
				texts[i] = t.wrapped(cells[i], small, bold || c.bold, w-2*pad, c.whole)
			}
		}
		if i < len(second) && second[i] != "" {
			more := []string{second[i]}
			if c.wrap {
				more = t.wrapped(second[i], small, false, w-2*pad, c.whole)
			}
			texts[i] = append(texts[i], more...)
		}
		more = max(more, float64(len(texts[i])-1)*small*typeLine)
	})
	if more > 0 {
		more += 0.6
	}
	if bold {
		t.need(t.high + more)
	} else {
		t.need(2*t.high + more) // a sum may follow, and is not to stand alone
	}
	first := t.y + t.high - 1
	t.cells(func(i int, c column, x, w float64) {
		if c.tick && !bold {
			tick(&t.page().Page, x+(w-4)/2, first, 4)
		}
		if c.box && !bold {
			t.page().Box(x+0.6, first-t.high+2.2, w-1.2, t.high-1.8+more, hair, drawing.None)
		}
		for k, text := range texts[i] {
			t.y = first + float64(k)*small*typeLine
			f := font{size: t.size, least: t.size * 0.6, bold: bold || c.bold, align: c.align}
			if k > 0 || (c.wrap && len(texts[i]) > 1 && len(second) == 0) {
				f.size = small
			}
			t.put(x, w, text, f)
		}
	})
	t.y = first + more + 1
	t.page().Stroke(t.left(), t.y, t.right(), t.y, hair)
}

// mostCellLines and mostWholeLines keep one row from filling a page.
const (
	mostCellLines  = 4
	mostWholeLines = 24
)

func (t *table) wrapped(text string, size float64, bold bool, width float64, whole bool) []string {
	most := mostCellLines
	if whole {
		most = mostWholeLines
	}
	lines := t.face.Wrap(t.clean(text), size, bold, width)
	if len(lines) > most {
		lines = lines[:most]
		lines[most-1] = t.face.Clip(lines[most-1]+" …", size, bold, width)
	}
	return lines
}

// group is a bold line across the table, kept with the row that follows.
func (t *table) group(text string) {
	t.tellRow(screen.Row{Group: text})
	t.need(3 * t.high)
	t.y += t.high
	t.write(&t.page().Page, t.left()+1, t.y-0.6, t.width()-2, text, font{size: t.size, least: t.size * 0.7, bold: true})
	t.y += 1
	t.page().Stroke(t.left(), t.y, t.right(), t.y, thin)
}
