package nest1d

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// bruteForce finds the least cost by dynamic programming over the multisets
// still to be cut, with contents tested in every order and turn. It shares no
// code with the engine beyond the fields of Problem.
type bruteForce struct {
	p    *Problem
	memo map[string]int64
	fits map[string]bool
}

const noPlan = int64(1) << 50

func (f *bruteForce) solve(need, left []int64) int64 {
	if !anyPositive(need) {
		return 0
	}
	key := fmt.Sprint(need, left)
	if v, ok := f.memo[key]; ok {
		return v
	}
	best := noPlan
	// The bar that holds the first piece still needed.
	first := slices.IndexFunc(need, func(n int64) bool { return n > 0 })
	for k := range f.p.Stocks {
		if left[k] == 0 {
			continue
		}
		content := make([]int64, len(need))
		content[first] = 1
		f.extend(k, first, content, need, func() {
			n, l := slices.Clone(need), slices.Clone(left)
			for i := range n {
				n[i] -= content[i]
			}
			if l[k] > 0 {
				l[k]--
			}
			best = min(best, f.p.Stocks[k].Price-f.credit(k, content)+f.solve(n, l))
		})
	}
	f.memo[key] = best
	return best
}

func (f *bruteForce) extend(k, i int, content, need []int64, visit func()) {
	if !f.contentFits(k, content) {
		return
	}
	if i == len(need) {
		visit()
		return
	}
	for c := content[i]; c <= need[i]; c++ {
		was := content[i]
		content[i] = c
		if f.contentFits(k, content) {
			f.extend(k, i+1, content, need, visit)
		}
		content[i] = was
	}
}

// credit of the offcut beside a content, where all kerfs are equal.
func (f *bruteForce) credit(k int, content []int64) int64 {
	s := &f.p.Stocks[k]
	if s.Credit == 0 {
		return 0
	}
	rest := s.Length - s.TrimLeft
	for i, n := range content {
		rest -= n * (f.p.Pieces[i].Length + s.Kerf[0])
	}
	if rest < s.Keep {
		return 0
	}
	return s.Credit * rest
}

func (f *bruteForce) contentFits(k int, content []int64) bool {
	key := fmt.Sprint(k, content)
	if v, ok := f.fits[key]; ok {
		return v
	}
	s := &f.p.Stocks[k]
	if s.Part > 0 {
		f.fits[key] = partedFits(f.p, s, content)
		return f.fits[key]
	}
	if s.Slant != nil {
		f.fits[key] = !anyPositive(content) || s.TrimLeft+bruteNeed(f.p, s, content) <= s.Length-s.TrimRight-s.Tail
		return f.fits[key]
	}
	var try func(at int64, last int, left []int64) bool
	try = func(at int64, last int, left []int64) bool {
		if !anyPositive(left) {
			if s.Tail > 0 {
				at += s.Kerf[last]
			}
			return at <= s.Length-s.TrimRight-s.Tail
		}
		for i := range left {
			if left[i] == 0 {
				continue
			}
			q := f.p.Pieces[i]
			turns := [][2]int{{q.Left, q.Right}}
			if (q.Turn || q.Spin) && q.Left != q.Right {
				turns = append(turns, [2]int{q.Right, q.Left})
			}
			for _, e := range turns {
				joint := int64(0)
				if last >= 0 {
					joint = max(s.Kerf[last], s.Kerf[e[0]])
				}
				left[i]--
				ok := try(at+joint+q.Length, e[1], left)
				left[i]++
				if ok {
					return true
				}
			}
		}
		return false
	}
	ok := try(s.TrimLeft, -1, slices.Clone(content))
	f.fits[key] = ok
	return ok
}

// barWeight makes least cost come before fewest bars in one sum.
const barWeight = 1000

