package nest1d

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"
	"time"
)

// unit is 25 nm; lengths below are in millimetres times millimetre.
const millimetre = int64(40_000)

// frames is a bar of 40 mm square tube and mitred pieces of it, by angles in
// degrees: kerf 2.5 mm, at 45° 3.535534 mm along the bar (kerf/cos, rounded up to
// 25 nm) and 40 mm across (width·tan).
func frames(lengths []int64, demand int64) Problem {
	p := Problem{Stocks: []Stock{{
		Length: 6000 * millimetre, TrimLeft: 10 * millimetre, TrimRight: 10 * millimetre, Supply: Unlimited, Price: 3000,
		Kerf: []int64{100_000, 141_422}, Slant: []int64{0, 40 * millimetre},
	}}}
	for _, l := range lengths {
		p.Pieces = append(p.Pieces, Piece{Length: l * millimetre, Demand: demand, Left: 1, Right: 1, Turn: true, Roll: true})
	}
	return p
}

// TestPictureFrames: 40 pieces, mitred at both ends. In every bar all joints are
// shared, so n pieces save (n − 1)·40 mm against joints that are not; no random
// order of the pieces, cut from bar after bar, needs fewer bars; and the bound is
// the one from the lengths less the shared slants.
func TestPictureFrames(t *testing.T) {
	p := frames([]int64{720, 540, 830, 615, 1290, 445, 985, 760}, 5)
	res, err := Solve(context.Background(), p, Options{})
	if err != nil || res.Outcome != Planned || res.Cost.Status != Proven {
		t.Fatalf("%+v, %v", res.Cost, err)
	}
	verify(t, &p, &res)
	s := &p.Stocks[0]
	plain := *s
	plain.Slant = nil
	for _, l := range res.Layouts {
		var content []int
		for _, q := range l.Places {
			content = append(content, q.Piece)
		}
		apart, _ := plain.need(p.Pieces, content)
		saved := apart - (s.End(p.Pieces, l.Places) - s.TrimLeft)
		if want := int64(len(content)-1) * 40 * millimetre; saved != want {
			t.Errorf("a bar with %d pieces saves %d, by theory %d", len(content), saved, want)
		}
	}
	r := rand.New(rand.NewPCG(1, 2))
	fewest := int64(1 << 40)
	for range full(20_000, 1_000_000) {
		fewest = min(fewest, randomBars(r, &p))
	}
	if res.Bars.Value > fewest {
		t.Errorf("%d bars, a random order takes %d", res.Bars.Value, fewest)
	}
	p.Stocks[0].Slant = nil
	without, err := Solve(context.Background(), p, Options{})
	if err != nil || without.Bars.Value <= res.Bars.Value {
		t.Errorf("%d bars without shared cuts (%v), %d with", without.Bars.Value, err, res.Bars.Value)
	}
	t.Logf("%d bars, bound %d; best of the random orders %d, without shared cuts %d", res.Bars.Value, res.Cost.Bound/3000, fewest, without.Bars.Value)
}

// randomBars fills bar after bar in a random order, each piece rolled or turned at
// random until it shares the cut before it, which all of these can.
func randomBars(r *rand.Rand, p *Problem) int64 {
	var order []int
	for i, q := range p.Pieces {
		for range q.Demand {
			order = append(order, i)
		}
	}
	r.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
	s := &p.Stocks[0]
	bars, at := int64(1), int64(0)
	for _, i := range order {
		l := p.Pieces[i].Length
		next := at + l
		if at > 0 {
			next += s.Kerf[1] - s.Slant[1]
		}
		if next > s.Capacity() {
			bars++
			next = l
		}
		at = next
	}
	return bars
}

// TestMixedMitres: 200 pieces with all kinds of ends from bars of two lengths, in
// 10 s within one bar of the bound.
func TestMixedMitres(t *testing.T) { mixed(t, mixedMitres) }

// TestMixedSides is the same for RHS 40x20 with every end laid on either side.
func TestMixedSides(t *testing.T) { mixed(t, mixedSides) }

func mixed(t *testing.T, make func(*rand.Rand) Problem) {
	for seed := range uint64(full(1, 10)) {
		p := make(rand.New(rand.NewPCG(seed, 4)))
		start := time.Now()
		res, err := Solve(context.Background(), p, Options{})
		took := time.Since(start)
		if err != nil || res.Outcome != Planned {
			t.Fatalf("seed %d: %v, %v", seed, res.Outcome, err)
		}
		verify(t, &p, &res)
		dearest := max(p.Stocks[0].Price, p.Stocks[1].Price)
		if res.Cost.Value-res.Cost.Bound > dearest {
			t.Errorf("seed %d: cost %d, bound %d, a bar is %d", seed, res.Cost.Value, res.Cost.Bound, dearest)
		}
		plain := p
		plain.Stocks = slices.Clone(p.Stocks)
		plain.Stocks[0].Slant, plain.Stocks[1].Slant = nil, nil
		without, err := Solve(context.Background(), plain, Options{Effort: Quick})
		if err != nil || without.Cost.Value < res.Cost.Bound {
			t.Errorf("seed %d: without shared cuts %d (%v), below the bound %d with", seed, without.Cost.Value, err, res.Cost.Bound)
		}
		t.Logf("seed %d: cost %d, bound %d, %d bars in %v; without shared cuts %d", seed, res.Cost.Value, res.Cost.Bound, res.Bars.Value, took, without.Cost.Value)
	}
}

// mixedMitres are 200 pieces of 40 mm tube with ends at 0, 22.5, 30 and 45 degrees.
func mixedMitres(r *rand.Rand) Problem {
	// kerf 2.5 mm: kerf/cos up, 40 mm·tan down, in units of 25 nm.
	kerf, slant := []int64{100_000, 108_240, 115_471, 141_422}, []int64{0, 662_741, 923_760, 1_600_000}
	p := Problem{}
	for k, l := range []int64{6000, 5000} {
		p.Stocks = append(p.Stocks, Stock{Length: l * millimetre, TrimLeft: 10 * millimetre, TrimRight: 10 * millimetre, Supply: Unlimited,
			Price: []int64{3840, 3250}[k], Kerf: kerf, Slant: slant})
	}
	for n := int64(0); n < 200; {
		d := min(200-n, 1+r.Int64N(8))
		n += d
		p.Pieces = append(p.Pieces, Piece{Length: (300 + r.Int64N(1700)) * millimetre, Demand: d, Left: r.IntN(4), Right: r.IntN(4),
			LeftUp: r.IntN(2) == 0, RightUp: r.IntN(2) == 0, Turn: true, Roll: true})
	}
	return p
}

// mixedSides are 200 pieces of RHS 40x20 with ends at 0, 22.5, 30 and 45 degrees, each
// laid on the narrow side, of 20 mm, or the wide one.
func mixedSides(r *rand.Rand) Problem {
	p := mixedMitres(r)
	for k := range p.Stocks {
		s := &p.Stocks[k]
		wide := s.Slant
		s.Kerf = slices.Concat(s.Kerf, s.Kerf[1:])
		s.Slant = []int64{0, wide[1] / 2, wide[2] / 2, wide[3] / 2, wide[1], wide[2], wide[3]}
		s.Plane = []int{0, 0, 0, 0, 1, 1, 1}
	}
	for i := range p.Pieces {
		q := &p.Pieces[i]
		for _, c := range []*int{&q.Left, &q.Right} {
			if *c > 0 && r.IntN(2) == 0 {
				*c += 3
			}
		}
		q.Turned = &Ends{q.Right, q.Left, q.RightUp != (q.Right > 3), q.LeftUp != (q.Left > 3)}
	}
	return p
}
