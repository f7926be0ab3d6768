package nest1d

import (
	"context"
)

// Solve finds the cheapest plan it can and proves what it can about it. The
// error speaks of an invalid problem only; everything else is in the Result.
// When ctx ends the best plan so far is returned with its bound.
func Solve(ctx context.Context, p Problem, o Options) (Result, error) {
	if err := check(&p); err != nil {
		return Result{}, err
	}
	r := newRun(ctx, &p, o)
	if len(r.lone) > 0 {
		return Result{Outcome: Impossible, Shortfall: Shortfall{TooLong: r.lone}, Certificate: r.certificate(r.empty())}, nil
	}
	r.solve()
	return r.result(), nil
}

// run is the state of one search: the best plan and the best proof.
type run struct {
	*model
	ctx     context.Context
	options Options
	best    *plan
	value   int64
	proof   proof
	// material is the proof by weight, which counts bars well even where they
	// are free.
	material proof
	// strong is a proof with cuts, where there is one; no certificate states it.
	strong strong
	bound  int64 // proof.bound raised to an attainable sum
	// searched: the bound was raised by a search over all patterns.
	searched bool
	// fewer is the number of bars with which a plan of least cost is good
	// enough: no limit while cost is sought.
	fewer  int64
	rest   []int64
	work   meter
	limits limits
	struck Limit
	// excluded: a proof that supplies do not suffice.
	excluded bool
	pricer   pricer
	columns  []pattern // of the root, with which each dive starts anew
	later    []pattern // of the dives
}

func newRun(ctx context.Context, p *Problem, o Options) *run {
	m := newModel(p)
	r := &run{ctx: ctx, model: m, options: o, limits: o.Effort.limits(), fewer: limit, pricer: knapsacks{m}}
	if len(m.bars) > seedKinds {
		r.limits = r.limits.ofManyKinds()
	}
	return r
}

func (m *model) empty() *proof {
	p := m.prove(make([]int64, len(m.items)), make([]int64, len(m.bars)), 1)
	return &p
}

func (r *run) solve() {
	if len(r.items) > 0 && len(r.bars) == 0 {
		// All that hold a piece are sold out.
		r.excluded, r.rest, r.proof = true, r.demands(), *r.empty()
		return
	}
	r.material = r.materialBound()
	r.improveBound(r.material)
	r.start()
	r.construct()
	if !r.settled() && !r.ended() {
		r.root()
	}
	if !r.settled() && !r.ended() && r.columns != nil {
		r.dives()
	}
	// Where bars are not plain, listing patterns often settles what branching does not
	// at once, and the other way round.
	first, rest := r.limits.cutting, int64(0)
	switch {
	case len(r.bars) > seedKinds:
		first, rest = first/2, first-first/2
	case !r.plainBar():
		first, rest = first/firstShare, first-first/firstShare
	}
	if !r.settled() && !r.ended() && r.columns != nil {
		r.strengthen(first)
	}
	if !r.settled() && !r.ended() {
		r.close()
	}
	if rest > 0 && !r.settled() && !r.ended() && r.columns != nil {
		r.strengthen(rest)
	}
	if r.settled() {
		r.struck = NoLimit
	}
	if r.best != nil && !r.ended() {
		r.polish()
	}
}

// settled says that nothing is left to gain in cost, nor in bars if those are sought.
func (r *run) settled() bool {
	return r.excluded || r.best != nil && r.value <= r.bound && r.best.bars() <= r.fewer
}

// stopped notes the end of the context or of the stage's allowance.
func (r *run) stopped() bool {
	if r.ended() {
		return true
	}
	if r.work.spent() {
		r.struck = EffortLimit
		return true
	}
	return false
}

// ended notes the end of the context.
func (r *run) ended() bool {
	if r.ctx.Err() == nil {
		return false
	}
	r.struck = TimeLimit
	return true
}

// offer takes a plan that covers all demands, if it is better.
func (r *run) offer(p *plan) {
	c := r.planCost(p)
	if r.best != nil {
		a, b := p.bars(), r.best.bars()
		if c > r.value || c == r.value && (a > b || a == b && len(p.uses) >= len(r.best.uses)) {
			return
		}
	}
	r.best, r.value = p.clone(), c
	r.report()
}

