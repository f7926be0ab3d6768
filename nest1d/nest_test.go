package nest1d

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// outline is where the ends of a piece meet the lower and the upper edge, with its
// left tip at 0. In planes of their own slants are seen one at a time: shown tells
// which plane is looked at; an end in another shows its tip on both edges.
type outline struct {
	low, up       [2]int64 // left, right
	kerfs         [2]int64
	length        int64
	turned, rolls bool
}

func outlineOf(s *Stock, q *Piece, turned, rolled bool, shown int) outline {
	o := outline{length: q.Length, turned: turned, rolls: rolled}
	o.low, o.up = [2]int64{0, q.Length}, [2]int64{0, q.Length}
	cuts, ups := [2]int{q.Left, q.Right}, [2]bool{q.LeftUp, q.RightUp}
	if turned {
		cuts, ups = [2]int{q.Right, q.Left}, [2]bool{q.RightUp, q.LeftUp}
		if t := q.Turned; t != nil {
			cuts, ups = [2]int{t.Left, t.Right}, [2]bool{t.LeftUp, t.RightUp}
		}
	}
	for e := range 2 {
		o.kerfs[e] = s.Kerf[cuts[e]]
		plane := 0
		if s.Plane != nil {
			plane = s.Plane[cuts[e]]
		}
		if s.Slant == nil || plane != shown {
			continue
		}
		in := s.Slant[cuts[e]]
		if e == 1 {
			in = -in
		}
		if ups[e] != rolled {
			o.low[e] += in
		} else {
			o.up[e] += in
		}
	}
	return o
}

// beside is the least distance of two left tips at which the blade of either
// end clears both edges of the other piece, in every plane; planes that show only
// one of the slants have a tip on one side, and so the tips apart.
func beside(s *Stock, a, b *Piece, aLies, bLies [2]bool) int64 {
	least := int64(-1)
	for plane := range 3 {
		l, r := outlineOf(s, a, aLies[0], aLies[1], plane), outlineOf(s, b, bLies[0], bLies[1], plane)
		k := max(l.kerfs[1], r.kerfs[0])
		at := max(l.low[1]-r.low[0], l.up[1]-r.up[0]) + k
		if least < 0 || at < least {
			least = at
		}
	}
	return least
}

func bruteLies(q *Piece) [][2]bool {
	var list [][2]bool
	for w := range 4 {
		t, r := w&1 != 0, w&2 != 0
		if !t && !r || t && !r && q.Turn || r && !t && q.Roll || t && r && (q.Spin || q.Turn && q.Roll) {
			list = append(list, [2]bool{t, r})
		}
	}
	return list
}

// bruteNeed is the least reach of the content from the trim on, over all orders and
// ways to lie, the last cut included where there is a tail.
func bruteNeed(p *Problem, s *Stock, content []int64) int64 {
	best := int64(-1)
	var try func(at int64, last int, lies [2]bool, left []int64)
	try = func(at int64, last int, lies [2]bool, left []int64) {
		if !anyPositive(left) {
			end := at + p.Pieces[last].Length
			if s.Tail > 0 {
				end += outlineOf(s, &p.Pieces[last], lies[0], lies[1], 0).kerfs[1]
			}
			if best < 0 || end < best {
				best = end
			}
			return
		}
		for i := range left {
			if left[i] == 0 {
				continue
			}
			for _, w := range bruteLies(&p.Pieces[i]) {
				to := int64(0)
				if last >= 0 {
					to = at + beside(s, &p.Pieces[last], &p.Pieces[i], lies, w)
				}
				left[i]--
				try(to, i, w, left)
				left[i]++
			}
		}
	}
	try(0, -1, [2]bool{}, slices.Clone(content))
	return best
}

