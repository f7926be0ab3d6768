package nest2d

import "math"

// A board is a sheet with the tree of cuts planned for it.
//
// The tree holds least sizes only: a split on an axis measures the sum of its
// parts along that axis and the largest of them across. Waste is not in the
// tree; it is what the sheet has left over, and it can be wanted anywhere.
// So a new panel may stand beside any node, as far as the room of that node
// allows: its own size and all the sheet can still give to it without any
// other node shrinking. Every guillotine pattern is such a tree, made by
// adding panels one at a time, and taking a panel out leaves no scar.
//
// Splits alternate in axis and have at least two parts.
type board struct {
	kind   int
	nodes  []node
	root   int32
	spare  int32 // head of the list of unused nodes
	load   int64 // weight of the panels on the board
	widest size  // largest gaps of any node, to pass over full boards quickly
	kept   bool  // part of a plan that is remembered: not to be used again
	floor
}

const none = int32(-1)

// A node is a panel or a split.
type node struct {
	size   size
	room   size  // how large the node may grow
	gap    size  // how much may be set beside the node along an axis; -1 is nothing
	panel  int32 // -1 marks a split
	up     int32
	first  int32
	next   int32
	axis   int8
	turned bool
	equal  [2]bool // what is set beside must be as large across
}

func (b *board) reset(m *model, kind int) {
	b.kind, b.nodes, b.root, b.spare, b.load, b.kept = kind, b.nodes[:0], none, none, 0, false
	if m.free {
		b.floor.clear(m.kinds[kind].usable)
		b.widest = m.kinds[kind].usable
	}
}

// extent is how much there is to look at for a spot.
func (b *board) extent() int64 { return int64(len(b.nodes) + spaceWork*len(b.spaces)) }

func (b *board) empty() bool { return b.root == none && len(b.laid) == 0 }

// each goes through the panels on the board.
func (b *board) each(yield func(panel int32) bool) {
	for v := range b.nodes {
		if p := b.nodes[v].panel; p != none && !yield(p) {
			return
		}
	}
	for _, l := range b.laid {
		if !yield(l.panel) {
			return
		}
	}
}

func (b *board) copyFrom(o *board) {
	nodes, laid, spaces := append(b.nodes[:0], o.nodes...), append(b.laid[:0], o.laid...), append(b.spaces[:0], o.spaces...)
	*b = *o
	b.nodes, b.laid, b.spaces, b.kept = nodes, laid, spaces, false
}

func (b *board) newNode(n node) int32 {
	if b.spare == none {
		b.nodes = append(b.nodes, n)
		return int32(len(b.nodes) - 1)
	}
	v := b.spare
	b.spare = b.nodes[v].next
	b.nodes[v] = n
	return v
}

func (b *board) release(v int32) {
	b.nodes[v] = node{next: b.spare, panel: none, gap: size{-1, -1}, up: none, first: none}
	b.spare = v
}

// place sets a row of copies of a panel beside node v along an axis, or one on
// the empty board. When placement is free, it sets one into space v.
func (b *board) place(m *model, v int32, axis int, panel int, p pose, row int) {
	if m.free {
		b.lay(m, b.spaces[v].at, int32(panel), p)
		return
	}
	leaf := func() int32 {
		b.load += m.weight[panel]
		return b.newNode(node{size: p.size, panel: int32(panel), turned: p.turned, up: none, first: none, next: none})
	}
	last := leaf()
	if v == none {
		b.root = last
		b.measure(m)
		return
	}
	if b.nodes[v].panel != none || int(b.nodes[v].axis) != axis {
		s := b.newNode(node{panel: none, axis: int8(axis), up: none, first: none, next: none})
		b.replace(v, s)
		b.adopt(s, v)
		v = s
	}
	b.adopt(v, last)
	for range row - 1 {
		n := leaf()
		b.nodes[n].up, b.nodes[last].next = v, n
		last = n
	}
	b.measure(m)
}

