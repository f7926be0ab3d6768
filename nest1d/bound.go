package nest1d

import (
	"math/bits"
	"slices"
)

// proof is a lower bound on cost by integer duals, for the model's own items
// and bars; see Certificate for what it states.
//
// Any values of the pieces give a bound, for bar k holds at most the knapsack
// value Vₖ of them: Σ Vₖ·nₖ ≥ Σ valueᵢ·demandᵢ for every purchase n (Farley,
// Operations Research 38 (1990) 922–923, for one kind of bar). Where bar k
// yields more than scale·priceₖ, the excess is charged to the supply when there
// is one, and else the scale rises until there is no excess.
type proof struct {
	scale int64
	value []int64 // per item
	extra []int64 // per bar
	upper []int64 // per bar: the proved bound on Vₖ
	total int64   // Σ value·demand
	rest  int64   // total less the charges; may be negative
	loose bool    // rest would be below −limit
	bound int64
}

// prove makes the best proof it can from values, upper bounds on Vₖ, and the
// scale the values were made with. Where offcuts bring something, Vₖ counts that at
// this scale.
func (m *model) prove(value, upper []int64, scale int64) proof {
	return m.proveLess(value, upper, scale, 0)
}

// proveLess is prove with so much, or less than nothing, taken off what the pieces
// are worth together.
func (m *model) proveLess(value, upper []int64, scale, less int64) proof {
	p := proof{scale: max(1, scale), value: value, upper: upper, extra: make([]int64, len(m.bars))}
	if m.credited() {
		p.upper = slices.Clone(upper)
	}
	raised := int64(0)
	for i := range m.items {
		v, ok := product(value[i], m.items[i].demand)
		if !ok || p.total+v > limit {
			return m.nothing()
		}
		p.total += v
	}
	if p.total = max(0, p.total-less); p.total > limit {
		return m.nothing()
	}
	// Net of what offcuts bring at most, both of what bars hold and of their prices.
	net := slices.Clone(upper)
	for b := range m.bars {
		k := &m.bars[b]
		brought, ok := product(p.scale, k.most())
		if !ok {
			return m.nothing()
		}
		if net[b] = max(0, net[b]-brought); k.price > 0 && k.ample(p.scale, p.total) {
			raised = max(raised, ceilDiv(net[b], k.price-k.most()))
		}
	}
	p.scale = max(p.scale, raised)
	rest := p.total
	for b := range m.bars {
		k := &m.bars[b]
		if k.reward != nil {
			brought, ok := product(p.scale, k.most())
			if p.upper[b] = min(limit, net[b]+brought); !ok {
				p.upper[b] = limit
			}
		}
		if !k.limited() {
			continue
		}
		if paid, ok := product(p.scale, k.price-k.most()); ok {
			p.extra[b] = max(0, net[b]-paid)
		}
		charge, ok := product(p.extra[b], k.supply)
		rest -= charge
		if !ok || rest < -limit {
			p.loose, rest = true, -limit
		}
	}
	p.rest = rest
	p.bound = ceilDiv(max(0, rest), p.scale)
	return p
}

// nothing is the proof that says nothing.
func (m *model) nothing() proof {
	return proof{scale: 1, value: make([]int64, len(m.items)), upper: make([]int64, len(m.bars)), extra: make([]int64, len(m.bars))}
}

// ample says that an excess is better met by the scale than charged to the
// supply: it costs total/(scale·price) of it there, and the supply times here.
func (k *bar) ample(scale, total int64) bool {
	if !k.limited() {
		return true
	}
	paid, ok := product(scale, k.price)
	if ok {
		paid, ok = product(paid, k.supply)
	}
	return !ok || paid > total
}

// proveAnyScale tries every scale at which some bar has no excess, for values
// that were not made with a scale in mind.
func (m *model) proveAnyScale(value, upper []int64) proof {
	best := m.prove(value, m.withCredit(upper, 1), 1)
	for b := range m.bars {
		if m.bars[b].price == 0 {
			continue
		}
		scale := ceilDiv(upper[b], m.bars[b].price-m.bars[b].most())
		if p := m.prove(value, m.withCredit(upper, scale), scale); p.bound > best.bound {
			best = p
		}
	}
	return best
}

// withCredit adds to what bars hold at most what their offcuts bring at most.
func (m *model) withCredit(upper []int64, scale int64) []int64 {
	if !m.credited() {
		return upper
	}
	out := slices.Clone(upper)
	for b := range out {
		brought, ok := product(max(1, scale), m.bars[b].most())
		if out[b] = min(limit, out[b]+brought); !ok {
			out[b] = limit
		}
	}
	return out
}

// product of two non-negative numbers, unless above limit.
func product(a, b int64) (int64, bool) {
	hi, lo := bits.Mul64(uint64(a), uint64(b))
	if hi != 0 || lo > uint64(limit) {
		return limit, false
	}
	return int64(lo), true
}

func ceilDiv(a, b int64) int64 { return (a + b - 1) / b }

// materialKinds caps the kinds of bar whose weights serve as values.
const materialKinds = 8

// materialBound values pieces by their weight in a kind of bar: the proof that
// so much material cannot cost less.
func (m *model) materialBound() proof {
	need := m.demands()
	best := m.prove(make([]int64, len(m.items)), make([]int64, len(m.bars)), 1)
	for b := range min(len(m.bars), materialKinds) {
		var total int64
		for i, w := range m.bars[b].weight {
			total += w * need[i]
		}
		unit := max(1, limit>>4/max(1, total))
		value, upper := make([]int64, len(m.items)), make([]int64, len(m.bars))
		for i, w := range m.bars[b].weight {
			value[i] = w * unit
		}
		for c := range m.bars {
			k := newKnapsack(&m.bars[c], value, need)
			upper[c] = k.ceiling(0, k.capacity)
		}
		if p := m.proveAnyScale(value, upper); p.bound > best.bound {
			best = p
		}
	}
	return best
}

// parted says that some bar is.
func (m *model) parted() bool {
	return slices.ContainsFunc(m.bars, func(b bar) bool { return m.problem.Stocks[b.stock].parted() })
}

// plain is the best proof with the values of one of the given that does not
// regard how pieces share the parts of bars.
func (m *model) plain(proofs ...*proof) proof {
	best := *m.empty()
	need := m.demands()
	for _, p := range proofs {
		if p.value == nil {
			continue
		}
		upper := make([]int64, len(m.bars))
		for b := range m.bars {
			upper[b] = newKnapsack(&m.bars[b], p.value, need).most(worthStates)
		}
		for _, q := range []proof{m.prove(p.value, upper, p.scale), m.proveAnyScale(p.value, upper)} {
			if q.bound > best.bound {
				best = q
			}
		}
	}
	return best
}

// certificate spreads a proof over the pieces and stocks of the problem.
func (m *model) certificate(p *proof) Certificate {
	c := Certificate{Scale: p.scale, Bound: p.bound,
		Piece: make([]int64, len(m.problem.Pieces)), Stock: make([]int64, len(m.problem.Stocks))}
	for i, it := range m.items {
		for _, q := range it.pieces {
			c.Piece[q] = p.value[i]
		}
	}
	for b, k := range m.bars {
		if k.limited() {
			for _, s := range k.stocks {
				c.Stock[s] = p.extra[b]
			}
		}
	}
	return c
}
