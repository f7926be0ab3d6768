package nest1d

import (
	"context"
	"math/rand/v2"
	"strings"
	"testing"
)

// creditProblem is a small problem in which offcuts of some bars bring something.
func creditProblem(r *rand.Rand) Problem {
	p := smallProblem(r, 1)
	for k := range p.Stocks {
		s := &p.Stocks[k]
		if s.Price == 0 || r.IntN(4) == 0 {
			continue
		}
		s.Keep = 1 + r.Int64N(max(1, s.Length/2))
		s.Credit = 1 + r.Int64N(9)
		// From hardly more than the credit of the whole bar to many times that.
		s.Price = s.Credit*s.Length + 1 + r.Int64N(s.Credit*s.Length)>>r.IntN(10)
	}
	return p
}

// TestCreditAgainstBruteForce: with credits for offcuts the least cost is found and
// proved, with bars of several kinds, supplies, tails, trims, kerfs and free bars.
func TestCreditAgainstBruteForce(t *testing.T) {
	open, kept := 0, 0
	runs := full(300, 50_000)
	for seed := range runs {
		r := rand.New(rand.NewPCG(uint64(seed), 33))
		p := creditProblem(r)
		least, bars := bruteCost(&p)
		res := mustSolve(t, p, Options{Effort: []Effort{Normal, Quick}[seed%2]})
		if least >= noPlan {
			if res.Outcome == Planned {
				t.Fatalf("seed %d: planned the impossible", seed)
			}
			continue
		}
		verify(t, &p, &res)
		verifyCertificate(t, &p, &res)
		switch {
		case res.Outcome != Planned:
			t.Fatalf("seed %d: outcome %v, brute force has a plan of cost %d\n%+v", seed, res.Outcome, least, p)
		case res.Cost.Bound > least || res.Cost.Value < least || res.Cost.Status == Proven && res.Cost.Value != least:
			t.Fatalf("seed %d: cost %+v, brute force %d\n%+v", seed, res.Cost, least, p)
		case res.Bars.Bound > bars && res.Cost.Value == least || res.Bars.Status == Proven && res.Bars.Value != bars:
			t.Fatalf("seed %d: bars %+v, brute force %d\n%+v", seed, res.Bars, bars, p)
		case res.Cost.Status != Proven:
			if open++; seed%2 == 0 {
				t.Errorf("seed %d: left open, %+v, brute force %d\n%+v", seed, res.Cost, least, p)
			}
		}
		for _, l := range res.Layouts {
			if s := p.Stocks[l.Stock]; s.Credit > 0 && s.Offcut(p.Pieces, l.Places) >= s.Keep {
				kept++
				break
			}
		}
	}
	t.Logf("%d of %d left open, offcuts brought something in %d", open, runs, kept)
	if kept < runs/10 {
		t.Error("offcuts hardly ever brought anything: the test tests nothing")
	}
}

// TestCreditBranch: branch and price with credits never excludes the least cost.
func TestCreditBranch(t *testing.T) {
	ended := 0
	for seed := range full(400, 50_000) {
		r := rand.New(rand.NewPCG(uint64(seed), 34))
		p := creditProblem(r)
		least, _ := bruteCost(&p)
		x := newRun(context.Background(), &p, Options{})
		if least >= noPlan || len(x.bars) == 0 || len(x.lone) > 0 {
			continue
		}
		x.best, x.value = &plan{}, least+1+r.Int64N(40)
		x.material, x.bound = x.materialBound(), -1
		x.work.allow(x.limits.cutting)
		c := x.newCutting()
		for i := range c.need {
			one := make([]int64, len(c.need))
			one[i] = 1
			c.seedGroup(one)
		}
		c.branch()
		c.s.lp.Close()
		if x.excluded || x.bound > least || x.value < least {
			t.Fatalf("seed %d: value %d bound %d, the least cost is %d\n%+v", seed, x.value, x.bound, least, p)
		}
		if x.value == least && x.bound == least {
			ended++
		}
	}
	if t.Logf("%d ended", ended); ended == 0 {
		t.Error("no search ended: the test tests nothing")
	}
}

// TestCreditRefused names what a credit does not go with.
func TestCreditRefused(t *testing.T) {
	good := Problem{Pieces: []Piece{{Length: 5, Demand: 1}}, Stocks: []Stock{{Length: 10, Kerf: []int64{1, 2}, Supply: Unlimited, Price: 21, Keep: 3, Credit: 2}}}
	if res := mustSolve(t, good, Options{}); res.Cost.Value != 21-2*4 || res.Cost.Status != Proven {
		t.Errorf("cost %+v, by hand 13: an offcut of 10 − 5 − 1", res.Cost)
	}
	for what, change := range map[string]func(p *Problem){
		"below the price per length": func(p *Problem) { p.Stocks[0].Price = 20 },
		"keeps none":                 func(p *Problem) { p.Stocks[0].Keep = 0 },
		"0 or more":                  func(p *Problem) { p.Stocks[0].Credit = -1 },
		"cut into parts":             func(p *Problem) { p.Stocks[0].Part, p.Stocks[0].Parts = 6, 2 },
		"one kerf for all":           func(p *Problem) { p.Pieces[0].Right = 1 },
	} {
		p := Problem{Pieces: []Piece{good.Pieces[0]}, Stocks: []Stock{good.Stocks[0]}}
		change(&p)
		if _, err := Solve(context.Background(), p, Options{}); err == nil || !strings.Contains(err.Error(), what) {
			t.Errorf("%q is not in %v", what, err)
		}
	}
}
