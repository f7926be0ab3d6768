package nest2d

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
	nooks  []nook
	widest size // of all nooks or spaces, along each axis, to pass over full boards quickly
	kept   bool // part of a plan that is remembered: not to be used again
	floor
}

const none = int32(-1)

// A node is a panel or a split.
type node struct {
	size   size
	panel  int32 // -1 marks a split
	up     int32
	first  int32
	next   int32
	axis   int8
	turned bool
}

func (b *board) reset(m *model, kind int) {
	b.kind, b.nodes, b.root, b.spare, b.load, b.kept = kind, b.nodes[:0], none, none, 0, false
	if m.free {
		b.floor.clear(m.kinds[kind].usable)
		b.widest = m.kinds[kind].usable
		return
	}
	b.findNooks(m)
}

// extent is how much there is to look at when a board is measured.
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
	nodes, nooks := append(b.nodes[:0], o.nodes...), append(b.nooks[:0], o.nooks...)
	laid, spaces := append(b.laid[:0], o.laid...), append(b.spaces[:0], o.spaces...)
	*b = *o
	b.nodes, b.nooks, b.laid, b.spaces, b.kept = nodes, nooks, laid, spaces, false
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
	b.nodes[v] = node{next: b.spare, panel: none, up: none, first: none}
	b.spare = v
}

// place sets a row of copies of a panel at a spot, where they have room; on an empty
// board, or when placement is free, one.
func (b *board) place(m *model, at spot, panel int, row int) {
	p := at.pose
	if m.free {
		b.lay(m, b.spaces[at.nook].at, int32(panel), p)
		return
	}
	v, axis, group := b.nooks[at.nook].node, b.nooks[at.nook].axis, b.nooks[at.nook].group
	leaf := func() int32 {
		b.load += m.weight[panel]
		return b.newNode(node{size: p.size, panel: int32(panel), turned: p.turned, up: none, first: none, next: none})
	}
	last := leaf()
	if v == none {
		b.root = last
		b.findNooks(m)
		return
	}
	if group > 0 {
		v = b.joined(v, int(group))
	}
	if b.nodes[v].panel != none || b.nodes[v].axis != axis {
		s := b.newNode(node{panel: none, axis: axis, up: none, first: none, next: none})
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
	for u := v; u != none && b.resize(u); u = b.nodes[u].up {
	}
	b.findNooks(m)
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
