package nest1d

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// fewestPatterns is the least number of patterns of any plan that costs no more than
// most, by trying every plan; noPlan where there is none.
func fewestPatterns(p *Problem, most int64) int64 {
	f := &bruteForce{p: p, memo: map[string]int64{}, fits: map[string]bool{}}
	m := newModel(p)
	kind := func(k int) int {
		return slices.IndexFunc(m.bars, func(b bar) bool { return slices.Contains(b.stocks, k) })
	}
	name := func(k int, content []int64) string {
		merged := make([]int64, len(m.items))
		for i, it := range m.items {
			for _, q := range it.pieces {
				merged[i] += content[q]
			}
		}
		return fmt.Sprint(kind(k), merged)
	}
	var need, left []int64
	for _, q := range p.Pieces {
		need = append(need, q.Demand)
	}
	for _, s := range p.Stocks {
		left = append(left, s.Supply)
	}
	best := noPlan
	met := map[string]int{}
	var try func(money int64)
	try = func(money int64) {
		if int64(len(met)) >= best {
			return
		}
		first := slices.IndexFunc(need, func(n int64) bool { return n > 0 })
		if first < 0 {
			best = int64(len(met))
			return
		}
		for k := range p.Stocks {
			if left[k] == 0 || p.Stocks[k].Price > money {
				continue
			}
			content := make([]int64, len(need))
			content[first] = 1
			wanted := slices.Clone(need)
			f.extend(k, first, content, wanted, func() {
				n := name(k, content)
				taken := slices.Clone(content)
				for i := range need {
					need[i] -= taken[i]
				}
				if left[k] > 0 {
					left[k]--
				}
				if met[n]++; true {
					try(money - p.Stocks[k].Price)
				}
				if met[n]--; met[n] == 0 {
					delete(met, n)
				}
				if p.Stocks[k].Supply >= 0 {
					left[k]++
				}
				for i := range need {
					need[i] += taken[i]
				}
			})
		}
	}
	try(most)
	return best
}

// TestFewerPatterns: a plan with fewer patterns makes every piece, costs no more
// than it may, and no plan has fewer patterns than the bound says, as trying every
// plan tells. SAWBILL_FULL=1 makes it 50,000 problems.
func TestFewerPatterns(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 13))
	fewer, least, optimal, open := 0, 0, 0, 0
	for n := range full(1_000, 50_000) {
		p := smallProblem(random, 1)
		var total int64
		for _, q := range p.Pieces {
			total += q.Demand
		}
		if total > 6 {
			continue
		}
		res, err := Solve(context.Background(), p, Options{Effort: Quick, Seed: int64(n)})
		if err != nil || res.Outcome != Planned {
			continue
		}
		most := res.Cost.Value + random.Int64N(res.Cost.Value/2+2)
		layouts, g, err := FewerPatterns(context.Background(), p, res.Layouts, most, Options{Effort: Quick, Seed: int64(n)})
		if err != nil {
			t.Fatalf("%+v: %v", p, err)
		}
		truth := fewestPatterns(&p, most)
		if g.Bound > truth || g.Value < truth || (g.Status == Proven) != (g.Value == g.Bound) {
			t.Fatalf("%+v: %+v patterns for at most %d, and the fewest are %d", p, g, most, truth)
		}
		switch {
		case g.Value == truth && g.Bound == truth:
			least++
		case g.Value == truth:
			optimal++
		default:
			open++
		}
		if layouts == nil {
			if g.Value != res.Patterns.Value {
				t.Fatalf("%+v: none found, and %d patterns in place of %d", p, g.Value, res.Patterns.Value)
			}
			continue
		}
		fewer++
		if g.Value >= res.Patterns.Value {
			t.Fatalf("%+v: %d patterns in place of %d", p, g.Value, res.Patterns.Value)
		}
		traded(t, &p, layouts, most)
	}
	t.Logf("fewer patterns %d times; proven %d, best without proof %d, not best %d", fewer, least, optimal, open)
	if fewer == 0 || least == 0 {
		t.Error("the test tests nothing")
	}
}

