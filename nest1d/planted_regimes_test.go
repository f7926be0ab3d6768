package nest1d

import (
	"context"
	"math/rand/v2"
	"testing"
	"time"
)

// plantedRegime cuts bars up as regime does with small problems, at any size: up
// to a million copies of a piece, hundreds of kinds, racks of single offcuts. The
// plan it comes from costs what is returned.
func plantedRegime(r *rand.Rand, most int) (p Problem, cost, bars int64) {
	unit := anyOf[int64](r, 1, 15_875, 40_000, 40_000, 50_000_000/7)
	longest := anyOf[int64](r, 10, 60, 240, 7000)
	kinds := anyOf(r, 1, 1, 1, 2, 4)
	repeat := anyOf[int64](r, 1, 1, 1, 3, 40, 1000, 100_000)
	price := anyOf[func() int64](r,
		func() int64 { return 1500 + r.Int64N(4000) },
		func() int64 { return anyOf[int64](r, 0, 1, 1_000_000_000) },
		func() int64 { return 0 },
		func() int64 { return 1 + r.Int64N(3) },
		func() int64 { return anyOf[int64](r, 0, 100, 2500, 5100) })
	stocks := anyOf(r, 1, 2, 3, 8, 20, 300)
	var kerf []int64
	high := int64(0)
	for range kinds {
		k := anyOf[int64](r, 0, 1, unit, 3*unit, longest*unit/8)
		kerf, high = append(kerf, k), max(high, k)
	}
	for range stocks {
		s := Stock{Length: (1+r.Int64N(longest))*unit + r.Int64N(unit), Kerf: kerf, Price: price(), Supply: Unlimited}
		if r.IntN(3) == 0 {
			s.TrimLeft, s.TrimRight = r.Int64N(s.Length/10+1), r.Int64N(s.Length/20+1)
		}
		if r.IntN(3) == 0 {
			s.Tail = 1 + r.Int64N(s.Length/10+1)
		}
		if r.IntN(2) == 0 {
			s.Keep = 1 + s.Length/5
		}
		p.Stocks = append(p.Stocks, s)
	}
	index, used := map[Piece]int{}, make([]int64, stocks)
	shortest := 1 + r.Int64N(longest/3+1)
	step := anyOf[int64](r, 1, unit)
	few := 1 + r.IntN(anyOf(r, 3, 40, 1000)) // kinds of piece, about
	for n := 0; n < most; n++ {
		k := r.IntN(stocks)
		if stocks >= 100 && used[k] > 0 {
			continue
		}
		s := &p.Stocks[k]
		count := int64(1)
		if stocks < 100 {
			count = 1 + r.Int64N(repeat)
		}
		rest := s.Capacity()
		if s.Tail > 0 {
			rest -= high
		}
		var content []Piece
		for rest > 0 {
			q := Piece{Left: r.IntN(kinds), Right: r.IntN(kinds), Turn: r.IntN(2) == 0,
				Length: (shortest*unit + r.Int64N(longest*unit/2+1)) / step * step}
			if len(p.Pieces) >= few || r.IntN(3) == 0 && len(p.Pieces) > 0 {
				q = p.Pieces[r.IntN(len(p.Pieces))]
				q.Demand = 0
			} else if r.IntN(4) == 0 {
				q.Length = rest // fills the bar
			}
			if q.Length > rest || q.Length <= 0 || len(content) > 300 {
				break
			}
			content = append(content, q)
			rest -= q.Length + high
		}
		if len(content) == 0 {
			continue
		}
		used[k] += count
		cost += count * s.Price
		bars += count
		for _, q := range content {
			i, ok := index[q]
			if !ok {
				i = len(p.Pieces)
				index[q] = i
				p.Pieces = append(p.Pieces, q)
			}
			p.Pieces[i].Demand += count
		}
	}
	scarce := r.IntN(3)
	for k := range p.Stocks {
		s := &p.Stocks[k]
		switch {
		case stocks >= 100:
			s.Supply = max(1, used[k])
		case s.Price == 0 || scarce == 0 || scarce == 1 && r.IntN(2) == 0:
			s.Supply = used[k] + r.Int64N(3)
		}
	}
	return p, cost, bars
}

// TestPlantedRegimes holds bounds against plans that are known to exist, in the
// regimes of plantedRegime.
func TestPlantedRegimes(t *testing.T) {
	proven, found, n := 0, 0, 0
	stress(t, 250, func(seed uint64) {
		r := rand.New(rand.NewPCG(seed, 103))
		p, cost, bars := plantedRegime(r, 1+r.IntN(anyOf(r, 4, 12, full(40, 400))))
		if check(&p) != nil {
			return // beyond the numbers that are accepted
		}
		opt := Options{Effort: Quick, Seed: r.Int64()}
		if fullRun() {
			opt.Effort = anyOf(r, Quick, Normal)
		}
		ctx := context.Context(context.Background())
		if r.IntN(8) == 0 {
			ctx = &countdown{ctx, r.IntN(2000)}
		}
		n++
		start := time.Now()
		res, err := Solve(ctx, p, opt)
		if err != nil {
			t.Errorf("seed %d: %v", seed, err)
			return
		}
		if d := time.Since(start); d > 4*time.Second {
			var pieces int64
			for _, q := range p.Pieces {
				pieces += q.Demand
			}
			t.Logf("seed %d took %.1f s at effort %d: %d pieces of %d kinds, %d stocks, %d cuts, %+v %+v struck %d", seed, d.Seconds(), opt.Effort,
				pieces, len(p.Pieces), len(p.Stocks), len(p.Stocks[0].Kerf), res.Cost, res.Work, res.Struck)
		}
		verify(t, &p, &res)
		if res.Outcome == Impossible || res.Cost.Bound > cost || res.Certificate.Bound > cost {
			t.Errorf("seed %d: outcome %d, cost %+v, a plan costs %d", seed, res.Outcome, res.Cost, cost)
			return
		}
		if res.Outcome == Planned {
			found++
		}
		if res.Cost.Status != Proven {
			return
		}
		proven++
		if cost == res.Cost.Value && (res.Bars.Bound > bars || res.Bars.Status == Proven && res.Bars.Value > bars) {
			t.Errorf("seed %d: bars %+v, a plan has %d", seed, res.Bars, bars)
		}
	})
	t.Logf("%d planned and %d proven of %d", found, proven, n)
	if proven == 0 {
		t.Error("nothing was proven, so nothing was tested")
	}
}
