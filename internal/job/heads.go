package job

import (
	"regexp"
	"strings"

	"sawbill/internal/length"
)

// The row of heads: where it stands, and which column is which.

// searched is how many rows may stand above the heads.
const searched = 60

// headRow finds the row that names the columns: the first with every head the
// table needs, else the one with the most heads, at least two.
func headRow(k tableKind, g grid, mapped map[string]*entry) (row, count int) {
	best, most := 0, 1
	for i, l := range g.rows[:min(len(g.rows), searched)] {
		fields := map[string]bool{}
		for _, c := range l.cells {
			if f, ok := k.head(c.text, mapped); ok {
				fields[f.field] = true
			}
		}
		complete := len(fields) > 1
		for _, f := range k.fields {
			complete = complete && (!f.required || fields[f.name])
		}
		if k.sized() {
			complete = complete && (fields["size"] || fields["length"])
		}
		if complete {
			return i, len(fields)
		}
		if len(fields) > most {
			best, most = i, len(fields)
		}
	}
	if most < 2 {
		return 0, 0
	}
	return best, most
}

// head recognises a head, by the job's own map first.
func (k tableKind) head(text string, mapped map[string]*entry) (known, bool) {
	if text == "" {
		return known{}, false
	}
	for _, f := range k.fields {
		if e := mapped[f.name]; e != nil && sameHead(e.value.text, text) {
			got, ok := k.recognise(text)
			if !ok || got.field != f.name {
				got = k.withUnit(f.name, "")
				if b := inBrackets.FindStringSubmatch(length.Clean(text)); b != nil {
					got = k.withUnit(f.name, b[2])
				}
			}
			return got, true
		}
	}
	got, ok := k.recognise(text)
	if ok && mapped[got.field] != nil {
		return known{}, false // another column has been given to this field
	}
	return got, ok
}

func sameHead(a, b string) bool {
	if fa := fold(a); fa != "" {
		return fa == fold(b)
	}
	return strings.TrimSpace(a) == strings.TrimSpace(b)
}

// withHeads takes the columns from the row of heads and the rows from below it.
func (r *reader) withHeads(k tableKind, g grid, mapped map[string]*entry) *table {
	t := &table{r: r, kind: k, grid: g, columns: map[string]int{}, heads: map[string]known{}}
	t.header, _ = headRow(k, g, mapped)
	heads := g.rows[t.header]
	t.width = heads.filled()
	ok := true
	unread := 0 // columns with a head that means nothing here
	first := map[string]cell{}
	for i, c := range heads.cells[:t.width] {
		h, known := k.head(c.text, mapped)
		switch before, twice := first[h.field]; {
		case !known && r.shared && readElsewhere(k, c.text):
		case !known && c.text != "":
			r.remark(c.at, "the column %s is not read%s", quote(c.text), unreadAngle(k, c.text))
			unread++
		case !known:
		case twice && fold(before.text) == fold(c.text):
			r.fault(c.at, "the head %s stands twice; take one out or rename it", quote(c.text))
			ok = false
		case twice:
			r.fault(c.at, "the columns %s and %s both look like the %s; say which it is with [columns.%s] and %s = %s", quote(before.text), quote(c.text), h.field, k.name, h.field, tomlText(c.text))
			ok = false
		default:
			t.columns[h.field], t.heads[h.field], first[h.field] = i, h, c
		}
	}
	for _, f := range k.fields {
		if e := mapped[f.name]; e != nil {
			if _, found := t.columns[f.name]; !found {
				if e.value.text == "?" {
					r.fault(e.value.pos, "%s is not filled in; write the head of its column, one of %s", f.name, headList(heads.cells[:t.width]))
					ok = false
					continue
				}
				r.fault(e.value.pos, "the table of %s has no column %s; its heads are %s", k.name, quote(e.value.text), headList(heads.cells[:t.width]))
				ok = false
				continue
			}
		}
		if _, found := t.columns[f.name]; f.required && !found && mapped[f.name] == nil {
			if t.unmarked = f.name == "mark" && k.lists() && unread == 0; t.unmarked {
				r.remark(heads.at, "the table of %s has no marks; its rows are marked %s1, %[2]s2 and so on", k.name, rowMarks[k.name])
				continue
			}
			r.fault(heads.at, "the table of %s has no column for the %s; name it %s, or say which it is with [columns.%s] and %[2]s = \"its head\"", k.name, f.name, quote(f.name), k.name)
			ok = false
		}
	}
	_, size := t.columns["size"]
	_, long := t.columns["length"]
	_, wide := t.columns["width"]
	switch {
	case !k.sized():
	case size && long:
		r.fault(first["length"].at, "the table of %s has a column %s and a column %s; say which it is with [columns.%s], or keep one", k.name, quote(first["size"].text), quote(first["length"].text), k.name)
		ok = false
	case !size && !long:
		r.fault(heads.at, "the table of %s has no column for the size; name one \"size\", with cells such as 2500 x 1250, or two \"length\" and \"width\"", k.name)
		ok = false
	case k.name == "panels" && !size && !wide:
		r.fault(heads.at, "the table of panels has no column for the width; name it \"width\"")
		ok = false
	}
	if !ok {
		return nil
	}
	t.unitsBelow()
	titles := 0
	for _, l := range g.rows[:t.header] {
		if !l.blank() {
			titles++
		}
	}
	if titles > 0 {
		were := "were"
		if titles == 1 {
			were = "was"
		}
		r.remark(g.rows[0].at, "%s above the heads %s not read", plural(titles, "row"), were)
	}
	t.comma = t.decimalComma()
	t.keepRows(heads)
	return t
}

