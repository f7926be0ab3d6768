package planner

import (
	"slices"

	"sawbill/internal/job"
)

// desk is what bars and sheets have in common as cutters; L is the engine's
// layout.
type desk[L any] struct {
	job     *job.Job
	index   int // of the job's materials
	options Options
	kinds   []kind
	groups  int
	// read tells what a layout is cut from and holds.
	read  func(L) content
	known []packed[L]
}

// content is what a layout is: how many bars or sheets of a kind, and the class
// of each piece on one of them.
type content struct {
	kind    int
	count   int64
	classes []int
}

// packed are layouts known for a question of the purchase.
type packed[L any] struct {
	counts, pieces []int64
	layouts        []L
}

// cutting is how many of each kind are cut, and the pieces of each class cut
// from the kinds of each group.
type cutting struct {
	counts []int64
	pieces [][]int64
}

// form sets the kinds.
func (d *desk[L]) form(kinds []kind) {
	d.kinds, d.groups = kinds, 1
	for _, k := range kinds {
		d.groups = max(d.groups, k.group+1)
	}
}

// keep remembers layouts, and tells how many of each kind they take.
func (d *desk[L]) keep(layouts []L, pieces []int64) []int64 {
	used := make([]int64, len(d.kinds))
	for _, l := range layouts {
		c := d.read(l)
		used[c.kind] += c.count
	}
	d.known = append(d.known, packed[L]{used, slices.Clone(pieces), layouts})
	return used
}

// recall gives layouts of the pieces that take no more than the counts, which
// were kept.
func (d *desk[L]) recall(counts, pieces []int64) []L {
	at := slices.IndexFunc(d.known, func(k packed[L]) bool { return slices.Equal(k.pieces, pieces) && within(k.counts, counts) })
	return d.known[at].layouts
}

// supply is as many of the allowed kinds as can be of use, and none of others.
func (d *desk[L]) supply(allowed []bool, pieces []int64) []int64 {
	var total int64
	for _, n := range pieces {
		total += n
	}
	supply := make([]int64, len(d.kinds))
	for k, ok := range allowed {
		if ok {
			supply[k] = total
			if s := d.job.Offers[d.kinds[k].offer].Stock; s >= 0 {
				supply[k] = min(total, s)
			}
		}
	}
	return supply
}

// divide puts layouts into the groups of their kinds and keeps each part.
func (d *desk[L]) divide(layouts []L, classes int) *cutting {
	out := &cutting{counts: make([]int64, len(d.kinds))}
	for range d.groups {
		out.pieces = append(out.pieces, make([]int64, classes))
	}
	parts := make([][]L, d.groups)
	for _, l := range layouts {
		c := d.read(l)
		g := d.kinds[c.kind].group
		out.counts[c.kind] += c.count
		parts[g] = append(parts[g], l)
		for _, class := range c.classes {
			out.pieces[g][class] += c.count
		}
	}
	for g := range parts {
		d.keep(parts[g], out.pieces[g])
	}
	return out
}

// own are the counts of the kinds of one group.
func (d *desk[L]) own(counts []int64, group int) []int64 {
	own := make([]int64, len(counts))
	for k := range own {
		if d.kinds[k].group == group {
			own[k] = counts[k]
		}
	}
	return own
}

// within says a ≤ b in every place.
func within(a, b []int64) bool {
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}
