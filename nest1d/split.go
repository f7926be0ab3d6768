package nest1d

import (
	"cmp"
	"slices"
)

// What a parted bar can hold is a knapsack of two levels: contents of single
// parts, and how they share the bar. With values v of the pieces,
//
//	maximise   Σⱼ v(contentⱼ)
//	subject to weight(contentⱼ) ≤ roomⱼ           for each part j
//	           Σⱼ (weight(contentⱼ) − gain) ≤ all  over the parts with pieces
//	           Σⱼ countᵢⱼ ≤ demandᵢ                 for each piece i
//
// Parts are knapsacks of their own when the last two lines are left out: the sum
// of their best values is a bound, and it is the answer when their contents
// happen to agree with both. Where the parts together take too much of the bar,
// lists of the undominated contents of each are combined. Where they take more of
// a piece than is wanted, one of them must take less: one branch for each part.

// sections are the parts of a bar as knapsacks, in the weights of bar.relax for a
// whole bar with their own high and low kerfs.
type sections struct {
	weight []int64 // per item
	room   []int64 // per part
	all    int64
	gain   int64
}

// mostSections is the number of parts up to which they are looked at one by one.
const mostSections = 12

// sectionsOf a parted bar; nil when it has too many or is not parted.
func (m *model) sectionsOf(s *Stock) *sections {
	if !s.parted() || s.Parts > mostSections || len(m.items) == 0 {
		return nil
	}
	p := &sections{all: 2 * (s.partsLength() - s.TrimLeft - s.TrimRight)}
	var low, high int64
	for i, it := range m.items {
		q := &m.problem.Pieces[it.piece]
		l, r := s.Kerf[q.Left], s.Kerf[q.Right]
		if i == 0 {
			low = l
		}
		low, high = min(low, l, r), max(high, l, r)
		w := limit // fits no part
		if s.holds(m.problem.Pieces, it.piece) {
			w = 2*q.Length + l + r
		}
		p.weight = append(p.weight, w)
	}
	gain := 2 * high
	if s.Tail > 0 {
		gain = high - low
	}
	p.gain = gain - 2*s.Tail
	for j := range s.Parts {
		t := s.part(j, min(s.Part, s.Length))
		p.room = append(p.room, max(0, 2*t.Capacity()+gain))
	}
	return p
}

// cost of a part with pieces of the given weight, in the bar as a whole.
func (p *sections) cost(weight int64) int64 {
	if weight == 0 {
		return 0
	}
	return max(0, weight-p.gain)
}

// splitter solves the knapsack of one bar for one set of values.
type splitter struct {
	*sections
	value  []int64
	need   []int64
	states int // for the lists of one part
	most   int // nodes of the branching
	nodes  int64
	floor  int64 // what a content must exceed
	// found are contents worth more than the first floor, best last.
	found [][]int64
}

// Caps of one knapsack of two levels.
const (
	splitNodes  = 1_000     // branches over pieces that several parts want
	quickSplits = 12        // when a quick look will do
	splitWork   = 3_000_000 // nodes of all searches in it
	sharePairs  = 200_000   // contents of two parts combined at once
	fewShares   = 10_000    // states of one part when a quick look will do
)

// content of one part.
type section struct {
	counts []int64 // per item
	weight int64
	value  int64
}

// solve returns an upper bound on the value of a content, and whether the best
// of them, or that none exceeds the floor, is known: then upper is at most the
// floor or the value of the last one found.
func (s *splitter) solve() (upper int64, exact bool) {
	first := make([][]int64, len(s.room))
	for j := range first {
		first[j] = s.need
	}
	open := [][][]int64{first}
	exact = true
	for n := 0; len(open) > 0; n++ {
		limits := open[len(open)-1]
		open = open[:len(open)-1]
		top, parts, sure := s.relaxed(limits)
		if top <= s.floor {
			if n == 0 {
				return top, true
			}
			continue
		}
		if parts == nil || n >= s.most || s.nodes > splitWork {
			upper, exact = max(upper, top), false
			continue
		}
		i := s.offer(parts)
		if i < 0 {
			if !sure {
				upper, exact = max(upper, top), false
			}
			continue
		}
		all := s.thresholds(parts, i)
		for j, most := range all {
			// Of parts that are alike the one with the highest stands for all.
			if h := s.like(limits, j); most < 0 || h >= 0 && all[h] >= most {
				continue
			}
			less := slices.Clone(limits)
			less[j] = slices.Clone(limits[j])
			less[j][i] = most
			open = append(open, less)
		}
	}
	return max(upper, s.floor), exact
}

// offer takes what the parts hold, less what is too many, as a content, and
// returns an item of which they hold too many, or −1.
func (s *splitter) offer(parts []section) int {
	counts, over := make([]int64, len(s.need)), -1
	var value, most int64
	for i := range counts {
		for j := range parts {
			counts[i] += parts[j].counts[i]
		}
		if extra := counts[i] - s.need[i]; extra > 0 {
			counts[i] = s.need[i]
			if over < 0 || extra*s.value[i] > most {
				over, most = i, extra*s.value[i]
			}
		}
		value += counts[i] * s.value[i]
	}
	if value > s.floor {
		s.floor = value
		s.found = append(s.found, counts)
	}
	return over
}

