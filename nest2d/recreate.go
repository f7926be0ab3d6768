package nest2d

import "slices"

// An opener picks the kind of a new board for a panel, or -1.
type opener func(d *draft, panel int32) int

// recreate places the missing panels in the order they stand in, each at the
// tightest spot on any board, opening boards as open allows. It skips one
// spot in blink at random; 0 skips none. What is not placed when the search is
// halted stays missing.
func (s *search) recreate(d *draft, rule rule, blink int, open opener) {
	skip := func() bool { return blink > 0 && s.random.IntN(blink) == 0 }
	todo := append(s.order[:0], d.missing...)
	s.order = todo
	d.missing, d.lack = d.missing[:0], 0
	failed := int32(-1)
	halted := false
	for i := 0; i < len(todo); i++ {
		panel := todo[i]
		halted = halted || i%32 == 0 && s.halted()
		if panel == failed || halted {
			d.miss(s.m, panel)
			continue
		}
		var best spot
		at := -1
		for i, b := range d.boards {
			s.work += 2
			if !b.admits(s.m, panel) {
				continue
			}
			s.work += b.extent()
			if t, ok := b.tightest(s.m, int(panel), rule, skip); ok && (at < 0 || t.score < best.score) {
				best, at = t, i
			}
		}
		if at < 0 {
			if k := open(d, panel); k >= 0 {
				b := s.take()
				b.reset(s.m, k)
				d.addBoard(s.m, b)
				s.fresh = append(s.fresh, true)
				at = len(d.boards) - 1
				best, _ = b.tightest(s.m, int(panel), rule, skip)
			}
		}
		if at < 0 {
			failed = panel
			d.miss(s.m, panel)
			continue
		}
		b := s.own(d, at)
		row := 1
		if s.m.copies > crowd && !s.m.free && !b.empty() {
			row = b.nooks[best.nook].longestRow(best.pose.size, alike(todo[i:]))
		}
		b.place(s.m, best, int(panel), row)
		i += row - 1
		s.work += 2 * b.extent()
	}
}

// crowd is the number of copies beyond which equal panels are placed in whole
// rows. One by one they would take time in the square of their number.
const crowd = 1000

// longestRow is how many of so many equal panels to set in a row into a nook: as many
// as there is room for, but not more than all of them need when there is room for
// further rows across.
func (k *nook) longestRow(panel size, copies int) int {
	row := k.free[k.axis] / panel[k.axis]
	rows := k.free[1-k.axis] / panel[1-k.axis]
	return int(min(row, max(1, int64(copies)/rows)))
}

// alike counts the panels at the beginning of a list that are the same.
func alike(panels []int32) int {
	n := 1
	for n < len(panels) && panels[n] == panels[0] {
		n++
	}
	return n
}

func (s *search) anyRule() rule {
	switch s.random.IntN(3) {
	case 0:
		return leastArea
	case 1:
		return leastSide
	}
	return leastLongSide
}

// shuffle puts missing panels into one of several orders, at random.
func (s *search) shuffle(missing []int32) {
	var key func(int32) int64
	p := s.m.sides
	switch s.random.IntN(8) {
	case 0, 1, 2:
		key = func(i int32) int64 { return s.m.weight[i] }
	case 3:
		key = func(i int32) int64 { return max(p[i][axisX], p[i][axisY]) }
	case 4:
		key = func(i int32) int64 { return p[i][axisX] }
	case 5:
		key = func(i int32) int64 { return p[i][axisY] }
	default:
		s.random.Shuffle(len(missing), func(i, j int) { missing[i], missing[j] = missing[j], missing[i] })
		return
	}
	sortDown(missing, key)
}

// sortDown sorts panels by descending key, equal keys by panel.
func sortDown(panels []int32, key func(int32) int64) {
	slices.SortFunc(panels, func(a, b int32) int {
		if x, y := key(a), key(b); x != y {
			if x > y {
				return -1
			}
			return 1
		}
		return int(a - b)
	})
}
