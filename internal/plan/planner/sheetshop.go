package planner

import (
	"context"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/purchase"
	"sawbill/nest2d"
)

// sheetCutter answers for the sheets of one material.
type sheetCutter struct {
	*sheetJob
	desk[nest2d.Layout]
	// whole are the offers once each, by which covers are valued.
	whole  *sheetJob
	proofs []*plan.SheetProof
}

func newSheetCutter(j *job.Job, mi int, o Options) *sheetCutter {
	whole := newSheetJob(j, mi)
	formed := *whole
	return &sheetCutter{sheetJob: &formed, whole: whole, desk: desk[nest2d.Layout]{job: j, index: mi, options: o, groups: 1, read: readSheet}}
}

func readSheet(l nest2d.Layout) content {
	c := content{kind: l.Sheet, count: l.Count}
	for _, place := range l.Places {
		c.classes = append(c.classes, place.Panel)
	}
	return c
}

func (c *sheetCutter) classes() []int64 {
	var list []int64
	for _, p := range c.problem.Panels {
		list = append(list, p.Demand)
	}
	return list
}

func (c *sheetCutter) form(kinds []kind) {
	c.desk.form(kinds)
	c.offers, c.problem.Sheets = nil, nil
	for _, k := range kinds {
		c.offers = append(c.offers, k.offer)
		s := c.sheet(c.job.Processes[c.job.Materials[c.index].Process], c.job.Offers[k.offer])
		if k.fetched {
			s.LongestPanel, s.WidestPanel = int64(c.job.LongestLoad), int64(c.job.WidestLoad)
		}
		c.problem.Sheets = append(c.problem.Sheets, s)
	}
}

func (c *sheetCutter) holds(kind, class int) bool {
	s, p := c.problem.Sheets[kind], c.problem.Panels[class]
	if c.kinds[kind].fetched && !fitsLoad(c.job, p.Length, p.Width) {
		return false
	}
	long, wide := s.Length-s.TrimLeft-s.TrimRight, s.Width-s.TrimBottom-s.TrimTop
	return p.Length <= long && p.Width <= wide || p.Turn && p.Width <= long && p.Length <= wide
}

// enough is one sheet for each panel, which Most says already.
func (c *sheetCutter) enough(int) int64 { return 0 }

func (c *sheetCutter) price(s job.Supplier, class int) (cuts, each int64) {
	return 0, panelCut(s, c.cuts[class])
}

// covers come from the certificates for several prices: all as they are, and
// each offer alone cheap.
func (c *sheetCutter) covers(plan.Material) []purchase.Cover {
	var list []purchase.Cover
	effort := efforts[c.options.Effort].sheets
	if effort == nest2d.Long {
		effort = nest2d.Normal
	}
	for cheap := -1; cheap < len(c.whole.problem.Sheets) && cheap < mostCheap; cheap++ {
		if cheap >= 0 && len(c.whole.problem.Sheets) == 1 {
			break
		}
		p := c.whole.problem
		var of []openingOf
		p.Windows, of = c.whole.windows(true)
		p.Sheets = slices.Clone(p.Sheets)
		for k := range p.Sheets {
			if cheap >= 0 && k != cheap {
				p.Sheets[k].Price *= 2
			}
		}
		certificate, err := nest2d.Cover(p, effort)
		if err != nil || len(certificate.Kinds) == 0 {
			continue
		}
		cover := purchase.Cover{Value: certificate.Values(p)}
		for i, o := range of {
			cover.Value[o.class] -= certificate.Kinds[len(p.Sheets)+i].Worth
		}
		for _, k := range c.kinds {
			at := slices.Index(c.whole.offers, k.offer)
			cover.Worth = append(cover.Worth, certificate.Kinds[at].Worth)
		}
		if slices.ContainsFunc(list, func(o purchase.Cover) bool {
			return slices.Equal(o.Value, cover.Value) && slices.Equal(o.Worth, cover.Worth)
		}) {
			continue
		}
		list = append(list, cover)
		c.proofs = append(c.proofs, c.whole.proof(certificate))
	}
	return list
}

// mostCheap caps the offers that are each made cheap in turn.
const mostCheap = 8

func (c *sheetCutter) proof(number int, _ purchase.Cover) plan.Cover {
	proof := *c.proofs[number]
	proof.Bound = 0
	return plan.Cover{Material: c.job.Materials[c.index].Key, Sheets: &proof}
}

func (c *sheetCutter) solve(ctx context.Context, counts, pieces, extra []int64, o nest2d.Options) (nest2d.Result, error) {
	return c.solved(ctx, c.problem, counts, pieces, extra, o)
}

// solved solves a problem with other numbers of sheets and panels.
func (c *sheetCutter) solved(ctx context.Context, p nest2d.Problem, counts, pieces, extra []int64, o nest2d.Options) (nest2d.Result, error) {
	p.Sheets, p.Panels = slices.Clone(p.Sheets), slices.Clone(p.Panels)
	for k := range p.Sheets {
		p.Sheets[k].Supply = counts[k]
		if extra != nil {
			p.Sheets[k].Price += extra[k]
		}
	}
	for i := range p.Panels {
		p.Panels[i].Demand = pieces[i]
	}
	o.Seed = c.options.Seed
	return nest2d.Solve(ctx, p, o)
}

func (c *sheetCutter) Pack(ctx context.Context, counts, pieces []int64) purchase.Answer {
	o := nest2d.Options{Effort: asked[c.options.Effort].sheets, AnyPlan: true}
	r, err := c.solve(ctx, counts, pieces, nil, o)
	if err == nil && r.Outcome == nest2d.Impossible && c.narrowed() {
		if r, err = c.solved(ctx, c.widened(c.problem), counts, pieces, nil, o); r.Outcome == nest2d.Planned {
			return purchase.Answer{} // more was granted than can be cut for certain
		}
	}
	switch {
	case err != nil:
	case r.Outcome == nest2d.Planned:
		return purchase.Answer{Fit: purchase.Packed, Used: c.keep(r.Layouts, pieces)}
	case r.Outcome == nest2d.Impossible:
		return purchase.Answer{Fit: purchase.Short}
	}
	return purchase.Answer{}
}

func (c *sheetCutter) try(ctx context.Context, allowed []bool, extra []int64) *cutting {
	all := c.classes()
	r, err := c.solve(ctx, c.supply(allowed, all), all, extra, nest2d.Options{Effort: asked[c.options.Effort].sheets})
	if err != nil || r.Outcome != nest2d.Planned {
		return nil
	}
	return c.divide(r.Layouts, len(all))
}

func (c *sheetCutter) lay(ctx context.Context, counts []int64, pieces [][]int64, out *plan.Material) error {
	var all []nest2d.Layout
	for g := range pieces {
		own := c.own(counts, g)
		r, err := c.solve(ctx, own, pieces[g], nil, nest2d.Options{Effort: efforts[c.options.Effort].sheets, Aims: aims(c.job, c.index)})
		if err != nil {
			return err
		}
		if r.Outcome != nest2d.Planned {
			r.Layouts = c.recall(own, pieces[g])
		}
		for _, l := range r.Layouts {
			if c.kinds[l.Sheet].fetched && c.kinds[l.Sheet].carried && l.Tree != nil {
				l = c.fewerYardCuts(ctx, l)
			}
			all = append(all, l)
		}
	}
	out.Layouts = c.layouts(c.job, c.index, all)
	weighSheets(c.job, c.index, out)
	return nil
}
