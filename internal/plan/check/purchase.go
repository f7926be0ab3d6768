package check

import (
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// The bound of a purchase from several suppliers is proved by searching for
// a cheaper one. Whom to buy from, and how that comes home, is branched on supplier
// by supplier; a branch ends when what all materials cost at least, each on its own,
// reaches the bound.
//
// Two charges tie the materials of one supplier together: what the goods
// lack to the smallest order, and cuts of which the first are free. With g the
// goods and q the cuts, that supplier costs
//
//	max(minimum, g) + cut·max(0, q − free)
//
// and every sum of either term inside each maximum is a lower bound that
// parts into materials: linear (g, and cut·(q − free)) or flat (minimum, and 0).
// What these bounds leave open is settled by listing, for every material, the
// ways to buy it that could still be part of a cheaper purchase, as vectors of
// goods and cuts by supplier, and adding them up with the true charges.
// Of two vectors the one that is larger in every place is dropped, since every
// charge grows with them (dominance as in the knapsack, Nemhauser and Ullmann 1969).
//
// Where suppliers differ in what they charge for cutting, which of them cuts
// which piece is relaxed: it is only held to one cover at a time.

const (
	// searchNodes limits the search of a purchase, mostVectors the vectors held
	// of one material or several.
	searchNodes = 5_000_000
	mostVectors = 5_000
)

// purchase checks the least total of the plan.
func (a *audit) purchase(pairs []*material) {
	proof := a.plan.PurchaseProof
	if proof == nil {
		a.untied(pairs)
		return
	}
	if proof.Bound != a.plan.Bound {
		a.find("plan", "the least possible total is given as %s, its proof is for %s", a.plan.Bound, proof.Bound)
	}
	for _, key := range materialsOf(proof) {
		if !slices.ContainsFunc(pairs, func(m *material) bool { return m.job.Key == key }) {
			a.find("proof of the purchase", "it speaks of the material %q, of which nothing is to be cut", key)
		}
	}
	s := &search{audit: a, bound: int64(proof.Bound), nodes: searchNodes}
	s.loose = proof.Searched || a.weak
	fine := true
	for _, m := range pairs {
		covers, sound := a.covers(m, proof)
		short, alsoSound := a.shortages(m, proof, covers)
		fine = fine && sound && alsoSound
		s.materials = append(s.materials, s.demand(m, covers, short))
	}
	s.loose = s.loose || a.weak
	if !fine || proof.Bound <= 0 || len(pairs) < len(a.plan.Materials) {
		return // told already, or nothing claimed
	}
	if s.bound > mostMoney {
		a.find("plan", "the least possible total is given as %s, which no purchase costs", proof.Bound)
		return
	}
	cheaper := s.branch(0, make([]standing, len(a.job.Suppliers)))
	switch {
	case s.gaveUp || cheaper && s.loose:
		a.note("plan: that no purchase costs less than %s is not proved again, it is too large for that", proof.Bound)
	case cheaper:
		a.find("plan", "it is said that no purchase costs less than %s, but nothing in the plan proves that", proof.Bound)
	}
}

// untied checks the least total where no proof ties the materials together:
// charges are never below 0, so it is the sum of the materials' bounds, unless
// one of them may be had for less by the mark.
func (a *audit) untied(pairs []*material) {
	bound := whole(0)
	for i := range a.plan.Materials {
		bound = bound.plus(whole(int64(a.plan.Materials[i].Goals.Cost.Bound)))
	}
	if !bound.equals(int64(a.plan.Bound)) {
		a.find("plan", "the least possible total is given as %s, the materials' bounds make another sum", a.plan.Bound)
	}
	for _, m := range pairs {
		for _, r := range a.readies(m) {
			if r.price < int64(m.plan.Goals.Cost.Bound) {
				a.find(m.job.Key, "it is said that it cannot cost less than %s, but by the mark it is sold for %s", m.plan.Goals.Cost.Bound, plan.Money(r.price))
			}
		}
	}
}

// ready is a material bought by the mark.
type ready struct {
	supplier int
	price    int64
}

// readies lists the suppliers that sell all marks of a material cut and ready.
func (a *audit) readies(m *material) []ready {
	var list []ready
	for i, s := range a.job.Suppliers {
		if !s.ByMark {
			continue
		}
		price := a.quotes(i)
		sum, all := whole(0), true
		a.eachMark(m, func(mark string, count int64) {
			each, quoted := price[mark]
			sum, all = sum.plus(whole(each).times(whole(count))), all && quoted
		})
		if v, fits := sum.int64(); all && fits {
			list = append(list, ready{i, min(v, mostMoney)})
		}
	}
	return list
}

// standing is what is decided about a supplier.
type standing struct {
	state byte
	flat  bool // the bound counts the flat terms, not the linear ones
}

const (
	undecided = iota
	out
	delivered
	fetched
	ours
)

// search is the search for a purchase that costs less than the bound.
type search struct {
	*audit
	bound     int64
	materials []*demand
	nodes     int64
	gaveUp    bool
	// loose is set when a purchase that seems cheaper need not be possible.
	loose bool
}

// node counts one; it reports false when there are no more.
func (s *search) node() bool {
	s.nodes--
	s.gaveUp = s.gaveUp || s.nodes < 0
	return !s.gaveUp
}

// branch decides on the suppliers from at on and reports whether a purchase
// below the bound turned up.
func (s *search) branch(at int, st []standing) bool {
	if !s.node() || s.least(st) >= s.bound {
		return false
	}
	if at == len(st) {
		return s.settle(st)
	}
	v := &s.job.Suppliers[at]
	byDelivery, byFetching := ways(v)
	var options []byte
	if v.OnHand {
		options = []byte{ours}
	}
	if byDelivery {
		options = append(options, delivered)
	}
	if byFetching {
		options = append(options, fetched)
	}
	if !v.OnHand && (v.Minimum > 0 || v.Delivery > 0 || v.Fetch > 0) {
		options = append(options, out) // else it may be placed for nothing
	}
	for _, o := range options {
		st[at].state = o
		if s.branch(at+1, st) {
			return true
		}
		if s.gaveUp {
			break
		}
	}
	st[at].state = undecided
	return false
}

// fee is what the way home of a placed order costs; what is on hand is no order.
func (o standing) fee(v *job.Supplier) (fee int64, placed bool) {
	switch o.state {
	case delivered:
		return v.Delivery, true
	case fetched:
		return v.Fetch, true
	}
	return 0, false
}

// fixed is what the placed orders cost whatever is bought, by their terms.
func (s *search) fixed(st []standing) int64 {
	sum := int64(0)
	for i := range st {
		v := &s.job.Suppliers[i]
		if st[i].state == undecided && !v.OnHand {
			sum -= times(v.Cut, v.FreeCuts) // less than nothing, if it is not placed
		}
		fee, placed := st[i].fee(v)
		if !placed {
			continue
		}
		sum = plus(sum, fee)
		if st[i].flat {
			sum = plus(sum, v.Minimum)
		} else {
			sum -= times(v.Cut, v.FreeCuts)
		}
	}
	return sum
}

// least is a lower bound on all purchases that agree with what is decided.
func (s *search) least(st []standing) int64 {
	sum := s.fixed(st)
	for _, d := range s.materials {
		sum = plus(sum, d.least(st))
	}
	return sum
}

// views are the ways to choose linear or flat terms for the placed suppliers
// that have both: all of them up to four suppliers, else each alone.
func (s *search) views(st []standing) [][]standing {
	var both []int
	for i := range st {
		v := &s.job.Suppliers[i]
		if (st[i].state == delivered || st[i].state == fetched) && (v.Minimum > 0 || v.Cut > 0 && v.FreeCuts > 0) {
			both = append(both, i)
		}
	}
	var list [][]standing
	add := func(flat func(n int) bool) {
		view := slices.Clone(st)
		for n, i := range both {
			view[i].flat = flat(n)
		}
		list = append(list, view)
	}
	if len(both) <= 4 {
		for set := range 1 << len(both) {
			add(func(n int) bool { return set>>n&1 == 1 })
		}
		return list
	}
	add(func(int) bool { return false })
	add(func(int) bool { return true })
	for one := range both {
		add(func(n int) bool { return n == one })
	}
	return list
}

// settle decides whether the suppliers placed can supply everything for less
// than the bound.
func (s *search) settle(st []standing) bool {
	views := s.views(st)
	for _, v := range views {
		if s.least(v) >= s.bound {
			return false
		}
	}
	if s.gaveUp {
		return false
	}
	if len(views) == 1 {
		return true // the bound is what it costs
	}
	for _, v := range views {
		if s.tried(st, v) {
			return true
		}
	}
	sums := []vector{s.empty()}
	for i, d := range s.materials {
		limits := make([]int64, len(views))
		for v := range views {
			limits[v] = s.bound - 1 - s.fixed(views[v])
			for k, other := range s.materials {
				if k != i {
					limits[v] -= other.least(views[v])
				}
			}
		}
		list := d.vectors(views, limits)
		var next []vector
		for _, x := range sums {
			for _, y := range list {
				if !s.node() {
					return false
				}
				if z := x.plus(y); s.cost(st, z) < s.bound {
					next = s.hold(next, z)
				}
			}
		}
		sums = next
	}
	return len(sums) > 0
}

// tried reports whether what is cheapest by a view costs less than the bound
// with the true charges.
func (s *search) tried(st, view []standing) bool {
	sum := s.empty()
	for _, d := range s.materials {
		c := d.cheapest(view)
		if c.takes == nil {
			return false
		}
		sum = sum.plus(*c.takes)
	}
	return s.cost(st, sum) < s.bound
}
