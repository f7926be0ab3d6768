// Package order keeps what was ordered: for each order that went to a supplier
// its date, the revision of the job, the goods and the price, and the papers that
// were sent. A job that changes afterwards is held against it.
//
// Lengths are integers of 25 nm, money decimal strings.
package order

import (
	"bytes"
	_ "embed"
	"encoding/json"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"reflect"
	"slices"

	"github.com/gofrs/flock"

	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/replace"
)

// FileName is the name of the file of orders, which lies beside the plan.
const FileName = "orders.json"

// Version of the format. Load refuses any other.
const Version = 1

//go:embed orders.schema.json
var schemaText []byte

// Schema is the JSON Schema (draft 2020-12) of what Add writes.
func Schema() []byte { return slices.Clone(schemaText) }

// File is every order that was sent, the first first.
type File struct {
	Version int     `json:"version"`
	Unit    string  `json:"unit"` // of every length
	Orders  []Order `json:"orders"`
}

// Order is one that went to one supplier.
type Order struct {
	Supplier string `json:"supplier"`
	// Date on which it was sent, as 2026-05-02.
	Date string      `json:"date"`
	Job  plan.JobRef `json:"job"`
	// Plan is the number of the plan, Digest its digest.
	Plan     string `json:"plan"`
	Digest   string `json:"digest"`
	Way      string `json:"way"` // as in the plan's orders
	Currency string `json:"currency"`

	Goods   []Goods       `json:"goods"`
	Marks   []Mark        `json:"marks,omitempty"` // bought cut and ready
	Charges []plan.Charge `json:"charges,omitempty"`
	// Net is goods, marks and charges together, Tax what comes on top.
	Net plan.Money `json:"net"`
	Tax plan.Money `json:"tax,omitempty"`
	// Sent are the papers, by their paths in the pack.
	Sent []Paper `json:"sent,omitempty"`
}

// Goods are bars or sheets of one size.
type Goods struct {
	Stock  string        `json:"stock"`
	Alloy  string        `json:"alloy,omitempty"`
	Length length.Length `json:"length"`
	Width  length.Length `json:"width,omitempty"`
	Count  int64         `json:"count"`
	Amount plan.Money    `json:"amount"`
}

// Mark is a piece or panel and how it is cut. Of an order from before that was noted
// nothing but the quote is known, and Stock is empty.
type Mark struct {
	plan.Quote
	Stock  string        `json:"stock,omitempty"`
	Alloy  string        `json:"alloy,omitempty"`
	Length length.Length `json:"length,omitempty"` // over all
	Width  length.Length `json:"width,omitempty"`
	// Cut is a digest of its ends or its shape.
	Cut string `json:"cut,omitempty"`
}

// Paper is a file and the SHA-256 (hex) over its content.
type Paper struct {
	Path   string `json:"path"`
	Digest string `json:"digest"`
}

// Of is the order that a plan places with a supplier, without a date and papers;
// false where it places none: nothing is bought there, or it is our own stock. cut
// tells how a mark is cut.
func Of(p *plan.Plan, supplier string, cut func(mark string) (l, w length.Length, digest string)) (Order, bool) {
	o := Order{Supplier: supplier, Job: p.Job, Plan: p.Number, Digest: p.Digest, Currency: p.Currency, Goods: []Goods{}}
	for _, w := range p.Orders {
		if w.Supplier == supplier {
			o.Way = w.Way
		}
	}
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			if l.Supplier == supplier {
				o.Goods = append(o.Goods, Goods{m.Stock, m.Alloy, l.Length, l.Width, l.Count, l.Amount})
				o.Net += l.Amount
			}
		}
		if m.ByMark == supplier {
			for _, q := range m.Marks {
				k := Mark{Quote: q, Stock: m.Stock, Alloy: m.Alloy}
				k.Length, k.Width, k.Cut = cut(q.Mark)
				o.Marks = append(o.Marks, k)
				o.Net += q.Amount
			}
		}
	}
	for _, c := range p.Charges {
		if c.Supplier == supplier {
			o.Charges = append(o.Charges, c)
			o.Net += c.Amount
		}
	}
	for _, t := range p.Taxes {
		if t.Supplier == supplier {
			o.Tax += t.Amount
		}
	}
	return o, o.Way != "" && o.Way != plan.OnHand
}

// Price is what the supplier will bill.
func (o Order) Price() plan.Money { return o.Net + o.Tax }

