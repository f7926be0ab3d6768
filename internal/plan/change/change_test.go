package change

import (
	"fmt"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/rivet"
	"sawbill/internal/section"
	"sawbill/nest2d/geom"
)

const mm = length.Millimetre

// barrow is a small job; every call makes a new one.
func barrow() *job.Job {
	return &job.Job{
		Name: "Barrow", Revision: "A", Date: "2026-11-24", Currency: "EUR", Paper: "A4",
		Goals: []job.Goal{job.FewestSheets},
		Materials: []job.Material{
			{Key: "tube", Section: section.Section{Canonical: "SHS 25x25x2 mm"}, Alloy: section.Material{Name: "6063-T6"}, Density: 2700, KeepOver: 400 * mm},
			{Key: "skin", Section: section.Section{Canonical: "sheet 1.5 mm"}, Alloy: section.Material{Name: "5005-H14"}, Density: 2700, Process: 1},
		},
		Processes: []job.Process{{Key: "saw", Kind: job.Saw, Kerf: 2 * mm}, {Key: "bench", Kind: job.PanelSaw, Kerf: 3 * mm}},
		Suppliers: []job.Supplier{{Name: "North", Delivers: true, Delivery: 3000, CutKerf: -1}, job.PlainSupplier("East")},
		Offers: []job.Offer{
			{Supplier: 0, Material: 0, Length: 6000 * mm, Price: 2000, Pack: 1, Tiers: []job.Tier{{From: 1, Price: 2000}}, Stock: -1},
			{Supplier: 1, Material: 1, Length: 2500 * mm, Width: 1250 * mm, Price: 5000, Pack: 1, Tiers: []job.Tier{{From: 1, Price: 5000}, {From: 10, Price: 4800}}, Stock: -1},
		},
		Quotes: []job.Quote{{Supplier: 1, Mark: "S1", Price: 900}},
		Pieces: []job.Piece{{Mark: "P2", Length: 800 * mm, Quantity: 4, Copies: []int{1, 2, 4, 5}}, {Mark: "P10", Length: 900 * mm, Quantity: 2}},
		Panels: []job.Panel{{Mark: "S1", Material: 1, Length: 700 * mm, Width: 500 * mm, Quantity: 1, Copies: []int{2},
			Form: &job.Form{Outline: geom.Rectangle(1, 1).Outer, Openings: []geom.Outline{nil}, Holes: []geom.Hole{{Diameter: 1}},
				Rows: []job.RivetRow{{Name: "low"}}, Clear: []rivet.Zone{{Radius: 1}}}}},
		Brackets:    []job.Bracket{{Kind: "K1", Cut: true, Length: 60 * mm}, {Kind: "K2", Material: -1}},
		Rivets:      []job.Rivet{{Diameter: 4 * mm, Length: 10 * mm, GripTo: 6 * mm}},
		Joints:      []job.Joint{{Mark: "J1", Brackets: 1, Rivets: 4, Quantity: 8}},
		Items:       []job.Item{{Name: "hinge", Quantity: 2, Pack: job.Pack{Supplier: 1, Count: 1, Price: 450}}},
		Consumables: []job.Consumable{{Name: "sealant", By: job.ByLength, Of: "tube", Coats: 1}},
		Variants:    []job.Variant{{Name: "thin", Job: &job.Job{}}},
	}
}

func val(f Form, n int64) Value { return Value{Form: f, Number: n} }
func words(s string) Value      { return Value{Form: Text, Text: s} }

