package order

import (
	"bytes"
	"errors"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/santhosh-tekuri/jsonschema/v6"

	"sawbill/internal/length"
	"sawbill/internal/plan"
)

const mm = length.Millimetre

func hide() *plan.Plan {
	full := "1a2b3c4d00000000000000000000000000000000000000000000000000000000"
	return &plan.Plan{
		Number: full[:8], Digest: full, Currency: "EUR", Job: plan.JobRef{Name: "Bird hide", Revision: "A", Date: "2026-11-24", Digest: full},
		Materials: []plan.Material{
			{Stock: "SHS 25x25x2 mm", Alloy: "6063-T6", Buy: []plan.Line{
				{Supplier: "North", Length: 6000 * mm, Count: 3, Each: 2140, Amount: 6420}, {Supplier: "the rack", Length: 900 * mm, Count: 1, Amount: 80}}},
			{Stock: "sheet 1.5 mm", Alloy: "5005-H14", ByMark: "North", Marks: []plan.Quote{{Mark: "S1", Count: 2, Each: 500, Amount: 1000}}},
			{Stock: "flat 40x5 mm", Buy: []plan.Line{{Supplier: "East", Length: 5000 * mm, Count: 1, Amount: 900}}},
		},
		Charges: []plan.Charge{{Supplier: "North", What: plan.Delivery, Amount: 3500}, {Supplier: "East", What: plan.Fetching, Amount: 100}},
		Orders:  []plan.Order{{Supplier: "North", Way: plan.Delivered}, {Supplier: "East", Way: plan.Fetched}, {Supplier: "the rack", Way: plan.OnHand}},
		Taxes:   []plan.Tax{{Supplier: "North", Rate: 20_000, Net: 10_920, Amount: 2184}},
	}
}

func north(t *testing.T) Order {
	o, ok := Of(hide(), "North", cutOf)
	if !ok {
		t.Fatal("no order")
	}
	o.Date = "2026-11-25"
	o.Sent = []Paper{{"North/order.pdf", hide().Digest}}
	return o
}

func cutOf(string) (l, w length.Length, digest string) { return 700 * mm, 500 * mm, "0123456789abcdef" }

func TestOf(t *testing.T) {
	o := north(t)
	// 64.20 of tube, 10.00 of panels, 35.00 of delivery; 20 % of it on top.
	if o.Net != 10_920 || o.Tax != 2184 || o.Price() != 13_104 || len(o.Goods) != 1 || len(o.Marks) != 1 || len(o.Charges) != 1 || o.Way != plan.Delivered {
		t.Errorf("got %+v", o)
	}
	for _, name := range []string{"the rack", "West", ""} {
		if o, ok := Of(hide(), name, cutOf); ok {
			t.Errorf("%q gets an order: %+v", name, o)
		}
	}
	if p := o.Bought(); p.Payable != 13_104 || p.Goods != 7420 || p.Materials[0].Buy[0].Count != 3 || p.Number != o.Plan {
		t.Errorf("got %+v", p)
	}
}

// Orders from before it was noted how marks are cut are like those that tell it.
func TestSameMarks(t *testing.T) {
	was, is := north(t), north(t)
	was.Marks = []Mark{{Quote: is.Marks[0].Quote}}
	if !was.Same(is) || !is.Same(was) {
		t.Error("what an order does not tell makes it another")
	}
	moved := north(t)
	moved.Marks = []Mark{is.Marks[0]}
	moved.Marks[0].Cut = "fedcba9876543210"
	if moved.Same(is) || !moved.Same(was) {
		t.Error("a panel cut otherwise is the same")
	}
	was.Marks[0].Count++
	if was.Same(is) {
		t.Error("one more is the same")
	}
}

func TestAdd(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, FileName)
	if f, err := Load(path); f != nil || err != nil {
		t.Fatalf("%v, %v", f, err)
	}
	first := north(t)
	if err := Add(dir, first); err != nil {
		t.Fatal(err)
	}
	// The same again, were it after another plan, is refused.
	again := first
	again.Plan, again.Date = "ffffffff", "2026-11-26"
	var frozen *Frozen
	if err := Add(dir, again); !errors.As(err, &frozen) || err.Error() != "the order to North was frozen on 2026-11-25 (revision A, plan no. 1a2b3c4d), and nothing in it has changed" {
		t.Errorf("got %v", err)
	}
	revised, changed, east := first, first, first
	revised.Job.Revision = "B"
	changed.Job.Revision = "B"
	changed.Goods = []Goods{{Stock: "SHS 25x25x2 mm", Length: 6000 * mm, Count: 4, Amount: 8560}}
	east.Supplier = "East"
	for _, o := range []Order{revised, changed, east} {
		if err := Add(dir, o); err != nil {
			t.Error(err)
		}
	}
	f, err := Load(path)
	if err != nil {
		t.Fatal(err)
	}
	if diff := cmp.Diff([]Order{first, revised, changed, east}, f.Orders); diff != "" {
		t.Error(diff)
	}
	if got := f.Last("North"); got.Goods[0].Count != 4 || f.Last("West") != nil {
		t.Errorf("the last is %+v", got)
	}
	if got := f.Suppliers(); !cmp.Equal(got, []string{"North", "East"}) {
		t.Errorf("suppliers %v", got)
	}

	// The schema describes what was written, and refuses what was not.
	doc, err := jsonschema.UnmarshalJSON(bytes.NewReader(Schema()))
	if err != nil {
		t.Fatal(err)
	}
	c := jsonschema.NewCompiler()
	if err := c.AddResource("orders.schema.json", doc); err != nil {
		t.Fatal(err)
	}
	s, err := c.Compile("orders.schema.json")
	if err != nil {
		t.Fatal(err)
	}
	data, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	valid := func(text []byte) error {
		v, err := jsonschema.UnmarshalJSON(bytes.NewReader(text))
		if err != nil {
			return err
		}
		return s.Validate(v)
	}
	if err := valid(data); err != nil {
		t.Error(err)
	}
	for _, change := range [][2]string{{`"version": 1`, `"version": 2`}, {`"net": "109.20"`, `"net": 109.2`}, {`"count": 3`, `"count": 0`}, {`"date": "2026-11-25"`, `"date": "soon"`}, {`"way"`, `"wey"`}} {
		spoilt := bytes.Replace(data, []byte(change[0]), []byte(change[1]), 1)
		if bytes.Equal(spoilt, data) || valid(spoilt) == nil {
			t.Errorf("%v is accepted", change)
		}
	}
}

func TestLoadRefuses(t *testing.T) {
	path := filepath.Join(t.TempDir(), FileName)
	for _, text := range []string{"", "[]", `{"version":1,"unit":"25 nm","orders":[],"more":1}`, `{"version":2,"unit":"25 nm","orders":[]}`, `{"version":1,"unit":"mm","orders":[]}`} {
		if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
			t.Fatal(err)
		}
		if f, err := Load(path); err == nil {
			t.Errorf("%q is read as %+v", text, f)
		}
	}
}