// Same says that two orders ask for the same goods at the same price, whichever
// plans they are of.
func (o Order) Same(p Order) bool {
	return o.Supplier == p.Supplier && o.Way == p.Way && o.Currency == p.Currency && o.Net == p.Net && o.Tax == p.Tax &&
		reflect.DeepEqual(o.Goods, p.Goods) && slices.EqualFunc(o.Marks, p.Marks, Mark.same) && slices.Equal(o.Charges, p.Charges)
}

// same says that two marks are the same, as far as is known of both.
func (m Mark) same(n Mark) bool {
	return m == n || (m.Stock == "" || n.Stock == "") && m.Quote == n.Quote
}

// Last is the last order that went to a supplier; nil where none did.
func (f *File) Last(supplier string) *Order {
	for i := len(f.Orders) - 1; i >= 0; i-- {
		if f.Orders[i].Supplier == supplier {
			return &f.Orders[i]
		}
	}
	return nil
}

// Suppliers are those that were sent an order, in the order of their first.
func (f *File) Suppliers() []string {
	var names []string
	for _, o := range f.Orders {
		if !slices.Contains(names, o.Supplier) {
			names = append(names, o.Supplier)
		}
	}
	return names
}

// Load reads a file of orders; nil where there is none.
func Load(path string) (*File, error) {
	data, err := os.ReadFile(path)
	if errors.Is(err, fs.ErrNotExist) {
		return nil, nil
	}
	if err != nil {
		return nil, err
	}
	var f File
	d := json.NewDecoder(bytes.NewReader(data))
	d.DisallowUnknownFields()
	if err := d.Decode(&f); err != nil {
		return nil, fmt.Errorf("%s: this is no file of orders, or was changed by hand (%v); put back a copy", path, err)
	}
	if f.Version != Version || f.Unit != plan.LengthUnit {
		return nil, fmt.Errorf("%s: version %d in %q, this program reads %d in %q", path, f.Version, f.Unit, Version, plan.LengthUnit)
	}
	return &f, nil
}

// Frozen is the error when an order was frozen before and nothing has changed.
type Frozen struct{ Order Order }

func (e *Frozen) Error() string {
	rev := ""
	if e.Order.Job.Revision != "" {
		rev = "revision " + e.Order.Job.Revision + ", "
	}
	return fmt.Sprintf("the order to %s was frozen on %s (%splan no. %s), and nothing in it has changed", e.Order.Supplier, e.Order.Date, rev, e.Order.Plan)
}

// Add puts an order into the file of a folder and returns when that is on the
// disk; whatever happens, either the old file is there or the new one. The same
// goods at the same price for the same revision are refused, a *Frozen.
func Add(dir string, o Order) (err error) {
	path := filepath.Join(dir, FileName)
	lock := flock.New(filepath.Join(dir, ".orders.lock"))
	if err := lock.Lock(); err != nil {
		return err
	}
	defer func() { err = errors.Join(err, lock.Unlock()) }()
	f, err := Load(path)
	if err != nil {
		return err
	}
	if f == nil {
		f = &File{Version: Version, Unit: plan.LengthUnit}
	}
	if last := f.Last(o.Supplier); last != nil && last.Job.Revision == o.Job.Revision && last.Same(o) {
		return &Frozen{*last}
	}
	f.Orders = append(f.Orders, o)
	var b bytes.Buffer
	e := json.NewEncoder(&b)
	e.SetEscapeHTML(false)
	e.SetIndent("", " ")
	if err := e.Encode(f); err != nil {
		return err
	}
	return replace.File(path, b.Bytes())
}

// Bought is as much of a plan as the order tells: what is bought of its supplier,
// and for what. It can be held against another, and cannot be proved.
func (o Order) Bought() *plan.Plan {
	p := &plan.Plan{Number: o.Plan, Digest: o.Digest, Job: o.Job, Currency: o.Currency, Charges: o.Charges, Payable: o.Price()}
	for _, g := range o.Goods {
		p.Goods += g.Amount
		p.Materials = append(p.Materials, plan.Material{Stock: g.Stock, Alloy: g.Alloy, Buy: []plan.Line{{
			Supplier: o.Supplier, Length: g.Length, Width: g.Width, Count: g.Count, Amount: g.Amount}}})
	}
	for _, q := range o.Marks {
		p.Goods += q.Amount
	}
	return p
}
