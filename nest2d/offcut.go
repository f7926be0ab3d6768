package nest2d

import (
	"context"
	"math/big"
	"slices"
)

// The largest offcut is looked for by planning it like a panel: a strip that
// runs from edge to edge of a sheet is added to the panels, and ruin and
// recreate tries to place all within the same sheets. The drawing leaves the
// strip out, and what it held is waste together with what lies beyond it.

const offcutTries = 12

// isOffcut tells whether a panel of the tree is the strip.
func (m *model) isOffcut(panel int32) bool { return int(panel) >= len(m.problem.Panels) }

// withOffcut is the model with one more panel, which only fits kind k.
func (m *model) withOffcut(k int, strip size) *model {
	n := *m
	n.weight = append(slices.Clone(m.weight), max(1, slices.Max(m.weight)/4))
	n.sides = append(slices.Clone(m.sides), strip)
	n.kinds = slices.Clone(m.kinds)
	for i := range n.kinds {
		n.kinds[i].poses = append(slices.Clone(m.kinds[i].poses), nil)
		if i == k {
			n.kinds[i].admit(len(m.problem.Panels), pose{size: strip})
		}
	}
	return &n
}

// largestOffcut looks for a plan of the same cost with as few sheets and a
// larger offcut.
func (r *run) largestOffcut(ctx context.Context) {
	m := r.search.m
	value := m.offcut(r.best)
	bound := m.offcutBound(r.best)
	last := -1
	// What was drawn before, which depends on proofs too, makes no difference.
	r.search.random = stream(r.options.Seed)
	for try := 0; try < offcutTries && value < bound && ctx.Err() == nil; try++ {
		k, axis := m.stripKind(r.best, try/2), try%2
		across := m.kinds[k].usable[1-axis] - m.kinds[k].kerf
		most := min(bound, m.kinds[k].area)
		if most <= value {
			continue
		}
		// From bold to modest; a find starts over.
		step := []int64{2, 4, 10}[min(2, (try-last-1)/4)]
		wanted := (value + (most-value)/step) / across
		if wanted*across <= value {
			wanted++
		}
		strip := m.kinds[k].usable
		strip[axis] = wanted + m.kinds[k].kerf
		if strip[axis] > m.kinds[k].usable[axis] || !m.kinds[k].cuttable(strip) {
			continue
		}
		if d := r.withStrip(ctx, m.withOffcut(k, strip)); d != nil {
			if v := m.offcut(d); v > value {
				r.best, value, last = d, v, try
			}
		}
	}
	if value < bound && ctx.Err() != nil {
		r.result.Struck = TimeLimit
	}
	r.result.Offcut = goal(value, bound)
}

// withStrip is a draft of the best draft's cost and number of sheets that
// leaves room for the strip, or nil.
func (r *run) withStrip(ctx context.Context, m *model) *draft {
	s := *r.search
	s.m = m
	start := &draft{}
	start.copyFrom(r.best)
	for i := range start.boards {
		start.boards[i] = start.boards[i].without(r.search.m)
	}
	start.miss(m, int32(len(m.problem.Panels)))
	var found *draft
	l := limits{cost: r.best.cost, boards: r.best.sheets}
	n, struck := s.improve(ctx, start, l, r.effort.offcut/offcutTries, func(d *draft, _ int64) (limits, bool) {
		found = &draft{}
		found.copyFrom(d)
		return l, false
	})
	r.search.work, r.search.pool = s.work, s.pool
	r.result.Work.Iterations += n
	if struck == TimeLimit {
		r.result.Struck = TimeLimit
	}
	if found == nil {
		return nil
	}
	for _, b := range found.boards {
		if !b.holdsPanels(m) {
			return nil
		}
	}
	return found
}

func (b *board) holdsPanels(m *model) bool {
	for panel := range b.each {
		if !m.isOffcut(panel) {
			return true
		}
	}
	return false
}

// without is the board with no strip of an earlier try on it.
func (b *board) without(m *model) *board {
	if m.free {
		return b.withoutStrip(m)
	}
	for v := range b.nodes {
		if p := b.nodes[v].panel; p != none && m.isOffcut(p) {
			c := &board{}
			c.copyFrom(b)
			c.nodes[v].panel = 0 // any weight will do: load is set below
			c.remove(m, int32(v))
			c.load = 0
			for i := range c.nodes {
				if q := c.nodes[i].panel; q != none {
					c.load += m.weight[q]
				}
			}
			c.measure(m)
			return c
		}
	}
	return b
}

// offcut is the largest offcut of all boards.
func (m *model) offcut(d *draft) int64 {
	largest := int64(0)
	for _, b := range d.boards {
		if !m.kinds[b.kind].window {
			largest = max(largest, m.wasteOn(b))
		}
	}
	return largest
}

// offcutBound is more than any offcut of a plan with as many sheets can be:
// a whole sheet, or what the panels leave of the largest sheets.
func (m *model) offcutBound(d *draft) int64 {
	largest := int64(0)
	for k := range m.kinds {
		if m.kinds[k].supply > 0 && m.kinds[k].price <= d.cost && !m.kinds[k].window {
			largest = max(largest, m.kinds[k].area)
		}
	}
	left := new(big.Int).Mul(big.NewInt(int64(d.sheets)), big.NewInt(largest))
	for _, a := range m.problem.Panels {
		area := new(big.Int).Mul(big.NewInt(a.Length), big.NewInt(a.Width))
		left.Sub(left, area.Mul(area, big.NewInt(a.Demand)))
	}
	for _, k := range m.kinds {
		if k.window { // what lies in it takes nothing of a sheet
			left.Add(left, new(big.Int).Mul(big.NewInt(k.supply), big.NewInt(k.area)))
		}
	}
	if left.IsInt64() {
		return min(largest, left.Int64())
	}
	return largest
}

// stripKind picks the kind of the i-th try among those in use, in turn.
func (m *model) stripKind(d *draft, i int) int {
	var kinds []int
	for k := range d.used {
		if d.used[k] > 0 && !m.kinds[k].window {
			kinds = append(kinds, k)
		}
	}
	slices.SortStableFunc(kinds, func(a, b int) int {
		switch {
		case m.kinds[a].area > m.kinds[b].area:
			return -1
		case m.kinds[a].area < m.kinds[b].area:
			return 1
		}
		return 0
	})
	return kinds[i%len(kinds)]
}
