package nest1d

import (
	"context"
	"math/rand/v2"
	"testing"
)

// cheapestOfMany is the least cost of all pieces from bars of which there is one each
// and one kind that never runs out, by trying every content of every bar; −1 where the
// pieces cannot be had. Only for few copies in all.
func cheapestOfMany(p *Problem) int64 {
	size := 1
	for _, q := range p.Pieces {
		size *= int(q.Demand) + 1
	}
	// A state is what is cut already, in mixed radix; each content, too.
	weight, fits := make([]int64, size), make([][]bool, len(p.Stocks))
	counts := func(s int) (c []int64) {
		for _, q := range p.Pieces {
			c = append(c, int64(s)%(q.Demand+1))
			s /= int(q.Demand) + 1
		}
		return c
	}
	within := func(part, whole int) bool {
		b := counts(whole)
		for i, n := range counts(part) {
			if n > b[i] {
				return false
			}
		}
		return true
	}
	for s := range size {
		for i, n := range counts(s) {
			weight[s] += n * (p.Pieces[i].Length + p.Stocks[0].Kerf[0])
		}
	}
	for k, t := range p.Stocks {
		for s := range size {
			fits[k] = append(fits[k], weight[s]-t.Kerf[0] <= t.Length)
		}
	}
	cost := make([]int64, size)
	for s := 1; s < size; s++ {
		cost[s] = -1
	}
	add := func(from []int64, into []int64, k, s, content int) {
		if content == 0 || from[s] < 0 || !fits[k][content] || s+content >= size || !within(content, size-1-s) {
			return
		}
		if v := from[s] + p.Stocks[k].Price; into[s+content] < 0 || v < into[s+content] {
			into[s+content] = v
		}
	}
	for k, t := range p.Stocks {
		from, into := append([]int64(nil), cost...), cost
		if t.Supply == Unlimited {
			from = cost
		}
		for s := range size {
			for content := range size {
				add(from, into, k, s, content)
			}
		}
	}
	return cost[size-1]
}

// With many kinds of bars, such as offcuts of which there is one each, the bound holds
// and what is said to be proved is the optimum, whichever part of the search proves it.
func TestManyKindsAgainstBruteForce(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 19))
	proved := 0
	for round := range manyKindsRounds {
		p := &Problem{}
		kerf := []int64{random.Int64N(3)}
		for range 2 + random.IntN(2) {
			p.Pieces = append(p.Pieces, Piece{Length: 5 + random.Int64N(40), Demand: 1 + random.Int64N(3)})
		}
		for range seedKinds + 1 + random.IntN(4) {
			l := 10 + random.Int64N(90)
			p.Stocks = append(p.Stocks, Stock{Length: l, Kerf: kerf, Supply: 1, Price: l*random.Int64N(3) + random.Int64N(20)})
		}
		if random.IntN(2) == 0 {
			p.Stocks = append(p.Stocks, Stock{Length: 100, Kerf: kerf, Supply: Unlimited, Price: 60 + random.Int64N(60)})
		}
		want := cheapestOfMany(p)
		r := newRun(context.Background(), p, Options{Seed: int64(round)})
		if round%2 == 0 { // what dives would find is left to the rest
			r.limits.dives, r.limits.diving = 0, 0
		}
		if len(r.lone) > 0 {
			continue
		}
		r.solve()
		switch got := r.result(); {
		case want < 0 && got.Outcome != Impossible, want >= 0 && got.Outcome != Planned:
			t.Fatalf("round %d: outcome %v, the optimum is %d\n%+v", round, got.Outcome, want, p)
		case want >= 0 && (got.Cost.Bound > want || got.Cost.Value < want || got.Certificate.Bound > want):
			t.Fatalf("round %d: %+v, the optimum is %d\n%+v", round, got.Cost, want, p)
		case got.Cost.Status == Proven:
			proved++
		}
	}
	if proved < manyKindsRounds/2 {
		t.Errorf("only %d of %d were proved", proved, manyKindsRounds)
	}
}

const manyKindsRounds = 3_000
