package nest1d

import (
	"context"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// divide parts some stocks of a problem: into as many parts as needed and
// sometimes more.
func divide(r *rand.Rand, p *Problem) {
	for k := range p.Stocks {
		s := &p.Stocks[k]
		if r.IntN(5) == 0 {
			continue
		}
		s.Parts = 1 + r.IntN(4)
		s.PartKerf = anyOf(r, 0, s.Kerf[0], s.Kerf[len(s.Kerf)-1], 1+r.Int64N(s.Length/20+1))
		least := max(1, (s.Length-int64(s.Parts-1)*s.PartKerf+int64(s.Parts)-1)/int64(s.Parts))
		s.Part = least + anyOf(r, 0, r.Int64N(least/8+1), r.Int64N(2*least), s.Length)
	}
}

// verifyParts checks the first cuts of a layout by the rules alone.
func verifyParts(t *testing.T, p *Problem, l *Layout) {
	t.Helper()
	s := p.Stocks[l.Stock]
	if len(l.Cuts) != s.Parts-1 {
		t.Fatalf("%d cuts for %d parts", len(l.Cuts), s.Parts)
	}
	start, next := int64(0), 0
	for j := range s.Parts {
		end := s.Length
		if j < len(l.Cuts) {
			end = l.Cuts[j]
		}
		if end < start || end-start > s.Part {
			t.Fatalf("part %d is from %d to %d, longest is %d", j, start, end, s.Part)
		}
		at, free := start, end
		if j == 0 {
			at += s.TrimLeft
		}
		if j == s.Parts-1 {
			free -= s.TrimRight
		}
		if at > free {
			t.Fatalf("part %d from %d to %d has no room for its trim", j, start, end)
		}
		last := int64(-1)
		for next < len(l.Places) && l.Places[next].At < end {
			q := l.Places[next]
			piece := p.Pieces[q.Piece]
			left, right := piece.Left, piece.Right
			if q.Turned {
				left, right = right, left
			}
			if q.Turned && !piece.Turn {
				t.Fatalf("piece %d is turned and may not be", q.Piece)
			}
			if last >= 0 {
				at += max(last, s.Kerf[left])
			}
			if q.At != at {
				t.Fatalf("piece %d lies at %d, not at %d", q.Piece, q.At, at)
			}
			at, last = at+piece.Length, s.Kerf[right]
			next++
		}
		if last >= 0 && s.Tail > 0 {
			at += last + s.Tail
		}
		if at > free {
			t.Fatalf("part %d from %d to %d is filled up to %d", j, start, end, at)
		}
		start = end + s.PartKerf
	}
	if next != len(l.Places) {
		t.Fatalf("piece %d lies in no part", l.Places[next].Piece)
	}
}

// Worked by hand: a bar of 100 in two parts of at most 60, first cut 2 wide.
func TestPartsByHand(t *testing.T) {
	pieces := []Piece{{Length: 30}, {Length: 25}, {Length: 45}}
	s := Stock{Length: 100, TrimLeft: 3, TrimRight: 1, Kerf: []int64{2}, Part: 60, Parts: 2, PartKerf: 2, Price: 1}
	for _, c := range []struct {
		name    string
		content []int
		fits    bool
		places  []Place
		cuts    []int64
		offcut  int64
	}{
		// 3 + 30 + 2 + 25 just fills the longest part; of the other 38 remain.
		{"one part", []int{1, 0}, true, []Place{{Piece: 0, At: 3}, {Piece: 1, At: 35}}, []int64{60}, 38},
		// The 45 takes the first part and the two others, 57 with the kerf, do
		// not go into the 98 − 48 that are left for the second.
		{"too much", []int{0, 1, 2}, false, nil, nil, 0},
		// 48 and 31 of 98 leave 19, all for the second part: 50 − 30 − 2.
		{"two parts", []int{0, 2}, true, []Place{{Piece: 2, At: 3}, {Piece: 0, At: 50}}, []int64{48}, 18},
	} {
		places, cuts, fits := s.ArrangeParts(pieces, c.content)
		if fits != c.fits || !slices.Equal(places, c.places) || !slices.Equal(cuts, c.cuts) {
			t.Errorf("%s: %v, cuts %v, fits %v; want %v, %v, %v", c.name, places, cuts, fits, c.places, c.cuts, c.fits)
		}
		if fits && s.Offcut(pieces, places, cuts...) != c.offcut {
			t.Errorf("%s: offcut %d, want %d", c.name, s.Offcut(pieces, places, cuts...), c.offcut)
		}
	}
	for _, c := range []struct {
		name   string
		places []Place
		cuts   []int64
		fits   bool
	}{
		{"as arranged", []Place{{Piece: 2, At: 3}, {Piece: 0, At: 50}}, []int64{48}, true},
		{"second piece in the first cut", []Place{{Piece: 2, At: 3}, {Piece: 0, At: 49}}, []int64{48}, false},
		{"piece across the cut", []Place{{Piece: 2, At: 3}, {Piece: 0, At: 50}}, []int64{70}, false},
		{"no cut", []Place{{Piece: 2, At: 3}, {Piece: 0, At: 50}}, nil, false},
		{"second part too long", []Place{{Piece: 0, At: 3}}, []int64{37}, false},
		{"first part too long", []Place{{Piece: 0, At: 3}}, []int64{61}, false},
		{"in the left trim", []Place{{Piece: 0, At: 2}}, []int64{50}, false},
		{"in the right trim", []Place{{Piece: 0, At: 70}}, []int64{50}, false},
	} {
		if got := s.Fits(pieces, c.places, c.cuts...); got != c.fits {
			t.Errorf("%s: fits %v, want %v", c.name, got, c.fits)
		}
	}
}

// Pieces of equal weight can differ in their ends: of the two inner parts only the
// one with the mitre on its left leaves the third piece a joint without kerf.
func TestPartsAlikeByWeightOnly(t *testing.T) {
	pieces := []Piece{{Length: 10, Left: 0, Right: 1}, {Length: 10, Left: 1, Right: 0}, {Length: 9, Left: 0, Right: 1}}
	s := Stock{Length: 70, TrimLeft: 15, TrimRight: 15, Kerf: []int64{0, 6}, Part: 19, Parts: 4}
	if places, cuts, fits := s.ArrangeParts(pieces, []int{0, 1, 2}); !fits || !s.Fits(pieces, places, cuts...) {
		t.Errorf("%v cut at %v: fits %v", places, cuts, fits)
	}
}

// The longest offcut is as long as any lengths of the parts allow.
func TestStretch(t *testing.T) {
	for seed := range 1500 {
		r := rand.New(rand.NewPCG(uint64(seed), 23))
		s := Stock{Length: 20 + r.Int64N(25), TrimLeft: r.Int64N(3), TrimRight: r.Int64N(3), Tail: anyOf[int64](r, 0, 2),
			Kerf: []int64{r.Int64N(4)}, Parts: 2 + r.IntN(2), PartKerf: r.Int64N(3)}
		s.Part = s.Length/int64(s.Parts) + 1 + r.Int64N(12)
		var pieces []Piece
		var content []int
		for i := range 1 + r.IntN(3) {
			pieces = append(pieces, Piece{Length: 1 + r.Int64N(12)})
			content = append(content, i)
		}
		places, cuts, fits := s.ArrangeParts(pieces, content)
		if !fits {
			continue
		}
		held := make([]int64, s.Parts) // length of pieces and kerfs between them
		number := make([]int64, s.Parts)
		for _, q := range places {
			j := 0
			for j < len(cuts) && q.At >= cuts[j] {
				j++
			}
			held[j] += pieces[q.Piece].Length
			if number[j]++; number[j] > 1 {
				held[j] += s.Kerf[0]
			}
		}
		best := int64(-1)
		var try func(j int, left, longest int64)
		try = func(j int, left, longest int64) {
			if j == s.Parts {
				if left == 0 {
					best = max(best, longest)
				}
				return
			}
			for l := range min(left, s.Part) + 1 {
				need, lost := int64(0), int64(0)
				if j == 0 {
					need += s.TrimLeft
				}
				rest := l
				if number[j] > 0 {
					rest = max(0, l-need-held[j]-s.Kerf[0])
					need += held[j]
					if s.Tail > 0 {
						lost = s.Kerf[0] + s.Tail
					}
				}
				if j == s.Parts-1 {
					need += s.TrimRight
				}
				if need+lost <= l {
					try(j+1, left-l, max(longest, rest))
				}
			}
		}
		try(0, s.Length-int64(s.Parts-1)*s.PartKerf, 0)
		if got := s.Offcut(pieces, places, cuts...); got != best {
			t.Errorf("seed %d: offcut %d, it could be %d: %v cut at %v in %+v", seed, got, best, places, cuts, s)
		}
	}
}

func testPartedAgainstBruteForce(t *testing.T, kinds, runs int, scale func(*rand.Rand, *Problem)) {
	open, planned := 0, 0
	for seed := range runs {
		r := rand.New(rand.NewPCG(uint64(seed), 24+uint64(kinds)))
		p := smallProblem(r, kinds)
		if scale != nil {
			scale(r, &p)
		}
		divide(r, &p)
		want, bars := bruteCost(&p)
		res, err := Solve(context.Background(), p, Options{})
		if err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		if want >= noPlan {
			if res.Outcome == Planned {
				t.Fatalf("seed %d: planned the impossible %+v", seed, p)
			}
			if res.Outcome == NotFound {
				open++
				t.Logf("seed %d: not settled, struck %v: %+v", seed, res.Struck, p)
			}
			continue
		}
		planned++
		verify(t, &p, &res)
		if res.Outcome != Planned {
			t.Errorf("seed %d: outcome %v, brute force has a plan of cost %d: %+v", seed, res.Outcome, want, p)
			continue
		}
		verifyCertificate(t, &p, &res)
		if res.Cost.Bound > want || res.Cost.Value != want {
			t.Errorf("seed %d: cost %+v, brute force %d: %+v", seed, res.Cost, want, p)
		}
		if res.Cost.Status != Proven {
			open++
			t.Logf("seed %d: open %+v, struck %v: %+v", seed, res.Cost, res.Struck, p)
		} else if res.Bars.Bound > bars || res.Bars.Value < bars {
			t.Errorf("seed %d: bars %+v, brute force %d: %+v", seed, res.Bars, bars, p)
		}
	}
	t.Logf("%d of %d planned, %d left open", planned, runs, open)
	if open > 0 || planned < runs/3 {
		t.Errorf("%d of %d small problems left open, %d planned", open, runs, planned)
	}
}

func TestPartedBruteForce(t *testing.T)       { testPartedAgainstBruteForce(t, 1, 1000, nil) }
func TestPartedBruteForceMitred(t *testing.T) { testPartedAgainstBruteForce(t, 3, 300, nil) }
func TestPartedBruteForceWorkshop(t *testing.T) {
	testPartedAgainstBruteForce(t, 2, 400, workshopScale)
}

// Every layout of a larger problem keeps to the rules, and equal runs agree.
func TestPartedLayouts(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		r := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "seed"), 25))
		p := regime(r, 40, 3)
		divide(r, &p)
		if check(&p) != nil {
			rt.Skip("regimes are not always valid")
		}
		res, err := Solve(context.Background(), p, Options{Effort: Quick})
		again, _ := Solve(context.Background(), p, Options{Effort: Quick})
		if err != nil {
			rt.Fatal(err)
		}
		verify(t, &p, &res)
		if fmt.Sprint(res) != fmt.Sprint(again) {
			rt.Fatalf("%+v\n%+v", res, again)
		}
	})
}

