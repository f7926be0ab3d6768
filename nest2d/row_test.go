package nest2d

import (
	"math/rand/v2"
	"testing"
)

// TestRowBrute holds the knapsack along a line against all numbers of copies, what it
// reports as its goods included, after every good and within every part of the line.
func TestRowBrute(t *testing.T) {
	random := rand.New(rand.NewPCG(43, 44))
	var r row
	for n := range 20_000 {
		type good struct{ length, value, most int64 }
		whole := 1 + random.Int64N(20)
		if r.empty(whole); random.IntN(2) == 0 {
			r.forget()
			r.empty(whole)
		}
		var goods []good
		for range 1 + random.IntN(4) {
			g := good{1 + random.Int64N(8), random.Int64N(10), random.Int64N(6)}
			goods = append(goods, g)
			r.add(len(goods)-1, g.length, g.value, g.most)
			var best func(i int, left int64) int64
			best = func(i int, left int64) int64 {
				if i == len(goods) {
					return 0
				}
				most := int64(0)
				for c := int64(0); c <= goods[i].most && c*goods[i].length <= left; c++ {
					most = max(most, c*goods[i].value+best(i+1, left-c*goods[i].length))
				}
				return most
			}
			within := random.Int64N(whole + 1)
			value, length := int64(0), int64(0)
			used := make([]int64, len(goods))
			r.goodsWithin(within, r.mark(), func(i int) int64 { return goods[i].length }, func(i int) {
				value, length = value+goods[i].value, length+goods[i].length
				if used[i]++; used[i] > goods[i].most {
					t.Fatalf("problem %d: good %d is taken too often", n, i)
				}
			})
			if want := best(0, within); value != want || r.best[within] != want || length > within {
				t.Fatalf("problem %d: goods worth %d, so long %d, and %d is said, in %d, of %v; %d can be had", n, value, length, r.best[within], within, goods, want)
			}
			if r.value() != best(0, whole) {
				t.Fatalf("problem %d: %d in %d, of %v; %d can be had", n, r.value(), whole, goods, best(0, whole))
			}
		}
	}
}

// TestRuler holds that rounding down keeps what fits and rounding up what does not.
func TestRuler(t *testing.T) {
	random := rand.New(rand.NewPCG(45, 46))
	for range 20_000 {
		whole := 5 + random.Int64N(200)
		lengths := make([]int64, 1+random.IntN(4))
		for i := range lengths {
			lengths[i] = (1 + random.Int64N(whole/5)) * (1 + random.Int64N(4))
		}
		r := newRuler(lengths, whole, 1+random.Int64N(50))
		var sum, up, down int64
		for _, l := range lengths {
			sum, up, down = sum+l, up+r.up(l), down+r.down(l)
			if r.down(l) < 1 || l <= whole && (r.down(l) > r.whole || r.up(l) > r.whole) {
				t.Fatalf("%v in %d: %+v", lengths, whole, r)
			}
		}
		if len(lengths) > 1 && up <= r.whole && sum > whole || sum <= whole && down > r.whole {
			t.Fatalf("%v in %d: %+v, up %d, down %d", lengths, whole, r, up, down)
		}
	}
}
