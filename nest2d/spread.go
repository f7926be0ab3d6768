package nest2d

import (
	"context"
	"math"
	"slices"
)

// Exact search with free placement
//
// The sets that a sheet can hold are listed by adding copies one at a time, from
// the largest panel to the smallest: whatever part of a set is taken away, the
// rest can still be placed. A set to which no more can be added that would keep
// its waste within what a plan may have is left out with all that follows.
//
// Whether one sheet holds a set is first tried by putting the panels into
// spaces, and then decided by branching on how pairs of panels lie: of two
// panels that do not overlap, one is left of the other or below it. Relations
// bound the coordinates from below and above; where the panels, each as far
// left and down as it can be, do not overlap, they are placed, and where two
// do, the pair is branched on (Pisinger & Sigurd 2007, who assign relations to
// all pairs by constraint programming; branching only on pairs that overlap at
// their least coordinates is the change).
//
// D. Pisinger & M. Sigurd, "Using decomposition techniques and constraint
// programming for solving the two-dimensional bin-packing problem", INFORMS
// Journal on Computing 19 (2007) 36–51.

// A listing lists the sets that one kind of sheet can hold.
type listing struct {
	*exact
	kind  int
	known map[set]*content
	after []sums // what the copies of later digits are worth together
	list  []*content
}

// spreads lists the contents of a kind when placement is free. It is not ok when
// the work ran out.
func (e *exact) spreads(ctx context.Context, kind int) (list []*content, ok bool) {
	l := &listing{exact: e, kind: kind, known: map[set]*content{}, after: make([]sums, len(e.panels)+1)}
	for d := len(e.panels) - 1; d >= 0; d-- {
		l.after[d] = l.after[d+1]
		for t := range l.after[d] {
			l.after[d][t] += e.worthOf[d][t] * e.m.problem.Panels[e.panels[d]].Demand
		}
	}
	if !l.extend(ctx, &content{}, 0) {
		return nil, false
	}
	for _, c := range l.list {
		for d, one := range e.one {
			if e.within(c.set+one, e.full) && l.known[c.set+one] != nil {
				c.more |= e.digit[d]
			}
		}
	}
	return l.list, true
}

// extend adds copies of the panels from a digit on to a content that a sheet
// holds.
func (l *listing) extend(ctx context.Context, c *content, from int) bool {
	for d := from; d < len(l.panels); d++ {
		if !l.within(c.set+l.one[d], l.full) {
			continue
		}
		l.work -= 20
		if l.work < 0 || ctx.Err() != nil {
			return false
		}
		n := &content{set: c.set + l.one[d], copies: c.copies + 1, values: c.values.plus(l.worthOf[d])}
		left := int64((l.full-n.set)&l.digit[d]) / int64(l.one[d])
		if l.tooMuch(n.values) || l.tooLittle(n.values, d, left) {
			continue
		}
		n.order = append(slices.Clone(c.order), l.panels[d])
		var v verdict
		switch n.laid, v = l.m.oneSheet(l.kind, n.order, c.laid, &l.work); v {
		case undecided:
			return false
		case excluded:
			continue
		}
		l.known[n.set] = n
		if !l.tooLittle(n.values, len(l.panels), 0) {
			l.list = append(l.list, n)
		}
		if !l.extend(ctx, n, d) {
			return false
		}
	}
	return true
}

func (l *listing) tooMuch(values sums) bool {
	for t := range l.valuations {
		if values[t] > l.worths[l.kind][t] {
			return true
		}
	}
	return false
}

// tooLittle tells that a sheet wastes too much whatever is added to it: so many
// more copies of digit d and all of the later ones.
func (l *listing) tooLittle(values sums, d int, left int64) bool {
	for t := range l.valuations {
		most := values[t]
		if d < len(l.panels) {
			most += left*l.worthOf[d][t] + l.after[d+1][t]
		}
		if float64(l.worths[l.kind][t])*(1-relaxed)-float64(most) > l.valuations[t].slack {
			return true
		}
	}
	return false
}

// oneSheet places panels on one sheet of a kind, or proves that it cannot be
// done. known is how all but the last of them can lie.
func (m *model) oneSheet(kind int, panels []int32, known []laid, work *int64) ([]laid, verdict) {
	if laid := m.inSpaces(kind, panels, known, work); laid != nil {
		return laid, planned
	}
	p := &pairing{usable: m.kinds[kind].usable, work: work}
	v := m.turnings(kind, panels, p)
	if v != planned {
		return nil, v
	}
	return p.laid, planned
}

// inSpaces tries to place panels one after the other, the last beside the
// others as they are known to lie or all anew.
func (m *model) inSpaces(kind int, panels []int32, known []laid, work *int64) []laid {
	free := *m
	free.free = true
	b := &board{}
	never := func() bool { return false }
	try := func(panel int32, r rule) bool {
		*work -= 10 + b.extent()
		s, ok := b.tightest(&free, int(panel), r, never)
		if ok {
			b.place(&free, s, int(panel), 1)
		}
		return ok
	}
	b.reset(&free, kind)
	b.laid = append(b.laid, known...)
	b.findSpaces(&free)
	*work -= int64(len(known) * len(b.spaces))
	if try(panels[len(panels)-1], leastArea) {
		return b.laid
	}
rules:
	for _, r := range []rule{leastArea, leastSide, leastLongSide} {
		b.reset(&free, kind)
		for _, panel := range panels {
			if !try(panel, r) {
				continue rules
			}
		}
		return b.laid
	}
	return nil
}

