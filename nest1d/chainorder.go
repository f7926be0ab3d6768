package nest1d

import (
	"math"
	"slices"
)

// search holds the table of one dynamic programme.
type search struct {
	*chain
	left  []int
	step  []int   // how far apart counts of a class are in the table
	table []int64 // by counts left and last stop
}

const unset = math.MinInt64

func (c *chain) search(counts []int) *search {
	t := &search{chain: c, left: slices.Clone(counts), step: make([]int, len(counts))}
	states := len(c.stops)
	for i, n := range counts {
		t.step[i] = states
		if states *= n + 1; states > c.most {
			return nil
		}
	}
	t.table = make([]int64, states)
	for i := range t.table {
		t.table[i] = unset
	}
	return t
}

// after is the least that follows a right end at a stop, with the counts left; at
// is where those lie in the table.
func (t *search) after(last, at int) int64 {
	if at == 0 {
		if t.tail {
			return t.stops[last].kerf
		}
		return 0
	}
	if v := t.table[at+last]; v != unset {
		return v
	}
	best := int64(math.MaxInt64)
	for i := range t.left {
		if t.left[i] == 0 {
			continue
		}
		t.left[i]--
		t.steps += int64(len(t.classes[i].ways))
		for _, w := range t.classes[i].ways {
			best = min(best, t.joint[last][w.from]+t.after(w.to, at-t.step[i]))
		}
		t.left[i]++
	}
	t.table[at+last] = best
	return best
}

// start is where the counts lie in the table.
func (t *search) start() (at int) {
	for i, n := range t.left {
		at += n * t.step[i]
	}
	return at
}

func (t *search) best() int64 {
	at := t.start()
	if at == 0 {
		return 0
	}
	best := int64(math.MaxInt64)
	for i := range t.left {
		if t.left[i] == 0 {
			continue
		}
		t.left[i]--
		for _, w := range t.classes[i].ways {
			best = min(best, t.after(w.to, at-t.step[i]))
		}
		t.left[i]++
	}
	return best
}

// link is one piece of a chain: its class and how it lies.
type link struct {
	class int
	way   arcWay
}

// order is a best order of the counts, by the table.
func (t *search) order() []link {
	var list []link
	want, last := t.best(), -1
	for at := t.start(); at > 0; {
		l, rest := t.next(last, at, want)
		list = append(list, l)
		t.left[l.class]--
		at -= t.step[l.class]
		want, last = rest, l.way.to
	}
	return list
}

// next finds the first link with which the rest costs what is wanted.
func (t *search) next(last, at int, want int64) (l link, rest int64) {
	for i := range t.left {
		if t.left[i] == 0 {
			continue
		}
		for _, w := range t.classes[i].ways {
			joint := int64(0)
			if last >= 0 {
				joint = t.joint[last][w.from]
			}
			t.left[i]--
			after := t.after(w.to, at-t.step[i])
			t.left[i]++
			if joint+after == want {
				return link{i, w}, after
			}
		}
	}
	panic("nest1d: no link costs what the table says")
}

// greedy goes on with the link of the shortest joint, of equals the class of
// which most are left; from every start, and the best is kept.
func (c *chain) greedy(counts []int) (best []link, cost int64) {
	cost = math.MaxInt64
	for i := range counts {
		if counts[i] == 0 {
			continue
		}
		for _, w := range c.classes[i].ways {
			list, sum := c.greedyFrom(counts, link{i, w})
			if sum < cost {
				best, cost = list, sum
			}
		}
	}
	return best, cost
}

func (c *chain) greedyFrom(counts []int, first link) (list []link, sum int64) {
	left := slices.Clone(counts)
	for l := first; ; {
		list = append(list, l)
		left[l.class]--
		last, found, least := l.way.to, false, int64(0)
		for i, n := range left {
			if n == 0 {
				continue
			}
			c.steps += int64(len(c.classes[i].ways))
			for _, w := range c.classes[i].ways {
				if j := c.joint[last][w.from]; !found || j < least || j == least && n > left[l.class] {
					l, found, least = link{i, w}, true, j
				}
			}
		}
		if !found {
			break
		}
		sum += least
	}
	if c.tail {
		sum += c.stops[list[len(list)-1].way.to].kerf
	}
	return list, sum
}

// order lists the counts in a best order, or a good one where they are too many.
func (c *chain) order(counts []int) []link {
	few := c.fewer(counts)
	var short []link
	if t := c.search(few); t != nil {
		short = t.order()
	} else {
		short, _ = c.greedy(few)
	}
	// What was left out goes there and back, where its like lies.
	var list []link
	more := make([]int, len(counts))
	for i := range counts {
		more[i] = counts[i] - few[i]
	}
	for _, l := range short {
		list = append(list, l)
		back := l
		k := &c.classes[l.class]
		if j := slices.IndexFunc(k.ways, arcWay{from: l.way.to, to: l.way.from}.same); j >= 0 {
			back.way = k.ways[j]
		}
		for more[l.class] > 0 {
			list = append(list, back)
			back, l = l, back
			more[l.class]--
		}
	}
	return list
}
