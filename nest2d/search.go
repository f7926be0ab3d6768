package nest2d

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
)

// Ruin and recreate
//
// The search works on a draft: some boards and the panels missing from them.
// It keeps within limits that no known plan keeps within, so a draft without
// missing panels is a better plan; until then less missing area is progress.
// One iteration takes some subtrees off the boards and places all that is
// missing again, in a random choice of orders and rules. It is taken back
// unless as little is missing as now or as some iterations ago.
//
// Drafts share boards. An iteration copies a board before it changes it, and
// boards that no draft uses any more go to a pool; those of a remembered plan
// are marked as kept and never do. Work is counted in nodes looked at, never
// in time.

// A search holds what lasts between iterations.
type search struct {
	m      *model
	random *rand.Rand
	work   int64
	pool   []*board
	fresh  []bool // of the draft in work: boards made in this iteration
	halted func() bool
	shelf  *shelf // of layouts seen, or nil
	pace   pace
	// Space used again and again.
	order, stack, leaves []int32
}

func newSearch(m *model, seed int64) *search {
	return &search{m: m, random: rand.New(rand.NewPCG(uint64(seed), 0x5a3b11)), pace: steady}
}

func (s *search) take() *board {
	if n := len(s.pool); n > 0 {
		b := s.pool[n-1]
		s.pool = s.pool[:n-1]
		return b
	}
	return &board{}
}

func (s *search) give(b *board) {
	if !b.kept {
		s.pool = append(s.pool, b)
	}
}

// own makes board i of d safe to change.
func (s *search) own(d *draft, i int) *board {
	if !s.fresh[i] {
		b := s.take()
		b.copyFrom(d.boards[i])
		d.boards[i], s.fresh[i] = b, true
	}
	return d.boards[i]
}

// An opener picks the kind of a new board for a panel, or -1.
type opener func(d *draft, panel int32) int

// recreate places the missing panels in the order they stand in, each at the
// tightest spot on any board, opening boards as open allows. It skips one
// spot in blink at random; 0 skips none. What is not placed when the search is
// halted stays missing.
func (s *search) recreate(d *draft, rule rule, blink int, open opener) {
	skip := func() bool { return blink > 0 && s.random.IntN(blink) == 0 }
	todo := append(s.order[:0], d.missing...)
	s.order = todo
	d.missing, d.lack = d.missing[:0], 0
	failed := int32(-1)
	halted := false
	for i := 0; i < len(todo); i++ {
		panel := todo[i]
		halted = halted || i%32 == 0 && s.halted()
		if panel == failed || halted {
			d.miss(s.m, panel)
			continue
		}
		var best spot
		at := -1
		for i, b := range d.boards {
			s.work += 2
			if !b.admits(s.m, panel) {
				continue
			}
			s.work += b.extent()
			if t, ok := b.tightest(s.m, int(panel), rule, skip); ok && (at < 0 || t.score < best.score) {
				best, at = t, i
			}
		}
		if at < 0 {
			if k := open(d, panel); k >= 0 {
				b := s.take()
				b.reset(s.m, k)
				d.addBoard(s.m, b)
				s.fresh = append(s.fresh, true)
				at = len(d.boards) - 1
				best, _ = b.tightest(s.m, int(panel), rule, skip)
			}
		}
		if at < 0 {
			failed = panel
			d.miss(s.m, panel)
			continue
		}
		b := s.own(d, at)
		row := 1
		if s.m.copies > crowd && !s.m.free && !b.empty() {
			row = b.nooks[best.nook].longestRow(best.pose.size, alike(todo[i:]))
		}
		b.place(s.m, best, int(panel), row)
		i += row - 1
		s.work += 2 * b.extent()
	}
}

// crowd is the number of copies beyond which equal panels are placed in whole
// rows. One by one they would take time in the square of their number.
const crowd = 1000

// longestRow is how many of so many equal panels to set in a row into a nook: as many
// as there is room for, but not more than all of them need when there is room for
// further rows across.
func (k *nook) longestRow(panel size, copies int) int {
	row := k.free[k.axis] / panel[k.axis]
	rows := k.free[1-k.axis] / panel[1-k.axis]
	return int(min(row, max(1, int64(copies)/rows)))
}

// alike counts the panels at the beginning of a list that are the same.
func alike(panels []int32) int {
	n := 1
	for n < len(panels) && panels[n] == panels[0] {
		n++
	}
	return n
}

// ruin takes about count panels off a few boards, subtree by subtree.
func (s *search) ruin(d *draft, count int) {
	if len(d.boards) == 0 {
		return
	}
	if s.m.free {
		s.ruinFloors(d, count)
		return
	}
	var few [mostBoards]int
	for j := range few {
		few[j] = s.random.IntN(len(d.boards))
	}
	boards := 1 + s.random.IntN(mostBoards)
	for count > 0 {
		i := few[s.random.IntN(boards)]
		b := s.own(d, i)
		if b.empty() {
			count--
			continue
		}
		v := int32(s.random.IntN(len(b.nodes)))
		for b.nodes[v].panel == none && b.nodes[v].first == none { // unused
			v = int32(s.random.IntN(len(b.nodes)))
		}
		count -= s.clear(d, b, v)
		b.measure(s.m)
		s.work += 2 * int64(len(b.nodes))
	}
}

