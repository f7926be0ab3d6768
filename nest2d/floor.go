package nest2d

import (
	"cmp"
	"slices"
)

// Free placement
//
// Where panels may lie anywhere, a board holds them by their positions, and
// with them all spaces: the free rectangles that are not part of a larger free
// rectangle. A panel goes into the lower left corner of a space; that splits
// every space it touches into at most four. Whatever can be placed without
// moving a panel fits a space, so nothing is overlooked.
//
// Trees of cuts lose no room when a panel is taken out, for they only know
// least sizes. Positions leave a hole. So after a ruin the panels that are left
// slide into a corner of the sheet, one of the four at random: the board is
// mirrored, and the panels go left and down as far as they can, which no panel
// needs to turn back for (a normal pattern: Herz 1972; Christofides & Whitlock
// 1977). The corner changes from time to time, and so does what is below and
// left of what.
//
// J. C. Herz, "Recursive computational procedure for two-dimensional stock
// cutting", IBM Journal of Research and Development 16 (1972) 462–469;
// N. Christofides & C. Whitlock, "An algorithm for two-dimensional cutting
// problems", Operations Research 25 (1977) 30–44.

// A floor is a sheet on which panels lie anywhere. All sizes are grown by one
// kerf, and positions start at the corner of the trimmed sheet: panels that do
// not overlap are then a kerf apart.
type floor struct {
	laid   []laid
	spaces []space
}

// laid is a panel at its place.
type laid struct {
	space
	panel  int32
	turned bool
}

// A space is a rectangle of a floor.
type space struct{ at, size size }

func (a space) overlaps(b space) bool {
	return a.at[0] < b.at[0]+b.size[0] && b.at[0] < a.at[0]+a.size[0] &&
		a.at[1] < b.at[1]+b.size[1] && b.at[1] < a.at[1]+a.size[1]
}

func (a space) contains(b space) bool {
	return a.at[0] <= b.at[0] && b.at[0]+b.size[0] <= a.at[0]+a.size[0] &&
		a.at[1] <= b.at[1] && b.at[1]+b.size[1] <= a.at[1]+a.size[1]
}

func (f *floor) clear(usable size) {
	f.laid = f.laid[:0]
	f.spaces = append(f.spaces[:0], space{size: usable})
}

// occupy takes a rectangle out of the spaces. Those that are smaller than
// least along an axis are of no use and left out.
func (f *floor) occupy(r space, least size) {
	var few [16]space
	parts := few[:0]
	kept := f.spaces[:0]
	for _, s := range f.spaces {
		if !s.overlaps(r) {
			kept = append(kept, s)
			continue
		}
		for axis := range 2 {
			if before := r.at[axis] - s.at[axis]; before >= least[axis] && before > 0 {
				part := s
				part.size[axis] = before
				parts = append(parts, part)
			}
			end := r.at[axis] + r.size[axis]
			if after := s.at[axis] + s.size[axis] - end; after >= least[axis] && after > 0 {
				part := s
				part.at[axis], part.size[axis] = end, after
				parts = append(parts, part)
			}
		}
	}
	// A space that is left whole is part of no other; a part may be.
	whole := len(kept)
parts:
	for i, p := range parts {
		for _, s := range kept[:whole] {
			if s.contains(p) {
				continue parts
			}
		}
		for j, o := range parts {
			if i != j && o.contains(p) && (o != p || j < i) {
				continue parts
			}
		}
		kept = append(kept, p)
	}
	f.spaces = kept
}

// slide moves all panels left and down until none can move further alone, or a
// few rounds have passed, after mirroring the floor along the axes named.
func (f *floor) slide(usable size, mirror [2]bool) {
	for axis, mirrored := range mirror {
		for i := range f.laid {
			if l := &f.laid[i]; mirrored {
				l.at[axis] = usable[axis] - l.at[axis] - l.size[axis]
			}
		}
	}
	for range slideRounds {
		moved := false
		for axis := range 2 {
			moved = f.slideAlong(axis) || moved
		}
		if !moved {
			return
		}
	}
}

const slideRounds = 4

func (f *floor) slideAlong(axis int) (moved bool) {
	across := 1 - axis
	slices.SortFunc(f.laid, func(a, b laid) int {
		return cmp.Or(cmp.Compare(a.at[axis], b.at[axis]), cmp.Compare(a.at[across], b.at[across]))
	})
	for i := range f.laid {
		l, to := &f.laid[i], int64(0)
		for _, o := range f.laid[:i] {
			if o.at[across] < l.at[across]+l.size[across] && l.at[across] < o.at[across]+o.size[across] {
				to = max(to, o.at[axis]+o.size[axis])
			}
		}
		if to < l.at[axis] {
			l.at[axis], moved = to, true
		}
	}
	return moved
}

// spaceWork is what looking at a space counts for, in nodes.
const spaceWork = 2

// tightestSpace is the best space for a panel under a rule, or none. On an
// empty floor it skips nothing.
func (b *board) tightestSpace(m *model, panel int, rule rule, skip func() bool) (best spot, found bool) {
	for _, p := range m.kinds[b.kind].poses[panel] {
		for i := range b.spaces {
			s := &b.spaces[i]
			if p.size[0] > s.size[0] || p.size[1] > s.size[1] {
				continue
			}
			if v := rule(s.size, p.size); (!found || v < best.score) && (len(b.laid) == 0 || !skip()) {
				best, found = spot{nook: int32(i), pose: p, score: v}, true
			}
		}
	}
	return best, found
}

// lay puts a panel on the board, its lower left corner at a point.
func (b *board) lay(m *model, at size, panel int32, p pose) {
	l := laid{space{at, p.size}, panel, p.turned}
	b.laid = append(b.laid, l)
	b.load += m.weight[panel]
	b.occupy(l.space, m.kinds[b.kind].least)
	b.widen()
}

