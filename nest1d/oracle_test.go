package nest1d

import (
	"fmt"
	"slices"
)

// oracle settles tiny problems by listing every plan. It shares no code with the
// engine: the length of a content is a dynamic programme over which pieces lie
// in the bar and which end comes last (Held and Karp, Journal of the Society for
// Industrial and Applied Mathematics 10 (1962) 196–210), and a plan is a
// multiset of bars, listed in a fixed order.
type oracle struct {
	p        *Problem
	class    []int   // pieces that no saw tells apart share a class
	stock    []int   // likewise stocks
	need     []int64 // net of what is settled
	left     []int64
	contents []content // of every stock, that fit
	size     []int64   // radix of each piece in a code
	best     standing
	found    bool
	steps    int
}

// content of one bar: the code of its piece counts and the longest offcut of
// any order.
type content struct {
	stock  int
	counts []int64
	offcut int64 // 0 when not worth keeping
}

// standing of a plan in the order of goals.
type standing struct{ cost, bars, patterns, offcut int64 }

func (a standing) beats(b standing) bool {
	if a.cost != b.cost {
		return a.cost < b.cost
	}
	if a.bars != b.bars {
		return a.bars < b.bars
	}
	if a.patterns != b.patterns {
		return a.patterns < b.patterns
	}
	return a.offcut > b.offcut
}

// newOracle returns nil when there is too much to list.
func newOracle(p *Problem) *oracle {
	o := &oracle{p: p}
	for _, q := range p.Pieces {
		o.need = append(o.need, q.Demand)
	}
	for _, s := range p.Stocks {
		o.left = append(o.left, s.Supply)
	}
	for _, l := range p.Fixed {
		if o.left[l.Stock] >= 0 {
			o.left[l.Stock] -= l.Count
		}
		for _, q := range l.Places {
			o.need[q.Piece] = max(0, o.need[q.Piece]-l.Count)
		}
	}
	states := int64(1)
	for _, n := range o.need {
		o.size = append(o.size, states)
		if states *= n + 1; states > 4000 {
			return nil
		}
	}
	seen := map[string]int{}
	for i, q := range p.Pieces {
		l, r := o.kerfs(q.Left), o.kerfs(q.Right)
		if q.Turn && l > r {
			l, r = r, l
		}
		key := fmt.Sprint(q.Length, l, r, q.Turn && l != r)
		if _, ok := seen[key]; !ok {
			seen[key] = i
		}
		o.class = append(o.class, seen[key])
	}
	for k, s := range p.Stocks {
		s.Supply = 0
		key := fmt.Sprint(s)
		if _, ok := seen[key]; !ok {
			seen[key] = k
		}
		o.stock = append(o.stock, seen[key])
	}
	for k := range p.Stocks {
		if o.left[k] != 0 {
			o.list(k, states)
		}
	}
	return o
}

func (o *oracle) kerfs(cut int) string {
	var v []int64
	for _, s := range o.p.Stocks {
		v = append(v, s.Kerf[cut])
	}
	return fmt.Sprint(v)
}

// list finds all contents of a stock by the length of their best orders.
func (o *oracle) list(k int, states int64) {
	s := &o.p.Stocks[k]
	const none = int64(-1)
	ends := len(s.Kerf)
	length := make([][]int64, states) // by content and last end
	usable := s.Length - s.TrimLeft - s.TrimRight - s.Tail
	for code := range states {
		length[code] = slices.Repeat([]int64{none}, ends)
		counts := o.decode(code)
		for i, n := range counts {
			if n == 0 {
				continue
			}
			q := o.p.Pieces[i]
			for turn := range 2 {
				l, r := q.Left, q.Right
				if turn == 1 {
					if !q.Turn {
						break
					}
					l, r = r, l
				}
				try := func(v int64) {
					if v <= usable && (length[code][r] == none || v < length[code][r]) {
						length[code][r] = v
					}
				}
				before := code - o.size[i]
				if before == 0 {
					try(q.Length)
					continue
				}
				for e, v := range length[before] {
					if v != none {
						try(v + max(s.Kerf[e], s.Kerf[l]) + q.Length)
					}
				}
			}
		}
		c := content{stock: k, counts: counts}
		fits := false
		for e, v := range length[code] {
			if v == none || s.Tail > 0 && v+s.Kerf[e] > usable {
				continue
			}
			fits = true
			if rest := s.Length - s.TrimLeft - v - s.Kerf[e]; s.Keep > 0 && rest >= s.Keep {
				c.offcut = max(c.offcut, rest)
			}
		}
		if fits {
			o.contents = append(o.contents, c)
		}
	}
}

func (o *oracle) decode(code int64) []int64 {
	counts := make([]int64, len(o.need))
	for i, n := range o.need {
		counts[i] = code % (n + 1)
		code /= n + 1
	}
	return counts
}

// solve lists all plans; it reports false when there are too many.
func (o *oracle) solve() bool {
	o.search(0, o.need, o.left, standing{}, nil)
	return o.steps < oracleSteps
}

const oracleSteps = 300_000

func (o *oracle) search(from int, need, left []int64, at standing, used []int) {
	if o.steps++; o.steps >= oracleSteps {
		return
	}
	if !slices.ContainsFunc(need, func(n int64) bool { return n > 0 }) {
		at.patterns = o.patterns(used)
		if !o.found || at.beats(o.best) {
			o.best, o.found = at, true
		}
		return
	}
	for j := from; j < len(o.contents); j++ {
		c := &o.contents[j]
		if left[c.stock] == 0 {
			continue
		}
		next := slices.Clone(need)
		fits := true
		for i, n := range c.counts {
			next[i] -= n
			fits = fits && next[i] >= 0
		}
		if !fits {
			continue
		}
		a := at
		a.cost += o.p.Stocks[c.stock].Price
		a.bars++
		a.offcut = max(a.offcut, c.offcut)
		if o.found && (a.cost > o.best.cost || a.cost == o.best.cost && a.bars > o.best.bars) {
			continue
		}
		rest := left
		if left[c.stock] > 0 {
			rest = slices.Clone(left)
			rest[c.stock]--
		}
		o.search(j, next, rest, a, append(used, j))
	}
}

// patterns counts different set-ups.
func (o *oracle) patterns(used []int) int64 {
	seen := map[string]bool{}
	for _, j := range used {
		c := &o.contents[j]
		by := make([]int64, len(c.counts))
		for i, n := range c.counts {
			by[o.class[i]] += n
		}
		seen[fmt.Sprint(o.stock[c.stock], by)] = true
	}
	return int64(len(seen))
}
