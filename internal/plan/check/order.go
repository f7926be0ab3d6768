package check

import (
	"math"
	"slices"

	"sawbill/internal/length"
)

// What the joints of one bar take depends on the order of its pieces: each
// joint of a right end with a left end takes the larger of the two cuts. Only
// the cuts of the ends matter, so pieces with equal cuts are one class, and the
// least over all orders follows from how many of each class are left and which
// came last (Held and Karp 1962, with counts in place of sets).

// ends is a class of pieces: the cuts of the left and the right end.
type ends [2]length.Length

// mostOrders limits the states of one such search.
const mostOrders = 50_000

// joints is the least that the cuts between and behind pieces of the given
// classes take, and whether that is exact. Behind the last piece there is a cut
// only with a tail; before the first there is none.
func (b *barModel) joints(counts []int) (least length.Length, exact bool) {
	states := len(counts)
	for _, n := range counts {
		if states *= n + 1; states > mostOrders {
			return b.paired(counts), false
		}
	}
	const unset = length.Length(-1)
	known := slices.Repeat([]length.Length{unset}, states)
	left := slices.Clone(counts)
	// behind is the least that follows a piece of class last.
	var behind func(last int) length.Length
	behind = func(last int) length.Length {
		state := 0
		for c, n := range left {
			state = state*(counts[c]+1) + n
		}
		state = state*len(counts) + last
		if known[state] != unset {
			return known[state]
		}
		best, any := length.Length(math.MaxInt64), false
		for c := range left {
			if left[c] > 0 {
				any = true
				left[c]--
				best = min(best, max(b.classes[last][1], b.classes[c][0])+behind(c))
				left[c]++
			}
		}
		if !any {
			best = 0
			if b.tail {
				best = b.classes[last][1]
			}
		}
		known[state] = best
		return best
	}
	least = math.MaxInt64
	for c := range left {
		if left[c] > 0 {
			left[c]--
			least = min(least, behind(c))
			left[c]++
		}
	}
	return least, true
}

// paired is at most what the joints take in any order. The cheapest pairing of
// right with left ends leaves the largest ends single and pairs the others in
// order of size; an order of pieces that achieves it need not exist.
func (b *barModel) paired(counts []int) length.Length {
	var lefts, rights []length.Length
	for c, n := range counts {
		for range n {
			lefts, rights = append(lefts, b.classes[c][0]), append(rights, b.classes[c][1])
		}
	}
	slices.Sort(lefts)
	slices.Sort(rights)
	lefts = lefts[:len(lefts)-1]
	if b.tail {
		lefts = append([]length.Length{0}, lefts...) // the end of the bar meets the last right end
	} else {
		rights = rights[:len(rights)-1]
	}
	var sum length.Length
	for i := range rights {
		sum += max(lefts[i], rights[i])
	}
	return sum
}

// need is what the pieces take of a bar in the best order, or at most that
// where there are too many orders; then the model is marked as loose.
func (b *barModel) need(kinds []int) length.Length {
	if len(kinds) == 0 {
		return 0
	}
	var sum length.Length
	classes, of := len(b.classes), func(k int) int { return b.kinds[k].class }
	joints := b.joints
	if b.nest != nil {
		classes, of = len(b.nest.classes), func(k int) int { return b.nest.of[k] }
		joints = b.nest.least
	}
	counts := make([]int, classes)
	for _, k := range kinds {
		sum += b.kinds[k].length
		counts[of(k)]++
	}
	var key [16]byte
	short := len(counts) <= len(key)
	for c, n := range counts {
		if short = short && n < 256; !short {
			break
		}
		key[c] = byte(n)
	}
	if least, met := b.orders[key]; met && short {
		return sum + least
	}
	least, exact := joints(counts)
	b.loose = b.loose || !exact
	if short && len(b.orders) < failedStates {
		b.orders[key] = least
	}
	return sum + least
}
