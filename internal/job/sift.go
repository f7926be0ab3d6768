package job

import (
	"regexp"
	"slices"
	"strings"
)

// Which rows below the heads are to be read, and how their figures are written.

// keepRows leaves out blank rows, repeated heads and totals, and finds rows
// that have not as many cells as there are heads.
func (t *table) keepRows(heads line) {
	rows := t.grid.rows[t.body:]
	last := -1
	for i, l := range rows {
		if !l.blank() {
			last = i
		}
	}
	for _, at := range t.grid.comments {
		t.r.remark(at, "the row begins with # and was taken for a comment; put its mark in double quotes if it is one")
	}
	join, group := t.groups(), ""
	for i, l := range rows {
		if join != "" {
			l = t.joined(l, join)
		}
		switch {
		case l.blank():
		case sameRow(l, heads):
			t.r.remark(l.at, "the heads stand here again and were not read as a row")
		case t.heading(l) && i < last:
			group = strings.TrimRight(l.cells[l.filled()-1].text, ": ")
			t.r.remark(l.at, "the row %s was taken for a heading of the rows below it", quote(group))
		case t.totals(l, i == last):
			t.r.remark(l.at, "the row of totals was not read")
		case t.miscounted(l):
		default:
			t.rows = append(t.rows, record{t, l, group})
		}
	}
}

// heading reports whether a row holds one text and nothing else, of several
// words or with a colon behind it, as lists have it above the rows of an assembly.
// One word alone may be a mark whose row was not finished.
func (t *table) heading(l line) bool {
	if _, grouped := t.kind.field("group"); !grouped || t.width < 3 {
		return false
	}
	text := ""
	for _, c := range l.cells {
		if c.text != "" && text != "" {
			return false
		}
		text += c.text
	}
	words := strings.Fields(text)
	return !totalWord.MatchString(fold(text)) && (len(words) > 1 && !startsWithDigit.MatchString(text) || len(words) == 1 && len(text) > 1 && strings.HasSuffix(text, ":"))
}

var startsWithDigit = regexp.MustCompile(`^[\d.,+-]`)

func sameRow(a, b line) bool {
	if a.filled() != b.filled() {
		return false
	}
	for i := range a.filled() {
		if a.cells[i].text != b.cells[i].text {
			return false
		}
	}
	return true
}

var totalWord = regexp.MustCompile(`^(total|totals|grand total|subtotal|sub total|sum|sums|summe|summen|gesamt|gesamtsumme|zwischensumme|somme|sous total|total general|totaux|suma|totales|subtotales)\b`)

// totals reports whether a row is one of totals: it says so in its first
// filled cell, or it is the last row and holds nothing but a few numbers in
// place of a mark and a length.
func (t *table) totals(l line, last bool) bool {
	for _, c := range l.cells {
		if c.text != "" {
			if totalWord.MatchString(fold(c.text)) {
				// A supplier or a mark may begin with the word; a row of totals
				// lacks what every row needs.
				for _, f := range []string{"material", "length", "size", "price"} {
					if i, ok := t.columns[f]; ok && i < len(l.cells) && l.cells[i].text != "" && l.cells[i] != c && !numeric(l.cells[i].text) {
						return false
					}
				}
				return true
			}
			break
		}
	}
	if !last || len(l.cells) == 0 || l.cells[0].text != "" {
		return false
	}
	if i, ok := t.columns["mark"]; ok && i < len(l.cells) && l.cells[i].text != "" {
		return false
	}
	for _, c := range l.cells {
		if c.text != "" && !numeric(c.text) {
			return false
		}
	}
	return true
}

var anyNumber = regexp.MustCompile(`^[+-]?\d[\d.,' ]*\s*(\pL{1,3}|€|\$|£)?$`)

func numeric(text string) bool { return anyNumber.MatchString(text) }

var (
	endsInDigits = regexp.MustCompile(`^-?\d+$`)
	fewDigits    = regexp.MustCompile(`^\d{1,3}$`)
)

// miscounted finds a row with more or fewer cells than heads. A spreadsheet
// keeps no empty cells at the end of a row, so there only more are wrong.
func (t *table) miscounted(l line) bool {
	more := l.filled() > t.width
	if !more && (len(l.cells) >= t.width || t.grid.separator == 0) {
		return false
	}
	cells := plural(max(l.filled(), min(len(l.cells), t.width)), "cell")
	if i := t.splitFigure(l); more && i >= 0 {
		t.r.fault(l.cells[i].at, "the row has %s and there are %s: %s,%s looks like one number with a decimal comma; write %[3]s.%[4]s, or separate the columns with semicolons", cells, plural(t.width, "head"), l.cells[i].text, l.cells[i+1].text)
		return true
	}
	advice := "add the missing cell, empty if need be"
	if l.filled() == 1 && strings.ContainsAny(l.cells[0].text, ",;\t") {
		advice = "separate its cells as the heads are separated"
	}
	at := l.at
	if more {
		advice = "put a cell that holds the separator in double quotes, or take the extra cell out"
		if t.grid.separator == 0 {
			advice = "give its column a head, or take the extra cell out"
		}
		extra := t.width
		for l.cells[extra].text == "" {
			extra++
		}
		at = l.cells[extra].at
	}
	t.r.fault(at, "the row has %s and there are %s; %s", cells, plural(t.width, "head"), advice)
	return true
}

