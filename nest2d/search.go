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

// stream is the random numbers of a seed.
func stream(seed int64) *rand.Rand { return rand.New(rand.NewPCG(uint64(seed), 0x5a3b11)) }

func newSearch(m *model, seed int64) *search {
	return &search{m: m, random: stream(seed), pace: steady}
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
	// mostOverrun is how much work an iteration may do beyond what was granted.
	mostOverrun = 5_000_000
)

// A pace is how many iterations late acceptance looks back, and how many without
// progress are followed by a kick.
type pace struct{ back, patience int64 }

var (
	steady = pace{100, math.MaxInt64}
	brisk  = pace{200, 6_000}
	slow   = pace{1_000, 40_000}
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
