package nest2d

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
)

// refutedDraws is a sample; a hundred thousand were tried once.
const refutedDraws = 1500

// TestRefuteBrute puts mixes to their programs on problems whose optimum is found by
// brute force, from no bound at all: the bound must not pass the optimum, no proof may
// rule out the sheets of a plan, and each must be right.
func TestRefuteBrute(t *testing.T) {
	random := rand.New(rand.NewPCG(41, 42))
	raised, met, proved, several := 0, 0, 0, 0
	for n := range refutedDraws {
		p := randomProblem(random, 2+random.IntN(5))
		cost, _ := bruteForce(p)
		if cost <= 0 || len(p.Sheets) < 2 {
			continue
		}
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		r := &run{search: newSearch(m, 0)}
		r.effort.raster, r.effort.bound = []int{2, 3, 1000}[random.IntN(3)], 1000
		r.certificates = []Certificate{m.certificate(m.byArea(), nil)}
		r.best, _ = r.search.construct(context.Background())
		if r.best.lack > 0 {
			continue
		}
		r.best.cost += random.Int64N(4)
		if random.IntN(2) == 0 {
			r.shelf = &shelf{}
			for _, b := range r.best.boards {
				r.shelf.keep(b)
			}
		}
		r.refute(context.Background(), 50_000_000)
		if r.bound > cost {
			t.Fatalf("problem %d: the bound is %d, the optimum %d\n%+v", n, r.bound, cost, p)
		}
		if r.bound == cost {
			met++
		}
		if area := r.certificates[0].Bound; r.bound > area {
			raised++
		}
		if slices.ContainsFunc(r.best.boards, func(b *board) bool { return b.kind != r.best.boards[0].kind }) {
			several++
		}
		if c := r.result.Certificate.Layouts; c != nil {
			mustProve(t, m, c)
			if c.Bound > r.bound {
				t.Fatalf("problem %d: %d is proved and the bound is %d", n, c.Bound, r.bound)
			}
			if !c.purchase(m).reached(r.best.used) {
				t.Fatalf("problem %d: a proof rules out the sheets of a plan\n%+v", n, p)
			}
			proved++
		}
	}
	t.Logf("%d bounds are above that of areas, %d met the optimum, %d have a proof, %d of several kinds", raised, met, proved, several)
	if raised < 50 || met < 50 || proved < 50 || several < 50 {
		t.Error("the test says little")
	}
}
