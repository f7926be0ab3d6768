package check

import "slices"

// walk goes through the counts of a material's offers: how many are cut, and
// how many more are to be had as spares. Each offer's goods follow from their sum.
type walk struct {
	*demand
	views  []*prices
	limits []int64
	leaf   func()

	rows []demandRow
	best [][][]int // view, offer and row: the offer of best value from here on
	need []int64   // what every row still lacks
	cost []int64   // by view, without the cutting of pieces
	cut  []int64   // per offer of the material
	more []int64
	uses []int64 // offers cut, by supplier
	sum  int64   // of cut
	got  int64   // spares so far
	most int64   // spares that can be wanted
	seen [][]met // by offer, where states are compared
}

// met is a state from which all was tried.
type met struct {
	need           []int64
	cost, sum, got int64
	past           []bool // shortages that are exceeded
}

// mostMet limits the states remembered for each offer.
const mostMet = 100

// demandRow is a cover of what is cut, or of what is bought.
type demandRow struct {
	worth  []int64
	need   int64
	bought bool
}

func (d *demand) walk(views []*prices, limits []int64) *walk {
	n := len(d.m.offers)
	w := &walk{
		demand: d, views: views, limits: limits,
		cut: make([]int64, n), more: make([]int64, n), uses: make([]int64, len(d.job.Suppliers)), cost: make([]int64, len(views)),
	}
	for _, c := range d.covers {
		w.rows = append(w.rows, demandRow{worth: c.worth, need: c.need})
	}
	w.spares()
	for _, r := range w.rows {
		w.need = append(w.need, r.need)
	}
	for _, p := range views {
		w.best = append(w.best, w.values(p))
	}
	return w
}

// spares adds, for materials with spares, what all that is bought must be worth:
// the pieces, and every spare as much as the least that can serve as one.
func (w *walk) spares() {
	if w.m.job.Spare <= 0 && w.m.job.SparePercent <= 0 {
		return
	}
	p := w.views[0]
	fewest, all := int64(0), int64(0)
	for _, c := range w.covers {
		most := int64(0)
		for _, k := range w.offers {
			if p.open[k] {
				most = max(most, c.worth[k])
			}
		}
		if most > 0 && c.need > 0 {
			fewest = max(fewest, ceiling(c.need, 1, most))
		}
	}
	for _, k := range w.offers {
		if p.open[k] {
			all = plus(all, w.enough(k, nil))
		}
	}
	w.most = w.sparesFor(min(all, w.pieces))
	least := w.sparesFor(fewest)
	for _, c := range w.covers {
		worth := int64(-1)
		for _, k := range w.offers {
			if p.open[k] && p.spare[k] && (worth < 0 || c.worth[k] < worth) {
				worth = c.worth[k]
			}
		}
		if worth > 0 && c.need > 0 {
			if sum, fits := whole(worth).times(whole(least)).plus(whole(c.need)).int64(); fits {
				w.rows = append(w.rows, demandRow{c.worth, sum, true})
			}
		}
	}
}

func (w *walk) sparesFor(cut int64) int64 {
	n, _ := w.m.spares(cut).int64()
	return min(n, mostMoney)
}

// values finds, from every offer on, the one that gives most of each row for its price.
func (w *walk) values(p *prices) [][]int {
	best := make([][]int, len(w.offers)+1)
	for at := len(w.offers); at >= 0; at-- {
		best[at] = make([]int, len(w.rows))
		for r, row := range w.rows {
			if at == len(w.offers) {
				best[at][r] = -1
				continue
			}
			k, b := w.offers[at], best[at+1][r]
			if p.open[k] && row.worth[k] > 0 && (b < 0 || compareProducts(w.unit(p, row, k), row.worth[b], w.unit(p, row, b), row.worth[k]) < 0) {
				b = k
			}
			best[at][r] = b
		}
	}
	return best
}

// unit is the least price of one bar or sheet that counts for a row.
func (w *walk) unit(p *prices, r demandRow, k int) int64 {
	if r.bought {
		return p.unit[k] - p.bar[k]
	}
	return p.unit[k]
}

// hopeless reports whether no counts of the offers from at on stay within the limits.
func (w *walk) hopeless(at int) bool {
	for v, p := range w.views {
		if plus(plus(w.cost[v], p.base), w.rest(v, at)) > w.limits[v] {
			return true
		}
	}
	return false
}

// atLeast is what everything costs at least by a view, before any choice.
func (w *walk) atLeast(v int) int64 { return plus(w.views[v].base, w.rest(v, 0)) }

