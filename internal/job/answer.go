package job

import (
	"path/filepath"
	"slices"
	"strconv"

	"sawbill/internal/length"
)

// Answer is an enquiry that a supplier filled in. Offers and Quotes have it as
// their only supplier, with index 0.
type Answer struct {
	Offers  []Offer
	Quotes  []Quote
	Terms   []Term
	Remarks []Message
}

// Term is an amount that an answer states beside the prices, in cents.
type Term struct {
	Key   string // one of Terms
	Price int64
}

// Terms are the ids of the rows of an enquiry that ask for more than goods: keys of a
// [supplier.NAME].
func Terms() []string { return []string{"delivery", "minimum", "cut", "mitre"} }

// enquiryKind is the table that an enquiry is, and its answer.
var enquiryKind = tableKind{"enquiry", []field{
	{name: "id", required: true, heads: "id"},
	{name: "mark", heads: "mark"},
	{name: "material", heads: "material"},
	{name: "section", heads: "stock and alloy"},
	{name: "size", unit: true, heads: "size"},
	{name: "count", heads: "count"},
	{name: "price", required: true, heads: priceHeads},
	{name: "from", heads: "from,from qty,from quantity"},
	{name: "pack", heads: "pack,pack of"},
	{name: "stock", heads: "stock available,available"},
	{name: "note", heads: noteHeads},
}}

// ReadAnswer reads the enquiry of a job as a supplier filled it in, a CSV or XLSX file.
// Rows without a price are passed over. When anything is wrong the error is Faults, with
// every fault.
func ReadAnswer(path string, j *Job, supplier string) (*Answer, error) {
	r := newReader(path)
	r.job = *j
	r.job.Remarks, r.job.Suppliers = nil, []Supplier{{Name: supplier}}
	a := &Answer{}
	if t := r.answerTable(path); t != nil {
		r.readAnswer(t, j.Enquiry(), a)
		if len(r.faults) == 0 && len(a.Offers)+len(a.Quotes)+len(a.Terms) == 0 {
			r.fault(t.grid.rows[t.header].at, `no row of the enquiry has a price; fill in the column "price each"`)
		}
	}
	if len(r.faults) > 0 {
		r.faults = once(r.faults)
		r.faults.Sort()
		return nil, r.faults
	}
	a.Remarks = once(r.job.Remarks)
	return a, nil
}

// answerTable finds the rows of the file.
func (r *reader) answerTable(path string) *table {
	named := Pos{File: path}
	name := filepath.Base(path)
	grids, ok := r.fileGrids(enquiryKind, &entry{key: enquiryKind.name, pos: named, value: value{pos: named, text: name}}, nil)
	if !ok {
		return nil
	}
	best := pick(enquiryKind, grids, nil)
	if best == nil || !asks(*best) {
		r.fault(named, "no row of %s names the columns of an enquiry; they are %s", quote(name), exampleHeads[enquiryKind.name])
		return nil
	}
	return r.withHeads(enquiryKind, *best, nil)
}

// asks reports whether a grid has the columns that an answer is read from.
func asks(g grid) bool {
	row, _ := headRow(enquiryKind, g, nil)
	met := map[string]bool{}
	for _, c := range g.rows[row].cells {
		if f, ok := enquiryKind.head(c.text, nil); ok {
			met[f.field] = true
		}
	}
	return met["id"] && met["price"]
}

func (r *reader) readAnswer(t *table, all []Asked, a *Answer) {
	asked := map[string]Asked{}
	for _, k := range all {
		asked[k.ID] = k
	}
	var sales []*sale
	met := map[string]Pos{}
	for _, row := range t.rows {
		id := row.cell("id")
		if row.cell("price").text == "" {
			continue
		}
		k, known := asked[id.text]
		before, twice := met[id.text]
		if k.Mark != "" || !known {
			met[id.text] = id.at
		}
		switch {
		case id.text == "":
			r.fault(id.at, "the row has a price and no id; copy the whole row of the enquiry to give a further price")
		case slices.Contains(Terms(), id.text) && !twice:
			if amount, ok := row.term(); ok {
				a.Terms = append(a.Terms, Term{id.text, amount})
			}
		case twice:
			r.fault(id.at, "%s stands at %s already; take one of the two rows out", quote(id.text), before)
		case !known:
			r.fault(id.at, "the enquiry of this job has no row %s; it was changed since, so ask again for the price", quote(id.text))
		case !row.same(k):
		case k.Mark != "":
			q := Quote{Mark: k.Mark, Pos: row.line.at}
			if row.quote(&q.Price) {
				a.Quotes = append(a.Quotes, q)
			}
		default:
			sales = append(sales, row.sold(k))
		}
	}
	for _, s := range r.tiered(sales) {
		a.Offers = append(a.Offers, s.offer)
	}
}

