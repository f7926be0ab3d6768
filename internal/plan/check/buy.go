package check

import (
	"fmt"

	"sawbill/internal/plan"
)

// buy checks that what is bought is what the layouts are cut from, offer by
// offer in the job's order, at the job's prices and within its stocks.
func (a *audit) buy(m *material) {
	used := map[int]int64{}
	for i := range m.plan.Layouts {
		used[m.plan.Layouts[i].Stock.Offer]++
	}
	met := map[int]bool{}
	before := -1
	for i, l := range m.plan.Buy {
		where := fmt.Sprintf("%s, purchase line %d", m.job.Key, i+1)
		if l.Offer < 0 || l.Offer >= len(a.job.Offers) || a.job.Offers[l.Offer].Material != m.index {
			a.find(where, "offer %d is no offer of this material", l.Offer)
			continue
		}
		o := &a.job.Offers[l.Offer]
		switch {
		case met[l.Offer]:
			a.find(where, "offer %d is bought in two lines", l.Offer)
		case l.Offer < before:
			a.find(where, "the lines are not in the order of the offers")
		}
		met[l.Offer], before = true, l.Offer
		if l.Supplier != a.supplier(o) {
			a.find(where, "the supplier is given as %q, it is %q", l.Supplier, a.supplier(o))
		}
		if l.Length != o.Length || l.Width != o.Width {
			a.find(where, "the size is given as %s x %s, it is %s x %s", a.len(l.Length), a.len(l.Width), a.len(o.Length), a.len(o.Width))
		}
		if l.Count != used[l.Offer] || l.Count < 1 {
			a.find(where, "%d are bought, the layouts use %d", l.Count, used[l.Offer])
		}
		if o.Stock >= 0 && l.Count > o.Stock {
			a.find(where, "%d are bought, %q has only %d", l.Count, a.supplier(o), o.Stock)
		}
		if int64(l.Each) != o.Price {
			a.find(where, "the price of one is given as %s, it is %s", l.Each, plan.Money(o.Price))
		}
		if want := whole(o.Price).times(whole(l.Count)); !want.equals(int64(l.Amount)) {
			a.find(where, "the amount is given as %s, %d at %s make another", l.Amount, l.Count, plan.Money(o.Price))
		}
	}
	for _, o := range m.offers {
		if used[o] > 0 && !met[o] {
			a.find(m.job.Key, "%d of offer %d are cut but not bought", used[o], o)
		}
	}
}

// goals checks the values reached and that every bound is on its right side.
func (a *audit) goals(m *material) {
	g := &m.plan.Goals
	var cost wide
	for _, l := range m.plan.Buy {
		cost = cost.plus(whole(int64(l.Amount)))
	}
	if !cost.equals(int64(g.Cost.Value)) {
		a.find(m.job.Key, "the cost is given as %s, the amounts sum up to another", g.Cost.Value)
	}
	a.verdict(m.job.Key, "cost", g.Cost.Status, int64(g.Cost.Value), int64(g.Cost.Bound), true)
	if (g.Cost.Status == plan.Proven) != (g.Cost.Value == g.Cost.Bound) {
		a.find(m.job.Key, "the cost is %s and its bound %s, so it cannot be called %s", g.Cost.Value, g.Cost.Bound, g.Cost.Status)
	}

	if g.Count.Value != int64(len(m.plan.Layouts)) {
		a.find(m.job.Key, "the number of layouts is given as %d, it is %d", g.Count.Value, len(m.plan.Layouts))
	}
	a.verdict(m.job.Key, "number of layouts", g.Count.Status, g.Count.Value, g.Count.Bound, true)

	switch {
	case m.job.Sheet() && g.Patterns != nil:
		a.find(m.job.Key, "patterns are a goal for bars only")
	case !m.job.Sheet() && g.Patterns == nil:
		a.find(m.job.Key, "the number of patterns is missing")
	case g.Patterns != nil:
		if m.sound && g.Patterns.Value != a.shapes(m) {
			a.find(m.job.Key, "the number of patterns is given as %d, it is %d", g.Patterns.Value, a.shapes(m))
		}
		a.verdict(m.job.Key, "number of patterns", g.Patterns.Status, g.Patterns.Value, g.Patterns.Bound, true)
	}

	if m.sound && !m.largest.equals(g.Offcut.Value) && !m.largestKept.equals(g.Offcut.Value) {
		a.find(m.job.Key, "the largest offcut is given as %d units, it is %s, or %s of those to keep", g.Offcut.Value, m.largest, m.largestKept)
	}
	a.verdict(m.job.Key, "largest offcut", g.Offcut.Status, g.Offcut.Value, g.Offcut.Bound, false)
	a.lesserGoals(m)
}

