package check

import (
	"math"
	"math/big"
	"testing"

	"pgregory.net/rapid"
)

// exhaustive is the greatest value by trying all contents.
func exhaustive(kinds []kind, capacity int64) *big.Int {
	best := new(big.Int)
	var try func(i int, room int64, value *big.Int)
	try = func(i int, room int64, value *big.Int) {
		if value.Cmp(best) > 0 {
			best = value
		}
		if i == len(kinds) {
			return
		}
		k := kinds[i]
		for n := int64(0); n <= k.number && n*k.weight <= room; n++ {
			add := new(big.Int).Mul(big.NewInt(n), big.NewInt(k.value))
			try(i+1, room-n*k.weight, add.Add(add, value))
		}
	}
	try(0, capacity, new(big.Int))
	return best
}

func drawKnapsack(r *rapid.T) ([]kind, int64) {
	top := rapid.SampledFrom([]int64{9, 100, 1 << 40, 1 << 62}).Draw(r, "top")
	heavy := rapid.SampledFrom([]int64{5, 60, 1 << 30}).Draw(r, "heavy")
	kinds := rapid.SliceOfN(rapid.Custom(func(r *rapid.T) kind {
		w := rapid.Int64Range(1, heavy).Draw(r, "weight")
		v := rapid.Int64Range(-3, top).Draw(r, "value")
		if rapid.Bool().Draw(r, "even") && w < math.MaxInt64/4 {
			v = min(top, 3*w+v%4) // nearly all of one value per weight
		}
		return kind{w, v, rapid.Int64Range(0, 4).Draw(r, "number")}
	}), 0, 6).Draw(r, "kinds")
	return kinds, rapid.Int64Range(0, 4*heavy).Draw(r, "capacity")
}

// TestKnapsack compares with the exhaustive search, at limits around the truth
// and for values up to the ends of 64 bits.
func TestKnapsack(t *testing.T) {
	often(t, 10, func(r *rapid.T) {
		kinds, capacity := drawKnapsack(r)
		truth := exhaustive(kinds, capacity)
		for _, d := range []int64{-2, -1, 0, 1, 1000} {
			limit := new(big.Int).Add(truth, big.NewInt(d))
			if limit.Sign() < 0 || !limit.IsInt64() {
				continue
			}
			effort := int64(1_000_000)
			want := no
			if d < 0 {
				want = yes
			}
			if got := exceeds(kinds, capacity, limit.Int64(), &effort); got != want {
				r.Fatalf("exceeds %v: %v, the greatest value is %v", limit, got, truth)
			}
			if d >= 0 {
				if got := most(kinds, capacity, limit.Int64(), &effort); big.NewInt(got).Cmp(truth) != 0 {
					r.Fatalf("most: %d, the greatest value is %v", got, truth)
				}
			}
		}
		if !truth.IsInt64() {
			effort := int64(1_000_000)
			if got := exceeds(kinds, capacity, math.MaxInt64, &effort); got != yes {
				r.Fatalf("a value beyond 64 bits was not seen to exceed: %v", got)
			}
		}
	})
}

// TestKnapsackGivesUp: without effort it says so and never no.
func TestKnapsackGivesUp(t *testing.T) {
	often(t, 10, func(r *rapid.T) {
		kinds, capacity := drawKnapsack(r)
		truth := exhaustive(kinds, capacity)
		if truth.Sign() == 0 || !truth.IsInt64() {
			return
		}
		effort := rapid.Int64Range(0, 5).Draw(r, "effort")
		limit := truth.Int64()
		if got := exceeds(kinds, capacity, limit-1, &effort); got == no {
			r.Fatalf("said no, but %v is possible", truth)
		}
		effort = rapid.Int64Range(0, 5).Draw(r, "effort")
		if got := most(kinds, capacity, limit+5, &effort); got < limit {
			r.Fatalf("most %d is below what is possible, %v", got, truth)
		}
	})
}

// BenchmarkKnapsack: a bar of 20 ft on the 25 nm grid, values close to the
// lengths, so that little can be cut off early.
func BenchmarkKnapsack(b *testing.B) {
	var kinds []kind
	for i := range int64(60) {
		w := 8_000_000 + i*i*i*317 + i*15_875
		kinds = append(kinds, kind{w, w/7 + i%5, 10})
	}
	for b.Loop() {
		effort := int64(provingEffort)
		most(kinds, 243_840_000, 243_840_000, &effort)
		b.ReportMetric(float64(provingEffort-effort), "states")
	}
}
