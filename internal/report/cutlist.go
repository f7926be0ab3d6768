package report

import (
	"fmt"
	"slices"
	"sort"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/section"
)

// cut is one row of the cut list: a mark, how many, and from which bars.
type cut struct {
	mark     string
	quantity int64
	numbers  []int // of the bars or sheets, ascending
	piece    job.Piece
	panel    job.Panel
}

// cuts lists what is cut from a material, longest first.
func (s *set) cuts(m plan.Material, supplier string) []cut {
	place := map[string]int{}
	var out []cut
	count := func(mark string, number int) {
		i, met := place[mark]
		if !met {
			i = len(out)
			place[mark] = i
			out = append(out, cut{mark: mark, piece: s.pieces[mark], panel: s.panels[mark]})
		}
		c := &out[i]
		c.quantity++
		if n := len(c.numbers); n == 0 || c.numbers[n-1] != number {
			c.numbers = append(c.numbers, number)
		}
	}
	for _, l := range m.Layouts {
		if supplier != "" && l.Stock.Supplier != supplier {
			continue
		}
		for _, p := range l.Pieces {
			count(p.Mark, l.Number)
		}
		for _, p := range l.Panels {
			count(p.Mark, l.Number)
		}
	}
	for i := range out {
		sort.Ints(out[i].numbers)
	}
	sort.SliceStable(out, func(a, b int) bool {
		p, q := out[a], out[b]
		if p.size() != q.size() {
			return p.size() > q.size()
		}
		if p.panel.Width != q.panel.Width {
			return p.panel.Width > q.panel.Width
		}
		return false
	})
	return out
}

func (c cut) size() length.Length { return max(c.piece.Length, c.panel.Length) }

// nearly is how far apart two different lengths are that hands mix up: common
// practice, no source.
const nearly = 5 * length.Millimetre

// neighbours tells which rows have a length that another row nearly has.
func neighbours(cuts []cut) []bool {
	near := make([]bool, len(cuts))
	for i := range cuts {
		for k := i + 1; k < len(cuts); k++ {
			d := cuts[i].size() - cuts[k].size()
			if d > nearly {
				break
			}
			w := cuts[i].panel.Width - cuts[k].panel.Width
			if (d != 0 || w != 0) && w <= nearly && w >= -nearly {
				near[i], near[k] = true, true
			}
		}
	}
	return near
}

// cutList writes the list of pieces and panels.
func (d *document) cutList(supplier string) {
	d.need(20)
	d.heading("Cut list", 15)
	d.paragraph("Lengths are overall, tip to tip, before any mitre is taken off. Angles are from square: both of one sign make a trapezoid, "+
		"one of each a parallelogram. Cut all pieces of one length at one stop setting, and mark each before the next cut. "+
		"≈ warns of lengths within "+d.withUnit(nearly)+" of another.", 9)
	d.gap(2)
	for _, m := range d.plan.Materials {
		cuts := d.cuts(m, supplier)
		if len(cuts) == 0 {
			continue
		}
		d.need(30)
		d.heading(materialName(m), 12)
		if m.Kind == plan.Sheet {
			d.panelRows(cuts)
		} else {
			d.pieceRows(d.materials[m.Key].Section, cuts)
		}
	}
}

