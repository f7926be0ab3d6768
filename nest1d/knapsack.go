package nest1d

import (
	"math/bits"
	"slices"
)

// knapsack is the bounded knapsack of one kind of bar: its items of positive
// value that fit, by falling value per weight. All arithmetic is exact.
type knapsack struct {
	index    []int32 // item numbers in the model
	weight   []int64
	value    []int64
	count    []int64 // most copies
	capacity int64
	lightest []int64 // lightest weight from here on
	// table, where there is one, has the best value of the items from i on in every
	// rest of the capacity, at start[i] + rest.
	table []int64
	start []int64
}

// newKnapsack orders the items for values per item and counts at most need.
func newKnapsack(b *bar, value, need []int64) *knapsack {
	return inOrder(b, value, need, byDensity(b, value, need))
}

// byDensity are the items of value that are needed and fit, by falling value per weight.
func byDensity(b *bar, value, need []int64) []int32 {
	var index []int32
	for i, v := range value {
		if v > 0 && need[i] > 0 && b.weight[i] <= b.capacity {
			index = append(index, int32(i))
		}
	}
	slices.SortFunc(index, func(x, y int32) int {
		if c := compareProducts(value[y], b.weight[x], value[x], b.weight[y]); c != 0 {
			return c
		}
		if b.weight[x] != b.weight[y] {
			if b.weight[x] > b.weight[y] {
				return -1
			}
			return 1
		}
		return int(x - y)
	})
	return index
}

// inOrder is newKnapsack for items in their order, of which those that are needed
// are taken.
func inOrder(b *bar, value, need []int64, order []int32) *knapsack {
	k := &knapsack{}
	k.load(b, value, need, order)
	return k
}

// load makes k what inOrder returns, in the memory that k has.
func (k *knapsack) load(b *bar, value, need []int64, order []int32) {
	k.capacity, k.table, k.index = b.capacity, nil, slices.Grow(k.index[:0], len(order))
	for _, i := range order {
		if need[i] > 0 {
			k.index = append(k.index, i)
		}
	}
	n := len(k.index)
	k.weight, k.value, k.count = resized(k.weight, n), resized(k.value, n), resized(k.count, n)
	k.lightest = resized(k.lightest, n+1)
	k.lightest[n] = limit
	for i, x := range k.index {
		k.weight[i], k.value[i] = b.weight[x], value[x]
		k.count[i] = min(need[x], b.capacity/b.weight[x])
	}
	for i := n - 1; i >= 0; i-- {
		k.lightest[i] = min(k.lightest[i+1], k.weight[i])
	}
}

// resized is s with n entries, which may hold anything.
func resized(s []int64, n int) []int64 { return slices.Grow(s[:0], n)[:n] }

// compareProducts compares a·b with c·d, all non-negative, in 128 bits.
func compareProducts(a, b, c, d int64) int {
	h1, l1 := bits.Mul64(uint64(a), uint64(b))
	h2, l2 := bits.Mul64(uint64(c), uint64(d))
	switch {
	case h1 < h2 || h1 == h2 && l1 < l2:
		return -1
	case h1 == h2 && l1 == l2:
		return 0
	}
	return 1
}

// ceiling is Dantzig's bound: the value when the last copy may be cut to fit,
// rounded down, for the items from i on in the given rest of the capacity.
func (k *knapsack) ceiling(i int, rest int64) int64 {
	var v int64
	for ; i < len(k.weight); i++ {
		w := k.weight[i] * k.count[i]
		if w > rest {
			hi, lo := bits.Mul64(uint64(rest), uint64(k.value[i]))
			q, _ := bits.Div64(hi, lo, uint64(k.weight[i])) // rest < weight·count, so hi < weight
			return v + int64(q)
		}
		rest -= w
		v += k.value[i] * k.count[i]
	}
	return v
}

// reach says whether Dantzig's bound of the items from i on is at least want.
func (k *knapsack) reach(i int, rest, want int64) bool {
	if want <= 0 {
		return true
	}
	if k.table != nil {
		return k.table[k.start[i]+rest] >= want
	}
	for ; i < len(k.weight) && k.value[i] > 0; i++ {
		w := k.weight[i] * k.count[i]
		if w > rest {
			return compareProducts(rest, k.value[i], want, k.weight[i]) >= 0
		}
		rest -= w
		if want -= k.value[i] * k.count[i]; want <= 0 {
			return true
		}
	}
	return false
}

// branch is depth-first branch and bound with the densest item first
// (Horowitz and Sahni, Journal of the ACM 21 (1974) 277–292).
type branch struct {
	*knapsack
	now, best []int64
	top       int64 // value of best; at first the value that must be exceeded
	found     bool
	nodes     int64
	budget    int64
	aborted   bool
}

// search looks for the content of greatest value above floor, for at most
// budget nodes. Unless aborted, the result is exact: the best value when found,
// and else no content exceeds floor.
func (k *knapsack) search(floor, budget int64) *branch {
	b := &branch{}
	b.search(k, floor, budget)
	return b
}

// search is knapsack.search in the memory that b has.
func (b *branch) search(k *knapsack, floor, budget int64) {
	n := len(k.weight)
	*b = branch{knapsack: k, top: floor, budget: budget, now: resized(b.now, n), best: resized(b.best, n)}
	clear(b.now)
	clear(b.best)
	b.descend(0, k.capacity, 0)
}

func (b *branch) descend(i int, rest, value int64) {
	b.nodes++
	if b.nodes > b.budget {
		b.aborted = true
		return
	}
	if value > b.top {
		b.top, b.found = value, true
		copy(b.best, b.now)
	}
	for ; i < len(b.weight) && b.lightest[i] <= rest; i++ {
		w := b.weight[i]
		if w > rest {
			continue
		}
		if !b.reach(i, rest, b.top+1-value) {
			return
		}
		n := b.count[i]
		if n > 1 {
			n = min(n, rest/w)
		}
		for ; n > 0; n-- {
			b.now[i] = n
			b.descend(i+1, rest-n*w, value+n*b.knapsack.value[i])
			if b.aborted {
				b.now[i] = 0
				return
			}
			// Fewer copies of the densest item: all others together must make it up.
			if !b.reach(i+1, rest-(n-1)*w, b.top+1-value-(n-1)*b.knapsack.value[i]) {
				b.now[i] = 0
				return
			}
		}
		b.now[i] = 0
	}
}

// contents spreads the best content over all items of the model.
func (b *branch) contents(items int) []int64 {
	c := make([]int64, items)
	b.spread(c)
	return c
}

// spread puts the best content into counts, of which the others are zero.
func (b *branch) spread(counts []int64) {
	clear(counts)
	for i, x := range b.index {
		counts[x] = b.best[i]
	}
}
