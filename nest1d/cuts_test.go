package nest1d

import (
	"context"
	"fmt"
	"math/rand/v2"
	"os"
	"testing"
)

// TestCutsAgainstBruteForce: a bound by cuts is never above the least cost, and
// every plan that costs less than one bar for each piece can be made of the
// patterns that are listed by it.
func TestCutsAgainstBruteForce(t *testing.T) {
	runs := uint64(1_500)
	if os.Getenv("SAWBILL_FULL") != "" {
		runs = 60_000
	}
	cut, raised, listed, found := 0, 0, 0, 0
	for n := range runs {
		seed := 20_000 + n // a false bound was found at 20,385
		random := rand.New(rand.NewPCG(seed, 77))
		p := cutProblem(random)
		least, _ := bruteCost(&p)
		if least >= noPlan {
			continue
		}
		r := newRun(context.Background(), &p, Options{})
		if len(r.bars) == 0 || len(r.lone) > 0 {
			continue
		}
		naive := &plan{}
		dear := 0
		for b := range r.bars {
			if r.bars[b].price > r.bars[dear].price {
				dear = b
			}
		}
		for i, it := range r.items {
			naive.uses = append(naive.uses, use{pattern{dear, []entry{{int32(i), 1}}}, it.demand})
		}
		// As if nothing better were known, so that no stage ends before its time.
		r.best, r.value = naive, r.toBeat()+limit>>40
		r.material = r.materialBound()
		r.improveBound(r.material)
		r.root()
		plain := r.bound
		r.value = least + 1 + int64(seed%3)
		r.strengthen(r.limits.cutting)
		if r.excluded || r.bound > least {
			t.Fatalf("seed %d: bound %d (excluded %v), the least cost is %d\n%+v", seed, r.bound, r.excluded, least, p)
		}
		if r.value == least {
			found++
		}
		if len(r.strong.cuts) > 0 {
			cut++
		}
		if r.bound > plain {
			raised++
		}
		// The pool by which nothing dearer than the least may be missed.
		s := r.strongest()
		room, ok := product(s.scale, least)
		if !ok || s.loose {
			continue
		}
		e := r.enumerate(s, room-s.rest, 1_000_000, 100_000_000)
		if !e.complete {
			continue
		}
		listed++
		if got := poolCost(r, e.patterns); got != least {
			t.Fatalf("seed %d: of the patterns listed the least cost is %d, it is %d\n%+v\n%v", seed, got, least, p, s.cuts)
		}
	}
	t.Log(cut, raised, listed, found)
	if cut == 0 || found == 0 || raised == 0 || listed == 0 {
		t.Error("cuts were hardly ever found: the test tests nothing")
	}
}

// cutProblem draws few large pieces, of which two or three go in a bar.
func cutProblem(r *rand.Rand) Problem {
	capacity := int64(20 + r.IntN(40))
	p := Problem{}
	for range 1 + r.IntN(3)/2 {
		s := Stock{Length: capacity + int64(r.IntN(10)), Supply: Unlimited, Price: int64(1 + r.IntN(4)), Kerf: []int64{int64(r.IntN(2))}}
		if r.IntN(4) == 0 {
			s.Supply = int64(2 + r.IntN(4))
		}
		p.Stocks = append(p.Stocks, s)
	}
	left := 9
	for n := 3 + r.IntN(5); n > 0 && left > 0; n-- {
		d := min(left, 1+r.IntN(3))
		left -= d
		p.Pieces = append(p.Pieces, Piece{Length: capacity/5 + int64(r.IntN(int(capacity/3))), Demand: int64(d)})
	}
	return p
}

// poolCost is the least cost of a plan of the patterns, by trying everything.
func poolCost(r *run, pool []pattern) int64 {
	memo := map[string]int64{}
	var solve func(need, left []int64) int64
	solve = func(need, left []int64) int64 {
		first := -1
		for i, n := range need {
			if n > 0 {
				first = i
				break
			}
		}
		if first < 0 {
			return 0
		}
		key := fmt.Sprint(need, left)
		if v, known := memo[key]; known {
			return v
		}
		best := noPlan
		for j := range pool {
			p := &pool[j]
			if left[p.bar] == 0 || r.counts(p)[first] == 0 {
				continue
			}
			n, l := append([]int64{}, need...), append([]int64{}, left...)
			for i, c := range r.counts(p) {
				n[i] = max(0, n[i]-c)
			}
			if l[p.bar] > 0 {
				l[p.bar]--
			}
			best = min(best, r.cost(p)+solve(n, l))
		}
		memo[key] = best
		return best
	}
	return solve(r.demands(), r.supplies())
}
