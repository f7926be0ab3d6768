package nest2d

import (
	"context"
	"math"

	"sawbill/solver"
)

// mostRounds is far above the rounds that a program takes.
const mostRounds = 10_000

// paying is how much, in parts of the largest price, a column must be worth more than
// it costs.
const paying = 1e-7

// A sliced is what strips of a slicing are worth by level, and how to fill them.
type sliced struct {
	row    row
	lanes  []lane // the goods of the row
	marks  []rowMark
	values []int64
	stacks [][]int64 // values of stacks by width and level, with three stages,
	line   row       // stacks along a strip,
	room   []int64   // and what room for a strip costs; what is worth no more may be guessed
}

// fill fills the strips of a slicing with panels of so much worth, each as often as
// it is wanted. Lengths are measured by round.
func (g *staging) fill(s *slicing, f *sliced, worth []int64, round func(ruler, int64) int64) {
	if g.stacked {
		g.fillStacks(s, f, worth)
		return
	}
	f.row.forget()
	f.lanes, f.marks, f.values = f.lanes[:0], f.marks[:0], f.values[:0]
	f.row.empty(s.along.whole)
	before := f.row.work
	for t, l := range s.levels {
		if g.exact && t > 0 {
			f.row.empty(s.along.whole)
		}
		for _, a := range l.lanes {
			f.row.add(len(f.lanes), round(s.along, a.length), worth[a.panel], g.wanted[a.panel])
			f.lanes = append(f.lanes, a)
		}
		f.marks, f.values = append(f.marks, f.row.mark()), append(f.values, f.row.value())
	}
	g.work -= f.row.work - before
}

// strip is the strip of greatest worth at a level, without copies that are not wanted.
func (g *staging) strip(at, level int, f *sliced) strip {
	s := &g.slicings[at]
	if g.stacked {
		return g.stackedStrip(at, level, f)
	}
	t := strip{slicing: at, level: -1}
	left := map[int]int64{}
	f.row.goods(f.marks[level], func(good int) int64 { return s.along.up(f.lanes[good].length) }, func(good int) {
		l := f.lanes[good]
		n, met := left[l.panel]
		if !met {
			n = g.wanted[l.panel]
		}
		if left[l.panel] = n - 1; n > 0 {
			t.lanes = append(t.lanes, l)
			for t.level < 0 || s.levels[t.level].thickness < l.pose.size[s.axis] {
				t.level++
			}
		}
	})
	return t
}

// sheet is the sheet of greatest value for values of the levels, and how much it is;
// no more strips of a level than most are on it.
func (g *staging) sheet(at int, r *row, values, most []int64, round func(ruler, int64) int64) (int64, parting) {
	s := &g.slicings[at]
	r.forget()
	r.empty(s.across.whole)
	before := r.work
	for t := range s.levels {
		r.add(t, round(s.across, s.levels[t].thickness), values[t], most[t])
	}
	g.work -= r.work - before
	p := parting{slicing: at}
	r.goods(r.mark(), func(t int) int64 { return round(s.across, s.levels[t].thickness) }, func(t int) {
		p.levels = append(p.levels, t)
	})
	return r.value(), p
}

// most is how many strips of each level there may be.
func (g *staging) most(at int) []int64 {
	var list []int64
	for t, l := range g.slicings[at].levels {
		n := g.made[at][t]
		if g.stacked {
			n += g.still
		}
		for _, a := range l.lanes {
			n += g.wanted[a.panel]
		}
		list = append(list, n)
	}
	return list
}

// whole turns duals into integers.
func (g *staging) whole(dual float64) int64 {
	return int64(math.Floor(min(max(0, dual), 8) * g.scale))
}

// worths are what panels are worth by the duals.
func (g *staging) worths(dual []float64) []int64 {
	worth := make([]int64, len(g.wanted))
	for i := range worth {
		worth[i] = g.whole(dual[i])
	}
	return worth
}

// extra is what strips of each level are worth besides, by the cuts.
func (g *staging) extra(at int, dual []float64) []int64 {
	list := make([]int64, len(g.slicings[at].levels))
	for _, c := range g.cuts {
		for t := c.from; c.slicing == at && t <= c.to; t++ {
			list[t] += g.whole(dual[c.row])
		}
	}
	return list
}

// price adds columns that pay by the duals of the program, and tells whether it did.
func (g *staging) price(f *sliced, r *row) (added bool) {
	dual := g.lp.Dual(nil)
	worth := g.worths(dual)
	g.still = 0
	for _, n := range g.wanted {
		g.still += n
	}
	least := int64(float64(paying * g.scale))
	for at := range g.slicings {
		s := &g.slicings[at]
		f.room = f.room[:0]
		for _, l := range s.levels {
			f.room = append(f.room, g.whole(dual[l.row]))
		}
		room := f.room
		g.fill(s, f, worth, ruler.up)
		extra := g.extra(at, dual)
		cost := float64(g.m.kinds[s.kind].price) / g.unit
		if row := g.supply[s.kind]; row >= 0 {
			cost -= dual[row]
		}
		full := int64(math.Ceil(cost*g.scale)) + least
		best := make([]int64, len(s.levels))
		done := make([]bool, len(s.levels))
		for t := range s.levels {
			best[t] = f.values[t] + extra[t]
			more := t == 0 || g.exact || best[t] > best[t-1]
			if f.values[t] > 0 && more && best[t] > room[t]+least {
				done[t] = true
				added = g.addStrip(g.strip(at, t, f)) || added
			}
		}
		most := g.most(at)
		if v, p := g.sheet(at, r, room, most, ruler.up); v > full && g.addParting(p) {
			added = true
			continue
		}
		if v, p := g.sheet(at, r, best, most, ruler.up); v > full {
			added = g.addParting(p) || added
			for _, t := range p.levels {
				if f.values[t] > 0 && !done[t] {
					done[t] = true
					added = g.addStrip(g.strip(at, t, f)) || added
				}
			}
		}
	}
	return added
}

// solve solves the program with the columns it has.
func (g *staging) solve(ctx context.Context) bool {
	ok := g.lp.Solve(ctx, 0) == solver.Optimal
	n := g.lp.Iterations()
	g.work -= int64(n-g.spent+1) * pivot(g.lp)
	g.spent = n
	return ok
}

// pivot is about what an iteration of the simplex method counts for.
func pivot(lp solver.LP) int64 { return int64(20*lp.NumRows() + lp.NumColumns()) }

// converge adds columns until none pays, in so many rounds and within the work; it
// tells whether the program was solved last, and whether no column is missing.
func (g *staging) converge(ctx context.Context, rounds int) (solved, all bool) {
	var f sliced
	var r row
	idle, turns := 0, 1
	if g.stacked {
		turns = turnsOfLevels
	}
	for range rounds {
		if ctx.Err() != nil || g.work < 0 {
			return solved, false
		}
		if solved = g.solve(ctx); !solved {
			return false, false
		}
		g.turn++
		if g.price(&f, &r) {
			idle = 0
		} else if idle++; idle == turns {
			return true, true
		}
	}
	return g.solve(ctx), false
}
