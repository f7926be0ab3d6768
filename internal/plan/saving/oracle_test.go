package saving

import (
	"math/bits"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// An oracle that shares nothing with the planner nor with the search: it takes
// every step, and for each tries every way to share the copies out among bars
// or sheets. Square pieces, no tail, no limited stock.

const never = int64(1) << 50

// oracleCost is the least cost of a job, or never.
func oracleCost(j *job.Job) int64 {
	total := int64(0)
	for mi, m := range j.Materials {
		var items []item
		for _, p := range j.Pieces {
			for range p.Quantity {
				if p.Material == mi {
					items = append(items, item{l: p.Length})
				}
			}
		}
		for _, p := range j.Panels {
			for range p.Quantity {
				if p.Material == mi {
					items = append(items, item{p.Length, p.Width, p.Turn && !m.Grain})
				}
			}
		}
		total += shareOut(j, mi, items)
	}
	if total >= never {
		return never
	}
	// With one supplier, the cheapest goods make the cheapest order.
	return max(total, j.Suppliers[0].Minimum) + j.Suppliers[0].Delivery
}

type item struct {
	l, w length.Length
	turn bool
}

// shareOut is the least cost of a set of copies: the first of them lies in some
// bar or sheet, with some of the others.
func shareOut(j *job.Job, mi int, items []item) int64 {
	process := j.Processes[j.Materials[mi].Process]
	least := make([]int64, 1<<len(items))
	for set := 1; set < len(least); set++ {
		least[set] = never
		first := set & -set
		for with := set; with > 0; with = (with - 1) & set {
			if with&first == 0 || least[set^with] >= never {
				continue
			}
			for _, o := range j.Offers {
				if o.Material != mi || o.Price+least[set^with] >= least[set] {
					continue
				}
				long := o.Length - process.TrimLeft - process.TrimRight
				holds := false
				if o.Width == 0 {
					holds = inBar(items, with, long, process.Kerf)
				} else {
					wide := o.Width - process.TrimBottom - process.TrimTop
					g := guillotine{items, process.Kerf, map[room]bool{}}
					holds = g.holds(with, long, wide)
				}
				if holds {
					least[set] = o.Price + least[set^with]
				}
			}
		}
	}
	return least[len(least)-1]
}

func inBar(items []item, set int, long, kerf length.Length) bool {
	for i, it := range items {
		if set>>i&1 == 1 {
			long -= it.l + kerf
		}
	}
	return long+kerf >= 0
}

// guillotine tells whether a rectangle can be cut into a set of panels, edge to
// edge, by trying every cut beside every sum of sides.
type guillotine struct {
	items []item
	kerf  length.Length
	known map[room]bool
}

type room struct {
	set  int
	l, w length.Length
}

func (g guillotine) holds(set int, l, w length.Length) bool {
	if set == 0 {
		return true
	}
	if bits.OnesCount(uint(set)) == 1 {
		it := g.items[bits.TrailingZeros(uint(set))]
		return it.l <= l && it.w <= w || it.turn && it.w <= l && it.l <= w
	}
	key := room{set, l, w}
	if is, known := g.known[key]; known {
		return is
	}
	is := false
	for part := (set - 1) & set; part > 0 && !is; part = (part - 1) & set {
		for _, x := range g.sums(part) {
			is = is || x <= l-g.kerf && g.holds(part, x, w) && g.holds(set^part, l-x-g.kerf, w)
			is = is || x <= w-g.kerf && g.holds(part, l, x) && g.holds(set^part, l, w-x-g.kerf)
		}
	}
	g.known[key] = is
	return is
}

// sums are all lengths that some of a set's panels take side by side, each
// lying either way.
func (g guillotine) sums(set int) []length.Length {
	all := map[length.Length]bool{-g.kerf: true}
	for i, it := range g.items {
		if set>>i&1 == 0 {
			continue
		}
		var more []length.Length
		for s := range all {
			more = append(more, s+it.l+g.kerf, s+it.w+g.kerf)
		}
		for _, s := range more {
			all[s] = true
		}
	}
	var list []length.Length
	for s := range all {
		if s > 0 {
			list = append(list, s)
		}
	}
	return list
}

// fall is a change at which the cost falls, and by how much in all.
type fall struct {
	steps, saved int64
}

// oracleFalls takes every step of one dimension.
func oracleFalls(j *job.Job, dimension int) []fall {
	steps := make([]int64, len(j.Dimensions))
	base := oracleCost(j)
	var falls []fall
	best := base
	for n := int64(1); n <= j.Dimensions[dimension].StepsLess(); n++ {
		steps[dimension] = -n
		if c := oracleCost(j.Moved(steps)); c < best {
			best = c
			falls = append(falls, fall{n, base - c})
		}
	}
	return falls
}

// oracleFree is how many steps longer costs no more.
func oracleFree(j *job.Job, dimension int) int64 {
	steps := make([]int64, len(j.Dimensions))
	base := oracleCost(j)
	free := int64(0)
	for n := int64(1); n <= j.Dimensions[dimension].StepsMore(); n++ {
		steps[dimension] = n
		if oracleCost(j.Moved(steps)) == base {
			free = n
		}
	}
	return free
}
