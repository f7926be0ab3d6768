package nest1d

import (
	"slices"

	"sawbill/solver"
)

// branchRow is a set of columns with the limits in force; lower and upper are
// 0 and limit when the row is idle.
type branchRow struct {
	set          set
	row          int
	members      []int32
	lower, upper int64
}

// set names a family of patterns.
type set struct {
	kind       setKind
	a, b       int32 // items, bar or column
	most, also int32 // copies of a, copies of b
}

type setKind int8

const (
	ofBar setKind = iota
	withPair
	withCopies
	ofColumn
)

func (s *set) holds(j int, p *pattern) bool {
	switch s.kind {
	case ofBar:
		return p.bar == int(s.a)
	case ofColumn:
		return j == int(s.a)
	case withCopies:
		return p.copies(s.a) >= s.most
	}
	return p.copies(s.a) >= s.most && p.copies(s.b) >= s.also
}

// entries are the items of a set of contents with the copies it asks for.
func (s *set) entries() []entry {
	if s.kind == withPair {
		return []entry{{s.a, s.most}, {s.b, s.also}}
	}
	return []entry{{s.a, s.most}}
}

func (p *pattern) copies(item int32) int32 {
	i, ok := slices.BinarySearchFunc(p.items, item, func(e entry, x int32) int { return int(e.item - x) })
	if !ok {
		return 0
	}
	return p.items[i].count
}

// memberRows are the rows of branches that a pattern belongs to.
func (x *exactSearch) memberRows(j int32) []int32 {
	var in []int32
	for i := range x.rows {
		if _, ok := slices.BinarySearch(x.rows[i].members, j); ok {
			in = append(in, int32(x.rows[i].row))
		}
	}
	return in
}

// emptyRows shows in integers that the rows in force contradict each other: one
// asks for more bars than its columns can give under the others. Only the plain
// cases are recognised.
func (x *exactSearch) emptyRows() bool {
	for i := range x.rows {
		b := &x.rows[i]
		if b.lower == 0 {
			continue
		}
		var room int64
		for _, j := range b.members {
			room = min(limit, room+x.upper(int(j)))
		}
		if room < b.lower {
			return true
		}
		for k := range x.rows {
			if c := &x.rows[k]; c.upper < b.lower && subset(b.members, c.members) {
				return true
			}
		}
		for k, n := range x.left {
			if b.set.kind == ofBar && int(b.set.a) == k && n != Unlimited && n < b.lower {
				return true
			}
		}
	}
	return false
}

func subset(a, b []int32) bool {
	j := 0
	for _, v := range a {
		for j < len(b) && b[j] < v {
			j++
		}
		if j == len(b) || b[j] != v {
			return false
		}
	}
	return true
}

// upper is the most bars of one column, single-column rows regarded.
func (x *exactSearch) upper(j int) int64 {
	u := x.most[j]
	for i := range x.rows {
		if b := &x.rows[i]; b.set.kind == ofColumn && int(b.set.a) == j {
			u = min(u, b.upper)
		}
	}
	return u
}

func (x *exactSearch) newRow(b set) branchRow {
	r := branchRow{set: b, upper: limit}
	var ones []float64
	var columns []int32
	for j := range x.pool {
		if b.holds(j, &x.pool[j]) {
			r.members = append(r.members, int32(j))
			if c := x.active[j]; c != idle {
				columns = append(columns, c+int32(x.s.offset))
				ones = append(ones, 1)
			}
		}
	}
	r.row = x.s.lp.AddRow(-solver.Inf, solver.Inf, columns, ones)
	return r
}

func (x *exactSearch) force(i int) {
	b := &x.rows[i]
	lower, upper := -solver.Inf, solver.Inf
	if b.lower > 0 {
		lower = float64(b.lower)
	}
	if b.upper < limit {
		upper = float64(b.upper)
	}
	x.s.lp.SetRowBounds(b.row, lower, upper)
}
