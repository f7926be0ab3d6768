package nest1d

import (
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// tabled is the bounded knapsack by dynamic programming over the capacity.
func tabled(weight, value, count []int64, capacity int64) int64 {
	best := make([]int64, capacity+1)
	for i := range weight {
		for range count[i] {
			for c := capacity; c >= weight[i]; c-- {
				best[c] = max(best[c], best[c-weight[i]]+value[i])
			}
		}
	}
	return best[capacity]
}

func TestKnapsacksAgainstTable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 8).Draw(t, "items")
		b := bar{capacity: rapid.Int64Range(1, 200).Draw(t, "capacity")}
		var value, count []int64
		for range n {
			b.weight = append(b.weight, rapid.Int64Range(1, 90).Draw(t, "weight"))
			value = append(value, rapid.Int64Range(0, 100).Draw(t, "value"))
			count = append(count, rapid.Int64Range(0, 5).Draw(t, "count"))
		}
		want := tabled(b.weight, value, count, b.capacity)
		k := newKnapsack(&b, value, count)
		for _, floor := range []int64{0, want - 1, want, want + 3} {
			if floor < 0 {
				continue
			}
			s := k.search(floor, 1<<40)
			l, ceiling := k.byLists(floor, 1<<30)
			for _, r := range []*branch{s, l} {
				if r.aborted || r.found != (want > floor) || r.top != max(want, floor) {
					t.Fatalf("floor %d: found %v top %d, table %d", floor, r.found, r.top, want)
				}
				if r.found {
					var w, v int64
					for i, c := range r.contents(n) {
						w, v = w+c*b.weight[i], v+c*value[i]
						if c > count[i] {
							t.Fatalf("item %d: %d of %d copies", i, c, count[i])
						}
					}
					if w > b.capacity || v != want {
						t.Fatalf("content weighs %d of %d, is worth %d of %d", w, b.capacity, v, want)
					}
				}
			}
			if ceiling != max(want, floor) || k.ceiling(0, k.capacity) < want {
				t.Fatalf("floor %d: ceilings %d and %d, table %d", floor, ceiling, k.ceiling(0, k.capacity), want)
			}
			// Cut short, the lists still give an upper bound.
			if _, c := k.byLists(floor, 1); c < want {
				t.Fatalf("aborted lists say at most %d, table %d", c, want)
			}
		}
	})
}

// The capacities of bars in units of 25 nm have no common divisor with the
// pieces to speak of; lists and branching must agree on them.
func TestKnapsacksAtFullScale(t *testing.T) {
	for seed := range 20 {
		r := rand.New(rand.NewPCG(uint64(seed), 2))
		b := bar{capacity: 290_000_000}
		var value, count []int64
		for range 25 {
			w := (400 + r.Int64N(6500)) * inch64
			b.weight = append(b.weight, w)
			value = append(value, w*1000+r.Int64N(w*20))
			count = append(count, 1+r.Int64N(3))
		}
		k := newKnapsack(&b, value, count)
		s := k.search(0, 1<<30)
		l, ceiling := k.byLists(0, 1<<24)
		if s.aborted || l.aborted || s.top != l.top || ceiling != l.top {
			t.Errorf("seed %d: branching %d, lists %d, ceiling %d", seed, s.top, l.top, ceiling)
		}
	}
}
