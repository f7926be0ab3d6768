package report

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/account"
	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
)

// furnished is the metric example with joints, items, consumables and a tax.
func furnished(t testing.TB) (*plan.Plan, *job.Job) {
	p, j := hide(t)
	j.People, j.AllowedLoad, j.Budget = 4, 150_000_000, 500_00
	j.Suppliers = append(j.Suppliers, job.Supplier{Name: "Turnstone Fixings", Tax: 21_000})
	pack := func(count, price, mass, spare int64) job.Pack {
		return job.Pack{Supplier: 2, Count: count, Price: price, Mass: mass, Spare: spare}
	}
	j.Brackets = []job.Bracket{{Kind: "K5", Cut: true, Length: 62 * mm}, {Kind: "C2", Material: -1, Pack: pack(10, 1234, 85_123, 500), Note: "pressed"}}
	j.Rivets = []job.Rivet{{Diameter: 4 * mm, Length: 8 * mm, GripFrom: 3 * mm, GripTo: 5 * mm, Pack: pack(250, 999, 1_111, 0)},
		{Name: "wide head", Diameter: 48 * mm / 10, Length: 10 * mm, GripFrom: 4 * mm, GripTo: 6 * mm, Pack: pack(100, 777, 1_905, 1000)}}
	j.Joints = []job.Joint{
		{Mark: "J1", Bracket: 0, Brackets: 2, Rivets: 8, Diameter: 4 * mm, Grip: 4 * mm, Quantity: 5, Group: "north wall"},
		{Mark: "J2", Bracket: 1, Brackets: 3, Rivets: 6, Diameter: 48 * mm / 10, Grip: 5 * mm, Quantity: 7, Group: "roof"},
		{Mark: "J3", Bracket: -1, Rivets: 31, Diameter: 4 * mm, Grip: 39 * mm / 10, Quantity: 9},
	}
	j.Items = []job.Item{{Name: "hinge", Quantity: 6, Pack: pack(1, 345, 110_004, 0), Group: "roof"}, {Name: strings.Repeat("latch with a very long name ", 6), Quantity: 3, Pack: pack(2, 1150, 380_000, 0)}}
	j.Consumables = []job.Consumable{
		{Name: "sealant", By: job.ByLength, Of: "36 m", Stated: int64(36 * length.Metre), Material: -1, Coats: 1, Bead: 25_000_000, Waste: 1000, Content: 310_000_000_000, Pack: pack(1, 640, 450_000, 0)},
		{Name: "primer", By: job.ByArea, Of: "skin", Material: 1, Coats: 2, Content: 9_000_000_000_000, Pack: pack(1, 4200, 1_600_000, 0), Note: "both faces"},
		{Name: "drill", By: job.ByCount, Of: "rivets", Counted: job.OfRivets, Material: -1, Coats: 1, Content: 300, Pack: pack(1, 750, 0, 0)},
	}
	cleats(j)
	return p, j
}

// cleats gives the joints as many K5 as are cut.
func cleats(j *job.Job) {
	for i := range j.Pieces {
		if j.Pieces[i].Mark == "K5" {
			j.Pieces[i].Quantity = j.Joints[0].Quantity * j.Joints[0].Brackets
		}
	}
}

// figureOnPaper is one figure of a page column; bold ones are sums.
type figureOnPaper struct {
	value int64
	bold  bool
}

// columnsOf finds the columns of figures in a document by where they end.
func columnsOf(t testing.TB, d *document) map[float64][]figureOnPaper {
	out := map[float64][]figureOnPaper{}
	for _, page := range d.pages {
		texts := []drawing.Text{}
		for _, it := range page.Items {
			if x, ok := it.(drawing.Text); ok && x.Align == drawing.Right {
				texts = append(texts, x)
			}
		}
		slices.SortStableFunc(texts, func(a, b drawing.Text) int { return int(a.Y*1000) - int(b.Y*1000) })
		for _, x := range texts {
			figure := strings.NewReplacer(".", "", ",", "").Replace(x.Text)
			if v, err := strconv.ParseInt(figure, 10, 64); err == nil && strings.ContainsAny(x.Text, ".,") {
				out[x.X] = append(out[x.X], figureOnPaper{v, x.Bold})
			}
		}
	}
	if len(out) == 0 {
		t.Fatal("no column of figures")
	}
	return out
}

