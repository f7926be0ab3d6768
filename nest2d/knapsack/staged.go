package knapsack

// A staged recursion has the best values for each direction of the next cut and
// each number of stages left, copies unlimited.
type staged struct {
	*grid
	nx, ny int
	// tables[s][axis] holds the values of rectangles that are parted along the
	// axis next, with s stages left; index x·ny + y. Those with none left hold
	// one panel, and the other axis was parted last.
	tables [][2][]int64
	value  []int64
	may    [2]bool // parted along the axis first
	exact  bool
	work   int64
}

// newStaged makes tables for so many stages.
func newStaged(g *grid, p *Problem) *staged {
	s := &staged{grid: g, nx: len(g.points[axisX]), ny: len(g.points[axisY]), exact: !p.TrimCut}
	s.may = [2]bool{p.may(axisX), p.may(axisY)}
	for range p.Stages + 1 {
		s.tables = append(s.tables, [2][]int64{make([]int64, s.nx*s.ny), make([]int64, s.nx*s.ny)})
	}
	return s
}

// cell is the index of a cell by its point along an axis and the one across.
func (s *staged) cell(axis, along, across int) int {
	if axis == axisX {
		return along*s.ny + across
	}
	return across*s.ny + along
}

// run fills the tables for values of the panels.
func (s *staged) run(value []int64) {
	s.value = value
	for next := range 2 {
		s.single(next)
	}
	for left := 1; left < len(s.tables); left++ {
		for axis := range 2 {
			// Of the first cuts only those across the whole are of use, and directions
			// alternate from there.
			first := axis
			if (len(s.tables)-1-left)%2 == 1 {
				first = 1 - axis
			}
			if s.may[first] {
				s.rows(left, axis)
			}
		}
	}
}

// single fills in the rectangles that hold one panel. The axis to be parted
// next is where a trimming cut would be: without one, the size must be right.
func (s *staged) single(next int) {
	t := s.tables[0][next]
	clear(t)
	for q, at := range s.at {
		v := &t[int(at[axisX])*s.ny+int(at[axisY])]
		*v = max(*v, s.value[s.poses[q].panel])
	}
	for i := range s.nx {
		for j := range s.ny {
			c := i*s.ny + j
			if i > 0 && (!s.exact || next != axisX) {
				t[c] = max(t[c], t[c-s.ny])
			}
			if j > 0 && (!s.exact || next != axisY) {
				t[c] = max(t[c], t[c-1])
			}
		}
	}
}

// rows fills a table by a knapsack for each row of strips across the axis,
// whose parts are those of the table with a stage less. Where a row of that is as the
// one before, so is the result: there are few different ones when few stages are left.
func (s *staged) rows(left, axis int) {
	n, m := len(s.points[axis]), len(s.points[1-axis])
	t, below := s.tables[left][axis], s.tables[left-1][1-axis]
	across := 0
	if left == len(s.tables)-1 {
		across = m - 1
	}
	for start := across; across < m; across++ {
		if across > start && s.alike(below, axis, across) {
			for i := range n {
				t[s.cell(axis, i, across)] = t[s.cell(axis, i, across-1)]
			}
			continue
		}
		var essential []part
		t[s.cell(axis, 0, across)] = 0
		for i := 1; i < n; i++ {
			v := t[s.cell(axis, i-1, across)]
			for _, c := range essential {
				v = max(v, c.value+t[s.cell(axis, int(s.minus[axis][i*n+int(c.at)]), across)])
			}
			if strip := below[s.cell(axis, i, across)]; strip > v {
				v = strip
				essential = append(essential, part{int32(i), v})
			}
			t[s.cell(axis, i, across)] = v
			s.work += int64(len(essential)) + 8
		}
	}
}

// alike tells whether a row of a table is as the one before.
func (s *staged) alike(table []int64, axis, across int) bool {
	n := len(s.points[axis])
	s.work += int64(n / 4)
	for i := range n {
		if table[s.cell(axis, i, across)] != table[s.cell(axis, i, across-1)] {
			return false
		}
	}
	return true
}

// whole is the best value of the whole with a first cut as allowed, and the
// axis that it parts along.
func (s *staged) whole(p *Problem) (int64, int) {
	last := s.tables[len(s.tables)-1]
	best, at := int64(-1), axisX
	for axis := range 2 {
		if v := last[axis][s.nx*s.ny-1]; p.may(axis) && v > best {
			best, at = v, axis
		}
	}
	return best, at
}

// tree is a layout worth the value of a cell, nil when that is 0.
func (s *staged) tree(left, axis, along, across int) *Node {
	n := len(s.points[axis])
	t := s.tables[left][axis]
	v := t[s.cell(axis, along, across)]
	if v == 0 {
		return nil
	}
	if left == 0 {
		i, j := along, across
		if axis == axisY {
			i, j = across, along
		}
		for q, at := range s.at {
			fits := int(at[axisX]) <= i && int(at[axisY]) <= j
			right := !s.exact || int(at[axis]) == along
			if fits && right && s.value[s.poses[q].panel] == v {
				return s.poses[q].leaf()
			}
		}
		panic("knapsack: a value that no panel has")
	}
	for t[s.cell(axis, along-1, across)] == v {
		along--
	}
	for i := along; i > 0; i-- {
		strip := s.tables[left-1][1-axis][s.cell(axis, i, across)]
		rest := int(s.minus[axis][along*n+i])
		if strip > 0 && strip+t[s.cell(axis, rest, across)] == v {
			return join(axis, s.tree(left-1, 1-axis, across, i), s.tree(left, axis, rest, across))
		}
	}
	panic("knapsack: a value that no strips make")
}