var angleWord = regexp.MustCompile(`\b(angles?|mit(re|er)s?|bevels?|winkel|gehrung(en)?|coupes?|angulos?|ingletes?)\b`)

// unreadAngle warns of end angles that are left out.
func unreadAngle(k tableKind, head string) string {
	if k.name != "pieces" || !angleWord.MatchString(fold(head)) {
		return ""
	}
	return "; if it holds end angles, give each end a column, named left and right"
}

// unitsBelow reads a row of units below the heads, such as mm and pcs, as what
// might have stood in the heads.
func (t *table) unitsBelow() {
	t.body = t.header + 1
	if t.body >= len(t.grid.rows) || !isUnits(t.grid.rows[t.body]) {
		return
	}
	units := t.grid.rows[t.body].cells
	t.body++
	for name, i := range t.columns {
		if i >= len(units) || units[i].text == "" {
			continue
		}
		h := t.heads[name]
		if below := t.kind.withUnit(name, strings.Trim(units[i].text, "()[] ")); h.unit == nil && h.per == "" {
			h.unit, h.per = below.unit, below.per
		}
		t.heads[name] = h
	}
}

var noLengthUnit = regexp.MustCompile(`^(pcs?|pieces?|stk|stuck|pces?|uds?|no|nr|deg|grad|degres?|grados?|kg|lb|lbs|g|m2|eur|usd|gbp|chf|x|)$`)

// isUnits reports whether a row holds units and nothing else.
func isUnits(l line) bool {
	for _, c := range l.cells {
		word := strings.Trim(c.text, "()[] ")
		if _, err := length.ParseUnit(word); err != nil && !noLengthUnit.MatchString(fold(word)) {
			return false
		}
	}
	return !l.blank()
}

// rowMarks begin the marks of rows that have none.
var rowMarks = map[string]string{"pieces": "P", "panels": "S", "joints": "J"}

// readElsewhere reports whether a head that means nothing in one table means
// something in another.
func readElsewhere(k tableKind, head string) bool {
	for _, other := range tableKinds {
		if _, ok := other.head(head, nil); ok && other.name != k.name && other.lists() {
			return true
		}
	}
	return false
}

func headList(cells []cell) string {
	var all []string
	for _, c := range cells {
		if c.text != "" {
			all = append(all, quote(c.text))
		}
	}
	return strings.Join(all, ", ")
}
