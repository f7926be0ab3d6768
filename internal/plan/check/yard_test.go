package check

import (
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// yard is a second job worked out by hand, for what suppliers do and charge: a
// roof for the bird hide. All that Mill sells is fetched in a load of 3.1 x 1.5 m.
//
// Rails come in packs of two bars of 6 m, which Mill parts for the way home, or
// from our own stock of 3 m; one spare is wanted. Mill cuts plate by laser and
// braces by saw. Joiner sells the posts ready, by the mark.
func yard() *job.Job {
	j := hide()
	tube, plate := j.Materials[0], j.Materials[1]
	tube.KeepOver, tube.Growth = 0, 0
	rail, post, brace := tube, tube, tube
	rail.Key, rail.Process, rail.KeepOver, rail.Spare = "rail", 0, 200*mm, 1
	plate.Key, plate.Process, plate.KeepLength, plate.KeepWidth = "plate", 1, 500*mm, 500*mm
	plate.Section.Thickness = 2 * mm
	post.Key, post.Process = "post", 0
	brace.Key, brace.Process = "brace", 2
	j.Name, j.LongestLoad, j.WidestLoad = "Roof", 3100*mm, 1500*mm
	j.Materials = []job.Material{rail, plate, post, brace}
	j.Processes = []job.Process{
		{Key: "saw", Kind: job.Saw, Kerf: mm * 5 / 2, TrimLeft: 10 * mm, TrimRight: 10 * mm},
		{Key: "laser", Kind: job.Beam, Kerf: 5 * mm, TrimLeft: 10 * mm, TrimRight: 10 * mm, TrimBottom: 10 * mm, TrimTop: 10 * mm, BySupplier: true},
		{Key: "yard saw", Kind: job.Saw, Kerf: 2 * mm, BySupplier: true},
	}
	j.Suppliers = []job.Supplier{
		{Name: "Mill", Delivers: true, Fetched: true, Delivery: 4000, Fetch: 600, Cut: 150, Mitre: 250, FreeCuts: 2, CutKerf: 3 * mm,
			CutMetre: 85_000, Pierce: 30_000, PerSheet: 500, SetUp: 1500, Tax: 19_000},
		{Name: "Loft", OnHand: true, CutKerf: -1},
		{Name: "Joiner", Fetched: true, ByMark: true, Minimum: 5000, Tax: 7000, CutKerf: -1},
	}
	j.Offers = []job.Offer{
		{Supplier: 0, Material: 0, Length: 6000 * mm, Price: 2000, Pack: 2, Tiers: []job.Tier{{From: 1, Price: 4000}, {From: 4, Price: 3600}}, Stock: -1},
		{Supplier: 1, Material: 0, Length: 3000 * mm, Price: 500, Pack: 1, Tiers: []job.Tier{{From: 1, Price: 500}}, Stock: 2},
		{Supplier: 0, Material: 1, Length: 2000 * mm, Width: 1000 * mm, Price: 9000, Pack: 1, Tiers: []job.Tier{{From: 1, Price: 9000}}, Stock: 5},
		{Supplier: 0, Material: 3, Length: 3000 * mm, Price: 1200, Pack: 1, Tiers: []job.Tier{{From: 1, Price: 1200}}, Stock: -1},
		{Supplier: 2, Material: 2, Length: 4000 * mm, Price: 1900, Pack: 1, Tiers: []job.Tier{{From: 1, Price: 1900}}, Stock: -1},
	}
	j.Quotes = []job.Quote{{Supplier: 2, Mark: "B1", Price: 700}}
	j.Pieces = []job.Piece{
		{Mark: "R1", Material: 0, Length: 1400 * mm, Quantity: 6},
		{Mark: "B1", Material: 2, Length: 900 * mm, Quantity: 4},
		{Mark: "D1", Material: 3, Length: 1000 * mm, Left: 45_000, Right: 45_000, Quantity: 1},
		{Mark: "D2", Material: 3, Length: 800 * mm, Left: 45_000, Quantity: 1},
	}
	j.Panels = []job.Panel{{Mark: "C1", Material: 1, Length: 601 * mm, Width: 400 * mm, Quantity: 2}}
	return j
}

// yardPlan is the answer to yard, every figure by hand.
func yardPlan(t testing.TB) *plan.Plan {
	const mitre = 113_138 // 2 mm · √2 = 2.828 427 mm, rounded up
	long := plan.Stock{Offer: 0, Supplier: "Mill", Length: 6000 * mm}
	short := plan.Stock{Offer: 1, Supplier: "Loft", Length: 3000 * mm}
	sheet := plan.Stock{Offer: 2, Supplier: "Mill", Length: 2000 * mm, Width: 1000 * mm}
	open := func(value, bound int64) plan.CountGoal {
		return plan.CountGoal{Value: value, Bound: bound, Status: plan.Open}
	}
	sure := func(value int64) plan.CountGoal {
		return plan.CountGoal{Value: value, Bound: value, Status: plan.Proven}
	}
	one, two, none := sure(1), open(2, 1), sure(0)
	piece := func(mark string, copy int, at length.Length) plan.Piece {
		return plan.Piece{Mark: mark, Copy: copy, At: at}
	}
	const half = mm / 2
	p := &plan.Plan{
		Version: plan.Version, Unit: plan.LengthUnit, Currency: "EUR",
		Job:     plan.JobRef{Name: "Roof", Revision: "A", Date: "2026-11-24", Digest: "d1"},
		Options: plan.Options{Effort: "quick"},
		Materials: []plan.Material{
			{
				Key: "rail", Stock: "SHS 25x25x2 mm", Alloy: "6063-T6", Kind: plan.Bar, Process: "saw",
				Goals: plan.Goals{
					Cost: plan.MoneyGoal{Value: 4500, Status: plan.Open}, Count: open(2, 0), Patterns: &two,
					Offcut: open(int64(202*mm), int64(6000*mm)),
				},
				Buy: []plan.Line{
					{Offer: 0, Supplier: "Mill", Length: 6000 * mm, Count: 2, Spare: 1, Pack: 2, Each: 4000, Amount: 4000},
					{Offer: 1, Supplier: "Loft", Length: 3000 * mm, Count: 1, Each: 500, Amount: 500},
				},
				Layouts: []plan.Layout{
					// Parts of 2990 and 3007 mm; what remains of them is 175 and 202 mm.
					{Number: 1, Pattern: 1, Stock: long, Pieces: []plan.Piece{
						piece("R1", 1, 10*mm), piece("R1", 2, 1412*mm+half), piece("R1", 3, 2993*mm), piece("R1", 4, 4395*mm+half),
					}, FirstCuts: []length.Length{2990 * mm}, FirstKerf: 3 * mm, Offcut: 202 * mm, Kept: true},
					{Number: 2, Pattern: 2, Stock: short, Pieces: []plan.Piece{
						piece("R1", 5, 10*mm), piece("R1", 6, 1412*mm+half),
					}, Offcut: 185 * mm},
				},
				// 8.4 m of 9 m cut, 0.202 m kept, at 496.8 g/m.
				Mass:   plan.Masses{Pieces: 4_173_120, Bought: 4_471_200, Offcuts: 100_354, Scrap: 197_726, Allowed: 4_173_120},
				Shares: plan.Shares{Used: 9333, Offcuts: 224, Scrap: 443},
			},
			{
				Key: "plate", Stock: "sheet 1.5 mm", Alloy: "5005-H14", Kind: plan.Sheet, Process: "laser", Free: true,
				Goals: plan.Goals{
					Cost:   plan.MoneyGoal{Value: 9000, Bound: 9000, Status: plan.Proven},
					Count:  one,
					Offcut: open(int64(1980*mm*575*mm), int64(2000*mm*1000*mm)),
				},
				Buy: []plan.Line{{Offer: 2, Supplier: "Mill", Length: 2000 * mm, Width: 1000 * mm, Count: 1, Each: 9000, Amount: 9000}},
				Layouts: []plan.Layout{{
					Number: 1, Pattern: 1, Stock: sheet,
					Panels: []plan.Panel{{Mark: "C1", Copy: 1, X: 10 * mm, Y: 10 * mm}, {Mark: "C1", Copy: 2, X: 616 * mm, Y: 10 * mm}},
					Strip:  &plan.Part{X: 10 * mm, Y: 415 * mm, Length: 1980 * mm, Width: 575 * mm, Kept: true},
				}},
				// 0.4808 m² of 2 m² cut, 1.1385 m² kept, at 5.4 kg/m².
				Mass:   plan.Masses{Pieces: 2_596_320, Bought: 10_800_000, Offcuts: 6_147_900, Scrap: 2_055_780, Allowed: 2_596_320},
				Shares: plan.Shares{Used: 2404, Offcuts: 5693, Scrap: 1903},
			},
			{
				Key: "post", Stock: "SHS 25x25x2 mm", Alloy: "6063-T6", Kind: plan.Bar, Process: "saw",
				Goals: plan.Goals{
					Cost: plan.MoneyGoal{Value: 2800, Status: plan.Open}, Count: none, Patterns: &none, Offcut: none,
				},
				ByMark: "Joiner", Marks: []plan.Quote{{Mark: "B1", Count: 4, Each: 700, Amount: 2800}},
				Mass:   plan.Masses{Pieces: 1_788_480, Bought: 1_788_480, Allowed: 1_788_480},
				Shares: plan.Shares{Used: 10_000},
			},
			{
				Key: "brace", Stock: "SHS 25x25x2 mm", Alloy: "6063-T6", Kind: plan.Bar, Process: "yard saw",
				Goals: plan.Goals{
					Cost: plan.MoneyGoal{Value: 1200, Bound: 1200, Status: plan.Proven}, Count: one, Patterns: &one,
					Offcut: open(int64(1198*mm-mitre), int64(3000*mm)),
				},
				Buy: []plan.Line{{Offer: 3, Supplier: "Mill", Length: 3000 * mm, Count: 1, Each: 1200, Amount: 1200}},
				Layouts: []plan.Layout{{
					Number: 1, Pattern: 1, Stock: plan.Stock{Offer: 3, Supplier: "Mill", Length: 3000 * mm},
					Pieces: []plan.Piece{piece("D1", 1, 0), piece("D2", 1, 1000*mm+mitre)}, Offcut: 1198*mm - mitre,
				}},
				// Mass lengths 975 and 787.5 mm.
				Mass:   plan.Masses{Pieces: 875_610, Bought: 1_490_400, Scrap: 614_790, Allowed: 875_610},
				Shares: plan.Shares{Used: 6000, Scrap: 4000},
			},
		},
		Goods: 17_500, Total: 23_450, Bound: 10_200, Status: plan.Open,
		Charges: []plan.Charge{
			// One first cut and one for D2 are free; three ends are mitred.
			{Supplier: "Mill", What: "square cuts", Count: 2, Free: 2, Each: 150},
			{Supplier: "Mill", What: "mitre cuts", Count: 3, Each: 250, Amount: 750},
			// 2.002 m at 0.85 and 0.30 for piercing: 2.0017.
			{Supplier: "Mill", What: "cutting C1", Count: 2, Each: 200, Amount: 400},
			{Supplier: "Mill", What: "handling plate", Count: 1, Each: 500, Amount: 500},
			{Supplier: "Mill", What: "set-up plate", Amount: 1500},
			{Supplier: "Mill", What: "fetching", Amount: 600},
			{Supplier: "Joiner", What: "small order", Amount: 2200},
		},
		Orders: []plan.Order{{Supplier: "Mill", Way: plan.Fetched}, {Supplier: "Loft", Way: plan.OnHand}, {Supplier: "Joiner", Way: plan.Fetched}},
		OnHand: 500,
		Taxes: []plan.Tax{
			{Supplier: "Mill", Rate: 19_000, Net: 17_950, Amount: 3411}, // 34.105
			{Supplier: "Joiner", Rate: 7000, Net: 5000, Amount: 350},
		},
		Payable: 26_711,
		Mass:    plan.Masses{Pieces: 9_433_530, Bought: 18_550_080, Offcuts: 6_248_254, Scrap: 2_868_296, Allowed: 9_433_530},
	}
	seal(t, p)
	return p
}

func TestYardPlan(t *testing.T) { proved(t, "the plan by hand", yard(), yardPlan(t)) }

// TestEveryYardFigure is TestEveryFigure for what suppliers do and charge.
func TestEveryYardFigure(t *testing.T) {
	free := func(path string) bool {
		return path == "options/effort" || path == "options/seed" ||
			path == "materials/1/layouts/0/panels/1/x" || // a panel that lies freely has room to its right
			strings.HasSuffix(path, "/offcut/bound") || path == "materials/0/goals/count/bound" || path == "materials/0/goals/patterns/bound"
	}
	seen := everyFigureRefused(t, yard(), yardPlan(t), free)
	if seen < 300 {
		t.Errorf("only %d figures were changed", seen)
	}
}

func rail(p *plan.Plan) *plan.Material { return &p.Materials[0] }

var yardMutations = []mutation{
	{"first cuts dropped", func(p *plan.Plan) { rail(p).Layouts[0].FirstCuts = nil }},
	{"one first cut more", func(p *plan.Plan) {
		l := &rail(p).Layouts[0]
		l.FirstCuts = append(l.FirstCuts, 5990*mm)
	}},
	{"a part too long to carry", func(p *plan.Plan) { rail(p).Layouts[0].FirstCuts[0] = 2880 * mm }},
	{"a first cut through a piece", func(p *plan.Plan) { rail(p).Layouts[0].FirstCuts[0] = 2800 * mm }},
	{"a first cut off the bar", func(p *plan.Plan) { rail(p).Layouts[0].FirstCuts[0] = 1 << 62 }},
	{"first cuts out of order", func(p *plan.Plan) { rail(p).Layouts[0].FirstCuts = []length.Length{2990 * mm, 10 * mm} }},
	{"first cuts of our own stock", func(p *plan.Plan) {
		l := &rail(p).Layouts[1]
		l.FirstCuts, l.FirstKerf = []length.Length{2900 * mm}, 3*mm
	}},
	{"first cuts of a sheet", func(p *plan.Plan) { p.Materials[1].Layouts[0].FirstCuts = []length.Length{1000 * mm} }},
	{"a sheet the supplier cuts marked as cut for the way", func(p *plan.Plan) { p.Materials[1].Layouts[0].Strip.AtYard = true }},
	{"free placement denied", func(p *plan.Plan) { p.Materials[1].Free = false }},
	{"a beam's sheet called edge to edge", func(p *plan.Plan) { p.Materials[1].Spaced = true }},
	{"a cut tree where panels lie freely", func(p *plan.Plan) {
		p.Materials[1].Layouts[0].Tree = &plan.Part{X: 10 * mm, Y: 10 * mm, Length: 1980 * mm, Width: 980 * mm}
	}},
	{"a strip dropped", func(p *plan.Plan) { p.Materials[1].Layouts[0].Strip = nil }},
	{"a strip not kept", func(p *plan.Plan) { p.Materials[1].Layouts[0].Strip.Kept = false }},
	{"a strip too near a panel", func(p *plan.Plan) { p.Materials[1].Layouts[0].Strip.Y--; p.Materials[1].Layouts[0].Strip.Width++ }},
	{"a smaller strip", func(p *plan.Plan) {
		p.Materials[1].Layouts[0].Strip = &plan.Part{X: 1222 * mm, Y: 10 * mm, Length: 768 * mm, Width: 980 * mm, Kept: true}
	}},
	{"a strip with parts", func(p *plan.Plan) {
		s := p.Materials[1].Layouts[0].Strip
		s.Parts = []*plan.Part{{X: s.X, Y: s.Y, Length: s.Length, Width: s.Width}}
	}},
	{"a strip of a bar", func(p *plan.Plan) { rail(p).Layouts[0].Strip = p.Materials[1].Layouts[0].Strip }},
	{"panels closer than the spacing", func(p *plan.Plan) { p.Materials[1].Layouts[0].Panels[1].X-- }},
	{"a panel in the margin", func(p *plan.Plan) { p.Materials[1].Layouts[0].Panels[0].X-- }},
	{"an order dropped", func(p *plan.Plan) { p.Orders = p.Orders[:2] }},
	{"an order twice", func(p *plan.Plan) { p.Orders = append(p.Orders, p.Orders[2]) }},
	{"orders exchanged", func(p *plan.Plan) { p.Orders[0], p.Orders[2] = p.Orders[2], p.Orders[0] }},
	{"delivered where it is only fetched", func(p *plan.Plan) { p.Orders[2].Way = plan.Delivered }},
	{"delivered for the price of fetching", func(p *plan.Plan) { p.Orders[0].Way = plan.Delivered }},
	{"charges exchanged", func(p *plan.Plan) { p.Charges[0], p.Charges[1] = p.Charges[1], p.Charges[0] }},
	{"free cuts left out", func(p *plan.Plan) { p.Charges = p.Charges[1:] }},
	{"taxes exchanged", func(p *plan.Plan) { p.Taxes[0], p.Taxes[1] = p.Taxes[1], p.Taxes[0] }},
	{"a tax dropped", func(p *plan.Plan) { p.Taxes = p.Taxes[:1]; p.Payable -= 350 }},
	{"no spare", func(p *plan.Plan) {
		l := &rail(p).Buy[0]
		l.Count, l.Spare, l.Amount = 1, 0, 2000
	}},
	{"a pack split", func(p *plan.Plan) {
		l := &rail(p).Buy[0]
		l.Count, l.Spare = 3, 2
	}},
	{"our own stock spared in place of bars", func(p *plan.Plan) {
		l := rail(p).Buy
		l[0].Spare, l[1].Spare = 0, 1
	}},
	{"bought by the mark and cut", func(p *plan.Plan) { p.Materials[2].Layouts = rail(p).Layouts }},
	{"bought by the mark from the mill", func(p *plan.Plan) { p.Materials[2].ByMark = "Mill" }},
	{"marks without a supplier", func(p *plan.Plan) { p.Materials[2].ByMark = "" }},
	{"no marks", func(p *plan.Plan) { p.Materials[2].Marks = nil }},
	{"a bound of what is bought by the mark", func(p *plan.Plan) { p.Materials[2].Goals.Cost.Bound, p.Bound = 1, p.Bound+1 }},
	{"bars of a supplier that lays out its own", func(p *plan.Plan) {
		m := &p.Materials[2]
		m.ByMark, m.Marks = "", nil
		m.Buy = []plan.Line{{Offer: 4, Supplier: "Joiner", Length: 4000 * mm, Count: 1, Each: 1900, Amount: 1900}}
	}},
}

func TestYardMutations(t *testing.T) {
	allRefused(t, yard(), yardPlan, yardMutations)
}

// TestYardJobChanges: the same plan against a job that has changed underneath it.
func TestYardJobChanges(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(j *job.Job)
	}{
		{"a shorter load", func(j *job.Job) { j.LongestLoad = 3006 * mm }},
		{"a narrower load", func(j *job.Job) { j.WidestLoad = 399 * mm }},
		{"a load that what is kept does not fit", func(j *job.Job) { j.WidestLoad = 570 * mm }},
		{"no load", func(j *job.Job) { j.LongestLoad = 0 }},
		{"another first cut", func(j *job.Job) { j.Suppliers[0].CutKerf = -1 }},
		{"dearer fetching", func(j *job.Job) { j.Suppliers[0].Fetch++ }},
		{"fewer free cuts", func(j *job.Job) { j.Suppliers[0].FreeCuts-- }},
		{"a dearer mitre", func(j *job.Job) { j.Suppliers[0].Mitre++ }},
		{"a dearer metre of cut", func(j *job.Job) { j.Suppliers[0].CutMetre += 500 }},
		{"a dearer piercing", func(j *job.Job) { j.Suppliers[0].Pierce += 500 }},
		{"dearer handling", func(j *job.Job) { j.Suppliers[0].PerSheet++ }},
		{"a dearer set-up", func(j *job.Job) { j.Suppliers[0].SetUp++ }},
		{"another tax", func(j *job.Job) { j.Suppliers[0].Tax++ }},
		{"a smaller smallest order", func(j *job.Job) { j.Suppliers[2].Minimum-- }},
		{"another quote", func(j *job.Job) { j.Quotes[0].Price++ }},
		{"a quote withdrawn", func(j *job.Job) { j.Quotes = nil }},
		{"larger packs", func(j *job.Job) { j.Offers[0].Pack = 3 }},
		{"sold from three on", func(j *job.Job) { j.Offers[0].Tiers[0].From = 3 }},
		{"a price by quantity reached", func(j *job.Job) { j.Offers[0].Tiers[1].From = 2 }},
		{"one spare more", func(j *job.Job) { j.Materials[0].Spare = 2 }},
		{"spares in percent", func(j *job.Job) { j.Materials[0].SparePercent = 1 }},
		{"our own stock for sale", func(j *job.Job) { j.Suppliers[1].OnHand = false }},
		{"plate cut by us", func(j *job.Job) { j.Processes[1].BySupplier = false }},
		{"braces cut by us", func(j *job.Job) { j.Processes[2].BySupplier = false }},
		{"rails cut by the mill", func(j *job.Job) { j.Processes[0].BySupplier = true }},
	} {
		j := yard()
		c.spoil(j)
		refused(t, c.name, j, yardPlan(t))
	}
}

