package nest2d

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// decideAll decides with no end to the work.
func decideAll(t testing.TB, p Problem, l limits) (*draft, verdict) {
	t.Helper()
	m, err := newModel(p)
	if err != nil {
		t.Fatal(err)
	}
	work := int64(math.MaxInt64)
	d, v := m.decide(context.Background(), m.certificates(100_000), l, &work)
	if v == undecided {
		t.Fatalf("undecided\n%+v", p)
	}
	if v == planned {
		if err := Validate(p, m.layouts(d.boards)); err != nil {
			t.Fatalf("%v\n%+v", err, p)
		}
		if d.cost > l.cost || len(d.boards) > l.boards {
			t.Fatalf("%d sheets for %d, limits %+v\n%+v", len(d.boards), d.cost, l, p)
		}
	}
	return d, v
}

// TestDecideBrute puts the limits at the optimum by brute force, where a plan
// must be found, and just below, where there is none.
func TestDecideBrute(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	tight := 0
	for n := range 500 {
		p := randomProblem(r, 1+r.IntN(6))
		cost, sheets := bruteForce(p)
		if cost < 0 {
			if _, v := decideAll(t, p, limits{cost: noBudget, boards: anyNumber}); v != excluded {
				t.Fatalf("problem %d: planned, but no plan exists\n%+v", n, p)
			}
			continue
		}
		if _, v := decideAll(t, p, limits{cost: cost, boards: sheets}); v != planned {
			t.Fatalf("problem %d: excluded, but there is a plan with %d sheets for %d\n%+v", n, sheets, cost, p)
		}
		if cost > 0 {
			if _, v := decideAll(t, p, limits{cost: cost - 1, boards: anyNumber}); v != excluded {
				t.Fatalf("problem %d: planned for less than %d\n%+v", n, cost, p)
			}
		}
		if sheets > 1 {
			if _, v := decideAll(t, p, limits{cost: cost, boards: sheets - 1}); v != excluded {
				t.Fatalf("problem %d: planned with less than %d sheets\n%+v", n, sheets, p)
			}
			tight++
		}
	}
	if tight < 100 {
		t.Errorf("only %d problems have more than one sheet", tight)
	}
}

// cutUp cuts a rectangle along an axis and its parts across, at random, into
// panels; one in a few is waste. Stages counts down, so that a tree of so many
// stages results.
func cutUp(t *rapid.T, p *Problem, s size, axis, stages int, kerf int64) {
	if stages == 0 || s[axis] < 40 || rapid.IntRange(0, 3).Draw(t, "whole") == 0 {
		if rapid.IntRange(0, 9).Draw(t, "waste") > 0 && len(p.Panels) < 12 {
			a := Panel{s[axisX], s[axisY], 1, false}
			if rapid.Bool().Draw(t, "turn") {
				a = Panel{s[axisY], s[axisX], 1, true}
			}
			p.Panels = append(p.Panels, a)
		}
		return
	}
	for left := s[axis]; left > 0; {
		part := s
		part[axis] = rapid.Int64Range(10, max(10, left/2)).Draw(t, "part")
		if left-part[axis] < 20+kerf || rapid.IntRange(0, 3).Draw(t, "rest") == 0 {
			part[axis] = left
		}
		cutUp(t, p, part, 1-axis, stages-1, kerf)
		left -= part[axis] + kerf
	}
}

