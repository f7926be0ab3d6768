package knapsack

import (
	"context"
	"math"
	"slices"
)

// Bounded solves the problem with its limits on copies. Bound holds whatever
// ended the run: the work, the context, or a problem that is too large to
// enumerate. The error, one sentence, names what is wrong with the problem.
func Bounded(ctx context.Context, p Problem, o Options) (Result, error) {
	if err := p.check(); err != nil {
		return Result{}, err
	}
	g, err := newGrid(&p)
	if err != nil {
		return Result{}, err
	}
	b := &bounded{ctx: ctx, p: &p, grid: g, valuer: newValuer(&p, g), work: o.Work, enough: o.Enough, target: o.Target, start: o.Charges}
	if b.work <= 0 {
		b.work = 2_000_000_000
	}
	for i := range p.Panels {
		b.most = append(b.most, p.most(i))
	}
	b.result.Bound = math.MaxInt64
	b.lower()
	if !b.done() {
		b.enumerate()
	}
	b.result.Work += b.valuer.steps()
	return b.result, nil
}

// A bounded run.
type bounded struct {
	ctx    context.Context
	p      *Problem
	grid   *grid
	valuer *valuer
	most   []int64
	work   int64
	enough int64
	target int64
	start  []int64
	price  []int64 // of a copy under the best bound, in parts of a unit
	result Result
}

func (b *bounded) done() bool {
	reached := b.target > 0 && b.result.Value > b.target
	return reached || b.result.Value >= b.result.Bound || b.result.Bound <= b.enough || b.ctx.Err() != nil
}

// priced are the values of the panels less prices, in parts of a unit.
func (b *bounded) priced(price []int64) []int64 {
	values := make([]int64, len(price))
	for i, a := range b.p.Panels {
		values[i] = max(a.Value, 0)*Scale - price[i]
	}
	return values
}

// charged is what all copies there may be pay together.
func (b *bounded) charged(price []int64) int64 {
	total := int64(0)
	for i, n := range b.most {
		total += n * price[i]
	}
	return total
}

const (
	rounds   = 400 // of the subgradient method, at most
	patience = 12  // rounds without a better bound before the step is halved,
	hurry    = 4   // and fewer where there are prices to start from
)

// lower lowers the bound by the subgradient method (Held, Wolfe & Crowder
// 1974). Whatever prices floats lead to, the bound is worked out in integers.
func (b *bounded) lower() {
	price := make([]int64, len(b.p.Panels))
	step, since, least, patience := 2.0, 0, int64(math.MaxInt64), patience
	if b.start != nil {
		step, patience = 0.5, hurry
		for i, a := range b.p.Panels {
			if a.Most != Unlimited && i < len(b.start) {
				price[i] = min(max(b.start[i], 0), max(a.Value, 0)*Scale)
			}
		}
	}
	b.price = slices.Clone(price)
	b.result.Charges = b.price
	for range rounds {
		b.valuer.run(b.priced(price))
		bound := b.valuer.whole() + b.charged(price)
		root := b.valuer.tree()
		b.offer(b.repaired(root))
		if bound < least {
			if float64(bound) < float64(least)*(1-1e-5) {
				since = 0
			}
			least = bound
			copy(b.price, price)
			b.result.Bound, b.result.Relaxed = bound/Scale, bound
		}
		if since++; since > patience {
			step, since = step/2, 0
			copy(price, b.price)
		}
		counts := make([]int64, len(price))
		root.count(counts)
		norm := 0.0
		for i, n := range counts {
			if d := float64(n - b.most[i]); d > 0 || price[i] > 0 {
				norm += float64(d * d)
			}
		}
		if b.done() || norm == 0 || step < 0.005 || b.valuer.steps() > b.work/2 {
			return
		}
		length := float64(step*float64(bound-b.result.Value*Scale)) / norm
		for i, n := range counts {
			if b.p.Panels[i].Value > 0 {
				moved := price[i] + int64(math.Round(float64(length*float64(n-b.most[i]))))
				price[i] = min(max(moved, 0), b.p.Panels[i].Value*Scale)
			}
		}
	}
}

// repaired is a layout without the copies beyond the limits.
func (b *bounded) repaired(n *Node) *Node {
	left := slices.Clone(b.most)
	var keep func(n *Node) *Node
	keep = func(n *Node) *Node {
		if n == nil {
			return nil
		}
		if n.Panel >= 0 {
			if left[n.Panel] == 0 {
				return nil
			}
			left[n.Panel]--
			return n
		}
		var whole *Node
		for _, p := range n.Parts {
			axis := axisX
			if n.Cut == AlongLength {
				axis = axisY
			}
			whole = join(axis, whole, keep(p))
		}
		return whole
	}
	return keep(n)
}

// offer takes a layout that is better than the best.
func (b *bounded) offer(root *Node) {
	value := int64(0)
	for i, n := range (Result{Root: root}).Counts(len(b.p.Panels)) {
		value += n * b.p.Panels[i].Value
	}
	if value > b.result.Value {
		b.result.Value, b.result.Root = value, root
	}
}