// verdict checks a goal's status and that its bound does not contradict its value.
func (a *audit) verdict(where, what string, s plan.Status, value, bound int64, least bool) {
	switch {
	case s != plan.Proven && s != plan.Open:
		a.find(where, "the status of the %s is %q; it is either proven or open", what, s)
	case s == plan.Proven && value != bound:
		a.find(where, "the %s is called proven but differs from its bound", what)
	case least && bound > value:
		a.find(where, "the %s is below the bound it is said never to go below", what)
	case !least && bound < value:
		a.find(where, "the %s is above the bound it is said never to go above", what)
	}
}

// lesserGoals names the claims of the last goals, which are not proved again.
func (a *audit) lesserGoals(m *material) {
	g := &m.plan.Goals
	var claims []string
	if g.Patterns != nil && g.Patterns.Status == plan.Proven && g.Patterns.Value > 1 {
		claims = append(claims, "that no fewer patterns would do")
	}
	if g.Offcut.Status == plan.Proven {
		claims = append(claims, "that no longer offcut is possible")
	}
	for _, c := range claims {
		a.note("%s: %s at this cost is not proved again", m.job.Key, c)
	}
}

// totals checks the sums over all materials.
func (a *audit) totals() {
	p := a.plan
	var goods, bound wide
	for i := range p.Materials {
		g := p.Materials[i].Goals.Cost
		goods, bound = goods.plus(whole(int64(g.Value))), bound.plus(whole(int64(g.Bound)))
	}
	if !goods.equals(int64(p.Goods)) {
		a.find("plan", "the goods are given as %s, the materials cost another sum", p.Goods)
	}
	for _, c := range p.Charges {
		goods = goods.plus(whole(int64(c.Amount)))
	}
	if !goods.equals(int64(p.Total)) {
		a.find("plan", "the total is given as %s, goods and charges make another sum", p.Total)
	}
	if !bound.equals(int64(p.Bound)) {
		a.find("plan", "the least possible total is given as %s, the materials' bounds make another sum", p.Bound)
	}
	if p.Bound > p.Total {
		a.find("plan", "the total %s is below the bound %s it is said never to go below", p.Total, p.Bound)
	}
	switch p.Status {
	case plan.Proven, plan.Open:
		if (p.Status == plan.Proven) != (p.Total == p.Bound) {
			a.find("plan", "the total is %s and its bound %s, so it cannot be called %s", p.Total, p.Bound, p.Status)
		}
	default:
		a.find("plan", "the status is %q; it is either proven or open", p.Status)
	}
	a.totalMass()
}

// What a supplier adds, in the words of the plan.
const (
	delivery   = "delivery"
	smallOrder = "small order"
)

// charges works out what every supplier adds: the delivery, and what the goods
// lack to the smallest order.
func (a *audit) charges() {
	goods := make([]wide, len(a.job.Suppliers))
	buys := make([]bool, len(a.job.Suppliers))
	for i := range a.plan.Materials {
		for _, l := range a.plan.Materials[i].Buy {
			if l.Offer < 0 || l.Offer >= len(a.job.Offers) {
				continue
			}
			if s := a.job.Offers[l.Offer].Supplier; s >= 0 && s < len(goods) {
				goods[s], buys[s] = goods[s].plus(whole(int64(l.Amount))), true
			}
		}
	}
	type charge struct{ supplier, what string }
	want := map[charge]wide{}
	var order []charge
	for i, s := range a.job.Suppliers {
		if !buys[i] {
			continue
		}
		if s.Delivery > 0 {
			c := charge{s.Name, delivery}
			want[c], order = whole(s.Delivery), append(order, c)
		}
		if short := whole(s.Minimum).minus(goods[i]); short.sign() > 0 {
			c := charge{s.Name, smallOrder}
			want[c], order = short, append(order, c)
		}
	}
	payable := whole(int64(a.plan.Total))
	met := map[charge]bool{}
	for _, c := range a.plan.Charges {
		k := charge{c.Supplier, c.What}
		amount, due := want[k]
		switch {
		case !due:
			a.find("charges", "%q by %q is not due", c.What, c.Supplier)
		case met[k]:
			a.find("charges", "%q by %q is charged twice", c.What, c.Supplier)
		case !amount.equals(int64(c.Amount)):
			a.find("charges", "%q by %q is given as %s, another amount is due", c.What, c.Supplier, c.Amount)
		}
		met[k] = true
	}
	for _, k := range order {
		if !met[k] {
			a.find("charges", "%q by %q is due but missing", k.what, k.supplier)
		}
	}
	if !payable.equals(int64(a.plan.Payable)) {
		a.find("plan", "payable is given as %s, total and charges make another sum", a.plan.Payable)
	}
}
