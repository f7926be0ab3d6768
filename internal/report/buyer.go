package report

import (
	"fmt"
	"strings"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// buyer makes summary.pdf, the only paper with what is proved.
func (s *set) buyer() {
	d := s.document("Summary for the buyer", false)
	d.newPage()
	d.heading(s.plan.Job.Name, 20)
	if s.job.Note != "" {
		d.paragraph(s.job.Note, 10)
	}
	d.gap(3)
	d.costs()
	d.buyList()
	d.materialRows()
	d.masses()
	d.cautionRows()
	d.save("summary.pdf")
}

func (d *document) costs() {
	p := d.plan
	d.heading("What it costs", 13)
	d.figureLine("Goods", d.amount(p.Goods), false)
	for _, c := range p.Charges {
		d.figureLine(c.Supplier+": "+c.What, d.amount(c.Amount), false)
	}
	d.figureLine("To pay", d.amount(p.Payable), true)
	d.gap(1)
	verdict := d.verdict(p.Total, p.Bound, p.Status, p.Job.Date)
	d.paragraph("Cost of the goods: "+verdict+". No plan can cost less than "+d.amount(p.Bound)+" for these prices, pieces and saw cuts.", 10)
	if len(p.Charges) > 0 {
		d.paragraph("The suppliers' charges come on top and are no part of what is proved.", 10)
	}
	if text := ended(p.Struck); text != "" {
		d.paragraph(text, 10)
	}
	d.gap(3)
}

// figureLine writes a name and an amount at the right.
func (d *document) figureLine(name, amount string, bold bool) {
	d.need(6)
	d.y += 5.5
	p := &d.page().Page
	w := d.width() * 0.7
	d.write(p, d.left(), d.y, w-45, name, font{size: 11, least: 7, bold: bold})
	d.write(p, d.left()+w, d.y, 44, amount, font{size: 11, least: 7, bold: bold, align: drawing.Right})
	if bold {
		p.Stroke(d.left(), d.y-4.6, d.left()+w, d.y-4.6, thin)
	}
}

func (d *document) buyList() {
	d.heading("What to buy", 13)
	t := d.table(9.5, column{head: "count", share: 10, align: drawing.Right, bold: true}, column{head: "stock", share: 48},
		column{head: "size", share: 36}, column{head: "each", share: 18, align: drawing.Right},
		column{head: "amount, " + d.currency, share: 22, align: drawing.Right})
	for _, name := range suppliers(d.plan, d.job) {
		t.group(name)
		sum := plan.Money(0)
		for _, b := range bought(d.plan, name) {
			t.row(fmt.Sprint(b.Count), stockName(b.material), d.size(b.Length, b.Width), d.money(b.Each), d.money(b.Amount))
			sum += b.Amount
		}
		t.sum("", "", "", "", d.money(sum))
	}
	t.end()
	if l := d.job.LongestLoad; l > 0 {
		d.paragraph("Longest thing to be carried home: "+d.withUnit(l)+". Have longer stock cut at the yard along the layouts.", 9.5)
	}
	d.gap(2)
}

func stockName(m plan.Material) string {
	if m.Alloy == "" {
		return m.Stock
	}
	return m.Stock + ", " + m.Alloy
}

// materialRows tell what each material comes to and what is proved of it.
func (d *document) materialRows() {
	d.need(40)
	d.heading("By material", 13)
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	t := d.table(9, column{head: "material", share: 20, bold: true, wrap: true}, right("cost, "+d.currency, 17), right("lowest possible", 17),
		right("used", 13), right("offcuts to keep", 15), right("scrap and kerf", 15), right("pieces, "+d.massUnit(), 15), right("bought, "+d.massUnit(), 15))
	for _, m := range d.plan.Materials {
		t.row(m.Key, d.money(m.Goals.Cost.Value), d.money(m.Goals.Cost.Bound), d.share(m.Shares.Used), d.share(m.Shares.Offcuts),
			d.share(m.Shares.Scrap), d.bareMass(m.Mass.Pieces), d.bareMass(m.Mass.Bought))
	}
	t.end()
	for _, m := range d.plan.Materials {
		cost := m.Goals.Cost
		text := fmt.Sprintf("%s: %s; %s", m.Key, d.verdict(cost.Value, cost.Bound, cost.Status, d.plan.Job.Date), d.otherGoals(m))
		if why := ended(m.Struck); why != "" {
			text += " " + why
		}
		d.paragraph(text, 9)
	}
	d.gap(2)
}

// otherGoals tells of the goals after cost.
func (d *document) otherGoals(m plan.Material) string {
	thing, area := "bar", ""
	if m.Kind == plan.Sheet {
		thing, area = "sheet", ", largest kept offcut "
	}
	g := m.Goals
	parts := []string{plural(g.Count.Value, thing) + fewest(g.Count)}
	if g.Patterns != nil {
		parts = append(parts, plural(g.Patterns.Value, "different pattern")+fewest(*g.Patterns))
	}
	text := strings.Join(parts, ", ")
	if largest := largestKept(m); area != "" && largest != nil {
		text += area + d.size(largest.Length, largest.Width)
	}
	if longest := longestKept(m); longest > 0 {
		text += ", longest kept offcut " + d.withUnit(longest)
	}
	return text + "."
}

// fewest is what is proved of a count.
func fewest(g plan.CountGoal) string {
	if g.Status == plan.Proven {
		return " (proven fewest at this cost)"
	}
	if g.Bound > 0 && g.Bound < g.Value {
		return fmt.Sprintf(" (fewest found; %d may be possible)", g.Bound)
	}
	return ""
}

func (d *document) masses() {
	d.heading("Mass", 13)
	m := d.plan.Mass
	d.figureLine("Pieces and panels", d.mass(m.Pieces), false)
	if m.Allowed != m.Pieces {
		d.figureLine("The same with the allowance", d.mass(m.Allowed), false)
	}
	d.figureLine("Bought", d.mass(m.Bought), false)
	d.figureLine("Offcuts to keep", d.mass(m.Offcuts), false)
	d.figureLine("Scrap, kerf and trims", d.mass(m.Scrap), false)
	d.gap(4)
}

func (d *document) cautionRows() {
	d.need(45)
	d.heading("Cautions", 13)
	for _, text := range cautions(d.plan.Job.Date) {
		d.paragraph("– "+text, 9.5)
	}
}
