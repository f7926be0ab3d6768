package nest1d

import "slices"

// table has the best value of the items of a knapsack from each on, in every rest of
// the capacity. It serves every knapsack that differs by a smaller capacity alone:
// where many bars are of one kind but for their lengths, the longest makes the table
// for all.
type table struct {
	knapsack         // of which it was made; only what reach is not asked for
	entries  []int64 // of the items from place i on, at i·(capacity+1) + rest
}

// mostTable caps the entries.
const mostTable = 16_000_000

// tabulate makes reach exact, with the table there is if that serves, and else with
// a new one in its place unless it would be too large, by dynamic programming over the
// rests. It returns what that counts as. O(Σ copies · capacity).
func (k *knapsack) tabulate(t *table) int64 {
	n, width := int64(len(k.weight)), k.capacity+1
	if k.table != nil || k.capacity < 0 || t.serves(k) {
		return 0
	}
	if k.capacity >= mostTable || (n+1)*width > mostTable {
		return 0
	}
	t.entries = resized(t.entries, int((n+1)*width))
	t.capacity, t.index = k.capacity, append(t.index[:0], k.index...)
	t.weight, t.value, t.count = append(t.weight[:0], k.weight...), append(t.value[:0], k.value...), append(t.count[:0], k.count...)
	clear(t.entries[n*width:])
	for i := n - 1; i >= 0; i-- {
		now, next := t.entries[i*width:(i+1)*width], t.entries[(i+1)*width:(i+2)*width]
		copy(now, next)
		w, v := k.weight[i], k.value[i]
		for c := int64(1); c <= k.count[i] && c*w < width; c++ {
			for rest := c * w; rest < width; rest++ {
				if x := next[rest-c*w] + c*v; x > now[rest] {
					now[rest] = x
				}
			}
		}
	}
	t.serves(k)
	return n * width / 64
}

// serves lends the table to a knapsack if it holds for it: with the same items but
// for those too heavy for it, in the same order.
func (t *table) serves(k *knapsack) bool {
	if t.entries == nil || t.capacity < k.capacity {
		return false
	}
	k.start = slices.Grow(k.start[:0], len(k.index)+1)
	i := 0
	for j, x := range t.index {
		switch w := t.weight[j]; {
		case i < len(k.index) && x == k.index[i]:
			if w != k.weight[i] || t.value[j] != k.value[i] || min(t.count[j], k.capacity/w) != k.count[i] {
				return false
			}
			k.start = append(k.start, int64(j)*(t.capacity+1))
			i++
		case w <= k.capacity:
			return false
		}
	}
	if i < len(k.index) {
		return false
	}
	k.start = append(k.start, int64(len(t.index))*(t.capacity+1))
	k.table = t.entries
	return true
}
