package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"math"
	"regexp"
	"sort"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// bought at random: the landing with other counts, prices, charges, taxes and stock.
func randomPurchase(t *rapid.T, p *plan.Plan, j *job.Job) {
	cents := rapid.Int64Range(0, 300_000)
	for i := range p.Materials {
		m := &p.Materials[i]
		for k := range m.Buy {
			l := &m.Buy[k]
			l.Pack = rapid.Int64Range(1, 4).Draw(t, "pack")
			packs := rapid.Int64Range(1, 9).Draw(t, "packs")
			l.Count, l.Each = packs*l.Pack, plan.Money(cents.Draw(t, "each"))
			l.Amount = l.Each * plan.Money(packs)
		}
		for k := range m.Marks {
			q := &m.Marks[k]
			q.Each = plan.Money(cents.Draw(t, "quote"))
			q.Amount = q.Each * plan.Money(q.Count)
		}
	}
	p.Charges, p.Taxes = nil, nil
	for _, o := range p.Orders {
		if o.Way == plan.OnHand {
			continue
		}
		for range rapid.IntRange(0, 4).Draw(t, "charges") {
			c := plan.Charge{Supplier: o.Supplier, What: rapid.SampledFrom([]string{plan.SquareCuts, plan.Delivery, plan.Cutting + " S1", plan.SmallOrder}).Draw(t, "what")}
			if rapid.Bool().Draw(t, "counted") {
				c.Count, c.Free = rapid.Int64Range(1, 40).Draw(t, "count"), rapid.Int64Range(0, 5).Draw(t, "free")
				c.Each = plan.Money(cents.Draw(t, "each"))
				c.Amount = c.Each * plan.Money(max(0, c.Count-c.Free))
			} else {
				c.Amount = plan.Money(cents.Draw(t, "amount"))
			}
			p.Charges = append(p.Charges, c)
		}
		if rapid.Bool().Draw(t, "taxed") {
			net := billOf(p, j, o.Supplier).net()
			rate := rapid.Int64Range(1, 30_000).Draw(t, "rate")
			p.Taxes = append(p.Taxes, plan.Tax{Supplier: o.Supplier, Rate: rate, Net: net, Amount: (net*plan.Money(rate) + 50_000) / 100_000})
		}
	}
	j.Budget = rapid.Int64Range(0, 2_000_000).Draw(t, "budget")
	j.DecimalComma = rapid.Bool().Draw(t, "comma")
	settle(p, plan.Money(rapid.Int64Range(0, 500).Draw(t, "gap")))
}

var amountAtEnd = regexp.MustCompile(`(-?\d+)[.,](\d\d)( EUR)?$`)

// amountOf reads the amount that a line ends in.
func amountOf(text string) (plan.Money, bool) {
	m := amountAtEnd.FindStringSubmatch(strings.TrimSpace(text))
	if m == nil {
		return 0, false
	}
	n, err := strconv.ParseInt(m[1]+m[2], 10, 64)
	return plan.Money(n), err == nil
}

// Money does not drift: on every paper, in every table and on the terminal each sum is
// that of the lines printed above it.
func TestMoneyAddsUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, j := landing(nopTB{})
		randomPurchase(t, p, j)
		s, err := newSet(p, j)
		if err != nil {
			t.Fatal(err)
		}
		goods, taxed := plan.Money(0), plan.Money(0)
		for _, x := range p.Taxes {
			taxed += x.Amount
		}

		// The terminal: lines, then Goods and Charges, then what is paid.
		var out bytes.Buffer
		if err := Summary(&out, p, j, "pack"); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(out.String(), "\n")
		body, statement := 0, []figure{}
		for i, l := range lines[3:] {
			if strings.HasPrefix(strings.TrimSpace(l), "Goods ") {
				body = 3 + i
				break
			}
			if m, ok := amountOf(l); ok {
				goods += m
			}
		}
		if goods != p.Total {
			t.Fatalf("the lines come to %s, the total is %s:\n%s", goods, p.Total, out.String())
		}
		for _, l := range lines[body:] {
			if strings.TrimSpace(l) == "" {
				break
			}
			m, _ := amountOf(l)
			statement = append(statement, figure{name: strings.TrimSpace(l), amount: m})
		}
		adds(t, "terminal", statement, p, j)

		// The buyer's paper: the statement, then every supplier's lines.
		d := s.document("summary", false)
		d.newPage()
		d.costs()
		statement = nil
		for _, r := range printedRows(d, d.left()+d.width()*0.7-1) {
			if !strings.Contains(r.text, "What it costs") {
				statement = append(statement, figure{name: r.text, amount: r.amount})
			}
		}
		adds(t, "summary.pdf", statement[:min(len(statement), len(s.statement(p, j)))], p, j)
		d = s.document("buy", false)
		d.newPage()
		d.buyList()
		if got := supplierSums(t, "summary.pdf", d); got != p.Payable+p.OnHand {
			t.Fatalf("summary.pdf: the suppliers' sums come to %s, want %s", got, p.Payable+p.OnHand)
		}

		// The orders come to what is paid, on paper and as tables.
		orders, tables := plan.Money(0), plan.Money(0)
		for _, name := range ordered(p, j) {
			d := s.document("order", false)
			d.newPage()
			d.orderRows(billOf(p, j, name))
			orders += supplierSums(t, "order.pdf", d)
			tables += amounts(t, s.orderTable(name))
		}
		if orders != p.Payable || tables != p.Payable {
			t.Fatalf("the orders come to %s on paper and %s as tables, to pay is %s", orders, tables, p.Payable)
		}
		if got := amounts(t, s.buyTable()); got != p.Total+taxed {
			t.Fatalf("buy.csv comes to %s, want %s", got, p.Total+taxed)
		}
	})
}

