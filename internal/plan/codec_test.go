package plan_test

import (
	"bytes"
	"encoding/json"
	"math"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// drawer fills a value of any plan type by reflection, so that no field is
// forgotten; what is not any value of its type is set afterwards.
type drawer struct {
	*rapid.T
	depth int
}

func (d drawer) fill(v reflect.Value, name string) {
	switch v.Interface().(type) {
	case plan.Status:
		v.SetString(string(rapid.SampledFrom([]plan.Status{plan.Proven, plan.Open}).Draw(d.T, name)))
		return
	case length.Length:
		v.SetInt(rapid.Int64Range(0, int64(length.Max)).Draw(d.T, name))
		return
	}
	switch v.Kind() {
	case reflect.String:
		v.SetString(rapid.String().Draw(d.T, name))
	case reflect.Bool:
		v.SetBool(rapid.Bool().Draw(d.T, name))
	case reflect.Int, reflect.Int64:
		v.SetInt(rapid.Int64Range(1, 10_000).Draw(d.T, name))
		if v.Type() == reflect.TypeFor[plan.Money]() || v.Type() == reflect.TypeFor[plan.Mass]() {
			v.SetInt(rapid.Int64().Draw(d.T, name))
		}
	case reflect.Pointer:
		if d.depth > 0 && rapid.Bool().Draw(d.T, name) {
			v.Set(reflect.New(v.Type().Elem()))
			drawer{d.T, d.depth - 1}.fill(v.Elem(), name)
		}
	case reflect.Slice:
		n := 0
		if d.depth > 0 {
			n = rapid.IntRange(0, 2).Draw(d.T, name)
		}
		v.Set(reflect.MakeSlice(v.Type(), n, n))
		for i := range n {
			if v.Index(i).Kind() == reflect.Pointer {
				v.Index(i).Set(reflect.New(v.Type().Elem().Elem()))
				drawer{d.T, d.depth - 1}.fill(v.Index(i).Elem(), name)
				continue
			}
			drawer{d.T, d.depth - 1}.fill(v.Index(i), name)
		}
	case reflect.Struct:
		for i := range v.NumField() {
			field := v.Type().Field(i)
			at := v.Field(i)
			if words := words[v.Type().Name()+"."+field.Name]; words != nil {
				at.SetString(rapid.SampledFrom(words).Draw(d.T, field.Name))
				continue
			}
			d.fill(at, field.Name)
		}
	default:
		d.Fatalf("%s is a %v, which is not drawn", name, v.Type())
	}
}

// words are the fields with a few words for values.
var words = map[string][]string{
	"Plan.Unit":       {plan.LengthUnit},
	"Plan.Struck":     {"", "effort", "time", "interrupt"},
	"Material.Struck": {"", "effort", "time", "interrupt"},
	"Material.Kind":   {plan.Bar, plan.Sheet},
	"Options.Effort":  {"quick", "normal", "long"},
	"Part.Cut":        {"", plan.AlongLength, plan.AlongWidth},
	"Order.Way":       {plan.Delivered, plan.Fetched, plan.OnHand},
	"Charge.What": {
		plan.SquareCuts, plan.MitreCuts, plan.Cutting + " S 1", plan.PerSheet + " skin", plan.SetUp + " skin",
		plan.SmallOrder, plan.Delivery, plan.Fetching,
	},
	"DualFunction.Family": {"identity", "threshold", "rounding", "steps"},
}

// drawPlan draws a plan of the right shape, true or not, and seals it.
func drawPlan(t *rapid.T) *plan.Plan {
	p := &plan.Plan{}
	drawer{t, 5}.fill(reflect.ValueOf(p).Elem(), "plan")
	p.Version = plan.Version
	if err := p.Seal(); err != nil {
		t.Fatal(err)
	}
	return p
}

func sample(t *testing.T) []byte {
	t.Helper()
	goal := plan.CountGoal{Value: 1, Bound: 1, Status: plan.Proven}
	p := &plan.Plan{
		Version: plan.Version, Unit: plan.LengthUnit, Currency: "EUR", Goods: 1200, Total: 1200, Bound: 1200, Payable: 1200, Status: plan.Proven,
		Options: plan.Options{Effort: "normal"},
		Charges: []plan.Charge{{What: plan.Cutting + " S1"}},
		Orders:  []plan.Order{{Way: plan.Fetched}},
		Materials: []plan.Material{{
			Key: "tube", Kind: plan.Bar, Mass: plan.Masses{Pieces: 1_000_000},
			Goals: plan.Goals{Cost: plan.MoneyGoal{Value: 1200, Bound: 1200, Status: plan.Proven}, Count: goal, Patterns: &goal, Offcut: goal},
			Buy:   []plan.Line{{Count: 1, Spare: 1, Each: 1200, Amount: 1200}},
			Layouts: []plan.Layout{{
				Number: 1, Pattern: 1, Pieces: []plan.Piece{{Mark: "P1", Copy: 1, At: 400}},
			}},
		}},
	}
	if err := p.Seal(); err != nil {
		t.Fatal(err)
	}
	text, err := p.Encode()
	if err != nil {
		t.Fatal(err)
	}
	return text
}

// TestRoundTrip: a plan read back is the same plan, in the same bytes, and its
// digest still fits.
func TestRoundTrip(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		text, err := drawPlan(t).Encode()
		if err != nil {
			t.Fatal(err)
		}
		p, err := plan.Decode(text)
		if err != nil {
			t.Fatal(err)
		}
		again, err := p.Encode()
		if err != nil || !bytes.Equal(text, again) {
			t.Fatalf("%v; written\n%s\nand again\n%s", err, text, again)
		}
		if d, err := p.ContentDigest(); err != nil || d != p.Digest || p.Number != d[:8] {
			t.Fatalf("%v; digest %s, number %s of %s", err, p.Digest, p.Number, d)
		}
	})
}

