package saving

import (
	"errors"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// pairs finds savings that two dimensions make together and not one by one:
// both as short as they may be save more than each alone does, added up, by a
// hundredth of the cost.
func (w *work) pairs(j *job.Job) (found []Saving, unseen int, err error) {
	type pair struct {
		part *job.Job
		a, b job.Dimension
	}
	var all []pair
	for i, a := range j.Dimensions {
		for _, b := range j.Dimensions[i+1:] {
			if a.StepsLess() == 0 || b.StepsLess() == 0 {
				continue
			}
			for _, p := range parts(j, a.Sides) {
				if len(movedMaterials(p, b.Sides)) > 0 && monotone(p, a.Sides) && monotone(p, b.Sides) {
					all = append(all, pair{p, a, b})
				}
			}
		}
	}
	if unseen = max(0, len(all)-mostPairs); unseen > 0 {
		all = all[:mostPairs]
	}
	results := make([]*Saving, len(all))
	err = side(len(all), func(i int) (err error) {
		results[i], err = w.together(all[i].part, all[i].a, all[i].b)
		if errors.Is(err, errSpent) {
			return nil
		}
		return err
	})
	for _, s := range results {
		if s != nil {
			found = append(found, *s)
		}
	}
	return found, unseen, err
}

// together finds a smallest change of two dimensions that saves more than both
// can apart: first by as many steps of each, then each made as small as the
// other allows.
func (w *work) together(part *job.Job, a, b job.Dimension) (*Saving, error) {
	p := w.problem(part, []job.Dimension{a, b}, mostPairPlans)
	base, err := p.at(0, 0)
	if err != nil || base.plan == nil {
		return nil, err
	}
	mostA, mostB := a.StepsLess(), b.StepsLess()
	saved := func(x, y int64) (plan.Money, error) {
		c, err := p.at(-x, -y)
		return max(0, base.value-c.value), err
	}
	apart := plan.Money(0)
	for _, alone := range [][2]int64{{mostA, 0}, {0, mostB}} {
		s, err := saved(alone[0], alone[1])
		if err != nil {
			return nil, err
		}
		apart += s
	}
	want := apart + max(1, base.value/100)
	// least is the first of up to n for which the change saves enough; the last
	// is known to.
	least := func(n int64, change func(int64) (int64, int64)) (int64, error) {
		lo, hi := int64(-1), n
		for hi-lo > 1 {
			mid := lo + (hi-lo)/2
			s, err := saved(change(mid))
			if err != nil {
				return n, err
			}
			if s >= want {
				hi = mid
			} else {
				lo = mid
			}
		}
		return hi, nil
	}
	if s, err := saved(mostA, mostB); err != nil || s < want {
		return nil, err
	}
	t, err := least(max(mostA, mostB), func(n int64) (int64, int64) { return min(n, mostA), min(n, mostB) })
	if err != nil {
		return nil, err
	}
	x, y := min(t, mostA), min(t, mostB)
	if x, err = least(x, func(n int64) (int64, int64) { return n, y }); err != nil {
		return nil, err
	}
	if y, err = least(y, func(n int64) (int64, int64) { return x, n }); err != nil {
		return nil, err
	}
	to, err := p.at(-x, -y)
	if err != nil || to.plan == nil {
		return nil, err
	}
	smallest := true
	for _, less := range [][2]int64{{x - 1, y}, {x, y - 1}} {
		if less[0] < 0 || less[1] < 0 {
			continue
		}
		c, err := p.at(-less[0], -less[1])
		if err != nil {
			return nil, err
		}
		smallest = smallest && c.bound > to.value
	}
	s := p.saving(base, to, smallest, -x, -y)
	return &s, nil
}
