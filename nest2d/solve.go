package nest2d

import (
	"context"
	"math"
)

// Solve looks for the cheapest plan, among these for the fewest sheets, and
// among these for the largest offcut. The error, one sentence, names what is
// wrong with the problem; a problem that has no plan is not an error.
//
// The same problem, effort and seed give the same result, unless ctx ended
// the search; then the result is what was found until then.
func Solve(ctx context.Context, p Problem, o Options) (Result, error) {
	m, err := newModel(p)
	if err != nil {
		return Result{}, err
	}
	if err := p.crossed(); err != nil {
		return Result{}, err
	}
	if list := m.tooLarge(); list != nil {
		return Result{Outcome: Impossible, Shortfall: Shortfall{TooLarge: list}}, nil
	}
	r := &run{search: newSearch(m, o.Seed), options: o, effort: effortOf(o.Effort)}
	r.best, r.result.Struck = r.search.construct(ctx)
	r.report()
	if o.AnyPlan && r.best.lack == 0 {
		r.finish()
		return r.result, nil
	}
	r.certificates = m.certificates(r.effort.bound)
	r.result.Certificate = strongest(r.certificates)
	r.bound = r.result.Certificate.Bound
	r.report()
	if r.bound >= 0 {
		r.cheapest(ctx)
		r.generate(ctx)
		if p.Free {
			r.loosen(ctx)
		}
	}
	if r.bound < 0 || r.best.lack > 0 {
		r.fail()
		return r.result, nil
	}
	if !o.AnyPlan {
		r.lesser(ctx)
	}
	r.finish()
	return r.result, nil
}

// loosen goes on where the search for edge-to-edge cuts ended, with panels that
// may lie anywhere. What exact search proved of cuts no longer holds. Of a crowd
// the plan stays as it is: spaces would take time in the square of its number.
func (r *run) loosen(ctx context.Context) {
	m := r.search.m
	r.bound, r.enumerated = r.result.Certificate.Bound, false
	if m.copies > crowd {
		return
	}
	if ctx.Err() != nil {
		r.result.Struck = TimeLimit
		return
	}
	if r.best.lack == 0 && !r.options.AnyPlan {
		r.fewest(ctx)
		r.largestOffcut(ctx)
	}
	free := *m
	free.free = true
	r.best = free.freed(m, r.best)
	r.search = newSearch(&free, r.options.Seed)
	r.effort.cost = r.effort.free
	r.cheapest(ctx)
}

// An effort is what each part of a run may do.
type effort struct {
	bound, exact, cost, sheets, offcut int64
	free                               int64 // for the cost once more, placing freely
	generate                           int64 // for the bound, in steps of knapsacks
	raster                             int   // points along a side of a sheet there
	triple, most                       int64 // for the cost with one kind of sheet: by triples of panels, and at most
}

// About a hundred million nodes are looked at in half a second.
func effortOf(e Effort) effort {
	switch e {
	case Quick:
		return effort{2_000_000, 3_000_000, 8_000_000, 3_000_000, 3_000_000, 8_000_000, 30_000_000, 512, 125, 8_000_000}
	case Long:
		return effort{50_000_000, 1_000_000_000, 4_000_000_000, 500_000_000, 500_000_000, 4_000_000_000, 20_000_000_000, 2048, 37_500, 12_000_000_000}
	}
	return effort{8_000_000, 20_000_000, 150_000_000, 20_000_000, 30_000_000, 300_000_000, 600_000_000, 1024, 6_250, 2_500_000_000}
}

// A run is one call of Solve under way.
type run struct {
	search       *search
	options      Options
	effort       effort
	best         *draft
	bound        int64
	certificates []Certificate
	generation   *generation // under way
	shelf        *shelf      // of layouts that the search for the cost has seen, or nil
	enumerated   bool
	result       Result
}

const anyNumber = math.MaxInt32

