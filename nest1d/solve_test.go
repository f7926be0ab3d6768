package nest1d

import (
	"context"
	"math/rand/v2"
	"path/filepath"
	"reflect"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func mustSolve(t testing.TB, p Problem, o Options) Result {
	t.Helper()
	res, err := Solve(context.Background(), p, o)
	if err != nil {
		t.Fatal(err)
	}
	return res
}

// The order of pieces and stocks and the unit of length change nothing about
// the least cost; a problem in twice the unit is the same problem.
func TestShuffleAndScale(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		seed := rapid.Uint64().Draw(rt, "seed")
		r := rand.New(rand.NewPCG(seed, 3))
		p := smallProblem(r, 1+r.IntN(3))
		want := mustSolve(t, p, Options{})
		q := Problem{}
		for _, i := range r.Perm(len(p.Pieces)) {
			q.Pieces = append(q.Pieces, p.Pieces[i])
		}
		for _, i := range r.Perm(len(p.Stocks)) {
			q.Stocks = append(q.Stocks, p.Stocks[i])
		}
		factor := rapid.Int64Range(2, 50_000).Draw(rt, "factor")
		for i := range q.Pieces {
			q.Pieces[i].Length *= factor
		}
		for k := range q.Stocks {
			s := &q.Stocks[k]
			s.Length, s.TrimLeft, s.TrimRight, s.Tail = s.Length*factor, s.TrimLeft*factor, s.TrimRight*factor, s.Tail*factor
			s.Kerf = append([]int64(nil), s.Kerf...)
			for c := range s.Kerf {
				s.Kerf[c] *= factor
			}
		}
		got := mustSolve(t, q, Options{Seed: int64(seed)})
		verify(t, &q, &got)
		if got.Outcome != want.Outcome || got.Cost != want.Cost {
			rt.Fatalf("%v %+v, shuffled and scaled %v %+v", want.Outcome, want.Cost, got.Outcome, got.Cost)
		}
	})
}

// The same input gives the same result, work and all.
func TestDeterminism(t *testing.T) {
	for seed := range uint64(6) {
		p := workshop(seed, 120, 18)
		a, b := mustSolve(t, p, Options{Seed: 5}), mustSolve(t, p, Options{Seed: 5})
		if !reflect.DeepEqual(a, b) {
			t.Errorf("seed %d: two runs differ: %+v and %+v", seed, a, b)
		}
	}
}

func TestFixedLayouts(t *testing.T) {
	// By hand: six pieces of 45 in bars of 100, two to a bar. With one bar of
	// two settled, two bars remain; the supply of three is just enough.
	p := Problem{
		Pieces: []Piece{{Length: 45, Demand: 6}},
		Stocks: []Stock{{Length: 100, Kerf: []int64{2}, Supply: 3, Price: 7}},
		Fixed:  []Layout{{Count: 1, Places: []Place{{At: 0}, {At: 47}}}},
	}
	res := mustSolve(t, p, Options{})
	verify(t, &p, &res)
	if res.Cost != (Goal{14, 14, Proven}) || res.Bars != (Goal{2, 2, Proven}) || res.Patterns != (Goal{1, 1, Proven}) {
		t.Errorf("cost %+v bars %+v patterns %+v", res.Cost, res.Bars, res.Patterns)
	}
	// All settled: nothing to buy.
	p.Fixed[0].Count = 3
	if res = mustSolve(t, p, Options{}); res.Outcome != Planned || len(res.Layouts) != 0 || res.Cost != (Goal{0, 0, Proven}) {
		t.Errorf("settled problem: %+v", res)
	}
	// One settled bar more than there are.
	p.Fixed[0].Count = 4
	if _, err := Solve(context.Background(), p, Options{}); err == nil || !strings.Contains(err.Error(), "3 bars") {
		t.Errorf("four settled bars of three: %v", err)
	}
}

