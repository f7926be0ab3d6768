package nest1d

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"
)

// The least cost of the problems in this file follows from theorems, at sizes
// where no list of plans could be made.

// claim checks a result against the least cost, however far the search came, and
// tells whether the least cost was found and proven.
func claim(t *testing.T, name string, p Problem, o Options, least int64) bool {
	t.Helper()
	res := mustSolve(t, p, o)
	verify(t, &p, &res)
	switch {
	case res.Outcome != Planned:
		t.Errorf("%s: outcome %d, the least cost is %d", name, res.Outcome, least)
	case res.Cost.Value < least || res.Cost.Bound > least || res.Certificate.Bound > least:
		t.Errorf("%s: %+v, certificate %d, the least cost is %d", name, res.Cost, res.Certificate.Bound, least)
	}
	return res.Cost.Status == Proven && res.Cost.Value == least
}

// TestRelaxationBesideInteger puts the linear relaxation as close to a whole
// number of bars as lengths allow, on either side and upon it. Where each length
// divides the next longer one and the longest the bar, first-fit decreasing fills
// every bar but the last, so the least number of bars is the total length over
// the bar's, rounded up (Coffman, Garey and Johnson, Journal of Complexity 3
// (1987) 406–428), and the relaxation is that ratio. A kerf adds to all lengths.
func TestRelaxationBesideInteger(t *testing.T) {
	n, proven := 0, 0
	for seed := range uint64(full(120, 2000)) {
		r := rand.New(rand.NewPCG(seed, 107))
		kerf := anyOf[int64](r, 0, 0, 1, 120_000)
		// Lengths with their kerf; the shortest is one unit where there is no kerf.
		sizes := []int64{kerf + 1}
		for range 1 + r.IntN(5) {
			sizes = append(sizes, sizes[len(sizes)-1]*anyOf[int64](r, 2, 3, 7, 64, 1000))
			if sizes[len(sizes)-1] > 1<<30 {
				break
			}
		}
		bar := sizes[len(sizes)-1] * anyOf[int64](r, 1, 2, 5)
		price := anyOf[int64](r, 1, 4525, 1_000_000_000)
		bars := 2 + r.Int64N(40)
		total := bars*bar + anyOf[int64](r, -1, 0, 1)*sizes[0]
		p := Problem{Stocks: []Stock{{Length: bar - kerf, Kerf: []int64{kerf}, Supply: Unlimited, Price: price}}}
		least := (total + bar - 1) / bar * price
		if r.IntN(2) == 0 {
			// A bar as long as two at twice the price changes nothing.
			p.Stocks = append(p.Stocks, Stock{Length: 2*bar - kerf, Kerf: []int64{kerf}, Supply: Unlimited, Price: 2 * price})
		}
		rest := total
		for i := len(sizes) - 1; i >= 0; i-- {
			n := rest / sizes[i]
			if i > 0 && n > 0 {
				n = r.Int64N(n + 1)
			}
			if n > 0 {
				p.Pieces = append(p.Pieces, Piece{Length: sizes[i] - kerf, Demand: n})
				rest -= n * sizes[i]
			}
		}
		if check(&p) != nil {
			continue // beyond the numbers that are accepted
		}
		n++
		if claim(t, fmt.Sprint("seed ", seed), p, Options{Seed: int64(seed)}, least) {
			proven++
		}
	}
	t.Logf("%d of %d proven", proven, n)
	if n == 0 || proven < n {
		t.Errorf("%d of %d left open", n-proven, n)
	}
}

// TestThousandKinds wants one piece each of a thousand lengths, all above a third
// of the bar, so that the fewest bars are the pieces less the most pairs that fit.
// If the longest piece fits with any, it fits with the shortest, and pairing those
// two loses nothing: what each was paired with before fits together.
func TestThousandKinds(t *testing.T) {
	n, proven := 0, 0
	for seed := range uint64(full(2, 40)) {
		r := rand.New(rand.NewPCG(seed, 109))
		capacity := int64(6000 * mm)
		kerf := anyOf[int64](r, 0, 3*mm, 1)
		lengths := map[int64]bool{}
		for len(lengths) < 1000 {
			// From just over a third to most of the bar, skewed as the seed says.
			span := capacity * anyOf[int64](r, 1, 2, 3) / 6
			lengths[capacity/3+1+r.Int64N(span)] = true
		}
		sorted := []int64{}
		for l := range lengths {
			sorted = append(sorted, l)
		}
		slices.Sort(sorted)
		p := Problem{Stocks: []Stock{{Length: capacity, Kerf: []int64{kerf}, Supply: Unlimited, Price: 4525}}}
		for _, l := range sorted {
			p.Pieces = append(p.Pieces, Piece{Length: l, Demand: 1})
		}
		least := 4525 * (int64(len(sorted)) - mostPairs(sorted, capacity-kerf))
		n++
		if claim(t, fmt.Sprint("seed ", seed), p, Options{Effort: Quick}, least) {
			proven++
		}
	}
	t.Logf("%d of %d proven", proven, n)
	if n == 0 || proven < n {
		t.Errorf("%d of %d left open", n-proven, n)
	}
}

// mostPairs is the most pairs whose sum is at most room, of lengths that rise.
func mostPairs(sorted []int64, room int64) (n int64) {
	for low, high := 0, len(sorted)-1; low < high; high-- {
		if sorted[low]+sorted[high] <= room {
			low++
			n++
		}
	}
	return n
}

// TestRackOfOddLengths has 300 offcuts, each of its own length and free, and a
// bar on sale; no bar holds two pieces. The most pieces that offcuts take is a
// matching in a convex graph: to each offcut, the shortest first, goes the shortest
// piece that is left, if it fits (Glover, Naval Research Logistics Quarterly 14 (1967) 313–316).
func TestRackOfOddLengths(t *testing.T) {
	n, proven := 0, 0
	for seed := range uint64(full(2, 60)) {
		r := rand.New(rand.NewPCG(seed, 113))
		p := Problem{Stocks: []Stock{{Length: 1999 * mm, Kerf: []int64{3 * mm}, Supply: Unlimited, Price: 1546}}}
		odd := map[int64]bool{}
		for len(odd) < 300 {
			odd[900*mm+r.Int64N(1099*mm)] = true
		}
		rack := []int64{}
		for l := range odd {
			rack = append(rack, l)
		}
		slices.Sort(rack)
		for _, l := range rack {
			p.Stocks = append(p.Stocks, Stock{Length: l, Kerf: []int64{3 * mm}, Supply: 1})
		}
		wanted := []int64{}
		for range 50 + r.IntN(400) {
			wanted = append(wanted, 1000*mm+r.Int64N(anyOf[int64](r, 100, 900, 999)*mm))
		}
		slices.Sort(wanted)
		for _, l := range wanted {
			p.Pieces = append(p.Pieces, Piece{Length: l, Demand: 1})
		}
		// Pieces are nested by length: the shortest that is left goes first.
		matched := 0
		for _, l := range rack {
			if matched < len(wanted) && wanted[matched] <= l {
				matched++
			}
		}
		n++
		if claim(t, fmt.Sprint("seed ", seed), p, Options{Effort: Quick}, 1546*int64(len(wanted)-matched)) {
			proven++
		}
	}
	t.Logf("%d of %d proven", proven, n)
	if n == 0 || proven < n {
		t.Errorf("%d of %d left open", n-proven, n)
	}
}
