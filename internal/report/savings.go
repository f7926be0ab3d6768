package report

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/change"
	"sawbill/internal/plan/saving"
	"sawbill/internal/report/drawing"
)

// Savings makes the papers of what small changes save: savings.pdf and
// savings.csv. The messages name the substitutes made for characters that the
// type cannot print. The error would be a fault of the program.
func Savings(r *saving.Result, j *job.Job) ([]File, []job.Message, error) {
	s, err := newSet(r.Base, j)
	if err != nil {
		return nil, nil, err
	}
	s.add("savings.csv", s.savingsTable(r))
	d := s.document("What small changes save", true)
	d.newPage()
	d.heading(r.Base.Job.Name+": what small changes save", 18)
	d.gap(1)
	d.paragraph(s.asItIs(r), 12)
	for _, of := range s.savingsOf(r) {
		d.savings(of)
	}
	d.gap(2)
	for _, text := range s.savingsNotes(r) {
		d.paragraph(text, 8.5)
	}
	d.save("savings.pdf")
	return s.files, s.messages, s.err
}

// prospect is one heading and the savings below it, in words.
type prospect struct {
	name, limits string
	rows         []prospectRow
	after        []string
}

type prospectRow struct {
	change, saves, inAll string
	goods                []string
	sure                 string
}

func (d *document) savings(p prospect) {
	d.gap(3)
	d.need(30)
	d.heading(p.name, 13)
	if p.limits != "" {
		d.paragraph(p.limits, 9.5)
	}
	if len(p.rows) > 0 {
		d.gap(1)
		right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
		t := d.table(9.5, column{head: "change", share: 62, bold: true, wrap: true}, right("saves, "+d.currency, 24), right("in all", 24),
			column{head: "to buy", share: 108, wrap: true, whole: true}, column{head: "how sure", share: 70, wrap: true, whole: true})
		for _, r := range p.rows {
			t.row(r.change, r.saves, r.inAll, strings.Join(r.goods, "; "), r.sure)
		}
		t.end()
	}
	for _, text := range p.after {
		d.paragraph(text, 9.5)
	}
}

// asItIs says what the job costs before any change.
func (s style) asItIs(r *saving.Result) string {
	text := fmt.Sprintf("As it is: %s before tax, %s.", s.amount(r.Base.Total), s.verdict(r.Base.Total, r.Base.Bound, r.Base.Status, r.Base.Job.Date))
	if r.Struck != "" {
		text += " " + ended(r.Struck)
	}
	return text
}

// savingsOf puts a result in words.
func (s style) savingsOf(r *saving.Result) []prospect {
	var all []prospect
	if len(r.Dimensions) == 0 {
		all = append(all, prospect{name: "No dimension may change", after: []string{"The job marks none. A table named adjust, under [tables], says which may and what moves with each: name, marks, less, more, step."}})
	}
	for _, d := range r.Dimensions {
		p := prospect{name: d.Name, limits: s.limits(d)}
		for _, f := range few(d.Savings) {
			p.rows = append(p.rows, s.prospectRow(f, s.byText(f.Moves[0])))
		}
		if more := len(d.Savings) - len(p.rows); more > 0 {
			p.after = append(p.after, fmt.Sprintf("%s between them left out here; savings.csv has all.", plural(int64(more), "saving")))
		}
		switch {
		case len(d.Savings) == 0 && d.NoMore:
			p.after = append(p.after, "Proven: no change within these limits saves anything worth telling.")
		case d.Stopped:
			p.after = append(p.after, "The search ended before all of it was looked at.")
		case len(d.Savings) == 0:
			p.after = append(p.after, "Nothing was found within these limits.")
		case d.NoMore:
			p.after = append(p.after, "Proven: no change within these limits saves more.")
		}
		if d.Cut {
			p.after = append(p.after, "The steps are too many to look at each; a larger step would show more.")
		}
		if text := s.freeText(d); text != "" {
			p.after = append(p.after, text)
		}
		all = append(all, p)
	}
	if len(r.Pairs) > 0 {
		p := prospect{name: "Two together", limits: "These save more together than each can alone."}
		for _, f := range r.Pairs {
			var moves []string
			for _, m := range f.Moves {
				moves = append(moves, m.Name+" "+s.byText(m))
			}
			p.rows = append(p.rows, s.prospectRow(f, strings.Join(moves, ", ")))
		}
		all = append(all, p)
	}
	near := prospect{name: "Near misses", limits: "Sides that no dimension moves. Other pieces may depend on them: look at the drawing before you change one."}
	for _, f := range r.Near {
		near.rows = append(near.rows, s.prospectRow(f, s.nearText(f.Moves[0])))
	}
	if len(r.Near) == 0 {
		near.limits = ""
		near.after = []string{"No side that no dimension moves was found to save anything by getting up to " + s.ownWithUnit(saving.Nearness(s.unit)) + " shorter."}
	}
	if len(r.Near) > 0 || r.Struck == "" && r.Unseen == 0 {
		all = append(all, near)
	}
	return all
}

