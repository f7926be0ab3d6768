package report

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// Paint marks: what to write on tube and sheet by hand, where no label holds, and on
// which face, one that nothing is bonded to.

// longestPaint is how many letters are quickly written with a pen.
const longestPaint = 4

// paintLetters leaves out those that are taken for figures, as marks do.
const paintLetters = "ABCDEFGHJKLMNPRSTUVWXYZ"

// paintMarks gives every mark a short one: itself where it is short and plain, else
// a letter and a figure that no mark has.
func paintMarks(marks []string) map[string]string {
	taken := map[string]bool{}
	short := map[string]string{}
	for _, m := range marks {
		if len([]rune(m)) <= longestPaint && !taken[strings.ToUpper(m)] && plainMark(m) {
			short[m] = m
			taken[strings.ToUpper(m)] = true
		}
	}
	n := 0
	for _, m := range marks {
		for short[m] == "" {
			name := fmt.Sprintf("%c%d", paintLetters[n/99%len(paintLetters)], n%99+1)
			if round := n / 99 / len(paintLetters); round > 0 {
				name += fmt.Sprint("-", round)
			}
			n++
			if !taken[name] {
				short[m] = name
				taken[name] = true
			}
		}
	}
	return short
}

// plainMark reports whether a mark is of letters and figures that a pen writes fast.
func plainMark(m string) bool {
	for _, r := range m {
		if r > unicode.MaxASCII || !unicode.IsLetter(r) && !unicode.IsDigit(r) {
			return false
		}
	}
	return m != ""
}

// paintPaper lists the marks to write, in cutting order.
func (s *set) paintPaper(order []made) *document {
	var marks []string
	first, count := map[string]made{}, map[string]int64{}
	for _, m := range order {
		if count[m.mark]++; count[m.mark] == 1 {
			marks = append(marks, m.mark)
			first[m.mark] = m
		}
	}
	short := paintMarks(marks)
	d := s.document("Paint marks", false)
	d.newPage()
	d.heading("Paint marks", 15)
	d.paragraph("Labels fall off oiled tube, and what stays of their glue spoils a bond. Wipe the piece, write the short mark with a paint pen "+
		"as soon as it is cut, on the face named; stick a label elsewhere, or tie it on. Copies of one mark are alike and need no number. "+
		"Faces are counted as in the job's rows: with the piece's left end on the left, face 2 adjoins face 1 at its upper edge, and so on round.", 9)
	d.gap(2)
	longer := 0.0 // the column of marks that are not written as they are
	for mark, paint := range short {
		if mark != paint {
			longer = 32
		}
	}
	columns := []column{{head: "done", share: 8, tick: true}, {head: "write", share: 16, bold: true}, {head: "mark", share: longer, wrap: true, whole: true},
		{head: "pieces", share: 12, align: drawing.Right}, {head: "size, " + d.unit.String(), share: 32, align: drawing.Right},
		{head: "material", share: 20, wrap: true}, {head: "where to write", share: 94 - longer, wrap: true, whole: true}}
	if longer == 0 {
		columns = slices.Delete(columns, 2, 3)
	}
	t := d.table(10, columns...)
	for _, mark := range marks {
		m := first[mark]
		size, where := d.own(m.piece.Length), d.pieceFace(m)
		if m.material.Kind == plan.Sheet {
			size, where = d.own(m.panel.Length)+" × "+d.own(m.panel.Width), d.panelFace(m)
		}
		cells := []string{"", short[mark], mark, fmt.Sprint(count[mark]), size, m.material.Key, where}
		if longer == 0 {
			cells = slices.Delete(cells, 2, 3)
		}
		t.row(cells...)
	}
	t.end()
	return d
}

// pieceFace says where a piece may be written on: what the job's rows of rivets tell
// of its faces.
func (s *set) pieceFace(m made) string {
	bonded := map[int]bool{}
	var skins []string
	for _, p := range s.job.Panels {
		if p.Form == nil {
			continue
		}
		for _, row := range p.Form.Rows {
			switch {
			case row.Row.Bond < 0: // none
			case row.Place.On == m.mark:
				bonded[row.Place.Face] = true
			case row.Place.On == "" && materialAt(s.job, row.Member).Key == m.material.Key && !slices.Contains(skins, p.Mark):
				skins = append(skins, p.Mark)
			}
		}
	}
	var is, free []string
	for face := 1; face <= 4; face++ {
		if bonded[face] {
			is = append(is, fmt.Sprint(face))
		} else {
			free = append(free, fmt.Sprint(face))
		}
	}
	switch {
	case len(is) == 4:
		return "inside an end: all four faces are bonded"
	case len(is) > 0 && len(skins) == 0:
		return "face " + strings.Join(free, " or ") + "; bonded: " + strings.Join(is, ", ")
	case len(is) > 0:
		return "not face " + strings.Join(is, " and ") + ", nor where a skin is bonded"
	case len(skins) > 0:
		return "where no skin is bonded to it; " + firstOf(skins) + " are bonded to pieces of " + m.material.Key
	case s.materials[m.material.Key].GoodSide:
		return "any face but the good side"
	}
	return "any face"
}

// firstOf lists the first few names.
func firstOf(names []string) string {
	const most = 6
	if len(names) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
	}
	return strings.Join(names, ", ")
}

func (s *set) panelFace(m made) string {
	side := "either side"
	if s.materials[m.material.Key].GoodSide {
		side = "back, not the good side"
	}
	if m.panel.Form == nil {
		return side
	}
	for _, row := range m.panel.Form.Rows {
		if row.Row.Bond >= 0 {
			return side + ", clear of the rows of rivets, where it is bonded"
		}
	}
	return side
}
