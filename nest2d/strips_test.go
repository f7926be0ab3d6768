package nest2d

import (
	"context"
	"math/rand/v2"
	"testing"
)

// stripProblems is a sample; ninety thousand were tried once.
const stripProblems = 600

// TestStripsBrute holds the plans by strips against brute force, and with two stages the
// bounds, on small problems, with lengths measured exactly and coarsely. Half of them
// have sheets of one kind with the first cuts one way, for which there are cuts.
func TestStripsBrute(t *testing.T) {
	random := rand.New(rand.NewPCG(41, 42))
	raised, met, best, bounded, all := 0, 0, 0, 0, 0
	for n := range stripProblems {
		p := randomProblem(random, 1+random.IntN(6))
		if p.Stages = 2; n%3 == 0 {
			p.Stages = 3
		}
		if n%2 == 0 {
			p.Sheets, p.FirstCut = p.Sheets[:1], Direction(1+random.IntN(2))
			p.Sheets[0].Supply = Unlimited
			p.Sheets[0].Price = max(p.Sheets[0].Price, 1)
			if p.checkBlade(0) != nil {
				p.Sheets[0].Blade = 0
			}
		}
		cost, _ := bruteForce(p)
		if cost <= 0 {
			continue
		}
		if all++; p.Stages == 2 {
			bounded++
		}
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		r := &run{search: newSearch(m, 0), best: m.emptyDraft()}
		coarse := int64(mostUnits)
		if random.IntN(2) == 0 {
			coarse = 2 + random.Int64N(4)
		}
		r.inStrips(context.Background(), 500_000, coarse)
		if r.bound > cost {
			t.Fatalf("problem %d: the bound is %d, the optimum %d\n%+v", n, r.bound, cost, p)
		}
		if area := m.certificate(m.byArea(), nil).Bound; r.bound > area {
			raised++
		}
		if r.bound == cost {
			met++
		}
		if r.best.lack == 0 {
			if err := Validate(p, m.layouts(r.best.boards)); err != nil || r.best.cost < cost {
				t.Fatalf("problem %d: cost %d, the optimum %d: %v\n%+v", n, r.best.cost, cost, err, p)
			}
			if r.best.cost == cost {
				best++
			}
		}
	}
	if raised < bounded/6 || met < bounded*2/3 || best < all*2/3 {
		t.Errorf("of %d bounds %d are above that of areas, %d met the optimum, and of %d plans %d: the test says little", bounded, raised, met, all, best)
	}
	t.Logf("of %d bounds %d are above that of areas, %d met the optimum, and of %d plans %d", bounded, raised, met, all, best)
}