// turnings decides for every way to turn the panels, from the first on that has
// not been turned yet.
func (m *model) turnings(kind int, panels []int32, p *pairing) verdict {
	i := len(p.laid)
	if i == len(panels) {
		return p.decide()
	}
	result := excluded
poses:
	for _, pose := range m.kinds[kind].poses[panels[i]] {
		for _, o := range p.laid {
			if o.size[0]+pose.size[0] > p.usable[0] && o.size[1]+pose.size[1] > p.usable[1] {
				continue poses
			}
		}
		// Copies of a panel are alike: first those that lie one way, then the others.
		if i > 0 && panels[i] == panels[i-1] && p.laid[i-1].turned && !pose.turned {
			continue
		}
		p.laid = append(p.laid, laid{space{size: pose.size}, panels[i], pose.turned})
		switch v := m.turnings(kind, panels, p); v {
		case planned:
			return planned
		case undecided:
			result = undecided
		}
		p.laid = p.laid[:i]
		if result == undecided {
			return undecided
		}
	}
	return result
}

// A pairing decides whether rectangles of given sizes fit one sheet together.
type pairing struct {
	usable size
	laid   []laid
	work   *int64
}

// A relation is one that a pair can have: the first before the second along an
// axis.
type relation struct{ before, after, axis int }

// bounds are the coordinates that rectangles may have.
type bounds struct{ low, high []size }

func (p *pairing) decide() verdict {
	n := len(p.laid)
	b := bounds{make([]size, n), make([]size, n)}
	for i, l := range p.laid {
		for axis := range 2 {
			b.high[i][axis] = p.usable[axis] - l.size[axis]
		}
	}
	// Mirrored, a plan is a plan: the first lies in the lower left half. Equal
	// rectangles are told apart from left to right.
	for axis := range 2 {
		if n > 0 {
			b.high[0][axis] /= 2
		}
	}
	return p.branch(b, nil)
}

// branch decides under relations, with bounds that do not know the last of them.
func (p *pairing) branch(b bounds, relations []relation) verdict {
	*p.work -= int64(len(p.laid)*len(p.laid)+len(relations)) / 2
	if *p.work < 0 {
		return undecided
	}
	if !p.tighten(b, relations) {
		return excluded
	}
	first, second := p.collision(b)
	if first < 0 {
		for i := range p.laid {
			p.laid[i].at = b.low[i]
		}
		return planned
	}
	for axis := range 2 {
		for _, r := range []relation{{first, second, axis}, {second, first, axis}} {
			if b.low[r.before][axis]+p.laid[r.before].size[axis] > b.high[r.after][axis] || p.alike(r) {
				continue
			}
			next := bounds{slices.Clone(b.low), slices.Clone(b.high)}
			if v := p.branch(next, append(relations[:len(relations):len(relations)], r)); v != excluded {
				return v
			}
		}
	}
	return excluded
}

// alike tells that a relation has its mirror image among equal rectangles: those
// are numbered from left to right.
func (p *pairing) alike(r relation) bool {
	return r.axis == axisX && r.before > r.after && p.laid[r.before].size == p.laid[r.after].size
}

// tighten moves the bounds until the relations are kept, and tells whether any
// coordinates are left.
func (p *pairing) tighten(b bounds, relations []relation) bool {
	for changed := true; changed; {
		changed = false
		for i := len(relations) - 1; i >= 0; i-- {
			r := relations[i]
			if low := b.low[r.before][r.axis] + p.laid[r.before].size[r.axis]; low > b.low[r.after][r.axis] {
				b.low[r.after][r.axis], changed = low, true
			}
			if high := b.high[r.after][r.axis] - p.laid[r.before].size[r.axis]; high < b.high[r.before][r.axis] {
				b.high[r.before][r.axis], changed = high, true
			}
			if b.low[r.before][r.axis] > b.high[r.before][r.axis] || b.low[r.after][r.axis] > b.high[r.after][r.axis] {
				return false
			}
		}
	}
	return true
}

// collision picks a pair of rectangles that overlap at their least coordinates,
// of those with the fewest relations left the one with the largest area, or -1.
func (p *pairing) collision(b bounds) (first, second int) {
	first, second = -1, -1
	fewest, largest := math.MaxInt, int64(0)
	for i := range p.laid {
		for j := range i {
			x, y := space{b.low[j], p.laid[j].size}, space{b.low[i], p.laid[i].size}
			if !x.overlaps(y) {
				continue
			}
			count := 0
			for axis := range 2 {
				for _, r := range []relation{{j, i, axis}, {i, j, axis}} {
					if b.low[r.before][axis]+p.laid[r.before].size[axis] <= b.high[r.after][axis] && !p.alike(r) {
						count++
					}
				}
			}
			area := x.size[0]*x.size[1] + y.size[0]*y.size[1]
			if count < fewest || count == fewest && area > largest {
				first, second, fewest, largest = j, i, count, area
			}
		}
	}
	return first, second
}
