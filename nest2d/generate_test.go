package nest2d

import (
	"context"
	"math/rand/v2"
	"testing"
)

// TestGenerateBrute starts column generation from no bound and a poor plan, on
// problems whose optimum is found by brute force: the bound must not pass it,
// and be above that of areas now and then.
func TestGenerateBrute(t *testing.T) {
	random := rand.New(rand.NewPCG(31, 32))
	raised, met := 0, 0
	for n := range 300 {
		p := randomProblem(random, 1+random.IntN(6))
		cost, _ := bruteForce(p)
		if cost <= 0 {
			continue
		}
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		r := &run{search: newSearch(m, 0)}
		r.best, _ = r.search.construct(context.Background())
		if r.best.lack > 0 {
			continue
		}
		r.generate(context.Background(), 50_000_000)
		if r.bound > cost {
			t.Fatalf("problem %d: the bound is %d, the optimum %d\n%+v", n, r.bound, cost, p)
		}
		if r.bound == cost {
			met++
		}
		if area := m.certificate(m.byArea(), nil).Bound; r.bound > area {
			raised++
		}
	}
	if raised < 20 || met < 50 {
		t.Errorf("%d bounds are above that of areas, %d met the optimum: the test says little", raised, met)
	}
	t.Logf("%d bounds are above that of areas, %d met the optimum", raised, met)
}
