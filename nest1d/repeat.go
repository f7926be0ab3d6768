package nest1d

// Fewer patterns mean fewer set-ups of the saw. With the bars of the best plan
// given, patterns are chosen for being repeated (Haessler, Operations Research 23
// (1975) 483–493): for t from high to low, a bar is filled from what is needed
// of each piece divided by t, and when it is full enough it is cut t times.

// slackShares are how many times the mean waste that is left a repeated bar may
// waste: each is one attempt.
var slackShares = []int64{1, 2, 4}

// repeatNodes caps the knapsack for one trial filling.
const repeatNodes = 1_000

// fewerPatterns looks for plans of the same purchase with fewer patterns.
func (r *run) fewerPatterns() {
	for _, share := range slackShares {
		if len(r.best.uses) <= 1 || r.stopped() {
			return
		}
		left := make([]int64, len(r.bars))
		for _, u := range r.best.uses {
			left[u.bar] += u.count
		}
		if p := r.repeatPlan(left, share); p != nil {
			r.tidy(p)
			r.offer(p)
		}
	}
}

// repeatPlan uses up the bars in left, or returns nil when pieces are left over.
func (r *run) repeatPlan(left []int64, share int64) *plan {
	p := &plan{}
	need := r.demands()
	for anyPositive(need) {
		u, ok := r.mostRepeated(need, left, share)
		if !ok {
			return nil
		}
		r.take(&u.pattern, u.count, need, left)
		p.uses = append(p.uses, u)
		if len(p.uses) >= len(r.best.uses) && anyPositive(need) || r.stopped() {
			return nil
		}
	}
	return p
}

// mostRepeated finds a bar to cut as often as possible with little waste.
func (r *run) mostRepeated(need, left []int64, share int64) (use, bool) {
	waste, bars := r.waste(need, left)
	if waste < 0 || bars == 0 {
		return use{}, false
	}
	allowed := waste / bars * share
	most := int64(0)
	for _, n := range need {
		most = max(most, n)
	}
	part := make([]int64, len(need))
	for t := min(most, bars); t > 0; t-- {
		var length int64
		for i, n := range need {
			part[i] = n / t
			length += part[i] * r.model.length(i)
		}
		for b, n := range left {
			s := &r.problem.Stocks[r.bars[b].stock]
			if n < t || t > 1 && length < s.Capacity()/2 {
				continue
			}
			k := newKnapsack(&r.bars[b], r.bars[b].weight, part)
			found := k.search(0, repeatNodes)
			r.work.count(found.nodes)
			counts := found.contents(len(need))
			r.repair(b, counts, k.index)
			q := newPattern(b, counts)
			if len(q.items) > 0 && (t == 1 || s.Capacity()-r.pieceLength(&q) <= allowed) {
				return use{q, min(n, r.model.repeats(&q, need, left))}, true
			}
		}
	}
	return use{}, false
}

// waste is the length that the bars left hold beyond the pieces needed.
func (r *run) waste(need, left []int64) (length, bars int64) {
	for b, n := range left {
		length += n * r.problem.Stocks[r.bars[b].stock].Capacity()
		bars += n
	}
	for i, n := range need {
		length -= n * r.model.length(i)
	}
	return length, bars
}

func (m *model) pieceLength(p *pattern) int64 {
	var sum int64
	for _, e := range p.items {
		sum += int64(e.count) * m.length(int(e.item))
	}
	return sum
}

// patternBound is the least number of different patterns: each bar holds only
// so many different items.
func (m *model) patternBound() int64 {
	kinds := 0
	for b := range m.bars {
		one := make([]int64, len(m.items))
		for i := range one {
			one[i] = 1
		}
		k := newKnapsack(&m.bars[b], one, one)
		kinds = max(kinds, int(k.ceiling(0, k.capacity)))
	}
	if kinds == 0 {
		return 0
	}
	return ceilDiv(int64(len(m.items)), int64(kinds))
}
