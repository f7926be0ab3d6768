package nest1d

import (
	"cmp"
	"math"
	"slices"
)

// Branch and price on the programme with cuts: two pieces, each wanted once, lie in
// one bar, or they do not (Ryan and Foster 1981). In one bar they are taken as one
// piece; apart, no pattern may have both. Cuts hold in all nodes. A node's bound is
// proved as the root's is, from integer duals and the most that a bar of the node
// can hold; a node whose bound is not below the plan known is done.

// pairs are the decisions of a node.
type pairs struct {
	group []int32    // of each item; items of one group lie in one bar
	apart [][2]int32 // groups' items that do not
}

func (d *pairs) clone() pairs { return pairs{slices.Clone(d.group), slices.Clone(d.apart)} }

// join makes one group of two.
func (d *pairs) join(a, b int32) {
	from, to := d.group[b], d.group[a]
	for i, g := range d.group {
		if g == from {
			d.group[i] = to
		}
	}
}

// parted says that the decisions keep two items apart.
func (d *pairs) parted(a, b int32) bool {
	return slices.ContainsFunc(d.apart, func(p [2]int32) bool {
		x, y := d.group[p[0]], d.group[p[1]]
		return x == d.group[a] && y == d.group[b] || x == d.group[b] && y == d.group[a]
	})
}

// allows says that a pattern keeps to the decisions.
func (d *pairs) allows(p *pattern) bool {
	for _, e := range p.items {
		for i, g := range d.group {
			if g == d.group[e.item] && p.copies(int32(i)) == 0 {
				return false
			}
		}
	}
	for _, q := range d.apart {
		if p.copies(q[0]) > 0 && p.copies(q[1]) > 0 {
			return false
		}
	}
	return true
}

// leastPair is the fraction from which a pair counts as one.
const leastPair = 1e-4

// branch goes on where cuts end, with one kind of bar that does not run out.
func (c *cutting) branch() {
	if len(c.bars) != 1 || c.bars[0].limited() || !c.bars[0].exact || c.bars[0].price == 0 {
		return
	}
	d := pairs{group: make([]int32, len(c.items))}
	for i := range d.group {
		d.group[i] = int32(i)
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
func (c *cutting) node(d *pairs) bool {
	if c.stopped() {
		return false
	}
	c.work.count(1)
	c.decided = d
	if !c.restrict(d) {
		return true // there is no such plan
	}
	for round := 0; ; round++ {
		c.nodeBound = 0
		c.decided = d
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
	a, b, ok := c.fractionalPair(d)
	if !ok {
		return false
	}
	together := d.clone()
	together.join(a, b)
	if !c.node(&together) {
		return false
	}
	apart := d.clone()
	apart.apart = append(apart.apart, [2]int32{a, b})
	return c.node(&apart)
}

// restrict lets into the programme the patterns that keep to the decisions, and
// sees that every group is in one. It is false when a group fits no bar, or has
// two pieces that are kept apart.
func (c *cutting) restrict(d *pairs) bool {
	for j := range c.s.columns {
		upper := 0.0
		if d.allows(&c.s.columns[j]) {
			upper = math.Inf(1)
		}
		c.s.lp.SetColumnBounds(c.s.offset+j, 0, upper)
	}
	for i, g := range d.group {
		if int(g) != i {
			continue
		}
		counts := make([]int64, len(d.group))
		weight := int64(0)
		for k, h := range d.group {
			if h == g {
				counts[k] = 1
				weight += c.bars[0].weight[k]
			}
		}
		for k, n := range counts {
			for l := range k {
				if n > 0 && counts[l] > 0 && d.parted(int32(k), int32(l)) {
					return false
				}
			}
		}
		if weight > c.bars[0].capacity {
			return false
		}
		c.add(newPattern(0, counts))
	}
	return true
}

// whole offers the solution when it is a plan.
func (c *cutting) whole() bool {
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
	if !c.covers(&p) {
		return false
	}
	c.tidy(&p)
	c.offer(&p)
	return true
}

// fractionalPair is the pair of groups, of pieces wanted once, of which the
// solution has nearest to half a bar with both; the longest of equals.
func (c *cutting) fractionalPair(d *pairs) (a, b int32, ok bool) {
	sum := map[[2]int32]float64{}
	var keys [][2]int32
	for j, v := range c.s.primal() {
		if v <= epsilon || v >= 1-epsilon {
			continue
		}
		items := c.s.columns[j].items
		for x := range items {
			for y := range x {
				k := [2]int32{d.group[items[y].item], d.group[items[x].item]}
				if k[0] == k[1] || c.need[items[x].item] != 1 || c.need[items[y].item] != 1 {
					continue
				}
				if k[0] > k[1] {
					k[0], k[1] = k[1], k[0]
				}
				if items[x].item != k[0] && items[x].item != k[1] || items[y].item != k[0] && items[y].item != k[1] {
					continue // once for each pair of groups
				}
				if _, known := sum[k]; !known {
					keys = append(keys, k)
				}
				sum[k] += v
			}
		}
	}
	slices.SortFunc(keys, func(x, y [2]int32) int { return cmp.Or(cmp.Compare(x[0], y[0]), cmp.Compare(x[1], y[1])) })
	best := leastPair
	for _, k := range keys {
		if near := min(sum[k], 1-sum[k]); near > best+epsilon {
			best, a, b, ok = near, k[0], k[1], true
		}
	}
	return a, b, ok
}

// grouped is the knapsack of a node: groups as one piece each, and which of them
// may not be together.
func (c *cutting) grouped(b int, value, need []int64, sigma []int64) *penalised {
	d := c.decided
	if d == nil {
		return newPenalised(newKnapsack(&c.bars[b], value, need), c.cuts, sigma)
	}
	members := make([][]int32, len(d.group))
	for i, g := range d.group {
		members[g] = append(members[g], int32(i))
	}
	worth, room, copies := make([]int64, len(value)), make([]int64, len(value)), make([]int64, len(value))
	for g, list := range members {
		if len(list) == 0 {
			continue
		}
		copies[g] = limit
		for _, i := range list {
			worth[g] += value[i]
			room[g] += c.bars[b].weight[i]
			copies[g] = min(copies[g], need[i])
		}
	}
	own := c.bars[b]
	own.weight = room
	k := newKnapsack(&own, worth, copies)
	p := newPenalised(k, nil, nil)
	p.cuts, p.sigma, p.held = c.cuts, sigma, make([]int64, len(c.cuts))
	place := map[int32]int{}
	for at, g := range k.index {
		for _, i := range members[g] {
			place[i] = at
		}
	}
	for n := range c.cuts {
		if sigma[n] == 0 {
			continue
		}
		for m, i := range c.cuts[n].items {
			if at, in := place[i]; in {
				p.cutsOf[at] = append(p.cutsOf[at], member{int32(n), c.cuts[n].times[m]})
			}
		}
	}
	p.members = members
	p.against, p.blocked = make([][]int32, len(k.index)), make([]int32, len(k.index))
	for _, q := range d.apart {
		x, inX := place[q[0]]
		y, inY := place[q[1]]
		if inX && inY && x != y {
			p.against[x], p.against[y] = append(p.against[x], int32(y)), append(p.against[y], int32(x))
		}
	}
	return p
}
