package nest1d

import (
	"cmp"
	"math"
	"slices"
)

// Where slants nest, the order with the least joints is sought as a walk. Every
// end is a stop: its cut, and the edge that the tip lies on; for a left end the
// opposite edge, so that ends which share a cut are one stop. A piece is an arc
// from the stop of its left end to that of its right end, one for each way it may
// lie, and the joint of two stops p and q satisfies
//
//	2·joint(p, q) = least(p) + least(q) + |kerf(p) − kerf(q)| + |±slant(p) ∓ slant(q)|
//
// with least = kerf − slant and the sign of a slant given by its edge: what the
// ends cost at least, and the distance of the stops in the plane, the sum of two
// differences. So an order is a walk past all arcs, and the least is a rural
// postman's tour (Orloff, Networks 4 (1974) 35–64) with the bar's ends as one more
// stop, for they are as far from any two stops as these differ at most.
//
// In a tour of arcs that may all be walked in either direction, two copies of one
// can be left out if a third remains: its stops stay as even as they were, and
// joined. Hence only few copies of equal pieces matter then, and what remains is settled by
// dynamic programming over the counts left and the last stop (Held and Karp 1962).
type chain struct {
	stops   []stop
	joint   [][]int64 // right end, left end
	tail    bool
	classes []class
	known   map[string]int64 // least costs
	good    map[string]int64 // costs of good orders, where no better is known
	most    int              // states of one search
	steps   int64            // looked at so far
}

// stop is a kind of joint.
type stop struct {
	kerf, slant int64
	plane       int
	up          bool
}

func (p stop) least() int64 { return p.kerf - p.slant }

// class is pieces whose ends the saw cannot tell apart.
type class struct {
	ways []arcWay
	// ends is what the two ends cost at least, each joint counted from both its ends.
	ends int64
	// most copies matter where every arc may be walked in either direction.
	most   int
	twoWay bool
	loop   bool // every way ends where it begins
}

// arcWay is one way in which a piece may lie.
type arcWay struct {
	from, to       int
	turned, rolled bool
}

// mostStates of the search for the best order of one content.
const mostStates = 60_000

// newChain makes classes of the pieces listed; class of the i-th of them is at i.
func newChain(s *Stock, pieces []Piece, listed []int) (c *chain, of []int) {
	c = &chain{tail: s.Tail > 0, known: map[string]int64{}, good: map[string]int64{}, most: mostStates}
	at := func(e tip, left bool) int {
		p := stop{kerf: s.Kerf[e.cut], slant: s.slant(e.cut)}
		if p.slant > 0 {
			p.plane, p.up = s.plane(e.cut), e.up != left
		}
		if i := slices.Index(c.stops, p); i >= 0 {
			return i
		}
		c.stops = append(c.stops, p)
		return len(c.stops) - 1
	}
	for _, i := range listed {
		q := &pieces[i]
		var k class
		for _, way := range q.lies() {
			l, r := q.ends(way[0], way[1])
			w := arcWay{at(l, true), at(r, false), way[0], way[1]}
			if !slices.ContainsFunc(k.ways, w.same) {
				k.ways = append(k.ways, w)
			}
		}
		j := slices.IndexFunc(c.classes, func(o class) bool {
			return len(o.ways) == len(k.ways) && !slices.ContainsFunc(k.ways, func(w arcWay) bool { return !slices.ContainsFunc(o.ways, w.same) })
		})
		if j < 0 {
			j = len(c.classes)
			k.reduce(c)
			c.classes = append(c.classes, k)
		}
		of = append(of, j)
	}
	for _, p := range c.stops {
		row := make([]int64, len(c.stops))
		for i, q := range c.stops {
			row[i] = max(p.kerf, q.kerf)
			if p.plane == q.plane && p.up == q.up {
				row[i] -= min(p.slant, q.slant)
			}
		}
		c.joint = append(c.joint, row)
	}
	return c, of
}

func (w arcWay) same(o arcWay) bool { return w.from == o.from && w.to == o.to }

// reduce finds how many copies of the class matter.
func (k *class) reduce(c *chain) {
	k.ends = c.stops[k.ways[0].from].least() + c.stops[k.ways[0].to].least()
	images := map[[2]int]bool{}
	k.loop, k.twoWay = true, true
	for _, w := range k.ways {
		images[[2]int{min(w.from, w.to), max(w.from, w.to)}] = true
		k.loop = k.loop && w.from == w.to
		k.twoWay = k.twoWay && slices.ContainsFunc(k.ways, arcWay{from: w.to, to: w.from}.same)
	}
	k.most = 2 * len(images)
}

// fewer is how many copies of each class the search regards. What is left out is
// an even number, or loops, of which one stands for all.
func (c *chain) fewer(counts []int) []int {
	few := slices.Clone(counts)
	twoWay := true
	for i, n := range counts {
		twoWay = twoWay && (n == 0 || c.classes[i].twoWay)
	}
	for i, n := range counts {
		k := &c.classes[i]
		switch {
		case k.loop:
			few[i] = min(n, 1)
		case twoWay && n > k.most:
			few[i] = k.most - (n-k.most)%2
		}
	}
	return few
}

