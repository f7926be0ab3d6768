package check

import (
	"math/bits"
	"slices"
)

// The bounded knapsack problem: how much value fits into a capacity, when of
// every kind at most a given number is there. One program serves both halves
// of the proof of a cost: the content of a bar (weights are lengths, values
// the proof's) and the purchase (weights are prices, values what a bar can
// hold at most).
//
// Method: the kinds are ordered by value per weight and their numbers split
// into parts of 1, 2, 4, ... pieces. A list of states (weight, value), none
// dominated by another, is carried from part to part (Nemhauser and Ullmann
// 1969). A state is dropped when even the fractional filling of what is left
// (Dantzig 1957) does not lift it above the value in question. Exact in
// integers; the cost is the number of states, which is counted and limited.

// kind is a kind of thing to put into a knapsack.
type kind struct {
	weight, value, number int64
}

// answer of a search that may give up.
type answer int

const (
	no answer = iota
	yes
	unknown // the effort ran out
)

// longestList limits the states held at a time (16 bytes each).
const longestList = 1 << 21

// state is a weight and the most value found for it.
type state struct{ weight, value int64 }

type knapsack struct {
	capacity int64
	parts    []state // by value per weight, descending
	// Sums over the parts before index i. Values wrap around; only sums over
	// parts that fit together are used, and those are below most.
	weights, values []uint64
	// most is a value known not to be exceeded, or the one in question.
	most int64
	// beat is the value a filling must pass to matter.
	beat   int64
	effort *int64
}

// exceeds reports whether some content is worth more than limit ≥ 0.
func exceeds(kinds []kind, capacity, limit int64, effort *int64) answer {
	k, a := prepare(kinds, capacity, limit, effort)
	if a != no {
		return a
	}
	k.beat = limit
	return k.search()
}

// most returns the greatest value of a content, which is known to be at most
// limit; when the effort runs out, limit.
func most(kinds []kind, capacity, limit int64, effort *int64) int64 {
	k, a := prepare(kinds, capacity, limit, effort)
	if a != no {
		return limit
	}
	if k.search() == unknown {
		return limit
	}
	return k.beat
}

// prepare splits and orders the kinds. It answers yes when a content above
// limit turns up on the way.
func prepare(kinds []kind, capacity, limit int64, effort *int64) (*knapsack, answer) {
	k := &knapsack{capacity: capacity, most: limit, effort: effort}
	if capacity < 0 || limit < 0 {
		return k, unknown
	}
	var able []kind
	for _, i := range kinds {
		if i.value <= 0 || i.number <= 0 || i.weight > capacity {
			continue
		}
		if i.weight <= 0 {
			return k, unknown // the caller sets aside what has no weight
		}
		i.number = min(i.number, capacity/i.weight)
		able = append(able, i)
	}
	slices.SortStableFunc(able, func(a, b kind) int {
		if c := compareProducts(b.value, a.weight, a.value, b.weight); c != 0 {
			return c
		}
		return compareProducts(b.weight, 1, a.weight, 1)
	})
	for _, i := range able {
		for n := int64(1); i.number > 0; n *= 2 {
			c := min(n, i.number)
			i.number -= c
			hi, lo := bits.Mul64(uint64(i.value), uint64(c))
			if hi != 0 || lo > uint64(limit) {
				return k, yes
			}
			k.parts = append(k.parts, state{i.weight * c, int64(lo)})
		}
	}
	return k, k.sums()
}

// sums fills in the sums and looks at every run of parts that fits.
func (k *knapsack) sums() answer {
	n := len(k.parts)
	k.weights, k.values = make([]uint64, n+1), make([]uint64, n+1)
	for i, p := range k.parts {
		sum, carry := bits.Add64(k.weights[i], uint64(p.weight), 0)
		if carry != 0 {
			return unknown
		}
		k.weights[i+1] = sum
		k.values[i+1] = k.values[i] + uint64(p.value)
	}
	var value uint64 // of parts [from, to), at most 2·most, so below 2⁶⁴
	from := 0
	for to := range k.parts {
		value += uint64(k.parts[to].value)
		for k.weights[to+1]-k.weights[from] > uint64(k.capacity) {
			value -= uint64(k.parts[from].value)
			from++
		}
		if value > uint64(k.most) {
			return yes
		}
	}
	return no
}

// reach is what a state may still become from part i on: whole parts as far as
// they fit (itself a content), and at most some more for a part that is split.
// to is where the previous, lighter state's filling ended.
func (k *knapsack) reach(s state, i int, to *int) (filled, atMost uint64) {
	rest := uint64(k.capacity - s.weight)
	for *to > i && k.weights[*to]-k.weights[i] > rest {
		*to--
	}
	filled = uint64(s.value) + k.values[*to] - k.values[i]
	atMost = filled
	if *to < len(k.parts) {
		p := k.parts[*to]
		hi, lo := bits.Mul64(rest-(k.weights[*to]-k.weights[i]), uint64(p.value))
		part, _ := bits.Div64(hi, lo, uint64(p.weight))
		atMost += part
	}
	return filled, atMost
}

// search raises beat to the greatest value; it answers yes, and stops, when
// that passes most.
func (k *knapsack) search() answer {
	list, next := []state{{}}, []state(nil)
	for i, p := range k.parts {
		next = next[:0]
		end := len(k.parts)
		last := int64(-1) // value of the last state taken
		a, b := 0, 0      // next without and with the part
		for a < len(list) || b < len(list) {
			var s state
			var with state
			if b < len(list) {
				// No overflow: had it fitted and passed most, the state's own
				// filling would have shown it.
				with = state{list[b].weight + p.weight, list[b].value + p.value}
			}
			switch {
			case b < len(list) && with.weight > k.capacity:
				b = len(list)
				continue
			case b == len(list) || a < len(list) && (list[a].weight < with.weight || list[a].weight == with.weight && list[a].value >= with.value):
				s = list[a]
				a++
			default:
				s = with
				b++
			}
			if s.value <= last {
				continue
			}
			last = s.value
			if *k.effort--; *k.effort < 0 || len(next) >= longestList {
				return unknown
			}
			filled, atMost := k.reach(s, i+1, &end)
			if filled > uint64(k.most) {
				return yes
			}
			k.beat = max(k.beat, int64(filled))
			if atMost > uint64(k.beat) {
				next = append(next, s)
			}
		}
		list, next = next, list
	}
	return no
}

// compareProducts compares a·b with c·d, all not negative.
func compareProducts(a, b, c, d int64) int {
	h1, l1 := bits.Mul64(uint64(a), uint64(b))
	h2, l2 := bits.Mul64(uint64(c), uint64(d))
	switch {
	case h1 < h2 || h1 == h2 && l1 < l2:
		return -1
	case h1 > h2 || l1 > l2:
		return 1
	}
	return 0
}