// TestDigest: another number, name or amount is another digest; the number and
// the digest themselves are no part of it.
func TestDigest(t *testing.T) {
	var p plan.Plan
	first, err := p.ContentDigest()
	if err != nil {
		t.Fatal(err)
	}
	p.Number, p.Digest = "x", "y"
	if d, _ := p.ContentDigest(); d != first {
		t.Error("number and digest are part of the digest")
	}
	for _, change := range []func(){
		func() { p.Total++ }, func() { p.Job.Name = "hide" }, func() { p.Materials = []plan.Material{{}} },
		func() { p.Materials[0].Layouts = []plan.Layout{{Kept: true}} },
	} {
		before, _ := p.ContentDigest()
		change()
		if after, _ := p.ContentDigest(); after == before {
			t.Errorf("%+v has the digest of before the change", p)
		}
	}
}

func TestDecodeRefuses(t *testing.T) {
	good := string(sample(t))
	if _, err := plan.Decode([]byte(good)); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ old, new, says string }{
		{`"currency"`, `"curency"`, "curency"},
		{`"at": 400`, `"at": 400, "to": 500`, `"to"`},
		{`"version": 2`, `"version": 1`, "version 1"},
		{`"version": 2`, `"version": "2"`, "not a plan"},
		{`"unit": "25 nm"`, `"unit": "mm"`, `"mm"`},
		{`"total": "12.00"`, `"total": 12.00`, "decimal string"},
		{`"total": "12.00"`, `"total": "12"`, `"12"`},
		{`"at": 400`, `"at": 400.5`, "not a plan"},
		{`"at": 400`, `"at": 9223372036854775808`, "not a plan"},
		{good, "", "not a plan"},
		{good, "null", "version 0"},
		{good, "[]", "not a plan"},
		{good, good[:len(good)-3], "not a plan"},
		{good, good + "{}", "follows"},
		{good, good + "x", "follows"},
		{good, good + "}", "follows"},
	} {
		if !strings.Contains(good, c.old) {
			t.Fatalf("%s is not in the sample", c.old)
		}
		_, err := plan.Decode([]byte(strings.Replace(good, c.old, c.new, 1)))
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%.40q in place of %.40q: %v, expected %q", c.new, c.old, err, c.says)
		}
	}
	if _, err := plan.Decode([]byte(good + " \n\t")); err != nil {
		t.Errorf("blanks behind the plan: %v", err)
	}
}

func TestAmounts(t *testing.T) {
	for _, c := range []struct {
		money plan.Money
		text  string
	}{
		{0, "0.00"}, {5, "0.05"}, {-5, "-0.05"}, {100, "1.00"}, {1234, "12.34"}, {-120_000, "-1200.00"},
		{math.MaxInt64, "92233720368547758.07"}, {math.MinInt64, "-92233720368547758.08"},
	} {
		if got := c.money.String(); got != c.text {
			t.Errorf("%d cents are written %q, not %q", int64(c.money), got, c.text)
		}
		var back plan.Money
		if err := json.Unmarshal([]byte(`"`+c.text+`"`), &back); err != nil || back != c.money {
			t.Errorf("%q is read as %d, %v", c.text, int64(back), err)
		}
	}
	for _, c := range []struct {
		mass plan.Mass
		text string
	}{{0, "0.000000"}, {1, "0.000001"}, {-1, "-0.000001"}, {12_345_678, "12.345678"}} {
		if got := c.mass.String(); got != c.text {
			t.Errorf("%d mg are written %q, not %q", int64(c.mass), got, c.text)
		}
		var back plan.Mass
		if err := json.Unmarshal([]byte(`"`+c.text+`"`), &back); err != nil || back != c.mass {
			t.Errorf("%q is read as %d, %v", c.text, int64(back), err)
		}
	}
	for _, text := range []string{
		`12.34`, `null`, `""`, `"."`, `"12"`, `"12.3"`, `"12.345"`, `"+1.00"`, `"-0.00"`, `"01.00"`, `".50"`, `"1e2.00"`, `" 1.00"`,
		`"1_0.00"`, `"1,00"`, `"1.-5"`, `"--1.00"`, `"92233720368547758.08"`, `true`, `[]`,
	} {
		var m plan.Money
		if err := json.Unmarshal([]byte(text), &m); err == nil {
			t.Errorf("%s is read as %s", text, m)
		}
	}
}
