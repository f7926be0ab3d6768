package check

import (
	"encoding/json"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// mutation spoils a plan. The digest is made good again afterwards, so that
// the content alone must give it away.
type mutation struct {
	name  string
	spoil func(p *plan.Plan)
}

func tube(p *plan.Plan) *plan.Material { return &p.Materials[0] }
func skin(p *plan.Plan) *plan.Material { return &p.Materials[1] }
func root(p *plan.Plan) *plan.Part     { return skin(p).Layouts[0].Tree }

var mutations = []mutation{
	{"another version", func(p *plan.Plan) { p.Version++ }},
	{"another unit", func(p *plan.Plan) { p.Unit = "mm" }},
	{"another job", func(p *plan.Plan) { p.Job.Digest = "d2" }},
	{"another revision", func(p *plan.Plan) { p.Job.Revision = "B" }},
	{"another date", func(p *plan.Plan) { p.Job.Date = "2026-11-25" }},
	{"another currency", func(p *plan.Plan) { p.Currency = "GBP" }},
	{"no effort named", func(p *plan.Plan) { p.Options.Effort = "" }},
	{"unknown limit struck", func(p *plan.Plan) { p.Struck = "boredom" }},

	{"material dropped", func(p *plan.Plan) { p.Materials = p.Materials[:1] }},
	{"material twice", func(p *plan.Plan) { p.Materials = append(p.Materials, p.Materials[0]) }},
	{"material renamed", func(p *plan.Plan) { tube(p).Key = "pipe" }},
	{"material not needed", func(p *plan.Plan) { p.Materials = append(p.Materials, plan.Material{Key: "spare"}) }},
	{"another section", func(p *plan.Plan) { tube(p).Stock = "SHS 30x30x2 mm" }},
	{"another alloy", func(p *plan.Plan) { tube(p).Alloy = "6061-T6" }},
	{"another process", func(p *plan.Plan) { tube(p).Process = "panel saw" }},
	{"another kind", func(p *plan.Plan) { tube(p).Kind = plan.Sheet }},
	{"spacing claimed", func(p *plan.Plan) { skin(p).Spaced = true }},

	{"piece dropped", func(p *plan.Plan) {
		l := &tube(p).Layouts[1]
		l.Pieces = l.Pieces[:5]
	}},
	{"piece duplicated", func(p *plan.Plan) { tube(p).Layouts[1].Pieces[5].Copy = 2 }},
	{"copy beyond the quantity", func(p *plan.Plan) { tube(p).Layouts[1].Pieces[5].Copy = 4 }},
	{"copy 0", func(p *plan.Plan) { tube(p).Layouts[1].Pieces[5].Copy = 0 }},
	{"unknown mark", func(p *plan.Plan) { tube(p).Layouts[1].Pieces[5].Mark = "P9" }},
	{"panel among pieces", func(p *plan.Plan) { tube(p).Layouts[1].Pieces[5].Mark = "S1" }},
	{"bars swapped in number", func(p *plan.Plan) {
		l := tube(p).Layouts
		l[0].Number, l[1].Number = 2, 1
	}},
	{"two marks of unequal length swapped", func(p *plan.Plan) {
		a, b := &tube(p).Layouts[0].Pieces[1], &tube(p).Layouts[1].Pieces[1]
		a.Mark, b.Mark = b.Mark, a.Mark
	}},
	{"two bars' pieces in another order", func(p *plan.Plan) {
		l := tube(p).Layouts[0].Pieces
		l[0], l[4] = l[4], l[0]
	}},
	{"bar without pieces bought", func(p *plan.Plan) {
		m := tube(p)
		m.Layouts = append(m.Layouts, plan.Layout{Number: 3, Pattern: 3, Stock: m.Layouts[0].Stock, Offcut: 6000 * mm, Kept: true})
	}},
	{"panels on a bar", func(p *plan.Plan) { tube(p).Layouts[0].Panels = []plan.Panel{{Mark: "S1", Copy: 1}} }},
	{"shorter bar under a full one", func(p *plan.Plan) { tube(p).Layouts[0].Stock.Length = 5000 * mm }},
	{"bar from the other offer", func(p *plan.Plan) {
		s := &tube(p).Layouts[0].Stock
		s.Offer, s.Length = 1, 5000*mm
	}},
	{"bar from a sheet", func(p *plan.Plan) { tube(p).Layouts[0].Stock.Offer = 2 }},
	{"bar from no offer", func(p *plan.Plan) { tube(p).Layouts[0].Stock.Offer = 99 }},
	{"bar of another supplier", func(p *plan.Plan) { tube(p).Layouts[0].Stock.Supplier = "East" }},
	{"pattern numbers swapped", func(p *plan.Plan) { tube(p).Layouts[0].Pattern, tube(p).Layouts[1].Pattern = 2, 1 }},
	{"pattern shared", func(p *plan.Plan) { tube(p).Layouts[1].Pattern = 1 }},
	{"offcut longer", func(p *plan.Plan) { tube(p).Layouts[0].Offcut++ }},
	{"offcut kept though too short", func(p *plan.Plan) { tube(p).Layouts[0].Kept = true }},
	{"offcut not kept", func(p *plan.Plan) { tube(p).Layouts[1].Kept = false }},

	{"panel turned against the job", func(p *plan.Plan) { skin(p).Layouts[0].Panels[3].Turned = true }},
	{"panel not turned", func(p *plan.Plan) { skin(p).Layouts[0].Panels[0].Turned = false }},
	{"panel moved by a unit", func(p *plan.Plan) { skin(p).Layouts[0].Panels[4].X++ }},
	{"panel and its part moved into the kerf", func(p *plan.Plan) {
		skin(p).Layouts[0].Panels[4].X--
		root(p).Parts[1].Parts[1].X--
	}},
	{"panel dropped from the list", func(p *plan.Plan) { l := &skin(p).Layouts[0]; l.Panels = l.Panels[:4] }},
	{"panel over another", func(p *plan.Plan) { skin(p).Layouts[0].Panels[1].X = 10 * mm }},
	{"panel off the sheet", func(p *plan.Plan) { skin(p).Layouts[0].Panels[1].X = 2000 * mm }},
	{"panel in the trim", func(p *plan.Plan) { skin(p).Layouts[0].Panels[0].X = 9 * mm }},
	{"no cut tree", func(p *plan.Plan) { skin(p).Layouts[0].Tree = nil }},
	{"tree over the whole sheet", func(p *plan.Plan) { root(p).X = 0 }},
	{"tree without its last part", func(p *plan.Plan) { root(p).Parts = root(p).Parts[:2] }},
	{"parts in another order", func(p *plan.Plan) { root(p).Parts[0], root(p).Parts[1] = root(p).Parts[1], root(p).Parts[0] }},
	{"a part not from edge to edge", func(p *plan.Plan) { root(p).Parts[0].Length -= 1 }},
	{"a part larger by a unit", func(p *plan.Plan) { root(p).Parts[0].Width++ }},
	{"an empty part", func(p *plan.Plan) { root(p).Parts[0] = nil }},
	{"a stage skipped", func(p *plan.Plan) { root(p).Parts[1].Stage = 3 }},
	{"a direction unknown", func(p *plan.Plan) { root(p).Parts[1].Cut = "across" }},
	{"a direction repeated", func(p *plan.Plan) { root(p).Parts[1].Cut = plan.AlongLength }},
	{"a leaf said to be cut", func(p *plan.Plan) { root(p).Parts[2].Cut = plan.AlongWidth }},
	{"a leftover called a panel", func(p *plan.Plan) { root(p).Parts[2].Panel = 2 }},
	{"a panel called a leftover", func(p *plan.Plan) { root(p).Parts[0].Parts[0].Panel = 0 }},
	{"panels exchanged in the tree", func(p *plan.Plan) {
		a, b := root(p).Parts[0].Parts[0], root(p).Parts[0].Parts[1]
		a.Panel, b.Panel = b.Panel, a.Panel
	}},
	{"a panel in two leaves", func(p *plan.Plan) { root(p).Parts[1].Parts[0].Panel = 5 }},
	{"a cut part called kept", func(p *plan.Plan) { root(p).Parts[1].Kept = true }},
	{"a small leftover kept", func(p *plan.Plan) { root(p).Parts[2].Kept = true }},
	{"a large leftover not kept", func(p *plan.Plan) { root(p).Parts[1].Parts[2].Kept = false }},
	{"a third stage that parts two panels", func(p *plan.Plan) {
		// The first strip in columns, the panels of the second strip in one of
		// them: real cuts, but one stage too many.
		part := root(p).Parts[1]
		inner := *part
		inner.Cut, inner.Stage = plan.AlongLength, 3
		part.Parts = []*plan.Part{part.Parts[0], {
			X: 813 * mm, Y: 613 * mm, Length: 1677 * mm, Width: 500 * mm, Cut: plan.AlongLength, Stage: 3,
			Parts: []*plan.Part{{X: 813 * mm, Y: 613 * mm, Length: 1677 * mm, Width: 500 * mm, Cut: plan.AlongWidth, Stage: 4,
				Parts: []*plan.Part{part.Parts[1], part.Parts[2]}}},
		}}
	}},

	{"one bar fewer bought", func(p *plan.Plan) { tube(p).Buy[0].Count = 1 }},
	{"purchase line twice", func(p *plan.Plan) { tube(p).Buy = append(tube(p).Buy, tube(p).Buy[0]) }},
	{"purchase line missing", func(p *plan.Plan) { tube(p).Buy = nil }},
	{"a bar too many bought", func(p *plan.Plan) {
		tube(p).Buy = append(tube(p).Buy, plan.Line{Offer: 1, Supplier: "North", Length: 5000 * mm, Count: 1, Each: 1850, Amount: 1850})
	}},
	{"a price one cent lower", func(p *plan.Plan) { tube(p).Buy[0].Each-- }},
	{"an amount one cent lower", func(p *plan.Plan) { tube(p).Buy[0].Amount-- }},
	{"the whole bill one cent lower", func(p *plan.Plan) {
		l := &tube(p).Buy[0]
		l.Each, l.Amount = l.Each-1, l.Amount-2
		g := &tube(p).Goals.Cost
		g.Value, g.Bound = g.Value-2, g.Bound-2
		p.Total, p.Bound, p.Payable = p.Total-2, p.Bound-2, p.Payable-2
		p.Charges[0].Amount += 2
		p.Payable += 2
	}},
	{"another supplier's name", func(p *plan.Plan) { tube(p).Buy[0].Supplier = "East" }},
	{"another size bought", func(p *plan.Plan) { tube(p).Buy[0].Length = 6100 * mm }},
	{"bought from another material", func(p *plan.Plan) { tube(p).Buy[0].Offer = 4 }},
	{"total one cent higher", func(p *plan.Plan) { p.Total++ }},
	{"payable without the charges", func(p *plan.Plan) { p.Payable = p.Goods }},
	{"delivery left out", func(p *plan.Plan) { p.Charges = p.Charges[:1]; p.Total -= 3500; p.Payable -= 3500 }},
	{"small order left out", func(p *plan.Plan) { p.Charges = p.Charges[1:]; p.Total -= 3720; p.Payable -= 3720 }},
	{"delivery twice", func(p *plan.Plan) { p.Charges = append(p.Charges, p.Charges[1]); p.Total += 3500; p.Payable += 3500 }},
	{"a charge invented", func(p *plan.Plan) {
		p.Charges = append(p.Charges, plan.Charge{Supplier: "East", What: "delivery", Amount: 1})
		p.Total++
		p.Payable++
	}},
	{"a charge lowered", func(p *plan.Plan) { p.Charges[0].Amount--; p.Total--; p.Payable-- }},

	{"called proven", func(p *plan.Plan) { p.Status = plan.Proven }},
	{"cost called open", func(p *plan.Plan) { tube(p).Goals.Cost.Status = plan.Open }},
	{"an unknown status", func(p *plan.Plan) { tube(p).Goals.Count.Status = "sure" }},
	{"patterns called proven", func(p *plan.Plan) { tube(p).Goals.Patterns.Status = plan.Proven }},
	{"fewer patterns", func(p *plan.Plan) { tube(p).Goals.Patterns.Value = 1 }},
	{"patterns missing", func(p *plan.Plan) { tube(p).Goals.Patterns = nil }},
	{"count bound above the count", func(p *plan.Plan) { tube(p).Goals.Count = plan.CountGoal{Value: 2, Bound: 3, Status: plan.Open} }},
	{"offcut bound below the offcut", func(p *plan.Plan) { tube(p).Goals.Offcut.Bound = 1 }},
	{"a longer offcut", func(p *plan.Plan) { tube(p).Goals.Offcut.Value++ }},
	{"a larger leftover", func(p *plan.Plan) { skin(p).Goals.Offcut.Value++ }},
	{"bound above the cost", func(p *plan.Plan) { tube(p).Goals.Cost.Bound++; p.Bound++ }},
	{"a value of the proof raised", func(p *plan.Plan) { tube(p).BarProof.Pieces[0].Value += 3_000_000_000 }},
	{"a scale too small", func(p *plan.Plan) { tube(p).BarProof.Scale = 100_000 }},
	{"no scale", func(p *plan.Plan) { tube(p).BarProof.Scale = 0 }},
	{"values beyond 64 bits", func(p *plan.Plan) { tube(p).BarProof.Pieces[0].Value = 1 << 62 }},
	{"a value for an offer without limit", func(p *plan.Plan) { tube(p).BarProof.Stocks = []plan.StockValue{{Offer: 0, Value: 5}} }},
	{"a negative value for an offer", func(p *plan.Plan) { tube(p).BarProof.Stocks = []plan.StockValue{{Offer: 1, Value: -5}} }},
	{"a value for an offer of another material", func(p *plan.Plan) { tube(p).BarProof.Stocks = []plan.StockValue{{Offer: 3, Value: 5}} }},
	{"two values for an offer", func(p *plan.Plan) {
		tube(p).BarProof.Stocks = []plan.StockValue{{Offer: 1, Value: 5}, {Offer: 1, Value: 5}}
	}},
	{"two values for a piece", func(p *plan.Plan) {
		tube(p).BarProof.Pieces = append(tube(p).BarProof.Pieces, tube(p).BarProof.Pieces[0])
	}},
	{"a proof for more than is claimed", func(p *plan.Plan) { tube(p).BarProof.Bound = 4281 }},
	{"a value for a piece nobody wants", func(p *plan.Plan) {
		tube(p).BarProof.Pieces = append(tube(p).BarProof.Pieces, plan.PieceValue{Length: 7, Value: 1})
	}},
	{"a bar's proof for sheets", func(p *plan.Plan) { skin(p).BarProof = tube(p).BarProof }},

	{"pieces lighter", func(p *plan.Plan) {
		m := &tube(p).Mass
		m.Pieces, m.Scrap, p.Mass.Pieces, p.Mass.Scrap = m.Pieces-1000, m.Scrap+1000, p.Mass.Pieces-1000, p.Mass.Scrap+1000
		m.Allowed, p.Mass.Allowed = m.Allowed-1050, p.Mass.Allowed-1050
	}},
	{"offcuts heavier", func(p *plan.Plan) {
		m := &tube(p).Mass
		m.Offcuts, m.Scrap, p.Mass.Offcuts, p.Mass.Scrap = m.Offcuts+1000, m.Scrap-1000, p.Mass.Offcuts+1000, p.Mass.Scrap-1000
	}},
	{"bars lighter", func(p *plan.Plan) {
		m := &tube(p).Mass
		m.Bought, m.Scrap, p.Mass.Bought, p.Mass.Scrap = m.Bought-1000, m.Scrap-1000, p.Mass.Bought-1000, p.Mass.Scrap-1000
	}},
	{"panels heavier", func(p *plan.Plan) {
		m := &skin(p).Mass
		m.Pieces, m.Scrap, p.Mass.Pieces, p.Mass.Scrap = m.Pieces+1000, m.Scrap-1000, p.Mass.Pieces+1000, p.Mass.Scrap-1000
		m.Allowed, p.Mass.Allowed = m.Allowed+1000, p.Mass.Allowed+1000
	}},
	{"scrap off by a milligram", func(p *plan.Plan) { tube(p).Mass.Scrap++; p.Mass.Scrap++ }},
	{"allowance off by a milligram", func(p *plan.Plan) { tube(p).Mass.Allowed++; p.Mass.Allowed++ }},
	{"total mass off by a milligram", func(p *plan.Plan) { p.Mass.Pieces++ }},
	{"more used", func(p *plan.Plan) { s := &tube(p).Shares; s.Used, s.Scrap = s.Used+1, s.Scrap-1 }},
	{"more kept", func(p *plan.Plan) { s := &skin(p).Shares; s.Offcuts, s.Scrap = s.Offcuts+1, s.Scrap-1 }},
	{"shares short of the whole", func(p *plan.Plan) { tube(p).Shares.Scrap-- }},
}

func TestMutations(t *testing.T) {
	j := hide()
	allRefused(t, j, hidePlan, mutations)
}

// allRefused spoils a plan in each way and seals it again; each must be found.
func allRefused(t *testing.T, j *job.Job, made func(testing.TB) *plan.Plan, all []mutation) {
	t.Helper()
	for _, m := range all {
		p := made(t)
		m.spoil(p)
		seal(t, p)
		refused(t, m.name, j, p)
	}
}

func TestDigestAndNumber(t *testing.T) {
	j := hide()
	p := hidePlan(t)
	p.Options.Seed++
	refused(t, "changed and not sealed", j, p)
	p = hidePlan(t)
	p.Number = "00000000"
	refused(t, "another number", j, p)
}

// TestEveryFigure changes every single value in the plan's JSON, one at a
// time, and seals it again. All must be found but those named here, which are
// free to differ.
func TestEveryFigure(t *testing.T) {
	free := map[string]bool{
		"options/effort": true, "options/seed": true, // any answer may come of any search
		"materials/0/goals/patterns/bound": true, "materials/0/goals/offcut/bound": true, // open, on the right side
		"materials/1/goals/offcut/bound": true,
		"materials/0/bar-proof/scale":    true, // a scale one higher only weakens the proof
		"materials/0/bar-proof/bound":    true, // a lower claim is also true
		// A value one higher still is a proof where the bar's contents leave room.
		"materials/0/bar-proof/pieces/0/value": true, "materials/0/bar-proof/pieces/1/value": true, "materials/0/bar-proof/pieces/2/value": true,
	}
	everyFigureRefused(t, hide(), hidePlan(t), func(path string) bool { return free[path] })
}

// everyFigureRefused changes every value of a plan but those that are free to
// differ, and tells how many.
func everyFigureRefused(t *testing.T, j *job.Job, made *plan.Plan, free func(path string) bool) (seen int) {
	t.Helper()
	encoded, err := json.Marshal(made)
	if err != nil {
		t.Fatal(err)
	}
	for _, up := range []bool{false, true} {
		for n := 0; ; n++ {
			var tree any
			if err := json.Unmarshal(encoded, &tree); err != nil {
				t.Fatal(err)
			}
			e := editor{target: n, up: up}
			tree = e.visit(tree, "")
			if e.path == "" {
				break
			}
			b, err := json.Marshal(tree)
			if err != nil {
				t.Fatal(err)
			}
			p := new(plan.Plan)
			if e.null || json.Unmarshal(b, p) != nil || free(e.path) || e.path == "digest" || e.path == "number" {
				continue
			}
			seen++
			seal(t, p)
			refused(t, e.path, j, p)
		}
	}
	return seen
}

// editor changes the target-th value of a JSON tree, in a fixed order.
type editor struct {
	target, seen int
	up           bool
	path         string
	null         bool // the target holds nothing that could be changed
}

func (e *editor) visit(v any, path string) any {
	join := func(k string) string {
		if path == "" {
			return k
		}
		return path + "/" + k
	}
	switch v := v.(type) {
	case map[string]any:
		for _, k := range sortedKeys(v) {
			v[k] = e.visit(v[k], join(k))
		}
		return v
	case []any:
		for i := range v {
			v[i] = e.visit(v[i], join(fmt.Sprint(i)))
		}
		return v
	}
	e.seen++
	if e.seen-1 != e.target {
		return v
	}
	e.path = path
	step := -1.0
	if e.up {
		step = 1
	}
	switch v := v.(type) {
	case float64:
		return v + step
	case bool:
		return !v
	case string:
		// An amount in cents or milligrams changes in a digit well above any
		// tolerance; a word by a letter.
		var f float64
		if n, _ := fmt.Sscanf(v, "%f", &f); n == 1 && len(v) > 3 {
			if v[len(v)-3] == '.' {
				return fmt.Sprintf("%.2f", f+step/100)
			}
			return fmt.Sprintf("%.6f", f+step/100)
		}
		return v + "x"
	}
	e.null = true
	return v
}

// TestMovedByOneUnit moves any piece of any bar by a little.
func TestMovedByOneUnit(t *testing.T) {
	j, clean := hide(), hidePlan(t)
	rapid.Check(t, func(r *rapid.T) {
		p := clone(t, clean)
		l := tube(p).Layouts[rapid.IntRange(0, 1).Draw(r, "bar")]
		i := rapid.IntRange(0, len(l.Pieces)-1).Draw(r, "piece")
		by := rapid.SampledFrom([]int{-1000, -1, 1, 1000}).Draw(r, "by")
		l.Pieces[i].At += length.Length(by)
		seal(t, p)
		if f, _ := Plan(j, p); len(f) == 0 {
			r.Fatalf("piece %d moved by %d units was not found", i, by)
		}
	})
}
