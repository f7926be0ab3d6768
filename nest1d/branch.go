package nest1d

import (
	"math"
	"slices"

	"sawbill/solver"
)

// Branch and price on the programme with cuts. A node decides how many bars of a
// kind are bought, which pieces lie together (see pairs), or how many bars have so
// many copies of one piece, or of two (Vance, Computational Optimization and
// Applications 9 (1998) 211–228). Cuts hold in all nodes. A node's bound is proved
// as the root's is, from integer duals and the most that a bar of the node can
// hold; a node whose bound is not below the plan known is done. With duals ρ of
// the sets, ρ ≥ 0 where at least L bars are wanted and ρ ≤ 0 where at most U are
// allowed, a bar holds at most
//
//	Vₖ = max Σ valueᵢ·aᵢ − Σ σ·⌊Σ mᵢ·aᵢ/d⌋ + Σ ρ over the sets the content is in
//
// and every purchase n of the node has Σ Vₖ·nₖ ≥ Σ valueᵢ·demandᵢ − Σ σ·right +
// Σ ρ·L + Σ ρ·U, with numbers of bars within the node's spans.

// decisions of a node.
type decisions struct {
	pairs
	box []span // per bar
	in  []span // per set of the programme; those beyond the end are free
}

func (d *decisions) clone() decisions {
	return decisions{d.pairs.clone(), slices.Clone(d.box), slices.Clone(d.in)}
}

// of the set with the given number.
func (d *decisions) of(n int) span {
	if n < len(d.in) {
		return d.in[n]
	}
	return span{0, Unlimited}
}

// bound sets the span of a set.
func (d *decisions) bound(n int, s span) {
	for len(d.in) <= n {
		d.in = append(d.in, span{0, Unlimited})
	}
	d.in[n] = s
}

// below and above a fraction, within a span.
func (s span) below(v float64) span { return span{s.least, int64(math.Floor(v))} }
func (s span) above(v float64) span { return span{int64(math.Ceil(v)), s.most} }

// branch goes on where cuts end.
func (c *cutting) branch() {
	d := decisions{pairs: pairs{group: make([]int32, len(c.items))}, box: make([]span, len(c.bars))}
	for i := range d.group {
		d.group[i] = int32(i)
	}
	for b := range d.box {
		d.box[b] = span{0, c.left[b]}
	}
	if c.node(&d) && !c.stopped() {
		c.bound, c.searched = max(c.bound, c.value), true
		c.report()
	}
}

// nodeRounds of cuts in one node.
const nodeRounds = 4

// node searches a node and reports whether it is done: no plan that keeps to its
// decisions is better than the best.
func (c *cutting) node(d *decisions) bool {
	if c.stopped() {
		return false
	}
	c.work.count(1)
	c.decided = d
	if !c.restrict(d) {
		return true // there is no such plan
	}
	c.nodeBound = 0
	for round := 0; ; round++ {
		if !c.generate() && c.nodeBound < c.toBeat() {
			return false
		}
		if c.nodeBound >= c.toBeat() || c.settled() {
			return true
		}
		if c.whole() {
			return c.nodeBound >= c.toBeat()
		}
		if round == nodeRounds || !c.separate() {
			break
		}
	}
	if c.s.short() > epsilon {
		return false // to divide it would change nothing
	}
	first, second, ok := c.children(d)
	if !ok {
		return false
	}
	done := c.node(&first)
	return c.node(&second) && done
}

