package report

import (
	"fmt"
	"io"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
	"sawbill/internal/plan/option"
)

// ChangeSummary writes a change in lines of at most 80 columns. The folder of
// its papers is named as given; without one it had none. Its error is the
// writer's.
func ChangeSummary(w io.Writer, d *change.Diff, j *job.Job, dir string) error {
	t := &terminal{style: styleOf(changeRef(d), j), plan: changeRef(d), job: j}
	t.head()
	t.entries(d)
	t.figures(d)
	t.orders(d)
	t.wrapped(fmt.Sprintf("The changes hold for an order made after plan no. %s. What can still be cancelled is for the supplier to say.", d.Old.Number))
	t.line("")
	if dir != "" {
		t.line("Papers in %s: changes.csv", clipMiddle(printable(dir), columns-30))
		names := []string{}
		for _, n := range notesOf(d) {
			names = append(names, n.supplier)
		}
		where := folders(names)
		for _, n := range names {
			t.line("  %s/change.pdf  the change for %s", where[n], n)
		}
	}
	t.line("%s", shortCaution)
	_, err := w.Write(t.out.Bytes())
	return err
}

// stateSigns stand before the entries on the terminal.
var stateSigns = map[change.State]string{change.Added: "+", change.Removed: "-", change.Changed: "~"}

func (t *terminal) entries(d *change.Diff) {
	t.line("Changed in the job (+ added, - removed, ~ changed)")
	for _, e := range d.Entries {
		t.wrapped(stateSigns[e.State] + " " + t.entryText(e))
	}
	t.line("")
}

type moneyFigure struct {
	name     string
	old, new plan.Money
}

func moneyFigures(d *change.Diff) []moneyFigure {
	return []moneyFigure{{"goods", d.Old.Goods, d.New.Goods}, {"charges", d.Old.Charges, d.New.Charges}, {"to pay", d.Old.Payable, d.New.Payable}}
}

type massFigure struct {
	name     string
	old, new plan.Mass
}

func massFigures(d *change.Diff) []massFigure {
	a, b := d.Old.Mass, d.New.Mass
	return []massFigure{{"pieces", a.Pieces, b.Pieces}, {"bought", a.Bought, b.Bought}, {"scrap", a.Scrap, b.Scrap}}
}

// wasteShare is scrap by mass in hundredths of a percent of what is bought.
func wasteShare(m plan.Masses) int64 { return option.Row{Mass: m}.ScrapShare() }

func (t *terminal) figures(d *change.Diff) {
	row := func(name, old, new, difference string) {
		t.line("%s%s%s%s", padRight(name, 26), padLeft(old, 17), padLeft(new, 17), padLeft(difference, 17))
	}
	row("Plan no.", d.Old.Number, d.New.Number, "difference")
	for _, f := range moneyFigures(d) {
		name := strings.TrimSuffix(f.name+", "+d.Currency, ", ")
		row(name, t.money(f.old), t.money(f.new), signed(t.money(f.new-f.old), f.new > f.old))
	}
	for _, f := range massFigures(d) {
		row(f.name+", "+t.massUnit(), t.bareMass(f.old), t.bareMass(f.new), signed(t.bareMass(f.new-f.old), f.new > f.old))
	}
	a, b := wasteShare(d.Old.Mass), wasteShare(d.New.Mass)
	percent := func(v int64) string { return t.decimal(hundredths(v)) + " %" }
	row("waste, scrap of bought", percent(a), percent(b), signed(percent(b-a), b > a))
	t.line("")
	for _, s := range []struct {
		name string
		side change.Side
	}{{"Old total: ", d.Old}, {"New total: ", d.New}} {
		text := s.name + t.verdict(s.side.Goods+s.side.Charges, s.side.Bound, s.side.Status, s.side.Job.Date) + "."
		if s.side.Struck != "" {
			text += " " + ended(s.side.Struck)
		}
		t.wrapped(text)
	}
	t.line("")
}

// signed puts a plus before what grows; what shrinks has its minus.
func signed(text string, grows bool) string {
	if grows {
		return "+" + text
	}
	return text
}

func (t *terminal) orders(d *change.Diff) {
	t.line("%s%s%s", padRight("Orders", columns-14-14), padLeft("count", 14), padLeft("change", 14))
	for _, n := range ordersOf(d) {
		t.line("  %s", n.supplier)
		for _, l := range n.lines {
			what := n.what(l)
			if l.Alloy != "" {
				what += ", " + l.Alloy
			}
			size := ""
			if l.Length > 0 {
				size = t.size(l.Length, l.Width)
			}
			count := fmt.Sprint(l.New)
			if l.Old != l.New {
				count = fmt.Sprintf("%d, was %d", l.New, l.Old)
			}
			room := columns - 4 - 2 - 14 - 14 - cellWidth(size)
			t.line("    %s  %s%s%s", padRight(what, room), size, padLeft(count, 14), padLeft(orderChange(l), 14))
		}
	}
	t.line("")
}
