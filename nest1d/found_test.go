package nest1d

import (
	"context"
	"math"
	"strings"
	"testing"
)

// TestFoundByRegimes keeps the problems on which the tests by regime once found
// a fault. Costs are those of the list of all plans.
func TestFoundByRegimes(t *testing.T) {
	bar := func(length int64, supply, price int64, kerf ...int64) Stock {
		return Stock{Length: length, Kerf: kerf, Supply: supply, Price: price}
	}
	tail := func(s Stock, tail int64) Stock { s.Tail = tail; return s }
	keep := func(s Stock, keep int64) Stock { s.Keep = keep; return s }
	trim := func(s Stock, left, right int64) Stock { s.TrimLeft, s.TrimRight = left, right; return s }
	const dear = 1_000_000_000
	for what, c := range map[string]struct {
		problem Problem
		cost    int64 // −1: impossible
	}{
		"two endless supplies of one bar added up to less than none": {Problem{
			Pieces: []Piece{{Length: 8, Demand: 1}},
			Stocks: []Stock{bar(10, 1<<62, 7, 1), bar(10, 1<<62, 7, 1)},
		}, 7},
		"all bars sold out: division by their number": {Problem{
			Pieces: []Piece{{Length: 8, Demand: 1}},
			Stocks: []Stock{bar(10, 0, 7, 1)},
		}, -1},
		"no bars: memory for as many kinds of cut as the pieces name": {Problem{
			Pieces: []Piece{{Length: 8, Demand: 1, Left: 1<<63 - 1}},
		}, -1},
		"a small excess charged to an endless supply left no bound": {Problem{
			Pieces: []Piece{{Length: 33940, Demand: 2}, {Length: 27204, Demand: 1}},
			Stocks: []Stock{bar(56580, 1<<40, dear, 2172), tail(bar(51007, 1<<40, 1, 1854), 15876)},
		}, 2*dear + 1},
		"one bar too dear to be listed ended the list": {Problem{
			Pieces: []Piece{{Length: 3, Demand: 1, Left: 1, Right: 2}, {Length: 3, Demand: 2, Left: 2}},
			Stocks: []Stock{bar(6, Unlimited, 2, 1, 12, 0), bar(12, Unlimited, dear, 2, 2, 24), bar(10, Unlimited, 2, 48, 0, 0)},
		}, 4},
		"a fine one cent above the price of a dear bar was taken for it": {Problem{
			Pieces: []Piece{{Length: 3, Demand: 2}, {Length: 5, Demand: 1, Left: 1, Right: 1, Turn: true}},
			Stocks: []Stock{bar(14, 1, dear, 30, 1), trim(bar(8, 1, 0, 3, 3), 2, 1), tail(bar(8, 3, dear, 30, 1), 2)},
		}, 2 * dear},
		"a node that left a piece out ended the search of all others": {Problem{
			Pieces: []Piece{{Length: 14, Demand: 2, Left: 1, Right: 1, Turn: true}, {Length: 1, Demand: 2}, {Length: 1, Demand: 2, Left: 2}},
			Stocks: []Stock{tail(bar(104, 1, 0, 400, 0, 100), 17), trim(bar(38, 1, 0, 2, 1, 2), 1, 2), bar(162, 1, 0, 200, 3, 2)},
		}, 0},
		"the short list lacked patterns and the long one was not tried": {Problem{
			Pieces: []Piece{{Length: 1, Demand: 3, Left: 1, Right: 1}, {Length: 117_570_022, Demand: 1, Right: 2, Turn: true}},
			Stocks: []Stock{bar(183_779_172, Unlimited, 1000, 95_489, 999_999_800, 0),
				keep(bar(194_999_961, Unlimited, 500, 4_999_999, 500_263_521, 535_962), 32_612_128),
				bar(127_544_657, 1, 0, 499_999_900, 48_297, 10_024_999)},
		}, 500},
	} {
		t.Run(what, func(t *testing.T) {
			res := mustSolve(t, c.problem, Options{})
			verify(t, &c.problem, &res)
			if c.cost < 0 {
				if res.Outcome != Impossible {
					t.Errorf("outcome %d, no plan exists", res.Outcome)
				}
				return
			}
			verifyCertificate(t, &c.problem, &res)
			if res.Outcome != Planned || res.Cost != (Goal{c.cost, c.cost, Proven}) {
				t.Errorf("outcome %d, cost %+v, the least is %d", res.Outcome, res.Cost, c.cost)
			}
		})
	}
}

// TestTurnedOffcut: of a piece that may be turned, the end with the smaller kerf
// makes the longer offcut.
func TestTurnedOffcut(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 10, Demand: 1, Left: 0, Right: 1, Turn: true}},
		Stocks: []Stock{{Length: 20, Kerf: []int64{0, 5}, Supply: 1, Price: 1, Keep: 1}},
	}
	res := mustSolve(t, p, Options{})
	verify(t, &p, &res)
	if res.Offcut != (Goal{10, 10, Proven}) {
		t.Errorf("offcut %+v, want 10", res.Offcut)
	}
}

// TestEndedAnywhere ends the context at places where it is asked for, all of the
// early ones and, unless the tests run in full, ever fewer of the later.
// Ended between the start of a dive and its first programme, it once was a panic.
func TestEndedAnywhere(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 4_999_999, Demand: 2, Left: 2, Right: 2}, {Length: 2_335_666, Demand: 3, Left: 4, Right: 1, Turn: true}},
		Stocks: []Stock{{Length: 9_999_998, Kerf: []int64{15_131_637, 5_272_678, 15_105_977, 37_016, 3}, Supply: 3},
			{Length: 14_999_997, Kerf: []int64{426_728, 1, 650_433, 3, 22_643}, Supply: 2, Price: 1}},
	}
	for asks := 0; ; asks += 1 + asks/full(50, math.MaxInt) {
		c := &countdown{context.Background(), asks}
		res, err := Solve(c, p, Options{Effort: Quick})
		if err != nil {
			t.Fatal(err)
		}
		verify(t, &p, &res)
		if c.asks >= 0 {
			break
		}
		if res.Struck != TimeLimit && res.Cost.Status != Proven {
			t.Errorf("ended after %d questions: struck %d, cost %+v", asks, res.Struck, res.Cost)
		}
	}
}

// TestCrowded: a bar with more pieces than a layout can list is refused.
func TestCrowded(t *testing.T) {
	p := Problem{Pieces: []Piece{{Length: 1, Demand: 1 << 33}}, Stocks: []Stock{{Length: 1 << 34, Kerf: []int64{0}, Supply: 1, Price: 1}}}
	if _, err := Solve(context.Background(), p, Options{}); err == nil || !strings.Contains(err.Error(), "more than 4000000 pieces") {
		t.Errorf("error is %v", err)
	}
	p.Pieces[0].Demand, p.Stocks[0].Length = 1_000_000, 1_500_000
	if res := mustSolve(t, p, Options{}); res.Cost != (Goal{1, 1, Proven}) {
		t.Errorf("a million pieces of 1 in a bar: %+v", res.Cost)
	}
}
