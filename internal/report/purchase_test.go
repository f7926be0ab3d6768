package report

import (
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// landing is a job with all that a purchase can hold: bars fetched and cut at the
// yard, sheets that the supplier cuts, marks bought ready, packs, a price by
// quantity, spares, our own stock, taxes and a budget. The figures are made so
// that no two amounts are alike.
func landing(t testing.TB) (*plan.Plan, *job.Job) {
	p, j := hide(t)
	j.Name, p.Job.Name = "Bird hide, landing", "Bird hide, landing"
	j.LongestLoad, j.WidestLoad, j.Budget = 3000*mm, 1300*mm, 61_000
	j.Processes[1].BySupplier = true
	j.Materials[0].Spare = 1
	j.Pieces[2].LeftLong = true
	j.Panels[3].Length = 2000 * mm
	j.Suppliers = []job.Supplier{
		{Name: "North Reach Metals", Fetched: true, Fetch: 617, Minimum: 25_000, Cut: 131, FreeCuts: 2, CutKerf: 3 * mm, Tax: 20_000},
		{Name: "Eastmere", Delivers: true, Delivery: 3_511, CutMetre: 87_000, Pierce: 41_000, PerSheet: 453, SetUp: 1_237, Tax: 19_250},
		{Name: "Rack in the barn", OnHand: true},
		{Name: "Gable Profiles", Delivers: true, Delivery: 2_903, ByMark: true},
	}
	j.Materials = append(j.Materials, job.Material{Key: "post", Section: mustSection(t, "SHS 40x40x3", length.MM), Alloy: j.Materials[0].Alloy, Process: 0})
	j.Pieces = append(j.Pieces,
		job.Piece{Mark: "G1", Material: 3, Length: 2080 * mm, Quantity: 4, LeftLong: true},
		job.Piece{Mark: "G2", Material: 3, Length: 900 * mm, Left: 30000, Right: 30000, Quantity: 2})
	j.Offers = []job.Offer{
		{Supplier: 0, Material: 0, Length: 6000 * mm, Price: 6_813, Pack: 3, Stock: -1,
			Tiers: []job.Tier{{From: 1, Price: 6_813, Text: "68.13 per pack"}, {From: 6, Price: 6_427, Text: "64.27 per pack"}}},
		{Supplier: 1, Material: 1, Length: 2500 * mm, Width: 1250 * mm, Price: 5_817, Pack: 1, Stock: -1, Tiers: []job.Tier{{From: 1, Price: 5_817}}},
		{Supplier: 0, Material: 2, Length: 4000 * mm, Width: 1250 * mm, Price: 9_719, Pack: 1, Stock: -1, Tiers: []job.Tier{{From: 1, Price: 9_719}}},
		{Supplier: 2, Material: 0, Length: 3000 * mm, Price: 1_009, Pack: 1, Stock: 2, Tiers: []job.Tier{{From: 1, Price: 1_009}}},
	}
	j.Quotes = []job.Quote{{Supplier: 3, Mark: "G1", Price: 3_307}, {Supplier: 3, Mark: "G2", Price: 2_179}}

	tube := &p.Materials[0]
	tube.Buy = []plan.Line{
		{Offer: 0, Supplier: "North Reach Metals", Length: 6000 * mm, Count: 6, Spare: 1, Pack: 3, Each: 6_427, Amount: 12_854},
		{Offer: 3, Supplier: "Rack in the barn", Length: 3000 * mm, Count: 1, Each: 1_009, Amount: 1_009},
	}
	carried(j, tube)
	tube.Goals.Cost = plan.MoneyGoal{Value: 13_863, Bound: 13_001, Status: plan.Open}
	skin := &p.Materials[1]
	for i := range skin.Layouts {
		skin.Layouts[i].Stock.Offer = 1
	}
	lining := &p.Materials[2]
	lining.Spaced = false
	lining.Buy = []plan.Line{{Offer: 2, Supplier: "North Reach Metals", Length: 4000 * mm, Width: 1250 * mm, Count: 1, Each: 9_719, Amount: 9_719}}
	lining.Layouts = []plan.Layout{yardSheet()}
	lining.Goals.Cost = plan.MoneyGoal{Value: 9_719, Bound: 9_719, Status: plan.Proven}
	post := plan.Material{Key: "post", Stock: "SHS 40x40x3 mm", Alloy: "6063-T6", Kind: plan.Bar, Process: "saw", ByMark: "Gable Profiles",
		Marks: []plan.Quote{{Mark: "G1", Count: 4, Each: 3_307, Amount: 13_228}, {Mark: "G2", Count: 2, Each: 2_179, Amount: 4_358}},
		Goals: plan.Goals{Cost: plan.MoneyGoal{Value: 17_586, Bound: 17_586, Status: plan.Proven}}}
	p.Materials = append(p.Materials, post)
	p.Orders = []plan.Order{{Supplier: "North Reach Metals", Way: plan.Fetched}, {Supplier: "Eastmere", Way: plan.Delivered},
		{Supplier: "Rack in the barn", Way: plan.OnHand}, {Supplier: "Gable Profiles", Way: plan.Delivered}}
	north, east := "North Reach Metals", "Eastmere"
	// 128.54 + 97.19 of goods lack 24.27 to 250.00; 6 of 8 first cuts at 1.31.
	p.Charges = []plan.Charge{
		{Supplier: north, What: plan.SquareCuts, Count: 8, Free: 2, Each: 131, Amount: 786},
		{Supplier: north, What: plan.SmallOrder, Amount: 2_427},
		{Supplier: north, What: plan.Fetching, Amount: 617},
		{Supplier: east, What: plan.Cutting + " S1", Count: 4, Each: 386, Amount: 1_544},
		{Supplier: east, What: plan.PerSheet + " skin", Count: 2, Each: 453, Amount: 906},
		{Supplier: east, What: plan.SetUp + " skin", Count: 1, Each: 1_237, Amount: 1_237},
		{Supplier: east, What: plan.Delivery, Amount: 3_511},
		{Supplier: "Gable Profiles", What: plan.Delivery, Amount: 2_903},
	}
	// 264.03 at 20 % is 52.81; 188.32 at 19.25 % is 36.25.
	p.Taxes = []plan.Tax{{Supplier: north, Rate: 20_000, Net: 26_403, Amount: 5_281}, {Supplier: east, Rate: 19_250, Net: 18_832, Amount: 3_625}}
	p.PurchaseProof = &plan.PurchaseProof{}
	settle(p, 0)
	p.PurchaseProof.Bound = p.Bound
	return p, j
}

// carried lays the pieces of the tube into bars that the yard cuts in two, and
// one bar of our own.
func carried(j *job.Job, tube *plan.Material) {
	north := plan.Stock{Supplier: "North Reach Metals", Length: 6000 * mm}
	tube.Layouts = nil
	for n, marks := range []string{"P1|P2", "P1|P2", "P3|P3", "P1|B6|B6|T7", "P2|P2|K5|K5|K5|K5"} {
		l := barLayout(j, n+1, max(1, n), north, 400*mm, marks)
		first := length.Length(2992) * mm
		l.FirstCuts, l.FirstKerf = []length.Length{first}, 3*mm
		at := first + l.FirstKerf
		for _, mark := range []string{"P3", "P4"} {
			l.Pieces = append(l.Pieces, plan.Piece{Mark: mark, Copy: n + 3, At: at})
			for _, row := range j.Pieces {
				if row.Mark == mark {
					at += row.Length + j.Processes[0].Kerf
				}
			}
		}
		// The longest that remains of a part, as of the bar's in barLayout.
		last := l.Pieces[len(l.Pieces)-3]
		for _, row := range j.Pieces {
			if row.Mark == last.Mark {
				l.Offcut = first - last.At - row.Length - j.Processes[0].Kerf
			}
		}
		l.Offcut = max(l.Offcut, north.Length-at)
		l.Kept = l.Offcut >= 400*mm
		tube.Layouts = append(tube.Layouts, l)
	}
	own := barLayout(j, 6, 5, plan.Stock{Offer: 3, Supplier: "Rack in the barn", Length: 3000 * mm}, 400*mm, "P3|P3")
	tube.Layouts = append(tube.Layouts, own)
}

// yardSheet is a sheet of 4 m that is halved at the yard.
func yardSheet() plan.Layout {
	part := func(x, y, l, w int, panel int) *plan.Part {
		return &plan.Part{X: length.Length(x) * mm, Y: length.Length(y) * mm, Length: length.Length(l) * mm, Width: length.Length(w) * mm, Panel: panel}
	}
	root := part(0, 0, 4000, 1250, 0)
	root.Cut, root.Stage, root.AtYard = plan.AlongWidth, 1, true
	half := part(0, 0, 2000, 1250, 0)
	half.Cut, half.Stage = plan.AlongLength, 2
	rest := part(0, 704, 2000, 546, 0)
	rest.Kept = true
	half.Parts = []*plan.Part{part(0, 0, 2000, 700, 1), rest}
	other := part(2004, 0, 1996, 1250, 0)
	other.Kept = true
	root.Parts = []*plan.Part{half, other}
	return plan.Layout{Number: 1, Pattern: 1, Stock: plan.Stock{Offer: 2, Supplier: "North Reach Metals", Length: 4000 * mm, Width: 1250 * mm},
		Panels: []plan.Panel{{Mark: "L1", Copy: 1}}, Tree: root}
}

// The parts of a bar and the kerfs between them are the bar, and every piece lies in the
// part it is listed under.
func TestStretches(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := plan.Layout{FirstKerf: length.Length(rapid.IntRange(0, 5).Draw(t, "kerf")) * mm}
		at := length.Length(0)
		for range rapid.IntRange(0, 5).Draw(t, "cuts") {
			for range rapid.IntRange(0, 3).Draw(t, "pieces") {
				l.Pieces = append(l.Pieces, plan.Piece{At: at})
				at += 300 * mm
			}
			at += length.Length(rapid.IntRange(1, 500).Draw(t, "rest")) * mm
			l.FirstCuts = append(l.FirstCuts, at)
			at += l.FirstKerf
		}
		l.Pieces = append(l.Pieces, plan.Piece{At: at})
		l.Stock.Length = at + 1000*mm
		sum, held := length.Length(len(l.FirstCuts))*l.FirstKerf, 0
		for _, st := range stretches(l) {
			sum += st.to - st.from
			for _, p := range l.Pieces[st.first:st.after] {
				held++
				if p.At < st.from || p.At >= st.to {
					t.Fatalf("a piece at %v is listed in %v to %v", p.At, st.from, st.to)
				}
			}
		}
		if sum != l.Stock.Length || held != len(l.Pieces) {
			t.Fatalf("parts and kerfs come to %v of %v, with %d of %d pieces", sum, l.Stock.Length, held, len(l.Pieces))
		}
	})
}