func bruteCost(p *Problem) (cost, bars int64) {
	q := *p
	q.Stocks = slices.Clone(p.Stocks)
	for k := range q.Stocks {
		q.Stocks[k].Price = q.Stocks[k].Price*barWeight + 1
		q.Stocks[k].Credit *= barWeight
	}
	f := &bruteForce{p: &q, memo: map[string]int64{}, fits: map[string]bool{}}
	var need, left []int64
	for _, q := range p.Pieces {
		need = append(need, q.Demand)
	}
	for _, s := range p.Stocks {
		left = append(left, s.Supply)
	}
	v := f.solve(need, left)
	if v >= noPlan {
		return noPlan, 0
	}
	return v / barWeight, v % barWeight
}

// smallProblem draws an instance that brute force can settle. kinds is the
// number of cut kinds.
func smallProblem(r *rand.Rand, kinds int) Problem {
	var p Problem
	longest := int64(20 + r.IntN(80))
	for range 1 + r.IntN(3) {
		s := Stock{Length: longest/2 + r.Int64N(longest/2+1), Supply: Unlimited, Price: 1 + r.Int64N(20)}
		if r.IntN(3) == 0 {
			s.Supply = 1 + r.Int64N(4)
			if r.IntN(2) == 0 {
				s.Price = 0
			}
		}
		if r.IntN(2) == 0 {
			s.TrimLeft, s.TrimRight = r.Int64N(3), r.Int64N(3)
		}
		if r.IntN(2) == 0 {
			s.Tail = r.Int64N(6)
		}
		if r.IntN(2) == 0 {
			s.Keep = 1 + r.Int64N(10)
		}
		kerf := r.Int64N(4)
		for range kinds {
			s.Kerf = append(s.Kerf, kerf)
			kerf += r.Int64N(4)
		}
		p.Stocks = append(p.Stocks, s)
	}
	pieces := 1 + r.Int64N(8)
	for pieces > 0 {
		d := 1 + r.Int64N(min(3, pieces))
		pieces -= d
		p.Pieces = append(p.Pieces, Piece{Length: 3 + r.Int64N(longest/2), Demand: d,
			Left: r.IntN(kinds), Right: r.IntN(kinds), Turn: r.IntN(2) == 0})
	}
	return p
}

// verify checks a plan against the problem by the rules alone.
func verify(t *testing.T, p *Problem, res *Result) {
	t.Helper()
	if res.Outcome != Planned {
		return
	}
	made, used := make([]int64, len(p.Pieces)), make([]int64, len(p.Stocks))
	var cost int64
	for _, l := range append(slices.Clone(p.Fixed), res.Layouts...) {
		used[l.Stock] += l.Count
		for _, q := range l.Places {
			made[q.Piece] += l.Count
		}
	}
	for _, l := range res.Layouts {
		if l.Count <= 0 || len(l.Places) == 0 {
			t.Fatalf("layout with count %d and %d pieces", l.Count, len(l.Places))
		}
		s := p.Stocks[l.Stock]
		cost += l.Count * s.Price
		if o := s.Offcut(p.Pieces, l.Places, l.Cuts...); s.Credit > 0 && o >= s.Keep {
			cost -= l.Count * s.Credit * o
		}
		if s.Part > 0 {
			verifyParts(t, p, &l)
			continue
		}
		at, last := s.TrimLeft, int64(0)
		for i, q := range l.Places {
			piece := p.Pieces[q.Piece]
			left, right := piece.Left, piece.Right
			if q.Turned {
				left, right = right, left
			}
			if !slices.Contains(bruteLies(&piece), [2]bool{q.Turned, q.Rolled}) {
				t.Fatalf("piece %d is turned %t and rolled %t and may not be", q.Piece, q.Turned, q.Rolled)
			}
			if i > 0 {
				b := l.Places[i-1]
				before := p.Pieces[b.Piece]
				at += beside(&s, &before, &piece, [2]bool{b.Turned, b.Rolled}, [2]bool{q.Turned, q.Rolled}) - before.Length
			}
			if q.At < at {
				t.Fatalf("piece %d lies at %d, free is from %d", q.Piece, q.At, at)
			}
			at, last = q.At+piece.Length, s.Kerf[right]
		}
		if s.Tail > 0 {
			at += last
		}
		if at > s.Length-s.TrimRight-s.Tail {
			t.Fatalf("a bar of stock %d is overfull: %d", l.Stock, at)
		}
	}
	for i, q := range p.Pieces {
		if made[i] != q.Demand {
			t.Fatalf("piece %d: made %d, wanted %d", i, made[i], q.Demand)
		}
	}
	for k, s := range p.Stocks {
		if s.Supply != Unlimited && used[k] > s.Supply {
			t.Fatalf("stock %d: used %d of %d", k, used[k], s.Supply)
		}
	}
	if cost != res.Cost.Value {
		t.Fatalf("cost is %d, said to be %d", cost, res.Cost.Value)
	}
	if res.Cost.Bound > res.Cost.Value || (res.Cost.Status == Proven) != (res.Cost.Bound == res.Cost.Value) {
		t.Fatalf("cost goal %+v", res.Cost)
	}
}

