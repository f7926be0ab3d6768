package job

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"sawbill/internal/section"
)

// quotesOut takes out of a key what would need care in TOML and in a table;
// keys are told apart without it.
var quotesOut = strings.NewReplacer(`"`, "", "'", "", `\`, " ", ",", " ")

var decimalMark = regexp.MustCompile(`(\d),(\d)`)

// materials lists what the material column names, once each.
func (l *cutList) materials() {
	sheet := l.kind.name == "panels"
	column, ok := l.columns["material"]
	thick, thicknesses := l.columns["thickness"]
	if !ok && thicknesses {
		column, ok = thick, true
	}
	if !ok {
		key := "bar"
		if sheet {
			key = "sheet"
		}
		l.found = []listed{{key: key, stock: "?", alloy: "?", sheet: sheet}}
		return
	}
	met := map[string]bool{}
	beside := map[int]string{} // the thickness by line
	for _, c := range l.cells(thick) {
		beside[c.at.Line] = c.text
	}
	for _, c := range l.cells(column) {
		t := ""
		if thicknesses {
			t = beside[c.at.Line]
		}
		if written := c.text + "\n" + t; met[written] {
			continue
		} else {
			met[written] = true
		}
		text := c.text
		if column == thick && thicknesses {
			text = ""
		}
		m, name := l.material(text, t, sheet)
		if met[name] || name == "" {
			continue
		}
		met[name] = true
		if m.alloy == "" {
			m.alloy = l.alloyBeside(column, c.text)
		}
		l.found = append(l.found, m)
		if len(l.found) == 100 {
			break // a column of a hundred different materials is none of materials
		}
	}
	if len(l.found) == 0 {
		l.found = []listed{{key: "material", stock: "?", alloy: "?", sheet: sheet}}
	}
	for i := range l.found {
		for n := 2; slices.ContainsFunc(l.found[:i], func(o listed) bool { return fold(o.key) == fold(l.found[i].key) }); n++ {
			l.found[i].key += fmt.Sprintf("-%d", n)
		}
	}
}

// material is what a cell names, with the thickness beside it if any, and a name
// that tells it from others.
func (l *cutList) material(text, thickness string, sheet bool) (m listed, name string) {
	alloy, s, rest := designation(text, l.unit)
	name = fold(text)
	switch {
	case s.Canonical != "":
		m = listed{stock: rest, alloy: alloy, section: s, sheet: s.IsSheet()}
		name = s.Canonical + " " + fold(alloy)
		plain := quotesOut.Replace(decimalMark.ReplaceAllString(strings.ReplaceAll(rest, `"`, "in"), "$1.$2"))
		m.key = strings.ToLower(strings.Join(strings.Fields(plain), "-"))
		if alloy != "" && strings.Contains(fold(text), fold(alloy)) {
			m.key += "-" + strings.ToLower(strings.ReplaceAll(alloy, " ", "-"))
		}
	case thickness != "":
		m = l.withThickness(text, thickness)
		name += " " + thickness
	default:
		m = listed{key: text, stock: "?", sheet: sheet}
	}
	m.key = strings.Join(strings.Fields(oneLine(quotesOut.Replace(m.key))), " ")
	return m, name
}

// alloyBeside is the alloy that another column names in every row of a
// designation, or "?".
func (l *cutList) alloyBeside(material int, text string) string {
	for i, head := range l.grid.rows[l.head].cells {
		if h, ok := l.kind.head(head.text, nil); i == material || ok && h.field != "material" || !ok && !alloyHead.MatchString(fold(head.text)) {
			continue
		}
		alloy, same := "", true
		for _, row := range l.grid.rows[l.head+1:] {
			if max(i, material) >= len(row.cells) || row.cells[material].text != text {
				continue
			}
			if alloy == "" {
				alloy = row.cells[i].text
			}
			same = same && row.cells[i].text == alloy
		}
		if _, err := section.LookupMaterial(alloy); err == nil && same {
			return alloy
		}
	}
	return "?"
}

var alloyHead = regexp.MustCompile(`^(alloy|grade|temper|legierung|gute|alliage|nuance|aleacion|calidad)$`)
