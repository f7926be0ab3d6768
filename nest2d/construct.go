package nest2d

import "context"

const (
	// constructWork ends the trials of orders early when there are many panels.
	constructWork = 20_000_000
	// firstWork is what the first draft may take even when the context has ended.
	firstWork = 10_000_000
)

// construct makes first drafts in several orders and returns the best. It
// makes one even when the context has ended, a whole one if that is little work.
func (s *search) construct(ctx context.Context) (*draft, Limit) {
	p := s.m.sides
	keys := []func(int32) int64{
		func(i int32) int64 { return s.m.weight[i] },
		func(i int32) int64 { return max(p[i][axisX], p[i][axisY]) },
		func(i int32) int64 { return p[i][axisX] },
		func(i int32) int64 { return p[i][axisY] },
	}
	var best *draft
	s.halted = func() bool { return (best != nil || s.work > firstWork) && ctx.Err() != nil }
	for _, key := range keys {
		for _, rule := range []rule{leastArea, leastSide} {
			if best != nil && ctx.Err() != nil {
				return best, TimeLimit
			}
			if best != nil && s.work > constructWork {
				return best, NoLimit
			}
			d := s.m.emptyDraft()
			sortDown(d.missing, key)
			s.fresh = s.fresh[:0]
			l := limits{cost: noBudget, boards: anyNumber}
			s.recreate(d, rule, 0, s.anyKind(&l))
			if best != nil && ctx.Err() != nil {
				return best, TimeLimit
			}
			if best == nil || d.lack < best.lack || d.lack == best.lack && d.cost < best.cost {
				best = d
			}
		}
	}
	return best, NoLimit
}

// anyKind opens a board of any kind within the limits, half of the time the
// kind cheapest for its area.
func (s *search) anyKind(l *limits) opener {
	return func(d *draft, panel int32) int {
		if l.fixed {
			return -1
		}
		best, count := -1, 0
		cheapest := s.random.IntN(2) == 0
		for k := range s.m.kinds {
			if len(s.m.kinds[k].poses[panel]) == 0 || !d.mayOpen(s.m, k, *l) {
				continue
			}
			count++
			if best < 0 || cheapest && s.m.cheaper(k, best) || !cheapest && s.random.IntN(count) == 0 {
				best = k
			}
		}
		return best
	}
}

// cheaper tells whether kind a has the lower price for its area.
func (m *model) cheaper(a, b int) bool {
	return float64(m.kinds[a].price)*float64(m.kinds[b].area) < float64(m.kinds[b].price)*float64(m.kinds[a].area)
}
