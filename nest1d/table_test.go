package nest1d

import (
	"math/rand/v2"
	"testing"
)

// A table made for one knapsack serves a smaller one of the same items exactly, and
// none that it would be wrong for: what it says is held against that knapsack's own.
func TestTablesServeOthers(t *testing.T) {
	random := rand.New(rand.NewPCG(11, 3))
	var m table
	served := 0
	for range 60_000 {
		n := 1 + random.IntN(6)
		large := &bar{capacity: 1 + random.Int64N(60)}
		value, need := make([]int64, n), make([]int64, n)
		for i := range n {
			large.weight = append(large.weight, 1+random.Int64N(40))
			value[i], need[i] = random.Int64N(30), random.Int64N(4)
		}
		small := &bar{capacity: 1 + random.Int64N(large.capacity), weight: append([]int64(nil), large.weight...)}
		if random.IntN(4) == 0 { // another kerf
			small.weight[random.IntN(n)]++
		}
		other, wanted := append([]int64(nil), value...), append([]int64(nil), need...)
		switch random.IntN(8) {
		case 0:
			other[random.IntN(n)] = random.Int64N(30)
		case 1:
			wanted[random.IntN(n)] = random.Int64N(4)
		}
		newKnapsack(large, value, need).tabulate(&m)
		k := newKnapsack(small, other, wanted)
		if m.serves(k) {
			served++
		}
		k.tabulate(&m) // whether it serves or not
		for i := range len(k.index) + 1 {
			for rest := range small.capacity + 1 {
				want := tabled(k.weight[i:], k.value[i:], k.count[i:], rest)
				if want > 0 && !k.reach(i, rest, want) || k.reach(i, rest, want+1) {
					t.Fatalf("items from %d on in %d: not %d, in\n%+v", i, rest, want, k)
				}
			}
		}
	}
	if served < 10_000 {
		t.Errorf("only %d were served", served)
	}
}