func TestJobs(t *testing.T) {
	tests := []struct {
		name   string
		change func(j *job.Job)
		want   []Entry
	}{
		{"nothing", func(j *job.Job) {}, nil},
		{"other rows first", func(j *job.Job) { slices.Reverse(j.Pieces) }, nil},
		{"a price in other words", func(j *job.Job) { j.Offers[0].PriceText = "3.3333 per m" }, nil},
		{"longer, mitred, more", func(j *job.Job) {
			j.Pieces[0].Length, j.Pieces[0].Left, j.Pieces[0].Quantity = 810*mm, 45000, 5
		}, []Entry{{Kind: Piece, Name: "P2", State: Changed, Fields: []Field{
			{"length", val(Length, 32_000_000), val(Length, 32_400_000)}, {"left", val(Angle, 0), val(Angle, 45000)}, {"quantity", val(Count, 4), val(Count, 5)}}}}},
		{"another mark", func(j *job.Job) { j.Pieces[1].Mark = "P9" },
			[]Entry{
				{Kind: Piece, Name: "P9", State: Added, Fields: []Field{{"material", Value{}, words("tube")}, {"length", Value{}, val(Length, 36_000_000)}, {"quantity", Value{}, val(Count, 2)}}},
				{Kind: Piece, Name: "P10", State: Removed, Fields: []Field{{"material", words("tube"), Value{}}, {"length", val(Length, 36_000_000), Value{}}, {"quantity", val(Count, 2), Value{}}}},
			}},
		{"a panel that may turn", func(j *job.Job) { j.Panels[0].Turn, j.Panels[0].Note = true, "lid" },
			[]Entry{{Kind: Panel, Name: "S1", State: Changed, Fields: []Field{{"turn", val(Flag, 0), val(Flag, 1)}, {"note", words(""), words("lid")}}}}},
		{"settings", func(j *job.Job) {
			j.Unit, j.Materials[0].Section.Canonical, j.Processes[0].Kerf, j.Suppliers[1].Minimum = length.In, "SHS 30x30x2 mm", 3*mm, 10_000
		}, []Entry{
			{Kind: Head, State: Changed, Fields: []Field{{"unit", words("mm"), words("in")}}},
			{Kind: Material, Name: "tube", State: Changed, Fields: []Field{{"stock", words("SHS 25x25x2 mm"), words("SHS 30x30x2 mm")}}},
			{Kind: Process, Name: "saw", State: Changed, Fields: []Field{{"kerf", val(Length, 80_000), val(Length, 120_000)}}},
			{Kind: Supplier, Name: "East", State: Changed, Fields: []Field{{"smallest order", val(Money, 0), val(Money, 10_000)}}},
		}},
		{"offers", func(j *job.Job) {
			j.Suppliers = append(j.Suppliers, job.PlainSupplier("West"))
			j.Offers[0].Price, j.Offers[0].Tiers[0].Price, j.Offers[0].Stock = 2100, 2100, 7
			j.Offers[1].Supplier = 2
			// The same size again is a second offer, not a change of the first.
			j.Offers = append(j.Offers, job.Offer{Length: 6000 * mm, Price: 2500, Pack: 1, Tiers: []job.Tier{{From: 1, Price: 2500}}, Stock: -1})
		}, []Entry{
			{Kind: Offer, Name: "East, skin", Length: 2500 * mm, Width: 1250 * mm, State: Removed, Fields: []Field{{"price", val(Money, 5000), Value{}}, {"stock", words("not limited"), Value{}}}},
			{Kind: Offer, Name: "East, skin, from 10", Length: 2500 * mm, Width: 1250 * mm, State: Removed, Fields: []Field{{"price", val(Money, 4800), Value{}}}},
			{Kind: Offer, Name: "North, tube", Length: 6000 * mm, State: Changed, Fields: []Field{{"price", val(Money, 2000), val(Money, 2100)}, {"stock", words("not limited"), val(Count, 7)}}},
			{Kind: Offer, Name: "North, tube", Length: 6000 * mm, State: Added, Fields: []Field{{"price", Value{}, val(Money, 2500)}, {"stock", Value{}, words("not limited")}}},
			{Kind: Offer, Name: "West, skin", Length: 2500 * mm, Width: 1250 * mm, State: Added, Fields: []Field{{"price", Value{}, val(Money, 5000)}, {"stock", Value{}, words("not limited")}}},
			{Kind: Offer, Name: "West, skin, from 10", Length: 2500 * mm, Width: 1250 * mm, State: Added, Fields: []Field{{"price", Value{}, val(Money, 4800)}}},
		}},
		{"a pack, and a price from ten on", func(j *job.Job) {
			o := &j.Offers[0]
			o.Pack, o.Tiers = 4, []job.Tier{{From: 1, Price: 8000}, {From: 12, Price: 7600}}
		}, []Entry{
			{Kind: Offer, Name: "North, tube", Length: 6000 * mm, State: Changed, Fields: []Field{{"pack price", Value{}, val(Money, 8000)}, {"pack", Value{}, val(Count, 4)}}},
			{Kind: Offer, Name: "North, tube, from 12", Length: 6000 * mm, State: Added, Fields: []Field{{"pack price", Value{}, val(Money, 7600)}}},
		}},
		{"terms of a supplier", func(j *job.Job) {
			s := &j.Suppliers[1]
			s.CutKerf, s.CutMetre, s.Tax, s.Fetched, s.Delivers = 3*mm, 85_125, 8250, false, true
			j.Quotes[0].Price = 850
		}, []Entry{
			{Kind: Supplier, Name: "East", State: Changed, Fields: []Field{{"delivers", val(Flag, 0), val(Flag, 1)}, {"fetched", val(Flag, 1), val(Flag, 0)},
				{"kerf", Value{}, val(Length, 120_000)}, {"metre of cut", Value{}, words("0.85125")}, {"tax", val(Rate, 0), val(Rate, 8250)}}},
			{Kind: Quote, Name: "East, S1", State: Changed, Fields: []Field{{"price", val(Money, 900), val(Money, 850)}}},
		}},
		{"variants", func(j *job.Job) {
			j.Variants[0].Job = &job.Job{Name: "other"}
			j.Variants = append(j.Variants, job.Variant{Name: "dear", Job: &job.Job{}})
		}, []Entry{{Kind: Variant, Name: "dear", State: Added}, {Kind: Variant, Name: "thin", State: Changed}}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			j := barrow()
			test.change(j)
			if got := Jobs(barrow(), j); !reflect.DeepEqual(got, test.want) {
				t.Errorf("got  %+v\nwant %+v", got, test.want)
			}
			if got, want := Jobs(j, barrow()), mirrored(test.want); !reflect.DeepEqual(got, want) {
				t.Errorf("back: got  %+v\nwant %+v", got, want)
			}
		})
	}
}