// addsUp holds every sum of a column against the lines above it; a sum with no
// line since the last is that of all sums before it. It returns that last one.
func addsUp(t *rapid.T, what string, column []figureOnPaper, finals int) int64 {
	lines, open, total, last := int64(0), false, int64(0), int64(0)
	body := column[:len(column)-finals]
	for i, p := range body {
		switch {
		case !p.bold:
			lines, open = lines+p.value, true
		case open:
			if p.value != lines {
				t.Fatalf("%s: line %d is a sum of %d, its lines make %d", what, i, p.value, lines)
			}
			total, lines, open, last = total+lines, 0, false, p.value
		default:
			if p.value != total {
				t.Fatalf("%s: line %d is a total of %d, its sums make %d", what, i, p.value, total)
			}
			last = p.value
		}
	}
	if open {
		t.Fatalf("%s: the last lines have no sum", what)
	}
	return last
}

// Whatever is bought and cut, the figures on paper add up to the sums on paper.
func TestPrintedSums(t *testing.T) {
	base, baseJob := furnished(t)
	shared, err := newSet(base, baseJob)
	if err != nil {
		t.Fatal(err)
	}
	rapid.Check(t, func(r *rapid.T) {
		p, j := furnished(t)
		if rapid.Bool().Draw(r, "inch") {
			j.Unit, j.Fraction = length.In, 16
		}
		j.DecimalComma = rapid.Bool().Draw(r, "comma")
		for i := range j.Pieces {
			j.Pieces[i].Quantity = rapid.Int64Range(1, 40).Draw(r, "quantity")
			j.Pieces[i].Length = length.Length(rapid.Int64Range(4_000_000, 200_000_000).Draw(r, "length"))
			j.Pieces[i].Group = rapid.SampledFrom([]string{"", "roof", "north wall", "floor"}).Draw(r, "group")
		}
		for i := range j.Materials {
			j.Materials[i].Growth = rapid.Int64Range(0, 2000).Draw(r, "growth")
		}
		for i := range j.Joints {
			j.Joints[i].Quantity = rapid.Int64Range(1, 50).Draw(r, "joints")
		}
		cleats(j)
		for i := range j.Items {
			j.Items[i].Quantity = rapid.Int64Range(1, 50).Draw(r, "items")
			j.Items[i].Pack.Price = rapid.Int64Range(0, 99_999).Draw(r, "price")
			j.Items[i].Pack.Mass = rapid.Int64Range(0, 9_999_999).Draw(r, "mass")
		}
		for i := range p.Materials {
			for k := range p.Materials[i].Buy {
				l := &p.Materials[i].Buy[k]
				l.Each = plan.Money(rapid.Int64Range(0, 99_999).Draw(r, "each"))
				l.Amount = l.Each * plan.Money(l.Count)
			}
		}
		p.Taxes = []plan.Tax{{Supplier: "Eastmere", Rate: 21_000, Net: 16777, Amount: plan.Money(rapid.Int64Range(1, 9999).Draw(r, "tax"))}}
		s := *shared
		s.style, s.lists, s.plan, s.job, s.files = styleOf(p, j), listsOf(j), p, j, nil
		a := account.Of(j)
		parts := append(s.purchaseParts(p, j), s.sundries(a)...)
		for _, part := range parts {
			for _, row := range part.rows {
				if row.count > 0 && row.amount != plan.Money(row.count)*row.each {
					r.Fatalf("%+v is no product", row)
				}
			}
		}
		draw := func(write func(d *document)) [][]figureOnPaper {
			d := s.document("test", false)
			d.newPage()
			write(d)
			columns := columnsOf(t, d)
			var at []float64
			for x := range columns {
				at = append(at, x)
			}
			slices.Sort(at)
			var out [][]figureOnPaper
			for _, x := range at {
				out = append(out, columns[x])
			}
			return out
		}
		money := draw(func(d *document) { d.moneyRows(a) })
		if got := addsUp(r, "money", money[len(money)-1], 2); got != int64(sumOf(parts)) {
			r.Fatalf("to spend %d, rows %v", got, sumOf(parts))
		}
		whole := draw(func(d *document) { d.massInAll(a) })[0]
		all := whole[len(whole)-3].value // before the allowed load and what is left
		lines := int64(0)
		for _, x := range whole[:len(whole)-3] {
			lines += x.value
		}
		if lines != all {
			r.Fatalf("in all %d, lines %d", all, lines)
		}
		groups := draw(func(d *document) { d.massByGroup(a) })
		for i, column := range groups[:4] {
			got := addsUp(r, fmt.Sprintf("groups, column %d", i), column, 0)
			if i == 3 && got != all {
				r.Fatalf("groups %d, in all %d", got, all)
			}
		}
		marks := draw(func(d *document) { d.massByMark(a) })
		if got := addsUp(r, "marks", marks[1], 0); got != whole[0].value {
			r.Fatalf("marks %d, pieces and panels %d", got, whole[0].value)
		}
	})
}