// clear takes all panels of a subtree off the board.
func (s *search) clear(d *draft, b *board, v int32) int {
	s.leaves, s.stack = s.leaves[:0], append(s.stack[:0], v)
	for len(s.stack) > 0 {
		u := s.stack[len(s.stack)-1]
		s.stack = s.stack[:len(s.stack)-1]
		if b.nodes[u].panel != none {
			s.leaves = append(s.leaves, u)
		}
		for c := b.nodes[u].first; c != none; c = b.nodes[c].next {
			s.stack = append(s.stack, c)
		}
	}
	for _, u := range s.leaves {
		d.miss(s.m, b.nodes[u].panel)
		b.remove(s.m, u)
	}
	return len(s.leaves)
}

// dropBoard takes a whole board away; its panels go missing.
func (s *search) dropBoard(d *draft, i int) {
	b := d.boards[i]
	for panel := range b.each {
		d.miss(s.m, panel)
	}
	if s.fresh[i] {
		s.give(b)
	}
	d.dropBoard(s.m, i)
	s.fresh = slices.Delete(s.fresh, i, i+1)
}

// lighten drops boards until the draft keeps within the limits, the emptiest
// for their price first.
func (s *search) lighten(d *draft, l limits) {
	for d.cost > l.cost || d.sheets > l.boards {
		least, at := 0.0, -1
		for i, b := range d.boards {
			k := s.m.kinds[b.kind]
			if k.window || d.cost > l.cost && k.price == 0 {
				continue
			}
			worth := float64(b.load) / float64(max(k.price, 1))
			if at < 0 || worth < least {
				least, at = worth, i
			}
		}
		s.dropBoard(d, at)
	}
}

// What steers ruin and recreate; found by trial on the CLASS instances.
const (
	mostRuin   = 20 // panels taken out in one iteration, about
	mostBoards = 4  // boards they are taken from
	blinkOdds  = 50 // one spot in so many is overlooked
	kicked     = 5  // one board in so many is taken away by it
)

// A pace is how many iterations late acceptance looks back, and how many without
// progress are followed by a kick.
type pace struct{ back, patience int64 }

var (
	steady = pace{100, math.MaxInt64}
	brisk  = pace{200, 6_000}
	slow   = pace{500, 50_000}
)

// improve looks for drafts without missing panels within ever tighter limits:
// ruin and recreate with late acceptance on the weight that is missing. found
// is called with each complete draft and returns the next limits, or false.
// The work goes on from draft d and leaves in it what it reached last.
func (s *search) improve(ctx context.Context, d *draft, l limits, effort int64, found func(d *draft, iterations int64) (limits, bool)) (iterations int64, struck Limit) {
	current, next := d, &draft{}
	defer func() {
		if current != d {
			d.copyFrom(current)
		}
	}()
	for _, b := range current.boards {
		b.kept = true
	}
	s.notFresh(current)
	s.lighten(current, l)
	past := slices.Repeat([]int64{current.lack}, int(s.pace.back))
	least, since := current.lack, int64(0)
	open := s.anyKind(&l)
	end := s.work + effort
	s.halted = func() bool { return s.work > end+mostOverrun || ctx.Err() != nil }
	for s.work < end {
		if (iterations%64 == 0 || s.m.copies > crowd) && ctx.Err() != nil {
			return iterations, TimeLimit
		}
		s.work += int64(len(current.boards) + 100)
		next.copyFrom(current)
		s.notFresh(next)
		if !l.fixed && len(s.m.kinds) > 1 && s.random.IntN(8) == 0 && len(next.boards) > 0 {
			s.dropBoard(next, s.random.IntN(len(next.boards)))
		}
		s.ruin(next, 1+s.random.IntN(mostRuin))
		s.work += 8 * int64(len(next.missing)) // to sort them
		s.shuffle(next.missing)
		s.recreate(next, s.anyRule(), blinkOdds, open)
		slot := &past[iterations%s.pace.back]
		if next.lack <= current.lack || next.lack <= *slot {
			if next.lack < current.lack {
				s.keep(next)
			}
			s.giveAll(current, next)
			current, next = next, current
		} else {
			s.giveAll(next, current)
		}
		*slot = current.lack
		iterations++
		if current.lack > 0 {
			if current.lack < least {
				least, since = current.lack, iterations
			}
			if iterations-since > s.pace.patience && !l.fixed {
				s.kick(current)
				past = slices.Repeat([]int64{current.lack}, int(s.pace.back))
				least, since = current.lack, iterations
			}
			continue
		}
		s.dropEmpty(current)
		for _, b := range current.boards {
			b.kept = true
		}
		var more bool
		if l, more = found(current, iterations); !more {
			return iterations, NoLimit
		}
		s.notFresh(current)
		s.lighten(current, l)
		past = slices.Repeat([]int64{current.lack}, int(s.pace.back))
		least, since = current.lack, iterations
	}
	return iterations, EffortLimit
}

