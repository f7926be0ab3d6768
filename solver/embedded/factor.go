package embedded

import "math"

// Factorisation of the basis: B = L·U with a Markowitz-type choice of pivots
// (Markowitz 1957; Suhl & Suhl 1990, "Computing sparse LU factorizations for
// large-scale linear programming bases", ORSA J. Computing 2:325–335).
//
// Singleton columns and rows are taken first; they need no arithmetic and
// make up most of a simplex basis. The rest is eliminated by the pivot of
// least Markowitz count among a few sparse rows and columns, subject to a
// threshold against growth.
//
// Every pivot pairs a row with a basis position. When the factorisation is
// done the positions are renamed after their rows, so that everything
// afterwards (head, solutions, etas) is indexed by row alone.

// entry is one coefficient of a sparse vector.
type entry struct {
	index int32
	value float64
}

type factor struct {
	m int
	// lower, by pivot row: below is the column of multipliers of the rows
	// pivoted later, before the same matrix by rows.
	below, before [][]entry
	lowerOrder    []int32
	// upper: diagonal, and off-diagonal entries by column and by row.
	pivot            []float64
	upperCol         [][]entry
	upperRow         [][]entry
	order            []int32 // pivot rows in elimination order, with stale entries
	place            []int32 // the live index of a row in order
	rowEtas          []rowEta
	etaEntries       int
	spike            []float64
	spikeSet         bool
	updates          int
	factorEntries    int
	work             []float64
	eliminationSpace elimination
}

// rowEta is the transformation x[row] -= Σ value·x[index].
type rowEta struct {
	row     int32
	entries []entry
}

// elimination is the active submatrix: columns with values, rows as patterns,
// and both in lists by count.
type elimination struct {
	cols       [][]entry
	rows       [][]int32
	rowLists   countLists
	colLists   countLists
	position   []int32 // row → basis position, -1 while unpivoted
	rowOf      []int32 // basis position → row, -1 while unpivoted
	multiplier []float64
	marked     []bool
}

func resizeLists[T any](s [][]T, n int) [][]T {
	for len(s) < n {
		s = append(s, nil)
	}
	s = s[:n]
	for i := range s {
		s[i] = s[i][:0]
	}
	return s
}

func filled[T any](s []T, n int, v T) []T {
	if cap(s) < n {
		s = make([]T, n, n+n/2)
	}
	s = s[:n]
	for i := range s {
		s[i] = v
	}
	return s
}

// factorise factors the basis whose column at position p is given by column.
// It returns for each row the position pivoted on it. If the basis is
// singular, rows without a pivot hold -1 and the factors are not usable.
func (f *factor) factorise(m int, column func(position int, add func(row int32, value float64))) (position []int32, singular bool) {
	f.reset(m)
	e := &f.eliminationSpace
	e.cols = resizeLists(e.cols, m)
	e.rows = resizeLists(e.rows, m)
	e.position = filled(e.position, m, -1)
	e.rowOf = filled(e.rowOf, m, -1)
	e.multiplier = filled(e.multiplier, m, 0)
	e.marked = filled(e.marked, m, false)
	for p := range m {
		column(p, func(row int32, value float64) {
			e.cols[p] = append(e.cols[p], entry{row, value})
			e.rows[row] = append(e.rows[row], int32(p))
		})
	}
	e.rowLists.reset(m)
	e.colLists.reset(m)
	for i := range m {
		e.rowLists.insert(int32(i), len(e.rows[i]))
		e.colLists.insert(int32(i), len(e.cols[i]))
	}
	for range m {
		row, pos := e.choose()
		if row < 0 {
			return e.position, true
		}
		f.eliminate(row, pos)
	}
	f.finish()
	return e.position, false
}

