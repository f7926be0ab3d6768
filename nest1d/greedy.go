package nest1d

// outcome of a constructive heuristic: a plan and, when bars ran out, what is
// left over.
type outcome struct {
	plan plan
	rest []int64
	done bool
}

// builder constructs plans bar by bar.
type builder struct {
	m     *model
	nodes int64 // counted work
	most  int64 // nodes after which no further plan is begun
}

// choice tells a builder which of the possible bars to cut next.
type choice int

const (
	cheapest choice = iota // least price for the weight it holds
	longest                // greatest weight held
	tightest               // least weight wasted
)

// firstFit fills bars with the longest pieces first. With one kind of bar and
// the pieces grouped by length this is first-fit decreasing (Johnson 1973).
func (g *builder) firstFit(need, left []int64, c choice) outcome {
	return g.build(need, left, c, func(b int, need []int64) []int64 {
		return g.m.fill(b, need, make([]int64, len(need)))
	})
}

// fill adds pieces, the longest first, as many as fit.
func (m *model) fill(b int, need, counts []int64) []int64 {
	k := &m.bars[b]
	rest := k.capacity
	for i, c := range counts {
		rest -= c * k.weight[i]
	}
	for i := range counts {
		n := min(need[i]-counts[i], rest/k.weight[i])
		if n <= 0 {
			continue
		}
		had := counts[i]
		counts[i] += n
		if !k.exact && !m.fits(b, counts) {
			m.lower(b, counts, i, had, had+n)
		}
		rest -= (counts[i] - had) * k.weight[i]
	}
	return counts
}

// build cuts bars until nothing is needed or nothing fits. Each bar is cut as
// often as its pattern stays useful in full.
func (g *builder) build(need, left []int64, c choice, fill func(b int, need []int64) []int64) outcome {
	need, left = append([]int64(nil), need...), append([]int64(nil), left...)
	var o outcome
	filled := make([]pattern, len(g.m.bars))
	for anyPositive(need) {
		best, bestWeight := pattern{bar: -1}, int64(0)
		for b := range g.m.bars {
			if left[b] == 0 {
				continue
			}
			// Needs only shrink: a filling that is still needed is still the choice.
			if len(filled[b].items) == 0 || g.m.repeats(&filled[b], need, left) == 0 {
				filled[b] = newPattern(b, fill(b, need))
			}
			p := filled[b]
			if len(p.items) == 0 {
				continue
			}
			w := g.m.load(&p)
			if best.bar < 0 || g.better(c, &p, w, &best, bestWeight) {
				best, bestWeight = p, w
			}
		}
		if best.bar < 0 {
			o.rest = need
			return o
		}
		t := g.m.repeats(&best, need, left)
		g.m.take(&best, t, need, left)
		o.plan.uses = append(o.plan.uses, use{best, t})
		g.nodes++
	}
	o.done = true
	return o
}

// better compares two filled bars. Weights of different bars are in different
// units, so they are compared as shares of length.
func (g *builder) better(c choice, p *pattern, pw int64, q *pattern, qw int64) bool {
	a, b := &g.m.bars[p.bar], &g.m.bars[q.bar]
	la, lb := g.length(p), g.length(q)
	switch c {
	case longest:
		if la != lb {
			return la > lb
		}
		return a.price < b.price
	case tightest:
		if d := compareProducts(pw, b.capacity, qw, a.capacity); d != 0 {
			return d > 0
		}
		return a.price < b.price
	}
	if d := compareProducts(g.m.cost(p), lb, g.m.cost(q), la); d != 0 {
		return d < 0
	}
	return la > lb
}

// length of the pieces in a pattern, kerfs not counted.
func (g *builder) length(p *pattern) int64 {
	var sum int64
	for _, e := range p.items {
		sum += int64(e.count) * g.m.length(int(e.item))
	}
	return sum
}

func (m *model) length(i int) int64 { return m.problem.Pieces[m.items[i].piece].Length }

func anyPositive(v []int64) bool {
	for _, x := range v {
		if x > 0 {
			return true
		}
	}
	return false
}

// mostWaste is the greatest ratio of a bar to its content that a value answers to.
const mostWaste = 64

// fillNodes caps the knapsack search for one bar in sequential value correction.
const fillNodes = 3000

// correctValues is sequential value correction (Mukhacheva, Belov, Kartack and
// Mukhacheva, 2000; Belov and Scheithauer 2007): plans are built bar by bar from
// knapsacks over pseudo-values; after each plan an item's value moves towards
// its share in the waste of the bars it came to lie in. Values are integers;
// they steer the search and prove nothing.
func (g *builder) correctValues(need, left []int64, rounds int, c choice, report func(outcome)) {
	const unit = 1 << 12
	m := g.m
	value := make([]int64, len(m.items))
	scale := max(1, m.length(0)/unit)
	for i := range value {
		// Slightly more than proportional: long pieces go first.
		l := m.length(i) / scale
		value[i] = 1 + l*unit + l*l/64
	}
	fill := func(b int, need []int64) []int64 {
		k := newKnapsack(&m.bars[b], value, need)
		s := k.search(0, fillNodes)
		g.nodes += s.nodes
		counts := s.contents(len(need))
		if !m.bars[b].exact {
			m.repair(b, counts, k.index)
		}
		counts = m.fill(b, need, counts)
		g.nodes += m.takeUncounted()
		return counts
	}
	for range rounds {
		if g.nodes > g.most {
			return
		}
		o := g.build(need, left, c, fill)
		report(o)
		for _, u := range o.plan.uses {
			held, all := m.load(&u.pattern), m.bars[u.bar].capacity
			share := int64(1024 * min(mostWaste, float64(all)/float64(max(1, held))))
			for _, e := range u.items {
				l := m.length(int(e.item)) / scale
				fresh := 1 + (l*unit/1024)*share + l*l/64
				value[e.item] = (3*value[e.item] + fresh) / 4
			}
		}
	}
}
