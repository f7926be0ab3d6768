package nest1d

import (
	"context"
	"math/rand/v2"
	"testing"
)

// TestBranchAgainstBruteForce: branch and price, begun from the programme of the
// root as if nothing better than a bar for each piece or a little above the least
// cost were known, finds the least cost or gives up, and never excludes it. Bars are
// of several kinds with supplies, tails, trims, kerfs, some of them free.
func TestBranchAgainstBruteForce(t *testing.T) {
	runs := uint64(full(1_000, 60_000))
	ended, found, apart, sets, boxed, halves := 0, 0, 0, 0, 0, 0
	for n := range runs {
		seed := 40_000 + n
		random := rand.New(rand.NewPCG(seed, 91))
		p := branchProblem(random)
		least, _ := bruteCost(&p)
		if least >= noPlan {
			continue
		}
		r := newRun(context.Background(), &p, Options{})
		if len(r.bars) == 0 || len(r.lone) > 0 {
			continue
		}
		r.best = &plan{}
		r.value = least + 1 + int64(seed%3)
		r.material, r.bound = r.materialBound(), -1
		r.work.allow(r.limits.cutting)
		c := r.newCutting()
		for i := range c.need {
			one := make([]int64, len(c.need))
			one[i] = 1
			c.seedGroup(one)
		}
		for range seed % 4 { // with some cuts
			if !c.generate() {
				break
			}
			s := c.newSeparator()
			s.halves()
			if halves += len(s.list); !s.enterBest() && !c.separate() {
				break
			}
		}
		c.branch()
		switch {
		case r.excluded || r.bound > least:
			t.Fatalf("seed %d: bound %d (excluded %v), the least cost is %d\n%+v", seed, r.bound, r.excluded, least, p)
		case r.value < least:
			t.Fatalf("seed %d: value %d, the least cost is %d\n%+v", seed, r.value, least, p)
		case r.value == least && r.bound == least:
			ended++
		}
		if r.value == least {
			found++
		}
		if c.decided != nil && len(c.decided.apart) > 0 {
			apart++
		}
		if len(c.sets) > 0 {
			sets++
		}
		if c.decided != nil {
			for b, s := range c.decided.box {
				if s != (span{0, c.left[b]}) {
					boxed++
					break
				}
			}
		}
		c.s.lp.Close()
	}
	t.Logf("%d found, %d ended, ending apart %d, within spans %d, with sets %d, %d cuts by parity", found, ended, apart, boxed, sets, halves)
	if ended < int(runs)/2 || apart == 0 || sets == 0 || boxed == 0 || halves == 0 {
		t.Error("the nodes were hardly ever divided: the test tests nothing")
	}
}

// branchProblem draws pieces of which two to four go in a bar, of one to three kinds.
func branchProblem(r *rand.Rand) Problem {
	length := int64(20 + r.IntN(40))
	p := Problem{}
	for range 1 + r.IntN(3) {
		s := Stock{Length: length + int64(r.IntN(20)), Supply: Unlimited, Price: 1 + r.Int64N(9), Kerf: []int64{r.Int64N(3)}}
		if r.IntN(2) == 0 {
			s.Supply = 1 + r.Int64N(4)
			if r.IntN(3) == 0 {
				s.Price = 0
			}
		}
		if r.IntN(3) == 0 {
			s.Tail = r.Int64N(6)
		}
		if r.IntN(3) == 0 {
			s.TrimLeft, s.TrimRight = r.Int64N(3), r.Int64N(3)
		}
		p.Stocks = append(p.Stocks, s)
	}
	for left := 4 + r.Int64N(6); left > 0; {
		d := 1 + r.Int64N(min(4, left))
		if r.IntN(2) == 0 {
			d = 1
		}
		left -= d
		p.Pieces = append(p.Pieces, Piece{Length: length/6 + r.Int64N(length/2), Demand: d})
	}
	return p
}