// mirrored puts old in the place of new.
func mirrored(entries []Entry) []Entry {
	var out []Entry
	for _, e := range entries {
		e.State = map[State]State{Added: Removed, Removed: Added, Changed: Changed}[e.State]
		e.Fields = slices.Clone(e.Fields)
		for i, f := range e.Fields {
			e.Fields[i] = Field{f.Name, f.New, f.Old}
		}
		out = append(out, e)
	}
	return out
}

// TestEveryFieldCounts changes each field of each kind of row, so that one
// which a job gains later is not passed over in silence.
func TestEveryFieldCounts(t *testing.T) {
	// What is no difference, or is no scalar and is held by the tests above.
	without := map[string]bool{"Job.Currency": true, "Job.Digest": true, "Job.Files": true, "Job.Remarks": true, "Job.Variants": true, "Job.Dimensions": true, "Offer.PriceText": true, "Offer.Further": true, "Tier.Text": true,
		"Material.Section": true, "Material.Alloy": true, "Pack.PriceText": true,
		// What is read from the texts beside them.
		"Consumable.Stated": true, "Consumable.Material": true, "Consumable.Edges": true, "Consumable.Counted": true, "Consumable.Bead": true, "Consumable.Content": true,
		// Of the row Pack.
		"Piece.LeftFace": true, "Piece.RightFace": true, // of sections whose sides differ, see TestFaces
		"Panel.Form": true,                                                                                 // of the row Form
		"Form.Shape": true, "RivetRow.Laid": true, "Form.Laps": true, "Job.Seams": true, "Line.Gaps": true, // follow from the rest
		"Job.Labels": true, "Job.Assembly": true, "Job.Rack": true, "Material.RackValue": true, // rows of their own
		"RivetRow.Sets": true, "RivetRow.Met": true, "RivetRow.SetFor": true, // likewise
		"RivetRow.Row": true, "RivetRow.Place": true, // of the row Line
		"Line.Rivet": true, "Line.From": true, "Line.To": true, "Line.Member": true, "Line.Second": true, // of several figures, all written out
		"Bracket.Pack": true, "Rivet.Pack": true, "Item.Pack": true, "Consumable.Pack": true}
	rows := map[string]func(j *job.Job) reflect.Value{
		"Job":        func(j *job.Job) reflect.Value { return reflect.ValueOf(j).Elem() },
		"Material":   func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Materials[0]).Elem() },
		"Process":    func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Processes[0]).Elem() },
		"Supplier":   func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Suppliers[0]).Elem() },
		"Offer":      func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Offers[0]).Elem() },
		"Piece":      func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Pieces[0]).Elem() },
		"Panel":      func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Panels[0]).Elem() },
		"Form":       func(j *job.Job) reflect.Value { return reflect.ValueOf(j.Panels[0].Form).Elem() },
		"RivetRow":   func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Panels[0].Form.Rows[0]).Elem() },
		"Place":      func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Panels[0].Form.Rows[0].Place).Elem() },
		"Line":       func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Panels[0].Form.Rows[0].Row).Elem() },
		"Bracket":    func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Brackets[0]).Elem() },
		"Rivet":      func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Rivets[0]).Elem() },
		"Joint":      func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Joints[0]).Elem() },
		"Item":       func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Items[0]).Elem() },
		"Consumable": func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Consumables[0]).Elem() },
		"Pack":       func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Items[0].Pack).Elem() },
		"Labels":     func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Labels).Elem() },
		"Assembly":   func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Assembly).Elem() },
		"RackUse":    func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Rack).Elem() },
		"Quote":      func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Quotes[0]).Elem() },
		"Tier":       func(j *job.Job) reflect.Value { return reflect.ValueOf(&j.Offers[1].Tiers[1]).Elem() },
	}
	for kind, row := range rows {
		for i := range row(barrow()).NumField() {
			j := barrow()
			name := kind + "." + row(j).Type().Field(i).Name
			if without[name] || row(j).Type().Field(i).Name == "Pos" || !row(j).Type().Field(i).IsExported() { // those follow from the rest
				continue
			}
			switch f := row(j).Field(i); f.Kind() {
			case reflect.String:
				f.SetString(f.String() + "x")
			case reflect.Bool:
				f.SetBool(!f.Bool())
			case reflect.Int, reflect.Int64:
				if n := f.Int(); n == 0 {
					f.SetInt(1)
				} else {
					f.SetInt(0)
				}
			case reflect.Float64:
				f.SetFloat(f.Float() + 1)
			case reflect.Slice:
				if f.Len() == 0 {
					t.Errorf("%s: give the example of this test a row of it", name)
					continue
				}
				f.Set(reflect.Append(f, f.Index(0))) // one more row
				if name == "Job.Materials" || name == "Job.Processes" || name == "Job.Suppliers" {
					continue // would stand there twice, which no job does
				}
			default:
				t.Errorf("%s: a %s; teach this test to change it", name, f.Kind())
				continue
			}
			if len(Jobs(barrow(), j)) == 0 {
				t.Errorf("a change of %s is passed over", name)
			}
		}
	}
}