// By hand: three ways to have too little.
func TestImpossible(t *testing.T) {
	bar := Stock{Length: 100, TrimLeft: 5, Kerf: []int64{2}, Supply: 2, Price: 7}
	long := Problem{Pieces: []Piece{{Length: 40, Demand: 1}, {Length: 96, Demand: 1}}, Stocks: []Stock{bar}}
	if res := mustSolve(t, long, Options{}); res.Outcome != Impossible || !reflect.DeepEqual(res.Shortfall.TooLong, []int{1}) {
		t.Errorf("piece of 96 in 95: %+v", res)
	}
	// Five of 40, two to a bar, in two bars: 200 of at most 190.
	short := Problem{Pieces: []Piece{{Length: 40, Demand: 5}}, Stocks: []Stock{bar}}
	res := mustSolve(t, short, Options{})
	if res.Outcome != Impossible || res.Shortfall.Length != 10 || !reflect.DeepEqual(res.Shortfall.Unplaced, []Unplaced{{0, 1}}) {
		t.Errorf("five of 40 in two of 95: %+v", res)
	}
	// Three of 60 in two bars: the length would do, but no bar takes two. Only
	// a bound that knows how pieces lie excludes it.
	pair := Problem{Pieces: []Piece{{Length: 60, Demand: 3}}, Stocks: []Stock{bar}}
	if res = mustSolve(t, pair, Options{}); res.Outcome != Impossible || res.Shortfall.Length != 0 {
		t.Errorf("three of 60 in two of 95: %+v", res)
	}
	// Two kinds of piece, fractionally possible, not in whole bars: each bar
	// takes 60 alone or three of 30; two of 60 and two of 30 need three bars.
	whole := Problem{Pieces: []Piece{{Length: 60, Demand: 2}, {Length: 34, Demand: 1}}, Stocks: []Stock{bar}}
	if res = mustSolve(t, whole, Options{}); res.Outcome != Impossible {
		t.Errorf("60, 60 and 34 in two of 95: %+v", res)
	}
	none := Problem{Pieces: []Piece{{Length: 60, Demand: 2}}}
	if res = mustSolve(t, none, Options{}); res.Outcome != Impossible {
		t.Errorf("no stock at all: %+v", res)
	}
}

func TestContextEnds(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p := workshop(1, 300, 40)
	res, err := Solve(ctx, p, Options{})
	if err != nil || res.Outcome != Planned || res.Struck != TimeLimit || res.Cost.Bound <= 0 {
		t.Errorf("ended context: %v %v struck %v cost %+v", err, res.Outcome, res.Struck, res.Cost)
	}
	verify(t, &p, &res)
}

// Offcuts on the rack: 300 kinds of bar, one of each, at no or little price.
func TestRack(t *testing.T) {
	r := rand.New(rand.NewPCG(4, 4))
	p := workshop(2, 500, 40)
	for i := range 300 {
		s := Stock{Length: (500 + r.Int64N(3000)) * mm, TrimLeft: 5 * mm, Tail: 30 * mm, Kerf: []int64{3.2 * mm}, Supply: 1}
		s.Price = int64(i%2) * s.Length / (4 * mm)
		p.Stocks = append(p.Stocks, s)
	}
	res := mustSolve(t, p, Options{Effort: Quick})
	verify(t, &p, &res)
	if res.Outcome != Planned || res.Cost.Value-res.Cost.Bound > 5310 {
		t.Errorf("outcome %v, cost %+v: more than the dearest bar open", res.Outcome, res.Cost)
	}
	t.Logf("cost %+v bars %+v work %+v struck %v", res.Cost, res.Bars, res.Work, res.Struck)
}

// By hand. Three of 50 and two of 30 take three bars of 100. Patterns come
// before offcuts: 50 30 | 50 30 | 50 has two patterns and leaves 50, while
// 50 50 | 50 30 | 30 leaves 70 with three.
func TestPatternsBeforeOffcuts(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 50, Demand: 3}, {Length: 30, Demand: 2}},
		Stocks: []Stock{{Length: 100, Kerf: []int64{0}, Supply: Unlimited, Price: 1, Keep: 10}},
	}
	res := mustSolve(t, p, Options{})
	verify(t, &p, &res)
	if res.Cost != (Goal{3, 3, Proven}) || res.Bars != (Goal{3, 3, Proven}) {
		t.Errorf("cost %+v bars %+v", res.Cost, res.Bars)
	}
	if res.Patterns.Value != 2 || res.Offcut.Value != 50 || res.Offcut.Bound < 50 {
		t.Errorf("patterns %+v, offcut %+v; 2 and 50 are possible", res.Patterns, res.Offcut)
	}
}