// few are the first savings of many, and the last.
func few(all []saving.Saving) []saving.Saving {
	const most = 8
	if len(all) <= most {
		return all
	}
	return append(slices.Clone(all[:most-1]), all[len(all)-1])
}

func (s style) prospectRow(f saving.Saving, change string) prospectRow {
	row := prospectRow{change: change, saves: s.money(f.Amount), goods: s.goodsTexts(f.Lines), sure: s.sureness(f)}
	if f.InAll != f.Amount {
		row.inAll = s.money(f.InAll)
	}
	if f.Fit != nil && f.Fit.Bar {
		row.goods = append(row.goods, fmt.Sprintf("%d then go into a bar of %s", f.Fit.Count, s.ownWithUnit(f.Fit.Of)))
	} else if f.Fit != nil {
		row.goods = append(row.goods, fmt.Sprintf("%d then go side by side into %s", f.Fit.Count, s.ownWithUnit(f.Fit.Of)))
	}
	for _, c := range f.Charges {
		row.goods = append(row.goods, fmt.Sprintf("%s, %s: %s instead of %s", c.Supplier, c.What, s.money(c.New), s.money(c.Old)))
	}
	return row
}

// limits names what a dimension moves and how far it may.
func (s style) limits(d saving.Dimension) string {
	var sides []string
	for _, side := range d.Sides {
		sides = append(sides, side.Spell())
	}
	var far []string
	if d.Less > 0 {
		far = append(far, s.ownWithUnit(d.Less)+" less")
	}
	if d.More > 0 {
		far = append(far, s.ownWithUnit(d.More)+" more")
	}
	return "Moves " + strings.Join(sides, ", ") + "; up to " + strings.Join(far, " or ") + ", in steps of " + s.ownWithUnit(d.Step) + "."
}

// byText is a change, such as "6 mm less".
func (s style) byText(m saving.Move) string {
	if m.By < 0 {
		return s.ownWithUnit(-m.By) + " less"
	}
	return s.ownWithUnit(m.By) + " more"
}

func (s style) nearText(m saving.Move) string {
	if m.Material != "" {
		return fmt.Sprintf("all %d sides of %s, each %s", len(m.Sides), m.Material, s.byText(m))
	}
	return m.Sides[0].Spell() + ", " + s.byText(m)
}

func (s style) freeText(d saving.Dimension) string {
	switch {
	case d.Free == 0:
		return ""
	case d.Free+d.Step > d.More:
		return "It may get longer by all of " + s.ownWithUnit(d.Free) + " at no more cost."
	case d.FreeMost:
		return "It may get " + s.ownWithUnit(d.Free) + " longer at no more cost; a step more costs more."
	}
	return "It may get " + s.ownWithUnit(d.Free) + " longer at no more cost."
}

// goodsTexts says what is bought in place of what, a text for each stock.
func (s style) goodsTexts(lines []change.Line) []string {
	var all []string
	for len(lines) > 0 {
		first, n := lines[0], 1
		for n < len(lines) && lines[n].Supplier == first.Supplier && lines[n].Stock == first.Stock && lines[n].Alloy == first.Alloy {
			n++
		}
		all = append(all, strings.TrimSuffix(first.Stock+", "+first.Alloy, ", ")+": "+s.instead(lines[:n]))
		lines = lines[n:]
	}
	return all
}