// settled tells that no search for a cheaper plan is due any more.
func (r *run) settled() bool {
	return r.bound < 0 || r.best.lack == 0 && (r.options.AnyPlan || r.best.cost <= r.bound)
}

// cheapest looks for the plan of least cost.
func (r *run) cheapest(ctx context.Context) {
	if r.settled() {
		return
	}
	if m := r.search.m; m.copies > mostEnumerated && (m.problem.Stages == 2 || m.problem.Stages == 3) {
		if r.inStrips(ctx, r.effort.generate, mostUnits); r.settled() {
			return
		}
	}
	// Half of the exact work is kept for the tighter limits of a better plan.
	if r.settle(ctx, r.effort.exact/2) {
		return
	}
	// What it proves at once spares a long search; but mixes are few only where
	// little is left to prove.
	if !r.fewMixes() {
		work := r.effort.generate
		if r.search.m.bought() > 1 {
			work = work * 2 / 3 // each round asks once for every kind
		}
		if r.relax(ctx, work); r.settled() {
			return
		}
	}
	before := r.best
	r.lessen(ctx)
	if ctx.Err() != nil {
		r.result.Struck = TimeLimit
	}
	if r.best != before {
		r.settle(ctx, r.effort.exact/2)
	}
}

// settle looks for the plan of least cost by exact search and tells whether
// the cost is proven then, or that there is no plan. Where the work does not
// suffice for all plans cheaper than the best, it does for the cheapest of
// them, and the bound is raised.
func (r *run) settle(ctx context.Context, work int64) bool {
	m := r.search.m
	if m.copies <= mostEnumerated && !m.free {
		work = math.MaxInt64
	}
	l := r.below()
	for high := l.cost; !r.settled(); {
		share := work / 2
		work -= share
		d, v := m.decide(ctx, r.certificates, l, &share)
		work += max(share, 0)
		switch {
		case v == planned:
			r.best = d
			high = r.below().cost
			l.cost = high
		case v == undecided && (r.best.lack > 0 || l.cost <= r.bound):
			return false
		case v == undecided:
			high = l.cost - 1
			l.cost = r.bound + (high-r.bound)/2
		case r.best.lack > 0:
			r.bound, r.enumerated = -1, true
		default:
			r.bound, r.enumerated = m.nextCost(l.cost+1), true
			if r.bound > high {
				return r.settled()
			}
			l.cost = r.bound + (high-r.bound)/2
		}
		r.report()
	}
	return r.settled()
}

// nextCost is the least sum of prices, within the supplies, that reaches an
// amount, or a little less when it is too much work to find.
func (m *model) nextCost(amount int64) int64 {
	p := &purchase{need: amount, budget: noBudget}
	for _, k := range m.kinds {
		p.offers = append(p.offers, offer{worth: k.price, price: k.price, supply: k.supply})
	}
	return max(p.least(), amount)
}

// below are the limits of plans that beat the best.
func (r *run) below() limits {
	if r.best.lack > 0 {
		return limits{cost: noBudget, boards: anyNumber}
	}
	return limits{cost: r.best.cost - 1, boards: anyNumber}
}

// fewestBound is a number of sheets that no plan of the best one's cost goes below.
func (r *run) fewestBound() int64 {
	c := r.result.Certificate
	bound := c.purchase(r.search.m).fewest(r.best.cost)
	if c.Layouts != nil {
		bound = max(bound, c.Layouts.purchase(r.search.m).fewest(r.best.cost))
	}
	return bound
}