// splitFigure finds the cell that is the first half of a number whose decimal
// comma was taken for a separator, or -1. Nothing stands between the two
// halves, and prices have decimals more often than lengths.
func (t *table) splitFigure(l line) int {
	found := -1
	if t.grid.separator != ',' || l.filled() != t.width+1 {
		return found
	}
	for i, c := range l.cells[:t.width] {
		next := l.cells[i+1]
		if !t.measures(i) || !endsInDigits.MatchString(c.text) || !fewDigits.MatchString(next.text) || next.at.Column != c.at.Column+len(c.text)+1 {
			continue
		}
		if price, ok := t.columns["price"]; found < 0 || ok && price == i {
			found = i
		}
	}
	return found
}

// measured are the fields whose figures may have decimals.
var measured = append([]string{"length", "width", "left", "right", "price", "size"}, slices.Concat(formMeasures, billMeasures, adjustMeasures)...)

// measures reports whether a column holds figures that may have decimals.
func (t *table) measures(column int) bool {
	for _, f := range measured {
		if i, ok := t.columns[f]; ok && i == column {
			return true
		}
	}
	return false
}

var (
	pointFigure = regexp.MustCompile(`\d\.\d`)
	commaFigure = regexp.MustCompile(`\d,\d`)
	withPoint   = regexp.MustCompile(`\d[\d.]*\.\d+`)
	pointGroup  = regexp.MustCompile(`^[1-9]\d{0,2}(\.\d{3})+$`)
)

// decimalComma settles the decimal sign of the table. What the job says wins.
// A table separated by commas has a point. One separated by semicolons or tabs
// has a comma unless its figures have points alone; a figure such as 1.200, which
// would be 1200 under a comma, is one with a point only in a column that has
// others which must be, such as 80.5.
func (t *table) decimalComma() bool {
	if t.r.decimal != "" {
		return t.r.decimal == ","
	}
	if t.grid.separator == ',' {
		return false
	}
	points, doubtful, clear := false, map[int]bool{}, map[int]bool{}
	for _, l := range t.grid.rows[t.body:] {
		for i, c := range l.cells {
			if c.number || !t.measures(i) {
				continue
			}
			if commaFigure.MatchString(c.text) {
				return true
			}
			points = points || pointFigure.MatchString(c.text)
			for _, figure := range withPoint.FindAllString(c.text, -1) {
				if pointGroup.MatchString(figure) {
					doubtful[i] = true
				} else {
					clear[i] = true
				}
			}
		}
	}
	if t.grid.separator == 0 {
		return false
	}
	for i := range doubtful {
		if !clear[i] {
			return true
		}
	}
	return !points
}

var (
	pointGroups = regexp.MustCompile(`^[+-]?\d{1,3}(\.\d{3})+,\d+$`)
	markGroups  = regexp.MustCompile(`^[+-]?\d{1,3}(,\d{3})+\.\d+$`)
	oneGroup    = regexp.MustCompile(`^[+-]?[1-9]\d{0,2}[.,]\d{3}$`)
)

// groups is the mark between thousands of the table, when one of its figures
// shows both signs, as 1.250,5 does: then 2.100 beside it has thousands too,
// which alone it might not. It is "" when no figure does, or two disagree.
func (t *table) groups() string {
	wanted, found, sign := markGroups, false, ","
	if t.comma {
		wanted, sign = pointGroups, "."
	}
	for _, l := range t.grid.rows[t.body:] {
		for i, c := range l.cells {
			switch {
			case c.number || !t.measures(i):
			case wanted.MatchString(c.text):
				found = true
			case pointGroups.MatchString(c.text), markGroups.MatchString(c.text):
				return ""
			}
		}
	}
	if !found {
		return ""
	}
	return sign
}

// joined is a row without the mark between thousands in its figures.
func (t *table) joined(l line, mark string) line {
	cells := slices.Clone(l.cells)
	for i, c := range cells {
		if !c.number && t.measures(i) && oneGroup.MatchString(c.text) && strings.Contains(c.text, mark) {
			cells[i].text = strings.Replace(c.text, mark, "", 1)
		}
	}
	return line{cells, l.at}
}
