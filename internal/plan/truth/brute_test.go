package truth

import (
	"errors"
	"math"
	"slices"
)

// The least total by brute force: for each material every way to cut it that no
// other way betters in all that is charged for, then every choice of orders, and
// for each of them every combination of the materials' ways.

// way to cut a material: how many of each offer in each order, the square cuts
// by supplier, and the cents charged beside them.
type cutting struct {
	counts []int64 // per offer and order that the material has, see columns
	cuts   []int64 // per supplier
	cents  int64
}

// mostCuttings limits what brute force takes on.
const mostCuttings = 200_000

var errTooLarge = errors.New("too large for brute force")

// columns are the pairs of offer and order in which a material is sold.
func (m *material) columns() [][2]int {
	var list [][2]int
	for _, f := range m.forms {
		if c := [2]int{f.offer, f.order}; !slices.Contains(list, c) {
			list = append(list, c)
		}
	}
	return list
}

// cuttings lists the ways to cut all items: the first item that is still wanted
// comes out of the next bar or sheet, whichever that is.
func (w *world) cuttings(m *material) ([]cutting, error) {
	columns := m.columns()
	known := map[string][]cutting{}
	made := 0
	var rest func(wanted []int64) []cutting
	rest = func(wanted []int64) []cutting {
		first := slices.IndexFunc(wanted, func(n int64) bool { return n > 0 })
		if first < 0 {
			return []cutting{{counts: make([]int64, len(columns)), cuts: make([]int64, len(w.suppliers))}}
		}
		key := name(wanted)
		if list, ok := known[key]; ok {
			return list
		}
		var list []cutting
		for _, f := range m.forms {
			s := w.orders[f.order].supplier
			at := slices.Index(columns, [2]int{f.offer, f.order})
			for _, c := range f.contents {
				if c[first] == 0 || !within(c, wanted) || made > mostCuttings {
					continue
				}
				left := slices.Clone(wanted)
				cuts, cents := f.cuts, m.sheet[s]
				for i, n := range c {
					left[i] -= n
					cuts += n * m.squares[s][i]
					cents += n * m.each[s][i]
				}
				for _, r := range rest(left) {
					next := cutting{slices.Clone(r.counts), slices.Clone(r.cuts), r.cents + cents}
					next.counts[at]++
					next.cuts[s] += cuts
					if n := w.offers[f.offer].stock; n < 0 || next.counts[at] <= n {
						list = keepBest(list, next, cutting.betters)
						made++
					}
				}
			}
		}
		known[key] = list
		return list
	}
	list := rest(m.demand)
	if made > mostCuttings {
		return nil, errTooLarge
	}
	return list, nil
}

func within(a, b []int64) bool {
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}

// betters says that c is as good as d in everything.
func (c cutting) betters(d cutting) bool {
	return c.cents <= d.cents && within(c.counts, d.counts) && within(c.cuts, d.cuts)
}

// keepBest adds to a list of which no member betters another.
func keepBest[T any](list []T, next T, betters func(a, b T) bool) []T {
	if slices.ContainsFunc(list, func(t T) bool { return betters(t, next) }) {
		return list
	}
	list = slices.DeleteFunc(list, func(t T) bool { return betters(next, t) })
	return append(list, next)
}

// bought is a way to have a material: goods and square cuts by supplier, and cents.
type bought struct {
	goods, cuts []int64
	cents       int64
}

func (a bought) betters(b bought) bool {
	return a.cents <= b.cents && within(a.goods, b.goods) && within(a.cuts, b.cuts)
}

// purchases lists the ways to have a material with the placed orders.
func (w *world) purchases(m *material, cuttings []cutting, placed []bool) []bought {
	var list []bought
	columns := m.columns()
	blank := func() bought {
		return bought{goods: make([]int64, len(w.suppliers)), cuts: make([]int64, len(w.suppliers))}
	}
	for _, k := range m.marks {
		if placed[k.order] {
			b := blank()
			b.goods[w.orders[k.order].supplier] = k.price
			list = keepBest(list, b, bought.betters)
		}
	}
	for _, c := range cuttings {
		b := blank()
		copy(b.cuts, c.cuts)
		b.cents = c.cents
		sheets := make([]int64, len(w.suppliers))
		allowed := true
		for i, n := range c.counts {
			if n > 0 {
				allowed = allowed && placed[columns[i][1]]
				sheets[w.orders[columns[i][1]].supplier] += n
			}
		}
		if !allowed {
			continue
		}
		for s, n := range sheets {
			if n > 0 {
				b.cents += m.once[s]
			}
		}
		n := total(sheets)
		spares := m.spare + (n*m.percent+9999)/10_000
		// Spares go to the columns in every way.
		var share func(i int, left int64, need []int64)
		share = func(i int, left int64, need []int64) {
			if i == len(columns) {
				if left > 0 {
					return
				}
				b := bought{goods: make([]int64, len(w.suppliers)), cuts: b.cuts, cents: b.cents}
				for k, n := range need {
					o := w.offers[columns[k][0]]
					cost := o.cost(n)
					if cost == math.MaxInt64 {
						return
					}
					b.goods[o.supplier] += cost
				}
				list = keepBest(list, b, bought.betters)
				return
			}
			share(i+1, left, need)
			if !m.spares[columns[i]] || !placed[columns[i][1]] {
				return
			}
			for k := int64(1); k <= left; k++ {
				more := slices.Clone(need)
				more[i] += k
				share(i+1, left-k, more)
			}
		}
		share(0, spares, c.counts)
	}
	return list
}

// brute is the least total of the world, never when there is none.
func (w *world) brute() (int64, error) {
	var cuttings [][]cutting
	for i := range w.materials {
		list, err := w.cuttings(&w.materials[i])
		if err != nil {
			return 0, err
		}
		cuttings = append(cuttings, list)
	}
	least := int64(never)
	placed := make([]bool, len(w.orders))
	var choose func(supplier int)
	choose = func(supplier int) {
		if supplier < len(w.suppliers) {
			choose(supplier + 1)
			for r, o := range w.orders {
				if o.supplier == supplier {
					placed[r] = true
					choose(supplier + 1)
					placed[r] = false
				}
			}
			return
		}
		whole := []bought{{goods: make([]int64, len(w.suppliers)), cuts: make([]int64, len(w.suppliers))}}
		for i := range w.materials {
			var sums []bought
			for _, b := range w.purchases(&w.materials[i], cuttings[i], placed) {
				for _, a := range whole {
					sums = keepBest(sums, a.plus(b), bought.betters)
				}
			}
			whole = sums
		}
		for _, b := range whole {
			least = min(least, w.price(b, placed))
		}
	}
	choose(0)
	return least, nil
}

func (a bought) plus(b bought) bought {
	sum := bought{slices.Clone(a.goods), slices.Clone(a.cuts), a.cents + b.cents}
	for s := range sum.goods {
		sum.goods[s] += b.goods[s]
		sum.cuts[s] += b.cuts[s]
	}
	return sum
}

// price adds what the suppliers charge for a purchase with the placed orders.
func (w *world) price(b bought, placed []bool) int64 {
	sum := b.cents
	for r, o := range w.orders {
		if placed[r] {
			s := w.suppliers[o.supplier]
			sum += o.fee + max(s.minimum, b.goods[o.supplier]) + s.cut*max(0, b.cuts[o.supplier]-s.free)
		}
	}
	return sum
}