// findSpaces makes the spaces anew.
func (b *board) findSpaces(m *model) {
	k := &m.kinds[b.kind]
	b.spaces = append(b.spaces[:0], space{size: k.usable})
	for _, l := range b.laid {
		b.occupy(l.space, k.least)
	}
	b.widen()
}

func (b *board) widen() {
	b.widest = size{-1, -1}
	for _, s := range b.spaces {
		b.widest = size{max(b.widest[0], s.size[0]), max(b.widest[1], s.size[1])}
	}
}

// ruinFloors takes about count panels off a few boards: single ones, and those
// that lie close together.
func (s *search) ruinFloors(d *draft, count int) {
	var few [mostBoards]int
	boards := 1 + s.random.IntN(mostBoards)
	for j := range boards {
		few[j] = s.random.IntN(len(d.boards))
	}
	for count > 0 {
		b := s.own(d, few[s.random.IntN(boards)])
		if len(b.laid) == 0 {
			count--
			continue
		}
		usable := s.m.kinds[b.kind].usable
		window := b.laid[s.random.IntN(len(b.laid))].space
		if s.random.IntN(2) == 0 {
			for axis := range window.at {
				reach := s.random.Int64N(usable[axis]/3 + 1)
				window.at[axis] -= reach
				window.size[axis] += 2 * reach
			}
		}
		before := len(b.laid)
		b.laid = slices.DeleteFunc(b.laid, func(l laid) bool {
			if !l.overlaps(window) {
				return false
			}
			d.miss(s.m, l.panel)
			b.load -= s.m.weight[l.panel]
			return true
		})
		count -= before - len(b.laid)
	}
	slices.Sort(few[:boards])
	for _, i := range slices.Compact(few[:boards]) {
		if !s.fresh[i] {
			continue
		}
		b := d.boards[i]
		b.slide(s.m.kinds[b.kind].usable, [2]bool{s.random.IntN(2) == 0, s.random.IntN(2) == 0})
		b.findSpaces(s.m)
		s.work += int64(len(b.laid) * (len(b.laid) + 4*len(b.spaces)))
	}
}

// spread draws a floor in sheet coordinates: the panels as they lie, or moved
// into a corner if that leaves the larger offcut.
func (m *model) spread(b *board) Layout {
	_, best := m.tidied(b)
	s := m.problem.Sheets[b.kind]
	l := Layout{Sheet: b.kind, Count: 1}
	for _, p := range best.laid {
		l.Places = append(l.Places, Place{
			Panel: int(p.panel), X: s.TrimLeft + p.at[axisX], Y: s.TrimBottom + p.at[axisY], Turned: p.turned,
		})
	}
	return l
}

// tidied is the floor of a board without a strip kept for an offcut, slid into
// that corner which leaves the largest offcut, or into none, and that offcut.
func (m *model) tidied(b *board) (offcut int64, best floor) {
	k := &m.kinds[b.kind]
	offcut = -1
	f := floor{laid: slices.DeleteFunc(slices.Clone(b.laid), func(l laid) bool { return m.isOffcut(l.panel) })}
	for try := range 2 {
		if try > 0 {
			f.laid = slices.Clone(f.laid)
			f.slide(k.usable, [2]bool{})
		}
		f.spaces = []space{{size: k.usable}}
		for _, l := range f.laid {
			f.occupy(l.space, size{k.kerf + 1, k.kerf + 1})
		}
		largest := int64(0)
		for _, s := range f.spaces {
			largest = max(largest, (s.size[0]-k.kerf)*(s.size[1]-k.kerf))
		}
		if largest > offcut {
			offcut, best = largest, f
		}
	}
	return offcut, best
}

// wasteOn is the area of the largest single rectangle of waste on a board.
func (m *model) wasteOn(b *board) int64 {
	if m.free {
		v, _ := m.tidied(b)
		return v
	}
	return largestWaste(m.layout(b).Tree)
}

// withoutStrip is the board with no strip of an earlier try on it.
func (b *board) withoutStrip(m *model) *board {
	if !slices.ContainsFunc(b.laid, func(l laid) bool { return m.isOffcut(l.panel) }) {
		return b
	}
	c := &board{}
	c.reset(m, b.kind)
	for _, l := range b.laid {
		if !m.isOffcut(l.panel) {
			c.laid = append(c.laid, l)
			c.load += m.weight[l.panel]
		}
	}
	c.findSpaces(m)
	return c
}

// freed is a draft of trees as one of floors; m places freely and cuts does not.
func (m *model) freed(cuts *model, d *draft) *draft {
	f := &draft{}
	f.copyFrom(d)
	for i, b := range d.boards {
		n := &board{}
		n.reset(m, b.kind)
		s := m.problem.Sheets[b.kind]
		for _, p := range cuts.layout(b).Places {
			size := m.kinds[b.kind].grown(m.sides[p.Panel], p.Turned)
			n.laid = append(n.laid, laid{space{[2]int64{p.X - s.TrimLeft, p.Y - s.TrimBottom}, size}, int32(p.Panel), p.Turned})
			n.load += m.weight[p.Panel]
		}
		n.findSpaces(m)
		f.boards[i] = n
	}
	return f
}

// furnish puts panels on an empty board.
func (b *board) furnish(m *model, list []laid) {
	b.root, b.laid = none, append(b.laid[:0], list...)
	for _, l := range list {
		b.load += m.weight[l.panel]
	}
	b.findSpaces(m)
}

// sortPlaces puts places in rows from the bottom left.
func sortPlaces(places []Place) {
	slices.SortFunc(places, func(a, b Place) int {
		return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X))
	})
}
