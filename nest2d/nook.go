package nest2d

import "math"

// A nook is where something can be set on a board: beside a node along an axis, or
// anywhere on an empty one. Those too small for any panel are left out.
type nook struct {
	free  size // how large it may be
	node  int32
	axis  int8
	group int8 // beside so many of the node's parts, the smallest along axis, and not the node itself; or 0
	equal bool // it must be as large across as the node
}

// measure brings sizes and nooks up to date, in time linear in the nodes; when
// placement is free, the spaces.
func (b *board) measure(m *model) {
	if m.free {
		b.findSpaces(m)
		return
	}
	if b.root != none {
		b.sizes(b.root)
	}
	b.findNooks(m)
}

func (b *board) sizes(v int32) {
	if b.nodes[v].panel != none {
		return
	}
	for c := b.nodes[v].first; c != none; c = b.nodes[c].next {
		b.sizes(c)
	}
	b.resize(v)
}

// resize works out the size of a split from its parts and tells whether it changed.
func (b *board) resize(v int32) bool {
	n := &b.nodes[v]
	along, across := int64(0), int64(0)
	for c := n.first; c != none; c = b.nodes[c].next {
		part := &b.nodes[c]
		along += part.size[n.axis]
		across = max(across, part.size[1-n.axis])
	}
	before := n.size
	n.size[n.axis], n.size[1-n.axis] = along, across
	return n.size != before
}

// findNooks makes the nooks anew; all sizes are up to date.
func (b *board) findNooks(m *model) {
	k := &m.kinds[b.kind]
	b.nooks, b.widest = b.nooks[:0], size{-1, -1}
	if b.root == none {
		b.nooks = append(b.nooks, nook{free: k.usable, node: none})
		b.widest = k.usable
		return
	}
	r := &b.nodes[b.root]
	most := size{math.MaxInt64, math.MaxInt64}
	if k.bladed >= 0 {
		most[k.bladed] = k.most
	}
	stage := k.base(int(r.axis))
	for axis := range 2 {
		if ok, equal := b.mayWiden(m, r, axis, stage); ok && !(k.tooLong(axis, r.size)) {
			free := size{min(k.usable[0], most[0]), min(k.usable[1], most[1])}
			free[axis] = k.usable[axis] - r.size[axis]
			b.addNook(k.least, nook{free, b.root, int8(axis), 0, equal})
		}
	}
	b.findInside(m, b.root, k.usable, most, stage)
}

// findInside finds the nooks in the parts of v, which may grow up to room and is cut by
// cuts of the given stage; no part may be larger than most.
func (b *board) findInside(m *model, v int32, room, most size, stage int) {
	n := &b.nodes[v]
	if n.panel != none {
		return
	}
	axis, least := n.axis, m.kinds[b.kind].least
	if n.up != none || m.kinds[b.kind].bladed < 0 {
		b.findBesideGroups(m, v, room, stage)
	}
	for c := n.first; c != none; c = b.nodes[c].next {
		part := &b.nodes[c]
		free := room
		free[axis] -= n.size[axis] - part.size[axis]
		free = size{min(free[0], most[0]), min(free[1], most[1])}
		inside := free
		free[1-axis] -= part.size[1-axis]
		if free[0] >= least[0] && free[1] >= least[1] {
			if ok, equal := b.mayWiden(m, part, int(1-axis), stage+1); ok {
				b.addNook(least, nook{free, c, 1 - axis, 0, equal})
			}
		}
		if part.panel == none {
			b.findInside(m, c, inside, size{math.MaxInt64, math.MaxInt64}, stage+1)
		}
	}
}

// mostGrouped is the number of parts beyond which a split is not looked at for groups.
const mostGrouped = 12

// findBesideGroups finds the nooks beside some parts of a split together, but not beside
// all: as parts stand in any order, those smallest across are set side by side. Their
// cuts come two stages later than those of the split.
func (b *board) findBesideGroups(m *model, v int32, room size, stage int) {
	n, least := &b.nodes[v], m.kinds[b.kind].least
	axis, staged, last := n.axis, m.problem.Stages > 0, m.problem.Stages
	if staged && !m.problem.TrimCut {
		last-- // no trims are due then
	}
	if staged && stage+2 > last {
		return
	}
	var few [mostGrouped]int32
	parts := b.ascending(few[:0], v)
	along := room[axis] - n.size[axis]
	for k := 0; k+1 < len(parts); k++ {
		s := &b.nodes[parts[k]].size
		along += s[axis]
		free := size{along, along}
		free[1-axis] = room[1-axis] - s[1-axis]
		if free[1-axis] < least[1-axis] || staged && stage+2+b.height(parts[k]) > last {
			return
		}
		if k > 0 {
			b.addNook(least, nook{free, v, 1 - axis, int8(k + 1), false})
		}
	}
}

// ascending appends the parts of a split by their size across, unless there are two
// only or too many.
func (b *board) ascending(parts []int32, v int32) []int32 {
	across := 1 - b.nodes[v].axis
	for c := b.nodes[v].first; c != none; c = b.nodes[c].next {
		if len(parts) == mostGrouped {
			return parts[:0]
		}
		i := len(parts)
		parts = append(parts, c)
		for ; i > 0 && b.nodes[parts[i-1]].size[across] > b.nodes[c].size[across]; i-- {
			parts[i] = parts[i-1]
		}
		parts[i] = c
	}
	if len(parts) < 3 {
		return parts[:0]
	}
	return parts
}

// joined makes the smallest parts of a split one part of it, so many as a group has.
func (b *board) joined(v int32, group int) int32 {
	var few [mostGrouped]int32
	g := b.newNode(node{panel: none, axis: b.nodes[v].axis, up: none, first: none, next: none})
	for _, c := range b.ascending(few[:0], v)[:group] {
		b.relink(c, b.nodes[c].next)
		b.adopt(g, c)
	}
	b.adopt(v, g)
	b.resize(g)
	return g
}

func (b *board) addNook(least size, k nook) {
	if k.free[0] < least[0] || k.free[1] < least[1] {
		return
	}
	b.nooks = append(b.nooks, k)
	b.widest = size{max(b.widest[0], k.free[0]), max(b.widest[1], k.free[1])}
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
	nook  int32
	pose  pose
	score int64
}

// tightest finds the best spot for a panel under a rule, or none. It passes
// over spots that skip names, but not on an empty board.
func (b *board) tightest(m *model, panel int, rule rule, skip func() bool) (best spot, found bool) {
	if m.free {
		return b.tightestSpace(m, panel, rule, skip)
	}
	for _, p := range m.kinds[b.kind].poses[panel] {
		for i := range b.nooks {
			k := &b.nooks[i]
			if p.size[0] > k.free[0] || p.size[1] > k.free[1] {
				continue
			}
			if k.equal && p.size[1-k.axis] != b.nodes[k.node].size[1-k.axis] {
				continue
			}
			if s := rule(k.free, p.size); (!found || s < best.score) && (k.node == none || !skip()) {
				best, found = spot{int32(i), p, s}, true
			}
		}
	}
	return best, found
}

// admits tells, at little cost, that a board may have a spot for a panel; it
// is wrong only in saying so.
func (b *board) admits(m *model, panel int32) bool {
	for _, p := range m.kinds[b.kind].poses[panel] {
		if p.size[0] <= b.widest[0] && p.size[1] <= b.widest[1] {
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
