package nest2d

import (
	"cmp"
	"context"
	"encoding/binary"
	"math"
	"math/big"
	"slices"
)

// Exact search
//
// Is there a plan within limits, of cost, number of sheets and supplies? For
// every kind of sheet all sets of panels are listed that can be cut from it
// (boxes.go; spread.go when placement is free), and then the panels are divided
// among sheets by depth first search: the largest panel left goes on the next
// sheet together with any set.
//
// What keeps this small is waste. A plan within tight limits wastes little,
// so a box that wastes more is part of none. Waste is measured by the area and
// by the dual feasible functions of certificates: see valuation. The tighter
// the limits, the more is left out; what is hard for a bound by a hair is easy
// here. Where limits are loose there is soon no end to the sets, but there
// ruin and recreate finds a plan.
//
// Building least rectangles of sets from those of smaller sets is due to Wang
// (1983), who also bounds the waste of each; Pareto least boxes instead of all
// rectangles, and waste in values of certificates, are the changes.
//
// P. Y. Wang, "Two algorithms for constrained two-dimensional cutting stock
// problems", Operations Research 31 (1983) 573–586.

// mostEnumerated is the number of copies up to which exact search may take as
// long as it needs.
const mostEnumerated = 9

// mostValuations is how many ways to measure waste are used.
const mostValuations = 4

// A valuation measures waste by a certificate. For a box of size (x, y) with
// panels of values vⱼ, on a sheet of kind k, it is
//
//	Worthₖ·Sₖ(x, y) / Sₖ(Xₖ, Yₖ) − Σⱼ vⱼ.
//
// The inequality of the certificate holds with the box in place of its panels
// as well. So a plan with sheets worth W has panels worth no more than W less
// this waste, and if that is less than Need the box is in no such plan.
type valuation struct {
	certificate Certificate
	values      []int64   // by panel
	slack       float64   // the most waste
	order       []int     // kinds by worth for their price, best first
	scale       []float64 // by kind, from the sum of products to worth
}

// A verdict is what an exact search ends with.
type verdict int

const (
	undecided verdict = iota
	planned
	excluded
)

// exact is one exact search.
type exact struct {
	packing
	m          *model
	limits     limits
	work       int64
	valuations []valuation
	worths     []sums // by kind
	worthOf    []sums // by digit
	by         [][][]*content
	failed     map[string]struct{}
	used       []int64
	sheets     []sheetOf
	windows    int // of these, windows of panels
}

type sheetOf struct {
	kind int
	*content
}

// decide looks for a plan within limits. The work it may do is lessened by
// what it did.
func (m *model) decide(ctx context.Context, certificates []Certificate, l limits, work *int64) (*draft, verdict) {
	e := &exact{m: m, limits: l, work: *work, failed: map[string]struct{}{}, used: make([]int64, len(m.kinds))}
	var ok bool
	if e.packing, ok = m.pack(); !ok {
		return nil, undecided
	}
	defer func() { *work = e.work }()
	if !e.value(certificates) {
		return nil, excluded
	}
	e.by = make([][][]*content, len(m.kinds))
	for k := range m.kinds {
		if m.kinds[k].supply == 0 || m.kinds[k].price > l.cost {
			continue
		}
		sets := e.contents
		if m.free {
			sets = e.spreads
		}
		list, ok := sets(ctx, k)
		if !ok {
			return nil, undecided
		}
		e.by[k] = make([][]*content, len(e.panels))
		slices.SortStableFunc(list, func(a, b *content) int { return cmp.Compare(b.values[0], a.values[0]) })
		for _, c := range list {
			d := e.first(c.set)
			e.by[k][d] = append(e.by[k][d], c)
		}
	}
	var need sums
	for t, v := range e.valuations {
		need[t] = v.certificate.Need
	}
	switch v := e.divide(ctx, e.full, need, 0); v {
	case planned:
		return e.draft(), planned
	default:
		return nil, v
	}
}

// value prepares the valuations. It returns false if one of them excludes all
// plans.
func (e *exact) value(certificates []Certificate) bool {
	e.worths = make([]sums, len(e.m.kinds))
	e.worthOf = make([]sums, len(e.panels))
	for t, c := range certificates[:min(len(certificates), mostValuations)] {
		v := valuation{certificate: c, values: c.values(e.m.problem.Panels, e.m.problem.Sheets)}
		for k := range e.m.kinds {
			e.worths[k][t] = c.Kinds[k].Worth
			v.order = append(v.order, k)
			whole, _ := new(big.Float).SetInt(c.Kinds[k].sum(e.m.kinds[k].usable, e.m.kinds[k].usable)).Float64()
			v.scale = append(v.scale, float64(c.Kinds[k].Worth)/whole)
		}
		for d, panel := range e.panels {
			e.worthOf[d][t] = v.values[panel]
		}
		slices.SortStableFunc(v.order, func(a, b int) int { return cmp.Compare(e.perPrice(c, b), e.perPrice(c, a)) })
		e.valuations = append(e.valuations, v)
		e.valuations[t].slack = e.most(t, 0) - float64(c.Need)
		if e.valuations[t].slack < 0 {
			return false
		}
	}
	return true
}

