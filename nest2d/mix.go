package nest2d

import (
	"cmp"
	"context"
	"slices"
)

// With several kinds of sheets much depends on the mix. A search that opens
// and drops boards as it goes drifts through mixes slowly, so mixes are also
// drawn outright: sets of sheets cheaper than the best plan that no bound
// rules out. Each is tried for a short while with its boards fixed, and the
// better half goes on for twice as long (successive halving: Jamieson &
// Talwalkar 2016).

const (
	mixes    = 16
	mixDraws = 400
	mixWork  = 400_000 // sheets drawn in all draws together
)

// tryMixes spends an amount of work on mixes; each find starts over.
func (r *run) tryMixes(ctx context.Context, work int64) {
	s := r.search
	for end := s.work + work; s.work < end && ctx.Err() == nil; {
		if r.settled() {
			return
		}
		drafts := r.drawMixes()
		if len(drafts) == 0 {
			return
		}
		share := work / 160
		for found := false; len(drafts) > 0 && !found; share *= 2 {
			for i, d := range drafts {
				l := r.below()
				l.fixed = true
				effort := min(share, end-s.work)
				drafts[i] = r.improve(ctx, d, l, effort, func(*draft) (limits, bool) {
					found = true
					return l, false
				})
				if found || s.work >= end || ctx.Err() != nil {
					break
				}
			}
			if s.work >= end || ctx.Err() != nil {
				return
			}
			slices.SortStableFunc(drafts, func(a, b *draft) int { return cmp.Compare(a.lack, b.lack) })
			drafts = drafts[:len(drafts)/2]
		}
	}
}

// drawMixes draws sets of sheets, as empty boards, and returns those with the
// most area to spare.
func (r *run) drawMixes() []*draft {
	m, l := r.search.m, r.below()
	need := 0.0
	for _, a := range m.problem.Panels {
		need += float64(float64(a.Demand) * float64(a.Length) * float64(a.Width))
	}
	type mix struct {
		counts []int64
		spare  float64
	}
	var found []mix
	for range min(mixDraws, 1+mixWork/m.copies) {
		counts, ok := r.drawMix(l)
		x := mix{counts, -need}
		for k, n := range counts {
			x.spare += float64(float64(n) * float64(m.kinds[k].area))
		}
		known := slices.ContainsFunc(found, func(o mix) bool { return slices.Equal(o.counts, counts) })
		if ok && x.spare >= 0 && !known {
			found = append(found, x)
		}
	}
	slices.SortStableFunc(found, func(a, b mix) int { return cmp.Compare(b.spare, a.spare) })
	var drafts []*draft
	for _, x := range found[:min(len(found), mixes)] {
		d := m.emptyDraft()
		for k, n := range x.counts {
			for range n {
				b := &board{}
				b.reset(m, k)
				b.measure(m)
				d.addBoard(m, b)
			}
		}
		drafts = append(drafts, d)
	}
	return drafts
}

// drawMix draws numbers of sheets within the limits, first from a random
// choice of kinds and then from all, until nothing more can be paid. It is
// no use when the certificate rules it out.
func (r *run) drawMix(l limits) (counts []int64, ok bool) {
	m, random := r.search.m, r.search.random
	counts = make([]int64, len(m.kinds))
	left, worth, total := l.cost, int64(0), int64(0)
	for k := m.bought(); k < len(m.kinds); k++ { // windows cost nothing
		counts[k] = m.kinds[k].supply
		worth += counts[k] * r.result.Certificate.Kinds[k].Worth
	}
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
			worth += r.result.Certificate.Kinds[k].Worth
		}
	}
	return counts, worth >= r.result.Certificate.Need
}
