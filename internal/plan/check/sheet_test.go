package check

import (
	"fmt"
	"math"
	"testing"

	"github.com/peterstace/simplefeatures/geom"
	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// TestApart asks a geometry library for a second opinion: panels lie too close
// when the rectangles grown by a kerf to the right and above overlap.
func TestApart(t *testing.T) {
	met := map[bool]int{}
	rapid.Check(t, func(r *rapid.T) {
		kerf := length.Length(rapid.IntRange(0, 3).Draw(r, "kerf"))
		var placed []rect
		var l plan.Layout
		for i := range rapid.IntRange(1, 8).Draw(r, "panels") {
			placed = append(placed, rect{
				length.Length(rapid.IntRange(0, 30).Draw(r, "x")), length.Length(rapid.IntRange(0, 30).Draw(r, "y")),
				length.Length(rapid.IntRange(1, 9).Draw(r, "length")), length.Length(rapid.IntRange(1, 9).Draw(r, "width")),
			})
			l.Panels = append(l.Panels, plan.Panel{Mark: "S", Copy: i + 1})
		}
		close := false
		for i := range placed {
			for k := range i {
				area, err := geom.Intersection(grown(placed[i], kerf), grown(placed[k], kerf))
				if err != nil {
					r.Fatal(err)
				}
				close = close || area.Area() > 0.5
			}
		}
		met[close]++
		a := &audit{job: &job.Job{}}
		a.apart(&material{process: job.Process{Kerf: kerf}}, &l, placed, "sheet 1")
		if found := len(a.findings) > 0; found != close {
			r.Fatalf("kerf %d, %v: found %t, the library says %t", kerf, placed, found, close)
		}
	})
	if met[true] == 0 || met[false] == 0 {
		t.Errorf("only one kind of case was met: %v", met)
	}
}

func grown(r rect, kerf length.Length) geom.Geometry {
	x, y, right, top := float64(r.x), float64(r.y), float64(r.right()+kerf), float64(r.top()+kerf)
	ring := fmt.Sprintf("POLYGON((%g %g,%g %g,%g %g,%g %g,%g %g))", x, y, right, y, right, top, x, top, x, y)
	g, err := geom.UnmarshalWKT(ring)
	if err != nil {
		panic(err)
	}
	return g
}

// TestDualFeasible: for whole lengths up to a small sheet, no set of lengths
// that fits is worth more than the sheet.
func TestDualFeasible(t *testing.T) {
	for whole := int64(1); whole <= 14; whole++ {
		for _, fam := range []family{identity, threshold, rounding, steps} {
			for p := int64(0); p <= whole+1; p++ {
				f := feasible{fam, p}
				if !f.fits(whole) {
					continue
				}
				best := make([]int64, whole+1) // by length used
				for used := int64(1); used <= whole; used++ {
					best[used] = best[used-1]
					for x := int64(1); x <= used; x++ {
						best[used] = max(best[used], best[used-x]+f.at(x, whole))
					}
				}
				if best[whole] > f.at(whole, whole) || f.at(0, whole) != 0 {
					t.Errorf("%s %d on %d is not dual feasible: %d > %d", fam, p, whole, best[whole], f.at(whole, whole))
				}
			}
		}
	}
	if (feasible{"other", 1}).fits(10) || (feasible{threshold, 6}).fits(10) || (feasible{steps, 0}).fits(10) || (feasible{rounding, 0}).fits(10) {
		t.Error("a function that is none was accepted")
	}
}

// large is three panels larger than half a sheet both ways: three sheets are
// needed, though two have the area. With the threshold p = 1201 mm on 2500 mm
// and p = 551 mm on 1250 mm every panel takes a whole sheet.
func large() (*job.Job, *material) {
	j := hide()
	j.Pieces = nil
	j.Materials[1].KeepLength, j.Materials[1].KeepWidth = 0, 0
	j.Processes[1] = job.Process{Key: "shear", Kind: job.Shear}
	j.Panels = []job.Panel{{Mark: "S1", Material: 1, Length: 1300 * mm, Width: 700 * mm, Quantity: 12}}
	j.Offers[3].Stock = 0
	cut := plan.ProductTerm{
		X: plan.DualFunction{Family: "threshold", Parameter: int64(1201 * mm)},
		Y: plan.DualFunction{Family: "threshold", Parameter: int64(551 * mm)},
	}
	m := &material{index: 1, job: j.Materials[1], process: j.Processes[1], offers: []int{2, 3}, plan: &plan.Material{
		Goals: plan.Goals{Cost: plan.MoneyGoal{Value: 12 * 5800, Bound: 12 * 5800}, Count: plan.CountGoal{Value: 12, Bound: 12}},
		SheetProof: &plan.SheetProof{
			Need: 12, Bound: 12 * 5800,
			Kinds: []plan.SheetWorth{{Offer: 2, Worth: 1, Terms: []plan.ProductTerm{cut}}},
		},
	}}
	return j, m
}

func TestSheetProof(t *testing.T) {
	check := func(spoil func(j *job.Job, m *material)) *audit {
		j, m := large()
		spoil(j, m)
		a := &audit{job: j}
		a.bound(m)
		return a
	}
	if a := check(func(*job.Job, *material) {}); len(a.findings)+len(a.notes) > 0 {
		t.Errorf("the proof by hand: %v %v", a.findings, a.notes)
	}
	for _, c := range []struct {
		name  string
		spoil func(j *job.Job, m *material)
	}{
		{"no proof", func(_ *job.Job, m *material) { m.plan.SheetProof = nil }},
		{"more needed", func(_ *job.Job, m *material) { m.plan.SheetProof.Need++ }},
		{"more claimed", func(_ *job.Job, m *material) { m.plan.SheetProof.Bound++ }},
		{"panels that need not take a sheet", func(j *job.Job, _ *material) { j.Panels[0].Length = 1250 * mm }},
		{"a sheet worth more", func(_ *job.Job, m *material) { m.plan.SheetProof.Kinds[0].Worth = 3 }},
		{"a sheet worth less than nothing", func(_ *job.Job, m *material) { m.plan.SheetProof.Kinds[0].Worth = -1 }},
		{"a lower threshold", func(_ *job.Job, m *material) { m.plan.SheetProof.Kinds[0].Terms[0].X.Parameter = int64(1200 * mm) }},
		{"a threshold above half", func(_ *job.Job, m *material) { m.plan.SheetProof.Kinds[0].Terms[0].X.Parameter = int64(1300 * mm) }},
		{"an unknown function", func(_ *job.Job, m *material) { m.plan.SheetProof.Kinds[0].Terms[0].X.Family = "magic" }},
		{"no functions", func(_ *job.Job, m *material) { m.plan.SheetProof.Kinds[0].Terms = nil }},
		{"an offer of bars", func(_ *job.Job, m *material) { m.plan.SheetProof.Kinds[0].Offer = 0 }},
		{"an offer twice", func(_ *job.Job, m *material) {
			m.plan.SheetProof.Kinds = append(m.plan.SheetProof.Kinds, m.plan.SheetProof.Kinds[0])
		}},
		{"an offer passed over", func(j *job.Job, _ *material) { j.Offers[3].Stock = 1 }},
		{"a bar's proof", func(_ *job.Job, m *material) { m.plan.BarProof = &plan.BarProof{} }},
	} {
		if a := check(c.spoil); len(a.findings) == 0 {
			t.Errorf("%s: not found", c.name)
		}
	}
}

// cutter tries every guillotine cut at every whole position.
type cutter struct {
	panels []extent
	turn   []bool
	kerf   int64
	stages int
	exact  bool
	blade  int64
	known  map[string]bool
}

// cuts reports whether the set comes out of a rectangle whose next cuts run
// along the axis and are of the given stage, or which is one of the panels.
func (c *cutter) cuts(r extent, set, axis, stage int) bool {
	if set == 0 {
		return true
	}
	key := fmt.Sprint(r, set, axis, stage)
	can, known := c.known[key]
	if !known {
		can = c.tries(r, set, axis, stage)
		c.known[key] = can
	}
	return can
}

func (c *cutter) tries(r extent, set, axis, stage int) bool {
	single := set&(set-1) == 0
	if single {
		for i, p := range c.panels {
			if set == 1<<i && (r == p || c.turn[i] && r == (extent{p[1], p[0]})) {
				return true
			}
		}
	}
	if c.stages > 0 && stage > c.stages {
		// One trimming cut more, for a single panel.
		if c.exact || stage > c.stages+1 || !single {
			return false
		}
		for i, p := range c.panels {
			for _, q := range []extent{p, {p[1], p[0]}} {
				if set == 1<<i && (q == p || c.turn[i]) && q[1-axis] == r[1-axis] && q[axis] < r[axis] && r[1-axis] <= c.blade {
					return true
				}
			}
		}
		return false
	}
	return c.row(r, set, axis, stage)
}

// row cuts one part after the other off a rectangle, all in one stage.
func (c *cutter) row(r extent, set, axis, stage int) bool {
	if set == 0 || r[axis] <= 0 {
		return set == 0
	}
	for size := int64(1); size <= r[axis]; size++ {
		if size < r[axis] && r[1-axis] > c.blade {
			continue // no cut is so long
		}
		part, rest := r, r
		part[axis], rest[axis] = size, r[axis]-size-c.kerf
		for sub := set; sub > 0; sub = (sub - 1) & set {
			if c.cuts(part, sub, 1-axis, stage+1) && c.row(rest, set&^sub, axis, stage) {
				return true
			}
		}
	}
	return false
}

// TestFewSheets compares the least cost and number of sheets with brute force
// over all cuts on a coarse grid.
func TestFewSheets(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		kerf := rapid.Int64Range(0, 1).Draw(r, "kerf")
		j := hide()
		j.Pieces, j.Panels, j.Offers = nil, nil, nil
		p := &j.Processes[1]
		*p = job.Process{
			Kind: job.PanelSaw, Kerf: length.Length(kerf), TrimLeft: 1, TrimTop: 2,
			Stages: rapid.IntRange(0, 3).Draw(r, "stages"), Exact: rapid.Bool().Draw(r, "exact"),
			FirstCut: rapid.SampledFrom([]job.CutDirection{"", job.CutsAlongLength, job.CutsAlongWidth}).Draw(r, "first cut"),
			Blade:    length.Length(rapid.SampledFrom([]int{0, 0, 2, 3, 4, 5, 6}).Draw(r, "blade")),
		}
		c := &cutter{kerf: kerf, stages: p.Stages, exact: p.Exact, blade: int64(p.Blade), known: map[string]bool{}}
		if c.blade == 0 {
			c.blade = 100
		}
		if c.stages == 0 {
			c.stages = 8 // four panels need no more
		}
		for i := range rapid.IntRange(1, 4).Draw(r, "panels") {
			e := extent{rapid.Int64Range(1, 5).Draw(r, "l"), rapid.Int64Range(1, 5).Draw(r, "w")}
			turn := rapid.Bool().Draw(r, "turn")
			c.panels, c.turn = append(c.panels, e), append(c.turn, turn)
			j.Panels = append(j.Panels, job.Panel{
				Mark: fmt.Sprint(i), Material: 1, Length: length.Length(e[0]), Width: length.Length(e[1]), Turn: turn, Quantity: 1,
			})
		}
		m := &material{index: 1, job: j.Materials[1], process: *p, plan: &plan.Material{}}
		all := 1<<len(c.panels) - 1
		best := map[int]spend{0: {}}
		for k := range rapid.IntRange(1, 2).Draw(r, "offers") {
			l, w := rapid.Int64Range(2, 8).Draw(r, "sheet length"), rapid.Int64Range(2, 6).Draw(r, "sheet width")
			switch p.FirstCut { // what the reader lets pass
			case job.CutsAlongLength:
				l = min(l, c.blade)
			case job.CutsAlongWidth:
				w = min(w, c.blade)
			}
			o := job.Offer{
				Material: 1, Length: length.Length(l + 1), Width: length.Length(w + 2),
				Price: rapid.Int64Range(1, 9).Draw(r, "price"), Stock: rapid.SampledFrom([]int64{-1, 1, 2}).Draw(r, "stock"),
			}
			j.Offers, m.offers = append(j.Offers, o), append(m.offers, k)
			fits := map[int]bool{}
			for set := 1; set <= all; set++ {
				fits[set] = p.FirstCut != job.CutsAlongLength && c.cuts(extent{l, w}, set, 0, 1) ||
					p.FirstCut != job.CutsAlongWidth && c.cuts(extent{l, w}, set, 1, 1)
			}
			for n := int64(0); n < 4 && (o.Stock < 0 || n < o.Stock); n++ {
				next := map[int]spend{}
				for set, s := range best {
					if old, met := next[set]; !met || s.less(old) {
						next[set] = s
					}
					for sub := 1; sub <= all; sub++ {
						more := spend{s.cost + o.Price, s.sheets + 1}
						if old, met := next[set|sub]; fits[sub] && (!met || more.less(old)) {
							next[set|sub] = more
						}
					}
				}
				best = next
			}
		}
		want, possible := best[all]
		got, ok := (&audit{job: j}).leastSheets(m)
		if !ok || possible && got != want || !possible && got.cost < 1000 {
			r.Fatalf("%v, by brute force %v (%t)", got, want, possible)
		}
		if !possible {
			return
		}
		a := &audit{job: j}
		m.plan.Goals.Cost = plan.MoneyGoal{Value: plan.Money(want.cost + 1), Bound: plan.Money(want.cost + 1)}
		m.plan.SheetProof = drawSheetProof(r, a, m)
		m.plan.SheetProof.Layouts = drawLayoutProof(r, a, m)
		if a.bound(m); len(a.findings) == 0 {
			r.Fatalf("the least cost is %d, but more was believed by the proof %v", want.cost, m.plan.SheetProof)
		}
	})
}