// By hand: 55, 45, 40 and 35 in two bars of 100. 55 45 | 40 35 leaves 25 in
// one piece, 55 40 | 45 35 only 20, 55 35 | 45 40 only 15.
func TestLongestOffcut(t *testing.T) {
	p := Problem{
		Pieces: []Piece{{Length: 55, Demand: 1}, {Length: 45, Demand: 1}, {Length: 40, Demand: 1}, {Length: 35, Demand: 1}},
		Stocks: []Stock{{Length: 100, Kerf: []int64{0}, Supply: Unlimited, Price: 1, Keep: 10}},
	}
	res := mustSolve(t, p, Options{})
	verify(t, &p, &res)
	if res.Bars != (Goal{2, 2, Proven}) || res.Offcut.Value != 25 || res.Offcut.Bound != 25 {
		t.Errorf("bars %+v offcut %+v", res.Bars, res.Offcut)
	}
}

// Published: 73 rolls with ten patterns, and ten is the fewest (encyclopedia
// article on the cutting stock problem, where 19 such plans are counted).
func TestFewPatterns(t *testing.T) {
	p, _ := readExample(t, filepath.Join("..", "testdata", "csp", "paper_rolls.txt"))
	res := mustSolve(t, p, Options{})
	if res.Patterns.Value < 10 || res.Patterns.Value > 11 || res.Patterns.Bound > 10 {
		t.Errorf("patterns %+v, the fewest is 10", res.Patterns)
	}
	t.Logf("patterns %+v", res.Patterns)
}

func TestErrors(t *testing.T) {
	good := func() Problem {
		return Problem{Pieces: []Piece{{Length: 10, Demand: 1}},
			Stocks: []Stock{{Length: 100, Kerf: []int64{2}, Supply: Unlimited, Price: 5}}}
	}
	for want, spoil := range map[string]func(p *Problem){
		"length -1":          func(p *Problem) { p.Pieces[0].Length = -1 },
		"demand -3":          func(p *Problem) { p.Pieces[0].Demand = -3 },
		"cut kind 4":         func(p *Problem) { p.Pieces[0].Left = 4 },
		"cut kinds -1":       func(p *Problem) { p.Pieces[0].Left = -1 },
		"length 0":           func(p *Problem) { p.Stocks[0].Length = 0 },
		"tail -2":            func(p *Problem) { p.Stocks[0].Tail = -2 },
		"supply -2":          func(p *Problem) { p.Stocks[0].Supply = -2 },
		"price -5":           func(p *Problem) { p.Stocks[0].Price = -5 },
		"price 0":            func(p *Problem) { p.Stocks[0].Price = 0 },
		"kerf -2":            func(p *Problem) { p.Stocks[0].Kerf[0] = -2 },
		"offcuts from -1":    func(p *Problem) { p.Stocks[0].Keep = -1 },
		"stock 7":            func(p *Problem) { p.Fixed = []Layout{{Stock: 7, Count: 1}} },
		"count -1":           func(p *Problem) { p.Fixed = []Layout{{Count: -1}} },
		"piece 9":            func(p *Problem) { p.Fixed = []Layout{{Count: 1, Places: []Place{{Piece: 9}}}} },
		"coarser unit":       func(p *Problem) { p.Pieces[0].Length = 1 << 58 },
		"add up to more":     func(p *Problem) { p.Pieces[0].Demand = 1 << 60 },
		"write less than":    func(p *Problem) { p.Stocks[0].TrimLeft = 1 << 61 },
		"more than the 2 ba": func(p *Problem) { p.Stocks[0].Supply = 2; p.Fixed = []Layout{{Count: 3}} },
	} {
		p := good()
		spoil(&p)
		if _, err := Solve(context.Background(), p, Options{}); err == nil || !strings.Contains(err.Error(), want) {
			t.Errorf("%s: error is %v", want, err)
		}
	}
	if _, err := Solve(context.Background(), good(), Options{}); err != nil {
		t.Error(err)
	}
}
