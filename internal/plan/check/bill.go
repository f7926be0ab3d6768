package check

import (
	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// bill is all that one supplier is paid for.
type bill struct {
	goods   wide
	ordered bool
	// square and mitred cuts, of pieces and at the yard
	square, mitred int64
	panels         []int64 // cut, by row of the job's panels
	sheets         []int64 // cut, by material of the job
	charges        wide
}

// bills adds up for every supplier what the plan has of it. Layouts of
// materials that are not sound are left out: they were found already.
func (a *audit) bills(pairs []*material) []bill {
	list := make([]bill, len(a.job.Suppliers))
	for i := range list {
		list[i].panels, list[i].sheets = make([]int64, len(a.job.Panels)), make([]int64, len(a.job.Materials))
	}
	for _, m := range pairs {
		for _, l := range m.plan.Buy {
			if l.Offer < 0 || l.Offer >= len(a.job.Offers) {
				continue
			}
			if s := a.job.Offers[l.Offer].Supplier; s >= 0 && s < len(list) {
				list[s].goods, list[s].ordered = list[s].goods.plus(whole(int64(l.Amount))), true
			}
		}
		if s, known := a.suppliers[m.plan.ByMark]; known && m.plan.ByMark != "" {
			for _, q := range m.plan.Marks {
				list[s].goods, list[s].ordered = list[s].goods.plus(whole(int64(q.Amount))), true
			}
		}
		if !m.sound {
			continue
		}
		for i := range m.plan.Layouts {
			l := &m.plan.Layouts[i]
			if s := a.job.Offers[l.Stock.Offer].Supplier; s >= 0 && s < len(list) {
				a.cuts(m, l, &list[s])
			}
		}
	}
	return list
}

// cuts counts what a supplier does to one bar or sheet.
func (a *audit) cuts(m *material, l *plan.Layout, b *bill) {
	b.square += int64(len(l.FirstCuts)) + yardCuts(l.Tree)
	if l.TrimsAtYard {
		b.square += m.trims()
	}
	if !m.process.BySupplier {
		return
	}
	for _, p := range l.Pieces {
		square, mitred := pieceCuts(&a.job.Pieces[a.pieces[p.Mark]])
		b.square += square
		b.mitred += mitred
	}
	for _, p := range l.Panels {
		b.panels[a.panels[p.Mark]]++
	}
	if m.job.Sheet() {
		b.sheets[m.index]++
	}
}

// yardCuts counts the cuts made at the yard in a cut tree that was found sound.
func yardCuts(p *plan.Part) int64 {
	if p == nil {
		return 0
	}
	n := int64(0)
	for _, c := range p.Parts {
		// Behind a part that does not reach to the edge there is a cut.
		if p.AtYard && (c.X+c.Length < p.X+p.Length || c.Y+c.Width < p.Y+p.Width) {
			n++
		}
		n += yardCuts(c)
	}
	return n
}

// trims counts the edges that are cut off a sheet.
func (m *material) trims() int64 {
	n := int64(0)
	for _, t := range []length.Length{m.process.TrimLeft, m.process.TrimRight, m.process.TrimBottom, m.process.TrimTop} {
		if t > 0 {
			n++
		}
	}
	return n
}

// pieceCuts is what cutting one piece to the list counts for: one cut frees it
// from the bar, unless both its ends are mitred, and each mitred end is a cut.
func pieceCuts(p *job.Piece) (square, mitred int64) {
	if p.Left != 0 {
		mitred++
	}
	if p.Right != 0 {
		mitred++
	}
	if mitred < 2 {
		square = 1
	}
	return square, mitred
}

// panelCut is the price of cutting one panel, its contours and their piercings,
// in cents rounded half up.
func panelCut(s *job.Supplier, p *job.Panel) wide {
	m, metre := measure(p), whole(int64(length.Metre))
	return halfUp(m.cut.times(whole(s.CutMetre)).plus(metre.times(whole(s.Pierce)).times(whole(m.pierces))), metre.times(whole(1000)))
}

// due is a charge worked out here.
type due struct {
	what                string
	count, free         int64
	each, amount        wide
	evenWithoutAnAmount bool
}

// charged lists what a supplier adds to the goods, in the order of a bill.
func (a *audit) charged(s *job.Supplier, b *bill, way string) []due {
	var list []due
	counted := func(what string, count, free int64, each wide) {
		list = append(list, due{what, count, free, each, each.times(whole(count - free)), free > 0})
	}
	if s.Cut > 0 && b.square > 0 {
		counted(plan.SquareCuts, b.square, min(max(0, s.FreeCuts), b.square), whole(s.Cut))
	}
	counted(plan.MitreCuts, b.mitred, 0, whole(s.Mitre))
	single := func(what string, amount wide) { list = append(list, due{what: what, amount: amount}) }
	for k := range a.job.Materials {
		for i := range a.job.Panels {
			if p := &a.job.Panels[i]; p.Material == k {
				counted(plan.Cutting+" "+p.Mark, b.panels[i], 0, panelCut(s, p))
			}
		}
	}
	for k, n := range b.sheets {
		if n > 0 {
			counted(plan.PerSheet+" "+a.job.Materials[k].Key, n, 0, whole(s.PerSheet))
			single(plan.SetUp+" "+a.job.Materials[k].Key, whole(s.SetUp))
		}
	}
	if short := whole(s.Minimum).minus(b.goods); short.sign() > 0 {
		single(plan.SmallOrder, short)
	}
	switch way {
	case plan.Delivered:
		single(plan.Delivery, whole(s.Delivery))
	case plan.Fetched:
		single(plan.Fetching, whole(s.Fetch))
	}
	var kept []due
	for _, d := range list {
		if d.amount.sign() != 0 || d.evenWithoutAnAmount {
			kept = append(kept, d)
		}
	}
	return kept
}

// money checks the bill of every supplier and all sums of the plan.
func (a *audit) money(pairs []*material) {
	bills := a.bills(pairs)
	next := 0
	onHand := whole(0)
	for i := range bills {
		s, b := &a.job.Suppliers[i], &bills[i]
		way, listed := a.way[i]
		switch {
		case b.ordered && !listed:
			a.find("orders", "%q is bought from but not listed", s.Name)
		case listed && !b.ordered:
			a.find("orders", "%q is listed, but nothing is bought from it", s.Name)
		}
		if !b.ordered {
			continue
		}
		if s.OnHand {
			onHand = onHand.plus(b.goods)
			continue
		}
		for _, d := range a.charged(s, b, way) {
			b.charges = b.charges.plus(d.amount)
			if next >= len(a.plan.Charges) {
				a.find("charges", "%q by %q is due but missing", d.what, s.Name)
				continue
			}
			c := a.plan.Charges[next]
			next++
			if c.Supplier != s.Name || c.What != d.what {
				a.find("charges", "number %d is %q by %q, it must be %q by %q", next, c.What, c.Supplier, d.what, s.Name)
				continue
			}
			if c.Count != d.count || c.Free != d.free || !d.each.equals(int64(c.Each)) {
				a.find("charges", "%q by %q is given as %d at %s, %d of them free; due are %d at %s cents, %d free",
					c.What, c.Supplier, c.Count, c.Each, c.Free, d.count, d.each, d.free)
			}
			if !d.amount.equals(int64(c.Amount)) {
				a.find("charges", "%q by %q is given as %s, due are %s cents", c.What, c.Supplier, c.Amount, d.amount)
			}
		}
	}
	for _, c := range a.plan.Charges[next:] {
		a.find("charges", "%q by %q is not due", c.What, c.Supplier)
	}
	taxes := a.taxes(bills)
	a.totals(onHand, taxes)
}

// taxes checks the tax on what every supplier bills and returns their sum.
func (a *audit) taxes(bills []bill) wide {
	sum, next := whole(0), 0
	for i := range bills {
		s, b := &a.job.Suppliers[i], &bills[i]
		if !b.ordered || s.OnHand || s.Tax <= 0 {
			continue
		}
		net := b.goods.plus(b.charges)
		amount := halfUp(net.times(whole(s.Tax)), whole(100_000))
		sum = sum.plus(amount)
		if next >= len(a.plan.Taxes) || a.plan.Taxes[next].Supplier != s.Name {
			if net.sign() != 0 {
				a.find("taxes", "the tax on what %q bills is missing or out of order", s.Name)
			}
			continue
		}
		t := a.plan.Taxes[next]
		next++
		if t.Rate != s.Tax || !net.equals(int64(t.Net)) || !amount.equals(int64(t.Amount)) {
			a.find("taxes", "for %q they are given as %d thousandths of a percent of %s, %s; due are %d of %s cents, %s cents",
				s.Name, t.Rate, t.Net, t.Amount, s.Tax, net, amount)
		}
	}
	for _, t := range a.plan.Taxes[next:] {
		a.find("taxes", "a tax on what %q bills is not due", t.Supplier)
	}
	return sum
}

// totals checks the sums over all materials and suppliers.
func (a *audit) totals(onHand, taxes wide) {
	p := a.plan
	var sum wide
	for i := range p.Materials {
		sum = sum.plus(whole(int64(p.Materials[i].Goals.Cost.Value)))
	}
	if !sum.equals(int64(p.Goods)) {
		a.find("plan", "the goods are given as %s, the materials cost another sum", p.Goods)
	}
	for _, c := range p.Charges {
		sum = sum.plus(whole(int64(c.Amount)))
	}
	if !sum.equals(int64(p.Total)) {
		a.find("plan", "the total is given as %s, goods and charges make another sum", p.Total)
	}
	if !onHand.equals(int64(p.OnHand)) {
		a.find("plan", "what is on hand is given as %s, its lines make another sum", p.OnHand)
	}
	if !sum.minus(onHand).plus(taxes).equals(int64(p.Payable)) {
		a.find("plan", "payable is given as %s, the total less what is on hand, plus the taxes, is another sum", p.Payable)
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
	a.givenUp()
	a.totalMass()
}

// givenUp checks that no more was given up for fewer patterns than the options
// allow of the total without it, and that the bound is one of that total too.
func (a *audit) givenUp() {
	p := a.plan
	without := whole(int64(p.Total)).minus(whole(int64(p.GivenUp)))
	switch {
	case p.Options.SetUps < 0 || p.Options.SetUps > 10_000:
		a.find("plan", "%d hundredths of a percent are no share of the total to give up for fewer patterns", p.Options.SetUps)
	case p.GivenUp < 0 || p.GivenUp > 0 && p.Options.SetUps == 0:
		a.find("plan", "%s are given as given up for fewer patterns, nothing may be", p.GivenUp)
	case without.times(whole(p.Options.SetUps)).compare(whole(int64(p.GivenUp)).times(whole(10_000))) < 0:
		a.find("plan", "%s are given as given up for fewer patterns, and no more than %d hundredths of a percent of the rest may be", p.GivenUp, p.Options.SetUps)
	case without.compare(whole(int64(p.Bound))) < 0:
		a.find("plan", "without the %s given up for fewer patterns the total is below the bound %s", p.GivenUp, p.Bound)
	}
}
