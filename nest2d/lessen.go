package nest2d

import "context"

// What a turn of ruin and recreate is, in parts of the work granted.
const (
	briskTurns = 25
	slowTurns  = 3
)

// lessen looks for plans of less cost by search.
func (r *run) lessen(ctx context.Context) {
	s, work := r.search, r.granted()
	if !s.m.free && s.m.copies <= crowd {
		s.shelf = &shelf{}
		defer func() { r.shelf, s.shelf = s.shelf, nil }()
	}
	switch {
	case r.fewMixes():
		r.tryMixes(ctx, work*3/2)
		if s.m.copies < batchCopies {
			return
		}
	case s.m.bought() > 1:
		r.searchAll(ctx, work/2)
		r.tryMixes(ctx, r.effort.cost/2)
	default:
		r.searchAll(ctx, work)
	}
	r.inFewStages(ctx, r.effort.cost/2)
	r.recombine(ctx, r.effort.cost)
}

// searchAll looks for plans of less cost with any sheets.
func (r *run) searchAll(ctx context.Context, work int64) {
	if r.search.shelf == nil {
		r.cheapen(ctx, r.best, work)
	} else {
		r.takeTurns(ctx, work)
	}
}

// cheapen looks for plans of less cost by ruin and recreate, from a draft on.
func (r *run) cheapen(ctx context.Context, from *draft, work int64) *draft {
	return r.improve(ctx, from, r.below(), work, func(*draft) (limits, bool) {
		return r.below(), !r.settled()
	})
}

// granted is the work for the least cost. Where sheets are of one kind, to save a
// whole one is worth a long search, the longer the more panels there are.
func (r *run) granted() int64 {
	m := r.search.m
	if m.problem.Free || m.bought() > 1 || m.copies > crowd {
		return r.effort.cost
	}
	return min(max(r.effort.triple*m.copies*m.copies*m.copies, r.effort.cost), r.effort.most)
}

// takeTurns looks for plans of less cost by turns of ruin and recreate, a brisk one,
// which does for most problems, and a slow one. After each the layouts seen are combined.
func (r *run) takeTurns(ctx context.Context, work int64) {
	s, from := r.search, r.best
	defer func() { s.pace = steady }()
	for end := s.work + work; s.work < end && !r.settled() && ctx.Err() == nil; {
		for _, turn := range []struct {
			pace  pace
			share int64
		}{{brisk, briskTurns}, {slow, slowTurns}} {
			s.pace = turn.pace
			from = r.cheapen(ctx, from, min(work/turn.share, end-s.work))
			if r.settled() {
				return
			}
			s.kick(from)
			if r.recombine(ctx, work/2) {
				from = r.best
			}
		}
	}
}

// recombine combines layouts as long as that makes plans cheaper, each time with
// so much work.
func (r *run) recombine(ctx context.Context, work int64) (found bool) {
	for !r.settled() && ctx.Err() == nil && r.combine(ctx, r.below(), work) {
		found = true
	}
	return found
}