// TestFaces: a mitre laid on another side is told of, by the names of the section's.
func TestFaces(t *testing.T) {
	rect := func(left, right section.Face) *job.Job {
		j := barrow()
		s, err := section.Parse("RHS 40x20x2", length.MM)
		if err != nil {
			t.Fatal(err)
		}
		j.Materials[j.Pieces[0].Material].Section = s
		p := &j.Pieces[0]
		p.Left, p.Right, p.LeftFace, p.RightFace = 45_000, 45_000, left, right
		return j
	}
	want := []Entry{{Kind: Piece, Name: "P2", State: Changed, Fields: []Field{
		{"left on", words("narrow side"), words("wide side")}, {"right on", words("wide side"), words("narrow side")}}}}
	if got := Jobs(rect(section.Narrow, section.Wide), rect(section.Wide, section.Narrow)); !reflect.DeepEqual(got, want) {
		t.Errorf("got %+v", got)
	}
}

func TestComparable(t *testing.T) {
	a, b := barrow(), barrow()
	b.Unit = length.In
	if err := Comparable(a, b); err != nil {
		t.Error(err)
	}
	b.Currency = "USD"
	want := `the old job is in "EUR" and the new one in "USD", so their costs cannot be compared; write one currency in both`
	if err := Comparable(a, b); err == nil || err.Error() != want {
		t.Errorf("got %v", err)
	}
}

func bar(key, supplier, stock string, l length.Length, n int64) plan.Material {
	return plan.Material{Key: key, Stock: stock, Alloy: "6063-T6", Buy: []plan.Line{{Supplier: supplier, Length: l, Count: n}}}
}

