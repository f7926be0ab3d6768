package lptest

import (
	"context"
	"fmt"
	"math/rand/v2"
	"testing"

	"sawbill/solver"
)

// runColumnGeneration runs Gilmore and Gomory's method (1961, "A linear
// programming approach to the cutting-stock problem", Operations Research
// 9:849–859) from one column per item to the end. The master must never be
// offered a column it has: that would mean duals that are not those of its
// basis. The end is checked by the knapsack bound, which owes the engine
// nothing, and on Chvátal's example (see runCuttingStock) by its value.
func runColumnGeneration(t *testing.T, e solver.Engine) {
	if got := generate(t, e, 100, []int{45, 36, 31, 14}, []float64{97, 610, 395, 211}); got < 452.25-1e-6 || got > 452.25+1e-6 {
		t.Errorf("%g rolls, want 452.25", got)
	}
	for seed := range uint64(6) {
		r := rand.New(rand.NewPCG(seed, 0x27d4eb2f))
		var sizes []int
		var demand []float64
		for range 20 + 10*int(seed) {
			sizes = append(sizes, 50+r.IntN(450))
			d := 1.0 // the degenerate case
			if seed%2 == 1 {
				d = float64(1 + r.IntN(100))
			}
			demand = append(demand, d)
		}
		generate(t, e, 1000, sizes, demand)
	}
}

func generate(t *testing.T, e solver.Engine, capacity int, sizes []int, demand []float64) float64 {
	lp := e.New()
	defer lp.Close()
	add := func(count []int) {
		var rows []int32
		var values []float64
		for i, n := range count {
			if n > 0 {
				rows = append(rows, int32(i))
				values = append(values, float64(n))
			}
		}
		lp.AddColumn(1, 0, solver.Inf, rows, values)
	}
	seen := map[string]bool{}
	for i, d := range demand {
		lp.AddRow(d, solver.Inf, nil, nil)
		count := make([]int, len(sizes))
		count[i] = capacity / sizes[i]
		seen[fmt.Sprint(count)] = true
	}
	for i := range sizes {
		count := make([]int, len(sizes))
		count[i] = capacity / sizes[i]
		add(count)
	}
	var duals []float64
	for {
		if s := lp.Solve(context.Background(), 0); s != solver.Optimal {
			t.Fatalf("status %v after %d columns", s, lp.NumColumns())
		}
		duals = lp.Dual(duals)
		value, count := knapsack(capacity, sizes, duals)
		if value <= 1+1e-7 {
			bound := 0.0
			for i, d := range demand {
				bound += d * duals[i]
			}
			if bound /= max(1, value); lp.Objective()-bound > 1e-6*(1+bound) {
				t.Errorf("master %g, bound %g", lp.Objective(), bound)
			}
			return lp.Objective()
		}
		if key := fmt.Sprint(count); seen[key] {
			t.Fatalf("column %v priced at %g, but the master has it", count, value)
		} else {
			seen[key] = true
		}
		add(count)
	}
}

// knapsack fills the capacity with the greatest value, any number of each.
func knapsack(capacity int, sizes []int, values []float64) (float64, []int) {
	best, last := make([]float64, capacity+1), make([]int, capacity+1)
	for c := 1; c <= capacity; c++ {
		best[c], last[c] = best[c-1], -1
		for i, s := range sizes {
			if s <= c && best[c-s]+values[i] > best[c] {
				best[c], last[c] = best[c-s]+values[i], i
			}
		}
	}
	count := make([]int, len(sizes))
	for c := capacity; c > 0; {
		if i := last[c]; i >= 0 {
			count[i]++
			c -= sizes[i]
		} else {
			c--
		}
	}
	return best[capacity], count
}
