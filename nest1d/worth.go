package nest1d

import "fmt"

// worthStates caps the knapsack lists of one bar in Worth.
const worthStates = 500_000

// Worth bounds what one bar of every kind can hold, when piece i is worth
// value[i] each and no bar holds more of a piece than is wanted of it. So every
// purchase of nₖ bars that suffices for all pieces satisfies
//
//	Σ worthₖ·nₖ ≥ Σ valueᵢ·demandᵢ
//
// Demands are net of Problem.Fixed; supplies and prices do not matter. A bar
// that holds nothing of value is worth 0. The bound is exact for the knapsack
// that Certificate speaks of, and so for the bar where all its kerfs are equal,
// unless the counted effort ended before; then it is proved all the same.
// Values are 0 or more, one for each of Problem.Pieces, and with the demands
// add up to at most 2⁵⁹.
//
// A bar that is parted counts as whole, with joints that take the smaller of their
// kerfs and PartKerf; WorthInParts regards its parts.
func Worth(p Problem, value []int64) ([]int64, error) {
	return worths(&p, value, func(b *bar, each, most []int64) int64 {
		return newKnapsack(b, each, most).most(worthStates)
	})
}

// WorthInParts is Worth with tighter bounds where bars are parted: they regard what
// goes into each part, which the knapsack of Certificate does not, so whoever
// checks by that cannot confirm them. With one kerf they are exact, but for the
// counted effort and bars of more than twelve parts.
func WorthInParts(p Problem, value []int64) ([]int64, error) {
	return worths(&p, value, func(b *bar, each, most []int64) int64 {
		whole := newKnapsack(b, each, most).most(worthStates)
		if b.sections == nil {
			return whole
		}
		t := splitter{sections: b.sections, value: each, need: most, states: 2 * fewShares, most: splitNodes}
		upper, _ := t.solve()
		return min(whole, upper)
	})
}

func worths(p *Problem, value []int64, worth func(b *bar, each, most []int64) int64) ([]int64, error) {
	if err := check(p); err != nil {
		return nil, err
	}
	need, _ := netOf(p)
	if err := checkValues(p, value, need); err != nil {
		return nil, err
	}
	m := &model{problem: p}
	var each, most []int64 // per item
	for i, n := range need {
		if n > 0 {
			m.items = append(m.items, item{piece: i, pieces: []int{i}, demand: n})
			each, most = append(each, value[i]), append(most, n)
		}
	}
	out := make([]int64, len(p.Stocks))
next:
	for k := range p.Stocks {
		for j := range k {
			if p.Stocks[k].cutsLike(&p.Stocks[j]) {
				out[k] = out[j]
				continue next
			}
		}
		b := bar{stock: k}
		b.relax(&p.Stocks[k], m)
		out[k] = worth(&b, each, most)
	}
	return out, nil
}

func checkValues(p *Problem, value, need []int64) error {
	if len(value) != len(p.Pieces) {
		return fmt.Errorf("nest1d: %d values for %d pieces; write one for each", len(value), len(p.Pieces))
	}
	var total int64
	for i, v := range value {
		if v < 0 {
			return fmt.Errorf("nest1d: piece %d has value %d; write 0 or more", i, v)
		}
		sum, ok := product(v, need[i])
		if total += sum; !ok || total > limit || v > limit {
			return fmt.Errorf("nest1d: values and demands add up to more than %d at piece %d with value %d; write smaller values", limit, i, v)
		}
	}
	return nil
}

// most is an upper bound on the value of any content, the greatest value itself
// unless quickNodes and then so many states did not suffice.
func (k *knapsack) most(states int) int64 {
	r := k.search(0, quickNodes)
	if !r.aborted {
		return r.top
	}
	_, ceiling := k.byLists(r.top, states)
	return min(ceiling, k.ceiling(0, k.capacity))
}