func TestLines(t *testing.T) {
	old := &plan.Plan{Number: "1", Goods: 100, Total: 130, Payable: 130, Charges: []plan.Charge{{Amount: 10}, {Amount: 20}}, Materials: []plan.Material{
		bar("post", "North", "SHS 40x40x3 mm", 6000*mm, 2), bar("rail", "North", "SHS 40x40x3 mm", 6000*mm, 3), bar("batten", "East", "SHS 25x25x2 mm", 5000*mm, 4)}}
	// The rail becomes another section under the same key; post and rail had
	// been one line to the yard.
	new := &plan.Plan{Number: "2", Goods: 90, Total: 90, Payable: 90, Materials: []plan.Material{
		bar("post", "North", "SHS 40x40x3 mm", 6000*mm, 2), bar("rail", "North", "SHS 30x30x2 mm", 6000*mm, 3), bar("batten", "East", "SHS 25x25x2 mm", 5000*mm, 4)}}
	want := []Line{
		{"East", "SHS 25x25x2 mm", "6063-T6", 5000 * mm, 0, "", "", 4, 4},
		{"North", "SHS 30x30x2 mm", "6063-T6", 6000 * mm, 0, "", "", 0, 3},
		{"North", "SHS 40x40x3 mm", "6063-T6", 6000 * mm, 0, "", "", 5, 2},
	}
	d := Plans(barrow(), barrow(), old, new)
	if !reflect.DeepEqual(d.Lines, want) {
		t.Errorf("got  %+v\nwant %+v", d.Lines, want)
	}
	if d.Old.Charges != 30 || d.Old.Goods != 100 || d.Old.Payable != 130 || d.New.Charges != 0 || d.Old.Number != "1" {
		t.Errorf("figures %+v, %+v", d.Old, d.New)
	}
	for i, w := range [][2]int64{{0, 0}, {3, 0}, {0, 3}} {
		if l := d.Lines[i]; l.Add() != w[0] || l.Cancel() != w[1] {
			t.Errorf("%+v: add %d, cancel %d, want %v", l, l.Add(), l.Cancel(), w)
		}
	}
}

// What comes cut and ready is known by its mark and by how it is cut.
func TestLinesOfMarks(t *testing.T) {
	ready := func(n int64) *plan.Plan {
		return &plan.Plan{Materials: []plan.Material{{Key: "skin", Stock: "sheet 1.5 mm", Alloy: "5005-H14", ByMark: "East", Marks: []plan.Quote{{Mark: "S1", Count: n}}}}}
	}
	line := func(j *job.Job) Line {
		l := Line{Supplier: "East", Stock: "sheet 1.5 mm", Alloy: "5005-H14", Mark: "S1"}
		l.Length, l.Width, l.Cut = Cut(j, "S1")
		return l
	}
	if l := line(barrow()); l.Length != 700*mm || l.Width != 500*mm || l.Cut == "" {
		t.Fatalf("got %+v", l)
	}
	for name, change := range map[string]func(j *job.Job){
		"nothing": func(*job.Job) {},
		"longer":  func(j *job.Job) { j.Panels[0].Length += mm },
		"a hole moved": func(j *job.Job) {
			f := *j.Panels[0].Form
			f.Shape.Holes = []geom.Hole{{Diameter: 5}}
			j.Panels[0].Form = &f
		},
	} {
		j := barrow()
		change(j)
		was, is := line(barrow()), line(j)
		var want []Line
		if was == is {
			was.Old, was.New = 2, 3
			want = []Line{was}
		} else {
			was.Old, is.New = 2, 3
			want = []Line{was, is}
		}
		if (name == "nothing") != (len(want) == 1) {
			t.Fatalf("%s: %+v", name, want)
		}
		got := Plans(barrow(), j, ready(2), ready(3)).Lines
		if len(got) == 2 && got[0] != was {
			slices.Reverse(got) // of one size they are in the order of their digests
		}
		if !reflect.DeepEqual(got, want) {
			t.Errorf("%s: got  %+v\nwant %+v", name, got, want)
		}
	}
}

