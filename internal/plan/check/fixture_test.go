package check

import (
	"encoding/json"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

const mm = length.Millimetre

// hide is a small job worked out by hand: the tube frame and two skins of a
// bird hide.
//
// Tube SHS 25x25x2, sharp corners: A = 2·2·(25 + 25 - 2·2) = 184 mm², at 2700
// kg/m³ 0.4968 kg/m. Kerf 2.5 mm, at 45° 2.5·√2 = 3.535 534 mm, which is
// 141 421.36 units, rounded up 141 422.
//
// Skin 1.5 mm: 1.5·2.7 = 4.05 kg/m².
func hide() *job.Job {
	tube := section.Section{Shape: section.SquareTube, Width: 25 * mm, Height: 25 * mm, Thickness: 2 * mm, Canonical: "SHS 25x25x2 mm"}
	skin := section.Section{Shape: section.Sheet, Thickness: mm * 3 / 2, Canonical: "sheet 1.5 mm"}
	alloy := section.Material{Name: "6063-T6", Family: section.Aluminium, Density: 2700}
	soft := section.Material{Name: "5005-H14", Family: section.Aluminium, Density: 2700}
	return &job.Job{
		Name: "Bird hide", Revision: "A", Date: "2026-11-24", Currency: "EUR", Digest: "d1",
		Materials: []job.Material{
			{Key: "tube", Section: tube, Alloy: alloy, Density: 2700, Process: 0, KeepOver: 400 * mm, Growth: 500},
			{Key: "skin", Section: skin, Alloy: soft, Density: 2700, Process: 1, KeepLength: 600 * mm, KeepWidth: 400 * mm},
			{Key: "spare", Section: tube, Alloy: alloy, Density: 2700, Process: 0},
		},
		Processes: []job.Process{
			{Key: "saw", Kind: job.Saw, Kerf: mm * 5 / 2, TrimLeft: 10 * mm, TrimRight: 10 * mm},
			{Key: "panel saw", Kind: job.PanelSaw, Kerf: 3 * mm, Stages: 2, MinStrip: 40 * mm,
				TrimLeft: 10 * mm, TrimRight: 10 * mm, TrimBottom: 10 * mm, TrimTop: 10 * mm},
		},
		Suppliers: []job.Supplier{{Name: "North", Delivers: true, Delivery: 3500, Minimum: 8000}, {Name: "East", Fetched: true}},
		Offers: []job.Offer{
			{Supplier: 0, Material: 0, Length: 6000 * mm, Price: 2140, Stock: -1},
			{Supplier: 0, Material: 0, Length: 5000 * mm, Price: 1850, Stock: 10},
			{Supplier: 1, Material: 1, Length: 2500 * mm, Width: 1250 * mm, Price: 5800, Stock: -1},
			{Supplier: 1, Material: 1, Length: 2000 * mm, Width: 1000 * mm, Price: 3900, Stock: 1},
			{Supplier: 1, Material: 2, Length: 6000 * mm, Price: 2000, Stock: -1},
		},
		Pieces: []job.Piece{
			{Mark: "P1", Material: 0, Length: 1200 * mm, Left: 45_000, Right: 45_000, Quantity: 4},
			{Mark: "P2", Material: 0, Length: 800 * mm, Left: 45_000, Right: -45_000, Quantity: 4},
			{Mark: "P3", Material: 0, Length: 1150 * mm, Quantity: 3},
		},
		Panels: []job.Panel{
			{Mark: "S1", Material: 1, Length: 600 * mm, Width: 1200 * mm, Turn: true, Quantity: 2},
			{Mark: "S2", Material: 1, Length: 800 * mm, Width: 500 * mm, Quantity: 2},
			{Mark: "S3", Material: 1, Length: 74 * mm, Width: 590 * mm, Quantity: 1},
		},
	}
}

// hidePlan is the answer to hide, every figure by hand.
func hidePlan(t testing.TB) *plan.Plan {
	const mitre, square = 141_422, 100_000
	long := plan.Stock{Offer: 0, Supplier: "North", Length: 6000 * mm}
	big := plan.Stock{Offer: 2, Supplier: "East", Length: 2500 * mm, Width: 1250 * mm}
	panel := func(x, y, l, w length.Length, n int) *plan.Part {
		return &plan.Part{X: x * mm, Y: y * mm, Length: l * mm, Width: w * mm, Panel: n}
	}
	p := &plan.Plan{
		Version: plan.Version, Unit: plan.LengthUnit, Currency: "EUR",
		Job:     plan.JobRef{Name: "Bird hide", Revision: "A", Date: "2026-11-24", Digest: "d1"},
		Options: plan.Options{Effort: "normal", Seed: 1},
		Materials: []plan.Material{
			{
				Key: "tube", Stock: "SHS 25x25x2 mm", Alloy: "6063-T6", Kind: plan.Bar, Process: "saw",
				Goals: plan.Goals{
					// 42.80 is two of 6 m; 6 + 5 m and 5 + 5 m are too short
					// for 11.45 m of pieces, three of 5 m are dearer.
					Cost:     plan.MoneyGoal{Value: 4280, Bound: 4280, Status: plan.Proven},
					Count:    plan.CountGoal{Value: 2, Bound: 2, Status: plan.Proven},
					Patterns: &plan.CountGoal{Value: 2, Bound: 1, Status: plan.Open},
					Offcut:   plan.CountGoal{Value: 18_834_312, Bound: 240_000_000, Status: plan.Open},
				},
				// Every piece is worth its doubled length with its cuts; a bar
				// of 6 m holds 2·5980 mm + 2·141 422 = 478 682 844 of them,
				// 2140 · 223 684 = 478 683 760.
				BarProof: &plan.BarProof{
					Scale: 223_684,
					Pieces: []plan.PieceValue{
						{Length: 1200 * mm, Left: 45_000, Right: 45_000, Value: 96_282_844},
						{Length: 800 * mm, Left: 45_000, Right: -45_000, Value: 64_282_844},
						{Length: 1150 * mm, Value: 92_200_000},
					},
					// 918 862 752 / 223 684 = 4107.9
					Bound: 4108,
				},
				Buy: []plan.Line{{Offer: 0, Supplier: "North", Length: 6000 * mm, Count: 2, Each: 2140, Amount: 4280}},
				Layouts: []plan.Layout{
					{Number: 1, Pattern: 1, Stock: long, Pieces: []plan.Piece{
						{Mark: "P1", Copy: 1, At: 10 * mm},
						{Mark: "P1", Copy: 2, At: 1210*mm + mitre},
						{Mark: "P1", Copy: 3, At: 2410*mm + 2*mitre},
						{Mark: "P1", Copy: 4, At: 3610*mm + 3*mitre},
						{Mark: "P3", Copy: 1, At: 4810*mm + 4*mitre},
					}, Offcut: 40*mm - 4*mitre - square},
					{Number: 2, Pattern: 2, Stock: long, Pieces: []plan.Piece{
						{Mark: "P2", Copy: 1, At: 10 * mm},
						{Mark: "P2", Copy: 2, At: 810*mm + mitre},
						{Mark: "P2", Copy: 3, At: 1610*mm + 2*mitre},
						{Mark: "P2", Copy: 4, At: 2410*mm + 3*mitre},
						{Mark: "P3", Copy: 2, At: 3210*mm + 4*mitre},
						{Mark: "P3", Copy: 3, At: 4360*mm + 4*mitre + square},
					}, Offcut: 490*mm - 4*mitre - 2*square, Kept: true},
				},
				// Mass lengths 1175, 775 and 1150 mm: 583.74, 385.02, 571.32 g.
				Mass:   plan.Masses{Pieces: 5_589_000, Bought: 5_961_600, Offcuts: 233_922, Scrap: 138_678, Allowed: 5_868_450},
				Shares: plan.Shares{Used: 9542, Offcuts: 392, Scrap: 66},
			},
			{
				Key: "skin", Stock: "sheet 1.5 mm", Alloy: "5005-H14", Kind: plan.Sheet, Process: "panel saw",
				Goals: plan.Goals{
					// Panels with their kerf cover 2.30 m²; one of 2 x 1 m has
					// 1.983 x 0.983 = 1.95 m² to offer, so 58.00 is least.
					Cost:   plan.MoneyGoal{Value: 5800, Bound: 5800, Status: plan.Proven},
					Count:  plan.CountGoal{Value: 1, Bound: 1, Status: plan.Proven},
					Offcut: plan.CountGoal{Value: int64(874 * mm * 500 * mm), Bound: int64(2500 * mm * 1250 * mm), Status: plan.Open},
				},
				Buy: []plan.Line{{Offer: 2, Supplier: "East", Length: 2500 * mm, Width: 1250 * mm, Count: 1, Each: 5800, Amount: 5800}},
				Layouts: []plan.Layout{{
					Number: 1, Pattern: 1, Stock: big,
					Panels: []plan.Panel{
						{Mark: "S1", Copy: 1, X: 10 * mm, Y: 10 * mm, Turned: true},
						{Mark: "S1", Copy: 2, X: 1213 * mm, Y: 10 * mm, Turned: true},
						{Mark: "S3", Copy: 1, X: 2416 * mm, Y: 10 * mm},
						{Mark: "S2", Copy: 1, X: 10 * mm, Y: 613 * mm},
						{Mark: "S2", Copy: 2, X: 813 * mm, Y: 613 * mm},
					},
					Tree: &plan.Part{
						X: 10 * mm, Y: 10 * mm, Length: 2480 * mm, Width: 1230 * mm, Cut: plan.AlongLength, Stage: 1,
						Parts: []*plan.Part{
							{X: 10 * mm, Y: 10 * mm, Length: 2480 * mm, Width: 600 * mm, Cut: plan.AlongWidth, Stage: 2, Parts: []*plan.Part{
								panel(10, 10, 1200, 600, 1),
								panel(1213, 10, 1200, 600, 2),
								// The last cut trims the only panel of this part.
								{X: 2416 * mm, Y: 10 * mm, Length: 74 * mm, Width: 600 * mm, Cut: plan.AlongLength, Stage: 3, Parts: []*plan.Part{
									panel(2416, 10, 74, 590, 3),
									panel(2416, 603, 74, 7, 0),
								}},
							}},
							{X: 10 * mm, Y: 613 * mm, Length: 2480 * mm, Width: 500 * mm, Cut: plan.AlongWidth, Stage: 2, Parts: []*plan.Part{
								panel(10, 613, 800, 500, 4),
								panel(813, 613, 800, 500, 5),
								{X: 1616 * mm, Y: 613 * mm, Length: 874 * mm, Width: 500 * mm, Kept: true},
							}},
							panel(10, 1116, 2480, 124, 0),
						},
					},
				}},
				// 2.283 66 m² of panels, 3.125 m² bought, 0.437 m² kept.
				Mass:   plan.Masses{Pieces: 9_248_823, Bought: 12_656_250, Offcuts: 1_769_850, Scrap: 1_637_577, Allowed: 9_248_823},
				Shares: plan.Shares{Used: 7308, Offcuts: 1398, Scrap: 1294},
			},
		},
		Goods: 10_080, Total: 17_300, Bound: 10_080, Status: plan.Open,
		// North's goods are 42.80, its smallest order 80.00.
		Charges: []plan.Charge{{Supplier: "North", What: "small order", Amount: 3720}, {Supplier: "North", What: "delivery", Amount: 3500}},
		Orders:  []plan.Order{{Supplier: "North", Way: plan.Delivered}, {Supplier: "East", Way: plan.Fetched}},
		Payable: 17_300,
		Mass:    plan.Masses{Pieces: 14_837_823, Bought: 18_617_850, Offcuts: 2_003_772, Scrap: 1_776_255, Allowed: 15_117_273},
	}
	seal(t, p)
	return p
}

func seal(t testing.TB, p *plan.Plan) {
	t.Helper()
	if err := p.Seal(); err != nil {
		t.Fatal(err)
	}
}

// clone copies a plan through its own format.
func clone(t testing.TB, p *plan.Plan) *plan.Plan {
	t.Helper()
	b, err := json.Marshal(p)
	if err != nil {
		t.Fatal(err)
	}
	q := new(plan.Plan)
	if err := json.Unmarshal(b, q); err != nil {
		t.Fatal(err)
	}
	return q
}

func refused(t testing.TB, what string, j *job.Job, p *plan.Plan) {
	t.Helper()
	if findings, _ := Plan(j, p); len(findings) == 0 {
		t.Errorf("%s: not found", what)
	}
}

func proved(t testing.TB, what string, j *job.Job, p *plan.Plan) {
	t.Helper()
	findings, _ := Plan(j, p)
	for _, f := range findings {
		t.Errorf("%s: %s", what, f)
	}
}

func TestHidePlan(t *testing.T) { proved(t, "the plan by hand", hide(), hidePlan(t)) }
