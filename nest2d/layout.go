package nest2d

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// layout draws the cut tree of a board in sheet coordinates. Where the first
// cut may run either way, the way that leaves the larger offcut is taken.
func (m *model) layout(b *board) Layout {
	if m.free {
		return m.spread(b)
	}
	var best Layout
	bestOffcut := int64(-1)
	for _, axis := range []int{axisX, axisY} {
		if m.kinds[b.kind].base(axis) == 2 {
			continue
		}
		l := m.draw(b, axis)
		if v := largestWaste(l.Tree); v > bestOffcut && m.withinStages(l) {
			best, bestOffcut = l, v
		}
	}
	return best
}

func (m *model) withinStages(l Layout) bool {
	return m.problem.checkStages(l.Tree) == nil
}

type drawing struct {
	model  *model
	board  *board
	kerf   int64
	layout *Layout
}

func (m *model) draw(b *board, axis int) Layout {
	s := m.problem.Sheets[b.kind]
	l := Layout{Sheet: b.kind, Count: 1}
	d := drawing{m, b, s.Kerf, &l}
	k := m.kinds[b.kind]
	region := Node{
		X: s.TrimLeft, Y: s.TrimBottom,
		Length: k.usable[axisX] - s.Kerf, Width: k.usable[axisY] - s.Kerf,
	}
	l.Tree = d.node(b.root, region, axis, 1)
	return l
}

// node draws tree node v in a rectangle of which the other axis was cut last
// and which is therefore to be cut on the given axis.
func (d drawing) node(v int32, r Node, axis, stage int) *Node {
	n := &d.board.nodes[v]
	isPanel := n.panel != none
	tight := [2]bool{n.size[axisX] == r.Length+d.kerf, n.size[axisY] == r.Width+d.kerf}
	if isPanel && tight[axisX] && tight[axisY] {
		r.Kind, r.Place = Whole, len(d.layout.Places)
		d.layout.Places = append(d.layout.Places, Place{Panel: int(n.panel), X: r.X, Y: r.Y, Turned: n.turned})
		return &r
	}
	if stage == 1 && d.model.kinds[d.board.kind].first == AnyDirection && tight[axis] && (isPanel || int(n.axis) != axis) {
		return d.node(v, r, 1-axis, stage) // nothing to cut this way
	}
	parts := []int32{v}
	if !isPanel && int(n.axis) == axis {
		parts = d.parts(v)
	}
	r.Kind, r.Cut, r.Stage = Split, cutOf(axis), stage
	at, end := r.X, r.X+r.Length
	if axis == axisY {
		at, end = r.Y, r.Y+r.Width
	}
	for _, c := range parts {
		extent := d.board.nodes[c].size[axis] - d.kerf
		r.Children = append(r.Children, d.node(c, r.slice(axis, at, extent), 1-axis, stage+1))
		at += extent + d.kerf
	}
	if at < end {
		waste := r.slice(axis, at, end-at)
		r.Children = append(r.Children, &waste)
	}
	return &r
}

// slice is the part of r from at on, as yet without a use.
func (r Node) slice(axis int, at, extent int64) Node {
	s := Node{X: r.X, Y: r.Y, Length: r.Length, Width: r.Width}
	if axis == axisX {
		s.X, s.Length = at, extent
	} else {
		s.Y, s.Width = at, extent
	}
	return s
}

// parts lists the parts of a split in the order in which they are drawn.
func (d drawing) parts(v int32) []int32 {
	n := &d.board.nodes[v]
	var parts []int32
	for c := n.first; c != none; c = d.board.nodes[c].next {
		if !d.model.isOffcut(d.board.nodes[c].panel) {
			parts = append(parts, c)
		}
	}
	slices.SortStableFunc(parts, func(a, b int32) int {
		p, q := &d.board.nodes[a], &d.board.nodes[b]
		return cmp.Or(
			cmp.Compare(q.size[1-n.axis], p.size[1-n.axis]),
			cmp.Compare(q.size[n.axis], p.size[n.axis]),
			cmp.Compare(p.panel, q.panel),
		)
	})
	return parts
}

// largestWaste is the area of the largest single rectangle of waste.
func largestWaste(n *Node) int64 {
	if n.Kind == Waste {
		return n.Length * n.Width
	}
	largest := int64(0)
	for _, c := range n.Children {
		largest = max(largest, largestWaste(c))
	}
	return largest
}

// layouts draws all boards, groups those with the same panels in the same places, and
// sorts them. All of a group are cut in the way that leaves the larger offcut.
func (m *model) layouts(boards []*board) []Layout {
	keyed := make(map[string]int)
	var keys []string
	var out []Layout
	for _, b := range boards {
		if b.empty() {
			continue
		}
		l := m.layout(b)
		if m.problem.Free {
			l.Tree = nil
			sortPlaces(l.Places)
		}
		places := l
		places.Tree = nil
		key := describe(places)
		i, met := keyed[key]
		switch {
		case !met:
			keyed[key] = len(out)
			keys, out = append(keys, describe(l)), append(out, l)
			continue
		case l.Tree != nil && largestWaste(l.Tree) > largestWaste(out[i].Tree):
			keys[i], out[i].Tree = describe(l), l.Tree
		}
		out[i].Count++
	}
	order := make([]int, len(out))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, func(i, j int) int {
		return cmp.Or(
			cmp.Compare(out[i].Sheet, out[j].Sheet),
			cmp.Compare(out[j].Count, out[i].Count),
			strings.Compare(keys[i], keys[j]),
		)
	})
	sorted := make([]Layout, len(out))
	for i, j := range order {
		sorted[i] = out[j]
	}
	return sorted
}

// describe writes out a layout, so that equal texts mean equal layouts.
func describe(l Layout) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d", l.Sheet)
	if l.Tree == nil {
		for _, p := range l.Places {
			fmt.Fprintf(&b, " %d@%d,%d,%t in %d", p.Panel, p.X, p.Y, p.Turned, p.In)
		}
		return b.String()
	}
	var walk func(*Node)
	walk = func(n *Node) {
		fmt.Fprintf(&b, " %d@%d,%d:%d×%d", n.Kind, n.X, n.Y, n.Length, n.Width)
		if n.Kind == Whole {
			p := l.Places[n.Place]
			fmt.Fprintf(&b, "=%d,%t", p.Panel, p.Turned)
		}
		for _, c := range n.Children {
			walk(c)
		}
		b.WriteString(";")
	}
	walk(l.Tree)
	return b.String()
}
