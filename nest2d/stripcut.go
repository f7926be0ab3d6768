package nest2d

import (
	"context"
	"math"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// Where all sheets are of one kind and their first cuts run one way, panels have
// their levels: with an exact number of stages strips as thick as they are, else
// strips at least as thick. How many strips they fill at least is the bound of a
// problem along one line, rounded up, and that is more than the program of fractions
// sees. With an exact number of stages the two lines come apart altogether.

// cut adds to the program what is missing there of the least numbers of strips, and
// tells whether anything was.
func (g *staging) cut(ctx context.Context) (added bool) {
	if len(g.slicings) != 1 {
		return false
	}
	rest := g.work / 8 * 7
	g.work -= rest
	defer func() { g.work += rest }()
	counts := make([]float64, len(g.slicings[0].levels))
	x := g.lp.Primal(nil)[g.first:]
	for i, c := range g.columns {
		if c.strip >= 0 {
			counts[g.strips[c.strip].level] += x[i]
		}
	}
	sum, last := 0.0, len(counts)-1
	for t := last; t >= 0; t-- {
		c := stripCut{from: t, to: t}
		if sum = counts[t] + sum; !g.exact {
			c.to = last
		} else {
			sum = counts[t]
		}
		if part := sum - math.Floor(sum); part < roundingTies || part > 1-roundingTies {
			continue
		}
		if c.least = g.fewestStrips(ctx, c.from, c.to, sum); float64(c.least) > sum {
			g.addCut(c)
			added = true
		}
	}
	return added
}

func (g *staging) addCut(c stripCut) {
	var columns []int32
	var values []float64
	for i, o := range g.columns {
		if o.strip >= 0 && c.holds(g.strips[o.strip]) {
			columns, values = append(columns, int32(g.first+i)), append(values, 1)
		}
	}
	c.row = g.lp.AddRow(float64(c.least), solver.Inf, columns, values)
	g.lp.AddColumn(4, 0, solver.Inf, []int32{int32(c.row)}, []float64{1})
	g.columns = append(g.columns, column{-1, -1})
	g.cuts = append(g.cuts, c)
}

// fewestStrips is a number of strips that the panels whose levels all lie between two
// need at least, or one that is no more than a sum. With whole numbers vᵢ for duals, and
// the greatest worth m of a strip, that is ⌈Σ demandᵢ·vᵢ / m⌉.
func (g *staging) fewestStrips(ctx context.Context, from, to int, sum float64) int64 {
	s := &g.slicings[0]
	lp := embedded.Engine{}.New()
	x := g.lp.Primal(nil)[g.first:]
	defer lp.Close()
	outside := map[int]bool{}
	for t, l := range s.levels {
		for _, a := range l.lanes {
			outside[a.panel] = outside[a.panel] || t < from || t > to
		}
	}
	var lanes []lane
	at := map[int]int32{} // row of a panel
	for _, l := range s.levels[from : to+1] {
		for _, a := range l.lanes {
			if outside[a.panel] {
				continue
			}
			lanes = append(lanes, a)
			if _, met := at[a.panel]; !met {
				row := int32(lp.AddRow(float64(g.m.problem.Panels[a.panel].Demand), solver.Inf, nil, nil))
				at[a.panel] = row
				lp.AddColumn(4, 0, solver.Inf, []int32{row}, []float64{1})
			}
		}
	}
	if len(lanes) == 0 {
		return 0
	}
	for i, c := range g.columns {
		if c.strip >= 0 && x[i] > 0 {
			addRow(lp, at, g.strips[c.strip].lanes)
		}
	}
	var r row
	best := int64(0)
	for spent := 0; g.work > 0 && ctx.Err() == nil && lp.Solve(ctx, 0) == solver.Optimal; {
		g.work -= int64(lp.Iterations()-spent) * pivot(lp)
		spent = lp.Iterations()
		if ceiling := math.Ceil(lp.Objective() - roundingTies); ceiling <= sum || ceiling <= float64(best) {
			break // it never gets above this
		}
		dual := lp.Dual(nil)
		need := int64(0)
		r.forget()
		r.empty(s.along.whole)
		before := r.work
		counted := map[int]bool{}
		for i, a := range lanes {
			v, demand := g.whole(dual[at[a.panel]]), g.m.problem.Panels[a.panel].Demand
			r.add(i, s.along.down(a.length), v, demand)
			if !counted[a.panel] {
				counted[a.panel] = true
				need += v * demand
			}
		}
		g.work -= r.work - before
		if r.value() > 0 {
			best = max(best, (need-1)/r.value()+1)
		}
		if float64(r.value()) <= g.scale*(1+paying) {
			break
		}
		var list []lane
		r.goods(r.mark(), func(good int) int64 { return s.along.down(lanes[good].length) }, func(good int) {
			list = append(list, lanes[good])
		})
		addRow(lp, at, list)
	}
	return best
}

// addRow adds a strip to the program of fewest strips, by the rows of the panels.
func addRow(lp solver.LP, at map[int]int32, lanes []lane) {
	rows, values := counted(lanes, func(panel int) (int32, bool) {
		row, in := at[panel]
		return row, in
	})
	if len(rows) > 0 {
		lp.AddColumn(1, 0, solver.Inf, rows, values)
	}
}