// What the papers of a purchase say; worked by hand from the landing.
func TestLandingSays(t *testing.T) {
	p, j := landing(t)
	files, _ := pack(t, example{"landing", p, j})
	for name, want := range map[string][]string{
		// The yard cuts at 2992 with a kerf of 3: parts of 2992 and 6000 − 2995 = 3005.
		"North-Reach-Metals/order.pdf": {"We fetch the goods", "2 packs", "a pack of 3", "bars 1–5", "2992", "a 2992, b 3005", "crosscut at 2000 of",
			"square cuts: 8, 2 free", "Sum before tax 264.03", "tax, 20 % of 264.03 52.81", "Sum 316.84", "3000 × 1300 mm", "before cutting", "agreed by", "wall 2 mm",
			"not listed too"},
		"Eastmere/order.pdf": {"Please deliver", "good side, film on", "1.5 mm thick", "cutting S1: 4", "set-up skin: 1", "Please cut", "1190 × 790", "−0 / +1"},
		// 900 less 2 × 40 tan 30° is 853.8; five times 2 mm is 10 mm.
		"Gable-Profiles/order.pdf": {"G1, cut and ready", "left long, we trim", "−0 / +3", "trapezoid", "900 and 853.8", "five pieces in a row, each 2 mm over, make the frame 10 mm too long"},
		"workshop/bars.pdf":        {"cut at the yard, 2992", "a: 0", "b: 0", "to spare in part a 979.5 mm, in part b 689.5 mm", "Running dimensions begin anew"},
		"workshop/sheets.pdf":      {"at the yard", "Heavy lines: cut at the yard"},
		"workshop/stock.pdf":       {"Rack in the barn", "3000 mm", "Measure each before it is cut"},
		// 6 × 6 m × 184 mm² × 2700 kg/m³ is 17.885 kg; ± 1 % is 17.706 to 18.064.
		"workshop/goods-in-North-Reach-Metals.pdf": {"17.9 kg", "17.7 – 18.1", "in parts", "a 2992, b 3005", "calliper", "rejected"},
		// 4 panels of 1.19 × 0.79 m, 1.5 mm at 2700 kg/m³, are 15.229 kg.
		"workshop/goods-in-Eastmere.pdf": {"Film: on the good side", "ISO 2768-1", "S1", "−0 / +1", "15.2 kg"},
		"enquiry.pdf":                    {"in EUR", "6000 mm", "cut and ready", "delivery of the whole order", "price each"},
		"summary.pdf": {"Over the budget 136.30 EUR", "Total before tax 667.33 EUR", "Our own stock in it, not paid -10.09 EUR", "To pay 746.30 EUR", "2 packs of 3, price a pack; price from 6; of them 1 spare",
			"Rack in the barn: on hand, take from stock", "Goods and charges: proven cheapest for the prices entered on 2026-11-24", "least, goods alone", "all pieces come cut and ready from Gable Profiles"},
	} {
		body := strings.Join(strings.Fields(text(t, find(t, files, name))), " ")
		for _, w := range want {
			if !strings.Contains(body, w) {
				t.Errorf("%s does not say %q", name, w)
			}
		}
	}
	body := text(t, find(t, files, "summary.pdf"))
	if strings.Contains(body, "could still be saved") {
		t.Error("the total is proven and a material is said to leave something to save")
	}
	for _, f := range files {
		if strings.HasPrefix(f.Path, "Rack") || strings.Contains(f.Path, "goods-in-Rack") || strings.HasPrefix(f.Path, "Gable-Profiles/cutlist") {
			t.Errorf("%s is made for nobody", f.Path)
		}
	}
}

