package nest2d

import "slices"

// A ruler measures lengths along a line in whole units: in the largest that divides
// all of them, or in coarser ones where that makes too many.
type ruler struct {
	unit, whole int64 // whole is in units
}

// mostUnits is how many units a line has, about, at most.
const mostUnits = 3_000

func newRuler(lengths []int64, whole, most int64) ruler {
	unit := int64(0)
	least := whole
	for _, l := range lengths {
		unit, least = gcd(unit, l), min(least, l)
	}
	unit = max(unit, 1)
	if whole/unit > most {
		unit = min(whole/most+1, least)
	}
	return ruler{unit, whole / unit}
}

func gcd(a, b int64) int64 {
	for b != 0 {
		a, b = b, a%b
	}
	return a
}

// up and down round a length to units. What fits when rounded up does fit, as what is
// as long as the whole does alone; what does fit still does when all is rounded down.
func (r ruler) up(l int64) int64   { return min((l+r.unit-1)/r.unit, r.whole) }
func (r ruler) down(l int64) int64 { return l / r.unit }

// A row is a knapsack along a line, copies limited, to which goods are added one by
// one: the greatest value of the first of them within every length, by dynamic
// programming over lengths (Bellman 1957), copies taken in powers of two.
//
// R. E. Bellman, "Dynamic Programming", Princeton University Press, 1957.
type row struct {
	best  []int64 // by length
	lots  []lot
	taken [][]uint64 // by lot, the lengths at which it is taken
	start int        // the first lot since the row was emptied
	work  int64
}

// A lot is so many copies of a good, taken together.
type lot struct {
	good, copies int
}

// empty begins anew, so long a line.
func (r *row) empty(whole int64) {
	if int64(len(r.best)) != whole+1 {
		r.best = make([]int64, whole+1)
	} else {
		clear(r.best)
	}
	r.start = len(r.lots)
}

// add offers copies of a good.
func (r *row) add(good int, length, value, most int64) {
	whole := int64(len(r.best) - 1)
	if value <= 0 || length > whole {
		return
	}
	most = min(most, whole/length)
	for lots := int64(1); most > 0; lots *= 2 {
		n := min(lots, most)
		most -= n
		taken := slices.Grow(r.spare(), len(r.best)/64+1)[:len(r.best)/64+1]
		clear(taken)
		l, v := length*n, value*n
		for x := whole; x >= l; x-- {
			if with := r.best[x-l] + v; with > r.best[x] {
				r.best[x] = with
				taken[x/64] |= 1 << (x % 64)
			}
		}
		r.work += whole - l + 1
		r.lots, r.taken = append(r.lots, lot{good, int(n)}), append(r.taken, taken)
	}
}

// spare is a slice of an earlier use.
func (r *row) spare() []uint64 {
	if n := len(r.taken); n < cap(r.taken) {
		return r.taken[:n+1][n][:0]
	}
	return nil
}

// forget drops all lots, to begin with other values.
func (r *row) forget() { r.lots, r.taken, r.start = r.lots[:0], r.taken[:0], 0 }

// value is the greatest value of what was added since the row was emptied.
func (r *row) value() int64 { return r.best[len(r.best)-1] }

// mark remembers the state at hand, for goods.
func (r *row) mark() rowMark { return rowMark{r.start, len(r.lots)} }

type rowMark struct{ start, end int }

// goods goes through the goods of greatest value at a mark, one a copy; length is how
// long a good is.
func (r *row) goods(m rowMark, length func(good int) int64, yield func(good int)) {
	r.goodsWithin(int64(len(r.best)-1), m, length, yield)
}

// goodsWithin does the same for a part of the line.
func (r *row) goodsWithin(x int64, m rowMark, length func(good int) int64, yield func(good int)) {
	for i := m.end - 1; i >= m.start; i-- {
		if r.taken[i][x/64]>>(x%64)&1 == 0 {
			continue
		}
		l := r.lots[i]
		x -= length(l.good) * int64(l.copies)
		for range l.copies {
			yield(l.good)
		}
	}
}
