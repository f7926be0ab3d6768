package nest2d

import (
	"context"
	"math/rand/v2"
	"testing"

	"sawbill/nest2d/knapsack"
)

// TestGenerateBrute starts column generation from no bound and a poor plan, on
// problems whose optimum is found by brute force: the bound must not pass it,
// and be above that of areas now and then. What the proof says of a kind of
// sheet is held against the knapsack.
func TestGenerateBrute(t *testing.T) {
	random := rand.New(rand.NewPCG(31, 32))
	raised, met, proved := 0, 0, 0
	for n := range 600 {
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
		r.effort.raster, r.effort.generate = []int{2, 3, 1000}[random.IntN(3)], 50_000_000
		r.best, _ = r.search.construct(context.Background())
		if r.best.lack > 0 {
			continue
		}
		r.generate(context.Background())
		if r.bound > cost {
			t.Fatalf("problem %d: the bound is %d, the optimum %d\n%+v", n, r.bound, cost, p)
		}
		if r.bound == cost {
			met++
		}
		if area := m.certificate(m.byArea(), nil).Bound; r.bound > area {
			raised++
		}
		if c := r.result.Certificate.Layouts; c != nil {
			mustProve(t, m, c)
			if c.Bound > r.bound {
				t.Fatalf("problem %d: %d is proved and the bound is %d", n, c.Bound, r.bound)
			}
			if c.Bound == r.bound {
				proved++
			}
		}
	}
	if raised < 50 || met < 100 || proved < 100 {
		t.Errorf("%d bounds are above that of areas, %d met the optimum, %d have a proof: the test says little", raised, met, proved)
	}
	t.Logf("%d bounds are above that of areas, %d met the optimum, %d have a proof", raised, met, proved)
}

// mustProve works out what a proof says, sizes rounded as it says.
func mustProve(t *testing.T, m *model, c *LayoutProof) {
	need := int64(0)
	for i, a := range m.problem.Panels {
		need += a.Demand * c.Values[i]
	}
	for k, kind := range c.Kinds {
		if m.kinds[k].supply == 0 {
			continue
		}
		charged, priced := int64(0), make([]int64, len(c.Values))
		for i, a := range m.problem.Panels {
			charged += a.Demand * kind.Charges[i]
			priced[i] = c.Values[i] - kind.Charges[i]
			if kind.Charges[i] < 0 {
				t.Fatalf("a charge of %d", kind.Charges[i])
			}
		}
		p := m.knapsack(k, priced, kind.Unit)
		for i := range p.Panels {
			p.Panels[i].Value >>= 10
			p.Panels[i].Most = knapsack.Unlimited
		}
		v, err := knapsack.Unbounded(p)
		if err != nil {
			t.Fatal(err)
		}
		// Values were divided, so that they fit: what is left of them is less than 1 a panel.
		if v.Value<<10 > kind.Worth-charged {
			t.Fatalf("kind %d holds %d, with charges %d, more than %d", k, v.Value<<10, charged, kind.Worth)
		}
	}
	if need != c.Need {
		t.Fatalf("the need is %d and not %d", need, c.Need)
	}
}
