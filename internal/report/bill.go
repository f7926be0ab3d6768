package report

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/account"
	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// bill is all that one supplier is bought from: goods, marks cut and ready, and
// what it adds to their price. Every page that tells of money prints these lines
// and sums up what it prints.
type bill struct {
	supplier string
	way      string // as in plan.Order; "" when the plan does not say
	onHand   bool   // our own stock: nothing is ordered or paid
	goods    []purchase
	marks    []markLine
	charges  []plan.Charge
	tax      *plan.Tax
}

// markLine is one mark bought cut and ready, with the material it is of.
type markLine struct {
	plan.Quote
	material plan.Material
}

// bills are those of everybody bought from, in the job's order, our own stock last.
func bills(p *plan.Plan, j *job.Job) []bill {
	var out, own []bill
	for _, name := range suppliers(p, j) {
		b := billOf(p, j, name)
		if b.onHand {
			own = append(own, b)
		} else {
			out = append(out, b)
		}
	}
	return append(out, own...)
}

func billOf(p *plan.Plan, j *job.Job, name string) bill {
	b := bill{supplier: name, goods: bought(p, name)}
	for _, o := range p.Orders {
		if o.Supplier == name {
			b.way = o.Way
		}
	}
	b.onHand = b.way == plan.OnHand || slices.ContainsFunc(j.Suppliers, func(s job.Supplier) bool { return s.Name == name && s.OnHand })
	for i := range b.goods {
		b.goods[i].from = reached(j, b.goods[i].Line)
		b.goods[i].rack = fromRack(j, b.goods[i].Offer)
	}
	for _, m := range p.Materials {
		if m.ByMark != name {
			continue
		}
		for _, q := range m.Marks {
			b.marks = append(b.marks, markLine{q, m})
		}
	}
	for _, c := range p.Charges {
		if c.Supplier == name {
			b.charges = append(b.charges, c)
		}
	}
	for i := range p.Taxes {
		if p.Taxes[i].Supplier == name {
			b.tax = &p.Taxes[i]
		}
	}
	return b
}

// reached is the quantity from which the price of a line holds, 0 when there is
// only one price.
func reached(j *job.Job, l plan.Line) int64 {
	if l.Offer < 0 || l.Offer >= len(j.Offers) {
		return 0
	}
	from := int64(0)
	for i, t := range j.Offers[l.Offer].Tiers {
		if t.From <= l.Count && (i > 0 || t.From > 1) {
			from = t.From
		}
	}
	return from
}

// goodsSum and chargeSum are sums of the printed lines.
func (b bill) goodsSum() plan.Money {
	sum := plan.Money(0)
	for _, g := range b.goods {
		sum += g.Amount
	}
	for _, m := range b.marks {
		sum += m.Amount
	}
	return sum
}

func (b bill) chargeSum() plan.Money {
	sum := plan.Money(0)
	for _, c := range b.charges {
		sum += c.Amount
	}
	return sum
}

func (b bill) net() plan.Money { return b.goodsSum() + b.chargeSum() }

func (b bill) taxSum() plan.Money {
	if b.tax == nil {
		return 0
	}
	return b.tax.Amount
}

// heading is the supplier and how its goods come home.
func (b bill) heading() string {
	switch {
	case b.onHand:
		return b.supplier + ": on hand, take from stock"
	case b.way != "":
		return b.supplier + ", " + b.way
	}
	return b.supplier
}

// manner tells what the count of a line does not: which piece of the rack, packs, the quantity that its
// price needs, spares.
func (l purchase) manner() string {
	var parts []string
	if l.rack != "" {
		parts = append(parts, l.rack)
	}
	if l.Pack > 1 {
		parts = append(parts, fmt.Sprintf("%s of %d, price a pack", plural(l.Count/l.Pack, "pack"), l.Pack))
	}
	if l.from > 0 {
		parts = append(parts, fmt.Sprintf("price from %d", l.from))
	}
	if l.Spare > 0 {
		parts = append(parts, fmt.Sprintf("of them %d spare", l.Spare))
	}
	return strings.Join(parts, "; ")
}

// chargeText is what a charge is for and how it is counted.
func chargeText(c plan.Charge) string {
	switch {
	case c.Count == 0:
		return c.What
	case c.Free > 0:
		return fmt.Sprintf("%s: %d, %d free", c.What, c.Count, min(c.Free, c.Count))
	}
	return fmt.Sprintf("%s: %d", c.What, c.Count)
}

// chargeEach is the price of one; empty where nothing is counted.
func (s style) chargeEach(c plan.Charge) string {
	if c.Count == 0 {
		return ""
	}
	return s.money(c.Each)
}

// taxText names a tax and what it is on.
func (s style) taxText(t plan.Tax) string {
	return fmt.Sprintf("tax, %s %% of %s", s.rate(t.Rate), s.money(t.Net))
}

// rate prints thousandths of a percent as short as can be.
func (s style) rate(v int64) string { return s.decimal(trimZeros(thousandths(v))) }

// figure is one line of a statement of costs; a sum is ruled off.
type figure struct {
	name   string
	amount plan.Money
	sum    bool
}

// statement leads from the goods to what is to be paid, and to the budget.
func (s style) statement(p *plan.Plan, j *job.Job) []figure {
	out := []figure{{name: "Goods", amount: p.Goods}}
	taxed := false
	all := bills(p, j)
	for _, b := range all {
		if len(b.charges) > 0 {
			out = append(out, figure{name: "Charges, " + b.supplier, amount: b.chargeSum()})
		}
		taxed = taxed || b.tax != nil
	}
	if p.OnHand != 0 || taxed {
		out = append(out, figure{name: "Total before tax", amount: p.Total, sum: true})
	}
	if p.OnHand != 0 {
		out = append(out, figure{name: "Our own stock in it, not paid", amount: -p.OnHand})
	}
	for _, b := range all {
		if b.tax != nil {
			out = append(out, figure{name: "Tax, " + b.supplier + ", " + s.rate(b.tax.Rate) + " %", amount: b.tax.Amount})
		}
	}
	out = append(out, figure{name: "To pay", amount: p.Payable, sum: true})
	spend := p.Payable
	if sundries := account.Of(j).Spend(); sundries > 0 {
		spend += sundries
		out = append(out, figure{name: "Brackets, rivets, items, consumables", amount: sundries}, figure{name: "To spend in all", amount: spend, sum: true})
	}
	if limit := plan.Money(j.Budget); limit > 0 {
		out = append(out, figure{name: "Budget", amount: limit})
		if left := limit - spend; left >= 0 {
			out = append(out, figure{name: "Left of the budget", amount: left, sum: true})
		} else {
			out = append(out, figure{name: "Over the budget", amount: -left, sum: true})
		}
	}
	return out
}