// cost is what the joints of so many of each class take in the best order, with a
// tail the last cut too, and whether that is the least. Where the counts are too
// many for the search, they are put in a good order.
func (c *chain) cost(counts []int) (cost int64, least bool) { return c.within(counts, -limit) }

// within is cost, but for an order good enough that it takes no more than room: it
// need not be the best.
func (c *chain) within(counts []int, room int64) (cost int64, least bool) {
	few := c.fewer(counts)
	key := make([]byte, 0, 3*len(counts))
	var cut int64 // twice what the copies left out cost
	for i, n := range counts {
		cut += int64(n-few[i]) * c.classes[i].ends
		key = append(key, byte(few[i]), byte(few[i]>>8), byte(few[i]>>16))
	}
	cut /= 2 // an even number of pieces, or loops, whose ends are alike
	if v, met := c.known[string(key)]; met {
		return v + cut, true
	}
	good, met := c.good[string(key)]
	if !met {
		_, good = c.greedy(few)
		c.remember(c.good, key, good)
	}
	if good+cut <= room {
		return good + cut, false
	}
	t := c.search(few)
	if t == nil {
		return good + cut, false
	}
	v := t.best()
	c.remember(c.known, key, v)
	return v + cut, true
}

func (c *chain) remember(all map[string]int64, key []byte, v int64) {
	if len(all) < mostKnown {
		all[string(key)] = v
	}
}

// mostKnown answers are remembered.
const mostKnown = 200_000

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

// chained is sequence for a bar in which slants nest. Of each class the longest
// pieces lie first.
func chained(s *Stock, pieces []Piece, content []int) []Place {
	listed := slices.Clone(content)
	slices.SortFunc(listed, byLength(pieces))
	distinct := slices.Compact(slices.Clone(listed))
	// Classes in an order of their own, so that equal contents lie alike
	// whichever of equal pieces they name.
	slices.SortFunc(distinct, func(a, b int) int {
		return cmp.Or(slices.Compare(signature(s, &pieces[a]), signature(s, &pieces[b])), cmp.Compare(a, b))
	})
	c, of := newChain(s, pieces, distinct)
	class := map[int]int{}
	for n, i := range distinct {
		class[i] = of[n]
	}
	counts, queue := make([]int, len(c.classes)), make([][]int, len(c.classes))
	for _, i := range listed {
		counts[class[i]]++
		queue[class[i]] = append(queue[class[i]], i)
	}
	var places []Place
	for _, l := range c.order(counts) {
		i := queue[l.class][0]
		queue[l.class] = queue[l.class][1:]
		turned, rolled := way(s, &pieces[i], c.stops, l.way)
		places = append(places, Place{Piece: i, Turned: turned, Rolled: rolled})
	}
	return places
}

// way is how a piece lies as an arc of its class does: pieces of one class may be
// listed turned or rolled to each other.
func way(s *Stock, p *Piece, stops []stop, w arcWay) (turned, rolled bool) {
	for _, lie := range p.lies() {
		l, r := p.ends(lie[0], lie[1])
		if stops[w.from].is(s, l, true) && stops[w.to].is(s, r, false) {
			return lie[0], lie[1]
		}
	}
	panic("nest1d: a piece lies in no way that its class has")
}

func (p stop) is(s *Stock, e tip, left bool) bool {
	if s.Kerf[e.cut] != p.kerf || s.slant(e.cut) != p.slant {
		return false
	}
	return p.slant == 0 || s.plane(e.cut) == p.plane && (e.up != left) == p.up
}

// signature is the ways in which a piece may lie, as numbers in order: the same for
// pieces that the saw cannot tell apart but for their length.
func signature(s *Stock, p *Piece) []int64 {
	var ways [][]int64
	for _, lie := range p.lies() {
		l, r := p.ends(lie[0], lie[1])
		var w []int64
		for _, e := range []tip{l, r} {
			w = append(w, s.Kerf[e.cut], s.slant(e.cut), 0, 0)
			if s.slant(e.cut) > 0 {
				w[len(w)-2] = int64(s.plane(e.cut))
				if e.up {
					w[len(w)-1] = 1
				}
			}
		}
		ways = append(ways, w)
	}
	slices.SortFunc(ways, slices.Compare)
	return slices.Concat(slices.CompactFunc(ways, slices.Equal)...)
}

// needChained is need for a bar in which slants nest.
func needChained(s *Stock, pieces []Piece, content []int) (length int64, least bool) {
	c, of := newChain(s, pieces, content)
	counts := make([]int, len(c.classes))
	for n, i := range content {
		length += pieces[i].Length
		counts[of[n]]++
	}
	cost, least := c.cost(counts)
	return length + cost, least
}
