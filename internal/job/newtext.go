package job

import (
	"fmt"
	"path/filepath"
	"regexp"
	"slices"
	"strings"

	"sawbill/internal/section"
)

// jobText writes the job file.
func (l *cutList) jobText(file string) string {
	var b strings.Builder
	out := func(format string, args ...any) { fmt.Fprintf(&b, format+"\n", args...) }
	// with sets a comment behind a line, in one column where there is room.
	with := func(comment, format string, args ...any) {
		if comment == "" {
			out(format, args...)
			return
		}
		out("%-31s # %s", fmt.Sprintf(format, args...), comment)
	}
	imperial := l.unit.Imperial()
	pick := func(metric, inches string) string {
		if imperial {
			return inches
		}
		return metric
	}
	name := strings.TrimSuffix(file, filepath.Ext(file))
	out("# The job of %s. Fill in what is empty or \"?\", then plan it.", oneLine(file))
	out("# Text behind a # is a comment.")
	out("")
	out("[job]")
	out("name = %s", tomlText(name))
	out("revision = \"A\"")
	with("printed on every page", "# date = 2026-11-24")
	with(l.unitBy, "unit = \"%s\"", l.unit)
	with("what the prices are in", "currency = \"%s\"", pick("EUR", "USD"))
	if l.comma {
		with("the list has decimal commas", "decimal = \",\"")
	}
	with("the longest thing you can carry home", "# longest-load = %s", pick("3000", `"10 ft"`))
	out("")
	processes := map[string]bool{}
	var order []string
	for _, m := range l.found {
		process := "saw"
		if m.sheet {
			process = "laser"
			if m.section.Canonical != "" && m.section.Shape != section.Sheet {
				process = "panel-saw"
			}
		}
		if !processes[process] {
			processes[process] = true
			order = append(order, process)
		}
		out("[material.%s]", tomlKey(m.key))
		with(askFor(m.stock, pick(`what it is, such as "SHS 25x25x2" or "sheet 1.5"`, `what it is, such as "sq tube 1x1x.125 wall" or "sheet .063"`)), "stock = %s", tomlText(m.stock))
		with(askFor(m.alloy, alloyAdvice(m.section, pick(`"6063-T6" or "S235"`, `"6061-T6" or "A500"`))), "alloy = %s", tomlText(m.alloy))
		out("process = \"%s\"", process)
		if m.sheet {
			with("smaller leftovers are scrap", "keep-over = %s", pick(`"600 x 400"`, `"24 x 16 in"`))
			with("panels must not be turned", "# grain = \"along length\"")
		} else {
			with("shorter leftovers are scrap", "keep-over = %s", pick("400", `"16 in"`))
		}
		out("")
	}
	for _, p := range order {
		out("# How it is cut: check the figures.")
		out("[process.%s]", p)
		switch p {
		case "saw":
			with("what the blade takes away", "kerf = %s", pick("2.5", `"3/32 in"`))
			with("cut off both ends of a bar first", "trim-each-end = %s", pick("10", `"1/2 in"`))
		case "panel-saw":
			with("what the blade takes away", "kerf = %s", pick("3", `"1/8 in"`))
			with("cut off all four edges of a sheet first", "trim-each-edge = %s", pick("10", `"1/2 in"`))
		default:
			with("between two panels", "spacing = %s", pick("5", `"1/4 in"`))
			with("along the edges of the sheet", "margin = %s", pick("10", `"1/2 in"`))
		}
		out("")
	}
	out("# [supplier.NAME] may say how an order comes and what is charged; the name is that in offers.")
	out("# [supplier.North]")
	with("or fetch, what it costs to fetch it, or both", "# delivery = 35")
	with("smallest order", "# minimum = 80")
	with("each, by the supplier", "# cut = 1.20")
	with("percent", "# tax = 20")
	out("")
	out("[tables]")
	kinds := []tableKind{l.kind}
	switch {
	case l.other != nil:
		kinds = []tableKind{kindNamed("pieces"), kindNamed("panels")}
		out("# The workbook has a worksheet of each.")
	case l.mixed():
		kinds = []tableKind{kindNamed("pieces"), kindNamed("panels")}
		out("# The list has both: each row is taken by its material.")
	}
	for _, k := range kinds {
		out("%s = %s", k.name, tomlText(file))
	}
	out("# What is on sale: one row for each size of each material. Change the sizes and")
	out("# write prices, such as %s or 4.20 per kg.", pick("21.40 each, 3.70 per m", "21.40 each, 1.15 per ft"))
	out("# Columns may be added: from, the quantity from which the price of the row holds;")
	out("# pack, how many are sold together; stock, how many there are.")
	out("offers = '''")
	out("supplier, material, size, price")
	for _, m := range l.found {
		size := pick("6000 mm", "20 ft")
		if m.sheet {
			size = pick("2500 x 1250 mm", "96 x 48 in")
		}
		out("Supplier, %s, %s,", csvText(m.key), size)
	}
	out("'''")
	b.WriteString(l.columnMaps(kinds))
	if l.other != nil {
		b.WriteString(l.other.columnMaps([]tableKind{l.other.kind}))
	}
	return b.String()
}

