package nest1d

import "slices"

// pricer finds patterns worth more than they cost. It is the seam between the
// linear programme and the knapsacks, and the place for other rules on content.
type pricer interface {
	price(q *query) answer
}

// query asks for contents of the bars.
type query struct {
	value []int64 // of each item
	floor []int64 // per bar: contents worth no more are of no use
	need  []int64 // most copies of each item
	limit []int64 // per bar: Unlimited, or how many are left; 0 skips the bar
	// states to spend on the proved maximum of each bar; with 0 a quick look
	// will do.
	states int
	// scale of the values to money, 0 where offcuts bring nothing.
	scale int64
	// columns wanted beyond the best one.
	columns int
}

// answer to a query. upper[b] bounds the value of any content of bar b, found
// by whatever means; when aborted is false it is at most floor[b], or else the
// best value.
type answer struct {
	patterns []pattern
	upper    []int64
	aborted  bool
	nodes    int64
}

// Budgets of one knapsack.
const (
	quickNodes = 20_000
	fewStates  = 50_000
	allStates  = 6_000_000
)

// knapsacks prices by bounded knapsacks: branch and bound as long as that is
// quick, lists when the maximum must be known.
type knapsacks struct{ m *model }

func (s knapsacks) price(q *query) answer {
	a := answer{upper: make([]int64, len(s.m.bars))}
	for b := range s.m.bars {
		a.upper[b] = q.floor[b]
		if q.limit[b] == 0 {
			continue
		}
		if s.m.bars[b].sections != nil {
			s.bestInParts(q, b, &a)
			continue
		}
		if k := &s.m.bars[b]; k.chain != nil && !k.exact {
			s.bestChained(q, b, &a)
			continue
		}
		a.upper[b] = s.best(q, &s.m.bars[b], b, q.value, q.floor[b], &a)
		if s.m.bars[b].reward != nil && q.scale > 0 {
			kept, worth, whole := s.m.bars[b].keeping(q.value, q.scale)
			a.upper[b] = max(a.upper[b], whole+s.best(q, &kept, b, worth, q.floor[b]-whole, &a))
		}
	}
	return a
}

// best finds the best content of one bar, as a knapsack, then further ones from
// what it leaves of the needs: patterns that complement each other serve the linear
// programme better than variations of the best. It returns the bound on the value.
func (s knapsacks) best(q *query, own *bar, b int, value []int64, floor int64, a *answer) (upper int64) {
	k := newKnapsack(own, value, q.need)
	top := k.ceiling(0, k.capacity)
	if top <= floor {
		return top
	}
	r := k.search(floor, quickNodes)
	a.nodes += r.nodes
	upper = r.top
	if r.aborted {
		upper = top
		if q.states > 0 {
			var ceiling int64
			l, ceiling := k.byLists(r.top, q.states)
			a.nodes += l.nodes
			upper = min(top, ceiling)
			if l.found {
				r = l
			}
			a.aborted = a.aborted || l.aborted
		} else {
			a.aborted = true
		}
	}
	if !r.found {
		return upper
	}
	need := append([]int64(nil), q.need...)
	counts := r.contents(len(need))
	for n := 0; ; n++ {
		a.patterns = append(a.patterns, newPattern(b, counts))
		if n == q.columns || !s.reduce(need, counts) {
			return upper
		}
		k = newKnapsack(own, value, need)
		r = k.search(floor, quickNodes/10)
		a.nodes += r.nodes
		if !r.found {
			return upper
		}
		counts = r.contents(len(need))
	}
}

// reduce takes a content from the needs as often as it is needed in full.
func (s knapsacks) reduce(need, counts []int64) bool {
	t := limit
	for i, c := range counts {
		if c > 0 {
			t = min(t, need[i]/c)
		}
	}
	left := false
	for i, c := range counts {
		need[i] -= t * c
		left = left || need[i] > 0
	}
	return left
}

// bestInParts is best for a bar that is parted. What it finds fits.
func (s knapsacks) bestInParts(q *query, b int, a *answer) {
	k := newKnapsack(&s.m.bars[b], q.value, q.need)
	top := k.ceiling(0, k.capacity)
	if top <= q.floor[b] {
		a.upper[b] = top
		return
	}
	t := splitter{sections: s.m.bars[b].sections, value: q.value, need: q.need, floor: q.floor[b], states: fewShares, most: quickSplits}
	if q.states > 0 {
		t.states, t.most = max(2*fewShares, q.states/40), splitNodes
	}
	upper, exact := t.solve()
	a.nodes += t.nodes
	a.upper[b] = min(top, upper)
	a.aborted = a.aborted || !exact
	if len(t.found) == 0 {
		return
	}
	need := slices.Clone(q.need)
	counts := t.found[len(t.found)-1]
	for n := 0; ; n++ {
		s.m.repair(b, counts, k.index)
		if !anyPositive(counts) {
			return
		}
		a.patterns = append(a.patterns, newPattern(b, counts))
		if n == q.columns || !s.reduce(need, counts) {
			return
		}
		t = splitter{sections: s.m.bars[b].sections, value: q.value, need: need, floor: q.floor[b], states: fewShares / 2, most: 1}
		t.solve()
		a.nodes += t.nodes
		if len(t.found) == 0 {
			return
		}
		counts = t.found[len(t.found)-1]
	}
}