// adopt makes v the last part of split s.
func (b *board) adopt(s, v int32) {
	b.nodes[v].up, b.nodes[v].next = s, none
	if b.nodes[s].first == none {
		b.nodes[s].first = v
		return
	}
	last := b.nodes[s].first
	for b.nodes[last].next != none {
		last = b.nodes[last].next
	}
	b.nodes[last].next = v
}

// replace puts node n where v stands.
func (b *board) replace(v, n int32) {
	up, next := b.nodes[v].up, b.nodes[v].next
	b.nodes[n].up, b.nodes[n].next = up, next
	b.relink(v, n)
}

// relink lets whatever points to v as root or part point to n instead.
func (b *board) relink(v, n int32) {
	up := b.nodes[v].up
	switch {
	case up == none:
		b.root = n
	case b.nodes[up].first == v:
		b.nodes[up].first = n
	default:
		w := b.nodes[up].first
		for b.nodes[w].next != v {
			w = b.nodes[w].next
		}
		b.nodes[w].next = n
	}
}

// remove takes the panel v off the board; measure must follow.
func (b *board) remove(m *model, v int32) {
	b.load -= m.weight[b.nodes[v].panel]
	up := b.nodes[v].up
	b.relink(v, b.nodes[v].next)
	if up == none {
		b.root = none
		b.release(v)
		return
	}
	b.release(v)
	only := b.nodes[up].first
	if b.nodes[only].next != none {
		return
	}
	// A split with a single part is no split.
	top := b.nodes[up].up
	if b.nodes[only].panel != none || top == none {
		b.replace(up, only)
		b.release(up)
		return
	}
	// The part is a split on the axis of the split above: its parts join that.
	next := b.nodes[up].next
	b.relink(up, b.nodes[only].first)
	for c := b.nodes[only].first; ; c = b.nodes[c].next {
		b.nodes[c].up = top
		if b.nodes[c].next == none {
			b.nodes[c].next = next
			break
		}
	}
	b.release(only)
	b.release(up)
}

// measure brings sizes, rooms and gaps up to date, in time linear in the nodes;
// when placement is free, the spaces.
func (b *board) measure(m *model) {
	if m.free {
		b.findSpaces(m)
		return
	}
	b.widest = size{-1, -1}
	if b.root == none {
		return
	}
	b.sizes(b.root)
	r := &b.nodes[b.root]
	r.room = m.kinds[b.kind].usable
	b.gaps(m, b.root, m.kinds[b.kind].base(int(r.axis)))
}

func (b *board) sizes(v int32) {
	n := &b.nodes[v]
	if n.panel != none {
		return
	}
	n.size = size{}
	for c := n.first; c != none; c = b.nodes[c].next {
		b.sizes(c)
		n.size[n.axis] += b.nodes[c].size[n.axis]
		n.size[1-n.axis] = max(n.size[1-n.axis], b.nodes[c].size[1-n.axis])
	}
}

// gaps sets rooms and gaps below v, whose own room is set and whose cuts, if
// it is a split, are of the given stage.
func (b *board) gaps(m *model, v int32, stage int) {
	n := &b.nodes[v]
	n.gap, n.equal = size{-1, -1}, [2]bool{}
	for axis := range 2 {
		if ok, equal := b.mayWiden(m, n, axis, stage); ok {
			n.gap[axis] = n.room[axis] - n.size[axis]
			n.equal[axis] = equal
			b.widest[axis] = max(b.widest[axis], n.gap[axis])
		}
	}
	most, bladed := size{math.MaxInt64, math.MaxInt64}, m.kinds[b.kind].bladed
	if n.up == none && bladed >= 0 {
		most[bladed] = m.kinds[b.kind].most
		if n.size[bladed] > most[bladed] {
			n.gap[1-bladed] = -1
		}
	}
	for c := n.first; n.panel == none && c != none; c = b.nodes[c].next {
		part := &b.nodes[c]
		part.room = n.room
		part.room[n.axis] -= n.size[n.axis] - part.size[n.axis]
		part.room = size{min(part.room[0], most[0]), min(part.room[1], most[1])}
		b.gaps(m, c, stage+1)
	}
	n.room = size{min(n.room[0], most[0]), min(n.room[1], most[1])}
}