// nestProblem is a small problem with slants. regime 0 has full freedom and equal
// angles, 1 any, 2 planes as well. In regime 3 turning end for end brings tips in the
// second plane to their other edge, in regime 4 it exchanges the planes.
func nestProblem(r *rand.Rand, kinds, pieces, regime int) Problem {
	if regime == 4 {
		kinds = 3 + 2*(kinds&1)
	}
	p := smallProblem(r, kinds)
	for regime == 0 && r.IntN(3) > 0 && len(p.Stocks) > 1 {
		p.Stocks = p.Stocks[:1]
	}
	longest := int64(0)
	for k := range p.Stocks {
		s := &p.Stocks[k]
		longest = max(longest, s.Length)
		if k > 0 && r.IntN(3) == 0 {
			continue // shares no cuts
		}
		rise := r.Int64N(6)
		for c := range s.Kerf {
			a := int64(c) * rise
			if r.IntN(8) == 0 {
				a = r.Int64N(12)
			}
			if c == 0 && r.IntN(4) > 0 {
				a = 0
			}
			s.Slant = append(s.Slant, a)
			if regime >= 2 {
				s.Plane = append(s.Plane, r.IntN(2))
			}
		}
	}
	if regime >= 3 {
		settlePlanes(&p, regime == 4)
	}
	p.Pieces = nil
	free := r.IntN(2) == 0
	for left := 1 + r.IntN(pieces); left > 0; {
		q := Piece{Length: 3 + r.Int64N(longest/2+1), Demand: int64(1 + r.IntN(min(4, left))), Left: r.IntN(kinds), Right: r.IntN(kinds),
			LeftUp: r.IntN(2) == 0, RightUp: r.IntN(2) == 0}
		left -= int(q.Demand)
		if r.IntN(2) == 0 {
			q.Right = q.Left
		}
		if free || regime == 0 {
			q.Turn, q.Roll = true, true
		} else {
			q.Turn, q.Roll, q.Spin = r.IntN(2) == 0, r.IntN(2) == 0, r.IntN(3) == 0
		}
		switch regime {
		case 3:
			second := func(c int) bool { return c&1 != 0 }
			q.Turned = &Ends{q.Right, q.Left, q.RightUp != second(q.Right), q.LeftUp != second(q.Left)}
		case 4:
			q.Turn, q.Roll, q.Spin = r.IntN(4) > 0, false, false
			q.Turned = &Ends{otherPlane(q.Right), otherPlane(q.Left), q.RightUp, q.LeftUp}
		}
		for k := range p.Stocks {
			s := &p.Stocks[k]
			if s.Slant != nil {
				q.Length = max(q.Length, s.Slant[q.Left]+s.Slant[q.Right]+1)
			}
		}
		p.Pieces = append(p.Pieces, q)
	}
	return p
}

// settlePlanes gives every kind one plane in all stocks: odd ones the second, even
// ones the first. Where planes are exchanged, kinds 1 and 2 are one cut in either
// plane, 3 and 4 are, and 0 is square.
func settlePlanes(p *Problem, exchanged bool) {
	for k := range p.Stocks {
		s := &p.Stocks[k]
		for c := range s.Plane {
			s.Plane[c] = c & 1
		}
		for c := 1; exchanged && c < len(s.Kerf); c += 2 {
			s.Kerf[c+1] = s.Kerf[c]
			if s.Slant != nil {
				s.Slant[0], s.Slant[c+1] = 0, s.Slant[c]
			}
		}
	}
}

// otherPlane is the kind of the same cut where planes are exchanged.
func otherPlane(c int) int {
	switch {
	case c == 0:
		return 0
	case c&1 == 1:
		return c + 1
	}
	return c - 1
}

// TestNestedOrders holds Arrange and the least length against all orders and ways
// to lie, by the edges of the pieces.
func TestNestedOrders(t *testing.T) {
	for seed := range full(4000, 60_000) {
		r := rand.New(rand.NewPCG(uint64(seed), 71))
		p := nestProblem(r, 1+r.IntN(4), 4+r.IntN(9)/8, r.IntN(5))
		content := make([]int64, len(p.Pieces))
		var list []int
		for i, q := range p.Pieces {
			content[i] = q.Demand
			for range q.Demand {
				list = append(list, i)
			}
		}
		for k := range p.Stocks {
			s := &p.Stocks[k]
			want := bruteNeed(&p, s, content)
			got, least := s.need(p.Pieces, list)
			if got != want || !least {
				t.Fatalf("seed %d: %v in %+v need %d, all orders %d (%v)", seed, p.Pieces, *s, got, want, least)
			}
			places, fits := s.Arrange(p.Pieces, list)
			if ok := want <= s.Capacity(); fits != ok {
				t.Fatalf("seed %d: fits %v, all orders %v", seed, fits, ok)
			}
			held := make([]int64, len(p.Pieces))
			at := s.TrimLeft
			for i, q := range places {
				held[q.Piece]++
				lies := [2]bool{q.Turned, q.Rolled}
				if !slices.Contains(bruteLies(&p.Pieces[q.Piece]), lies) {
					t.Fatalf("seed %d: piece %+v lies %v", seed, p.Pieces[q.Piece], lies)
				}
				if i > 0 {
					b := places[i-1]
					at += beside(s, &p.Pieces[b.Piece], &p.Pieces[q.Piece], [2]bool{b.Turned, b.Rolled}, lies)
				}
				if q.At != at {
					t.Fatalf("seed %d: piece %d lies at %d, by its edges at %d", seed, q.Piece, q.At, at)
				}
			}
			if !slices.Equal(held, content) {
				t.Fatalf("seed %d: the order holds %v, wanted %v", seed, held, content)
			}
		}
	}
}