// workshopScale gives a small problem lengths in units of 25 nm and prices in
// cents: sums come near the limits of integers where small numbers do not.
func workshopScale(r *rand.Rand, p *Problem) {
	for i := range p.Pieces {
		p.Pieces[i].Length = p.Pieces[i].Length*2_500_000 + r.Int64N(500_000)
	}
	for k := range p.Stocks {
		s := &p.Stocks[k]
		s.Length, s.TrimLeft, s.TrimRight, s.Tail = s.Length*2_500_000, s.TrimLeft*400_000, s.TrimRight*400_000, s.Tail*2_500_000
		for c := range s.Kerf {
			s.Kerf[c] *= 41_234
		}
		if s.Price > 0 {
			s.Price = s.Price*400 + r.Int64N(400)
		}
	}
}

func testAgainstBruteForce(t *testing.T, kinds, runs int, scale func(*rand.Rand, *Problem)) {
	open, moreBars := 0, 0
	for seed := range runs {
		r := rand.New(rand.NewPCG(uint64(seed), uint64(kinds)))
		p := smallProblem(r, kinds)
		if scale != nil {
			scale(r, &p)
		}
		want, bars := bruteCost(&p)
		res, err := Solve(context.Background(), p, Options{})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if want >= noPlan {
			if res.Outcome == Planned {
				t.Fatalf("seed %d: planned the impossible %+v", seed, p)
			}
			if res.Outcome == NotFound {
				open++
			}
			continue
		}
		verify(t, &p, &res)
		if res.Outcome != Planned {
			t.Errorf("seed %d: outcome %v, brute force has a plan of cost %d: %+v", seed, res.Outcome, want, p)
			continue
		}
		verifyCertificate(t, &p, &res)
		if res.Cost.Bound > want || res.Certificate.Bound > want {
			t.Errorf("seed %d: bound %d above the optimum %d: %+v", seed, res.Cost.Bound, want, p)
		}
		if res.Cost.Value != want {
			t.Errorf("seed %d: cost %d, brute force %d: %+v", seed, res.Cost.Value, want, p)
		}
		if res.Cost.Status != Proven {
			open++
			continue
		}
		if res.Bars.Bound > bars || res.Bars.Value < bars || res.Bars.Status == Proven && res.Bars.Value != bars {
			t.Errorf("seed %d: bars %+v, brute force %d: %+v", seed, res.Bars, bars, p)
		}
		if res.Bars.Value > bars {
			moreBars++
		}
	}
	t.Logf("%d of %d runs left open, %d with more bars than needed", open, runs, moreBars)
	if open > 0 {
		t.Errorf("%d of %d small problems left open", open, runs)
	}
}

func TestBruteForce(t *testing.T)         { testAgainstBruteForce(t, 1, full(5000, 100_000), nil) }
func TestBruteForceWorkshop(t *testing.T) { testAgainstBruteForce(t, 1, 1000, workshopScale) }
func TestBruteForceMitred(t *testing.T)   { testAgainstBruteForce(t, 3, 600, nil) }
func TestBruteForceMitredWorkshop(t *testing.T) {
	testAgainstBruteForce(t, 3, 600, workshopScale)
}
