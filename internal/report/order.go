package report

import (
	"fmt"

	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// supplier makes one supplier's folder: nothing in it comes from another
// supplier, and nothing says what is proved.
func (s *set) supplier(name, folder string) {
	d := s.document("Order", false)
	d.order(name)
	d.save(under(folder, "order.pdf"))
	s.add(under(folder, "order.csv"), s.buyTable(name))
	if s.has(plan.Bar, name) || s.has(plan.Sheet, name) {
		list := s.document("Cut list, only if you cut for us", false)
		list.cutList(name)
		list.save(under(folder, "cutlist.pdf"))
		draw := s.document("Layouts, only if you cut for us", true)
		draw.drawings = true
		draw.barPages(name)
		draw.sheetPages(name)
		draw.save(under(folder, "layouts.pdf"))
	}
	s.add(under(folder, "README.txt"), s.supplierReadme(name))
}

func (d *document) order(name string) {
	d.newPage()
	d.heading("Order to "+name, 18)
	d.paragraph(fmt.Sprintf("For: %s. Please quote plan no. %s in your answer.", d.plan.Job.Name, d.plan.Number), 10)
	d.gap(3)
	t := d.table(10.5, column{head: "ok", share: 8, tick: true}, column{head: "count", share: 12, align: drawing.Right, bold: true},
		column{head: "stock", share: 50, bold: true}, column{head: "alloy", share: 24}, column{head: "size", share: 36, bold: true},
		column{head: "price entered, each", share: 22, align: drawing.Right}, column{head: "amount, " + d.currency, share: 22, align: drawing.Right})
	sum := plan.Money(0)
	for _, b := range bought(d.plan, name) {
		t.rowWith([]string{4: d.otherSize(b.Length, b.Width)}, "", fmt.Sprint(b.Count), b.material.Stock, b.material.Alloy, d.size(b.Length, b.Width), d.money(b.Each), d.money(b.Amount))
		sum += b.Amount
	}
	t.sum("", "", "", "", "Goods", "", d.money(sum))
	for _, c := range d.plan.Charges {
		if c.Supplier == name {
			t.sum("", "", "", "", c.What, "", d.money(c.Amount))
			sum += c.Amount
		}
	}
	t.sum("", "", "", "", "Sum", "", d.money(sum))
	t.end()
	d.gap(2)
	d.requests(name)
	d.gap(6)
	d.signatures()
}

// requests are what goes wrong when an order leaves it open.
func (d *document) requests(name string) {
	d.heading("Please", 12)
	lines := []string{
		"confirm section, alloy and temper, wall or thickness, length and count before you cut or load;",
		"supply full sizes: the stock may be longer, never shorter, than stated;",
		"ask before you put another grade or size in place of one that is out of stock.",
	}
	if d.goodSide(name) {
		lines = append(lines, "protect the good side of the sheets with film and load them with it facing up.")
	}
	if l := d.job.LongestLoad; l > 0 {
		lines = append(lines, "the longest thing we can carry is "+d.withUnit(l)+" "+d.other(l)+": longer stock is to be cut along layouts.pdf before loading.")
	}
	for _, l := range lines {
		d.need(7)
		tick(&d.page().Page, d.left(), d.y+4.5, 3.6)
		at := d.y
		d.write(&d.page().Page, d.left()+6, at+4.5, d.width()-6, l, font{size: 9.5, least: 6.5})
		d.y = at + 6
	}
}

func (d *document) goodSide(name string) bool {
	for _, b := range bought(d.plan, name) {
		if b.material.Kind == plan.Sheet && d.materials[b.material.Key].GoodSide {
			return true
		}
	}
	return false
}

func (d *document) signatures() {
	d.need(20)
	d.y += 14
	p := &d.page().Page
	third := d.width() / 3
	for i, what := range []string{"ordered by, date", "confirmed by supplier, date", "received complete, date"} {
		x := d.left() + float64(i)*third
		p.Stroke(x, d.y, x+third-6, d.y, thin)
		d.write(p, x, d.y+3.5, third-6, what, font{size: 7.5})
	}
	d.y += 5
}
