package nest1d

import (
	"cmp"
	"math"
	"slices"

	"sawbill/solver"
)

// exactSearch is branch and bound over a fixed pool of patterns. A branch is a
// set of patterns whose bars together are at most, or at least, so many: all
// patterns of one kind of bar, all that hold two given items together, all with
// so many copies of an item, or a single pattern. Each is a row of the linear
// programme. Sets of pairs are Ryan and Foster's branching (1981); with counts
// they are those of Vance (Computational Optimization and Applications 9 (1998)
// 211–228). Bounds are recomputed in integers at every node.
type exactSearch struct {
	r       *run
	s       *master
	need    []int64
	left    []int64
	pool    []pattern
	active  []int32 // column of each pattern, or idle
	inPool  []int32 // pattern of each column
	most    []int64 // of each pattern: bars that any plan can cut by it
	rows    []branchRow
	prefer  preference
	aborted bool
	// lacking: a node was given up because pieces were left out for want of patterns.
	lacking bool
}

// searchPool looks for the best plan of the pool's patterns and returns whether
// the search was exhausted: then no plan from the pool beats the best one. Which
// pairs to branch on decides between a few nodes and millions, and neither rule
// is always the better one, so both get a part of the allowance. A pool that
// lacks patterns is searched once.
func (r *run) searchPool(pool []pattern) (exhausted, lacking bool) {
	for _, prefer := range []preference{likeItems, shortItems} {
		r.work.allow(r.limits.closing / 2)
		exhausted, lacking = r.searchPoolBy(pool, prefer)
		if exhausted || lacking || r.ended() {
			break
		}
	}
	return exhausted, lacking
}

func (r *run) searchPoolBy(pool []pattern, prefer preference) (exhausted, lacking bool) {
	need, left := r.demands(), r.supplies()
	x := &exactSearch{r: r, need: need, left: left, pool: pool, prefer: prefer}
	x.s = newMaster(r.model, r.engine(), need, left, r.leastFines(left))
	defer x.s.lp.Close()
	x.active = make([]int32, len(pool))
	for j := range pool {
		p := &pool[j]
		x.active[j] = idle
		most := int64(0)
		for _, e := range p.items {
			most = max(most, ceilDiv(need[e.item], int64(e.count)))
		}
		if left[p.bar] != Unlimited {
			most = min(most, left[p.bar])
		}
		x.most = append(x.most, most)
	}
	x.descend()
	return !x.aborted && !x.lacking, x.lacking && !x.aborted
}

const idle = -1

// descend solves the node that the rows in force describe.
func (x *exactSearch) descend() {
	if x.r.settled() || x.aborted {
		return
	}
	x.r.work.count(1)
	bound, solved := x.relax()
	if bound >= x.r.toBeat() {
		return
	}
	if !solved {
		x.aborted = true
		return
	}
	values := x.s.primal()
	if b, v, ok := x.choose(values); ok {
		x.branch(b, v)
		return
	}
	if x.s.short() > epsilon {
		x.lacking = true
		return
	}
	x.take(values)
	// The programme says this is the best of the node; only the integer bound
	// may close it.
	if x.r.best == nil || bound < x.r.value {
		x.aborted = true
	}
}

// joinAtOnce is how many patterns of the pool enter the programme together.
const joinAtOnce = 40

// relax solves the node's programme, into which patterns come from the pool as
// their reduced costs ask for it, and returns the node's bound.
func (x *exactSearch) relax() (bound int64, solved bool) {
	for {
		if x.r.stopped() {
			return 0, false
		}
		x.r.work.scan(len(x.pool))
		before := x.s.lp.Iterations()
		status := x.s.optimise(x.r.ctx)
		x.r.work.iterate(x.s.lp.Iterations()-before, x.s.lp.NumRows(), x.s.lp.NumColumns())
		switch {
		case status == solver.Infeasible:
			// The rows in force ask for bars of patterns that are not in the
			// programme yet, or contradict each other.
			if x.emptyRows() {
				return limit, true
			}
			if !x.admitMembers() {
				return 0, false
			}
			continue
		case status != solver.Optimal:
			return 0, false
		}
		bound, reduced, scale := x.bound()
		if bound >= x.r.toBeat() || !x.admit(reduced, scale) {
			return bound, true
		}
	}
}

// admit brings the patterns with the least reduced costs below zero into the
// programme, and reports whether there were any.
func (x *exactSearch) admit(reduced []int64, scale int64) bool {
	var in []int32
	for j, c := range reduced {
		if x.active[j] == idle && c < -scale>>toleranceBits*max(1, x.r.cost(&x.pool[j])) {
			in = append(in, int32(j))
		}
	}
	slices.SortStableFunc(in, func(a, b int32) int { return cmp.Compare(reduced[a], reduced[b]) })
	for _, j := range in[:min(len(in), joinAtOnce)] {
		x.enter(j)
	}
	return len(in) > 0
}

// admitMembers brings in all patterns of the rows that ask for bars.
func (x *exactSearch) admitMembers() bool {
	any := false
	for i := range x.rows {
		if x.rows[i].lower == 0 {
			continue
		}
		for _, j := range x.rows[i].members {
			if x.active[j] == idle {
				x.enter(j)
				any = true
			}
		}
	}
	return any
}

