package nest1d

import (
	"context"
	"math/rand/v2"
	"testing"
)

// The knapsack of two levels against all contents in all orders: with one kerf it
// is exact, with several it is a bound, and it stays one when it gives up.
func TestSplitAgainstBruteForce(t *testing.T) {
	tried, open := 0, 0
	for seed := range 3000 {
		r := rand.New(rand.NewPCG(uint64(seed), 26))
		kinds := 1 + seed%2*2
		p := smallProblem(r, kinds)
		divide(r, &p)
		m := newModel(&p)
		need := m.demands()
		value := make([]int64, len(need))
		for i := range value {
			value[i] = anyOf(r, m.length(i), r.Int64N(30), 0)
		}
		for b := range m.bars {
			k := &m.bars[b]
			if k.sections == nil {
				continue
			}
			tried++
			each := make([]int64, len(p.Pieces))
			for i, it := range m.items {
				for _, q := range it.pieces {
					each[q] = value[i]
				}
			}
			var all []int64
			for _, q := range p.Pieces {
				all = append(all, q.Demand)
			}
			want := worthiest(&p, k.stock, each, all)
			for _, floor := range []int64{0, want / 2, want - 1, want} {
				if floor < 0 {
					continue
				}
				s := splitter{sections: k.sections, value: value, need: need, floor: floor, states: 1000, most: splitNodes}
				upper, exact := s.solve()
				if upper < want {
					t.Fatalf("seed %d: at most %d above %d, a content is worth %d: %+v", seed, upper, floor, want, p)
				}
				if !exact {
					open++
					continue
				}
				if kinds == 1 && upper > max(floor, want) {
					t.Errorf("seed %d: at most %d above %d, the best is worth %d: %+v", seed, upper, floor, want, p)
				}
				if found := len(s.found) > 0; kinds == 1 && found != (want > floor) {
					t.Errorf("seed %d: found %v above %d, the best is worth %d", seed, s.found, floor, want)
				}
				for _, counts := range s.found {
					if kinds == 1 && !m.fits(b, counts) {
						t.Errorf("seed %d: found %v, which does not fit %+v", seed, counts, p)
					}
				}
			}
			lazy := splitter{sections: k.sections, value: value, need: need, states: 1, most: r.IntN(2)}
			if upper, _ := lazy.solve(); upper < want {
				t.Errorf("seed %d: at most %d without effort, a content is worth %d", seed, upper, want)
			}
		}
	}
	t.Logf("%d bars tried, %d searches gave up", tried, open)
	if tried < 1000 || open > tried/100 {
		t.Error("too few tried, or too many given up")
	}
}

// Bars of more parts than are looked at one by one: each of the 14 parts holds
// one piece and a half, and the kerfs are as wide as the first cuts.
func TestManyParts(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 100, Demand: 28}},
		Stocks: []Stock{{Length: 14*150 + 13*2, Kerf: []int64{2}, Supply: Unlimited, Price: 7, Part: 150, Parts: 14, PartKerf: 2}},
	}
	res, err := Solve(context.Background(), p, Options{})
	if err != nil {
		t.Fatal(err)
	}
	verify(t, &p, &res)
	if res.Cost.Value != 14 || res.Cost.Bound > 14 {
		t.Errorf("cost %+v, two bars cost 14", res.Cost)
	}
}
