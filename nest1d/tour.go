package nest1d

import (
	"cmp"
	"slices"
)

// Between two pieces the saw takes max(a, b), the larger kerf of the ends that
// meet, and max(a, b) = (a + b + |a−b|) / 2. The sum of all ends is given, so
// the best order is the one with the least Σ|a−b|: the travelling salesman with
// one state variable of Gilmore and Gomory (Operations Research 12 (1964)
// 655–679), here as a walk on a line. The kerf values are the stops, every piece
// is an arc from its left to its right kerf, and moves between neighbouring
// stops are added until one closed walk passes every arc:
//
//   - as many moves over each gap as the arcs over it are out of balance,
//   - and a move there and back over the cheapest gaps that join what is apart.
//
// One arc stands for the two ends of the bar. The cut before the first piece
// belongs to the trim and costs nothing, which max(M, a) = M expresses for M the
// largest kerf; the cut after the last counts with a tail (max(0, a) = a) and
// does not without (M again).
//
// A piece with unlike ends that may be turned is an edge that takes either
// direction. All ways are tried when they are few, counted by pair of stops; else
// one pair is directed after the other, which is still exact for a single pair.
type tour struct {
	stops  []int64 // distinct kerfs, ascending
	arcs   []arc   // arcs[0] is the bar itself
	places []Place
	moves  []gap
	groups []group
	order  []int   // gaps, the shortest first
	net    []int   // at each stop, fixed arcs that leave less those that arrive
	part   []int32 // the least stop that arcs join each stop to
}

type arc struct {
	from, to int32
	free     bool // may be turned
	turned   bool
}

// gap lies between two neighbouring stops.
type gap struct {
	up, down int // moves added in either direction
}

// newTour returns nil when all ends have one kerf and every order is as good.
func newTour(s *Stock, pieces []Piece, places []Place) *tour {
	if len(places) == 0 {
		return nil
	}
	var low, high = s.Kerf[pieces[places[0].Piece].Left], int64(0)
	for _, p := range places {
		l, r := s.Kerf[pieces[p.Piece].Left], s.Kerf[pieces[p.Piece].Right]
		low, high = min(low, l, r), max(high, l, r)
	}
	if low == high {
		return nil
	}
	t := &tour{places: places}
	first, last := high, high
	if s.Tail > 0 {
		last = 0
	}
	t.stops = append(t.stops, first, last)
	for _, p := range places {
		t.stops = append(t.stops, s.Kerf[pieces[p.Piece].Left], s.Kerf[pieces[p.Piece].Right])
	}
	slices.Sort(t.stops)
	t.stops = slices.Compact(t.stops)
	stop := func(k int64) int32 {
		i, _ := slices.BinarySearch(t.stops, k)
		return int32(i)
	}
	t.arcs = append(t.arcs, arc{from: stop(last), to: stop(first)})
	for _, p := range places {
		q := &pieces[p.Piece]
		a := arc{from: stop(s.Kerf[q.Left]), to: stop(s.Kerf[q.Right])}
		a.free = q.turns() && a.from != a.to
		t.arcs = append(t.arcs, a)
	}
	t.moves = make([]gap, len(t.stops)-1)
	return t
}

// group is the free arcs between one pair of stops. Only how many point up matters.
type group struct {
	lo, hi int32
	arcs   []int
}

// manyWays is the number of ways to direct the free pieces up to which all are tried.
const manyWays = 4096

// orient turns free pieces so that the walk is short, and leaves the moves of
// that walk in t.moves. It returns their length and whether it is the least.
func (t *tour) orient() (length int64, least bool) {
	t.prepare()
	ups := make([]int, len(t.groups))
	for i := range t.groups {
		ups[i] = t.countUp(&t.groups[i])
	}
	if t.ways() <= manyWays {
		t.tryAll(ups)
		least = true
	} else {
		t.descend(ups)
		least = len(t.groups) == 1
	}
	for i := range t.groups {
		t.direct(&t.groups[i], ups[i])
	}
	return t.balance(ups), least
}

// ways to direct the groups, or more than manyWays.
func (t *tour) ways() int {
	ways := 1
	for _, g := range t.groups {
		if ways *= len(g.arcs) + 1; ways > manyWays {
			break
		}
	}
	return ways
}

// tryAll sets ups to the best of all ways.
func (t *tour) tryAll(ups []int) {
	now, length := make([]int, len(ups)), limit
	for way := range t.ways() {
		for i, g := range t.groups {
			now[i] = way % (len(g.arcs) + 1)
			way /= len(g.arcs) + 1
		}
		if c := t.balance(now); c < length {
			length = c
			copy(ups, now)
		}
	}
}

// descend directs one group after the other, as long as that helps.
func (t *tour) descend(ups []int) {
	best := t.balance(ups)
	for improved := true; improved; {
		improved = false
		for i := range t.groups {
			up := ups[i]
			for _, n := range t.turns(i, ups) {
				ups[i] = n
				if c := t.balance(ups); c < best {
					best, up, improved = c, n, true
				}
			}
			ups[i] = up
		}
	}
}