// mayWiden tells whether the stages allow a panel beside n along an axis, and
// whether the two must then be equal across. For a panel, stage is that of
// the cuts that would part it.
func (b *board) mayWiden(m *model, n *node, axis, stage int) (ok, equal bool) {
	limit, exact := m.problem.Stages, !m.problem.TrimCut
	isSplit := n.panel == none
	if isSplit && int(n.axis) == axis {
		return true, limit > 0 && exact && stage == limit
	}
	if n.up != none {
		if isSplit || int(b.nodes[n.up].axis) == axis {
			return false, false
		}
		return limit == 0 || stage <= limit, limit > 0 && exact && stage == limit
	}
	if limit == 0 {
		return true, false
	}
	deepest := m.kinds[b.kind].base(axis)
	if isSplit {
		deepest += b.height(b.root)
	}
	if deepest > limit {
		return false, false
	}
	if !exact || deepest < limit {
		return true, false
	}
	if isSplit {
		return b.even(b.root, m.kinds[b.kind].base(axis)+1, limit), false
	}
	return limit > 1 || n.size[1-axis] == m.kinds[b.kind].usable[1-axis], true
}

// height counts the levels of splits from v down.
func (b *board) height(v int32) int {
	n := &b.nodes[v]
	if n.panel != none {
		return 0
	}
	h := 0
	for c := n.first; c != none; c = b.nodes[c].next {
		h = max(h, b.height(c))
	}
	return h + 1
}

// even tells whether, with the cuts of v being of the given stage, the parts
// of every split of the last stage are equal across, so that no trim is due.
func (b *board) even(v int32, stage, last int) bool {
	n := &b.nodes[v]
	if n.panel != none {
		return true
	}
	for c := n.first; c != none; c = b.nodes[c].next {
		if stage == last && b.nodes[c].size[1-n.axis] != n.size[1-n.axis] || !b.even(c, stage+1, last) {
			return false
		}
	}
	return true
}

// A spot is a place for a panel on a board.
type spot struct {
	node  int32
	axis  int
	pose  pose
	score int64
}

// tightest finds the best spot for a panel under a rule, or none. It passes
// over spots that skip names.
func (b *board) tightest(m *model, panel int, rule rule, skip func() bool) (best spot, found bool) {
	if m.free {
		return b.tightestSpace(m, panel, rule, skip)
	}
	for _, p := range m.kinds[b.kind].poses[panel] {
		if b.root == none {
			s := rule(m.kinds[b.kind].usable, p.size)
			if !found || s < best.score {
				best, found = spot{none, 0, p, s}, true
			}
			continue
		}
		for v := range b.nodes {
			n := &b.nodes[v]
			for axis := range 2 {
				if p.size[axis] > n.gap[axis] || p.size[1-axis] > n.room[1-axis] {
					continue
				}
				if n.equal[axis] && p.size[1-axis] != n.size[1-axis] {
					continue
				}
				free := n.room
				free[axis] = n.gap[axis]
				if s := rule(free, p.size); (!found || s < best.score) && !skip() {
					best, found = spot{int32(v), axis, p, s}, true
				}
			}
		}
	}
	return best, found
}

// admits tells, at little cost, that a board may have a spot for a panel; it
// is wrong only in saying so.
func (b *board) admits(m *model, panel int32) bool {
	for _, p := range m.kinds[b.kind].poses[panel] {
		if m.free {
			if p.size[0] <= b.widest[0] && p.size[1] <= b.widest[1] {
				return true
			}
			continue
		}
		if b.root == none || p.size[0] <= b.widest[0] || p.size[1] <= b.widest[1] {
			return true
		}
	}
	return false
}

// A rule scores a panel in a free rectangle; less is better.
type rule func(free, panel size) int64

func leastArea(free, panel size) int64 { return free[0]*free[1] - panel[0]*panel[1] }

func leastSide(free, panel size) int64 { return min(free[0]-panel[0], free[1]-panel[1]) }

func leastLongSide(free, panel size) int64 { return max(free[0]-panel[0], free[1]-panel[1]) }
