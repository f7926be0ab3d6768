package saving

import (
	"cmp"
	"errors"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// How many plans may be made for one dimension each way, for one pair, for one
// side that belongs to no dimension, and for all these together.
const (
	mostPlans     = 64
	mostPairPlans = 48
	mostNearPlans = 24
	mostPairs     = 12
	mostNear      = 120
)

func lengthOf(n int64) length.Length { return length.Length(n) }

// worthTelling is the least difference that counts as a saving: a thousandth of
// the cost. Cutting charged by the metre makes every millimetre save something.
func worthTelling(base point) plan.Money { return max(1, base.value/1000) }

// search looks along one dimension in one direction, at one part.
type search struct {
	*problem
	base point
	// sign is -1 where steps make it shorter.
	sign int64
	out  *Dimension
}

// dimension finds the savings of one of the job's dimensions, part by part.
func (w *work) dimension(j *job.Job, i int, out *Dimension) error {
	d := j.Dimensions[i]
	out.NoMore = true
	for _, way := range []struct{ sign, steps int64 }{{-1, d.StepsLess()}, {1, d.StepsMore()}} {
		if way.steps == 0 {
			continue
		}
		var found [][]Saving
		for k, p := range parts(j, d.Sides) {
			one := &Dimension{NoMore: true}
			s := &search{problem: w.problem(p, []job.Dimension{d}, mostPlans), sign: way.sign, out: one}
			err := s.run(way.steps, monotone(p, d.Sides))
			found = append(found, one.Savings)
			out.NoMore = out.NoMore && one.NoMore
			if k == 0 || one.Free < out.Free || one.Free == out.Free && one.FreeMost {
				out.Free, out.FreeMost = one.Free, one.FreeMost
			}
			switch {
			case errors.Is(err, errSpent):
				out.Cut, out.NoMore = true, false
			case err != nil:
				out.Stopped = errors.Is(err, errStopped)
				out.NoMore, out.Savings = false, append(out.Savings, inAll(found)...)
				return err
			}
		}
		out.Savings = append(out.Savings, inAll(found)...)
	}
	return nil
}

// inAll puts the savings of several parts in one order, and adds up what a
// change saves on all of them.
func inAll(found [][]Saving) []Saving {
	size := func(s Saving) length.Length { return max(s.Moves[0].By, -s.Moves[0].By) }
	all := slices.Concat(found...)
	slices.SortStableFunc(all, func(a, b Saving) int { return cmp.Compare(size(a), size(b)) })
	for i := range all {
		all[i].InAll = 0
		for _, of := range found {
			saved := plan.Money(0)
			for _, s := range of {
				if size(s) <= size(all[i]) {
					saved = s.Amount
				}
			}
			all[i].InAll += saved
		}
	}
	return all
}

func (s *search) run(steps int64, rule bool) (err error) {
	if s.base, err = s.at(0); err != nil {
		return err
	}
	if s.base.plan == nil {
		s.out.NoMore = false // the whole job has a plan and this part was not found one
		return nil
	}
	switch {
	case rule && s.sign < 0:
		return s.shorten(steps)
	case rule:
		return s.lengthen(steps)
	}
	return s.scan(steps)
}

// shorten bisects for the steps at which the cost falls.
func (s *search) shorten(steps int64) error {
	last, err := s.at(-steps)
	if err != nil {
		return err
	}
	// The bound at the furthest holds for all that is nearer.
	err = s.between(0, steps, s.base, last)
	if saved := s.best(); last.bound+worthTelling(s.base) <= s.base.value-saved {
		s.out.NoMore = false
	}
	return err
}

// best is the largest saving found so far.
func (s *search) best() plan.Money {
	if n := len(s.out.Savings); n > 0 {
		return s.out.Savings[n-1].Amount
	}
	return 0
}

// between looks for falls after lo, up to hi. The points have been bounded by
// those around them.
func (s *search) between(lo, hi int64, a, b point) error {
	if a.value-b.value < worthTelling(s.base) {
		return nil
	}
	if hi-lo == 1 {
		s.found(hi, b, a.bound > b.value)
		return nil
	}
	mid := lo + (hi-lo)/2
	m, err := s.at(-mid)
	if err != nil {
		if errors.Is(err, errSpent) {
			s.found(hi, b, false)
		}
		return err
	}
	m.value = min(m.value, a.value)
	m.bound = max(m.bound, b.bound)
	b.value = min(b.value, m.value)
	if a.value-m.value < worthTelling(s.base) {
		return s.between(mid, hi, m, b)
	}
	if err := s.between(lo, mid, a, m); err != nil {
		if errors.Is(err, errSpent) && m.value-b.value >= worthTelling(s.base) {
			s.found(hi, b, false)
		}
		return err
	}
	return s.between(mid, hi, m, b)
}

// found notes a saving, unless it is none beside what was found before.
func (s *search) found(steps int64, to point, smallest bool) {
	if to.plan == nil || s.base.value-to.value-s.best() < worthTelling(s.base) {
		return
	}
	s.out.Savings = append(s.out.Savings, s.saving(s.base, to, smallest, s.sign*steps))
}

// lengthen finds how much longer the dimension may get at the same cost.
func (s *search) lengthen(steps int64) error {
	lo, hi := int64(0), steps+1 // lo costs no more; hi is dearer or beyond the limit
	most := false
	for probe := steps; hi-lo > 1; probe = lo + (hi-lo)/2 {
		p, err := s.at(probe)
		if err != nil {
			s.free(lo, false)
			return err
		}
		if p.value <= s.base.value {
			lo = probe
			continue
		}
		hi, most = probe, p.bound > s.base.value
	}
	s.free(lo, most || lo == steps)
	return nil
}

func (s *search) free(steps int64, most bool) {
	s.out.Free, s.out.FreeMost = s.part.Dimensions[0].Step*lengthOf(steps), most
}

// scan looks at one step after another, where nothing can be said of those
// between two.
func (s *search) scan(steps int64) error {
	bound := s.base.bound // of all steps so far
	for n := int64(1); n <= steps; n++ {
		p, err := s.at(s.sign * n)
		if err != nil {
			return err
		}
		s.found(n, p, bound > p.value)
		bound = min(bound, p.bound)
	}
	if bound+worthTelling(s.base) <= s.base.value-s.best() {
		s.out.NoMore = false
	}
	return nil
}