func (d *document) pieceRows(sec section.Section, cuts []cut) {
	mark := d.shareFor(marksOf(cuts, cut.name), 10, 14, 26)
	columns := []column{{head: "done", share: 8, tick: true}, {head: "mark", share: mark, bold: true, wrap: true, whole: true},
		{head: "length, " + d.unit.String(), share: 24, align: drawing.Right, bold: true}, {share: 5},
		{head: "pieces", share: 13, align: drawing.Right}, {head: "left", share: 12, align: drawing.Right},
		{head: "right", share: 13, align: drawing.Right}, {head: "from bars", share: 24, wrap: true}, {head: "note", share: 79 - mark, wrap: true}}
	slanted := slices.ContainsFunc(cuts, func(c cut) bool { return c.piece.Mitred() })
	if slanted {
		columns[8].share -= 22 // of the note
		columns = slices.Insert(columns, 7, column{head: "short point", share: 22, align: drawing.Right})
	}
	sided := slanted && !sec.EqualFaces()
	if sided {
		d.paragraph("Each mitre runs across the side named. "+d.lying(sec), 9)
		columns = slices.Insert(columns, 8, column{head: "mitres laid", share: 34, bold: true, wrap: true, whole: true})
	}
	// More columns take their room from the notes, none of it from the marks.
	const narrow, least = 172, 24 // the table's width on A4, and a note's
	total := 0.0
	for _, c := range columns {
		total += c.share
	}
	notes := &columns[len(columns)-1]
	given := min(max(0, total-narrow), max(0, notes.share-least))
	notes.share -= given
	columns[1].share *= max(1, (total-given)/narrow)
	t := d.table(10, columns...)
	near := neighbours(cuts)
	for i, c := range cuts {
		warn, left, right, short := "", "", "", ""
		if near[i] {
			warn = "≈"
		}
		if c.piece.Mitred() {
			left, right = d.degrees(c.piece.Left), d.degrees(c.piece.Right)
			_, l := edges(sec, c.piece)
			short = d.length(l)
		}
		cells := []string{"", c.mark, d.own(c.piece.Length), warn, fmt.Sprint(c.quantity), left, right, ranges(c.numbers), note(c.piece.Group, fitted(c.piece))}
		if slanted {
			cells = slices.Insert(cells, 7, short)
		}
		if sided {
			cells = slices.Insert(cells, 8, d.laidOn(sec, c.piece))
		}
		t.row(cells...)
	}
	t.end()
}

func (c cut) name() string { return c.mark }

// marksOf lists the marks of rows.
func marksOf[T any](rows []T, mark func(T) string) []string {
	var marks []string
	for _, r := range rows {
		marks = append(marks, mark(r))
	}
	return marks
}

// fitted is the note of a piece, with what its fit asks of whoever cuts it.
func fitted(row job.Piece) string {
	if !row.LeftLong {
		return row.Note
	}
	return strings.Trim(row.Note+"; left long, trim to fit", "; ")
}

func (d *document) panelRows(cuts []cut) {
	once := d.drawnOnce(cuts)
	mark := d.shareFor(marksOf(cuts, cut.name), 10, 14, 26)
	t := d.table(10, column{head: "done", share: 8, tick: true}, column{head: "mark", share: mark, bold: true, wrap: true, whole: true},
		column{head: "length × width, " + d.unit.String(), share: 38, align: drawing.Right, bold: true}, column{share: 5},
		column{head: "panels", share: 13, align: drawing.Right}, column{head: "may turn", share: 14},
		column{head: "from sheets", share: 24, wrap: true}, column{head: "note", share: 76 - mark, wrap: true})
	near := neighbours(cuts)
	for i, c := range cuts {
		warn, turn := "", "no"
		if near[i] {
			warn = "≈"
		}
		if c.panel.Turn {
			turn = "yes"
		}
		t.row("", c.mark, d.own(c.panel.Length)+" × "+d.own(c.panel.Width), warn, fmt.Sprint(c.quantity), turn,
			ranges(c.numbers), note(c.panel.Group, drawn(c.panel, once)))
	}
	t.end()
}

// drawn is the note of a panel, with where to see its form, unless it is said once of many.
func drawn(row job.Panel, once bool) string {
	if row.Form == nil || once {
		return row.Note
	}
	return strings.Trim(row.Note+"; see panels.pdf", "; ")
}

// drawnOnce says of many panels at once where they are drawn, and whether it did.
func (d *document) drawnOnce(cuts []cut) bool {
	const many = 4
	marks := marksOf(formed(cuts), cut.name)
	if len(marks) < many {
		return false
	}
	text := "With holes or an outline of their own, see panels.pdf: " + strings.Join(marks, ", ") + "."
	if len(marks) == len(cuts) {
		text = "All with holes or an outline of their own, see panels.pdf."
	}
	d.paragraph(text, 9)
	return true
}

func note(group, text string) string {
	return strings.Trim(strings.TrimSpace(group+"; "+text), "; ")
}