// TestManyOfAKind: what many copies take follows from few. The search over all
// copies, with none left out, is the other side.
func TestManyOfAKind(t *testing.T) {
	for seed := range full(2000, 50_000) {
		r := rand.New(rand.NewPCG(uint64(seed), 72))
		p := nestProblem(r, 1+r.IntN(3), 3, r.IntN(5))
		s := &p.Stocks[0]
		var list, content []int
		for i := range p.Pieces {
			list = append(list, i)
		}
		c, of := newChain(s, p.Pieces, list)
		counts := make([]int, len(c.classes))
		for i := range p.Pieces {
			for range r.IntN(7) {
				content = append(content, i)
				counts[of[i]]++
			}
		}
		if len(content) == 0 {
			continue
		}
		all := c.search(counts)
		if all == nil {
			continue
		}
		want := all.best()
		if got, least := c.cost(counts); got != want || !least {
			t.Fatalf("seed %d: %v of %+v cost %d, without leaving any out %d", seed, counts, p.Pieces, got, want)
		}
		places, _ := s.Arrange(p.Pieces, content)
		end := s.End(p.Pieces, places) - s.TrimLeft
		if s.Tail > 0 {
			end += s.lastKerf(p.Pieces, places)
		}
		for _, i := range content {
			want += p.Pieces[i].Length
		}
		if end != want || len(places) != len(content) {
			t.Fatalf("seed %d: the order takes %d, wanted %d", seed, end, want)
		}
	}
}

func TestBruteForceNested(t *testing.T) {
	for regime := range 5 {
		testNested(t, regime, full(400, 8_000))
	}
}

func testNested(t *testing.T, regime, runs int) {
	open := 0
	for seed := range runs {
		r := rand.New(rand.NewPCG(uint64(seed), uint64(80+regime)))
		p := nestProblem(r, 1+r.IntN(3), 5, regime)
		want, bars := bruteCost(&p)
		res, err := Solve(context.Background(), p, Options{})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if want >= noPlan {
			if res.Outcome != Impossible {
				t.Fatalf("seed %d: outcome %v, there is no plan: %+v", seed, res.Outcome, p)
			}
			continue
		}
		if res.Outcome != Planned {
			t.Fatalf("seed %d: outcome %v, brute force has a plan of cost %d: %+v", seed, res.Outcome, want, p)
		}
		verify(t, &p, &res)
		verifyCertificate(t, &p, &res)
		if res.Cost.Bound > want || res.Certificate.Bound > want || res.Cost.Value != want {
			t.Fatalf("seed %d: cost %+v, certificate %d, brute force %d: %+v", seed, res.Cost, res.Certificate.Bound, want, p)
		}
		if res.Cost.Status != Proven {
			open++
			continue
		}
		if res.Bars.Bound > bars || res.Bars.Value < bars {
			t.Fatalf("seed %d: bars %+v, brute force %d: %+v", seed, res.Bars, bars, p)
		}
	}
	if open > 0 {
		t.Errorf("regime %d: %d of %d left open", regime, open, runs)
	}
}

// fullestNested is the greatest value of a content of one bar, by trying all.
func fullestNested(p *Problem, k int, value []int64) int64 {
	f := &bruteForce{p: p, fits: map[string]bool{}}
	var best int64
	need := make([]int64, len(p.Pieces))
	for i, q := range p.Pieces {
		need[i] = q.Demand
	}
	content := make([]int64, len(need))
	f.extend(k, 0, content, need, func() {
		var v int64
		for i, n := range content {
			v += n * value[i]
		}
		best = max(best, v)
	})
	return best
}
