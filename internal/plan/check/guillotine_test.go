package check

import (
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// sawyer tries every edge-to-edge cut at every whole position, with a kerf.
type sawyer struct {
	panels []valued // true sizes
	kerf   int64
	exact  bool
	known  map[[4]int64]int64
}

// best is what a rectangle holds that is parted along the axis next, with so
// many stages left.
func (s *sawyer) best(r room, axis int, left int) int64 {
	if r.x <= 0 || r.y <= 0 {
		return 0
	}
	key := [4]int64{r.x, r.y, int64(axis), int64(left)}
	v, known := s.known[key]
	if known {
		return v
	}
	for _, p := range s.panels {
		rest := room{r.x - p.x, r.y - p.y}
		if rest == (room{}) || rest.along(1-axis) == 0 && rest.along(axis) > 0 && (left > 0 || !s.exact) {
			v = max(v, p.value)
		}
	}
	if left > 0 {
		v = max(v, s.best(r, 1-axis, left-1)) // a stage without a cut
		for at := int64(1); at < r.along(axis); at++ {
			part, rest := room{at, r.y}, room{r.x - at - s.kerf, r.y}
			if axis == 1 {
				part, rest = room{r.x, at}, room{r.x, r.y - at - s.kerf}
			}
			v = max(v, s.best(part, 1-axis, left-1)+s.best(rest, axis, left))
		}
	}
	s.known[key] = v
	return v
}

// TestGuillotine: the most that a sheet holds, against all cuts.
func TestGuillotine(t *testing.T) {
	worthy := 0
	often(t, 20, func(r *rapid.T) {
		kerf := rapid.Int64Range(0, 2).Draw(r, "kerf")
		sheet := room{rapid.Int64Range(1, 12).Draw(r, "x"), rapid.Int64Range(1, 10).Draw(r, "y")}
		stages := rapid.IntRange(0, 3).Draw(r, "stages")
		s := &sawyer{kerf: kerf, exact: rapid.Bool().Draw(r, "exact"), known: map[[4]int64]int64{}}
		effort := int64(layoutEffort)
		g := &guillotine{whole: room{sheet.x + kerf, sheet.y + kerf}, stages: stages, exact: s.exact, effort: &effort}
		g.may = rapid.SampledFrom([][2]bool{{true, true}, {true, true}, {true, false}, {false, true}}).Draw(r, "first")
		for range rapid.IntRange(0, 4).Draw(r, "panels") {
			p := valued{room{rapid.Int64Range(1, 9).Draw(r, "l"), rapid.Int64Range(1, 9).Draw(r, "w")}, rapid.Int64Range(1, 40).Draw(r, "value")}
			if p.x <= sheet.x && p.y <= sheet.y {
				s.panels = append(s.panels, p)
				g.panels = append(g.panels, valued{room{p.x + kerf, p.y + kerf}, p.value})
			}
		}
		if stages == 0 {
			stages, s.exact = 24, false // more than there are cuts
		}
		want := int64(0)
		for axis, may := range g.may {
			if may {
				want = max(want, s.best(sheet, axis, stages))
			}
		}
		if got, made := g.most(); made != yes || got != want {
			r.Fatalf("%v holds %d (%d), by all cuts %d", sheet, got, made, want)
		}
		if want > 80 {
			worthy++
		}
	})
	if worthy < 100 {
		t.Errorf("only %d sheets hold much", worthy)
	}
}

// TestGuillotineGivesUp: what is too much is not known.
func TestGuillotineGivesUp(t *testing.T) {
	effort := int64(layoutEffort)
	for name, g := range map[string]*guillotine{
		"a length too fine": {whole: room{1 << 30, 10}, panels: []valued{{room{1, 10}, 1}}, effort: &effort},
		"no length":         {whole: room{10, 10}, panels: []valued{{room{0, 10}, 1}}, effort: &effort},
		"values too large":  {whole: room{10, 10}, panels: []valued{{room{1, 1}, 1 << 60}}, effort: &effort},
		"no effort":         {whole: room{10, 10}, panels: []valued{{room{1, 1}, 1}}, effort: new(int64)},
	} {
		if _, made := g.most(); made != unknown {
			t.Errorf("%s: answered %d", name, made)
		}
	}
}

// pinwheels is 40 panels of 3 x 2, of which a sheet of 5 x 5 holds four only
// around a hole in its middle: by edge-to-edge cuts it holds three. 14 sheets are
// needed; the areas, 240 / 25, say ten.
func pinwheels() (*job.Job, *material) {
	j := hide()
	j.Pieces = nil
	j.Materials[1].KeepLength, j.Materials[1].KeepWidth = 0, 0
	j.Processes[1] = job.Process{Key: "shear", Kind: job.Shear}
	j.Panels = []job.Panel{{Mark: "S1", Material: 1, Length: 300 * mm, Width: 200 * mm, Turn: true, Quantity: 40}}
	j.Offers[2].Length, j.Offers[2].Width, j.Offers[3].Stock = 500*mm, 500*mm, 0
	m := &material{index: 1, job: j.Materials[1], process: j.Processes[1], offers: []int{2, 3}, plan: &plan.Material{
		Goals: plan.Goals{Cost: plan.MoneyGoal{Value: 14 * 5800, Bound: 14 * 5800}, Count: plan.CountGoal{Value: 14, Bound: 14}},
		SheetProof: &plan.SheetProof{
			Kinds: []plan.SheetWorth{{Offer: 2, Terms: []plan.ProductTerm{{
				X: plan.DualFunction{Family: "identity"}, Y: plan.DualFunction{Family: "identity"},
			}}}},
			Layouts: &plan.LayoutProof{
				Values: []plan.PanelValue{{Mark: "S1", Value: 20}}, Need: 800, Bound: 14 * 5800,
				Kinds: []plan.LayoutWorth{{Offer: 2, Worth: 60}},
			},
		},
	}}
	return j, m
}

func TestLayoutProof(t *testing.T) {
	check := func(spoil func(j *job.Job, p *plan.LayoutProof)) *audit {
		j, m := pinwheels()
		spoil(j, m.plan.SheetProof.Layouts)
		a := &audit{job: j}
		a.bound(m)
		return a
	}
	for _, c := range []struct {
		name  string
		alter func(j *job.Job, p *plan.LayoutProof)
	}{
		{"the proof by hand", func(*job.Job, *plan.LayoutProof) {}},
		{"more worth, yet enough", func(_ *job.Job, p *plan.LayoutProof) { p.Kinds[0].Worth = 61 }},
		{"a unit that loses nothing", func(_ *job.Job, p *plan.LayoutProof) { p.Kinds[0].Unit = 100 * mm }},
		{"a unit of which the sheet has some over", func(_ *job.Job, p *plan.LayoutProof) { p.Kinds[0].Unit = 99 * mm }},
		{"a sheet that is larger to no use", func(j *job.Job, _ *plan.LayoutProof) { j.Offers[2].Length = 550 * mm }},
	} {
		if a := check(c.alter); len(a.findings)+len(a.notes) > 0 {
			t.Errorf("%s: %v %v", c.name, a.findings, a.notes)
		}
	}
	for _, c := range []struct {
		name  string
		spoil func(j *job.Job, p *plan.LayoutProof)
	}{
		{"more needed", func(_ *job.Job, p *plan.LayoutProof) { p.Need++ }},
		{"more claimed", func(_ *job.Job, p *plan.LayoutProof) { p.Bound++ }},
		{"less worth than a sheet holds", func(_ *job.Job, p *plan.LayoutProof) { p.Kinds[0].Worth = 59 }},
		{"worth too much to prove it", func(_ *job.Job, p *plan.LayoutProof) { p.Kinds[0].Worth = 62 }},
		{"a higher value", func(_ *job.Job, p *plan.LayoutProof) { p.Values[0].Value, p.Need = 21, 840 }},
		{"a value below 0", func(_ *job.Job, p *plan.LayoutProof) { p.Values[0].Value, p.Need = -20, -800 }},
		{"a panel valued twice", func(_ *job.Job, p *plan.LayoutProof) { p.Values = append(p.Values, p.Values[0]) }},
		{"a panel of no job", func(_ *job.Job, p *plan.LayoutProof) { p.Values[0].Mark = "S9" }},
		{"a charge of all copies that is not in the worth", func(_ *job.Job, p *plan.LayoutProof) {
			p.Kinds[0].Charges = []plan.PanelValue{{Mark: "S1", Value: 1}}
		}},
		{"a charge below 0", func(_ *job.Job, p *plan.LayoutProof) {
			p.Kinds[0].Charges = []plan.PanelValue{{Mark: "S1", Value: -1}}
		}},
		{"an offer of bars", func(_ *job.Job, p *plan.LayoutProof) { p.Kinds[0].Offer = 0 }},
		{"an offer twice", func(_ *job.Job, p *plan.LayoutProof) { p.Kinds = append(p.Kinds, p.Kinds[0]) }},
		{"an offer passed over", func(j *job.Job, _ *plan.LayoutProof) { j.Offers[3].Stock = 1 }},
		{"a unit too coarse", func(_ *job.Job, p *plan.LayoutProof) { p.Kinds[0].Unit = 160 * mm }},
		{"a sheet that holds four", func(j *job.Job, _ *plan.LayoutProof) { j.Offers[2].Length = 600 * mm }},
	} {
		if a := check(c.spoil); len(a.findings) == 0 {
			t.Errorf("%s: not found", c.name)
		}
	}
	// A panel that is no unit long could be held without end: not known.
	a := check(func(_ *job.Job, p *plan.LayoutProof) { p.Kinds[0].Unit = 250 * mm })
	if len(a.findings) > 0 || len(a.notes) == 0 {
		t.Errorf("a unit above a panel's size: %v %v", a.findings, a.notes)
	}
}

// drawLayoutProof makes up values and charges, and the least worths that the
// check believes.
func drawLayoutProof(r *rapid.T, a *audit, m *material) *plan.LayoutProof {
	p := &plan.LayoutProof{}
	values := make([]int64, len(a.job.Panels))
	for i, panel := range a.job.Panels {
		values[i] = rapid.Int64Range(0, 9).Draw(r, "value")
		p.Values = append(p.Values, plan.PanelValue{Mark: panel.Mark, Value: values[i]})
		p.Need += values[i] * panel.Quantity
	}
	for _, o := range m.offers {
		k := plan.LayoutWorth{Offer: o}
		for i, panel := range a.job.Panels {
			k.Charges = append(k.Charges, plan.PanelValue{Mark: panel.Mark, Value: rapid.Int64Range(0, values[i]).Draw(r, "charge")})
		}
		effort := int64(layoutEffort)
		for (&audit{job: a.job}).layoutWorth(m, k, values, "", &effort) != yes {
			if k.Worth++; k.Worth > 10_000 {
				r.Fatal(fmt.Sprintf("no worth is enough for offer %d", o))
			}
		}
		p.Kinds = append(p.Kinds, k)
	}
	return p
}