// fewest looks for a plan of the same cost with fewer sheets.
func (r *run) fewest(ctx context.Context) {
	value, bound := int64(r.best.sheets), r.fewestBound()
	work := r.effort.exact / 4
	if r.search.m.copies <= mostEnumerated && !r.search.m.free {
		work = math.MaxInt64
	}
	for v := planned; v == planned && bound < value; value = int64(r.best.sheets) {
		var d *draft
		l := limits{cost: r.best.cost, boards: int(value) - 1}
		switch d, v = r.search.m.decide(ctx, r.certificates, l, &work); v {
		case planned:
			r.best = d
		case excluded:
			bound = value
		}
	}
	// Sheets that cost something and are all of one kind were lessened with the cost.
	if bound < value && (r.search.m.bought() > 1 || r.best.cost == 0) {
		cost := r.best.cost
		fewer := func() limits { return limits{cost: cost, boards: r.best.sheets - 1} }
		r.improve(ctx, r.best, fewer(), r.effort.sheets, func(d *draft) (limits, bool) {
			return fewer(), int64(d.sheets) > bound
		})
	}
	r.result.Sheets = goal(int64(r.best.sheets), bound)
}

// improve runs the search from a draft, which it leaves alone, keeps what it
// finds as the best, and returns what it reached last; next tells what to look
// for after each find.
func (r *run) improve(ctx context.Context, from *draft, l limits, work int64, next func(*draft) (limits, bool)) *draft {
	before := r.result.Work.Iterations
	d := &draft{}
	d.copyFrom(from)
	n, struck := r.search.improve(ctx, d, l, work, func(d *draft, n int64) (limits, bool) {
		r.best = &draft{}
		r.best.copyFrom(d)
		r.result.Work.Iterations = before + n
		r.report()
		return next(d)
	})
	r.result.Work.Iterations = before + n
	r.result.Struck = max(r.result.Struck, struck)
	return d
}

func (r *run) report() {
	if r.options.Progress == nil {
		return
	}
	p := Progress{Bound: max(r.bound, 0), Iterations: r.result.Work.Iterations, Found: r.best.lack == 0}
	if p.Found {
		p.Value = r.best.cost
	}
	r.options.Progress(p)
}

// fail says why there is no plan, or that none was found.
func (r *run) fail() {
	m := r.search.m
	left := make([]int64, len(m.problem.Panels))
	for _, panel := range r.best.missing {
		left[panel]++
	}
	for i, n := range left {
		if n > 0 {
			r.result.Shortfall.Unplaced = append(r.result.Shortfall.Unplaced, Unplaced{i, n})
		}
	}
	if r.bound < 0 {
		r.result.Outcome = Impossible
		r.result.Certificate.Enumerated = r.enumerated
		if r.result.Struck == EffortLimit {
			r.result.Struck = NoLimit
		}
		r.result.Shortfall.Area = m.missingArea()
	}
}

// finish fills in the result of a run that has a plan.
func (r *run) finish() {
	r.result.Outcome = Planned
	r.result.Layouts = r.search.m.hosted(r.search.m.layouts(r.best.boards))
	r.result.Cost = goal(r.best.cost, r.bound)
	r.result.Certificate.Enumerated = r.enumerated && r.bound > r.proved()
	if r.options.AnyPlan {
		r.result.Sheets = Goal{Value: int64(r.best.sheets), Status: NotSought}
		r.result.Offcut = Goal{Value: r.search.m.offcut(r.best), Status: NotSought}
	}
	// A search for a larger offcut never ends by itself; that is no news.
	if r.result.Cost.Status == Proven && r.result.Struck == EffortLimit {
		r.result.Struck = NoLimit
	}
}

func goal(value, bound int64) Goal {
	g := Goal{Value: value, Bound: bound, Status: Open}
	if value == bound {
		g.Status = Proven
	}
	return g
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

// missingArea is how much the area of all panels exceeds that of all sheets,
// a little rounded down; 0 when it does not or when a supply has no end.
func (m *model) missingArea() float64 {
	area := 0.0
	for _, a := range m.problem.Panels {
		area += float64(float64(a.Demand) * float64(a.Length) * float64(a.Width))
	}
	for k, s := range m.problem.Sheets {
		if s.Supply == Unlimited {
			return 0
		}
		area -= float64(float64(s.Supply) * float64(m.kinds[k].area))
	}
	return max(0, area*(1-relaxed))
}
