package nest1d

import "math/rand/v2"

// Fewer patterns mean fewer set-ups of the saw. With the bars of the best plan
// given, patterns are chosen for being repeated (Haessler, Operations Research 23
// (1975) 483–493): for t from high to low, a bar is filled from what is needed
// of each piece divided by t, and when it is full enough it is cut t times.

// slackShares are how many times the mean waste that is left a repeated bar may
// waste: each is one attempt.
var slackShares = []int64{1, 2, 4, 8}

// repeatNodes caps the knapsack for one trial filling.
const repeatNodes = 1_000

// repeatTries is how often fewerPatterns tries; after one try for each share the
// pieces are valued a little at random.
const repeatTries = 60

// fewerPatterns looks for plans of the same purchase with fewer patterns.
func (r *run) fewerPatterns() {
	least := r.patternBound()
	for n := range repeatTries {
		if int64(len(r.best.uses)) <= max(1, least) || r.stopped() {
			return
		}
		left := make([]int64, len(r.bars))
		for _, u := range r.best.uses {
			left[u.bar] += u.count
		}
		var random *rand.Rand
		if n >= len(slackShares) {
			random = rand.New(rand.NewPCG(uint64(r.options.Seed), uint64(n)))
		}
		if p := r.repeatPlan(r.demands(), left, slackShares[n%len(slackShares)], len(r.best.uses), random); p != nil {
			r.tidy(p)
			r.offer(p)
		}
	}
}

// repeatPlan makes what is needed from the bars in left with fewer patterns than
// most, or returns nil. Need and left are used up.
func (r *run) repeatPlan(need, left []int64, share int64, most int, random *rand.Rand) *plan {
	p := &plan{}
	f := r.newRepeater(need, random)
	for anyPositive(need) {
		u, ok := f.mostRepeated(need, left, share)
		if !ok {
			return nil
		}
		r.take(&u.pattern, u.count, need, left)
		p.uses = append(p.uses, u)
		more := f.further(need, left)
		if more > 0 && int64(len(p.uses))+more >= int64(most) || r.stopped() {
			return nil
		}
	}
	return p
}

// pieceValues are the lengths, when random is given up to an eighth more.
func (r *run) pieceValues(random *rand.Rand) []int64 {
	value := make([]int64, len(r.items))
	for i := range value {
		value[i] = r.model.length(i)
		if random != nil {
			value[i] += random.Int64N(value[i]/8 + 1)
		}
	}
	return value
}

// repeater fills bars again and again in the same memory.
type repeater struct {
	*run
	value  []int64
	orders [][]int32 // of items by density, for each kind of bar
	part   []int64   // of what is needed, for one of the bars to be cut alike
	counts []int64
	bag    knapsack
	found  branch
}

func (r *run) newRepeater(need []int64, random *rand.Rand) *repeater {
	f := &repeater{run: r, value: r.pieceValues(random), orders: make([][]int32, len(r.bars)),
		part: make([]int64, len(need)), counts: make([]int64, len(need))}
	for b := range f.orders {
		f.orders[b] = byDensity(&r.bars[b], f.value, need)
	}
	return f
}

// further is the least number of patterns that what is needed still takes: as
// many bars as its length fills, none cut alike more often than there are copies
// of any one piece.
func (r *repeater) further(need, left []int64) int64 {
	var length, capacity, most int64
	for i, n := range need {
		if n > 0 {
			length += n * r.model.length(i)
			most = max(most, n)
		}
	}
	for b, n := range left {
		if n > 0 {
			capacity = max(capacity, r.problem.Stocks[r.bars[b].stock].Capacity())
		}
	}
	if most == 0 || capacity <= 0 {
		return 0
	}
	return ceilDiv(ceilDiv(length, capacity), most)
}

// mostRepeated finds a bar to cut as often as possible with little waste.
func (r *repeater) mostRepeated(need, left []int64, share int64) (use, bool) {
	waste, bars := r.waste(need, left)
	if waste < 0 || bars == 0 {
		return use{}, false
	}
	allowed := waste / bars * share
	most := int64(0)
	for _, n := range need {
		most = max(most, n)
	}
	for t, next := min(most, bars), int64(0); t > 0; t = next {
		var length int64
		next = 0 // the next lower number that makes a difference
		for i, n := range need {
			if n < t {
				r.part[i], next = 0, max(next, n)
				continue
			}
			share := n / t
			r.part[i] = share
			length += share * r.model.length(i)
			next = max(next, n/(share+1))
		}
		for _, n := range left {
			if n < t {
				next = max(next, n)
			}
		}
		if r.work.count(int64(len(need)/8 + 1)); r.stopped() {
			return use{}, false
		}
		for b, n := range left {
			s := &r.problem.Stocks[r.bars[b].stock]
			if n < t || t > 1 && length < s.Capacity()/2 {
				continue
			}
			r.bag.load(&r.bars[b], r.value, r.part, r.orders[b])
			r.found.search(&r.bag, 0, repeatNodes)
			r.work.count(r.found.nodes)
			r.found.spread(r.counts)
			r.repair(b, r.counts, r.bag.index)
			r.work.count(r.takeUncounted())
			if filled := r.length(r.counts); filled > 0 && (t == 1 || s.Capacity()-filled <= allowed) {
				q := newPattern(b, r.counts)
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