func TestFewerPatternsRefuses(t *testing.T) {
	p := Problem{Stocks: []Stock{{Length: 10, Supply: Unlimited, Price: 1, Kerf: []int64{0}}}, Pieces: []Piece{{Length: 4, Demand: 2}}}
	for _, layouts := range [][]Layout{nil, {{Count: 1, Places: []Place{{}}}}, {{Count: 3, Places: []Place{{}}}}} {
		if _, _, err := FewerPatterns(context.Background(), p, layouts, 5, Options{}); err == nil {
			t.Errorf("%+v are taken for a plan", layouts)
		}
	}
	p.Fixed = []Layout{{Count: 1, Places: []Place{{}}}}
	if _, _, err := FewerPatterns(context.Background(), p, p.Fixed, 5, Options{}); err == nil {
		t.Error("fixed layouts are taken")
	}
}

// traded checks that layouts make every piece, from what there is, for no more than
// most, and counts their patterns.
func traded(t *testing.T, p *Problem, layouts []Layout, most int64) int {
	t.Helper()
	made, cost := make([]int64, len(p.Pieces)), int64(0)
	taken := make([]int64, len(p.Stocks))
	f := &bruteForce{p: p, memo: map[string]int64{}, fits: map[string]bool{}}
	for _, l := range layouts {
		content := make([]int64, len(p.Pieces))
		for _, place := range l.Places {
			content[place.Piece]++
			made[place.Piece] += l.Count
		}
		if !f.contentFits(l.Stock, content) {
			t.Fatalf("%+v: %+v does not fit", p, l)
		}
		cost += l.Count * p.Stocks[l.Stock].Price
		if taken[l.Stock] += l.Count; p.Stocks[l.Stock].Supply >= 0 && taken[l.Stock] > p.Stocks[l.Stock].Supply {
			t.Fatalf("%+v: %+v takes more than there is", p, layouts)
		}
	}
	for q, n := range made {
		if n != p.Pieces[q].Demand {
			t.Fatalf("%+v: piece %d is made %d times", p, q, n)
		}
	}
	if cost > most {
		t.Fatalf("%+v: costs %d, and %d may be spent", p, cost, most)
	}
	names := map[string]bool{}
	for _, l := range layouts {
		content := make([]int64, len(p.Pieces))
		for _, place := range l.Places {
			content[place.Piece]++
		}
		names[fmt.Sprint(l.Stock, content)] = true
	}
	return len(names)
}

// TestFewerPatternsTrades: with a few percent to give up, a third of the patterns goes.
func TestFewerPatternsTrades(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 7))
	var was, is int64
	for n := range 6 {
		p := Problem{Stocks: []Stock{
			{Length: 6000, TrimLeft: 10, TrimRight: 10, Supply: Unlimited, Price: 2140, Kerf: []int64{3}},
			{Length: 5000, TrimLeft: 10, TrimRight: 10, Supply: Unlimited, Price: 1850, Kerf: []int64{3}}}}
		for range 10 {
			p.Pieces = append(p.Pieces, Piece{Length: 300 + random.Int64N(2200), Demand: 10 + random.Int64N(20)})
		}
		res, err := Solve(context.Background(), p, Options{Effort: Quick, Seed: 1})
		if err != nil || res.Outcome != Planned {
			t.Fatal(err, res.Outcome)
		}
		before := res.Patterns.Value
		for _, percent := range []int64{0, 2, 5} {
			most := res.Cost.Value + res.Cost.Value*percent/100
			layouts, g, err := FewerPatterns(context.Background(), p, res.Layouts, most, Options{Effort: Quick, Seed: 1})
			if err != nil {
				t.Fatal(err)
			}
			if layouts != nil {
				if got := traded(t, &p, layouts, most); int64(got) != g.Value {
					t.Errorf("problem %d: %d patterns are given as %d", n, got, g.Value)
				}
			}
			t.Logf("problem %d, %d %%: %d patterns, before %d, at least %d", n, percent, g.Value, res.Patterns.Value, g.Bound)
			if g.Value > before {
				t.Errorf("problem %d: more patterns for more money", n)
			}
			before = g.Value
		}
		was, is = was+res.Patterns.Value, is+before
	}
	if 3*is > 2*was {
		t.Errorf("%d patterns in all in place of %d", is, was)
	}
}
