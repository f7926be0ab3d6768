package nest1d

import "slices"

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
		a.free = q.Turn && a.from != a.to
		t.arcs = append(t.arcs, a)
	}
	t.moves = make([]gap, len(t.stops)-1)
	return t
}

// manyWays is the number of ways to direct the free pieces up to which all are tried.
const manyWays = 4096

// orient turns free pieces so that the walk is short, and leaves the moves of
// that walk in t.moves. It returns their length and whether it is the least.
func (t *tour) orient() (length int64, least bool) {
	groups := t.freePairs()
	ways := 1
	for _, g := range groups {
		if ways *= len(g) + 1; ways > manyWays {
			return t.descend(groups), len(groups) <= 1
		}
	}
	now, best := make([]int, len(groups)), make([]int, len(groups))
	length = limit
	for w := range ways {
		for i, g := range groups {
			now[i] = w % (len(g) + 1)
			w /= len(g) + 1
			t.direct(g, now[i])
		}
		if c := t.balance(); c < length {
			length = c
			copy(best, now)
		}
	}
	for i, g := range groups {
		t.direct(g, best[i])
	}
	return t.balance(), true
}

// descend directs one pair of stops after the other, as long as that helps.
func (t *tour) descend(groups [][]int) int64 {
	best := t.balance()
	for improved := true; improved; {
		improved = false
		for _, g := range groups {
			up := t.countUp(g)
			for n := range len(g) + 1 {
				t.direct(g, n)
				if c := t.balance(); c < best {
					best, up, improved = c, n, true
				}
			}
			t.direct(g, up)
		}
	}
	return t.balance()
}

// freePairs groups the free arcs by the pair of stops they join.
func (t *tour) freePairs() [][]int {
	var free []int
	for i, a := range t.arcs {
		if a.free {
			free = append(free, i)
		}
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
	var groups [][]int
	for i, f := range free {
		if i > 0 {
			l, h := pair(f)
			if pl, ph := pair(free[i-1]); l == pl && h == ph {
				groups[len(groups)-1] = append(groups[len(groups)-1], f)
				continue
			}
		}
		groups = append(groups, []int{f})
	}
	return groups
}

func (t *tour) countUp(group []int) int {
	n := 0
	for _, i := range group {
		if t.arcs[i].from < t.arcs[i].to {
			n++
		}
	}
	return n
}

// direct points the first arcs of a group upwards and the others down.
func (t *tour) direct(group []int, up int) {
	for n, i := range group {
		a := &t.arcs[i]
		if (a.from < a.to) != (n < up) {
			a.from, a.to = a.to, a.from
			a.turned = !a.turned
		}
	}
}

// balance sets the fewest moves that make one closed walk of the arcs as they
// point now, and returns their length.
func (t *tour) balance() int64 {
	clear(t.moves)
	part := make([]int32, len(t.stops)) // union-find over stops
	for i := range part {
		part[i] = int32(i)
	}
	find := func(i int32) int32 {
		for part[i] != i {
			i = part[i]
		}
		return i
	}
	join := func(a, b int32) bool {
		a, b = find(a), find(b)
		part[max(a, b)] = min(a, b)
		return a != b
	}
	net := make([]int, len(t.stops)) // running difference of arcs up and down
	for _, a := range t.arcs {
		net[a.from]++
		net[a.to]--
		join(a.from, a.to)
	}
	var length int64
	for j := range t.moves {
		if j > 0 {
			net[j] += net[j-1]
		}
		n := net[j]
		if n == 0 {
			continue
		}
		if n > 0 {
			t.moves[j].down = n
		} else {
			n = -n
			t.moves[j].up = n
		}
		length += int64(n) * (t.stops[j+1] - t.stops[j])
		join(int32(j), int32(j+1))
	}
	gaps := make([]int, len(t.moves))
	for j := range gaps {
		gaps[j] = j
	}
	slices.SortStableFunc(gaps, func(a, b int) int {
		d := (t.stops[a+1] - t.stops[a]) - (t.stops[b+1] - t.stops[b])
		switch {
		case d < 0:
			return -1
		case d > 0:
			return 1
		}
		return 0
	})
	for _, j := range gaps {
		if join(int32(j), int32(j+1)) {
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
