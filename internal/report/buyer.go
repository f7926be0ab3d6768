package report

import (
	"fmt"
	"strings"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/report/screen"
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
	for _, f := range d.statement(p, d.job) {
		d.figureLine(f.name, d.amount(f.amount), f.sum)
	}
	d.gap(1)
	d.paragraph("Goods and charges: "+d.verdict(p.Total, p.Bound, p.Status, p.Job.Date)+". No plan can cost less than "+
		d.amount(p.Bound)+" before tax for these prices, charges, pieces and cuts.", 10)
	if text := ended(p.Struck); text != "" {
		d.paragraph(text, 10)
	}
	d.gap(3)
}

// figureLine writes a name and an amount at the right.
func (d *document) figureLine(name, amount string, bold bool) {
	d.tell(screen.Block{Kind: screen.Figure, Text: name, Figure: amount, Bold: bold})
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
	t := d.table(9.5, column{head: "count", share: 10, align: drawing.Right, bold: true}, column{head: "stock", share: 48, wrap: true},
		column{head: "size", share: 36}, column{head: "each", share: 18, align: drawing.Right},
		column{head: "amount, " + d.currency, share: 22, align: drawing.Right})
	for _, b := range bills(d.plan, d.job) {
		t.group(b.heading())
		d.billRows(t, b)
	}
	t.end()
	if l := d.job.LongestLoad; l > 0 {
		d.paragraph("Longest thing to be fetched: "+d.withUnit(l)+". Longer stock that is fetched is cut at the yard along the layouts.", 9.5)
	}
	d.gap(2)
}

// billRows writes the lines of a bill and their sums.
func (d *document) billRows(t *table, b bill) {
	for _, g := range b.goods {
		t.rowWith([]string{1: g.manner()}, fmt.Sprint(g.Count), stockName(g.material), d.size(g.Length, g.Width), t.money(g.Each), t.money(g.Amount))
	}
	for _, m := range b.marks {
		t.row(fmt.Sprint(m.Count), m.Mark+", cut and ready: "+stockName(m.material), "", t.money(m.Each), t.money(m.Amount))
	}
	for _, c := range b.charges {
		t.row("", chargeText(c), "", t.chargeEach(c), t.money(c.Amount))
	}
	if b.tax == nil {
		t.sum("", "", "", "", t.money(b.net()))
		return
	}
	t.sum("", "", "before tax", "", t.money(b.net()))
	t.row("", t.taxText(*b.tax), "", "", t.money(b.tax.Amount))
	t.sum("", "", "with tax", "", t.money(b.net()+b.tax.Amount))
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
	tied := d.plan.PurchaseProof != nil
	cost, least := "cost, "+d.currency, "lowest possible"
	if tied {
		cost, least = "goods, "+d.currency, "least, goods alone"
	}
	right := func(head string, share float64) column { return column{head: head, share: share, align: drawing.Right} }
	t := d.table(9, column{head: "material", share: 20, bold: true, wrap: true}, right(cost, 17), right(least, 17),
		right("used", 13), right("offcuts to keep", 15), right("scrap and kerf", 15), right("pieces, "+d.massUnit(), 15), right("bought, "+d.massUnit(), 15))
	for _, m := range d.plan.Materials {
		t.row(m.Key, d.money(m.Goals.Cost.Value), d.money(m.Goals.Cost.Bound), d.share(m.Shares.Used), d.share(m.Shares.Offcuts),
			d.share(m.Shares.Scrap), d.bareMass(m.Mass.Pieces), d.bareMass(m.Mass.Bought))
	}
	t.end()
	if tied {
		d.paragraph("The proof is of the total, since suppliers' charges tie the materials together. The least that a material's goods alone could cost says nothing of the charges that would come with them.", 9)
	}
	if text := d.setUps(d.plan); text != "" {
		d.paragraph(text, 9)
	}
	for _, m := range d.plan.Materials {
		text := m.Key + ": "
		if cost := m.Goals.Cost; !tied {
			text += d.verdict(cost.Value, cost.Bound, cost.Status, d.plan.Job.Date) + "; "
		}
		text += d.otherGoals(m)
		if why := ended(m.Struck); why != "" {
			text += " " + why
		}
		d.paragraph(text, 9)
	}
	d.gap(2)
}

// otherGoals tells of the goals after cost.
func (d *document) otherGoals(m plan.Material) string {
	if m.ByMark != "" {
		return "all pieces come cut and ready from " + m.ByMark + "."
	}
	thing, area := "bar", ""
	if m.Kind == plan.Sheet {
		thing, area = "sheet", ", largest kept offcut "
	}
	g := m.Goals
	parts := []string{plural(g.Count.Value, thing) + fewest(g.Count)}
	if g.Patterns != nil {
		parts = append(parts, plural(g.Patterns.Value, "different pattern")+fewest(*g.Patterns))
	}
	if g.Cuts != nil {
		parts = append(parts, plural(g.Cuts.Value, "cut")+fewest(*g.Cuts))
	}
	if g.Strip != nil && g.Strip.Value > 0 {
		if strip := largestStrip(m); strip != nil {
			parts = append(parts, "largest strip left "+d.size(strip.Length, strip.Width))
		}
	}
	text := strings.Join(parts, ", ")
	if largest := largestKept(m); area != "" && largest != nil {
		text += area + d.size(largest.Length, largest.Width)
	}
	if longest := longestKept(m); longest > 0 {
		text += ", longest kept offcut " + d.withUnit(longest)
	}
	if len(g.Order) > 0 {
		text += "; sought after the least cost, in this order: " + strings.Join(g.Order, ", ")
	}
	return text + "."
}

// largestStrip is the largest leftover from edge to edge of a trimmed sheet, nil for none.
func largestStrip(m plan.Material) *plan.Part {
	var largest *plan.Part
	for _, l := range m.Layouts {
		for _, p := range leaves(l.Tree) {
			edge := p.Panel == 0 && (p.Length == l.Tree.Length || p.Width == l.Tree.Width)
			if edge && (largest == nil || p.Length.Millimetres()*p.Width.Millimetres() > largest.Length.Millimetres()*largest.Width.Millimetres()) {
				largest = p
			}
		}
	}
	return largest
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
