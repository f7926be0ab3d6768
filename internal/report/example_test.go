package report

import (
	"fmt"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// The plans here are put together by hand, not planned: what is tested is the
// paper.

const mm = length.Millimetre

func mustSection(t testing.TB, text string, unit length.Unit) section.Section {
	t.Helper()
	s, err := section.Parse(text, unit)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

// lay puts pieces one after another into a bar, a kerf apart.
func lay(j *job.Job, marks string, trim, kerf length.Length) []plan.Piece {
	at := trim
	var out []plan.Piece
	copies := map[string]int{}
	for _, mark := range strings.Split(marks, "|") {
		copies[mark]++
		out = append(out, plan.Piece{Mark: mark, Copy: copies[mark], At: at})
		for _, p := range j.Pieces {
			if p.Mark == mark {
				at += p.Length + kerf
			}
		}
	}
	return out
}

func barLayout(j *job.Job, number, pattern int, stock plan.Stock, keep length.Length, marks string) plan.Layout {
	p := j.Processes[0]
	l := plan.Layout{Number: number, Pattern: pattern, Stock: stock, Pieces: lay(j, marks, p.TrimLeft, p.Kerf)}
	last := l.Pieces[len(l.Pieces)-1]
	for _, row := range j.Pieces {
		if row.Mark == last.Mark {
			l.Offcut = max(0, stock.Length-last.At-row.Length-p.Kerf)
		}
	}
	l.Kept = keep > 0 && l.Offcut >= keep
	return l
}

// hide is the metric example: a frame of tube, mitred, and skins.
func hide(t testing.TB) (*plan.Plan, *job.Job) {
	j := &job.Job{Name: "Bird hide, north wall", Revision: "B", Date: "2026-11-24", Author: "A. Rail", Currency: "EUR",
		Unit: length.MM, Paper: "A4", LongestLoad: 3000 * mm, Note: "Demountable hide for the reed bed; four walls, a roof and a floor."}
	alloy, err := section.LookupMaterial("6063-T6")
	if err != nil {
		t.Fatal(err)
	}
	j.Materials = []job.Material{
		{Key: "tube", Section: mustSection(t, "SHS 25x25x2", length.MM), Alloy: alloy, Process: 0, KeepOver: 400 * mm},
		{Key: "skin", Section: mustSection(t, "sheet 1.5", length.MM), Alloy: alloy, Process: 1, Grain: true, GoodSide: true},
		{Key: "lining", Section: mustSection(t, "sheet 1", length.MM), Alloy: alloy, Process: 2},
	}
	j.Processes = []job.Process{
		{Key: "saw", Kind: job.Saw, Kerf: 5 * mm / 2, TrimLeft: 10 * mm, TrimRight: 10 * mm, CutError: mm / 2},
		{Key: "panel saw", Kind: job.PanelSaw, Kerf: 4 * mm, TrimLeft: 10 * mm, TrimRight: 10 * mm, TrimBottom: 10 * mm, TrimTop: 10 * mm, Stages: 3},
		{Key: "laser", Kind: job.Beam, Kerf: 5 * mm},
	}
	j.Suppliers = []job.Supplier{{Name: "North Reach Metals"}, {Name: "Eastmere"}}
	j.Offers = []job.Offer{{Supplier: 0, Material: 0, Length: 6000 * mm, Price: 2140, Stock: -1}, {Supplier: 1, Material: 1, Length: 2500 * mm, Width: 1250 * mm, Price: 5817, Stock: -1}}
	j.Pieces = []job.Piece{
		{Mark: "P1", Length: 1200 * mm, Left: 45000, Right: 45000, Quantity: 12},
		{Mark: "P2", Length: 800 * mm, Left: 45000, Right: 45000, Quantity: 12},
		{Mark: "P3", Length: 1150 * mm, Quantity: 9, Note: "mullion"},
		{Mark: "P4", Length: 1153 * mm, Quantity: 2, Note: "door side"},
		{Mark: "K5", Length: 62*mm + mm/2, Quantity: 20, Group: "cleats"},
		{Mark: "T7", Length: 216 * mm, Quantity: 1},
		{Mark: "B6", Length: 530 * mm, Left: 22500, Right: -22500, Quantity: 4},
	}
	j.Panels = []job.Panel{
		{Mark: "S1", Material: 1, Length: 1190 * mm, Width: 790 * mm, Quantity: 2},
		{Mark: "S2", Material: 1, Length: 600 * mm, Width: 400 * mm, Turn: true, Quantity: 3},
		{Mark: "S3", Material: 1, Length: 60 * mm, Width: 40 * mm, Quantity: 2},
		{Mark: "L1", Material: 2, Length: 1000 * mm, Width: 700 * mm, Quantity: 1},
	}
	north := plan.Stock{Supplier: "North Reach Metals", Length: 6000 * mm}
	p := &plan.Plan{Version: plan.Version, Unit: plan.LengthUnit, Number: "1a2b3c4d", Digest: "1a2b3c4d" + strings.Repeat("5e6f7a8b", 7), Currency: "EUR",
		Job: plan.JobRef{Name: j.Name, Revision: "B", Date: j.Date}, Status: plan.Open,
		Charges: []plan.Charge{{Supplier: "North Reach Metals", What: "delivery", Amount: 3500}},
		Mass:    plan.Masses{Pieces: 18_340_000, Allowed: 19_257_000, Bought: 25_000_000, Offcuts: 3_000_000, Scrap: 3_660_000}}
	tube := plan.Material{Key: "tube", Stock: "SHS 25x25x2 mm", Alloy: "6063-T6", Kind: plan.Bar, Process: "saw",
		Goals: plan.Goals{Cost: plan.MoneyGoal{Value: 10700, Bound: 10700, Status: plan.Proven}, Count: plan.CountGoal{Value: 5, Bound: 5, Status: plan.Proven},
			Patterns: &plan.CountGoal{Value: 4, Bound: 2, Status: plan.Open}},
		Buy:    []plan.Line{{Supplier: "North Reach Metals", Length: 6000 * mm, Count: 5, Each: 2140, Amount: 10700}},
		Mass:   plan.Masses{Pieces: 12_000_000, Bought: 15_000_000, Allowed: 12_600_000, Offcuts: 1_000_000, Scrap: 2_000_000},
		Shares: plan.Shares{Used: 8812, Offcuts: 700, Scrap: 488}}
	k5 := strings.TrimSuffix(strings.Repeat("K5|", 20), "|")
	tube.Layouts = []plan.Layout{
		nested(j, 1, 1, north), nested(j, 2, 1, north),
		barLayout(j, 3, 2, north, 400*mm, "P3|P3|P3|P4|P4"),
		barLayout(j, 4, 3, north, 400*mm, "P3|P3|"+k5),
		barLayout(j, 5, 4, north, 400*mm, "B6|B6|P3|P3|P3|P3"),
		barLayout(j, 6, 5, north, 400*mm, "T7|P3|P3|"+strings.TrimSuffix(strings.Repeat("K5|", 53), "|")),
	}
	skin := plan.Material{Key: "skin", Stock: "sheet 1.5 mm", Alloy: "6063-T6", Kind: plan.Sheet, Process: "panel saw",
		Goals: plan.Goals{Cost: plan.MoneyGoal{Value: 11634, Bound: 11294, Status: plan.Open}, Count: plan.CountGoal{Value: 2, Bound: 1}},
		Buy:   []plan.Line{{Offer: 1, Supplier: "Eastmere", Length: 2500 * mm, Width: 1250 * mm, Count: 2, Each: 5817, Amount: 11634}},
		Mass:  plan.Masses{Pieces: 6_340_000, Bought: 10_000_000}, Shares: plan.Shares{Used: 7000, Offcuts: 2000, Scrap: 1000}, Struck: "effort"}
	skin.Layouts = []plan.Layout{skinLayout(1), skinLayout(2)}
	lining := plan.Material{Key: "lining", Stock: "sheet 1 mm", Alloy: "6063-T6", Kind: plan.Sheet, Process: "laser", Spaced: true,
		Goals: plan.Goals{Cost: plan.MoneyGoal{Value: 5143, Bound: 5143, Status: plan.Proven}, Count: plan.CountGoal{Value: 1, Bound: 1, Status: plan.Proven}},
		Buy:   []plan.Line{{Offer: 2, Supplier: "Eastmere", Length: 2000 * mm, Width: 1000 * mm, Count: 1, Each: 5143, Amount: 5143}}}
	lining.Layouts = []plan.Layout{{Number: 1, Pattern: 1, Stock: plan.Stock{Supplier: "Eastmere", Length: 2000 * mm, Width: 1000 * mm},
		Panels: []plan.Panel{{Mark: "L1", Copy: 1}}, Tree: &plan.Part{Length: 2000 * mm, Width: 1000 * mm, Cut: plan.AlongWidth, Stage: 1, Parts: []*plan.Part{
			{Length: 1000 * mm, Width: 1000 * mm, Cut: plan.AlongLength, Stage: 2, Parts: []*plan.Part{
				{Length: 1000 * mm, Width: 700 * mm, Panel: 1}, {Y: 705 * mm, Length: 1000 * mm, Width: 295 * mm}}},
			{X: 1005 * mm, Length: 995 * mm, Width: 1000 * mm, Kept: true}}}}}
	p.Materials = []plan.Material{tube, skin, lining}
	settle(p, 340)
	return p, j
}

// settle fills in the sums of a plan from its lines; gap is what stays unproved.
func settle(p *plan.Plan, gap plan.Money) {
	p.Goods, p.OnHand = 0, 0
	own := map[string]bool{}
	for _, o := range p.Orders {
		own[o.Supplier] = o.Way == plan.OnHand
	}
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			p.Goods += l.Amount
			if own[l.Supplier] {
				p.OnHand += l.Amount
			}
		}
		for _, q := range m.Marks {
			p.Goods += q.Amount
		}
	}
	p.Total = p.Goods
	for _, c := range p.Charges {
		p.Total += c.Amount
	}
	p.Payable = p.Total - p.OnHand
	for _, t := range p.Taxes {
		p.Payable += t.Amount
	}
	p.Bound, p.Status = p.Total-gap, plan.Open
	if gap == 0 {
		p.Status = plan.Proven
	}
}

