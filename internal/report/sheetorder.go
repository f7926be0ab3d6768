package report

import (
	"fmt"
	"strings"

	"sawbill/internal/job"
)

// orderLine is one line of a printed order of cuts: the head of a lot, a row of cuts,
// or, without numbers, what is left behind the last of them.
type orderLine struct {
	head                    string
	numbers, kind, at, text string
}

// orderLines prints an order of cuts. Whoever carries out its lines one by one gets
// the panels and offcuts of the layout.
func (s *set) orderLines(o *sheetOrder) []orderLine {
	var out []orderLine
	for _, l := range o.lots {
		out = append(out, orderLine{head: s.lotHead(l)})
		for _, r := range l.rows {
			line := orderLine{kind: r.name, at: s.own(r.at)}
			var numbers []int
			for _, c := range r.cuts {
				numbers = append(numbers, c.number)
			}
			line.numbers = ranges(numbers)
			var gifts []string
			for _, g := range r.gifts {
				gifts = append(gifts, s.giftText(g))
			}
			line.text = strings.Join(gifts, ", ")
			if r.each > 1 {
				line.at = s.own(r.at) + " … " + s.own(r.last)
				line.text = "every " + s.own(r.every) + ": " + line.text
			}
			out = append(out, line)
		}
		if l.rest != nil {
			out = append(out, orderLine{kind: "rest", text: s.giftText(*l.rest)})
		}
	}
	return out
}

// lotHead names what is in hand.
func (s *set) lotHead(l *cutLot) string {
	p := l.parts[0]
	text := l.name + " " + s.own(p.Length) + " × " + s.own(p.Width)
	if len(l.parts) > 1 {
		text = fmt.Sprintf("%d × %s", len(l.parts), text)
	} else {
		text = strings.ToUpper(text[:1]) + text[1:]
	}
	if l.turned {
		text += ", turn"
	}
	if l.atYard {
		text += ", at the yard"
	}
	return text
}

// giftText names what comes off, with its size as it lies on the sheet.
func (s *set) giftText(g gift) string {
	text := ""
	if g.count > 1 {
		text = fmt.Sprintf("%d × ", g.count)
	}
	size := " " + s.own(g.length) + " × " + s.own(g.width)
	switch {
	case g.lot != nil:
		return text + g.lot.name + size
	case g.mark != "":
		return text + clip(g.mark, 24) + size
	case g.kept:
		return text + "keep" + size
	}
	return text + "scrap"
}

// orderCount says how many cuts and turns there are.
func (d *document) orderCount(o *sheetOrder) string {
	return plural(int64(o.cuts), "cut") + ", " + plural(int64(o.turns), "quarter turn")
}

// stageText says how many stages of cuts a process allows, and whether exactly.
func stageText(p job.Process) string {
	switch {
	case p.Stages == 0:
		return "any number of stages"
	case p.Exact:
		return fmt.Sprintf("%s, exact", plural(int64(p.Stages), "stage"))
	}
	return fmt.Sprintf("%s, non-exact (a last cut may trim a panel)", plural(int64(p.Stages), "stage"))
}
