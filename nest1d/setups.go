package nest1d

import (
	"context"
	"errors"
	"math/rand/v2"
	"slices"
)

// FewerPatterns looks for a plan of the same pieces with fewer patterns than the
// layouts have, that is fewer set-ups of the saw, and that costs no more than most.
// The layouts make every piece exactly as often as it is in demand; p.Fixed must be
// empty. It returns nil when it finds none, and with the layouts the number of
// patterns with the least that any plan has, whatever it costs: Proven when they are
// equal, else the best found.
//
// Patterns are chosen for being repeated (Haessler, Operations Research 23 (1975)
// 483–493), as among plans of equal cost, but from more bars than a cheapest plan
// takes: with bars to spare more of them can be cut alike. First the whole is cut
// anew, then again and again a few patterns of the best plan, while that leaves
// fewer. Work is counted, and grows with o.Effort.
func FewerPatterns(ctx context.Context, p Problem, layouts []Layout, most int64, o Options) ([]Layout, Goal, error) {
	if len(p.Fixed) > 0 {
		return nil, Goal{}, errors.New("nest1d: fixed layouts cannot be traded")
	}
	if err := check(&p); err != nil {
		return nil, Goal{}, err
	}
	r := newRun(ctx, &p, o)
	base, ok := r.planOf(layouts)
	if !ok {
		return nil, Goal{}, errors.New("nest1d: the layouts are not of the problem")
	}
	r.join(base)
	cost, before := r.planCost(base), len(base.uses)
	least := r.patternBound()
	best := trade{best: base, cost: cost}
	// Less money leads the search elsewhere, at times to as few patterns for less.
	all := max(0, most-cost)
	for _, money := range []int64{all, all / 2, all / 4, 0} {
		t := trade{run: r, best: base, cost: cost, most: cost + money}
		r.work.allow(4 * r.limits.polish)
		t.anew(least)
		t.again(least)
		if n := len(t.best.uses); n < len(best.best.uses) || n == len(best.best.uses) && t.cost < best.cost {
			best = t
		}
	}
	if len(best.best.uses) >= before || best.cost > most {
		return nil, goal(int64(before), least), nil
	}
	return r.layouts(best.best), goal(int64(len(best.best.uses)), least), nil
}

// planOf reads layouts as a plan of the model; false where they make another number
// of pieces, or from what is not there.
func (m *model) planOf(layouts []Layout) (*plan, bool) {
	itemOf := make([]int, len(m.problem.Pieces))
	for q := range itemOf {
		itemOf[q] = slices.IndexFunc(m.items, func(it item) bool { return slices.Contains(it.pieces, q) })
	}
	p := &plan{}
	need := m.demands()
	for _, l := range layouts {
		b := slices.IndexFunc(m.bars, func(b bar) bool { return slices.Contains(b.stocks, l.Stock) })
		if b < 0 {
			return nil, false
		}
		counts := make([]int64, len(m.items))
		for _, place := range l.Places {
			i := itemOf[place.Piece]
			if i < 0 {
				return nil, false
			}
			counts[i]++
			need[i] -= l.Count
		}
		p.uses = append(p.uses, use{newPattern(b, counts), l.Count})
	}
	return p, !slices.ContainsFunc(need, func(n int64) bool { return n != 0 })
}

// trade is a search for fewer patterns at a bounded cost.
type trade struct {
	*run
	best *plan
	cost int64
	most int64
}

// offer takes a plan that has fewer patterns, or as many and costs less.
func (t *trade) offer(p *plan) bool {
	t.join(p)
	c := t.planCost(p)
	if c > t.most || len(p.uses) > len(t.best.uses) || len(p.uses) == len(t.best.uses) && c >= t.cost {
		return false
	}
	t.best, t.cost = p.clone(), c
	return true
}

// spare adds bars of one kind that there is money and supply for; false where none is.
func (t *trade) spare(left, used []int64, money int64, kind int, share float64) bool {
	k := &t.bars[kind]
	n := t.pieces()
	if k.price > 0 {
		n = min(n, money/k.price)
	}
	if k.limited() {
		n = min(n, k.supply-used[kind])
	}
	n = min(n, 1+int64(float64(float64(n)*share)))
	if n <= 0 {
		return false
	}
	left[kind] += n
	return true
}

// usedBy counts the bars of a plan by kind.
func (t *trade) usedBy(p *plan) []int64 {
	used := make([]int64, len(t.bars))
	for _, u := range p.uses {
		used[u.bar] += u.count
	}
	return used
}

// anewTries caps the attempts with all bars, againTries those with a few patterns
// since the last that was of use.
const (
	anewTries  = 200
	againTries = 2_000
)

// anew cuts everything again, from the bars of the best plan and some to spare.
func (t *trade) anew(least int64) {
	random := rand.New(rand.NewPCG(uint64(t.options.Seed), 1))
	for n := range anewTries {
		if int64(len(t.best.uses)) <= max(1, least) || t.stopped() {
			return
		}
		used := t.usedBy(t.best)
		left := slices.Clone(used)
		if n%4 > 0 {
			t.spare(left, used, t.most-t.cost, random.IntN(len(t.bars)), random.Float64())
		}
		var values *rand.Rand
		if n >= 2*len(slackShares) {
			values = random
		}
		if p := t.repeatPlan(t.demands(), left, slackShares[n%len(slackShares)], len(t.best.uses), values); p != nil {
			tidy := p.clone()
			t.tidy(tidy)
			t.offer(tidy)
			t.offer(p)
		}
	}
}

// again cuts a few patterns of the best plan anew, the seldom ones more often.
func (t *trade) again(least int64) {
	random := rand.New(rand.NewPCG(uint64(t.options.Seed), 2))
	for tries := 0; tries < againTries; tries++ {
		if int64(len(t.best.uses)) <= max(1, least) || t.stopped() {
			return
		}
		few := 2 + random.IntN(4)
		if few > len(t.best.uses) {
			few = len(t.best.uses)
		}
		chosen := map[int]bool{}
		for len(chosen) < few {
			a, b := random.IntN(len(t.best.uses)), random.IntN(len(t.best.uses))
			if t.best.uses[b].count < t.best.uses[a].count && random.IntN(2) == 0 {
				a = b
			}
			chosen[a] = true
		}
		rest := &plan{}
		need, left := make([]int64, len(t.items)), make([]int64, len(t.bars))
		for i, u := range t.best.uses {
			if !chosen[i] {
				rest.uses = append(rest.uses, u)
				continue
			}
			left[u.bar] += u.count
			for _, e := range u.items {
				need[e.item] += u.count * int64(e.count)
			}
		}
		if random.IntN(3) > 0 {
			t.spare(left, t.usedBy(t.best), t.most-t.cost, random.IntN(len(t.bars)), random.Float64())
		}
		if p := t.repeatPlan(need, left, slackShares[random.IntN(len(slackShares))], few, random); p != nil {
			rest.uses = append(rest.uses, p.uses...)
			if before := len(t.best.uses); t.offer(rest) && len(t.best.uses) < before {
				tries = 0
			}
		}
	}
}
