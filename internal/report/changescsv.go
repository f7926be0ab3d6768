package report

import (
	"fmt"

	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
)

// changeTable lists everything that differs: what the jobs say, the figures of
// the plans, and the count of every line bought. Sizes and lengths are in the
// tables' unit, masses in kilograms.
func (s *set) changeTable(d *change.Diff) []byte {
	rows := [][]string{{"kind", "name", s.in("length"), s.in("width"), "state", "field", "old", "new", "unit"}}
	for _, e := range d.Entries {
		row := func(field, old, new, unit string) {
			rows = append(rows, []string{string(e.Kind), e.Name, s.exactOrNone(e.Length), s.exactOrNone(e.Width), string(e.State), field, old, new, unit})
		}
		for _, f := range e.Fields {
			unit := s.valueUnit(f.New)
			if f.New.Form == change.None {
				unit = s.valueUnit(f.Old)
			}
			row(f.Name, s.exactValue(f.Old), s.exactValue(f.New), unit)
		}
		if len(e.Fields) == 0 {
			row("", "", "", "")
		}
	}
	figure := func(name, old, new, unit string) {
		state := ""
		if old != new {
			state = string(change.Changed)
		}
		rows = append(rows, []string{"plan", "", "", "", state, name, old, new, unit})
	}
	figure("number", d.Old.Number, d.New.Number, "")
	for _, f := range moneyFigures(d) {
		figure(f.name, f.old.String(), f.new.String(), d.Currency)
	}
	for _, f := range massFigures(d) {
		figure(f.name, f.old.String(), f.new.String(), "kg")
	}
	figure("waste", hundredths(wasteShare(d.Old.Mass)), hundredths(wasteShare(d.New.Mass)), "%")
	for _, n := range ordersOf(d) {
		for _, l := range n.lines {
			rows = append(rows, []string{"order", fmt.Sprintf("%s: %s, %s", l.Supplier, n.what(l), l.Alloy), s.exactOrNone(l.Length), s.exactOrNone(l.Width),
				orderChange(l), "count", fmt.Sprint(l.Old), fmt.Sprint(l.New), ""})
		}
	}
	return table4180(rows)
}

// noteTable is the change of one supplier's order.
func (s *set) noteTable(d *change.Diff, n amendment) []byte {
	rows := [][]string{{"supplier", "stock", "alloy", s.in("length"), s.in("width"), "old_count", "new_count", "add", "cancel", "old_plan", "new_plan", "mark"}}
	for _, l := range n.lines {
		rows = append(rows, []string{l.Supplier, l.Stock, l.Alloy, s.exactOrNone(l.Length), s.exactOrNone(l.Width), fmt.Sprint(l.Old), fmt.Sprint(l.New),
			fmt.Sprint(l.Add()), fmt.Sprint(l.Cancel()), d.Old.Number, d.New.Number, l.Mark})
	}
	return table4180(rows)
}

func (s style) exactOrNone(l length.Length) string {
	if l == 0 {
		return ""
	}
	return s.exact(l)
}

func (s style) exactValue(v change.Value) string {
	switch v.Form {
	case change.Length:
		return s.exact(length.Length(v.Number))
	case change.Angle:
		return thousandths(v.Number)
	case change.Money:
		return plan.Money(v.Number).String()
	case change.Percent:
		return hundredths(v.Number)
	case change.Rate:
		return thousandths(v.Number)
	case change.Mass:
		return plan.Mass(v.Number).String()
	case change.Count:
		return fmt.Sprint(v.Number)
	case change.Flag:
		return fmt.Sprint(v.Number == 1)
	}
	return v.Text
}

func (s *set) valueUnit(v change.Value) string {
	switch v.Form {
	case change.Length:
		return s.tableUnit().String()
	case change.Angle:
		return "degrees"
	case change.Money:
		return s.currency
	case change.Percent, change.Rate:
		return "%"
	case change.Mass:
		return "kg"
	}
	return ""
}

// hundredths prints a number of hundredths with two places.
func hundredths(v int64) string { return plan.Money(v).String() }