func anyJob(t *rapid.T, name string) *job.Job {
	j := barrow()
	few := rapid.IntRange(0, 3)
	j.Name, j.Revision = "Barrow", rapid.SampledFrom([]string{"A", "B"}).Draw(t, name+" revision")
	j.Pieces, j.Panels, j.Offers = nil, nil, nil
	for range few.Draw(t, name+" pieces") {
		j.Pieces = append(j.Pieces, job.Piece{Mark: fmt.Sprintf("P%d", rapid.IntRange(1, 12).Draw(t, "mark")), Length: length.Length(rapid.IntRange(1, 2).Draw(t, "length")),
			Left: rapid.Int64Range(0, 1).Draw(t, "left"), Quantity: rapid.Int64Range(1, 3).Draw(t, "quantity")})
	}
	for range few.Draw(t, name+" offers") {
		price := rapid.Int64Range(0, 2).Draw(t, "price")
		j.Offers = append(j.Offers, job.Offer{Supplier: rapid.IntRange(0, 1).Draw(t, "supplier"), Length: length.Length(rapid.IntRange(1, 2).Draw(t, "size")),
			Price: price, Pack: 1, Tiers: []job.Tier{{From: 1, Price: price}}, Stock: rapid.Int64Range(-1, 1).Draw(t, "stock")})
	}
	j.Suppliers[0].Delivery = rapid.Int64Range(0, 1).Draw(t, name+" delivery")
	j.Processes[0].Kerf = length.Length(rapid.IntRange(0, 1).Draw(t, name+" kerf"))
	return j
}

func anyPlan(t *rapid.T, name string) *plan.Plan {
	p := &plan.Plan{}
	for range rapid.IntRange(0, 6).Draw(t, name) {
		p.Materials = append(p.Materials, bar("m", rapid.SampledFrom([]string{"North", "East"}).Draw(t, "supplier"), rapid.SampledFrom([]string{"SHS 25x25x2 mm", "sheet 1.5 mm"}).Draw(t, "stock"),
			length.Length(rapid.IntRange(1, 3).Draw(t, "length")), rapid.Int64Range(0, 9).Draw(t, "count")))
	}
	return p
}

// Back and forth say the same, and the counts add up, line by line and in all.
func TestMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := anyJob(t, "old"), anyJob(t, "new")
		p, q := anyPlan(t, "old plan"), anyPlan(t, "new plan")
		d, back := Plans(a, b, p, q), Plans(b, a, q, p)
		if want := mirrored(d.Entries); !reflect.DeepEqual(back.Entries, want) {
			t.Errorf("entries\n%+v\nwant\n%+v", back.Entries, want)
		}
		if back.Old != d.New || back.New != d.Old || len(back.Lines) != len(d.Lines) {
			t.Fatalf("%+v back is %+v", d, back)
		}
		var old, new int64
		for i, l := range d.Lines {
			m := back.Lines[i]
			m.Old, m.New = m.New, m.Old
			if m != l || back.Lines[i].Add() != l.Cancel() || back.Lines[i].Cancel() != l.Add() {
				t.Errorf("line %+v back is %+v", l, back.Lines[i])
			}
			if l.Old+l.Add()-l.Cancel() != l.New || l.Add() > 0 && l.Cancel() > 0 {
				t.Errorf("%+v does not add up", l)
			}
			old, new = old+l.Old, new+l.New
		}
		if old != bought(p) || new != bought(q) {
			t.Errorf("%d and %d in the lines, %d and %d in the plans", old, new, bought(p), bought(q))
		}
		if len(Jobs(a, a)) != 0 {
			t.Errorf("a job differs from itself: %+v", Jobs(a, a))
		}
	})
}

func bought(p *plan.Plan) int64 {
	n := int64(0)
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			n += l.Count
		}
	}
	return n
}

func TestByName(t *testing.T) {
	want := []string{"", "01", "1", "2", "10", "P01", "P1", "P1a", "P2", "P10", "P10-2", "P10-10", "Pa", "ä"}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, byName)
	if !slices.Equal(got, want) {
		t.Fatalf("got  %q\nwant %q", got, want)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := rapid.SliceOfN(rapid.StringMatching(`[ab0-2]{0,4}`), 3, 3).Draw(t, "names")
		slices.SortFunc(s, byName)
		if byName(s[0], s[2]) > 0 || byName(s[0], s[1]) != -byName(s[1], s[0]) || (byName(s[0], s[1]) == 0) != (s[0] == s[1]) {
			t.Errorf("no order: %q", s)
		}
	})
}

func TestWorthOfTheRack(t *testing.T) {
	values := []job.RackValue{{}, {Stated: true}, {Stated: true, Share: 50_00}, {Stated: true, InMoney: true}, {Stated: true, InMoney: true, PerUnit: 120_000}}
	for i, v := range values {
		for k, w := range values {
			a, b := barrow(), barrow()
			a.Materials[0].RackValue, b.Materials[0].RackValue = v, w
			if differs := len(Jobs(a, b)) > 0; differs != (i != k) {
				t.Errorf("%+v and %+v: differ is %v", v, w, differs)
			}
		}
	}
}