// EN 515 and ANSI H35.1 write the temper behind a hyphen.
func TestSplitTemper(t *testing.T) {
	for alloy, want := range map[string][2]string{"6063-T6": {"6063", "T6"}, "5005-H14": {"5005", "H14"}, "6063-T66": {"6063", "T66"}, "1050-O": {"1050", "O"},
		"birch plywood": {"birch plywood", ""}, "XPS Type IV": {"XPS Type IV", ""}, "S235-JR": {"S235-JR", ""}, "larch": {"larch", ""}} {
		if name, temper := splitTemper(alloy); name != want[0] || temper != want[1] {
			t.Errorf("%q is %q and %q", alloy, name, temper)
		}
	}
}

// Lengths of the two edges of 40 mm tube, by L − w tan α − w tan β: both ends 45°
// leave 1000 − 80; leaning one way, both edges are 1000 − 40. Of RHS 40x20 each end takes
// off the width of its side; laid on two, the edge between both long points is whole and
// the one opposite lacks both, but an angle of 40 x 60 has no edge away from its two legs.
func TestEdges(t *testing.T) {
	const n, w = section.Narrow, section.Wide
	square, oblong, angle := mustSection(t, "SHS 40x40x2", length.MM), mustSection(t, "RHS 40x20x2", length.MM), mustSection(t, "L 60x40x5", length.MM)
	for _, c := range []struct {
		sec                 section.Section
		left, right         int64
		leftFace, rightFace section.Face
		long, short, centre int64
	}{
		{square, 45000, 45000, n, n, 1000, 920, 960}, {square, 45000, -45000, n, n, 960, 960, 960},
		{square, 45000, 0, n, n, 1000, 960, 980}, {square, 0, 0, n, n, 1000, 1000, 1000},
		{oblong, 45000, 45000, n, n, 1000, 960, 980}, {oblong, 45000, 45000, w, w, 1000, 920, 960},
		{oblong, 45000, 45000, w, n, 1000, 940, 970}, {oblong, 45000, -45000, n, w, 1000, 940, 970},
		{angle, 45000, 45000, w, n, 1000, 940, 950}, {angle, -45000, -45000, w, n, 960, 900, 950},
	} {
		p := job.Piece{Length: 1000 * mm, Left: c.left, Right: c.right, LeftFace: c.leftFace, RightFace: c.rightFace}
		long, short := edges(c.sec, p)
		if long != length.Length(c.long)*mm || short != length.Length(c.short)*mm || centreLine(c.sec, p) != length.Length(c.centre)*mm {
			t.Errorf("%s, %d and %d on %v and %v: %v and %v, centre line %v", c.sec, c.left, c.right, c.leftFace, c.rightFace, long, short, centreLine(c.sec, p))
		}
	}
}
