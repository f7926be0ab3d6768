package nest1d

import (
	"cmp"
	"fmt"
	"math"
	"slices"
)

// separator looks for cuts that a solution of the programme violates: all of one
// to three items with multipliers of a half, others of four or five items from each
// item on, adding the item each time that brings most, and halves of any number.
type separator struct {
	*cutting
	used []column    // columns in the solution
	with [][]holding // those that hold an item
	held []int64     // in each column, of the cut being tried
	list []violated
}

type column struct {
	pattern *pattern
	value   float64
}

// holding is how many copies of an item a column has.
type holding struct {
	column int32
	count  int64
}

type violated struct {
	cut rankOne
	key string
	by  float64
}

// multipliers of cuts of four and five items, the first item's first, and what
// they are divided by.
var multipliers = []struct {
	times []int64
	by    int64
}{
	{[]int64{2, 1, 1, 1}, 3}, {[]int64{1, 1, 1, 1, 1}, 2}, {[]int64{1, 1, 1, 1, 1}, 3},
	{[]int64{3, 1, 1, 1, 1}, 4}, {[]int64{2, 2, 1, 1, 1}, 4}, {[]int64{3, 2, 2, 1, 1}, 5},
}

// separate adds the most violated cuts, and reports whether there were any.
func (c *cutting) separate() bool {
	s := c.newSeparator()
	s.triples()
	if c.stopped() {
		return false
	}
	if len(s.list) < cutsAtOnce {
		s.larger()
	}
	s.halves()
	return s.enterBest()
}

func (c *cutting) newSeparator() *separator {
	s := &separator{cutting: c, with: make([][]holding, len(c.need))}
	for j, v := range c.s.primal() {
		if v > epsilon {
			s.used = append(s.used, column{&c.s.columns[j], v})
		}
	}
	for j, u := range s.used {
		for _, e := range u.pattern.items {
			s.with[e.item] = append(s.with[e.item], holding{int32(j), int64(e.count)})
		}
	}
	s.held = make([]int64, len(s.used))
	return s
}

// enterBest adds the most violated cuts of the list, and reports whether any is new.
func (s *separator) enterBest() bool {
	slices.SortStableFunc(s.list, func(a, b violated) int {
		if a.by != b.by {
			return cmp.Compare(b.by, a.by)
		}
		return cmp.Compare(a.key, b.key)
	})
	added := 0
	for _, v := range s.list {
		if added == cutsAtOnce {
			break
		}
		if !s.known[v.key] {
			s.known[v.key] = true
			s.enter(v.cut)
			added++
		}
	}
	return added > 0
}

// enter adds a cut to the programme.
func (c *cutting) enter(k rankOne) {
	var columns []int32
	var values []float64
	for j := range c.s.columns {
		if n := k.share(&c.s.columns[j]); n > 0 {
			columns, values = append(columns, int32(c.s.offset+j)), append(values, float64(n))
		}
	}
	c.rows = append(c.rows, c.s.lp.AddRow(math.Inf(-1), float64(k.right), columns, values))
	c.cuts = append(c.cuts, k)
}

// triples tries all cuts of up to three items of which one shares fractional
// columns with the others.
func (s *separator) triples() {
	near := make([][]int32, len(s.need))
	for i := range near {
		seen := map[int32]bool{}
		for _, h := range s.with[i] {
			u := s.used[h.column]
			if u.value-math.Floor(u.value) < epsilon {
				continue
			}
			for _, e := range u.pattern.items {
				if int(e.item) != i && !seen[e.item] {
					seen[e.item] = true
					near[i] = append(near[i], e.item)
				}
			}
		}
		slices.Sort(near[i])
	}
	tried := map[[3]int32]bool{}
	half := []int64{1, 1, 1}
	for i := range near {
		a := int32(i)
		s.try([]int32{a}, half[:1], 2)
		for _, b := range near[i] {
			if b > a {
				s.try([]int32{a, b}, half[:2], 2)
			}
			for _, d := range near[i] {
				key := [3]int32{a, b, d}
				slices.Sort(key[:])
				if d <= b || tried[key] {
					continue
				}
				tried[key] = true
				s.try(key[:], half, 2)
			}
		}
		s.work.count(int64(len(near[i])) * int64(len(near[i])))
		if s.stopped() {
			return
		}
	}
}

// larger tries cuts of four and five items.
func (s *separator) larger() {
	for i := range s.need {
		if len(s.with[i]) < 2 {
			continue // in one column alone
		}
		for _, m := range multipliers {
			items := []int32{int32(i)}
			s.hold(int32(i), m.times[0])
			for k := 1; k < len(m.times); k++ {
				best, most := int32(-1), 0.0
				for x := range s.need {
					if len(s.with[x]) == 0 || slices.Contains(items, int32(x)) {
						continue
					}
					if g := s.gain(int32(x), m.times[k], m.by); g > most {
						best, most = int32(x), g
					}
				}
				if best < 0 {
					break
				}
				items = append(items, best)
				s.hold(best, m.times[k])
			}
			for k, x := range items {
				s.hold(x, -m.times[k])
			}
			if len(items) == len(m.times) {
				s.try(items, m.times, m.by)
			}
		}
		s.work.count(int64(len(s.need)) * 20)
		if s.stopped() {
			return
		}
	}
}

// hold adds an item to what the columns hold of the cut being tried.
func (s *separator) hold(item int32, times int64) {
	for _, h := range s.with[item] {
		s.held[h.column] += times * h.count
	}
}

// gain is what an item adds to the left side of the cut being tried, and a part of
// what it brings towards the next whole number.
func (s *separator) gain(item int32, times, by int64) float64 {
	g := 0.0
	for _, h := range s.with[item] {
		was := s.held[h.column]
		now := was + times*h.count
		g += float64(s.used[h.column].value * (float64(now/by-was/by) + float64(0.3*float64(now%by-was%by)/float64(by))))
	}
	return g
}

// try keeps a cut that is violated enough. times are those of the items as given.
func (s *separator) try(items []int32, times []int64, by int64) {
	sum := int64(0)
	for k, i := range items {
		sum += times[k] * s.need[i]
	}
	if sum%by == 0 {
		return
	}
	left := 0.0
	for k, i := range items {
		for _, h := range s.with[i] {
			was := s.held[h.column]
			s.held[h.column] += times[k] * h.count
			left += float64(s.used[h.column].value * float64(s.held[h.column]/by-was/by))
		}
	}
	for k, i := range items {
		s.hold(i, -times[k])
	}
	if left-float64(sum/by) <= leastCut {
		return
	}
	order := make([]int, len(items))
	for k := range order {
		order[k] = k
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Compare(items[a], items[b]) })
	c := rankOne{by: by, right: sum / by}
	for _, k := range order {
		c.items, c.times = append(c.items, items[k]), append(c.times, times[k])
	}
	s.list = append(s.list, violated{c, fmt.Sprint(c.items, c.times, by), left - float64(sum/by)})
}