func (r *run) improveBound(p proof) {
	first := r.proof.value == nil
	if !first && p.worth() <= r.proof.worth() {
		return
	}
	raised := p.bound > r.proof.bound
	r.proof = p
	if !first && !raised {
		return
	}
	b := r.attainable(&p)
	if b == limit {
		r.excluded = true
		return
	}
	if b > r.bound {
		r.bound = b
		r.report()
	}
}

func (r *run) report() {
	if r.options.Progress == nil {
		return
	}
	r.options.Progress(Progress{Value: r.value, Bound: r.bound, Found: r.best != nil,
		Columns: r.work.Columns, Nodes: r.work.Nodes})
}

// construct runs the fast heuristics.
func (r *run) construct() {
	g := &builder{m: r.model, most: r.limits.build}
	need, left := r.demands(), r.supplies()
	take := func(o outcome) {
		if o.done {
			p := o.plan.clone()
			r.tidy(p)
			r.offer(p)
		} else if r.rest == nil || r.length(o.rest) < r.length(r.rest) {
			r.rest = o.rest
		}
	}
	choices := []choice{cheapest, longest, tightest}
	if len(r.bars) == 1 {
		choices = choices[:1]
	}
	for _, c := range choices {
		take(g.firstFit(need, left, c))
	}
	for _, c := range choices {
		if r.settled() || r.ended() {
			break
		}
		g.correctValues(need, left, valueRounds, c, take)
	}
	r.work.count(g.nodes + r.takeUncounted())
}

// valueRounds of sequential value correction.
const valueRounds = 8

func (r *run) length(counts []int64) int64 {
	var sum int64
	for i, c := range counts {
		sum += c * r.model.length(i)
	}
	return sum
}

func (r *run) result() Result {
	res := Result{Work: r.work.Work, Struck: r.struck}
	if res.Work.Rounds == 0 {
		res.Work.Root = r.bound // it took no column generation
	}
	if r.parted() {
		p := r.plain(&r.proof, &r.material)
		res.Certificate = r.certificate(&p)
		res.Certificate.Parted = r.attainable(&p) < r.attainable(&r.proof)
	} else {
		res.Certificate = r.certificate(&r.proof)
	}
	res.Certificate.Searched = r.searched
	if r.best == nil {
		res.Outcome = NotFound
		if r.excluded {
			res.Outcome = Impossible
		}
		res.Shortfall = r.shortfall()
		return res
	}
	res.Outcome = Planned
	res.Layouts = r.layouts(r.best)
	res.Cost = goal(r.value, r.bound)
	bars := r.best.bars()
	res.Bars = goal(bars, r.barBound())
	res.Patterns = goal(int64(len(r.best.uses)), r.patternBound())
	if best := r.problem.longestOffcut(res.Layouts); best > 0 {
		res.Offcut = Goal{Value: best, Bound: max(best, r.offcutBound(bars)), Status: Open}
		if best == res.Offcut.Bound {
			res.Offcut.Status = Proven
		}
	}
	res.settle()
	return res
}

func goal(value, bound int64) Goal {
	g := Goal{Value: value, Bound: min(bound, value), Status: Open}
	if value <= bound {
		g.Status = Proven
	}
	return g
}

// settle withdraws what is proved of a goal when one before it is open.
func (res *Result) settle() {
	if res.Cost.Status != Proven && res.Bars.Status == Proven {
		res.Bars.Status = Open
	}
	if res.Bars.Status != Proven && res.Patterns.Status == Proven {
		res.Patterns.Status = Open
	}
	if res.Patterns.Status != Proven && res.Offcut.Status == Proven {
		res.Offcut.Status = Open
	}
}

func (r *run) shortfall() Shortfall {
	var f Shortfall
	demand, _ := netOf(r.problem)
	for i, c := range r.rest {
		if c > 0 {
			for _, q := range r.items[i].pieces {
				n := min(c, demand[q])
				if n > 0 {
					f.Unplaced = append(f.Unplaced, Unplaced{q, n})
					c -= n
				}
			}
		}
	}
	if r.excluded {
		f.Length = r.missing()
	}
	return f
}

// missing is a lower bound on the length by which all bars together are short.
func (r *run) missing() int64 {
	var short int64
	for i := range r.items {
		short += r.model.apart(i)
	}
	for b := range r.bars {
		k := &r.bars[b]
		if !k.limited() {
			return 0
		}
		room, ok := product(k.supply, r.problem.Stocks[k.stock].Capacity())
		if short -= room; !ok || short <= 0 {
			return 0
		}
	}
	return short
}