// TestDecideCutUp cuts up as many sheets as there are and asks for the parts:
// whatever the search leaves out, it may not exclude this plan.
func TestDecideCutUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		axis := rapid.IntRange(0, 1).Draw(t, "axis")
		stages := rapid.IntRange(1, 4).Draw(t, "stages")
		p := Problem{Stages: stages, TrimCut: rapid.Bool().Draw(t, "trim"), FirstCut: cutOf(axis)}
		if rapid.Bool().Draw(t, "any number") {
			p.Stages = 0
		}
		if rapid.Bool().Draw(t, "any direction") {
			p.FirstCut = AnyDirection
		}
		cost := int64(0)
		for range rapid.IntRange(1, 3).Draw(t, "sheets") {
			s := Sheet{
				Length: rapid.Int64Range(60, 200).Draw(t, "L"), Width: rapid.Int64Range(60, 200).Draw(t, "W"),
				Kerf: rapid.Int64Range(0, 3).Draw(t, "kerf"), Supply: 1, Price: rapid.Int64Range(0, 50).Draw(t, "price"),
			}
			p.Sheets = append(p.Sheets, s)
			cost += s.Price
			cutUp(t, &p, size{s.Length, s.Width}, axis, stages, s.Kerf)
		}
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		work := int64(2_000_000)
		d, v := m.decide(context.Background(), m.certificates(100_000), limits{cost: cost, boards: len(p.Sheets)}, &work)
		if v == excluded {
			t.Fatalf("excluded\n%+v", p)
		}
		if v == planned {
			if err := Validate(p, m.layouts(d.boards)); err != nil {
				t.Fatal(err)
			}
		}
	})
}

// TestFewSheets asks for panels on too few sheets, of which area and functions do not say that they are too many.
func TestFewSheets(t *testing.T) {
	for _, c := range []struct {
		name    string
		problem Problem
		sheets  int64
	}{
		// Becker c. 2022, see TestPublished.
		{"C1-P2", oneKind(20, 20, false, c1p2...), 2},
		// By hand: four 3 × 2 lie in a 5 × 5 as a pinwheel round a hole only, so
		// cuts from edge to edge leave three on a sheet.
		{"pinwheels", oneKind(5, 5, true, [3]int64{3, 2, 8}), 3},
	} {
		p := c.problem
		p.Sheets[0].Supply = c.sheets - 1
		r := mustSolve(t, p, Options{Effort: Quick})
		if r.Outcome != Impossible || !r.Certificate.Enumerated || r.Certificate.Bound < 0 {
			t.Errorf("%s on %d sheets: %+v", c.name, c.sheets-1, r)
		}
		p.Sheets[0].Supply = c.sheets
		r = mustSolve(t, p, Options{Effort: Quick, AnyPlan: true})
		if r.Outcome != Planned || r.Sheets.Value > c.sheets || r.Sheets.Status != NotSought {
			t.Errorf("%s on %d sheets: %+v", c.name, c.sheets, r)
		}
	}
}

// TestSets compares packed sets with plain counts.
func TestSets(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := Problem{}
		for range rapid.IntRange(1, 12).Draw(t, "panels") {
			p.Panels = append(p.Panels, Panel{rapid.Int64Range(1, 50).Draw(t, "l"), 10, rapid.Int64Range(0, 9).Draw(t, "d"), false})
		}
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		pack, ok := m.pack()
		if !ok {
			t.Fatal("12 panels of 9 copies take 60 bits")
		}
		draw := func(name string) (s set, counts []int64) {
			for d, panel := range pack.panels {
				n := rapid.Int64Range(0, p.Panels[panel].Demand).Draw(t, name)
				counts = append(counts, n)
				s += set(n) * pack.one[d]
			}
			return s, counts
		}
		a, as := draw("a")
		b, bs := draw("b")
		all, alls := draw("all")
		within, sumWithin, first := true, true, -1
		for d := range pack.panels {
			within = within && as[d] <= alls[d]
			sumWithin = sumWithin && as[d]+bs[d] <= p.Panels[pack.panels[d]].Demand
			if first < 0 && as[d] > 0 {
				first = d
			}
		}
		if pack.within(a, all) != within || pack.within(a+b, pack.full) != sumWithin {
			t.Fatalf("%d and %d within %d: %v %v", as, bs, alls, pack.within(a, all), pack.within(a+b, pack.full))
		}
		if a != 0 && pack.first(a) != first {
			t.Fatalf("first of %d: %d", as, pack.first(a))
		}
	})
}
