package knapsack

// A recursion holds the best value of every rectangle on a grid, copies
// unlimited.
type recursion struct {
	*grid
	value  []int64 // of the panels
	nx, ny int
	// best is indexed by x·ny + y, turned by y·nx + x: the same values, so that
	// both directions are read in sequence.
	best, turned []int64
	// essential lists the essential parts of each row (a height, parts side by
	// side) and each column (a width, parts one above the other).
	essential [2][][]part
	work      int64
}

// A part has a length, as a point, along the axis of a row, and a value.
type part struct {
	at    int32
	value int64
}

func newRecursion(g *grid) *recursion {
	r := &recursion{grid: g, nx: len(g.points[axisX]), ny: len(g.points[axisY])}
	r.best, r.turned = make([]int64, r.nx*r.ny), make([]int64, r.nx*r.ny)
	r.essential[axisX], r.essential[axisY] = make([][]part, r.ny), make([][]part, r.nx)
	return r
}

// run fills the tables for values of the panels; those of 0 or less are left
// out. Time is in proportion to the points times the essential parts.
func (r *recursion) run(value []int64) {
	r.value = value
	clear(r.best)
	for axis := range 2 {
		for i := range r.essential[axis] {
			r.essential[axis][i] = r.essential[axis][i][:0]
		}
	}
	for q, at := range r.at {
		cell := &r.best[int(at[axisX])*r.ny+int(at[axisY])]
		*cell = max(*cell, value[r.poses[q].panel])
	}
	clear(r.turned)
	xs, ys := r.points[axisX], r.points[axisY]
	for i := 1; i < r.nx; i++ {
		column := r.essential[axisY][i]
		minusX := r.minus[axisX][i*r.nx : (i+1)*r.nx]
		best := r.best[i*r.ny : (i+1)*r.ny]
		for j := 1; j < r.ny; j++ {
			row := r.essential[axisX][j]
			turned := r.turned[j*r.nx : (j+1)*r.nx]
			minusY := r.minus[axisY][j*r.ny : (j+1)*r.ny]
			beside, above := turned[i-1], best[j-1]
			for _, c := range row {
				// The shortest of several parts is no longer than half.
				if 2*xs[c.at] > xs[i] {
					break
				}
				beside = max(beside, c.value+turned[minusX[c.at]])
			}
			for _, c := range column {
				if 2*ys[c.at] > ys[j] {
					break
				}
				above = max(above, c.value+best[minusY[c.at]])
			}
			panel := best[j]
			v := max(panel, beside, above)
			best[j], turned[i] = v, v
			if v > beside {
				r.essential[axisX][j] = append(row, part{int32(i), v})
			}
			if v > above {
				column = append(column, part{int32(j), v})
			}
			r.work += int64(len(row)+len(column)) + 8
		}
		r.essential[axisY][i] = column
	}
}

// whole is the best value of the whole rectangle.
func (r *recursion) whole() int64 { return r.best[len(r.best)-1] }

// tree is a layout worth the best value of a cell, nil when that is 0.
func (r *recursion) tree(i, j int32) *Node {
	v := r.best[int(i)*r.ny+int(j)]
	if v == 0 {
		return nil
	}
	for i > 1 && r.best[int(i-1)*r.ny+int(j)] == v {
		i--
	}
	for j > 1 && r.best[int(i)*r.ny+int(j-1)] == v {
		j--
	}
	for q, at := range r.at {
		if at[axisX] <= i && at[axisY] <= j && r.value[r.poses[q].panel] == v {
			return r.poses[q].leaf()
		}
	}
	for _, c := range r.essential[axisX][j] {
		if rest := r.rest(axisX, i, c.at); c.at < i && c.value+r.best[int(rest)*r.ny+int(j)] == v {
			return join(axisX, r.tree(c.at, j), r.tree(rest, j))
		}
	}
	for _, c := range r.essential[axisY][i] {
		if rest := r.rest(axisY, j, c.at); c.at < j && c.value+r.best[int(i)*r.ny+int(rest)] == v {
			return join(axisY, r.tree(i, c.at), r.tree(i, rest))
		}
	}
	panic("knapsack: a value that nothing makes")
}

func (r *recursion) rest(axis int, i, j int32) int32 {
	if j > i {
		return 0
	}
	return r.minus[axis][int(i)*len(r.points[axis])+int(j)]
}

func (q pose) leaf() *Node { return &Node{Panel: q.panel, Turned: q.turned} }

// join sets two layouts side by side along an axis; either may be nil.
func join(axis int, a, b *Node) *Node {
	if a == nil {
		return b
	}
	if b == nil {
		return a
	}
	n := &Node{Panel: -1, Cut: cutOf(axis)}
	for _, p := range []*Node{a, b} {
		if p.Panel < 0 && p.Cut == n.Cut {
			n.Parts = append(n.Parts, p.Parts...)
		} else {
			n.Parts = append(n.Parts, p)
		}
	}
	return n
}

// around fills in, for every cell, the best value of what can be cut from the
// whole around a rectangle of that size which lies in a corner (Viswanathan &
// Bagchi 1993).
func (r *recursion) around(dst []int64) []int64 {
	if len(dst) != len(r.best) {
		dst = make([]int64, len(r.best))
	}
	for i := r.nx - 1; i >= 0; i-- {
		for j := r.ny - 1; j >= 0; j-- {
			v := int64(0)
			if i+1 < r.nx {
				v = max(v, dst[(i+1)*r.ny+j])
			}
			if j+1 < r.ny {
				v = max(v, dst[i*r.ny+j+1])
			}
			for _, c := range r.essential[axisX][j] {
				at := r.plus[axisX][i*r.nx+int(c.at)]
				if at < 0 {
					break
				}
				v = max(v, c.value+dst[int(at)*r.ny+j])
			}
			for _, c := range r.essential[axisY][i] {
				at := r.plus[axisY][j*r.ny+int(c.at)]
				if at < 0 {
					break
				}
				v = max(v, c.value+dst[i*r.ny+int(at)])
			}
			dst[i*r.ny+j] = v
			r.work += int64(len(r.essential[axisX][j])+len(r.essential[axisY][i])) + 8
		}
	}
	return dst
}
