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
}

// byLists is search with lists instead of branching. budget caps the number of
// states made. When aborted, ceiling is still a proved upper bound.
func (k *knapsack) byLists(floor int64, budget int) (b *branch, ceiling int64) {
	l := &lists{knapsack: k, top: floor, best: -1, budget: budget}
	l.now = append(l.now, state{node: -1})
	b = &branch{knapsack: k, best: make([]int64, len(k.weight))}
	open := 0 // items from here on may come yet
	for open < len(k.weight) && !b.aborted {
		for left, step := k.count[open], int64(1); left > 0 && !b.aborted; step *= 2 {
			step = min(step, left)
			left -= step
			l.merge(open, step)
			b.aborted = left > 0 && len(l.nodes) > l.budget
		}
		if !b.aborted {
			open++
			l.prune(open)
			b.aborted = len(l.nodes) > l.budget && open < len(k.weight)
		}
	}
	ceiling = l.top
	if b.aborted {
		for _, s := range l.now {
			ceiling = max(ceiling, s.value+k.ceiling(open, k.capacity-s.weight))
		}
	}
	b.top, b.found, b.nodes = l.top, l.best >= 0, int64(len(l.nodes))
	for n := l.best; n >= 0; n = l.nodes[n].parent {
		b.best[l.nodes[n].item] += int64(l.nodes[n].count)
	}
	return b, ceiling
}

// merge adds step copies of item i to every state and keeps what is undominated.
func (l *lists) merge(i int, step int64) {
	dw, dv := l.weight[i]*step, l.value[i]*step
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
			if top > l.top {
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
