package nest2d

import (
	"cmp"
	"context"
	"slices"
)

// Exact search for free placement
//
// Whatever lies on a sheet can be laid there one by one so that each panel is
// right of or above every panel laid before it: that is the order of the second
// sequence of a sequence pair (Murata et al. 1996), which every placement has.
// So no panel reaches into the steps that those before it make, the points left
// of and below some upper right corner, and it can be moved left and down into
// an inner corner of them. Trying every panel in every inner corner therefore
// finds a placement if there is one (Martello, Pisinger & Vigo 2000), and what
// lies under the steps and is no panel is lost.
//
// H. Murata, K. Fujiyoshi, S. Nakatake & Y. Kajitani, "VLSI module placement
// based on rectangle-packing by the sequence-pair", IEEE Transactions on
// Computer-Aided Design 15 (1996) 1518–1524; S. Martello, D. Pisinger & D. Vigo,
// "The three-dimensional bin packing problem", Operations Research 48 (2000)
// 256–267.

// A spread looks for a placement of a set of panels on a sheet.
type spread struct {
	*exact
	usable size
	poses  [][]pose // by digit
	left   []int    // copies by digit
	copies int
	loss   int64 // area that may still be lost
	laid   []laid
}

// spreads lists the sets of panels that can be placed on a sheet of some kind,
// from small ones to large ones; only those that waste little enough are listed,
// but all of them are made, each of smaller ones. It is not ok when the work
// ran out.
func (e *exact) spreads(ctx context.Context, kind int) (list []*content, ok bool) {
	known := map[set]*content{0: {}}
	last := []*content{known[0]}
	for len(last) > 0 {
		var next []*content
		for _, c := range last {
			for d, one := range e.one {
				// A set is made once only, of the set without its smallest panel.
				if c.set&(one-1) != 0 || !e.within(c.set+one, e.full) {
					continue
				}
				larger, ok := e.enlarge(kind, c, d, known)
				if e.work < 0 || ctx.Err() != nil {
					return nil, false
				}
				if ok {
					known[larger.set] = larger
					next = append(next, larger)
				}
			}
		}
		list = append(list, next...)
		last = next
	}
	for _, c := range list {
		for d, one := range e.one {
			if e.within(c.set+one, e.full) && known[c.set+one] != nil {
				c.more |= e.digit[d]
			}
		}
	}
	return slices.DeleteFunc(list, func(c *content) bool {
		return e.wasteful(kind, e.m.kinds[kind].usable, c.values)
	}), true
}

// enlarge is a set with one more copy of a digit, placed, or not ok when that
// cannot be.
func (e *exact) enlarge(kind int, c *content, digit int, known map[set]*content) (*content, bool) {
	larger := &content{set: c.set + e.one[digit], copies: c.copies + 1, values: c.values.plus(e.worthOf[digit])}
	e.work -= 100
	for t, most := range e.worths[kind] {
		if larger.values[t] > most {
			return nil, false
		}
	}
	k := &e.m.kinds[kind]
	s := &spread{exact: e, usable: k.usable, loss: k.usable[0] * k.usable[1], copies: larger.copies}
	for d, one := range e.one {
		n := int(larger.set & e.digit[d] / one)
		if n > 0 && d != digit && known[larger.set-one] == nil {
			return nil, false
		}
		s.left = append(s.left, n)
		s.poses = append(s.poses, k.poses[e.panels[d]])
		side := e.m.sides[e.panels[d]]
		s.loss -= int64(n) * (side[0] + k.kerf) * (side[1] + k.kerf)
	}
	if s.loss < 0 || !s.place(nil, 0) {
		return nil, false
	}
	larger.laid = s.laid
	return larger, true
}

// place lays the panels that are left. The steps are the upper right corners
// that no other lies right of and above, from left to right.
func (s *spread) place(steps []size, lost int64) bool {
	if s.copies == 0 {
		return true
	}
	for d, n := range s.left {
		if n == 0 {
			continue
		}
		for _, p := range s.poses[d] {
			for i := range len(steps) + 1 {
				if s.work -= 4; s.work < 0 {
					return false
				}
				at := size{0, 0}
				if i > 0 {
					at[0] = steps[i-1][0]
				}
				if i < len(steps) {
					at[1] = steps[i][1]
				}
				end := size{at[0] + p.size[0], at[1] + p.size[1]}
				if end[0] > s.usable[0] || end[1] > s.usable[1] {
					continue
				}
				more, area := climb(steps, end)
				now := area - under(steps) - p.size[0]*p.size[1]
				if lost+now > s.loss {
					continue
				}
				s.left[d]--
				s.copies--
				s.laid = append(s.laid, laid{space{at, p.size}, s.panels[d], p.turned})
				if s.place(more, lost+now) {
					return true
				}
				s.laid = s.laid[:len(s.laid)-1]
				s.left[d]++
				s.copies++
			}
		}
	}
	return false
}

// climb adds a corner to steps, and tells the area under them.
func climb(steps []size, corner size) (more []size, area int64) {
	for _, o := range steps {
		if o[0] > corner[0] || o[1] > corner[1] {
			more = append(more, o)
		}
	}
	at, _ := slices.BinarySearchFunc(more, corner, func(o, c size) int { return cmp.Compare(o[0], c[0]) })
	more = slices.Insert(more, at, corner)
	return more, under(more)
}

// under is the area under steps.
func under(steps []size) int64 {
	area, x := int64(0), int64(0)
	for _, o := range steps {
		area += (o[0] - x) * o[1]
		x = o[0]
	}
	return area
}
