package report

import (
	"bytes"
	"fmt"
	"io"
	"path"
	"strings"
	"unicode"

	"golang.org/x/text/width"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// columns is the width of the terminal that Summary writes for.
const columns = 80

// Summary writes what to buy and what is proved about it, in lines of at most
// 80 columns. The pack's folder is named as given. Its error is the writer's.
func Summary(w io.Writer, p *plan.Plan, j *job.Job, packDir string) error {
	t := &terminal{style: styleOf(p, j), plan: p, job: j}
	t.head()
	t.buy()
	t.charges()
	t.result()
	t.materials()
	t.mass()
	t.papers(packDir)
	t.line("%s", shortCaution)
	_, err := w.Write(t.out.Bytes())
	return err
}

type terminal struct {
	style
	plan *plan.Plan
	job  *job.Job
	out  bytes.Buffer
}

// line writes one line, clipped to the terminal's width.
func (t *terminal) line(format string, args ...any) {
	text := clipColumns(fmt.Sprintf(format, args...), columns)
	t.out.WriteString(strings.TrimRight(text, " ") + "\n")
}

func (t *terminal) head() {
	number := "plan no. " + t.plan.Number
	title := t.plan.Job.Name
	if t.plan.Job.Revision != "" {
		title += ", revision " + t.plan.Job.Revision
	}
	if t.plan.Job.Date != "" {
		title += ", " + t.plan.Job.Date
	}
	room := columns - cellWidth(number) - 2
	t.line("%s  %s", padRight(title, room), number)
	t.line("")
}

func (t *terminal) buy() {
	t.line("Buy%s", padLeft("each", columns-13-3)+padLeft("amount", 13))
	for _, name := range suppliers(t.plan, t.job) {
		t.line("  %s", name)
		for _, b := range bought(t.plan, name) {
			what := b.material.Stock
			if b.material.Alloy != "" {
				what += ", " + b.material.Alloy
			}
			size := t.size(b.Length, b.Width)
			room := columns - 10 - 26 - cellWidth(size) - 2
			t.line("  %6d  %s  %s%s%s", b.Count, padRight(what, room), size,
				padLeft(t.money(b.Each), 13), padLeft(t.money(b.Amount), 13))
		}
	}
	t.line("%s", t.sum("Goods", t.plan.Goods))
}

func (t *terminal) sum(name string, m plan.Money) string {
	text := name + "  " + padLeft(t.money(m), 11)
	return padLeft(text, columns)
}

func (t *terminal) charges() {
	if len(t.plan.Charges) > 0 {
		t.line("Charges the suppliers add (no part of what is proved)")
		for _, c := range t.plan.Charges {
			t.line("  %s%s", padRight(c.Supplier+": "+c.What, columns-2-13), padLeft(t.money(c.Amount), 13))
		}
	}
	t.line("%s", t.sum(strings.TrimSpace("To pay, "+t.currency), t.plan.Payable))
	t.line("")
}

func (t *terminal) result() {
	t.wrapped("Cost of goods: " + t.verdict(t.plan.Total, t.plan.Bound, t.plan.Status, t.plan.Job.Date) + ".")
	if s := ended(t.plan.Struck); s != "" {
		if t.plan.Struck == "effort" && t.plan.Options.Effort != "long" {
			s += " With --effort long it goes further."
		}
		t.wrapped(s)
	}
	t.line("")
}

func (t *terminal) materials() {
	t.line("%s%s%s%s%s", padRight("Material", 16), padLeft("cost", 11), padLeft("lowest", 11),
		padLeft("used", 8), padLeft(t.massUnit(), 10))
	for _, m := range t.plan.Materials {
		word := "proven cheapest"
		c := m.Goals.Cost
		if c.Status != plan.Proven {
			word = "at most " + t.money(c.Value-c.Bound) + " less"
		}
		t.line("%s%s%s%s%s  %s", padRight(m.Key, 16), padLeft(t.money(c.Value), 11), padLeft(t.money(c.Bound), 11),
			padLeft(t.share(m.Shares.Used), 8), padLeft(t.bareMass(m.Mass.Pieces), 10), word)
	}
	t.line("")
}

func (t *terminal) mass() {
	m := t.plan.Mass
	t.line("Mass of the pieces   %s", t.style.mass(m.Pieces))
	if m.Allowed != m.Pieces {
		t.line("  with allowance     %s", t.style.mass(m.Allowed))
	}
	t.line("  bought             %s", t.style.mass(m.Bought))
	t.line("  offcuts to keep    %s", t.style.mass(m.Offcuts))
	t.line("  scrap              %s", t.style.mass(m.Scrap))
	t.line("")
}

func (t *terminal) papers(packDir string) {
	t.line("Papers in %s", clipMiddle(printable(packDir), columns-10))
	names := suppliers(t.plan, t.job)
	where := folders(names)
	room := len("summary.pdf")
	for _, n := range names {
		room = max(room, min(cellWidth(path.Join(where[n], "order.pdf")), columns/2))
	}
	t.line("  %s  for you: prices, totals, what is proved", padRight("summary.pdf", room))
	t.line("  %s  for the saw: bars, sheets, cut list", padRight("workshop/", room))
	for _, n := range names {
		t.line("  %s  the order to %s", padRight(path.Join(where[n], "order.pdf"), room), n)
	}
}

// wrapped breaks a sentence at spaces.
func (t *terminal) wrapped(text string) {
	line := ""
	for _, word := range strings.Fields(text) {
		if line != "" && cellWidth(line)+1+cellWidth(word) > columns {
			t.line("%s", line)
			line = "  " + word
			continue
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	t.line("%s", line)
}

// runeColumns is how many columns a terminal gives to a rune: two to what
// Unicode's annex 11 calls wide, none to marks that combine.
func runeColumns(r rune) int {
	switch {
	case unicode.In(r, unicode.Mn, unicode.Me):
		return 0
	case width.LookupRune(r).Kind() == width.EastAsianWide, width.LookupRune(r).Kind() == width.EastAsianFullwidth:
		return 2
	}
	return 1
}

func cellWidth(text string) int {
	n := 0
	for _, r := range printable(text) {
		n += runeColumns(r)
	}
	return n
}

// printable replaces what could move a terminal's cursor or hide text.
func printable(text string) string {
	return strings.Map(func(r rune) rune {
		if r == ' ' || unicode.IsPrint(r) {
			return r
		}
		return '?'
	}, text)
}

func clipColumns(text string, room int) string {
	text = printable(text)
	if cellWidth(text) <= room {
		return text
	}
	n := 0
	for i, r := range text {
		if n += runeColumns(r); n > room-1 {
			return text[:i] + "…"
		}
	}
	return text
}

// clipMiddle keeps the head and the tail of a path.
func clipMiddle(text string, room int) string {
	if cellWidth(text) <= room {
		return text
	}
	head := clipColumns(text, room/2)
	runes := []rune(text)
	n, i := cellWidth(head), len(runes)
	for i > 0 && n+runeColumns(runes[i-1]) <= room {
		i--
		n += runeColumns(runes[i])
	}
	return head + string(runes[i:])
}

func padRight(text string, room int) string {
	text = clipColumns(text, max(room, 1))
	return text + strings.Repeat(" ", max(0, room-cellWidth(text)))
}

func padLeft(text string, room int) string {
	return strings.Repeat(" ", max(0, room-cellWidth(text))) + text
}