// most is at least the worth of all sheets that can be bought within the
// limits besides those in use.
func (e *exact) most(t int, cost int64) float64 {
	v, budget := &e.valuations[t], math.Inf(1)
	if e.limits.cost != noBudget {
		budget = float64(e.limits.cost - cost)
	}
	total, windows, largest, left := 0.0, 0.0, 0.0, budget
	for _, k := range v.order {
		n, price := float64(e.m.kinds[k].supply-e.used[k]), float64(e.m.kinds[k].price)
		worth := float64(v.certificate.Kinds[k].Worth)
		if n <= 0 || price > budget {
			continue
		}
		if e.m.kinds[k].window {
			windows += float64(n * worth)
			continue
		}
		largest = max(largest, worth)
		if float64(n*price) > left {
			n = left / price // the last kind, in part
			if e.m.bought() == 1 {
				n = math.Floor(n * (1 + relaxed))
			}
		}
		total += float64(n * worth)
		left -= min(left, float64(n*price))
	}
	sheets := float64(e.limits.boards - len(e.sheets) + e.windows)
	return (min(total, float64(sheets*largest)) + windows) * (1 + relaxed)
}

// perPrice is the worth that a kind of sheet has for its price.
func (e *exact) perPrice(c Certificate, kind int) float64 {
	worth, price := c.Kinds[kind].Worth, e.m.kinds[kind].price
	if worth > 0 && price == 0 {
		return math.Inf(1)
	}
	return float64(worth) / float64(max(price, 1))
}

// wasteful tells that a box is in no plan within the limits.
func (e *exact) wasteful(kind int, s size, values sums) bool {
	for t := range e.valuations {
		v := &e.valuations[t]
		box, usable := 0.0, e.m.kinds[kind].usable
		for _, term := range v.certificate.Kinds[kind].Terms {
			e.work -= 4
			x, y := term.X.At(s[axisX], usable[axisX]), term.Y.At(s[axisY], usable[axisY])
			box += float64(float64(x) * float64(y))
		}
		if float64(box*v.scale[kind])*(1-relaxed)-float64(values[t]) > v.slack {
			return true
		}
	}
	return false
}

// divide looks for sheets for the rest of the panels, which need some worth,
// after those that cost some amount.
func (e *exact) divide(ctx context.Context, rest set, need sums, cost int64) verdict {
	if rest == 0 {
		return planned
	}
	e.work -= 10
	if e.work < 0 || ctx.Err() != nil {
		return undecided
	}
	for t := range e.valuations {
		if float64(need[t]) > e.most(t, cost) {
			return excluded
		}
	}
	state := e.state(rest)
	if _, ok := e.failed[state]; ok {
		return excluded
	}
	for k := range e.by {
		kind := &e.m.kinds[k]
		if e.by[k] == nil || e.used[k] == kind.supply || !kind.window && len(e.sheets)-e.windows >= e.limits.boards || kind.price > e.limits.cost-cost {
			continue
		}
		for _, c := range e.by[k][e.first(rest)] {
			e.work--
			// A copy that fits beside the set may as well lie there as elsewhere.
			if !e.within(c.set, rest) || (rest-c.set)&c.more != 0 {
				continue
			}
			left := need
			for t := range left {
				left[t] -= c.values[t]
			}
			e.use(k, 1)
			e.sheets = append(e.sheets, sheetOf{k, c})
			if v := e.divide(ctx, rest-c.set, left, cost+kind.price); v != excluded {
				return v
			}
			e.use(k, -1)
			e.sheets = e.sheets[:len(e.sheets)-1]
		}
	}
	e.failed[state] = struct{}{}
	return excluded
}

// use counts one more of a kind in use, or one less.
func (e *exact) use(kind int, n int64) {
	e.used[kind] += n
	if e.m.kinds[kind].window {
		e.windows += int(n)
	}
}

// state names what the search below depends on.
func (e *exact) state(rest set) string {
	b := binary.LittleEndian.AppendUint64(nil, uint64(rest))
	for _, n := range e.used {
		b = binary.AppendVarint(b, n)
	}
	return string(b)
}

func (e *exact) draft() *draft {
	d := &draft{used: make([]int64, len(e.m.kinds))}
	for _, s := range e.sheets {
		b := &board{}
		b.reset(e.m, s.kind)
		if e.m.free {
			b.furnish(e.m, s.laid)
		} else {
			b.root = b.grow(e.m, s.tree)
			b.measure(e.m)
		}
		d.addBoard(e.m, b)
	}
	return d
}
