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
	t.statement()
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
	for _, b := range bills(t.plan, t.job) {
		t.line("  %s", b.heading())
		if text := t.counted(t.job, b.goods); text != "" {
			t.line("      %s", text)
		}
		for _, g := range b.goods {
			size := t.size(g.Length, g.Width)
			t.entry(fmt.Sprint(g.Count), stockName(g.material), size, t.money(g.Each), g.Amount)
			if text := g.manner(); text != "" {
				t.line("          %s", text)
			}
		}
		for _, m := range b.marks {
			t.entry(fmt.Sprint(m.Count), m.Mark+", cut and ready", "", t.money(m.Each), m.Amount)
		}
		for _, c := range b.charges {
			t.entry("", chargeText(c), "", t.chargeEach(c), c.Amount)
		}
	}
}

// entry is one line with an amount; each is the price of one, if any.
func (t *terminal) entry(count, what, size, each string, amount plan.Money) {
	room := columns - 10 - 26 - cellWidth(size) - 2
	t.line("  %s  %s  %s%s%s", padLeft(count, 6), padRight(what, room), size, padLeft(each, 13), padLeft(t.money(amount), 13))
}

// statement adds up to what is to be paid, and compares it with the budget.
func (t *terminal) statement() {
	for _, f := range t.style.statement(t.plan, t.job) {
		name := f.name
		if f.sum && t.currency != "" {
			name += ", " + t.currency
		}
		t.line("%s", t.sum(name, f.amount))
	}
	t.line("")
}

func (t *terminal) sum(name string, m plan.Money) string {
	const room = 13
	return padLeft(clipColumns(name, columns-room), columns-room) + padLeft(t.money(m), room)
}

func (t *terminal) result() {
	t.wrapped("Goods and charges: " + t.verdict(t.plan.Total, t.plan.Bound, t.plan.Status, t.plan.Job.Date) + ".")
	if s := ended(t.plan.Struck); s != "" {
		if t.plan.Struck == "effort" && t.plan.Options.Effort != "long" {
			s += " With --effort long it goes further."
		}
		t.wrapped(s)
	}
	if text := t.setUps(t.plan); text != "" {
		t.wrapped(text)
	}
	t.line("")
}

func (t *terminal) materials() {
	tied := t.plan.PurchaseProof != nil
	cost, least := "cost", "lowest"
	if tied {
		cost, least = "goods", "least"
	}
	t.line("%s%s%s%s%s", padRight("Material", 16), padLeft(cost, 11), padLeft(least, 11),
		padLeft("used", 8), padLeft(t.massUnit(), 10))
	for _, m := range t.plan.Materials {
		c := m.Goals.Cost
		word := "proven cheapest"
		switch {
		case m.ByMark != "":
			word = "cut and ready"
		case tied:
			word = ""
		case c.Status != plan.Proven:
			word = "at most " + t.money(c.Value-c.Bound) + " less"
		}
		t.line("%s%s%s%s%s  %s", padRight(m.Key, 16), padLeft(t.money(c.Value), 11), padLeft(t.money(c.Bound), 11),
			padLeft(t.share(m.Shares.Used), 8), padLeft(t.bareMass(m.Mass.Pieces), 10), word)
	}
	if tied {
		t.wrapped("least: what the material's goods alone could cost, whatever the suppliers charge with them.")
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
	t.wholeMass()
	t.line("")
}

func (t *terminal) papers(packDir string) {
	t.line("Papers in %s", clipMiddle(printable(packDir), columns-10))
	names := ordered(t.plan, t.job)
	where := folders(names)
	room := len("summary.pdf")
	for _, n := range names {
		room = max(room, min(cellWidth(path.Join(where[n], "order.pdf")), columns/2))
	}
	t.line("  %s  for you: prices, totals, what is proved", padRight("summary.pdf", room))
	t.line("  %s  for you: mass and money of the whole", padRight("bill.pdf", room))
	t.line("  %s  for the saw and goods in: layouts, cut list", padRight("workshop/", room))
	t.line("  %s  to ask for prices: no names, no prices", padRight("enquiry.pdf", room))
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