// TestTooLongToCarry: what Mill cuts to the list is carried in pieces, so that
// each must fit the load; what is left of a bar stays at the yard if it does not.
func TestTooLongToCarry(t *testing.T) {
	j := yard()
	j.Materials[3].KeepOver = 1000 * mm
	p := yardPlan(t)
	p.Materials[3].Layouts[0].Kept = true
	refused(t, "masses without the leftover that is kept", j, p)
	j = yard()
	j.LongestLoad, j.WidestLoad = 1100*mm, 0
	a := &audit{job: j, plan: yardPlan(t)}
	a.index()
	a.orders()
	m := a.pair(3, &a.plan.Materials[3])
	m.job.KeepOver = 1000 * mm
	a.layouts(m) // 1195 mm are left and do not fit 1100 mm
	if len(a.findings) > 0 {
		t.Errorf("a leftover that stays at the yard: %v", a.findings)
	}
	j.LongestLoad = 999 * mm
	if a.layouts(m); len(a.findings) == 0 {
		t.Error("a brace longer than the load was not found")
	}
}

// TestAtYard: a load of 2.4 x 1.3 m leaves the trimmed skin of 2.48 m to be cut
// at the yard: four edges are trimmed, three strips parted by two cuts, and two strips, as long, by two cuts each.
func TestAtYard(t *testing.T) {
	make := func() (*job.Job, *plan.Plan) {
		j, p := hide(), hidePlan(t)
		j.LongestLoad, j.WidestLoad = 2400*mm, 1300*mm
		j.Suppliers[1].Cut, j.Suppliers[1].FreeCuts = 100, 1
		r := root(p)
		r.AtYard, r.Parts[0].AtYard, r.Parts[1].AtYard = true, true, true
		p.Materials[1].Layouts[0].TrimsAtYard = true
		p.Charges = append(p.Charges, plan.Charge{Supplier: "East", What: plan.SquareCuts, Count: 10, Free: 1, Each: 100, Amount: 900})
		p.Total, p.Payable = p.Total+900, p.Payable+900
		seal(t, p)
		return j, p
	}
	j, p := make()
	proved(t, "cut at the yard", j, p)
	for _, m := range []mutation{
		{"a strip carried whole", func(p *plan.Plan) { root(p).Parts[0].AtYard = false }},
		{"a small part cut at the yard", func(p *plan.Plan) { root(p).Parts[0].Parts[2].AtYard = true }},
		{"edges trimmed at home", func(p *plan.Plan) { p.Materials[1].Layouts[0].TrimsAtYard = false }},
		{"a bar with trimmed edges", func(p *plan.Plan) { p.Materials[0].Layouts[0].TrimsAtYard = true }},
		{"trims that nobody charges", func(p *plan.Plan) {
			c := &p.Charges[len(p.Charges)-1]
			c.Count, c.Amount = 6, 500
			p.Total, p.Payable = p.Total-400, p.Payable-400
		}},
		{"a panel cut at the yard", func(p *plan.Plan) { root(p).Parts[0].Parts[0].AtYard = true }},
		{"cuts at the yard for nothing", func(p *plan.Plan) {
			p.Charges = p.Charges[:2]
			p.Total, p.Payable = p.Total-900, p.Payable-900
		}},
	} {
		_, p := make()
		m.spoil(p)
		seal(t, p)
		refused(t, m.name, j, p)
	}
	j.LongestLoad, j.WidestLoad = 1199*mm, 1199*mm
	refused(t, "panels larger than the load", j, p)
}
