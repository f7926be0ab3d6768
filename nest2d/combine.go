package nest2d

import (
	"cmp"
	"context"
	"math"
	"slices"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// Combining layouts
//
// A search sees many more good layouts than its best plan has: it gives a
// layout up because the rest of the plan does not come right. They are kept on
// a shelf, and a covering program picks among them a purchase that has all
// panels (a set-covering heuristic: Monaci & Toth 2006). What is covered more
// often than wanted is taken off the layouts picked.
//
// The linear relaxation takes layouts up as they pay. Those whose reduced cost
// is beyond what a better plan may cost more than it are in none. Diving rounds
// up one layout after the other until all are whole or the cost is too high,
// again and again in other orders. Floats decide only what is picked: the
// purchase is counted anew in integers.
//
// M. Monaci & P. Toth, "A set-covering-based heuristic approach for bin-packing
// problems", INFORMS Journal on Computing 18 (2006) 71–85.

const (
	mostPicked   = 1_000 // layouts beyond those the relaxation needs
	entering     = 200   // layouts taken into the relaxation at a time
	mostCovered  = 300   // kinds of panels
	mostPivots   = 8_000
	fewestPivots = 500    // with less the relaxation is not even solved
	pivotWork    = 10_000 // what an iteration of the simplex method counts for
	coverSlack   = 1e-7
	roundingTies = 1e-6
)

// A cover is a covering program over layouts of a shelf.
type cover struct {
	m      *model
	shelf  *shelf
	lp     solver.LP
	unit   float64 // the largest price
	picked []int   // layouts of the columns
	in     []bool  // layouts that have a column
	supply []int   // row of a kind, or -1
	pivots int     // at most, together
}

func (m *model) cover(f *shelf) *cover {
	c := &cover{m: m, shelf: f, lp: embedded.Engine{}.New(), unit: 1, in: make([]bool, len(f.boards))}
	for _, k := range m.kinds {
		c.unit = max(c.unit, float64(k.price))
	}
	for _, a := range m.problem.Panels {
		row := c.lp.AddRow(float64(a.Demand), solver.Inf, nil, nil)
		// What no layout covers yet is dear.
		c.lp.AddColumn(4, 0, solver.Inf, []int32{int32(row)}, []float64{1})
	}
	c.supply = m.supplyRows(c.lp)
	return c
}

// take gives a layout a column.
func (c *cover) take(layout int) {
	c.in[layout] = true
	c.picked = append(c.picked, layout)
	b := c.shelf.boards[layout]
	counts := make([]float64, len(c.m.problem.Panels))
	for panel := range b.each {
		counts[panel]++
	}
	var rows []int32
	var values []float64
	for i, n := range counts {
		if n > 0 {
			rows, values = append(rows, int32(i)), append(values, n)
		}
	}
	if row := c.supply[b.kind]; row >= 0 {
		rows, values = append(rows, int32(row)), append(values, 1)
	}
	c.lp.AddColumn(float64(c.m.kinds[b.kind].price)/c.unit, 0, solver.Inf, rows, values)
}

// A reduced cost of a layout without a column.
type reduced struct {
	layout int
	cost   float64
}

// priced lists the layouts without a column by their reduced costs.
func (c *cover) priced() []reduced {
	var list []reduced
	dual := c.lp.Dual(nil)
	for i, b := range c.shelf.boards {
		if c.in[i] {
			continue
		}
		cost := float64(c.m.kinds[b.kind].price) / c.unit
		if row := c.supply[b.kind]; row >= 0 {
			cost -= dual[row]
		}
		for panel := range b.each {
			cost -= dual[panel]
		}
		list = append(list, reduced{i, cost})
	}
	slices.SortFunc(list, func(a, b reduced) int { return cmp.Or(cmp.Compare(a.cost, b.cost), a.layout-b.layout) })
	return list
}

// solve tells whether the program was solved with the iterations left.
func (c *cover) solve(ctx context.Context) bool {
	left := c.pivots - c.lp.Iterations()
	return left > 0 && c.lp.Solve(ctx, left) == solver.Optimal
}

// relax solves the relaxation over all layouts and takes those up that may be
// in a purchase that costs no more than most; it tells whether there may be one.
func (c *cover) relax(ctx context.Context, most float64) bool {
	for {
		if !c.solve(ctx) {
			return false
		}
		list, paying := c.priced(), 0
		for paying < min(len(list), entering) && list[paying].cost < -coverSlack {
			c.take(list[paying].layout)
			paying++
		}
		if paying > 0 {
			continue
		}
		room := most - c.lp.Objective()
		if room < 0 {
			return false
		}
		for _, r := range list[:min(len(list), mostPicked)] {
			if r.cost > room {
				break
			}
			c.take(r.layout)
		}
		return true
	}
}

// combine looks among the layouts seen for a plan within limits, with so much
// work, and makes it the best.
func (r *run) combine(ctx context.Context, l limits, work int64) bool {
	m, s := r.search.m, r.search
	pivots := int(min(work/pivotWork, mostPivots))
	if pivots < fewestPivots || s.shelf == nil || len(s.shelf.boards) == 0 || l.cost == noBudget || len(m.problem.Panels) > mostCovered {
		return false
	}
	c := m.cover(s.shelf)
	c.pivots = pivots
	defer c.lp.Close()
	defer func() { s.work += pivotWork * int64(c.lp.Iterations()) }()
	most := float64(float64(l.cost)/c.unit) * (1 + coverSlack)
	if !c.relax(ctx, most) {
		return false
	}
	root := c.lp.Basis()
	for c.lp.Iterations() < c.pivots && ctx.Err() == nil {
		counts := c.dive(ctx, most, s.random.Float64)
		if counts == nil {
			c.lp.SetBasis(root)
			continue
		}
		d := c.draft(counts)
		if d.lack > 0 || d.cost > l.cost || d.sheets > l.boards {
			return false // floats were wrong
		}
		r.best = d
		r.report()
		return true
	}
	return false
}

// dive rounds up layouts one by one, mostly those nearest to a whole number,
// and returns the counts by column, or nil when they cost more than most.
func (c *cover) dive(ctx context.Context, most float64, chance func() float64) []float64 {
	var fixed []int
	defer func() {
		for _, column := range fixed {
			c.lp.SetColumnBounds(column, 0, solver.Inf)
		}
	}()
	first := len(c.m.problem.Panels)
	for c.solve(ctx) && c.lp.Objective() <= most {
		x := c.lp.Primal(nil)
		at, best := -1, 0.0
		for column := first; column < len(x); column++ {
			part := x[column] - math.Floor(x[column]+roundingTies)
			if part < roundingTies {
				continue
			}
			if v := part * (0.5 + chance()); v > best {
				at, best = column, v
			}
		}
		if at < 0 {
			return x[first:]
		}
		c.lp.SetColumnBounds(at, math.Ceil(x[at]), solver.Inf)
		fixed = append(fixed, at)
	}
	return nil
}

// draft is a draft with the layouts of the columns, so many of each.
func (c *cover) draft(counts []float64) *draft {
	d := &draft{used: make([]int64, len(c.m.kinds))}
	var left []int64
	for _, a := range c.m.problem.Panels {
		left = append(left, a.Demand)
	}
	for i, n := range counts {
		b := c.shelf.boards[c.picked[i]]
		for range int(math.Round(n)) {
			if kept := b.lessened(c.m, left); !kept.empty() && d.used[b.kind] < c.m.kinds[b.kind].supply {
				kept.kept = true
				d.addBoard(c.m, kept)
			}
		}
	}
	for panel, n := range left {
		for range n {
			d.miss(c.m, int32(panel))
		}
	}
	return d
}

// lessened is the board without the panels of which none is left to cut; those
// it keeps are taken from what is left.
func (b *board) lessened(m *model, left []int64) *board {
	c := &board{}
	c.copyFrom(b)
	for v := range c.nodes {
		panel := c.nodes[v].panel
		switch {
		case panel == none:
		case left[panel] > 0:
			left[panel]--
		default:
			c.remove(m, int32(v))
		}
	}
	c.measure(m)
	return c
}