func (f *factor) reset(m int) {
	f.m = m
	f.below = resizeLists(f.below, m)
	f.before = resizeLists(f.before, m)
	f.upperCol = resizeLists(f.upperCol, m)
	f.upperRow = resizeLists(f.upperRow, m)
	f.lowerOrder = f.lowerOrder[:0]
	f.order = f.order[:0]
	f.place = filled(f.place, m, 0)
	f.pivot = filled(f.pivot, m, 0)
	f.rowEtas = f.rowEtas[:0]
	f.etaEntries = 0
	f.spike = filled(f.spike, m, 0)
	f.spikeSet = false
	f.work = filled(f.work, m, 0)
	f.updates = 0
}

// choose returns the next pivot as row and basis position, or -1.
func (e *elimination) choose() (row, position int32) {
	for c := e.colLists.first(1); c >= 0; c = e.colLists.next[c] {
		if t := e.cols[c][0]; math.Abs(t.value) >= singularTolerance {
			return t.index, c
		}
	}
	for r := e.rowLists.first(1); r >= 0; r = e.rowLists.next[r] {
		c := e.rows[r][0]
		if v, largest := e.look(c, r); v >= singularTolerance && v >= float64(markowitzThreshold*largest) {
			return r, c
		}
	}
	// Markowitz search: a few lists of least count, columns before rows.
	const searched = 4
	best := math.Inf(1)
	bestSize := 0.0
	row, position = -1, -1
	seen := 0
	consider := func(r, c int32, size float64) {
		cost := float64(len(e.rows[r])-1) * float64(len(e.cols[c])-1)
		if cost < best || cost == best && size > bestSize {
			best, bestSize, row, position = cost, size, r, c
		}
	}
	for count := 1; count <= len(e.cols); count++ {
		if row >= 0 && best <= float64(count-1)*float64(count-1) {
			return row, position
		}
		for c := e.colLists.first(count); c >= 0; c = e.colLists.next[c] {
			largest := 0.0
			for _, t := range e.cols[c] {
				largest = max(largest, math.Abs(t.value))
			}
			if largest < singularTolerance {
				continue
			}
			for _, t := range e.cols[c] {
				if v := math.Abs(t.value); v >= float64(markowitzThreshold*largest) {
					consider(t.index, c, v)
				}
			}
			if seen++; seen >= searched {
				return row, position
			}
		}
		for r := e.rowLists.first(count); r >= 0; r = e.rowLists.next[r] {
			found := false
			for _, c := range e.rows[r] {
				if v, largest := e.look(c, r); v >= singularTolerance && v >= float64(markowitzThreshold*largest) {
					consider(r, c, v)
					found = true
				}
			}
			if found {
				if seen++; seen >= searched {
					return row, position
				}
			}
		}
	}
	return row, position
}

// look returns |a(r,c)| and the largest magnitude in column c.
func (e *elimination) look(c, r int32) (v, largest float64) {
	for _, t := range e.cols[c] {
		a := math.Abs(t.value)
		largest = max(largest, a)
		if t.index == r {
			v = a
		}
	}
	return v, largest
}

// eliminate pivots on (row, position) and updates the active submatrix.
func (f *factor) eliminate(row, position int32) {
	e := &f.eliminationSpace
	e.position[row] = position
	e.rowOf[position] = row
	f.place[row] = int32(len(f.order))
	f.order = append(f.order, row)
	e.rowLists.remove(row, len(e.rows[row]))
	e.colLists.remove(position, len(e.cols[position]))

	var pivot float64
	for _, t := range e.cols[position] {
		if t.index == row {
			pivot = t.value
		}
	}
	f.pivot[row] = pivot
	low := f.below[row]
	for _, t := range e.cols[position] {
		if t.index == row {
			continue
		}
		e.rowLists.remove(t.index, len(e.rows[t.index]))
		e.rows[t.index] = without(e.rows[t.index], position)
		e.rowLists.insert(t.index, len(e.rows[t.index]))
		low = append(low, entry{t.index, t.value / pivot})
		e.multiplier[t.index] = t.value / pivot
	}
	f.below[row] = low
	e.cols[position] = e.cols[position][:0]

	for _, c := range e.rows[row] {
		if c == position {
			continue
		}
		e.colLists.remove(c, len(e.cols[c]))
		f.eliminateIn(row, c, low)
		e.colLists.insert(c, len(e.cols[c]))
	}
	for _, t := range low {
		e.multiplier[t.index] = 0
	}
	e.rows[row] = e.rows[row][:0]
}

