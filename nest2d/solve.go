package nest2d

import (
	"context"
	"math"
)

// Solve looks for the cheapest plan. The error, one sentence, names what is
// wrong with the problem; a problem that has no plan is not an error.
func Solve(ctx context.Context, p Problem, o Options) (Result, error) {
	m, err := newModel(p)
	if err != nil {
		return Result{}, err
	}
	r := Result{}
	if r.Shortfall.TooLarge = m.tooLarge(); r.Shortfall.TooLarge != nil {
		r.Outcome = Impossible
		return r, nil
	}
	r.Certificate = m.certify()
	s := newSearch(m, o.Seed)
	best := s.construct()
	bound := r.Certificate.Bound
	if best.lack == 0 && best.cost > bound {
		start := best
		tighten := func(d *draft) (limits, bool) {
			best = &draft{}
			best.copyFrom(d)
			return limits{best.cost - 1, math.MaxInt32}, best.cost > bound
		}
		r.Work.Iterations, r.Struck = s.improve(ctx, start, limits{best.cost - 1, math.MaxInt32}, effortOf(o.Effort), tighten)
	}
	if best.lack > 0 {
		for _, p := range best.missing {
			r.Shortfall.Unplaced = append(r.Shortfall.Unplaced, Unplaced{int(p), 1})
		}
		return r, nil
	}
	r.Outcome = Planned
	r.Layouts = m.layouts(best.boards)
	r.Cost = goal(best.cost, bound)
	r.Sheets = goal(int64(len(best.boards)), 0)
	return r, nil
}

func goal(value, bound int64) Goal {
	g := Goal{Value: value, Bound: bound, Status: Open}
	if value == bound {
		g.Status = Proven
	}
	return g
}

func effortOf(e Effort) int64 {
	switch e {
	case Quick:
		return 10_000_000
	case Long:
		return 3_000_000_000
	}
	return 300_000_000
}

// tooLarge lists the panels that fit no sheet.
func (m *model) tooLarge() []int {
	var list []int
panels:
	for i, a := range m.problem.Panels {
		if a.Demand == 0 {
			continue
		}
		for _, k := range m.kinds {
			if k.supply > 0 && len(k.poses[i]) > 0 {
				continue panels
			}
		}
		list = append(list, i)
	}
	return list
}

// construct makes first drafts in several orders and returns the best.
func (s *search) construct() *draft {
	p := s.m.problem.Panels
	keys := []func(int32) int64{
		func(i int32) int64 { return s.m.weight[i] },
		func(i int32) int64 { return max(p[i].Length, p[i].Width) },
		func(i int32) int64 { return p[i].Length },
		func(i int32) int64 { return p[i].Width },
	}
	var all []int32
	for i, a := range p {
		for range a.Demand {
			all = append(all, int32(i))
		}
	}
	var best *draft
	for _, key := range keys {
		for _, rule := range []rule{leastArea, leastSide} {
			d := &draft{used: make([]int64, len(s.m.kinds)), missing: append([]int32(nil), all...)}
			sortDown(d.missing, key)
			s.fresh = s.fresh[:0]
			l := limits{math.MaxInt64, math.MaxInt32}
			s.recreate(d, rule, 0, s.anyKind(&l))
			if best == nil || d.lack < best.lack || d.lack == best.lack && d.cost < best.cost {
				best = d
			}
		}
	}
	for _, b := range best.boards {
		b.kept = true
	}
	return best
}
