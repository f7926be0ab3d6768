package nest2d

import (
	"context"
	"math"
	"slices"

	"sawbill/solver"
)

// Rounding strips
//
// Strips are fixed first. Those that the program cuts once or more are fixed so
// often; of the rest one that is nearest to a whole strip, mostly. What is still
// wanted is a smaller problem of the same sort, for which strips are generated
// again, with fewer copies to hold. When all panels are in strips the same is done
// with sheets. Floats decide only what is fixed.

// mostDives is how many times rounding is tried.
const mostDives = 100

// roundsBetween is how many times strips are generated between two fixings.
const roundsBetween = 6

// sure is a fraction that is rounded up along with the largest.
const sure = 0.85

// dive fixes strips and then sheets and returns the draft, nil if there is none or
// when the program says that it costs more than most, in units of the largest price.
func (g *staging) dive(ctx context.Context, most float64, chance func() float64) *draft {
	var list []strip
	g.restart()
	defer g.release()
	for g.need() {
		g.ask()
		solved, all := g.converge(ctx, roundsBetween)
		if !solved || all && g.lp.Objective() > most {
			return nil
		}
		fixed := g.pick(chance, func(c column) int { return c.strip }, func(i int) bool {
			s := g.strips[i]
			if !g.proper(s) {
				return false
			}
			list = append(list, s)
			g.made[s.slicing][s.level]++
			for _, l := range s.lanes {
				g.wanted[l.panel]--
			}
			return true
		})
		if !fixed {
			return nil
		}
	}
	return g.onSheets(ctx, list, most, chance)
}

// need tells whether panels are wanted.
func (g *staging) need() bool {
	return slices.ContainsFunc(g.wanted, func(n int64) bool { return n > 0 })
}

// proper tells that no panel of a strip is more than is wanted.
func (g *staging) proper(s strip) bool {
	for i, l := range s.lanes {
		n := int64(1)
		for _, o := range s.lanes[:i] {
			if o.panel == l.panel {
				n++
			}
		}
		if n > g.wanted[l.panel] {
			return false
		}
	}
	return true
}

// seats calls take with the levels of strips that a parting has room for, of those
// that are on no sheet yet, thick ones first.
func (g *staging) seats(p parting, take func(level int)) {
	left := map[int]int64{}
	made := g.made[p.slicing]
	for _, t := range slices.Backward(slices.Sorted(slices.Values(p.levels))) {
		for ; t >= 0; t-- {
			if made[t] > left[t] {
				left[t]++
				take(t)
				break
			}
		}
	}
}

// seated tells that strips lie everywhere in a parting.
func (g *staging) seated(p parting) bool {
	n := 0
	g.seats(p, func(int) { n++ })
	return n == len(p.levels)
}

// ask makes the program one of what is still wanted.
func (g *staging) ask() {
	for i, n := range g.wanted {
		g.lp.SetRowBounds(i, float64(n), solver.Inf)
	}
	for at := range g.slicings {
		for t, l := range g.slicings[at].levels {
			g.lp.SetRowBounds(l.row, float64(g.made[at][t]), solver.Inf)
		}
	}
	sheets := !g.need()
	for _, c := range g.cuts {
		n := c.least
		for t := c.from; t <= c.to; t++ {
			n -= g.made[c.slicing][t]
		}
		if n = max(n, 0); sheets { // strips go from those that are made
			n = 0
		}
		g.lp.SetRowBounds(c.row, float64(n), solver.Inf)
	}
	for i, c := range g.columns {
		high := solver.Inf
		if c.strip >= 0 && !g.proper(g.strips[c.strip]) || c.parting >= 0 && sheets && !g.seated(g.partings[c.parting]) {
			high = 0
		}
		if _, was := g.lp.ColumnBounds(g.first + i); was != high {
			g.lp.SetColumnBounds(g.first+i, 0, high)
		}
	}
}

// askSheets leaves the program the sheets that a draft has not used.
func (g *staging) askSheets(d *draft) {
	for k, row := range g.supply {
		if row >= 0 {
			g.lp.SetRowBounds(row, -solver.Inf, float64(g.m.kinds[k].supply-d.used[k]))
		}
	}
}

// restart fixes nothing any more.
func (g *staging) restart() {
	for i, a := range g.m.problem.Panels {
		g.wanted[i] = a.Demand
	}
	for at := range g.made {
		clear(g.made[at])
	}
}

// release makes the program that of the whole problem again.
func (g *staging) release() {
	g.restart()
	g.ask()
	g.askSheets(&draft{used: make([]int64, len(g.m.kinds))})
}

// pick fixes columns of a sort as often as the program has them, and at least one
// of the others; fix tells whether it did. It tells whether any was fixed.
func (g *staging) pick(chance func() float64, sort func(column) int, fix func(int) bool) (any bool) {
	x := g.lp.Primal(nil)[g.first:]
	at, best := -1, 0.0
	for i := range x {
		j := sort(g.columns[i])
		if j < 0 {
			continue
		}
		n := math.Floor(x[i] + roundingTies)
		for range int(n) {
			if !fix(j) {
				break
			}
			any = true
		}
		part := x[i] - n
		if part > sure && fix(j) {
			any = true
			continue
		}
		if v := part * (0.5 + chance()); part > roundingTies && v > best {
			at, best = j, v
		}
	}
	return any || at >= 0 && fix(at)
}

// onSheets fixes sheets for strips.
func (g *staging) onSheets(ctx context.Context, list []strip, most float64, chance func() float64) *draft {
	d := &draft{used: make([]int64, len(g.m.kinds))}
	left := make([][][]strip, len(g.slicings)) // by slicing and level
	for at := range left {
		left[at] = make([][]strip, len(g.slicings[at].levels))
	}
	for _, s := range list {
		left[s.slicing][s.level] = append(left[s.slicing][s.level], s)
	}
	for rest := len(list); rest > 0; {
		g.ask()
		g.askSheets(d)
		solved, all := g.converge(ctx, roundsBetween)
		if !solved || all && g.lp.Objective()+float64(d.cost)/g.unit > most {
			return nil
		}
		fixed := g.pickSheets(d, chance, func(p parting) (on []strip) {
			g.seats(p, func(t int) {
				l := left[p.slicing][t]
				on = append(on, l[len(l)-1])
				left[p.slicing][t] = l[:len(l)-1]
			})
			for _, t := range on {
				g.made[p.slicing][t.level]--
			}
			rest -= len(on)
			return on
		})
		if !fixed {
			return nil
		}
	}
	return d
}

// pickSheets fixes sheets in a draft, each with the strips that fill puts on it, and tells
// whether it fixed any.
func (g *staging) pickSheets(d *draft, chance func() float64, fill func(parting) []strip) bool {
	return g.pick(chance, func(c column) int { return c.parting }, func(i int) bool {
		p := g.partings[i]
		kind := g.slicings[p.slicing].kind
		if d.used[kind] == g.m.kinds[kind].supply {
			return false
		}
		on := fill(p)
		if len(on) == 0 {
			return false
		}
		b := g.board(p.slicing, on)
		b.kept = true
		d.addBoard(g.m, b)
		return true
	})
}
