package check

import (
	"cmp"
	"slices"
)

// countingNodes limits the search over purchases of fewer bars.
const countingNodes = 300_000

// fewerExcluded answers yes when every purchase of less than count bars or
// sheets, for no more than the plan's cost, is too little.
func (a *audit) fewerExcluded(m *material, w worth, count int64, nodes *int64) answer {
	type choice struct{ price, supply, most int64 }
	var offers []choice
	for k, o := range m.offers {
		c := choice{leastPrice(&a.job.Offers[o]), a.supply(m, o), w.most[k]}
		if c.most > 0 && c.supply > 0 {
			offers = append(offers, c)
		}
	}
	slices.SortStableFunc(offers, func(x, y choice) int { return cmp.Compare(y.most, x.most) })
	var enough func(at int, need, money, bars int64) answer
	enough = func(at int, need, money, bars int64) answer {
		if *nodes--; *nodes < 0 {
			return unknown
		}
		if need <= 0 {
			return yes
		}
		if at == len(offers) || lacking(need, bars, offers[at].most) > 0 {
			return no
		}
		o := offers[at]
		n := min(bars, o.supply)
		if o.price > 0 {
			n = min(n, money/o.price)
		}
		for ; n >= 0; n-- {
			if r := enough(at+1, lacking(need, n, o.most), money-n*o.price, bars-n); r != no {
				return r
			}
		}
		return no
	}
	switch enough(0, w.wanted, int64(m.plan.Goals.Cost.Value), count-1) {
	case no:
		return yes
	case yes:
		return no
	}
	return unknown
}