// relaxed solves the knapsack with limits on the copies in each part in place of
// the demands. top is an upper bound; parts are the contents that reach it if
// sure, nil when nothing above the floor was found.
func (s *splitter) relaxed(limits [][]int64) (top int64, parts []section, sure bool) {
	bars := make([]*knapsack, len(s.room))
	parts = make([]section, len(s.room))
	sure = true
	var cost int64
	for j := range parts {
		if h := s.like(limits, j); h >= 0 {
			bars[j], parts[j] = bars[h], parts[h]
		} else {
			b := &bar{weight: s.weight, capacity: s.room[j]}
			bars[j] = newKnapsack(b, s.value, limits[j])
			r := bars[j].search(0, quickNodes)
			s.nodes += r.nodes
			ceiling := r.top
			if r.aborted {
				var l *branch
				l, ceiling = bars[j].byLists(r.top, s.states)
				s.nodes += l.nodes
				sure = sure && !l.aborted
				if l.found {
					r = l
				}
			}
			parts[j] = s.section(r)
			parts[j].value = ceiling
		}
		top += parts[j].value
		cost += s.cost(parts[j].weight)
	}
	if top <= s.floor || cost <= s.all {
		return top, parts, sure
	}
	if !sure {
		return top, nil, false
	}
	return s.combine(bars, parts, top)
}

// like is an earlier part with the same knapsack, or −1.
func (s *splitter) like(limits [][]int64, j int) int {
	for h := range j {
		if s.room[h] == s.room[j] && &limits[h][0] == &limits[j][0] {
			return h
		}
	}
	return -1
}

// thresholds are copies of item i, one number t for each part, such that t + 1 of
// it in each part would be one too many: some part holds at most its t. Each is
// less than the part holds now. They are as even as that allows.
func (s *splitter) thresholds(parts []section, i int) []int64 {
	most := make([]int64, len(parts))
	spare := -s.need[i] - 1
	for j := range parts {
		most[j] = parts[j].counts[i] - 1
		spare += most[j] + 1
	}
	for spare > 0 {
		high := 0
		for j := range most {
			if most[j] > most[high] {
				high = j
			}
		}
		step := max(1, spare/int64(len(most)))
		most[high] -= step
		spare -= step
	}
	return most
}

func (s *splitter) section(b *branch) section {
	p := section{counts: b.contents(len(s.need))}
	for i, c := range p.counts {
		p.weight += c * s.weight[i]
		p.value += c * s.value[i]
	}
	return p
}

// share is a content of the parts so far that no cheaper one matches.
type share struct {
	cost, value int64
	before      int32 // in the list of the part before
	at          int32 // state of this part
}

// combine finds the best contents that share the bar, from lists of those
// contents of each part that can still lead above the floor.
func (s *splitter) combine(bars []*knapsack, parts []section, top int64) (int64, []section, bool) {
	rest := top // of the parts from here on at their best
	fronts := make([]*lists, len(bars))
	shares := make([][]share, len(bars)+1)
	shares[0] = []share{{before: -1, at: -1}}
	for j, k := range bars {
		if h := slices.Index(bars[:j], k); h >= 0 {
			fronts[j] = fronts[h]
		} else {
			f, complete := k.front(s.floor-(top-parts[j].value), s.states)
			if s.nodes += f.scanned / 4; !complete {
				return top, nil, false
			}
			fronts[j] = f
		}
		rest -= parts[j].value
		if j == len(bars)-1 {
			shares[j+1] = s.fullest(shares[j], fronts[j].now)
			break
		}
		pairs := len(fronts[j].now) * len(shares[j])
		if s.nodes += int64(pairs / 2); pairs > sharePairs {
			return top, nil, false
		}
		shares[j+1] = s.extend(shares[j], fronts[j].now, rest)
	}
	last := shares[len(bars)]
	if len(last) == 0 {
		return s.floor, nil, true
	}
	out := make([]section, len(bars))
	for j, at := len(bars)-1, int32(0); j >= 0; j-- {
		x := shares[j+1][at]
		out[j] = s.section(fronts[j].content(fronts[j].now[x.at].node))
		at = x.before
	}
	return last[0].value, out, true
}

// extend lists the shares of one part more that can exceed the floor with rest.
func (s *splitter) extend(shares []share, states []state, rest int64) []share {
	var next []share
	for a, x := range shares {
		for b, y := range states {
			cost, value := x.cost+s.cost(y.weight), x.value+y.value
			if cost > s.all {
				break
			}
			if value+rest > s.floor {
				next = append(next, share{cost, value, int32(a), int32(b)})
			}
		}
	}
	return undominated(next)
}

// fullest is the share worth most with the last part, if it exceeds the floor. Both
// lists rise in cost and value, so what a share leaves room for only falls.
func (s *splitter) fullest(shares []share, states []state) []share {
	best, b := share{value: s.floor, at: -1}, len(states)-1
	for a, x := range shares {
		for b >= 0 && x.cost+s.cost(states[b].weight) > s.all {
			b--
		}
		if b < 0 {
			break
		}
		if v := x.value + states[b].value; v > best.value {
			best = share{x.cost + s.cost(states[b].weight), v, int32(a), int32(b)}
		}
	}
	if best.at < 0 {
		return nil
	}
	return []share{best}
}

// undominated sorts by cost and keeps what is worth more than all that costs less.
func undominated(list []share) []share {
	slices.SortFunc(list, func(a, b share) int {
		return cmp.Or(cmp.Compare(a.cost, b.cost), cmp.Compare(b.value, a.value), cmp.Compare(a.before, b.before), cmp.Compare(a.at, b.at))
	})
	out := list[:0]
	for _, x := range list {
		if n := len(out); n == 0 || x.value > out[n-1].value {
			out = append(out, x)
		}
	}
	return out
}
