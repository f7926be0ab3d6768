package nest1d

import (
	"context"
	"math/rand/v2"
	"testing"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// blindPricer finds next to nothing and knows nothing better than Dantzig's bound.
type blindPricer struct{ m *model }

func (b blindPricer) price(q *query) answer {
	a := answer{aborted: true, upper: make([]int64, len(b.m.bars))}
	for i := range b.m.bars {
		k := newKnapsack(&b.m.bars[i], q.value, q.need)
		a.upper[i] = k.ceiling(0, k.capacity)
	}
	return a
}

// wrongEngine spoils the duals that its programmes report.
type wrongEngine struct{ random *rand.Rand }

func (wrongEngine) Name() string     { return "wrong" }
func (e wrongEngine) New() solver.LP { return wrongLP{embedded.Engine{}.New(), e.random} }

type wrongLP struct {
	solver.LP
	random *rand.Rand
}

func (w wrongLP) Dual(dst []float64) []float64 {
	d := w.LP.Dual(dst)
	for i := range d {
		switch w.random.IntN(3) {
		case 0:
			d[i] *= 1 + 0.3*w.random.Float64()
		case 1:
			d[i] = 10 * w.random.Float64()
		}
	}
	return d
}

// deadEngine never solves anything.
type deadEngine struct{}

func (deadEngine) Name() string   { return "dead" }
func (deadEngine) New() solver.LP { return deadLP{embedded.Engine{}.New()} }

type deadLP struct{ solver.LP }

func (deadLP) Solve(context.Context, int) solver.Status { return solver.Failed }

// An aborted pricer, wrong duals or a failing linear programme may weaken the
// bound and the plan. They must not make either false.
func TestFaultsNeverLie(t *testing.T) {
	weaker := 0
	for seed := range 400 {
		r := rand.New(rand.NewPCG(uint64(seed), 77))
		p := smallProblem(r, 1)
		want, _ := bruteCost(&p)
		for _, fault := range []struct {
			name string
			run  func() Result
		}{
			{"blind pricer", func() Result {
				x := newRun(context.Background(), &p, Options{})
				if len(x.lone) > 0 {
					return Result{Outcome: Impossible}
				}
				x.pricer = blindPricer{x.model}
				x.solve()
				return x.result()
			}},
			{"wrong duals", func() Result {
				res, _ := Solve(context.Background(), p, Options{Engine: wrongEngine{r}})
				return res
			}},
			{"dead programme", func() Result {
				res, _ := Solve(context.Background(), p, Options{Engine: deadEngine{}})
				return res
			}},
		} {
			name, res := fault.name, fault.run()
			verify(t, &p, &res)
			switch {
			case want >= noPlan:
				if res.Outcome == Planned {
					t.Errorf("%s, seed %d: planned the impossible", name, seed)
				}
			case res.Outcome == Impossible:
				t.Errorf("%s, seed %d: says impossible, cost %d", name, seed, want)
			case res.Outcome == Planned:
				verifyCertificate(t, &p, &res)
				if res.Cost.Bound > want || res.Cost.Value < want || res.Cost.Status == Proven && res.Cost.Value != want {
					t.Errorf("%s, seed %d: %+v, brute force %d", name, seed, res.Cost, want)
				}
				if res.Cost.Status != Proven {
					weaker++
				}
			}
		}
	}
	if weaker == 0 {
		t.Error("no fault weakened any bound: the faults do not reach the engine")
	}
	t.Logf("%d of 1200 runs lost their proof to a fault", weaker)
}