// kick takes whole boards away, so that late acceptance begins anew elsewhere.
func (s *search) kick(d *draft) {
	s.notFresh(d)
	for range (len(d.boards) + kicked - 1) / kicked {
		s.dropBoard(d, s.random.IntN(len(d.boards)))
	}
}

// notFresh says that no board of d was made in this iteration.
func (s *search) notFresh(d *draft) {
	s.fresh = s.fresh[:0]
	for range d.boards {
		s.fresh = append(s.fresh, false)
	}
}

// giveAll gives back the boards of a draft that another does not share.
func (s *search) giveAll(d, other *draft) {
	for i, b := range d.boards {
		if (i >= len(other.boards) || other.boards[i] != b) && !slices.Contains(other.boards, b) {
			s.give(b)
		}
	}
}

func (s *search) dropEmpty(d *draft) {
	for i := len(d.boards) - 1; i >= 0; i-- {
		if d.boards[i].empty() {
			s.dropBoard(d, i)
		}
	}
}

func (s *search) anyRule() rule {
	switch s.random.IntN(3) {
	case 0:
		return leastArea
	case 1:
		return leastSide
	}
	return leastLongSide
}

// anyKind opens a board of any kind within the limits, half of the time the
// kind cheapest for its area.
func (s *search) anyKind(l *limits) opener {
	return func(d *draft, panel int32) int {
		if l.fixed {
			return -1
		}
		best, count := -1, 0
		cheapest := s.random.IntN(2) == 0
		for k := range s.m.kinds {
			if len(s.m.kinds[k].poses[panel]) == 0 || !d.mayOpen(s.m, k, *l) {
				continue
			}
			count++
			if best < 0 || cheapest && s.m.cheaper(k, best) || !cheapest && s.random.IntN(count) == 0 {
				best = k
			}
		}
		return best
	}
}

// cheaper tells whether kind a has the lower price for its area.
func (m *model) cheaper(a, b int) bool {
	return float64(m.kinds[a].price)*float64(m.kinds[b].area) < float64(m.kinds[b].price)*float64(m.kinds[a].area)
}

// shuffle puts missing panels into one of several orders, at random.
func (s *search) shuffle(missing []int32) {
	var key func(int32) int64
	p := s.m.sides
	switch s.random.IntN(8) {
	case 0, 1, 2:
		key = func(i int32) int64 { return s.m.weight[i] }
	case 3:
		key = func(i int32) int64 { return max(p[i][axisX], p[i][axisY]) }
	case 4:
		key = func(i int32) int64 { return p[i][axisX] }
	case 5:
		key = func(i int32) int64 { return p[i][axisY] }
	default:
		s.random.Shuffle(len(missing), func(i, j int) { missing[i], missing[j] = missing[j], missing[i] })
		return
	}
	sortDown(missing, key)
}

// sortDown sorts panels by descending key, equal keys by panel.
func sortDown(panels []int32, key func(int32) int64) {
	slices.SortFunc(panels, func(a, b int32) int {
		if x, y := key(a), key(b); x != y {
			if x > y {
				return -1
			}
			return 1
		}
		return int(a - b)
	})
}

const (
	// mostOverrun is how much work an iteration may do beyond what was granted.
	mostOverrun = 5_000_000
	// constructWork ends the trials of orders early when there are many panels.
	constructWork = 20_000_000
	// firstWork is what the first draft may take even when the context has ended.
	firstWork = 10_000_000
)

// construct makes first drafts in several orders and returns the best. It
// makes one even when the context has ended, a whole one if that is little work.
func (s *search) construct(ctx context.Context) (*draft, Limit) {
	p := s.m.sides
	keys := []func(int32) int64{
		func(i int32) int64 { return s.m.weight[i] },
		func(i int32) int64 { return max(p[i][axisX], p[i][axisY]) },
		func(i int32) int64 { return p[i][axisX] },
		func(i int32) int64 { return p[i][axisY] },
	}
	var best *draft
	s.halted = func() bool { return (best != nil || s.work > firstWork) && ctx.Err() != nil }
	for _, key := range keys {
		for _, rule := range []rule{leastArea, leastSide} {
			if best != nil && ctx.Err() != nil {
				return best, TimeLimit
			}
			if best != nil && s.work > constructWork {
				return best, NoLimit
			}
			d := s.m.emptyDraft()
			sortDown(d.missing, key)
			s.fresh = s.fresh[:0]
			l := limits{cost: noBudget, boards: anyNumber}
			s.recreate(d, rule, 0, s.anyKind(&l))
			if best != nil && ctx.Err() != nil {
				return best, TimeLimit
			}
			if best == nil || d.lack < best.lack || d.lack == best.lack && d.cost < best.cost {
				best = d
			}
		}
	}
	return best, NoLimit
}