func TestPartsRefused(t *testing.T) {
	for _, c := range []struct {
		s    Stock
		says string
	}{
		{Stock{Part: -1}, "parts of at most -1"},
		{Stock{Part: 60}, "cut into 0 parts"},
		{Stock{Part: 60, Parts: 1}, "write more parts"},
		{Stock{Part: 48, Parts: 2, PartKerf: 3}, "write more parts"},
		{Stock{Part: 60, Parts: 2, PartKerf: -1}, "width -1"},
		{Stock{Part: 60, Parts: 2_000}, "cut into 2000 parts"},
	} {
		c.s.Length, c.s.Kerf, c.s.Price = 100, []int64{1}, 1
		p := Problem{Pieces: []Piece{{Length: 10, Demand: 1}}, Stocks: []Stock{c.s}}
		if _, err := Solve(context.Background(), p, Options{}); err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%+v: %v, want %q", c.s, err, c.says)
		}
	}
	// 48 + 4 + 48 is just enough, and any length will do as the longest.
	for _, s := range []Stock{{Part: 48, Parts: 2, PartKerf: 4}, {Part: 1<<63 - 1, Parts: 1000, PartKerf: 1}, {Part: 100, Parts: 1}} {
		s.Length, s.Kerf, s.Price, s.Supply = 100, []int64{1}, 1, Unlimited
		p := Problem{Pieces: []Piece{{Length: 10, Demand: 1}}, Stocks: []Stock{s}}
		if _, err := Solve(context.Background(), p, Options{}); err != nil {
			t.Errorf("%+v: %v", s, err)
		}
	}
}
