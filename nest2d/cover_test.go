package nest2d

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestCoverBrute holds the inequality of a cover against brute force: whatever
// set of copies can be cut from one sheet, of any kind and with any supply,
// has values that add up to no more than its worth.
func TestCoverBrute(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	full, free := 0, 0
	for n := range 300 {
		p := randomProblem(r, 1+r.IntN(5))
		if n%3 == 0 {
			p.Sheets[0].Price, p.Sheets[0].Supply = 0, Unlimited
			free++
		}
		c, err := Cover(p, Quick)
		if err != nil {
			t.Fatal(err)
		}
		values := c.Values(p)
		var copies []int
		need := int64(0)
		for i, a := range p.Panels {
			need += a.Demand * values[i]
			for range a.Demand {
				copies = append(copies, i)
			}
		}
		if need != c.Need {
			t.Fatalf("problem %d: need %d, values add up to %d\n%+v", n, c.Need, need, p)
		}
		for k, s := range p.Sheets {
			b := &brute{p, s, copies, make(map[bruteState]bool)}
			for set := 1; set < 1<<len(copies); set++ {
				sum := int64(0)
				for i, panel := range copies {
					if set&(1<<i) != 0 {
						sum += values[panel]
					}
				}
				if !b.holds(s.Length-s.TrimLeft-s.TrimRight, s.Width-s.TrimBottom-s.TrimTop, set, p.FirstCut, 1) {
					continue
				}
				if sum > c.Kinds[k].Worth {
					t.Fatalf("problem %d: set %b of value %d is cut from sheet %d worth %d\n%+v", n, set, sum, k, c.Kinds[k].Worth, p)
				}
				if sum*100 > c.Kinds[k].Worth*99 && sum > 0 {
					full++
				}
			}
		}
	}
	if full < 100 {
		t.Errorf("only %d sets use up the worth of their sheet", full)
	}
}

// TestCoverPart buys with the plans of a part of the panels.
func TestCoverPart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		for k := range p.Sheets {
			p.Sheets[k].Supply = 0
		}
		c, err := Cover(p, Quick)
		if err != nil {
			t.Fatal(err)
		}
		values := c.Values(p)
		part := p
		part.Panels, part.Sheets = slices.Clone(p.Panels), slices.Clone(p.Sheets)
		need, bought := int64(0), int64(0)
		for i := range part.Panels {
			part.Panels[i].Demand = rapid.Int64Range(0, part.Panels[i].Demand).Draw(t, "part")
			need += part.Panels[i].Demand * values[i]
		}
		for k := range part.Sheets {
			part.Sheets[k].Supply = Unlimited
		}
		r, err := Solve(context.Background(), part, Options{Effort: Quick})
		if err != nil {
			t.Fatal(err)
		}
		for _, l := range r.Layouts {
			bought += l.Count * c.Kinds[l.Sheet].Worth
		}
		if r.Outcome == Planned && bought < need {
			t.Fatalf("panels of value %d are cut from sheets worth %d", need, bought)
		}
	})
}

// TestCover looks at single covers.
func TestCover(t *testing.T) {
	big := Sheet{Length: 200, Width: 100, Supply: 0, Price: 7}
	small := Sheet{Length: 100, Width: 100, Supply: 1, Price: 4}
	dust := Sheet{Length: 100, Width: 100, TrimLeft: 100, Supply: 3, Price: 1}
	p := Problem{
		Panels: []Panel{{100, 100, 3, false}, {150, 60, 2, false}, {300, 1, 1, false}, {100, 50, 0, false}},
		Sheets: []Sheet{big, small, dust},
	}
	t.Run("every kind has a worth", func(t *testing.T) {
		c, err := Cover(p, Normal)
		if err != nil || c.Kinds[0].Worth <= 0 || c.Kinds[1].Worth <= 0 || c.Kinds[2].Terms != nil {
			t.Fatalf("%v %+v", err, c)
		}
		// Two strips of 150 × 60 need a large sheet each, the squares half of one each.
		if v := c.Values(p); v[2] != 0 || v[0] <= 0 || v[1] <= 0 || c.Bound < 24 || c.Bound > 26 {
			t.Errorf("values %d, bound %d", v, c.Bound)
		}
	})
	t.Run("free sheets do for what fits them", func(t *testing.T) {
		q := p
		q.Sheets = slices.Clone(p.Sheets)
		q.Sheets[1].Price = 0
		c, err := Cover(q, Normal)
		if err != nil || c.Bound != 14 {
			t.Errorf("%v: bound %d, two large sheets cost 14", err, c.Bound)
		}
	})
	t.Run("nothing wanted, nothing offered", func(t *testing.T) {
		for _, q := range []Problem{{}, {Panels: p.Panels}, {Sheets: p.Sheets}} {
			if c, err := Cover(q, Normal); err != nil || c.Bound != 0 || len(c.Values(q)) != len(q.Panels) {
				t.Errorf("%v %+v", err, c)
			}
		}
	})
	t.Run("not its problem", func(t *testing.T) {
		c, _ := Cover(p, Normal)
		if v := c.Values(Problem{Panels: p.Panels, Sheets: p.Sheets[:1]}); v != nil {
			t.Errorf("%v", v)
		}
	})
	t.Run("errors", func(t *testing.T) {
		if _, err := Cover(Problem{Stages: -1}, Normal); err == nil {
			t.Error("no error")
		}
	})
}