// turns lists numbers of arcs of a group that may point up in a best walk. The
// length is linear in that number but where a gap under the group comes into
// balance; so the best lies there, next to it, or at an end.
func (t *tour) turns(i int, ups []int) []int {
	g := &t.groups[i]
	all := len(g.arcs)
	was := ups[i]
	ups[i] = 0
	net := t.nets(ups)
	ups[i] = was
	turns := []int{0, all}
	sum := 0
	for j := int32(0); j < g.hi; j++ {
		if sum += net[j]; j >= g.lo {
			for n := -sum/2 - 1; n <= -sum/2+2; n++ {
				turns = append(turns, min(max(n, 0), all))
			}
		}
	}
	slices.Sort(turns)
	return slices.Compact(turns)
}

// prepare groups the free arcs and adds up what no direction changes.
func (t *tour) prepare() {
	t.net, t.part = make([]int, len(t.stops)), make([]int32, len(t.stops))
	for i := range t.part {
		t.part[i] = int32(i)
	}
	var free []int
	for i, a := range t.arcs {
		join(t.part, a.from, a.to)
		if a.free {
			free = append(free, i)
			continue
		}
		t.net[a.from]++
		t.net[a.to]--
	}
	pair := func(i int) (lo, hi int32) {
		a := t.arcs[i]
		return min(a.from, a.to), max(a.from, a.to)
	}
	slices.SortStableFunc(free, func(x, y int) int {
		xl, xh := pair(x)
		yl, yh := pair(y)
		if xl != yl {
			return int(xl - yl)
		}
		return int(xh - yh)
	})
	t.groups = nil
	for _, f := range free {
		lo, hi := pair(f)
		if n := len(t.groups); n == 0 || t.groups[n-1].lo != lo || t.groups[n-1].hi != hi {
			t.groups = append(t.groups, group{lo: lo, hi: hi})
		}
		g := &t.groups[len(t.groups)-1]
		g.arcs = append(g.arcs, f)
	}
	t.order = make([]int, len(t.moves))
	for j := range t.order {
		t.order[j] = j
	}
	slices.SortStableFunc(t.order, func(a, b int) int {
		return cmp.Compare(t.stops[a+1]-t.stops[a], t.stops[b+1]-t.stops[b])
	})
}

func (t *tour) countUp(g *group) int {
	n := 0
	for _, i := range g.arcs {
		if t.arcs[i].from < t.arcs[i].to {
			n++
		}
	}
	return n
}

// direct points the first arcs of a group upwards and the others down.
func (t *tour) direct(g *group, up int) {
	for n, i := range g.arcs {
		a := &t.arcs[i]
		if (a.from < a.to) != (n < up) {
			a.from, a.to = a.to, a.from
			a.turned = !a.turned
		}
	}
}

// nets is, at each stop, the arcs that leave less those that arrive.
func (t *tour) nets(ups []int) []int {
	net := slices.Clone(t.net)
	for i, g := range t.groups {
		d := 2*ups[i] - len(g.arcs)
		net[g.lo] += d
		net[g.hi] -= d
	}
	return net
}

// find and join are union-find over stops; the least stop stands for its part.
func find(part []int32, i int32) int32 {
	for part[i] != i {
		i = part[i]
	}
	return i
}

func join(part []int32, a, b int32) bool {
	a, b = find(part, a), find(part, b)
	part[max(a, b)] = min(a, b)
	return a != b
}

// balance sets the fewest moves that make one closed walk of the arcs, with so
// many of each group pointing up, and returns their length.
func (t *tour) balance(ups []int) int64 {
	clear(t.moves)
	part, net := slices.Clone(t.part), t.nets(ups)
	var length int64
	sum := 0
	for j := range t.moves {
		sum += net[j]
		switch {
		case sum == 0:
			continue
		case sum > 0:
			t.moves[j].down = sum
		default:
			t.moves[j].up = -sum
		}
		length += int64(max(sum, -sum)) * (t.stops[j+1] - t.stops[j])
		join(part, int32(j), int32(j+1))
	}
	for _, j := range t.order {
		if join(part, int32(j), int32(j+1)) {
			t.moves[j].up++
			t.moves[j].down++
			length += 2 * (t.stops[j+1] - t.stops[j])
		}
	}
	return length
}

// walk returns the places in the order of a closed walk (Hierholzer 1873) that
// starts behind the bar's own arc.
func (t *tour) walk() []Place {
	const move = -1
	type step struct {
		to  int32
		arc int32
	}
	out := make([][]step, len(t.stops))
	// Steps are taken from the end of each list: pieces, the longest first,
	// before moves.
	for j, m := range t.moves {
		for range m.up {
			out[j] = append(out[j], step{int32(j + 1), move})
		}
		for range m.down {
			out[j+1] = append(out[j+1], step{int32(j), move})
		}
	}
	for i := len(t.arcs) - 1; i > 0; i-- {
		a := t.arcs[i]
		out[a.from] = append(out[a.from], step{a.to, int32(i)})
	}
	// The bar's own arc is left out, so the walk is open: from its end to its start.
	stack := []step{{t.arcs[0].to, move}}
	var order []int32
	for len(stack) > 0 {
		top := stack[len(stack)-1]
		if list := out[top.to]; len(list) > 0 {
			stack = append(stack, list[len(list)-1])
			out[top.to] = list[:len(list)-1]
			continue
		}
		stack = stack[:len(stack)-1]
		if top.arc > 0 {
			order = append(order, top.arc)
		}
	}
	slices.Reverse(order)
	places := make([]Place, len(order))
	for i, a := range order {
		places[i] = t.places[a-1]
		places[i].Turned = t.arcs[a].turned
	}
	return places
}
