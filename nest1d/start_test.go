package nest1d

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// TestStart: whatever layouts a run starts with, those of the same problem, of one
// a little changed or any at all, the least cost is found and proved as without
// them, and the same each time.
func TestStart(t *testing.T) {
	for seed := range full(400, 50_000) {
		r := rand.New(rand.NewPCG(uint64(seed), 5))
		p := smallProblem(r, 1+r.IntN(2))
		least, _ := bruteCost(&p)
		like := p
		like.Pieces, like.Stocks = slices.Clone(p.Pieces), slices.Clone(p.Stocks)
		like.Pieces[r.IntN(len(p.Pieces))].Demand += r.Int64N(3)
		k := r.IntN(len(p.Stocks))
		like.Stocks[k].Length += r.Int64N(11) - min(5, like.Stocks[k].Length-1)
		start := mustSolve(t, like, Options{Effort: Quick}).Layouts
		for range r.IntN(3) {
			start = append(start, Layout{Stock: r.IntN(5) - 1, Count: r.Int64N(4), Places: []Place{
				{Piece: r.IntN(len(p.Pieces)+2) - 1}, {Piece: r.IntN(len(p.Pieces))}}})
		}
		res := mustSolve(t, p, Options{Start: start})
		if least >= noPlan {
			if res.Outcome == Planned {
				t.Fatalf("seed %d: planned the impossible", seed)
			}
			continue
		}
		verify(t, &p, &res)
		verifyCertificate(t, &p, &res)
		if res.Outcome != Planned || res.Cost.Value != least || res.Cost.Status != Proven {
			t.Fatalf("seed %d: %v, cost %+v, brute force %d\n%+v\n%+v", seed, res.Outcome, res.Cost, least, p, start)
		}
		if again := mustSolve(t, p, Options{Start: start}); !slices.EqualFunc(again.Layouts, res.Layouts, func(a, b Layout) bool {
			return a.Stock == b.Stock && a.Count == b.Count && slices.Equal(a.Places, b.Places)
		}) {
			t.Fatalf("seed %d: another plan the second time", seed)
		}
	}
}

// TestStartKeepsPlan: a run that may hardly search gives back the plan it is given,
// or a better one.
func TestStartKeepsPlan(t *testing.T) {
	kept := 0
	for seed := range 60 {
		r := rand.New(rand.NewPCG(uint64(seed), 6))
		p := Problem{Stocks: []Stock{{Length: 1000, Kerf: []int64{3}, Supply: Unlimited, Price: 10}, {Length: 620, Kerf: []int64{3}, Supply: 9, Price: 6}}}
		for range 25 {
			p.Pieces = append(p.Pieces, Piece{Length: 80 + r.Int64N(400), Demand: 1 + r.Int64N(5)})
		}
		good := mustSolve(t, p, Options{})
		x := newRun(context.Background(), &p, Options{Start: good.Layouts})
		x.start()
		if x.best == nil || x.value > good.Cost.Value {
			t.Fatalf("seed %d: the start is not the plan given", seed)
		}
		x = newRun(context.Background(), &p, Options{})
		x.construct()
		if x.value > good.Cost.Value {
			kept++
		}
	}
	if kept == 0 {
		t.Error("first plans were always as good: the test tests nothing")
	}
}