// nopTB lets the fixtures be made within a property, where nothing in them can fail.
type nopTB struct{ testing.TB }

func (nopTB) Helper() {}

// adds checks a statement: goods and charges make the total, less our own stock and
// with taxes what is paid, and that and the rest make the budget.
func adds(t *rapid.T, where string, lines []figure, p *plan.Plan, j *job.Job) {
	sum, paid, budget := plan.Money(0), plan.Money(-1), plan.Money(0)
	for _, l := range lines {
		switch {
		case strings.HasPrefix(l.name, "Total before tax"):
			if l.amount != sum || sum != p.Total {
				t.Fatalf("%s: %s is %s, its lines come to %s", where, l.name, l.amount, sum)
			}
		case strings.HasPrefix(l.name, "To pay"):
			if l.amount != sum || sum != p.Payable {
				t.Fatalf("%s: %s is %s, its lines come to %s, the plan says %s", where, l.name, l.amount, sum, p.Payable)
			}
			paid = sum
		case strings.HasPrefix(l.name, "Budget"):
			budget = l.amount
		case strings.HasPrefix(l.name, "Left of the budget"):
			budget -= l.amount
		case strings.HasPrefix(l.name, "Over the budget"):
			budget += l.amount
		default:
			sum += l.amount
		}
	}
	if paid < 0 || (j.Budget > 0 && budget != paid) {
		t.Fatalf("%s: paid %s, the budget less the rest is %s: %v", where, paid, budget, lines)
	}
}

// printed is one row of a page: its first text, and the amount at the right.
type printed struct {
	text   string
	bold   bool // of the amount
	has    bool
	amount plan.Money
	group  bool // a bold text with no amount
}

// printedRows reads the rows of a document's pages, with amounts right-aligned at or
// right of a place.
func printedRows(d *document, right float64) []printed {
	var out []printed
	for _, page := range d.pages {
		rows := map[float64][]drawing.Text{}
		var ys []float64
		for _, it := range page.Items {
			x, ok := it.(drawing.Text)
			if !ok {
				continue
			}
			y := math.Round(x.Y*10) / 10
			if rows[y] == nil {
				ys = append(ys, y)
			}
			rows[y] = append(rows[y], x)
		}
		sort.Float64s(ys)
		for _, y := range ys {
			r := printed{text: rows[y][0].Text, group: rows[y][0].Bold && len(rows[y]) == 1}
			for _, x := range rows[y] {
				if m, ok := amountOf(x.Text); ok && x.Align == drawing.Right && x.X >= right-1 {
					r.amount, r.bold, r.has, r.group = m, x.Bold, true, false
				}
			}
			if r.has || r.group {
				out = append(out, r)
			}
		}
	}
	return out
}

// supplierSums checks that each bold amount of a table is the sum of the lines above it,
// and returns the last ones together.
func supplierSums(t *rapid.T, where string, d *document) plan.Money {
	all, sum, last := plan.Money(0), plan.Money(0), plan.Money(0)
	for _, r := range printedRows(d, d.right()-2) {
		switch {
		case r.group:
			all, sum, last = all+last, 0, 0
		case r.bold:
			if r.amount != sum {
				t.Fatalf("%s: %q is %s, its lines come to %s", where, r.text, r.amount, sum)
			}
			last = sum
		default:
			sum += r.amount
		}
	}
	return all + last
}

// amounts adds up the column of a table.
func amounts(t *rapid.T, data []byte) plan.Money {
	rows, err := csv.NewReader(bytes.NewReader(data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	sum := plan.Money(0)
	for i, h := range rows[0] {
		if h != "amount" {
			continue
		}
		for _, r := range rows[1:] {
			if r[i] == "" {
				continue
			}
			m, ok := amountOf(r[i])
			if !ok {
				t.Fatal(fmt.Sprint("no amount: ", r[i]))
			}
			sum += m
		}
	}
	return sum
}