// drawSheetProof makes up functions and worths for every offer.
func drawSheetProof(r *rapid.T, a *audit, m *material) *plan.SheetProof {
	p := &plan.SheetProof{}
	draw := func() plan.DualFunction {
		return plan.DualFunction{
			Family:    rapid.SampledFrom([]string{"identity", "threshold", "rounding", "steps"}).Draw(r, "family"),
			Parameter: rapid.Int64Range(1, 4).Draw(r, "parameter"),
		}
	}
	sheets := make([]sheetValue, len(m.offers))
	for i, o := range m.offers {
		w := plan.SheetWorth{Offer: o, Worth: rapid.Int64Range(1, 40).Draw(r, "worth")}
		sheets[i].worth = w.Worth
		for range rapid.IntRange(1, 2).Draw(r, "terms") {
			t := plan.ProductTerm{X: draw(), Y: draw()}
			w.Terms = append(w.Terms, t)
			sheets[i].products = append(sheets[i].products, product{
				feasible{family(t.X.Family), t.X.Parameter}, feasible{family(t.Y.Family), t.Y.Parameter},
			})
		}
		p.Kinds = append(p.Kinds, w)
	}
	if w, reason := a.valued(m, sheets); reason == "" {
		p.Need = w.wanted
	}
	return p
}