// The printed thousandths of a pound: 0.45359237 kg exactly.
func TestThousandths(t *testing.T) {
	metric, inch := style{unit: length.MM}, style{unit: length.In}
	for _, c := range []struct {
		s    style
		m    plan.Mass
		want string
	}{
		{metric, 1_234_499, "1.234 kg"}, {metric, 1_234_500, "1.235 kg"}, {metric, 0, "0.000 kg"},
		{inch, 453_592, "1.000 lb"}, {inch, 453_592_370, "1000.000 lb"}, {inch, 226_796, "0.500 lb"},
	} {
		if got := c.s.fineMass(c.m); got != c.want {
			t.Errorf("%d mg: %s, want %s", c.m, got, c.want)
		}
	}
	if got := metric.shareOf(100_000_001, 4); got != "25.0 kg" {
		t.Errorf("a quarter of 100 kg: %s", got)
	}
	if got := metric.shareOf(100_001_000, 4); got != "25.1 kg" {
		t.Errorf("a quarter of more than 100 kg: %s", got)
	}
}

func TestMassAndMoneyOnPaper(t *testing.T) {
	p, j := furnished(t)
	files, _, err := Pack(p, j)
	if err != nil {
		t.Fatal(err)
	}
	body := strings.Join(strings.Fields(text(t, find(t, files, "bill.pdf"))), " ")
	for _, want := range []string{
		"K5", "needed 23, 10 a pack", "wide head, 4.8 × 10 mm", // 21 and a twentieth; a tenth of 42 rivets more
		"needed 47, 100 a pack", "needed 0.99 l, 0.31 l a pack", "tax, 21 %", "Allowed load 150.000", "each of 4",
		"2 × K5", "3 × C2", "quoted", "invoiced", "Weigh the finished thing", "sharp", "Nothing here says that a joint or the structure is strong enough",
	} {
		if !strings.Contains(body, want) {
			t.Errorf("bill.pdf does not say %q:\n%s", want, body)
		}
	}
	rows, err := csv.NewReader(bytes.NewReader(find(t, files, "bill.csv").Data)).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	sum := plan.Money(0)
	for _, r := range rows[1:] {
		cents, err := strconv.ParseInt(strings.Replace(r[6], ".", "", 1), 10, 64)
		if err != nil || r[8] != "" || r[9] != "" {
			t.Fatalf("row %v: %v", r, err)
		}
		sum += plan.Money(cents)
	}
	if want := p.Payable + account.Of(j).Spend(); sum != want {
		t.Errorf("bill.csv comes to %v, to pay %v", sum, want)
	}
	var out bytes.Buffer
	if err := Summary(&out, p, j, "pack"); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"To spend in all, EUR", "Budget", "allowed load       150.00 kg: below it by this estimate; weigh it", "each of 4 carries"} {
		if !strings.Contains(out.String(), want) {
			t.Errorf("the terminal does not say %q:\n%s", want, &out)
		}
	}
	j.AllowedLoad = 1_000_000
	out.Reset()
	if err := Summary(&out, p, j, "pack"); err != nil || !strings.Contains(out.String(), "ABOVE IT") {
		t.Errorf("an overload is not told: %v\n%s", err, &out)
	}
}

func TestMassAndMoneyTextsApart(t *testing.T) {
	p, j := furnished(t)
	q, k := furnished(t)
	k.Unit, k.Paper, k.Fraction, k.DecimalComma = length.In, "Letter", 16, true
	b, l := barrow(t)
	for _, e := range []example{{"furnished", p, j}, {"furnished in inches", q, k}, {"barrow", b, l}} {
		s, err := newSet(e.plan, e.job)
		if err != nil {
			t.Fatal(err)
		}
		a := account.Of(e.job)
		d := s.document("bill", false)
		d.newPage()
		d.moneyRows(a)
		d.massInAll(a)
		d.massByGroup(a)
		d.massByMark(a)
		d.joints(a)
		d.save("bill.pdf")
		for n, page := range d.pages {
			textsApart(t, e.name, n+1, &page.Page)
		}
	}
}
