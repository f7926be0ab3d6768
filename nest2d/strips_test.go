package nest2d

import (
	"context"
	"math/rand/v2"
	"testing"
)

// stripProblems is a sample; sixty thousand were tried once, and as many again whose
// sheets are all of one kind with the first cuts one way.
const stripProblems = 400

// TestStripsBrute holds the bound and the plans by strips against brute force, on
// small problems of two stages, with lengths measured exactly and coarsely.
func TestStripsBrute(t *testing.T) {
	random := rand.New(rand.NewPCG(41, 42))
	raised, met, best, all := 0, 0, 0, 0
	for n := range stripProblems {
		p := randomProblem(random, 1+random.IntN(6))
		p.Stages = 2
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
		all++
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
	if raised < all/6 || met < all*2/3 || best < all*2/3 {
		t.Errorf("%d bounds are above that of areas, %d met the optimum, %d plans too, of %d: the test says little", raised, met, best, all)
	}
	t.Logf("%d bounds are above that of areas, %d met the optimum, %d plans too, of %d", raised, met, best, all)
}