// nested is a bar of trapezoids whose slants share their cuts: the second and
// fourth lie rolled over, each a kerf/cos 45° less a face width further in.
func nested(j *job.Job, number, pattern int, stock plan.Stock) plan.Layout {
	l := plan.Layout{Number: number, Pattern: pattern, Stock: stock, Kept: false}
	at := 10 * mm
	step := 25*mm - 3*mm - mm*536/1000
	for i, mark := range []string{"P1", "P1", "P1", "P2", "P2", "P2"} {
		long := 1200 * mm
		if mark == "P2" {
			long = 800 * mm
		}
		l.Pieces = append(l.Pieces, plan.Piece{Mark: mark, Copy: i%3 + 1, At: at})
		at += long - step
	}
	l.Offcut = stock.Length - at - step - 3*mm
	return l
}

func skinLayout(number int) plan.Layout {
	part := func(x, y, l, w int, panel int) *plan.Part {
		return &plan.Part{X: length.Length(x) * mm, Y: length.Length(y) * mm, Length: length.Length(l) * mm, Width: length.Length(w) * mm, Panel: panel}
	}
	strip := part(10, 10, 2480, 790, 0)
	strip.Cut, strip.Stage = plan.AlongWidth, 2
	strip.Parts = []*plan.Part{part(10, 10, 1190, 790, 1), part(1204, 10, 1190, 790, 2), part(2398, 10, 92, 790, 0)}
	upper := part(10, 804, 2480, 400, 0)
	upper.Cut, upper.Stage = plan.AlongWidth, 2
	small := part(1218, 804, 60, 400, 0)
	small.Cut, small.Stage = plan.AlongLength, 3
	small.Parts = []*plan.Part{part(1218, 804, 60, 40, 5), part(1218, 848, 60, 40, 6), part(1218, 892, 60, 312, 0)}
	keep := part(1282, 804, 1208, 400, 0)
	keep.Kept = true
	upper.Parts = []*plan.Part{part(10, 804, 600, 400, 3), part(614, 804, 600, 400, 4), small, keep}
	root := part(10, 10, 2480, 1230, 0)
	root.Cut, root.Stage = plan.AlongLength, 1
	root.Parts = []*plan.Part{strip, upper, part(10, 1208, 2480, 32, 0)}
	l := plan.Layout{Number: number, Pattern: 1, Stock: plan.Stock{Offer: 1, Supplier: "Eastmere", Length: 2500 * mm, Width: 1250 * mm}, Tree: root}
	for i, m := range []string{"S1", "S1", "S2", "S2", "S3", "S3"} {
		at := []*plan.Part{strip.Parts[0], strip.Parts[1], upper.Parts[0], upper.Parts[1], small.Parts[0], small.Parts[1]}[i]
		l.Panels = append(l.Panels, plan.Panel{Mark: m, Copy: i%2 + 1, X: at.X, Y: at.Y})
	}
	return l
}

