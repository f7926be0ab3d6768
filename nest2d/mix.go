package nest2d

import (
	"cmp"
	"context"
	"math/bits"
	"slices"
)

// With several kinds of sheets much depends on the mix. A search that opens
// and drops boards as it goes drifts through mixes slowly, so mixes are also
// taken up outright: sets of sheets cheaper than the best plan that no bound
// rules out, all of them where sheets are few, else some drawn at random. Each is
// tried for a while with its boards fixed, and the better half goes on for twice
// as long (successive halving: Jamieson & Talwalkar 2016).

const (
	mixes      = 16 // tried side by side
	mixListed  = 64 // more than so many are not listed but drawn
	mixVisited = 20_000
	mixDraws   = 400
	mixWork    = 400_000 // sheets drawn in all draws together
	mixSpare   = 0.6     // of the most area to spare, which a mix needs to be tried
)

// A mix is a number of sheets of each kind, windows among them.
type mix struct {
	counts []int64
	cost   int64
	spare  float64 // area beyond that of the panels, kerfs counted, in parts of all
}

// tryMixes spends an amount of work on mixes, by turns briskly and at length; each find
// starts over.
func (r *run) tryMixes(ctx context.Context, work int64) {
	s := r.search
	defer func() { s.pace = steady }()
	s.pace = steady
	for end := s.work + work; s.work < end && !r.settled() && ctx.Err() == nil; {
		list, all := r.listMixes(true)
		if !all {
			list = r.drawMixes()
		}
		if len(list) == 0 {
			return
		}
		// Where panels leave much less to spare there is little hope.
		list = slices.DeleteFunc(list, func(x mix) bool { return x.spare < list[0].spare*mixSpare })
		until := min(end, s.work+work/3)
		if s.pace == slow {
			until = end
		}
		if found := r.halve(ctx, list[:min(len(list), mixes)], until); all && !found {
			s.pace = slow
		}
	}
}

// fewMixes tells that there are several kinds of sheets, and so few mixes cheaper
// than the best plan that all can be tried.
func (r *run) fewMixes() bool {
	if r.search.m.bought() < 2 || r.best.lack > 0 {
		return false
	}
	list, all := r.listMixes(true)
	return all && len(list) <= mixes
}

// halve tries mixes side by side, fewer and fewer, until one of them holds all
// panels, which it tells, or the search has done so much work in all.
func (r *run) halve(ctx context.Context, list []mix, end int64) (found bool) {
	s := r.search
	var drafts []*draft
	for _, x := range list {
		drafts = append(drafts, s.m.boarded(x))
	}
	for rounds := int64(bits.Len(uint(len(list)-1)) + 1); rounds > 0; rounds-- {
		share := (end - s.work) / rounds / int64(len(drafts))
		for i, d := range drafts {
			l := r.below()
			l.fixed = true
			drafts[i] = r.improve(ctx, d, l, share, func(*draft) (limits, bool) {
				found = true
				return l, false
			})
			if found || s.work >= end || ctx.Err() != nil {
				return found
			}
		}
		slices.SortStableFunc(drafts, func(a, b *draft) int { return cmp.Compare(a.lack, b.lack) })
		drafts = drafts[:(len(drafts)+1)/2]
	}
	return false
}

// boarded is a draft of the sheets of a mix, all of them empty.
func (m *model) boarded(x mix) *draft {
	d := m.emptyDraft()
	for k, n := range x.counts {
		for range n {
			b := &board{}
			b.reset(m, k)
			b.measure(m)
			d.addBoard(m, b)
		}
	}
	return d
}

