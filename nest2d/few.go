package nest2d

import "context"

// fewStages is a limit on stages under which large batches of few kinds are often cut
// better than the search finds without one: strips of equal panels are what such
// plans are made of, and there is less to go astray in.
const fewStages = 3

// A batch is large from so many copies on, and of few kinds with so many of each.
const (
	batchCopies = 100
	batchEach   = 8
)

// inFewStages looks for a cheaper plan among those of few stages, where any number may
// be used.
func (r *run) inFewStages(ctx context.Context, work int64) {
	m := *r.search.m
	if m.copies < batchCopies || m.copies < batchEach*int64(len(m.problem.Panels)) {
		return
	}
	if r.search.m.problem.Stages != 0 || r.search.m.free || r.settled() || r.best.lack > 0 || ctx.Err() != nil {
		return
	}
	whole := r.search
	m.problem.Stages, m.problem.TrimCut = fewStages, true
	r.search = newSearch(&m, r.options.Seed)
	r.search.shelf, r.search.pace = whole.shelf, slow
	start, _ := r.search.construct(ctx)
	r.cheapen(ctx, start, work)
	r.search = whole
}