// eliminateIn moves the entry of the pivot row out of column c into U and
// subtracts the multiples of it from the rest of the column.
func (f *factor) eliminateIn(row, c int32, low []entry) {
	e := &f.eliminationSpace
	col := e.cols[c]
	var u float64
	for k, t := range col {
		if t.index == row {
			u = t.value
			col[k] = col[len(col)-1]
			col = col[:len(col)-1]
			break
		}
	}
	if u != 0 {
		f.upperCol[c] = append(f.upperCol[c], entry{row, u})
	}
	if len(low) == 0 || u == 0 {
		e.cols[c] = col
		return
	}
	for k, t := range col {
		e.marked[t.index] = true
		if l := e.multiplier[t.index]; l != 0 {
			col[k].value -= float64(l * u)
		}
	}
	old := len(col)
	for _, t := range low {
		if e.marked[t.index] {
			continue
		}
		col = append(col, entry{t.index, -float64(t.value * u)})
		e.rowLists.remove(t.index, len(e.rows[t.index]))
		e.rows[t.index] = append(e.rows[t.index], c)
		e.rowLists.insert(t.index, len(e.rows[t.index]))
	}
	for _, t := range col[:old] {
		e.marked[t.index] = false
	}
	kept := col[:0]
	for _, t := range col {
		if math.Abs(t.value) < dropTolerance {
			e.dropFromRow(t.index, c)
			continue
		}
		kept = append(kept, t)
	}
	e.cols[c] = kept
}

func (e *elimination) dropFromRow(row, c int32) {
	e.rowLists.remove(row, len(e.rows[row]))
	e.rows[row] = without(e.rows[row], c)
	e.rowLists.insert(row, len(e.rows[row]))
}

// finish renames positions to rows and builds the row-wise copies.
func (f *factor) finish() {
	e := &f.eliminationSpace
	f.lowerOrder = append(f.lowerOrder, f.order...)
	cols := make([][]entry, f.m)
	for p, col := range f.upperCol {
		cols[e.rowOf[p]] = col
	}
	f.upperCol = cols
	f.factorEntries = 0
	for r, col := range f.upperCol {
		for _, t := range col {
			f.upperRow[t.index] = append(f.upperRow[t.index], entry{int32(r), t.value})
		}
		for _, t := range f.below[r] {
			f.before[t.index] = append(f.before[t.index], entry{int32(r), t.value})
		}
		f.factorEntries += len(col) + len(f.below[r])
	}
}

func without(s []int32, v int32) []int32 {
	for k, x := range s {
		if x == v {
			s[k] = s[len(s)-1]
			return s[:len(s)-1]
		}
	}
	return s
}

// countLists keeps rows or columns in doubly linked lists by their number of
// active entries.
type countLists struct {
	head, next, prev []int32
}

func (l *countLists) reset(n int) {
	l.head = filled(l.head, n+1, -1)
	l.next = filled(l.next, n, -1)
	l.prev = filled(l.prev, n, -1)
}

func (l *countLists) first(count int) int32 { return l.head[count] }

func (l *countLists) insert(i int32, count int) {
	l.prev[i] = -1
	l.next[i] = l.head[count]
	if l.next[i] >= 0 {
		l.prev[l.next[i]] = i
	}
	l.head[count] = i
}

func (l *countLists) remove(i int32, count int) {
	if l.prev[i] >= 0 {
		l.next[l.prev[i]] = l.next[i]
	} else {
		l.head[count] = l.next[i]
	}
	if l.next[i] >= 0 {
		l.prev[l.next[i]] = l.prev[i]
	}
}
