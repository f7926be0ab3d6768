package account

import "sawbill/internal/job"

// mostCells bounds the table of boxes; beyond it one kind of box is bought.
const mostCells = 20_000_000

// boxes chooses how many packs of each kind together hold n things at the least
// cost, an unbounded covering knapsack, by dynamic programming over n in steps of the
// packs' common divisor: O(n/divisor · kinds). Of equal costs the kind that stands
// first wins.
func boxes(kinds []job.Pack, n int64) []int64 {
	packs := make([]int64, len(kinds))
	step := int64(0)
	for _, k := range kinds {
		step = divisor(step, k.Count)
	}
	need := (n + step - 1) / step
	if need*int64(len(kinds)) > mostCells {
		best, least := 0, int64(0)
		for i, k := range kinds {
			if cost := (n + k.Count - 1) / k.Count * k.Price; i == 0 || cost < least {
				best, least = i, cost
			}
		}
		packs[best] = (n + kinds[best].Count - 1) / kinds[best].Count
		return packs
	}
	cost, last := make([]int64, need+1), make([]int, need+1)
	for have := int64(1); have <= need; have++ {
		for i, k := range kinds {
			c := cost[max(0, have-k.Count/step)] + k.Price
			if i == 0 || c < cost[have] {
				cost[have], last[have] = c, i
			}
		}
	}
	for have := need; have > 0; {
		i := last[have]
		packs[i]++
		have -= kinds[i].Count / step
	}
	return packs
}

// divisor is the greatest that a and b have in common.
func divisor(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}