// term reads an amount of money.
func (c record) term() (int64, bool) {
	r, v := c.t.r, c.cell("price")
	amount, err := r.amount(v.text, c.comma("price"))
	if err != nil {
		r.fault(v.at, "%s: %v", c.cell("id").text, err)
		return 0, false
	}
	cents, _, err := toCents(amount)
	if err != nil || cents < 0 {
		r.fault(v.at, "%s %s is not an amount; write 0 or more, such as 35", c.cell("id").text, quote(v.text))
		return 0, false
	}
	return cents, true
}

// same holds the row against what was asked, lest a column was sorted without the others.
func (c record) same(k Asked) bool {
	r := c.t.r
	for _, f := range []struct{ name, want string }{{"mark", k.Mark}, {"material", r.job.Materials[k.Material].Key}} {
		if v := c.cell(f.name); v.text != "" && fold(v.text) != fold(f.want) {
			r.fault(v.at, "the %s is %s and row %s was sent with %s; the rows were mixed up, so fill in the enquiry as it was sent", f.name, quote(v.text), c.cell("id").text, quote(f.want))
			return false
		}
	}
	return true
}

// sold reads a size of stock and its price.
func (c record) sold(k Asked) *sale {
	o := Offer{Material: k.Material, Length: k.Length, Width: k.Width, Stock: -1, Pack: 1, Pos: c.line.at}
	from := int64(1)
	fine := c.onHand(&o.Stock, false)
	fine = c.from(&from) && fine
	packed := c.packed(&o.Pack)
	fine = c.price(&o, from, c.t.r.job.Materials[k.Material], packed) && packed && fine
	return &sale{row: c, offer: o, sound: fine}
}

// OfferRows are the offers as rows of a table of offers, the heads first.
func (a *Answer) OfferRows(j *Job, supplier string) [][]string {
	rows := [][]string{{"supplier", "material", "size", "price", "from", "pack", "stock"}}
	for _, o := range a.Offers {
		for _, t := range o.Tiers {
			pack, stock, per := "", "", " each"
			if o.Pack > 1 {
				pack, per = strconv.FormatInt(o.Pack, 10), " per pack"
			}
			if o.Stock >= 0 {
				stock = strconv.FormatInt(o.Stock, 10)
			}
			from := ""
			if t.From > 1 || len(o.Tiers) > 1 {
				from = strconv.FormatInt(t.From, 10)
			}
			rows = append(rows, []string{supplier, j.Materials[o.Material].Key, j.sizeText(o.Length, o.Width), centsText(t.Price) + per, from, pack, stock})
		}
	}
	return rows
}

// QuoteRows are the quotes as rows of a table of quotes, the heads first.
func (a *Answer) QuoteRows(supplier string) [][]string {
	rows := [][]string{{"supplier", "mark", "price"}}
	for _, q := range a.Quotes {
		rows = append(rows, []string{supplier, q.Mark, centsText(q.Price)})
	}
	return rows
}

// sizeText writes a size without rounding, so that it is read back the same.
func (j *Job) sizeText(long, wide length.Length) string {
	text := length.Exact(long, j.Unit)
	if wide > 0 {
		text += " x " + length.Exact(wide, j.Unit)
	}
	return text + unitBehindExact(j.Unit)
}

// SupplierText is the header of a supplier in a job file, with the terms of the answer.
func (a *Answer) SupplierText(supplier string) string {
	text := "[supplier." + tomlKey(supplier) + "]\n"
	if len(a.Quotes) > 0 {
		text += "lays-out = \"supplier\"\n"
	}
	for _, t := range a.Terms {
		text += t.Key + " = " + centsText(t.Price) + "\n"
	}
	return text
}
