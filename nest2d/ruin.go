package nest2d

// ruin takes about count panels off a few boards, subtree by subtree.
func (s *search) ruin(d *draft, count int) {
	if len(d.boards) == 0 {
		return
	}
	if s.m.free {
		s.ruinFloors(d, count)
		return
	}
	var few [mostBoards]int
	for j := range few {
		few[j] = s.random.IntN(len(d.boards))
	}
	boards := 1 + s.random.IntN(mostBoards)
	for count > 0 {
		i := few[s.random.IntN(boards)]
		b := s.own(d, i)
		if b.empty() {
			count--
			continue
		}
		v := int32(s.random.IntN(len(b.nodes)))
		for b.nodes[v].panel == none && b.nodes[v].first == none { // unused
			v = int32(s.random.IntN(len(b.nodes)))
		}
		count -= s.clear(d, b, v)
		b.measure(s.m)
		s.work += 2 * int64(len(b.nodes))
	}
}

// clear takes all panels of a subtree off the board.
func (s *search) clear(d *draft, b *board, v int32) int {
	s.leaves, s.stack = s.leaves[:0], append(s.stack[:0], v)
	for len(s.stack) > 0 {
		u := s.stack[len(s.stack)-1]
		s.stack = s.stack[:len(s.stack)-1]
		if b.nodes[u].panel != none {
			s.leaves = append(s.leaves, u)
		}
		for c := b.nodes[u].first; c != none; c = b.nodes[c].next {
			s.stack = append(s.stack, c)
		}
	}
	for _, u := range s.leaves {
		d.miss(s.m, b.nodes[u].panel)
		b.remove(s.m, u)
	}
	return len(s.leaves)
}