// children divide a node: by the number of bars of a kind, by a pair of pieces
// wanted once, or by the bars of a set, whichever is a fraction. It is false when
// none is.
func (c *cutting) children(d *decisions) (first, second decisions, ok bool) {
	first, second = d.clone(), d.clone()
	values := c.s.primal()
	if len(c.bars) > 1 {
		if s, v, ok := fractional(c.s.barTallies(values), nil); ok {
			first.box[s.a], second.box[s.a] = d.box[s.a].above(v), d.box[s.a].below(v)
			return first, second, true
		}
	}
	if a, b, ok := c.fractionalPair(&d.pairs); ok {
		first.join(a, b)
		second.apart = append(second.apart, [2]int32{a, b})
		return first, second, true
	}
	if c.plainBar() {
		return first, second, false // sets were seen to settle nothing there
	}
	s, v, ok := fractional(c.s.contentTallies(values), nil)
	if !ok {
		return first, second, false
	}
	n := c.setNumber(s)
	first.bound(n, d.of(n).above(v))
	second.bound(n, d.of(n).below(v))
	return first, second, true
}

// setNumber gives a set its row.
func (c *cutting) setNumber(s set) int {
	if n := slices.Index(c.sets, s); n >= 0 {
		return n
	}
	columns, ones := []int32{c.relief}, []float64{1}
	for j := range c.s.columns {
		if s.holds(j, &c.s.columns[j]) {
			columns, ones = append(columns, int32(c.s.offset+j)), append(ones, 1)
		}
	}
	c.sets = append(c.sets, s)
	c.setRow = append(c.setRow, c.s.lp.AddRow(math.Inf(-1), solver.Inf, columns, ones))
	return len(c.sets) - 1
}

// restrict lets into the programme the patterns that keep to the decisions, and
// sees that every group is in one. It is false when a group fits no bar, or has
// two pieces that are kept apart.
func (c *cutting) restrict(d *decisions) bool {
	for j := range c.s.columns {
		upper := 0.0
		if d.allows(&c.s.columns[j]) {
			upper = math.Inf(1)
		}
		c.s.lp.SetColumnBounds(c.s.offset+j, 0, upper)
	}
	for b, row := range c.s.supplyOf {
		if row >= 0 {
			c.s.lp.SetRowBounds(row, float64(d.box[b].least), float64(d.box[b].most))
		}
	}
	for n, row := range c.setRow {
		s := d.of(n)
		lower, upper := math.Inf(-1), solver.Inf
		if s.least > 0 {
			lower = float64(s.least)
		}
		if s.most != Unlimited {
			upper = float64(s.most)
		}
		c.s.lp.SetRowBounds(row, lower, upper)
	}
	for i, g := range d.group {
		if int(g) != i {
			continue
		}
		counts := make([]int64, len(d.group))
		for k, h := range d.group {
			if h == g {
				counts[k] = 1
			}
		}
		for k, n := range counts {
			for l := range k {
				if n > 0 && counts[l] > 0 && d.parted(int32(k), int32(l)) {
					return false
				}
			}
		}
		if !c.seedGroup(counts) {
			return false
		}
	}
	return true
}

// seedGroup adds the pattern of one group in each bar that holds it, of many kinds of
// bars in those alone that do not run out, and reports whether one might.
func (c *cutting) seedGroup(counts []int64) bool {
	might := false
	for _, b := range c.byRoom {
		passed := len(c.bars) > seedKinds && c.bars[b].limited()
		if passed && might {
			continue
		}
		p := newPattern(b, counts)
		if c.load(&p) > c.bars[b].capacity {
			continue
		}
		fits, sure := c.fitsSurely(b, counts)
		might = might || fits || !sure
		if fits && !passed {
			c.add(p)
		}
	}
	c.work.count(c.takeUncounted())
	return might
}

// whole offers the solution when it is a plan.
func (c *cutting) whole() bool {
	if c.s.short() > epsilon {
		return false
	}
	var p plan
	for j, v := range c.s.primal() {
		n := math.Round(v)
		if math.Abs(v-n) > epsilon {
			return false
		}
		if n > 0 {
			p.uses = append(p.uses, use{c.s.columns[j], int64(n)})
		}
	}
	if !c.covers(&p) || slices.ContainsFunc(p.uses, func(u use) bool { return !c.fits(u.bar, c.counts(&u.pattern)) }) {
		return false
	}
	c.tidy(&p)
	c.offer(&p)
	return true
}
