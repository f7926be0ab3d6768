package check

import "slices"

// cutting is what cutting all pieces costs at least.
func (w *walk) cutting(p *prices) int64 {
	if !w.m.process.BySupplier {
		return 0
	}
	var used []int
	for i, n := range w.uses {
		if n > 0 {
			used = append(used, i)
		}
	}
	if len(used) == 1 {
		sum := int64(0)
		for c, class := range w.classes {
			sum = plus(sum, times(class.number, p.piece[used[0]][c]))
		}
		return sum
	}
	// Every piece where that costs least; or, with one supplier held to what
	// its bars can hold by a cover, the others taking the rest.
	best := p.base
	for _, i := range used {
		for c := range w.covers {
			w.node()
			if w.covers[c].values != nil {
				best = max(best, w.divided(p, used, i, &w.covers[c]))
			}
		}
	}
	return best
}

// divided is the least cost of cutting when supplier i takes of the pieces no
// more value than its bars can hold: those go to it that save most for their value
// (the fractional knapsack, Dantzig 1957).
func (w *walk) divided(p *prices, used []int, i int, c *cover) int64 {
	room := whole(0)
	for k, n := range w.cut {
		if n > 0 && w.demand.offer(k).Supplier == i {
			room = room.plus(whole(n).times(whole(c.worth[k])))
		}
	}
	left, fits := room.int64()
	if !fits {
		return 0
	}
	type saving struct{ each, value, number int64 }
	var list []saving
	sum := int64(0)
	for n, class := range w.classes {
		least := int64(-1)
		for _, other := range used {
			if other != i && (least < 0 || p.piece[other][n] < least) {
				least = p.piece[other][n]
			}
		}
		sum = plus(sum, times(class.number, least))
		if each := least - p.piece[i][n]; each > 0 {
			list = append(list, saving{each, c.values[n], class.number})
		}
	}
	slices.SortStableFunc(list, func(x, y saving) int { return compareProducts(y.each, x.value, x.each, y.value) })
	for _, s := range list {
		if s.value <= 0 || left/s.value >= s.number {
			sum -= times(s.each, s.number)
			left -= max(0, s.value) * s.number
			continue
		}
		sum -= ceiling(left, s.each, s.value)
		break
	}
	return sum
}

// vector is what the counts take of every supplier; plain are the prices in
// which cuts that are counted apart cost nothing.
func (w *walk) vector(plain *prices) *vector {
	x := w.empty()
	used := 0
	for k := range w.cut {
		n, m := w.cut[k], w.cut[k]+w.more[k]
		if m == 0 {
			continue
		}
		o := w.demand.offer(k)
		v := &w.job.Suppliers[o.Supplier]
		price, _ := goods(o, m)
		if v.Minimum > 0 && !v.OnHand {
			x.goods[o.Supplier] = plus(x.goods[o.Supplier], price)
		} else {
			x.rest = plus(x.rest, price)
		}
		x.rest = plus(x.rest, times(n, plain.bar[k]))
		if v.FreeCuts > 0 {
			x.cuts[o.Supplier] += n * plain.yard[k]
		}
	}
	for i, n := range w.uses {
		if n > 0 {
			used++
			x.rest = plus(x.rest, plain.setUp[i])
		}
	}
	x.rest = plus(x.rest, w.cutting(plain))
	for i, n := range w.uses {
		if v := &w.job.Suppliers[i]; n > 0 && used == 1 && w.m.process.BySupplier && !v.OnHand && v.FreeCuts > 0 {
			for _, c := range w.classes {
				x.cuts[i] = plus(x.cuts[i], times(c.number, c.square))
			}
		}
	}
	return &x
}