// barrow is the inch example on Letter paper, with marks that are hard to print
// and many copies of one bar.
func barrow(t testing.TB) (*plan.Plan, *job.Job) {
	j := &job.Job{Name: "Market barrow", Revision: "2", Date: "2026-11-24", Author: "W. Crake", Currency: "USD", Unit: length.In, Fraction: 16, Paper: "Letter"}
	alloy, err := section.LookupMaterial("6061-T6")
	if err != nil {
		t.Fatal(err)
	}
	j.Materials = []job.Material{{Key: "rail", Section: mustSection(t, "rect tube 2x1x.125 wall", length.In), Alloy: alloy, KeepOver: 24 * length.Inch}}
	j.Processes = []job.Process{{Key: "saw", Kind: job.Saw, Kerf: length.Inch / 8, TrimLeft: length.Inch / 2, Tail: 4 * length.Inch}}
	j.Suppliers = []job.Supplier{{Name: "CON"}, {Name: "con"}, {Name: "../../Ωmega & Söhne"}}
	for i, m := range hardMarks {
		j.Pieces = append(j.Pieces, job.Piece{Mark: m, Length: length.Inch*length.Length(20+7*i) + 3*length.Sixtyfourth, Quantity: 3})
	}
	p := &plan.Plan{Version: plan.Version, Unit: plan.LengthUnit, Number: "9f8e7d6c", Currency: "USD",
		Job: plan.JobRef{Name: j.Name, Revision: "2", Date: j.Date}, Struck: "time",
		Mass: plan.Masses{Pieces: 21_000_000, Allowed: 21_000_000, Bought: 30_000_000, Offcuts: 4_000_000, Scrap: 5_000_000}}
	m := plan.Material{Key: "rail", Stock: "rect tube 2x1x0.125 in", Alloy: "6061-T6", Kind: plan.Bar, Process: "saw",
		Goals:  plan.Goals{Cost: plan.MoneyGoal{Value: 46900, Bound: 46900, Status: plan.Proven}, Count: plan.CountGoal{Value: 134, Bound: 134, Status: plan.Proven}},
		Shares: plan.Shares{Used: 7000, Offcuts: 1333, Scrap: 1667}}
	twenty := 20 * length.Foot
	for i, name := range []string{"CON", "con", "../../Ωmega & Söhne"} {
		m.Buy = append(m.Buy, plan.Line{Offer: i, Supplier: name, Length: twenty, Count: 1, Each: plan.Money(3101 + i), Amount: plan.Money(3101 + i)})
	}
	n := 0
	next := func(pattern, offer int, marks ...string) {
		n++
		m.Layouts = append(m.Layouts, barLayout(j, n, pattern, plan.Stock{Offer: offer, Supplier: j.Suppliers[offer].Name, Length: twenty}, 24*length.Inch, strings.Join(marks, "|")))
	}
	next(1, 0, hardMarks[0], hardMarks[1], hardMarks[2])
	next(2, 1, hardMarks[3], hardMarks[4])
	next(3, 2, hardMarks[5], hardMarks[6])
	for i := range 131 {
		if i < 70 {
			next(4, 0, hardMarks[0], hardMarks[0])
		} else {
			next(5+i, 0, hardMarks[i%5])
		}
	}
	p.Materials = []plan.Material{m, deck(j), pegs(j)}
	settle(p, 0)
	return p, j
}

