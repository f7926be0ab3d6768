package nest1d

import (
	"cmp"
	"slices"
)

// Two pieces, each wanted once, lie in one bar, or they do not (Ryan and Foster
// 1981). In one bar they are taken as one piece; apart, no pattern may have both.

// pairs are the decisions of a node on pairs.
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

// grouped is the knapsack of a bar in a node: groups as one piece each. place maps
// items to places.
func (d *pairs) grouped(b *bar, value, need []int64) (k *knapsack, members [][]int32, place map[int32]int) {
	members = make([][]int32, len(d.group))
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
			room[g] += b.weight[i]
			copies[g] = min(copies[g], need[i])
		}
		if worth[g] <= 0 && slices.ContainsFunc(list, func(i int32) bool { return value[i] > 0 }) {
			worth[g] = 1 // a set may ask for it
		}
	}
	own := *b
	own.weight = room
	k = newKnapsack(&own, worth, copies)
	place = map[int32]int{}
	for at, g := range k.index {
		for _, i := range members[g] {
			place[i] = at
		}
	}
	return k, members, place
}

// exclude keeps groups apart in a knapsack.
func (d *pairs) exclude(p *penalised, place map[int32]int) {
	p.against, p.blocked = make([][]int32, len(p.index)), make([]int32, len(p.index))
	for _, q := range d.apart {
		x, inX := place[q[0]]
		y, inY := place[q[1]]
		if inX && inY && x != y {
			p.against[x], p.against[y] = append(p.against[x], int32(y)), append(p.against[y], int32(x))
		}
	}
}
