package check

import (
	"fmt"
	"math"

	"sawbill/internal/plan"
)

// The proof of a least cost, for bars and for sheets alike. Every piece i has
// a value vᵢ, and no bar or sheet of offer k holds more than Uₖ of it. The
// pieces wanted are worth D = Σ vᵢ·dᵢ, so every purchase n satisfies
//
//	Σ Uₖ·nₖ ≥ D,   nₖ ≤ stockₖ
//
// and a cost B is proved when no purchase for less than B does: a bounded
// knapsack of offers, with prices for weights, again exact in integers. That
// is at least the value divided by the scale, raised to a sum of prices.

// provingEffort is the number of knapsack states and search nodes that the
// proof of one material may take.
const provingEffort = 200_000_000

// worth is one such valuation.
type worth struct {
	wanted int64   // D
	most   []int64 // Uₖ for each of the material's offers
}

// bound proves the least cost of the material again.
func (a *audit) bound(m *material) {
	if m.plan.BarProof != nil && m.job.Sheet() || m.plan.SheetProof != nil && !m.job.Sheet() {
		a.find(m.job.Key, "the proof of its cost is of the other kind of material")
		return
	}
	if m.plan.Goals.Cost.Bound <= 0 {
		return // nothing is claimed
	}
	if m.job.Sheet() {
		a.sheetBound(m)
	} else {
		a.barBound(m)
	}
}

// excluded reports whether every purchase for less than cost is proved to be
// too little.
func (a *audit) excluded(m *material, w worth, cost plan.Money, effort *int64) answer {
	rest := whole(w.wanted)
	var offers []kind
	for k, o := range m.offers {
		price, stock := a.job.Offers[o].Price, a.job.Offers[o].Stock
		switch {
		case w.most[k] <= 0 || stock == 0:
		case price > 0:
			if stock < 0 {
				stock = math.MaxInt64
			}
			offers = append(offers, kind{price, w.most[k], stock})
		case stock < 0:
			return no // free without end: nothing can be proved
		default:
			rest = rest.minus(whole(w.most[k]).times(whole(stock)))
		}
	}
	if rest.sign() <= 0 {
		return no
	}
	limit, fits := rest.minus(whole(1)).int64()
	if !fits {
		return unknown
	}
	switch exceeds(offers, int64(cost)-1, limit, effort) {
	case no:
		return yes
	case yes:
		return no
	}
	return unknown
}

// unproved tells that a bound is not backed; a note when only the effort was
// lacking.
func (a *audit) unproved(m *material, result answer) {
	b := m.plan.Goals.Cost.Bound
	if result == unknown {
		a.note("%s: that it cannot cost less than %s is not proved again, it is too large for that", m.job.Key, b)
		return
	}
	a.find(m.job.Key, "it is said that it cannot cost less than %s, but nothing in the plan proves that", b)
}

// value sums up Σ value·number; false when that passes 64 bits.
func value(kinds []kind) (int64, bool) {
	var sum wide
	for _, k := range kinds {
		sum = sum.plus(whole(k.value).times(whole(k.number)))
	}
	return sum.int64()
}

// scaled returns scale·price + extra; false when that passes 64 bits.
func scaled(scale, price, extra int64) (int64, bool) {
	return whole(scale).times(whole(price)).plus(whole(extra)).int64()
}

func offerName(m *material, o int) string { return fmt.Sprintf("%s, offer %d", m.job.Key, o) }