// columnMaps says which column is which, where the heads leave it open.
func (l *cutList) columnMaps(kinds []tableKind) string {
	if len(l.told)+len(l.missing) == 0 {
		return ""
	}
	var b strings.Builder
	fmt.Fprintf(&b, "\n# Which column of the list is which; its heads are\n# %s\n", oneLine(headList(l.grid.rows[l.head].cells)))
	for _, k := range kinds {
		if l.other != nil && k.name != l.kind.name {
			continue
		}
		fmt.Fprintf(&b, "[columns.%s]\n", k.name)
		for _, f := range k.fields {
			if head, ok := l.told[f.name]; ok {
				fmt.Fprintf(&b, "%s = %s\n", f.name, tomlText(head))
			}
			if slices.Contains(l.missing, f.name) {
				fmt.Fprintf(&b, "%s = \"?\"\n", f.name)
			}
		}
	}
	return b.String()
}

// mixed reports whether the list names both bars and sheets.
func (l *cutList) mixed() bool {
	var bars, sheets bool
	for _, m := range l.found {
		bars = bars || m.section.Canonical != "" && !m.sheet
		sheets = sheets || m.section.Canonical != "" && m.sheet
	}
	return bars && sheets
}

// alloyAdvice says what a section may be made of.
func alloyAdvice(s section.Section, metals string) string {
	example := metals
	switch s.Shape {
	case section.Plywood:
		example = `"birch ply"`
	case section.Foam:
		example = `"XPS"`
	case section.Board:
		example = `"MDF"`
	case section.Timber:
		example = `"larch"`
	}
	return "what it is made of, such as " + example
}

// askFor is the comment that says what to write in place of a "?".
func askFor(value, what string) string {
	if value != "?" {
		return ""
	}
	return what
}

// oneLine makes a text fit for a comment.
func oneLine(text string) string {
	return strings.Map(func(c rune) rune {
		if c < ' ' || c == 0x7f {
			return ' '
		}
		return c
	}, text)
}

var bareKey = regexp.MustCompile(`^[A-Za-z0-9_-]+$`)

// tomlKey writes a key, quoted if it must be.
func tomlKey(s string) string {
	if bareKey.MatchString(s) {
		return s
	}
	return tomlText(s)
}

// tomlText writes a string on one line.
func tomlText(s string) string {
	if !strings.ContainsAny(s, "\"\\") {
		return `"` + oneLine(s) + `"`
	}
	if !strings.Contains(s, "'") {
		return "'" + oneLine(s) + "'"
	}
	return `"` + strings.NewReplacer(`\`, `\\`, `"`, `\"`).Replace(oneLine(s)) + `"`
}

// csvText writes a cell of a table separated by commas.
func csvText(s string) string {
	if strings.ContainsAny(s, ",\"") {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}