// instead says it for the sizes of one stock.
func (s style) instead(lines []change.Line) string {
	if l := lines[0]; len(lines) == 1 {
		count := "none"
		if l.New > 0 {
			count = fmt.Sprint(l.New)
		}
		return fmt.Sprintf("%s of %s instead of %d", count, s.size(l.Length, l.Width), l.Old)
	}
	counts := func(count func(change.Line) int64) string {
		var all []string
		for _, l := range lines {
			if n := count(l); n > 0 {
				all = append(all, fmt.Sprintf("%d of %s", n, s.size(l.Length, l.Width)))
			}
		}
		if len(all) == 0 {
			return "none"
		}
		return strings.Join(all, " + ")
	}
	return counts(func(l change.Line) int64 { return l.New }) + " instead of " + counts(func(l change.Line) int64 { return l.Old })
}

// sureness says what is proved of a saving.
func (s style) sureness(f saving.Saving) string {
	switch {
	case f.Proven && f.Smallest:
		return "Proven, and no smaller change saves as much."
	case f.Proven:
		return "Proven; a smaller change might do."
	case f.Least == f.Amount:
		return "Proven, and it may be more."
	case f.Least > 0:
		return "At least " + s.money(f.Least) + " is sure; the rest is by the best plans found."
	}
	return "By the best plans found: without the change there may be one as cheap."
}

// savingsNotes close the report.
func (s style) savingsNotes(r *saving.Result) []string {
	proved := "every plan behind them was proved again"
	if r.Notes > 0 {
		proved += fmt.Sprintf(", but for %s", plural(int64(r.Notes), "claim"))
	}
	left := ""
	if r.Unseen > 0 {
		left = fmt.Sprintf("Not looked at: %d pairs of dimensions and sides that no dimension moves. ", r.Unseen)
	}
	return []string{
		"Nothing was changed in the job. Amounts are before tax, against plan no. " + r.Base.Number + "; " + proved + ". " +
			"A saving under a thousandth of the cost is not told.",
		left + "Whether a dimension may change is for whoever designed it to say: this looks at cost alone.",
	}
}

// savingsTable is for other programs.
func (s *set) savingsTable(r *saving.Result) []byte {
	rows := [][]string{{"kind", "name", s.in("change"), "name_2", s.in("change_2"), "sides", "saves", "at_least", "in_all", "currency",
		"proven", "smallest", "to_buy", "charges", "plan"}}
	add := func(kind string, f saving.Saving) {
		row := []string{kind}
		var sides []string
		for _, m := range f.Moves {
			name := m.Name
			if m.Material != "" {
				name = m.Material
			}
			row = append(row, name, s.exactSigned(m.By))
			for _, side := range m.Sides {
				sides = append(sides, side.Spell())
			}
		}
		if len(f.Moves) == 1 {
			row = append(row, "", "")
		}
		var goods, charges []string
		for _, l := range f.Lines {
			size := s.exact(l.Length)
			if l.Width > 0 {
				size += " x " + s.exact(l.Width)
			}
			goods = append(goods, fmt.Sprintf("%s %s %s: %d to %d", l.Supplier, l.Stock, size, l.Old, l.New))
		}
		for _, c := range f.Charges {
			charges = append(charges, fmt.Sprintf("%s %s: %s to %s", c.Supplier, c.What, c.Old, c.New))
		}
		rows = append(rows, append(row, strings.Join(sides, "; "), f.Amount.String(), f.Least.String(), f.InAll.String(), s.currency,
			fmt.Sprint(f.Proven), fmt.Sprint(f.Smallest), strings.Join(goods, "; "), strings.Join(charges, "; "), f.Plan.Number))
	}
	for _, d := range r.Dimensions {
		for _, f := range d.Savings {
			add("dimension", f)
		}
		if d.Free > 0 {
			none := plan.Money(0).String()
			rows = append(rows, []string{"free", d.Name, s.exact(d.Free), "", "", "", none, none, none, s.currency, "true", fmt.Sprint(d.FreeMost), "", "", ""})
		}
	}
	for _, f := range r.Pairs {
		add("pair", f)
	}
	for _, f := range r.Near {
		add("near", f)
	}
	return table4180(rows)
}

func (s style) exactSigned(l length.Length) string {
	if l < 0 {
		return "-" + s.exact(-l)
	}
	return s.exact(l)
}