// pegs is bars of so many small pieces that lists must stand in for labels.
func pegs(j *job.Job) plan.Material {
	j.Materials = append(j.Materials, job.Material{Key: "pegs", Section: j.Materials[0].Section})
	var marks []string
	for i := range 120 {
		mark := fmt.Sprintf("N%d", i+1)
		j.Pieces = append(j.Pieces, job.Piece{Mark: mark, Material: 2, Length: length.Inch + length.Length(i)*length.Sixtyfourth, Left: 45000, Right: 15000, Quantity: 16})
		marks = append(marks, mark)
	}
	m := plan.Material{Key: "pegs", Stock: "round bar 20 mm", Kind: plan.Bar, Process: "saw",
		Buy: []plan.Line{{Offer: 0, Supplier: "CON", Length: 21 * length.Foot, Count: 16, Each: 1000, Amount: 16000}}}
	for n := range 16 {
		m.Layouts = append(m.Layouts, barLayout(j, n+1, 1, plan.Stock{Supplier: "CON", Length: 21 * length.Foot}, 24*length.Inch, strings.Join(marks, "|")))
	}
	return m
}

// deck cuts one sheet of ply into very many small slats.
func deck(j *job.Job) plan.Material {
	j.Materials = append(j.Materials, job.Material{Key: "deck", Section: j.Materials[0].Section, Process: 1})
	j.Processes = append(j.Processes, job.Process{Key: "panel saw", Kind: job.PanelSaw, Kerf: length.Inch / 8})
	kerf := length.Inch / 8
	stock := plan.Stock{Supplier: "con", Length: 96 * length.Inch, Width: 48 * length.Inch}
	root := &plan.Part{Length: stock.Length, Width: stock.Width, Cut: plan.AlongLength, Stage: 1}
	l := plan.Layout{Number: 1, Pattern: 1, Stock: stock, Tree: root}
	j.Panels = append(j.Panels, job.Panel{Mark: "slat", Material: 1, Length: 30 * length.Inch, Width: 2 * length.Inch, Turn: true, Quantity: 30},
		job.Panel{Mark: "peg", Material: 1, Length: length.Inch, Width: length.Inch / 2, Quantity: 30})
	for y := length.Length(0); y+2*length.Inch < 34*length.Inch; y += 2*length.Inch + kerf {
		strip := &plan.Part{Y: y, Length: stock.Length, Width: 2 * length.Inch, Cut: plan.AlongWidth, Stage: 2}
		for x := length.Length(0); x+30*length.Inch < stock.Length; x += 30*length.Inch + kerf {
			l.Panels = append(l.Panels, plan.Panel{Mark: "slat", Copy: len(l.Panels) + 1, X: x, Y: y})
			strip.Parts = append(strip.Parts, &plan.Part{X: x, Y: y, Length: 30 * length.Inch, Width: 2 * length.Inch, Panel: len(l.Panels)})
		}
		x := 90*length.Inch + 3*kerf
		l.Panels = append(l.Panels, plan.Panel{Mark: "peg", Copy: len(l.Panels) + 1, X: x, Y: y})
		peg := &plan.Part{X: x, Y: y, Length: length.Inch, Width: 2 * length.Inch, Cut: plan.AlongLength, Stage: 3, Parts: []*plan.Part{
			{X: x, Y: y, Length: length.Inch, Width: length.Inch / 2, Panel: len(l.Panels)},
			{X: x, Y: y + length.Inch/2 + kerf, Length: length.Inch, Width: 11 * length.Inch / 8}}}
		strip.Parts = append(strip.Parts, peg, &plan.Part{X: x + length.Inch + kerf, Y: y, Length: stock.Length - x - length.Inch - kerf, Width: 2 * length.Inch})
		root.Parts = append(root.Parts, strip)
	}
	last := root.Parts[len(root.Parts)-1]
	y := last.Y + last.Width + kerf
	root.Parts = append(root.Parts, &plan.Part{Y: y, Length: stock.Length, Width: stock.Width - y, Kept: true})
	return plan.Material{Key: "deck", Stock: "ply 12 mm", Kind: plan.Sheet, Process: "panel saw", Layouts: []plan.Layout{l},
		Buy: []plan.Line{{Offer: 3, Supplier: "con", Length: stock.Length, Width: stock.Width, Count: 1, Each: 4100, Amount: 4100}}}
}

var hardMarks = []string{
	"Löwe", "🐦-1", "سقف", "a\x07\x1b[31mb", "é", strings.Repeat("long-mark-", 30), "屋根",
}

// path of a file in a pack.
func find(t testing.TB, files []File, name string) File {
	t.Helper()
	var all []string
	for _, f := range files {
		if f.Path == name {
			return f
		}
		all = append(all, f.Path)
	}
	t.Fatal(fmt.Sprintf("no %s among %s", name, strings.Join(all, ", ")))
	return File{}
}