// rest is what the offers from at on must cost at least: by each row, all of what
// it lacks at the best value there is.
func (w *walk) rest(v, at int) int64 {
	rest := int64(0)
	for r := range w.rows {
		if w.need[r] <= 0 {
			continue
		}
		k := w.best[v][at][r]
		if k < 0 {
			return mostMoney
		}
		rest = max(rest, ceiling(w.need[r], w.unit(w.views[v], w.rows[r], k), w.rows[r].worth[k]))
	}
	return rest
}

// enough is how many of an offer can be of use when the rows lack so much; by
// itself, when need is nil.
func (w *walk) enough(k int, need []int64) int64 {
	top := int64(0)
	for r, c := range w.covers {
		lack := c.need
		if need != nil {
			lack = need[r]
		}
		if lack > 0 && c.worth[k] > 0 {
			top = max(top, ceiling(lack, 1, c.worth[k]))
		}
	}
	for _, s := range w.short {
		top = max(top, plus(s[k], 1))
	}
	return min(top, w.supplied[k], w.pieces)
}

// offer goes through the counts of the offers from at on.
func (w *walk) offer(at int) {
	if !w.node() || w.hopeless(at) || w.dominated(at) {
		return
	}
	if at == len(w.offers) {
		if w.suffices() {
			w.leaf()
		}
		return
	}
	k := w.offers[at]
	p := w.views[0]
	if !p.open[k] {
		w.offer(at + 1)
		return
	}
	need := w.need
	if w.m.process.BySupplier {
		need = nil // more of an offer may mean cheaper cuts
	}
	for n := w.enough(k, need); n >= 0; n-- {
		low, high := int64(0), int64(0)
		if p.spare[k] && w.most > 0 {
			high = w.most
			if at == len(w.offers)-1 {
				low = max(0, w.sparesFor(w.sum+n)-w.got)
				high = low
			}
		}
		for more := low; more <= high; more++ {
			if !w.take(at, k, n, more) || w.gaveUp {
				break
			}
		}
		if w.gaveUp {
			return
		}
	}
}

// dominated reports whether a state from which all was tried already costs no
// more and lacks no more; else this one is remembered.
func (w *walk) dominated(at int) bool {
	if w.seen == nil {
		return false
	}
	now := met{need: w.need, cost: w.cost[0], sum: w.sum, got: w.got}
	for _, s := range w.short {
		now.past = append(now.past, slices.ContainsFunc(w.offers[:at], func(k int) bool { return w.cut[k] > s[k] }))
	}
	list := w.seen[at]
	for i := range list {
		if list[i].leaves(&now) {
			return true
		}
	}
	if len(list) < mostMet {
		w.seen[at] = append(list, now)
	} else {
		list[w.nodes%mostMet] = now
	}
	return false
}

// leaves reports whether m leaves no more to be done than o, in nothing.
func (m *met) leaves(o *met) bool {
	if m.cost > o.cost || m.sum > o.sum || m.got < o.got {
		return false
	}
	for r := range m.need {
		if m.need[r] > o.need[r] {
			return false
		}
	}
	for i := range m.past {
		if o.past[i] && !m.past[i] {
			return false
		}
	}
	return true
}

// take buys n of an offer to be cut and more as spares, and goes on. It
// reports whether so many are sold.
func (w *walk) take(at, k int, n, more int64) bool {
	o := w.demand.offer(k)
	price, sold := goods(o, n+more)
	if !sold {
		return false
	}
	before, cost := w.need, w.cost
	w.need, w.cost = slices.Clone(before), slices.Clone(cost)
	for r, row := range w.rows {
		count := n
		if row.bought {
			count += more
		}
		w.need[r] = lacking(w.need[r], count, row.worth[k])
	}
	first := n > 0 && w.uses[o.Supplier] == 0
	for v, p := range w.views {
		if p.counted[k] {
			w.cost[v] = plus(w.cost[v], price)
		}
		w.cost[v] = plus(w.cost[v], times(n, p.bar[k]))
		if first {
			w.cost[v] = plus(w.cost[v], p.setUp[o.Supplier])
		}
	}
	w.cut[k], w.more[k], w.sum, w.got = n, more, w.sum+n, w.got+more
	w.uses[o.Supplier] += n
	w.offer(at + 1)
	w.uses[o.Supplier] -= n
	w.cut[k], w.more[k], w.sum, w.got = 0, 0, w.sum-n, w.got-more
	w.need, w.cost = before, cost
	return true
}

// suffices reports whether the counts agree with the shortages and the spares.
func (w *walk) suffices() bool {
	for _, s := range w.short {
		exceeds := false
		for k, n := range w.cut {
			exceeds = exceeds || n > s[k]
		}
		if !exceeds {
			return false
		}
	}
	return w.got >= w.sparesFor(w.sum)
}

// total is what the counts cost by a view.
func (w *walk) total(v int) int64 { return plus(w.cost[v], w.cutting(w.views[v])) }
