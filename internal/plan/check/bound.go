package check

import (
	"math"

	"sawbill/internal/plan"
)

// The proof of a least cost, for bars and for sheets alike. Every piece i has
// a value vᵢ, and no bar or sheet of offer k holds more than Uₖ of it. The
// pieces wanted are worth D = Σ vᵢ·dᵢ, so every purchase n satisfies
//
//	Σ Uₖ·nₖ ≥ D,   nₖ ≤ stockₖ
//
// and a cost B, with every bar or sheet at the lowest price that its offer has
// for any quantity, is proved when no purchase for less than B does: a bounded
// knapsack of offers, with prices for weights, again exact in integers. That
// is at least the value divided by the scale, raised to a sum of prices.

// provingEffort is the number of knapsack states that the proof of one
// material may take.
const provingEffort = 200_000_000

// worth is one such valuation.
type worth struct {
	values []int64 // vᵢ for each kind of piece, where that is of use later
	wanted int64   // D
	most   []int64 // Uₖ for each of the material's offers
}

// ladder is a list of valuations, each tried only when those before it were
// not enough: later ones take more work.
type ladder struct {
	rungs []func() (worth, answer)
	tried []worth
	// lacking is set when a valuation could not be made for lack of effort.
	lacking bool
	// best is the valuation to enumerate by when none is enough.
	best int
}

// climb answers yes at the first valuation that is enough.
func (l *ladder) climb(enough func(worth) answer) answer {
	result := no
	for i := 0; i < len(l.tried) || len(l.rungs) > 0; i++ {
		for i == len(l.tried) && len(l.rungs) > 0 {
			w, made := l.rungs[0]()
			l.rungs = l.rungs[1:]
			if made == yes {
				l.tried = append(l.tried, w)
			}
			l.lacking = l.lacking || made == unknown
		}
		if i == len(l.tried) {
			break
		}
		switch enough(l.tried[i]) {
		case yes:
			return yes
		case unknown:
			result = unknown
		}
	}
	if l.lacking {
		return unknown
	}
	return result
}

// bound proves again that the material cannot cost less, and cannot be had in
// fewer bars or sheets at its cost.
func (a *audit) bound(m *material) {
	if m.plan.BarProof != nil && m.job.Sheet() || m.plan.SheetProof != nil && !m.job.Sheet() {
		a.find(m.job.Key, "the proof of its cost is of the other kind of material")
		return
	}
	effort := int64(provingEffort)
	cost := m.plan.Goals.Cost
	var bars *barModel
	var l *ladder
	if m.job.Sheet() {
		l = a.sheetLadder(m)
	} else {
		bars = a.barModel(m)
		l = a.barLadder(m, bars, &effort)
	}
	m.bars, m.ladder = bars, l
	if l == nil {
		return // told already
	}

	var least spend // by trying everything, where that was needed
	if cost.Bound > 0 {
		proof := l.climb(func(w worth) answer { return a.excluded(m, w, cost.Bound, &effort) })
		cheaper := ""
		switch {
		case proof == yes || len(l.tried) == 0:
		case m.job.Sheet():
			proof, least = a.trySheets(m, proof)
		default:
			var r answer
			r, cheaper = a.noCheaper(m, bars, l.tried[min(l.best, len(l.tried)-1)], cost.Bound)
			if r == yes || r == unknown && m.plan.BarProof != nil && m.plan.BarProof.Searched {
				proof = r // beyond the values of the proof; unknown is noted
			}
		}
		switch {
		case proof == yes:
		case cheaper != "":
			a.find(m.job.Key, "it is said that it cannot cost less than %s, but %s seem to be enough", cost.Bound, cheaper)
		case proof == unknown:
			a.note("%s: that it cannot cost less than %s is not proved again, it is too large for that", m.job.Key, cost.Bound)
		default:
			a.find(m.job.Key, "it is said that it cannot cost less than %s, but nothing in the plan proves that", cost.Bound)
		}
	}
	if count := m.plan.Goals.Count.Bound; count > 0 {
		nodes := int64(countingNodes)
		tried := least.cost == int64(cost.Value) && least.sheets >= count
		if !tried && l.climb(func(w worth) answer { return a.fewerExcluded(m, w, count, &nodes) }) != yes {
			a.note("%s: that fewer than %d would not do at this cost is not proved again", m.job.Key, count)
		}
	}
}

// trySheets settles the least cost of few panels by trying. Of more panels
// proof is what the functions left; where the plan says that its search went
// further than they do, that is not known again; nor where it was assumed that
// panels fit.
func (a *audit) trySheets(m *material, proof answer) (answer, spend) {
	least, tried := a.leastSheets(m)
	switch {
	case tried && least.cost >= int64(m.plan.Goals.Cost.Bound):
		return yes, least
	case (!tried || m.loose || len(m.openings) > 0) && m.plan.SheetProof != nil && m.plan.SheetProof.Searched:
		return unknown, least
	}
	return proof, least
}

// excluded answers yes when every purchase for less than cost is too little.
func (a *audit) excluded(m *material, w worth, cost plan.Money, effort *int64) answer {
	rest := whole(w.wanted)
	var offers []kind
	for k, o := range m.offers {
		price, stock := leastPrice(&a.job.Offers[o]), a.supply(m, o)
		switch {
		case w.most[k] <= 0 || stock == 0:
		case price > 0:
			offers = append(offers, kind{price, w.most[k], stock})
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

// supply is how many of an offer a least plan can use: those in stock, and
// never more than there are things to cut.
func (a *audit) supply(m *material, offer int) int64 {
	wanted := whole(0)
	for _, p := range a.job.Pieces {
		if p.Material == m.index {
			wanted = wanted.plus(whole(p.Quantity))
		}
	}
	for _, p := range a.job.Panels {
		if p.Material == m.index {
			wanted = wanted.plus(whole(p.Quantity))
		}
	}
	most, fits := wanted.int64()
	if !fits {
		most = math.MaxInt64
	}
	if stock := a.job.Offers[offer].Stock; stock >= 0 {
		most = min(most, stock)
	}
	if !a.sold(&a.job.Offers[offer]) {
		return 0
	}
	return most
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
