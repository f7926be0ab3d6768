package nest2d

import (
	"cmp"
	"math"
	"slices"
)

// A purchase asks for numbers of sheets of least total price whose worth
// reaches a need: min Σ price·n, Σ worth·n ≥ need, Σ cost·n ≤ budget,
// 0 ≤ n ≤ supply. It is small (one row an offer) and solved by branch and
// bound on the fractional relaxation.
type purchase struct {
	offers []offer
	need   int64
	budget int64
}

type offer struct {
	worth, price, cost, supply int64
	count                      int64 // 1 of a sheet, 0 of a window
	kind                       int
}

const (
	noBudget     = math.MaxInt64
	purchaseWork = 200_000
	// Relative error allowed to the float relaxation, far above what a few
	// additions and divisions can lose.
	relaxed = 1e-9
)

// least is the optimum, or a lower bound on it when the work it may take runs
// out, or -1 if no numbers will do.
func (p *purchase) least() int64 {
	if p.need <= 0 {
		return 0
	}
	p.sort()
	best, work := int64(math.MaxInt64), purchaseWork
	var try func(from int, need, price, cost int64)
	try = func(from int, need, price, cost int64) {
		if need <= 0 {
			best = min(best, price)
			return
		}
		work--
		low := p.relaxation(from, need) * (1 - relaxed)
		if work < 0 || math.IsInf(low, 1) || best < math.MaxInt64 && low > float64(best-price-1)*(1+relaxed) {
			return
		}
		o := p.offers[from]
		most := min(o.supply, (need-1)/o.worth+1)
		if o.cost > 0 {
			most = min(most, (p.budget-cost)/o.cost)
		}
		for n := most; n >= 0; n-- {
			try(from+1, need-n*o.worth, price+n*o.price, cost+n*o.cost)
		}
	}
	low := p.relaxation(0, p.need)
	if math.IsInf(low, 1) {
		return -1
	}
	try(0, p.need, 0, 0)
	if work < 0 {
		return int64(math.Floor(low * (1 - relaxed)))
	}
	if best == math.MaxInt64 {
		return -1
	}
	return best
}

// sort puts the offers with the most worth for their price first.
func (p *purchase) sort() {
	p.offers = slices.DeleteFunc(p.offers, func(o offer) bool { return o.worth <= 0 || o.supply <= 0 })
	slices.SortStableFunc(p.offers, func(a, b offer) int {
		return cmp.Or(
			cmp.Compare(float64(a.price)*float64(b.worth), float64(b.price)*float64(a.worth)),
			cmp.Compare(b.worth, a.worth),
		)
	})
}

// fraction is the least price with fractions of sheets allowed, and the price of
// a unit of worth of the last sheets bought.
func (p *purchase) fraction() (price, unit float64) {
	p.sort()
	need := p.need
	for _, o := range p.offers {
		unit = float64(o.price) / float64(o.worth)
		if o.supply >= (need-1)/o.worth+1 {
			break
		}
		need -= o.supply * o.worth
	}
	return p.relaxation(0, p.need), unit
}

// fewest is the least number of sheets, under the same conditions, that cost
// no more than a budget.
func (p *purchase) fewest(budget int64) int64 {
	p.budget = budget
	for i := range p.offers {
		p.offers[i].price = p.offers[i].count
	}
	return p.least()
}

// relaxation is the least price of need with fractions of sheets allowed and
// no budget, from the offers not yet decided; +Inf if they do not suffice.
func (p *purchase) relaxation(from int, need int64) float64 {
	price := 0.0
	for _, o := range p.offers[from:] {
		if o.supply >= (need-1)/o.worth+1 {
			return price + float64(float64(need)/float64(o.worth)*float64(o.price))
		}
		price += float64(float64(o.supply) * float64(o.price))
		need -= o.supply * o.worth
	}
	return math.Inf(1)
}