// TestPatternCutDifferently: two sheets of one pattern must be cut in the same
// order, because the order is drawn once for both.
func TestPatternCutDifferently(t *testing.T) {
	j := hide()
	for i := range j.Panels {
		j.Panels[i].Quantity *= 2
	}
	p := hidePlan(t)
	m := skin(p)
	m.Layouts = append(m.Layouts, skin(clone(t, p)).Layouts[0])
	second := &m.Layouts[1]
	second.Number = 2
	for i := range second.Panels {
		second.Panels[i].Copy += int(j.Panels[rowOf(second.Panels[i].Mark)].Quantity / 2)
	}
	a := &audit{job: j, plan: p}
	a.index()
	pair := a.pair(1, m)
	a.layouts(pair)
	a.patterns(pair)
	if len(a.findings) > 0 {
		t.Fatalf("two equal sheets: %v", a.findings)
	}
	// The waste of the first strip is parted once more.
	waste := second.Tree.Parts[2]
	waste.Cut, waste.Stage = plan.AlongWidth, 2
	left, right := *waste, *waste
	left.Cut, left.Stage, left.Length = "", 0, 100*mm
	right.Cut, right.Stage, right.X, right.Length = "", 0, waste.X+103*mm, waste.Length-103*mm
	waste.Parts = []*plan.Part{&left, &right}
	a.patterns(pair)
	if len(a.findings) != 1 {
		t.Errorf("cut differently: %v", a.findings)
	}
}

func rowOf(mark string) int { return int(mark[1] - '1') }

// TestStackedRest: beside a square of 5 two squares of 2 lie one above the
// other in a single part, which a search for rows alone once overlooked.
func TestStackedRest(t *testing.T) {
	five, two := []extent{{5, 5}}, []extent{{2, 2}}
	sheet := &trees{sheet: extent{8, 5}, poses: [][]extent{five, two, two}, line: math.MaxInt64, known: map[row][]extent{}}
	if !sheet.fits(7) {
		t.Error("a square of 5 and two of 2 fit on 8 x 5")
	}
	sheet.sheet, sheet.known = extent{8, 4}, map[row][]extent{}
	if sheet.fits(7) {
		t.Error("a square of 5 does not fit on 8 x 4")
	}
}
