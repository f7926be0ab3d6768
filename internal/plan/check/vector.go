package check

import "slices"

// vector is what some materials take of every supplier: goods where there is
// a smallest order, cuts where some are free, and all else in money.
type vector struct {
	rest        int64
	goods, cuts []int64
}

func (s *search) empty() vector {
	n := len(s.job.Suppliers)
	return vector{goods: make([]int64, n), cuts: make([]int64, n)}
}

func (x vector) plus(y vector) vector {
	z := vector{plus(x.rest, y.rest), slices.Clone(x.goods), slices.Clone(x.cuts)}
	for i := range z.goods {
		z.goods[i] = plus(z.goods[i], y.goods[i])
		z.cuts[i] = plus(z.cuts[i], y.cuts[i])
	}
	return z
}

// within reports whether x takes no more than y of anything.
func (x vector) within(y vector) bool {
	if x.rest > y.rest {
		return false
	}
	for i := range x.goods {
		if x.goods[i] > y.goods[i] || x.cuts[i] > y.cuts[i] {
			return false
		}
	}
	return true
}

// hold adds a vector unless one that is held takes no more of anything.
func (s *search) hold(list []vector, x vector) []vector {
	for _, o := range list {
		if o.within(x) {
			return list
		}
	}
	kept := list[:0]
	for _, o := range list {
		if !x.within(o) {
			kept = append(kept, o)
		}
	}
	if len(kept) >= mostVectors {
		s.gaveUp = true
		return kept
	}
	return append(kept, x)
}

// cost is what a purchase costs with the true charges.
func (s *search) cost(st []standing, x vector) int64 {
	sum := x.rest
	for i := range st {
		v := &s.job.Suppliers[i]
		fee, placed := st[i].fee(v)
		if !placed {
			continue
		}
		sum = plus(sum, fee)
		sum = plus(sum, max(v.Minimum, x.goods[i]))
		sum = plus(sum, times(v.Cut, max(0, x.cuts[i]-v.FreeCuts)))
	}
	return sum
}
