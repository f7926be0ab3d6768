package report

import (
	"fmt"
	"math"
	"strings"

	"sawbill/internal/account"
	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// The money of the whole: what the plan buys by supplier, then what is bought
// beside it. Every page and table of it is made of these rows.

// moneyPart is one block of the bill.
type moneyPart struct {
	heading string
	rows    []moneyRow
}

// moneyRow is one line: Amount is count times each where a count is given.
type moneyRow struct {
	supplier, what, more string
	count                int64
	each, amount         plan.Money
}

func (p moneyPart) sum() plan.Money {
	sum := plan.Money(0)
	for _, r := range p.rows {
		sum += r.amount
	}
	return sum
}

func sumOf(parts []moneyPart) plan.Money {
	sum := plan.Money(0)
	for _, p := range parts {
		sum += p.sum()
	}
	return sum
}

// purchaseParts are the parts of the plan's purchase.
func (s style) purchaseParts(p *plan.Plan, j *job.Job) []moneyPart {
	var parts []moneyPart
	for _, b := range bills(p, j) {
		part := moneyPart{heading: b.heading()}
		add := func(r moneyRow) {
			r.supplier = b.supplier
			part.rows = append(part.rows, r)
		}
		for _, g := range b.goods {
			r := moneyRow{what: stockName(g.material) + ", " + s.size(g.Length, g.Width), more: g.manner(), count: g.Count, each: g.Each, amount: g.Amount}
			if g.Pack > 1 {
				r.count = g.Count / g.Pack
			}
			add(r)
		}
		for _, m := range b.marks {
			add(moneyRow{what: m.Mark + ", cut and ready", more: stockName(m.material), count: m.Count, each: m.Each, amount: m.Amount})
		}
		for _, c := range b.charges {
			add(moneyRow{what: chargeText(c), count: max(0, c.Count-c.Free), each: c.Each, amount: c.Amount})
		}
		if b.tax != nil {
			add(moneyRow{what: s.taxText(*b.tax), amount: b.tax.Amount})
		}
		if b.onHand {
			add(moneyRow{what: "our own stock, not paid", amount: -b.net()})
		}
		parts = append(parts, part)
	}
	return parts
}

// sundries are the parts of what is bought beside the plan.
func (s style) sundries(a *account.Account) []moneyPart {
	var parts []moneyPart
	for _, p := range []struct {
		heading string
		lines   []account.Line
	}{{"Brackets, bought", a.Brackets}, {"Rivets", a.Rivets}, {"Items", a.Items}, {"Consumables", a.Consumables}} {
		part := moneyPart{heading: p.heading}
		for _, l := range p.lines {
			part.rows = append(part.rows, moneyRow{supplier: l.Supplier, what: s.lineName(l), more: s.lineMore(l), count: l.Packs, each: l.Each, amount: l.Amount})
		}
		if len(part.rows) > 0 {
			parts = append(parts, part)
		}
	}
	part := moneyPart{heading: "Tax on these"}
	for _, t := range a.Taxes {
		part.rows = append(part.rows, moneyRow{supplier: t.Supplier, what: s.taxText(plan.Tax{Rate: t.Rate, Net: t.Net}), more: t.Supplier, amount: t.Amount})
	}
	if len(part.rows) > 0 {
		parts = append(parts, part)
	}
	return parts
}

// lineName is what a line buys; a rivet is told by its size.
func (s style) lineName(l account.Line) string {
	if l.Diameter == 0 {
		return l.Name
	}
	return strings.TrimPrefix(l.Name+", "+s.rivetSize(l.Diameter, l.Length), ", ")
}

func (s style) rivetSize(diameter, long length.Length) string {
	return s.fastener(diameter) + " × " + s.unitOn(s.fastener(long))
}

// fastener prints the size of a rivet or a grip: a fraction where it is a whole
// number of sixty-fourths of an inch, else decimals, which do not round it.
func (s style) fastener(l length.Length) string {
	if s.unit.Imperial() && l%length.Sixtyfourth == 0 {
		return s.own(l)
	}
	return s.small(l)
}

// lineMore tells how many are needed and what is in a pack, and whose it is.
func (s style) lineMore(l account.Line) string {
	parts := []string{"needed " + s.measured(l.Measure, l.Need)}
	if l.Measure != string(job.ByCount) || l.Content > 1 {
		parts[0] += ", " + s.measured(l.Measure, l.Content) + " a pack"
	}
	for _, text := range []string{l.Supplier, l.Group, l.Note} {
		if text != "" {
			parts = append(parts, text)
		}
	}
	return strings.Join(parts, "; ")
}

// measured prints a need, rounded up to the hundredth of a metre, litre or
// square metre, or of a foot, fluid ounce or square foot.
func (s style) measured(measure string, n int64) string {
	show := func(one float64, unit string) string {
		hundredths := math.Ceil(float64(n)/one*100 - 1e-6)
		return s.decimal(trimZeros(plan.Money(int64(hundredths)).String())) + " " + unit
	}
	inch := s.unit.Imperial()
	switch {
	case measure == "length" && inch:
		return show(float64(length.Foot), "ft")
	case measure == "length":
		return show(float64(length.Metre), "m")
	case measure == "area" && inch:
		return show(92_903_040_000, "ft²")
	case measure == "area":
		return show(1e12, "m²")
	case measure == "volume" && inch:
		return show(29_573_529_562.5, "fl oz")
	case measure == "volume":
		return show(1e12, "l")
	}
	return fmt.Sprint(n)
}

// billTable is bill.csv. What is quoted and invoiced is left to fill in.
func (s *set) billTable(a *account.Account) []byte {
	rows := [][]string{{"part", "supplier", "what", "detail", "count", "each", "amount", "currency", "quoted", "invoiced"}}
	for _, p := range append(s.purchaseParts(s.plan, s.job), s.sundries(a)...) {
		for _, r := range p.rows {
			count, each := "", ""
			if r.count > 0 {
				count, each = fmt.Sprint(r.count), r.each.String()
			}
			rows = append(rows, []string{p.heading, r.supplier, r.what, r.more, count, each, r.amount.String(), s.currency, "", ""})
		}
	}
	return table4180(rows)
}
