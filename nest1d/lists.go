package nest1d

// state is a content of the items so far that no lighter content matches.
type state struct {
	weight, value int64
	node          int32
}

// node remembers how a state came about.
type node struct {
	parent int32
	item   int32
	count  int32
}

// lists is the dynamic programme of Nemhauser and Ullmann (Management Science
// 15 (1969) 494–505) over lists of undominated states, item by item, the
// densest first. States that cannot exceed the floor even by Dantzig's bound
// are dropped, which makes it fast when the floor is close to the optimum, as
// it is in the last rounds of column generation: there branch and bound drowns
// in contents of almost equal value. Time and memory grow with the number of
// states alone, whatever the capacity.
type lists struct {
	*knapsack
	top    int64
	best   int32
	now    []state
	next   []state
	nodes  []node
	budget int
	whole  bool // the floor stays: all above it are of interest, not the best alone
	// scanned counts states as often as they were looked at.
	scanned int64
}

// byLists is search with lists instead of branching. budget caps the number of
// states made. When aborted, ceiling is still a proved upper bound.
func (k *knapsack) byLists(floor int64, budget int) (b *branch, ceiling int64) {
	l := &lists{knapsack: k, top: floor, best: -1, budget: budget}
	open, aborted := l.run()
	ceiling = l.top
	if aborted {
		for _, s := range l.now {
			ceiling = max(ceiling, s.value+k.ceiling(open, k.capacity-s.weight))
		}
	}
	b = l.content(l.best)
	b.top, b.found, b.nodes, b.aborted = l.top, l.best >= 0, int64(len(l.nodes)), aborted
	return b, ceiling
}

// front lists all undominated contents worth more than the floor, by weight, unless
// more states than the budget are made on the way to them.
func (k *knapsack) front(floor int64, budget int) (l *lists, complete bool) {
	l = &lists{knapsack: k, top: floor, best: -1, budget: budget, whole: true}
	_, aborted := l.run()
	return l, !aborted
}

// run goes through the items, and through those before open when aborted.
func (l *lists) run() (open int, aborted bool) {
	l.now = append(l.now, state{node: -1})
	for open < len(l.weight) && !aborted {
		for left, step := l.count[open], int64(1); left > 0 && !aborted; step *= 2 {
			step = min(step, left)
			left -= step
			l.merge(open, step)
			aborted = left > 0 && len(l.nodes) > l.budget
		}
		if !aborted {
			open++
			l.prune(open)
			aborted = len(l.nodes) > l.budget && open < len(l.weight)
		}
	}
	return open, aborted
}

// content is what a node stands for.
func (l *lists) content(n int32) *branch {
	b := &branch{knapsack: l.knapsack, best: make([]int64, len(l.weight))}
	for ; n >= 0; n = l.nodes[n].parent {
		b.best[l.nodes[n].item] += int64(l.nodes[n].count)
	}
	return b
}

// merge adds step copies of item i to every state and keeps what is undominated.
func (l *lists) merge(i int, step int64) {
	dw, dv := l.weight[i]*step, l.value[i]*step
	l.scanned += int64(len(l.now))
	out := l.next[:0]
	top := int64(-1)
	j := 0 // next state to extend
	for a := 0; a < len(l.now) || j < len(l.now); {
		if j < len(l.now) && l.now[j].weight+dw > l.capacity {
			j = len(l.now)
			continue
		}
		old := a < len(l.now)
		if old && j < len(l.now) {
			w := l.now[j].weight + dw
			old = l.now[a].weight < w || l.now[a].weight == w && l.now[a].value >= l.now[j].value+dv
		}
		if old {
			if s := l.now[a]; s.value > top {
				top = s.value
				out = append(out, s)
			}
			a++
			continue
		}
		s := l.now[j]
		j++
		if s.value+dv > top {
			top = s.value + dv
			l.nodes = append(l.nodes, node{s.node, int32(i), int32(step)})
			out = append(out, state{s.weight + dw, top, int32(len(l.nodes) - 1)})
			if top > l.top && !l.whole {
				l.top, l.best = top, int32(len(l.nodes)-1)
			}
		}
	}
	l.now, l.next = out, l.now
}

// prune drops states that cannot exceed the top with the items from i on.
func (l *lists) prune(i int) {
	out := l.now[:0]
	for _, s := range l.now {
		if l.reach(i, l.capacity-s.weight, l.top+1-s.value) {
			out = append(out, s)
		}
	}
	l.now = out
}
