package nest1d

import (
	"context"
	"math/rand/v2"
	"os"
	"slices"
	"testing"
	"time"
)

// anyOf draws one of the values.
func anyOf[T any](r *rand.Rand, values ...T) T { return values[r.IntN(len(values))] }

// regime draws a problem with at most so many pieces from regimes that ordinary
// jobs do not meet together: free bars, prices nine orders apart, no or endless
// supplies, kerfs longer than pieces, trims that leave nothing, pieces that just
// fill a bar, equal stocks, mitred ends, layouts settled already.
func regime(r *rand.Rand, pieces int64, stocks int) Problem {
	var p Problem
	unit := anyOf[int64](r, 1, 1, 2, 15_875, 40_000, 4_999_999)
	jitter := func() int64 {
		if unit > 2 && r.IntN(2) == 0 {
			return r.Int64N(unit)
		}
		return 0
	}
	longest := anyOf[int64](r, 1, 3, 12, 30, 100)
	kinds := anyOf(r, 1, 1, 2, 3, 5)
	kerf := func() int64 { return anyOf[int64](r, 0, 0, 1, 2, 3, longest, 2*longest)*anyOf(r, 1, unit) + jitter()/7 }
	price := anyOf[func() int64](r,
		func() int64 { return 1 + r.Int64N(20) },
		func() int64 { return anyOf[int64](r, 0, 1, 2, 1_000_000_000) },
		func() int64 { return 0 },
		func() int64 { return 7 },
		func() int64 { return 1_000_000_000 - r.Int64N(5) },
		func() int64 { return 500 * r.Int64N(9) })
	supply := anyOf[func() int64](r,
		func() int64 { return Unlimited },
		func() int64 { return anyOf[int64](r, Unlimited, 0, 1, 2, 3) },
		func() int64 { return 1 },
		func() int64 { return r.Int64N(4) },
		func() int64 { return anyOf[int64](r, 1_000_000, 1<<40, 1<<62, 1<<63-1) })
	for range 1 + r.IntN(stocks) {
		s := Stock{Length: (1+r.Int64N(longest))*unit + jitter(), Supply: supply(), Price: price()}
		if len(p.Stocks) > 0 && r.IntN(4) == 0 {
			s = p.Stocks[r.IntN(len(p.Stocks))]
			s.Supply = supply()
		} else {
			for range kinds {
				s.Kerf = append(s.Kerf, kerf())
			}
			if r.IntN(3) == 0 {
				s.TrimLeft, s.TrimRight = r.Int64N(longest/8+2)*anyOf(r, 1, unit), r.Int64N(longest/8+2)
			}
			if r.IntN(20) == 0 {
				s.TrimLeft = s.Length - r.Int64N(2)
			}
			if r.IntN(3) == 0 {
				s.Tail = 1 + r.Int64N(longest/6+2)*anyOf(r, 1, unit)
			}
			if r.IntN(2) == 0 {
				s.Keep = 1 + r.Int64N(s.Length)
			}
		}
		if s.Price == 0 && s.Supply == Unlimited {
			s.Supply = r.Int64N(5)
		}
		p.Stocks = append(p.Stocks, s)
	}
	for left := 1 + r.Int64N(pieces); left > 0; {
		q := Piece{Left: r.IntN(kinds), Right: r.IntN(kinds), Turn: r.IntN(2) == 0}
		s := &p.Stocks[r.IntN(len(p.Stocks))]
		c := max(1, s.Capacity())
		switch r.IntN(5) {
		case 0:
			q.Length = c // fills the bar
		case 1:
			q.Length = max(1, (c-s.Kerf[q.Left])/2) // two fill it
		case 2:
			q.Length = max(1, c-r.Int64N(s.Kerf[q.Right]+2)) // leaves less than a kerf
		case 3:
			q.Length = 1 + r.Int64N(max(1, c/3))
		default:
			q.Length = (1+r.Int64N(max(1, longest/2)))*unit + jitter()
		}
		if len(p.Pieces) > 0 && r.IntN(5) == 0 {
			q.Length = p.Pieces[r.IntN(len(p.Pieces))].Length
		}
		q.Demand = min(left, 1+r.Int64N(3))
		left -= q.Demand
		p.Pieces = append(p.Pieces, q)
	}
	if r.IntN(5) == 0 {
		p.Fixed = settled(r, &p)
	}
	return p
}

// settled draws a layout that is cut already, if a bar holds any piece.
func settled(r *rand.Rand, p *Problem) []Layout {
	k, i := r.IntN(len(p.Stocks)), r.IntN(len(p.Pieces))
	places, fits := p.Stocks[k].Arrange(p.Pieces, []int{i})
	if !fits || p.Stocks[k].Supply == 0 || p.Pieces[i].Demand == 0 {
		return nil
	}
	return []Layout{{Stock: k, Count: 1, Places: places}}
}

