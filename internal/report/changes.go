package report

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
	"sawbill/internal/report/drawing"
)

// Changes makes the papers of a change: changes.csv, and for each supplier
// whose order changes a note of its own. Numbers are printed as the new job
// has them. The messages name the substitutes made for characters that the
// type cannot print. The error would be a fault of the program.
func Changes(d *change.Diff, j *job.Job) ([]File, []job.Message, error) {
	s, err := newSet(changeRef(d), j)
	if err != nil {
		return nil, nil, err
	}
	s.add("changes.csv", s.changeTable(d))
	notes := notesOf(d)
	names := make([]string, len(notes))
	for i, n := range notes {
		names[i] = n.supplier
	}
	where := folders(names)
	for _, n := range notes {
		doc := s.document("Change of order", false)
		doc.changeNote(d, n)
		doc.save(under(where[n.supplier], "change.pdf"))
		s.add(under(where[n.supplier], "change.csv"), s.noteTable(d, n))
	}
	return s.files, s.messages, s.err
}

func changeRef(d *change.Diff) *plan.Plan {
	return &plan.Plan{Currency: d.Currency, Number: d.New.Number, Job: d.New.Job}
}

// amendment is what one supplier is told: every line of its order, old or new.
type amendment struct {
	supplier string
	lines    []change.Line
}

// notesOf leaves out suppliers whose order stays as it is.
func notesOf(d *change.Diff) []amendment {
	var notes []amendment
	for _, n := range ordersOf(d) {
		for _, l := range n.lines {
			if l.Old != l.New {
				notes = append(notes, n)
				break
			}
		}
	}
	return notes
}

// ordersOf parts the lines by supplier; they are in that order already.
func ordersOf(d *change.Diff) []amendment {
	var orders []amendment
	for _, l := range d.Lines {
		if n := len(orders); n == 0 || orders[n-1].supplier != l.Supplier {
			orders = append(orders, amendment{supplier: l.Supplier})
		}
		last := &orders[len(orders)-1]
		last.lines = append(last.lines, l)
	}
	return orders
}

func (d *document) changeNote(diff *change.Diff, n amendment) {
	d.newPage()
	d.heading("Change of order to "+n.supplier, 18)
	d.paragraph(fmt.Sprintf("For: %s. Our order was made after plan no. %s. It is changed as below, after plan no. %s; please quote both in your answer.",
		diff.New.Job.Name, diff.Old.Number, diff.New.Number), 10)
	d.gap(3)
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	t := d.table(10.5, column{head: "ok", share: 8, tick: true}, column{head: "stock", share: 46, bold: true}, column{head: "alloy", share: 24},
		column{head: "size", share: 36, bold: true}, right("ordered", 15), column{head: "change", share: 22, align: drawing.Right, bold: true}, right("new count", 17))
	for _, l := range n.lines {
		size, other := "", ""
		if l.Length > 0 {
			size, other = d.size(l.Length, l.Width), d.otherSize(l.Length, l.Width)
		}
		t.rowWith([]string{3: other}, "", n.what(l), l.Alloy, size, fmt.Sprint(l.Old), orderChange(l), fmt.Sprint(l.New))
	}
	t.end()
	if slices.ContainsFunc(n.lines, func(l change.Line) bool { return l.Mark != "" }) {
		d.gap(1)
		d.paragraph("Pieces and panels named by a mark come cut and ready, with their sizes over all. How each is cut stood in the papers of plan no. "+
			diff.Old.Number+", and stands for what is added in those of plan no. "+diff.New.Number+".", 9)
	}
	d.gap(2)
	var lines []string
	if slices.ContainsFunc(n.lines, func(l change.Line) bool { return l.Cancel() > 0 }) {
		lines = append(lines, "say what can still be cancelled, and what that costs, before you act on this;")
	}
	if slices.ContainsFunc(n.lines, func(l change.Line) bool { return l.Add() > 0 }) {
		lines = append(lines, "confirm section, alloy and temper, wall or thickness, length and count of what is added;")
	}
	d.asked(append(lines, "leave all other lines of the order as they are."), 6)
}

// what is bought by a line: the mark of what comes cut and ready before its stock.
func (n amendment) what(l change.Line) string {
	if l.Mark == "" {
		return l.Stock
	}
	name := l.Mark
	if slices.ContainsFunc(n.lines, func(o change.Line) bool { return o.Mark == l.Mark && o != l }) { // cut otherwise now
		if name += " as before"; l.Old == 0 {
			name = l.Mark + " as now"
		}
	}
	if l.Stock == "" {
		return name
	}
	return name + ": " + l.Stock
}

// orderChange is what to do about one line.
func orderChange(l change.Line) string {
	switch {
	case l.Add() > 0:
		return fmt.Sprintf("add %d", l.Add())
	case l.Cancel() > 0:
		return fmt.Sprintf("cancel %d", l.Cancel())
	}
	return "as ordered"
}

// entryName is how an entry is called: "piece P1", "offer North, tube, 6000 mm".
func (s style) entryName(e change.Entry) string {
	name := strings.TrimSpace(string(e.Kind) + " " + e.Name)
	if e.Length > 0 {
		name += ", " + s.size(e.Length, e.Width)
	}
	return name
}

// entryText is an entry in one sentence, without its state.
func (s style) entryText(e change.Entry) string {
	var fields []string
	for _, f := range e.Fields {
		old, new := s.fieldTexts(f)
		switch e.State {
		case change.Added:
			fields = append(fields, f.Name+" "+new)
		case change.Removed:
			fields = append(fields, f.Name+" "+old)
		default:
			fields = append(fields, f.Name+" "+new+", was "+old)
		}
	}
	name := s.entryName(e)
	if len(fields) == 0 {
		return name
	}
	return name + ": " + strings.Join(fields, "; ")
}

// fieldTexts prints both sides, more finely where they would read alike.
func (s style) fieldTexts(f change.Field) (old, new string) {
	old, new = s.value(f.Old), s.value(f.New)
	if old == new && f.Old.Form == change.Length && f.New.Form == change.Length {
		fine := func(v change.Value) string {
			return s.decimal(s.exact(length.Length(v.Number))) + " " + s.tableUnit().String()
		}
		return fine(f.Old), fine(f.New)
	}
	return old, new
}

func (s style) value(v change.Value) string {
	switch v.Form {
	case change.Length:
		return s.ownWithUnit(length.Length(v.Number))
	case change.Angle:
		return s.degrees(v.Number)
	case change.Money:
		return s.money(plan.Money(v.Number))
	case change.Percent:
		return s.decimal(trimZeros(plan.Money(v.Number).String())) + " %"
	case change.Rate:
		return s.rate(v.Number) + " %"
	case change.Mass:
		return s.mass(plan.Mass(v.Number))
	case change.Count:
		return fmt.Sprint(v.Number)
	case change.Flag:
		if v.Number == 1 {
			return "yes"
		}
		return "no"
	case change.Text:
		if v.Text != "" {
			return v.Text
		}
	}
	return "none"
}
