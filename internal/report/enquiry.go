package report

import (
	"fmt"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// The enquiry asks for prices. It goes to any number of suppliers, so it names none
// and shows no price; what they fill in can be read back by the ids of its rows.

// enquiry makes enquiry.pdf and enquiry.csv.
func (s *set) enquiry() {
	asked := s.job.Enquiry()
	s.add("enquiry.csv", s.enquiryTable(asked))
	d := s.document("Enquiry", true)
	d.enquiry(asked)
	d.save("enquiry.pdf")
}

// stockKey is a size of a material.
type stockKey struct {
	material string
	long     int64
	wide     int64
}

// planned counts how many of each size the plan buys.
func (s *set) planned() map[stockKey]int64 {
	count := map[stockKey]int64{}
	for _, b := range bills(s.plan, s.job) {
		if b.onHand {
			continue
		}
		for _, g := range b.goods {
			count[stockKey{g.material.Key, int64(g.Length), int64(g.Width)}] += g.Count
		}
	}
	return count
}

// askedCount is how many are wanted; empty for a size that the plan does without.
func (s *set) askedCount(a job.Asked, planned map[stockKey]int64) string {
	if a.Mark != "" {
		return fmt.Sprint(a.Quantity)
	}
	return some(planned[stockKey{s.job.Materials[a.Material].Key, int64(a.Length), int64(a.Width)}])
}

// askedStock names the material of a row.
func (s *set) askedStock(a job.Asked) string {
	m := s.job.Materials[a.Material]
	name := m.Section.String()
	if m.Alloy.Name != "" {
		name += ", " + m.Alloy.Name
	}
	return name
}

// askedEnds tells a piece's angles.
func (s *set) askedEnds(a job.Asked) string {
	return s.ends(s.job.Materials[a.Material].Section, a.Piece())
}

// askedSides says how bars are held whose sides differ, once for each kind of section.
func (s *set) askedSides(marks []job.Asked) string {
	text := ""
	for _, a := range marks {
		sec := s.job.Materials[a.Material].Section
		if s.laidOn(sec, a.Piece()) != "" && !strings.Contains(text, s.lying(sec)) {
			text += " " + s.lying(sec)
		}
	}
	return text
}

// termTexts are what the rows of an enquiry that are no goods ask for.
var termTexts = map[string]string{
	"delivery": "delivery of the whole order",
	"minimum":  "smallest order",
	"cut":      "one square cut",
	"mitre":    "one mitred cut",
}

func (s *set) enquiryTable(asked []job.Asked) []byte {
	price := "price each"
	if s.currency != "" {
		price += " (" + s.currency + ")"
	}
	rows := [][]string{{"id", "mark", "material", "stock and alloy", "size", "count", price, "from", "pack", "stock available", "note"}}
	planned := s.planned()
	for _, a := range asked {
		size := s.exact(a.Length)
		if a.Width > 0 {
			size += " x " + s.exact(a.Width)
		}
		rows = append(rows, []string{a.ID, a.Mark, s.job.Materials[a.Material].Key, s.askedStock(a), size + " " + s.tableUnit().String(),
			s.askedCount(a, planned), "", "", "", "", s.askedEnds(a)})
	}
	for _, id := range job.Terms() {
		rows = append(rows, []string{id, "", "", "", "", "", "", "", "", "", termTexts[id]})
	}
	return table4180(rows)
}

func (d *document) enquiry(asked []job.Asked) {
	d.newPage()
	d.heading("Enquiry: "+d.plan.Job.Name, 18)
	d.paragraph(fmt.Sprintf("Please quote before tax%s, for one bar or sheet; if you sell by length, area or mass, write for example \"3.70 per m\". "+
		"From: the quantity from which that price holds; give further quantities on the empty lines, with the row's id. Pack: how many are sold together. "+
		"Sizes without a count are alternatives: their prices decide what is bought. The stock may be longer, never shorter, than stated. "+
		"enquiry.csv holds the same rows to fill in; please leave the ids as they are.", inCurrency(d.currency)), 9.5)
	if l := d.job.LongestLoad; l > 0 {
		d.paragraph("What we fetch ourselves may be "+d.withUnit(l)+" "+d.other(l)+" long at most.", 9.5)
	}
	d.gap(2)
	stock, marks := split(asked)
	if len(stock) > 0 {
		d.heading("Bars and sheets", 13)
		d.askedSizes(stock)
	}
	if len(marks) > 0 {
		d.need(45)
		d.heading("If you lay out your own stock: pieces and panels, cut and ready", 13)
		d.paragraph("Please price each mark, for one, or leave all of a material out. Lengths are overall, long point to long point; angles are from square."+d.askedSides(marks), 9.5)
		d.askedMarks(marks)
	}
	d.askedTerms()
}

func inCurrency(currency string) string {
	if currency == "" {
		return ""
	}
	return ", in " + currency
}

func split(asked []job.Asked) (stock, marks []job.Asked) {
	for _, a := range asked {
		if a.Mark == "" {
			stock = append(stock, a)
		} else {
			marks = append(marks, a)
		}
	}
	return stock, marks
}

func (d *document) askedSizes(stock []job.Asked) {
	t := d.table(10, column{head: "id", share: 27}, column{head: "stock and alloy", share: 58, bold: true, wrap: true}, column{head: "size", share: 44, bold: true},
		column{head: "count", share: 13, align: drawing.Right, bold: true}, column{head: "price each", share: 27, box: true}, column{head: "from", share: 15, box: true},
		column{head: "pack", share: 15, box: true}, column{head: "in stock", share: 18, box: true}, column{head: "note", share: 40, box: true})
	planned := d.planned()
	for _, a := range stock {
		second := d.otherSize(a.Length, a.Width)
		t.rowWith([]string{2: second}, a.ID, d.askedStock(a), d.size(a.Length, a.Width), d.askedCount(a, planned))
	}
	const further = 3
	for range further {
		t.row("")
	}
	t.end()
}

func (d *document) askedMarks(marks []job.Asked) {
	t := d.table(9.5, column{head: "id", share: 27}, column{head: "mark", share: 26, bold: true, wrap: true, whole: true},
		column{head: "stock and alloy", share: 52, wrap: true}, column{head: "size", share: 40, bold: true}, column{head: "ends", share: 42, wrap: true},
		column{head: "count", share: 13, align: drawing.Right, bold: true}, column{head: "price for one", share: 27, box: true}, column{head: "note", share: 30, box: true})
	for _, a := range marks {
		t.row(a.ID, a.Mark, d.askedStock(a), d.size(a.Length, a.Width), d.askedEnds(a), d.askedCount(a, nil))
	}
	t.end()
}

// askedTerms are lines for what a bill has beside the goods.
func (d *document) askedTerms() {
	lines := []string{}
	for _, id := range job.Terms() {
		lines = append(lines, termTexts[id])
	}
	lines = append(lines, "ready when", "prices hold until", "how close lengths are held", "name, date")
	d.need(50)
	d.gap(2)
	d.heading("Your terms", 13)
	half := d.width() / 2
	for i, text := range lines {
		if i%2 == 0 {
			d.y += 9
		}
		p := &d.page().Page
		x := d.left() + float64(i%2)*half
		d.write(p, x, d.y, 55, text, font{size: 9.5, least: 7})
		p.Stroke(x+58, d.y+0.8, x+half-6, d.y+0.8, thin)
	}
	d.y += 4
}

// onShelf makes the list of our own stock to take, when there is any.
func (s *set) onShelf(folder string) bool {
	d := s.document("Take from stock", false)
	made := false
	for _, b := range bills(s.plan, s.job) {
		if !b.onHand || len(b.goods) == 0 {
			continue
		}
		if !made {
			d.newPage()
			d.heading("Take from stock", 18)
			d.paragraph("These bars and sheets are on hand. Nothing is ordered for them. Measure each before it is cut, and write on it the number that the layouts give it.", 10)
			d.gap(2)
			made = true
		}
		d.heading(b.supplier, 13)
		if text := s.counted(s.job, b.goods); text != "" {
			d.paragraph(text+" Write the piece off the rack when you take it.", 9.5)
		}
		t := d.table(10.5, column{head: "taken", share: 9, tick: true}, column{head: "count", share: 13, align: drawing.Right, bold: true},
			column{head: "stock", share: 64, bold: true, wrap: true}, column{head: "size", share: 38, bold: true},
			column{head: "numbers", share: 34, wrap: true}, column{head: "measured", share: 24, box: true})
		for _, g := range b.goods {
			numbers := offerNumbers(g.material, g.Offer)
			t.rowWith([]string{2: g.rack + s.restsOf(g.material.Key, numbers), 3: d.otherSize(g.Length, g.Width)}, "", fmt.Sprint(g.Count), stockName(g.material), d.size(g.Length, g.Width), ranges(numbers))
		}
		t.end()
	}
	if made {
		d.save(under(folder, "stock.pdf"))
	}
	return made
}

// offerNumbers are the layouts cut from one offer.
func offerNumbers(m plan.Material, offer int) []int {
	var out []int
	for _, l := range m.Layouts {
		if l.Stock.Offer == offer {
			out = append(out, l.Number)
		}
	}
	return out
}