// countdown is a context that ends when it was asked so often.
type countdown struct {
	context.Context
	asks int
}

func (c *countdown) Err() error {
	if c.asks--; c.asks < 0 {
		return context.Canceled
	}
	return nil
}

// stress runs a trial for so many seeds, in a full run for minutes.
func stress(t *testing.T, runs int, trial func(seed uint64)) {
	t.Helper()
	end := time.Now().Add(stressTime)
	n := 0
	for n < runs || fullRun() && time.Now().Before(end) {
		trial(uint64(n))
		n++
	}
	t.Logf("%d problems", n)
}

// fullRun says that tests may take minutes.
func fullRun() bool { return os.Getenv("SAWBILL_FULL") != "" }

// full picks the second value in a full run.
func full[T any](few, many T) T {
	if fullRun() {
		return many
	}
	return few
}

const stressTime = 3 * time.Minute

// TestRegimes holds every claim of a result against a list of all plans.
func TestRegimes(t *testing.T) {
	var proven, impossible, open, goals int
	stress(t, 1500, func(seed uint64) {
		r := rand.New(rand.NewPCG(seed, 101))
		p := regime(r, anyOf[int64](r, 3, 5, 7), 3)
		o := newOracle(&p)
		if o == nil || !o.solve() {
			return
		}
		opt := Options{Effort: anyOf(r, Quick, Normal, Normal, Long), Seed: r.Int64()}
		ctx := context.Context(context.Background())
		cut := r.IntN(6) == 0
		if cut {
			ctx = &countdown{ctx, r.IntN(200)}
		}
		res, err := Solve(ctx, p, opt)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			return
		}
		verify(t, &p, &res)
		switch {
		case !o.found:
			if res.Outcome == Planned {
				t.Errorf("seed %d: planned the impossible: %+v", seed, p)
			}
			if res.Outcome == Impossible {
				impossible++
			} else {
				open++
			}
			return
		case res.Outcome == Impossible:
			t.Errorf("seed %d: said to be impossible, a plan is %+v: %+v", seed, o.best, p)
			return
		case res.Outcome == NotFound:
			open++
			if !cut {
				t.Errorf("seed %d: no plan found, one is %+v: %+v", seed, o.best, p)
			}
			return
		}
		verifyNet(t, o, &res)
		b := o.best
		fail := func(goal string) {
			t.Errorf("seed %d: %s: cost %+v bars %+v patterns %+v offcut %+v, all plans %+v: %+v",
				seed, goal, res.Cost, res.Bars, res.Patterns, res.Offcut, b, p)
		}
		if res.Cost.Bound > b.cost || res.Cost.Value < b.cost || res.Certificate.Bound > b.cost {
			fail("cost")
			return
		}
		if res.Cost.Status != Proven {
			open++
			if !cut && opt.Effort != Quick {
				t.Logf("seed %d left open: %+v %+v", seed, res.Cost, p)
			}
			return
		}
		proven++
		if res.Bars.Bound > b.bars || res.Bars.Value < b.bars {
			fail("bars")
			return
		}
		if res.Bars.Status != Proven {
			return
		}
		if res.Patterns.Bound > b.patterns || res.Patterns.Value < b.patterns {
			fail("patterns")
			return
		}
		if res.Patterns.Status != Proven {
			return
		}
		if res.Offcut.Status != NotSought && (res.Offcut.Bound < b.offcut || res.Offcut.Value > b.offcut) {
			fail("offcut")
		}
		if res.Offcut.Status == Proven || b.offcut == 0 {
			goals++
		}
	})
	t.Logf("%d proven, %d of them in all goals, %d impossible, %d open", proven, goals, impossible, open)
	if proven == 0 || impossible == 0 || goals == 0 {
		t.Error("a kind of claim was never made, so it was not tested")
	}
}

// verifyNet checks the certificate on what is left beside the settled layouts.
func verifyNet(t *testing.T, o *oracle, res *Result) {
	t.Helper()
	p, r := Problem{Stocks: slices.Clone(o.p.Stocks)}, *res
	r.Certificate.Piece = nil
	for i, q := range o.p.Pieces {
		if q.Demand = o.need[i]; q.Demand > 0 {
			p.Pieces = append(p.Pieces, q)
			r.Certificate.Piece = append(r.Certificate.Piece, res.Certificate.Piece[i])
		}
	}
	for k := range p.Stocks {
		p.Stocks[k].Supply = o.left[k]
	}
	verifyCertificate(t, &p, &r)
}