// enter makes a pattern of the pool a column.
func (x *exactSearch) enter(j int32) {
	p := &x.pool[j]
	x.active[j] = int32(len(x.s.columns))
	x.inPool = append(x.inPool, j)
	x.s.insert(*p, float64(x.r.cost(p)), x.memberRows(j))
}

// bound recomputes the node's bound in integers: with duals π of the items, μ of
// the bars and ρ of the rows in force, every plan costs at least
//
//	(Σ π·demand − Σ μ·supply + Σ ρ·limit + Σⱼ min(0, reduced costⱼ)·mostⱼ) / scale
//
// A sum that would leave 64 bits proves nothing and gives 0. It returns the reduced costs, too, and the scale of the integers.
func (x *exactSearch) bound() (bound int64, reduced []int64, scale int64) {
	dual := x.s.lp.Dual(nil)
	var largest float64
	for _, v := range dual {
		largest = max(largest, math.Abs(v))
	}
	var bars int64
	for _, n := range x.need {
		bars += n
	}
	scale = scaleFor([]float64{largest}, []int64{bars + 1}, float64(largest*float64(len(x.rows)+1))+x.r.fine())
	total := int64(0)
	reduced = make([]int64, len(x.pool))
	if scale == 0 {
		return 0, reduced, 1
	}
	item := make([]int64, len(x.need))
	for i := range item {
		item[i] = int64(math.Floor(max(0, dual[i]) * float64(scale)))
		total += item[i] * x.need[i]
	}
	rent := make([]int64, len(x.left))
	for b, row := range x.s.supplyOf {
		if row >= 0 {
			rent[b] = int64(math.Floor(max(0, -dual[row]) * float64(scale)))
			charge, ok := product(rent[b], x.left[b])
			if total -= charge; !ok || total < -limit {
				return 0, reduced, scale
			}
		}
	}
	for j := range reduced {
		p := &x.pool[j]
		reduced[j] = x.r.cost(p)*scale + rent[p.bar]
		for _, e := range p.items {
			reduced[j] -= item[e.item] * int64(e.count)
		}
	}
	for i := range x.rows {
		b := &x.rows[i]
		v := int64(math.Floor(dual[b.row] * float64(scale)))
		var share int64
		ok := true
		switch {
		case v > 0 && b.lower > 0:
			share, ok = product(v, b.lower)
			total += share
		case v < 0 && b.upper < limit:
			share, ok = product(-v, b.upper)
			total -= share
		default:
			continue
		}
		if !ok || total < -limit || total > limit {
			return 0, reduced, scale
		}
		for _, j := range b.members {
			reduced[j] -= v
		}
	}
	for j, c := range reduced {
		if c >= 0 {
			continue
		}
		loss, ok := product(-c, x.most[j])
		if total -= loss; !ok || total < -limit {
			return 0, reduced, scale
		}
	}
	if total <= 0 {
		return 0, reduced, scale
	}
	return x.r.roundUp(ceilDiv(total, scale)), reduced, scale
}

// take offers the plan of whole values.
func (x *exactSearch) take(values []float64) {
	var p plan
	for j, v := range values {
		if n := int64(math.Round(v)); n > 0 {
			p.uses = append(p.uses, use{x.s.columns[j], n})
		}
	}
	if !x.r.covers(&p) {
		x.aborted = true
		return
	}
	x.r.tidy(&p)
	x.r.offer(&p)
}

// covers checks a plan in integers against demands and supplies.
func (m *model) covers(p *plan) bool {
	need, left := m.demands(), m.supplies()
	for _, u := range p.uses {
		for _, e := range u.items {
			need[e.item] -= u.count * int64(e.count)
		}
		if left[u.bar] != Unlimited {
			if left[u.bar] -= u.count; left[u.bar] < 0 {
				return false
			}
		}
	}
	return !anyPositive(need)
}

// branch searches both sides of a set whose bars add up to v, a fraction. The
// upper side goes first: it fixes more.
func (x *exactSearch) branch(b set, v float64) {
	i := slices.IndexFunc(x.rows, func(r branchRow) bool { return r.set == b })
	if i < 0 {
		i = len(x.rows)
		x.rows = append(x.rows, x.newRow(b))
	}
	was := x.rows[i]
	x.rows[i].lower = max(was.lower, int64(math.Ceil(v)))
	x.force(i)
	x.descend()
	x.rows[i].lower, x.rows[i].upper = was.lower, min(was.upper, int64(math.Floor(v)))
	if !x.aborted {
		x.force(i)
		x.descend()
	}
	x.rows[i].lower, x.rows[i].upper = was.lower, was.upper
	x.force(i)
}

// distinct drops patterns that occur again.
func distinct(pool []pattern) []pattern {
	known := map[uint64][]int{}
	var out []pattern
	for i := range pool {
		h := pool[i].hash()
		if slices.ContainsFunc(known[h], func(j int) bool { return pool[j].equal(&pool[i]) }) {
			continue
		}
		known[h] = append(known[h], i)
		out = append(out, pool[i])
	}
	return out
}
