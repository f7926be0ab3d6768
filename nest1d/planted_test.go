package nest1d

import (
	"math/rand/v2"
	"testing"
)

// planted draws bars and cuts them up, so that a plan and its cost are known.
// Kinds of cut beyond the first make mitred ends.
func planted(r *rand.Rand, bars, kinds int) (p Problem, cost int64) {
	kerf := []int64{3.2 * mm, 3.4 * mm, 4.6 * mm}[:kinds]
	for range 1 + r.IntN(3) {
		s := Stock{Length: (3000 + r.Int64N(4500)) * mm, TrimLeft: r.Int64N(20) * mm, Kerf: kerf, Supply: Unlimited,
			Price: 1500 + r.Int64N(4000)}
		if r.IntN(2) == 0 {
			s.Tail = r.Int64N(100) * mm
		}
		p.Stocks = append(p.Stocks, s)
	}
	pieces := map[Piece]int{}
	used := make([]int64, len(p.Stocks))
	for range bars {
		k := r.IntN(len(p.Stocks))
		s := &p.Stocks[k]
		used[k]++
		cost += s.Price
		rest := s.Capacity()
		for rest > 300*mm {
			q := Piece{Length: min((200+r.Int64N(2500))*mm, rest-5*mm), Left: r.IntN(kinds), Right: r.IntN(kinds), Turn: r.IntN(2) == 0}
			rest -= q.Length + kerf[kinds-1] // the largest kerf: fits in any order
			if rest < 0 {
				break
			}
			if i, ok := pieces[q]; ok {
				p.Pieces[i].Demand++
				continue
			}
			pieces[q] = len(p.Pieces)
			q.Demand = 1
			p.Pieces = append(p.Pieces, q)
		}
	}
	for k := range p.Stocks {
		if r.IntN(3) == 0 {
			p.Stocks[k].Supply = used[k] + r.Int64N(3)
		}
	}
	return p, cost
}

// TestPlanted holds bounds against the cost of plans that are known to exist,
// on problems too large for brute force and at the scale of a workshop.
func TestPlanted(t *testing.T) {
	proven, reached := 0, 0
	const runs = 300
	for seed := range runs {
		r := rand.New(rand.NewPCG(uint64(seed), 31))
		p, cost := planted(r, 2+r.IntN(10), 1+seed%3)
		res := mustSolve(t, p, Options{Effort: Effort(seed % 2)}) // Normal and Quick
		verify(t, &p, &res)
		if res.Outcome == Impossible {
			t.Errorf("seed %d: said to be impossible, a plan costs %d", seed, cost)
			continue
		}
		if res.Outcome != Planned {
			continue
		}
		if res.Cost.Bound > cost {
			t.Errorf("seed %d: bound %d above the cost %d of a plan", seed, res.Cost.Bound, cost)
		}
		if res.Cost.Status == Proven {
			proven++
		}
		if res.Cost.Value <= cost {
			reached++
		}
	}
	t.Logf("%d of %d proven, %d no dearer than the plan drawn", proven, runs, reached)
	if proven == 0 {
		t.Error("nothing was proven, so nothing was tested")
	}
}
