package nest1d

import "slices"

// penalised is a knapsack whose value is changed by rows of the programme with
// which its contents are counted: the duals of cuts are taken from it, those of
// sets taken or given. Pieces that must lie together are one, and pieces that may
// not shut each other out.
type penalised struct {
	branch
	cutsOf [][]member // per place in the knapsack
	cuts   []rankOne
	sigma  []int64
	held   []int64 // copies in each cut, times their multipliers
	// members are the items of each group where several are taken as one, against
	// the places that may not be with one, and blocked how many of those are in.
	members [][]int32
	against [][]int32
	blocked []int32
	// setsOf are the sets that copies of a place count for, wanted how many places
	// must hold enough, met how many do, and gain what it brings when all do.
	setsOf [][]threshold
	wanted []int32
	met    []int32
	gain   []int64
	// lost are how many places of each set were passed with too few copies, and
	// open what the sets that are neither lost nor met can still bring.
	lost []int32
	open int64
}

// member is a cut that an item is in, with its multiplier there.
type member struct {
	cut   int32
	times int64
}

// threshold is a set for which a place must hold so many copies.
type threshold struct {
	set    int32
	copies int64
}

// newPenalised takes cuts with their duals, never negative. place maps items to
// places; nil stands for each item at its own.
func newPenalised(k *knapsack, place map[int32]int, cuts []rankOne, sigma []int64) *penalised {
	p := &penalised{branch: branch{knapsack: k}, cutsOf: make([][]member, len(k.weight)), cuts: cuts, sigma: sigma, held: make([]int64, len(cuts))}
	if place == nil {
		place = k.places()
	}
	for c := range cuts {
		if sigma[c] == 0 {
			continue
		}
		for n, x := range cuts[c].items {
			if i, in := place[x]; in {
				p.cutsOf[i] = append(p.cutsOf[i], member{int32(c), cuts[c].times[n]})
			}
		}
	}
	return p
}

// places maps items to their places.
func (k *knapsack) places() map[int32]int {
	place := make(map[int32]int, len(k.index))
	for i, x := range k.index {
		place[x] = i
	}
	return place
}

// withSets gives contents in a set so much more value, or less. All items of sets
// that give must be in the knapsack if they fit the bar.
func (p *penalised) withSets(place map[int32]int, sets []set, gain []int64) {
	p.setsOf, p.gain = make([][]threshold, len(p.weight)), gain
	p.wanted, p.met, p.lost = make([]int32, len(sets)), make([]int32, len(sets)), make([]int32, len(sets))
next:
	for n := range sets {
		if gain[n] == 0 {
			continue
		}
		entries := sets[n].entries()
		for _, e := range entries {
			if at, in := place[e.item]; !in || p.count[at] < int64(e.count) {
				continue next // none of its contents fits this bar
			}
		}
		for _, e := range entries {
			p.setsOf[place[e.item]] = append(p.setsOf[place[e.item]], threshold{int32(n), int64(e.count)})
		}
		p.wanted[n] = int32(len(entries))
		p.open += max(0, gain[n])
	}
}

// pass goes beyond place i with so many copies of it, or undoes that.
func (p *penalised) pass(i int, copies int64, undo bool) {
	if p.setsOf == nil {
		return
	}
	for _, t := range p.setsOf[i] {
		n, gain := t.set, max(0, p.gain[t.set])
		switch {
		case copies >= t.copies && undo:
			if p.met[n]--; p.met[n] == p.wanted[n]-1 {
				p.open += gain
			}
		case copies >= t.copies:
			if p.met[n]++; p.met[n] == p.wanted[n] {
				p.open -= gain
			}
		case undo:
			if p.lost[n]--; p.lost[n] == 0 {
				p.open += gain
			}
		default:
			if p.lost[n]++; p.lost[n] == 1 {
				p.open -= gain
			}
		}
	}
}

// brought is what the sets bring that are met with place i, just passed.
func (p *penalised) brought(i int) int64 {
	if p.setsOf == nil {
		return 0
	}
	sum := int64(0)
	for k, t := range p.setsOf[i] {
		again := slices.ContainsFunc(p.setsOf[i][:k], func(u threshold) bool { return u.set == t.set })
		if p.met[t.set] == p.wanted[t.set] && p.now[i] >= t.copies && !again {
			sum += p.gain[t.set]
		}
	}
	return sum
}

// put changes how many copies of place i are in, and returns what that costs.
func (p *penalised) put(i int, by int64) int64 {
	cost := int64(0)
	if p.against != nil {
		for _, k := range p.against[i] {
			if by > 0 {
				p.blocked[k]++
			} else {
				p.blocked[k]--
			}
		}
	}
	for _, m := range p.cutsOf[i] {
		was, d := p.held[m.cut], p.cuts[m.cut].by
		p.held[m.cut] += by * m.times
		cost += p.sigma[m.cut] * (p.held[m.cut]/d - was/d)
	}
	return cost
}

// search is branch.search with penalties.
func (p *penalised) search(floor, budget int64) {
	p.top, p.budget = floor, budget
	p.now, p.best = make([]int64, len(p.weight)), make([]int64, len(p.weight))
	p.descend(0, p.capacity, 0)
}

func (p *penalised) descend(i int, rest, value int64) {
	p.nodes++
	if p.nodes > p.budget {
		p.aborted = true
		return
	}
	if value > p.top {
		p.top, p.found = value, true
		copy(p.best, p.now)
	}
	first := i
	for ; i < len(p.weight) && p.lightest[i] <= rest && !p.aborted; i++ {
		if !p.within(i, rest, value) {
			break
		}
		p.pass(i, 0, false)
	}
	for i--; i >= first; i-- {
		p.pass(i, 0, true)
	}
}

// within tries all contents with copies of place i, and reports whether those
// without it may be worth more than the best.
func (p *penalised) within(i int, rest, value int64) bool {
	w := p.weight[i]
	if w > rest || p.blocked != nil && p.blocked[i] > 0 {
		return true
	}
	if !p.reach(i, rest, p.top+1-value-p.open) {
		return false
	}
	for n := min(p.count[i], rest/w); n > 0; n-- {
		cost := p.put(i, n)
		p.now[i] = n
		p.pass(i, n, false)
		p.descend(i+1, rest-n*w, value+n*p.knapsack.value[i]-cost+p.brought(i))
		p.pass(i, n, true)
		p.put(i, -n)
		p.now[i] = 0
		if p.aborted {
			return false
		}
		// A table is exact: fewer copies may make up what one less does not.
		if p.table == nil && !p.reach(i+1, rest-(n-1)*w, p.top+1-value-p.open-(n-1)*p.knapsack.value[i]) {
			return false
		}
	}
	return true
}

// spread spreads the best content over all items of the model.
func (p *penalised) spread(items int) []int64 {
	if p.members == nil {
		return p.contents(items)
	}
	c := make([]int64, items)
	for at, g := range p.index {
		for _, i := range p.members[g] {
			c[i] = p.best[at]
		}
	}
	return c
}