// mix makes a mix of numbers of sheets, if no certificate rules it out.
func (r *run) mix(counts []int64) (x mix, ok bool) {
	m := r.search.m
	x.counts = slices.Clone(counts)
	for k := m.bought(); k < len(m.kinds); k++ {
		x.counts[k] = m.kinds[k].supply // windows cost nothing
	}
	all, used, kerf := 0.0, 0.0, int64(MaxLength)
	for k, n := range x.counts {
		if n > 0 {
			x.cost += n * m.kinds[k].price
			kerf = min(kerf, m.kinds[k].kerf)
			all += float64(float64(n) * float64(m.kinds[k].usable[axisX]) * float64(m.kinds[k].usable[axisY]))
		}
	}
	for _, a := range m.problem.Panels {
		used += float64(float64(a.Demand) * float64(a.Length+kerf) * float64(a.Width+kerf))
	}
	x.spare = 1 - used/max(all, 1)
	for _, c := range r.certificates {
		if !c.purchase(m).reached(x.counts) {
			return x, false
		}
	}
	if c := r.result.Certificate.Layouts; c != nil && !c.purchase(m).reached(x.counts) {
		return x, false
	}
	return x, x.cost >= r.bound
}

// reached tells whether numbers of sheets are worth what is needed.
func (p *purchase) reached(counts []int64) bool {
	worth := int64(0)
	for _, o := range p.offers {
		worth += counts[o.kind] * o.worth
	}
	return worth >= p.need
}

// listMixes lists the mixes cheaper than the best plan, that with the most area to spare
// first, or only those to which no sheet can be added; not all when that is too many.
func (r *run) listMixes(full bool) (list []mix, all bool) {
	m, l := r.search.m, r.below()
	counts := make([]int64, len(m.kinds))
	visited := 0
	var try func(k int, cost, sheets int64)
	try = func(k int, cost, sheets int64) {
		if visited++; visited > mixVisited || len(list) > mixListed {
			return
		}
		if k == m.bought() {
			for o := range k {
				if full && counts[o] < m.kinds[o].supply && m.kinds[o].price <= l.cost-cost && sheets < min(int64(l.boards), m.copies) {
					return
				}
			}
			if x, ok := r.mix(counts); ok {
				list = append(list, x)
			}
			return
		}
		for n := int64(0); n <= m.kinds[k].supply && sheets+n <= min(int64(l.boards), m.copies) && n*m.kinds[k].price <= l.cost-cost; n++ {
			counts[k] = n
			try(k+1, cost+n*m.kinds[k].price, sheets+n)
		}
		counts[k] = 0
	}
	try(0, 0, 0)
	slices.SortStableFunc(list, func(a, b mix) int { return cmp.Compare(b.spare, a.spare) })
	return list, visited <= mixVisited && len(list) <= mixListed
}

// drawMixes draws mixes and returns them, that with the most area to spare first.
func (r *run) drawMixes() []mix {
	var list []mix
	l := r.below()
	for range min(mixDraws, 1+mixWork/r.search.m.copies) {
		x, ok := r.mix(r.drawMix(l))
		if ok && !slices.ContainsFunc(list, func(o mix) bool { return slices.Equal(o.counts, x.counts) }) {
			list = append(list, x)
		}
	}
	slices.SortStableFunc(list, func(a, b mix) int { return cmp.Compare(b.spare, a.spare) })
	return list
}

// drawMix draws numbers of sheets within the limits, first from a random
// choice of kinds and then from all, until nothing more can be paid.
func (r *run) drawMix(l limits) []int64 {
	m, random := r.search.m, r.search.random
	counts := make([]int64, len(m.kinds))
	left, total := l.cost, int64(0)
	for _, all := range []bool{false, true} {
		var choice []int
		for k := range m.bought() {
			if all || random.IntN(2) == 0 {
				choice = append(choice, k)
			}
		}
		for {
			k, seen := -1, 0
			for _, c := range choice {
				if counts[c] < m.kinds[c].supply && m.kinds[c].price <= left {
					seen++
					if random.IntN(seen) == 0 {
						k = c
					}
				}
			}
			if k < 0 || total >= m.copies {
				break
			}
			counts[k]++
			total++
			left -= m.kinds[k].price
		}
	}
	return counts
}
