package nest2d

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// brute answers by recursion over real rectangles and all integer cut
// positions, which shares nothing with the least-size trees of the engine.
type brute struct {
	p      Problem
	sheet  Sheet
	copies []int // the panel of each copy
	known  map[bruteState]bool
}

type bruteState struct {
	length, width int64
	set           int
	cut           Direction // of the stage at hand; AnyDirection before the first
	stage         int
}

// holds tells whether the copies in the set can all be cut from a rectangle
// by cuts of the given stage and later.
func (b *brute) holds(length, width int64, set int, cut Direction, stage int) bool {
	if b.exactly(length, width, set) {
		return true
	}
	if cut == AnyDirection {
		return b.cuts(length, width, set, AlongLength, stage) || b.cuts(length, width, set, AlongWidth, stage)
	}
	// The first stage may have no cut, when its direction is given.
	return b.cuts(length, width, set, cut, stage) ||
		stage == 1 && b.p.FirstCut != AnyDirection && b.cuts(length, width, set, across(cut), 2)
}

func across(cut Direction) Direction {
	if cut == AlongLength {
		return AlongWidth
	}
	return AlongLength
}

// cuts tells the same of a rectangle that is cut, or cut on, at this stage.
func (b *brute) cuts(length, width int64, set int, cut Direction, stage int) bool {
	limit := b.p.Stages
	if limit > 0 && (stage > limit+1 || stage == limit+1 && (!b.p.TrimCut || set&(set-1) != 0)) {
		return false
	}
	if line := length; b.sheet.Blade > 0 {
		if cut == AlongWidth {
			line = width
		}
		if line > b.sheet.Blade {
			return false
		}
	}
	if limit == 0 {
		stage = min(stage, 2) // only the first differs from the others
	}
	s := bruteState{length, width, set, cut, stage}
	known, ok := b.known[s]
	if !ok {
		known = b.cutSomewhere(s)
		b.known[s] = known
	}
	return known
}

func (b *brute) cutSomewhere(s bruteState) bool {
	size := func(extent int64) (length, width int64) {
		if s.cut == AlongLength {
			return s.length, extent
		}
		return extent, s.width
	}
	part := func(extent int64, set int) bool {
		length, width := size(extent)
		return extent >= b.sheet.MinStrip && b.holds(length, width, set, across(s.cut), s.stage+1)
	}
	extent := s.length
	if s.cut == AlongLength {
		extent = s.width
	}
	// One cut: the first part is done, the rest is a last part or is cut on.
	for at := int64(1); at < extent; at++ {
		rest := extent - at - b.sheet.Kerf
		for sub := s.set; sub != 0; sub = (sub - 1) & s.set {
			left := s.set &^ sub
			if left != 0 && rest <= 0 || !part(at, sub) {
				continue
			}
			if left == 0 || part(rest, left) {
				return true
			}
			if length, width := size(rest); b.cuts(length, width, left, s.cut, s.stage) {
				return true
			}
		}
	}
	return false
}

func (b *brute) exactly(length, width int64, set int) bool {
	if set&(set-1) != 0 {
		return false
	}
	for i, panel := range b.copies {
		if set == 1<<i {
			a := b.p.Panels[panel]
			return a.Length == length && a.Width == width || a.Turn && a.Width == length && a.Length == width
		}
	}
	return false
}

// bruteForce is the least cost and the fewest sheets at that cost, or -1.
func bruteForce(p Problem) (cost int64, sheets int) {
	var copies []int
	for i, a := range p.Panels {
		for range a.Demand {
			copies = append(copies, i)
		}
	}
	all := 1<<len(copies) - 1
	fits := make([][]bool, len(p.Sheets))
	for k, s := range p.Sheets {
		b := &brute{p, s, copies, make(map[bruteState]bool)}
		fits[k] = make([]bool, all+1)
		for set := 1; set <= all; set++ {
			fits[k][set] = b.holds(s.Length-s.TrimLeft-s.TrimRight, s.Width-s.TrimBottom-s.TrimTop, set, p.FirstCut, 1)
		}
	}
	cost, sheets = math.MaxInt64, 0
	used := make([]int64, len(p.Sheets))
	var buy func(left int, price int64, count int)
	buy = func(left int, price int64, count int) {
		if left == 0 {
			if price < cost || price == cost && count < sheets {
				cost, sheets = price, count
			}
			return
		}
		low := left & -left
		for sub := left; sub != 0; sub = (sub - 1) & left {
			if sub&low == 0 {
				continue
			}
			for k, s := range p.Sheets {
				if fits[k][sub] && (s.Supply == Unlimited || used[k] < s.Supply) {
					used[k]++
					buy(left&^sub, price+s.Price, count+1)
					used[k]--
				}
			}
		}
	}
	buy(all, 0, 0)
	if cost == math.MaxInt64 {
		return -1, 0
	}
	return cost, sheets
}

// randomProblem is a small problem of every sort.
func randomProblem(r *rand.Rand, copies int) Problem {
	p := Problem{Stages: r.IntN(4), TrimCut: r.IntN(2) == 0, FirstCut: Direction(r.IntN(3))}
	for copies > 0 {
		a := Panel{Length: 1 + r.Int64N(6), Width: 1 + r.Int64N(6), Demand: 1 + r.Int64N(2), Turn: r.IntN(2) == 0}
		a.Demand = min(a.Demand, int64(copies))
		copies -= int(a.Demand)
		p.Panels = append(p.Panels, a)
	}
	for range 1 + r.IntN(3) {
		s := Sheet{
			Length: 3 + r.Int64N(7), Width: 3 + r.Int64N(7),
			Kerf: r.Int64N(3), Supply: Unlimited, Price: 1 + r.Int64N(20),
		}
		if r.IntN(4) == 0 {
			s.TrimLeft, s.TrimTop = r.Int64N(2), r.Int64N(2)
		}
		if r.IntN(4) == 0 {
			s.TrimRight, s.TrimBottom = r.Int64N(2), r.Int64N(2)
		}
		if r.IntN(3) == 0 {
			s.Supply = r.Int64N(3)
			s.Price = r.Int64N(20)
		}
		if r.IntN(4) == 0 {
			s.MinStrip = r.Int64N(4)
		}
		if r.IntN(4) == 0 {
			s.Blade = 2 + r.Int64N(8)
		}
		p.Sheets = append(p.Sheets, s)
		if k := len(p.Sheets) - 1; p.checkBlade(k) != nil {
			p.Sheets[k].Blade = 0
		}
	}
	return p
}

// bruteProblems is a sample; sixty thousand were tried once with blades in them.
const bruteProblems = 600

// TestBruteForce compares with the optimum on small random problems: cost,
// number of sheets and impossibility are exact, whether the engine
// enumerates or searches; no bound lies above the optimum.
func TestBruteForce(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 2))
	planned, impossible, proven := 0, 0, 0
	for n := range bruteProblems {
		p := randomProblem(r, 1+r.IntN(5))
		cost, sheets := bruteForce(p)
		got, err := Solve(context.Background(), p, Options{Effort: Quick})
		if err != nil {
			t.Fatal(err)
		}
		if cost < 0 {
			if got.Outcome != Impossible {
				t.Fatalf("problem %d: outcome %d, but no plan exists\n%+v", n, got.Outcome, p)
			}
			impossible++
			continue
		}
		if got.Outcome != Planned {
			t.Fatalf("problem %d: outcome %d, but a plan of cost %d exists\n%+v", n, got.Outcome, cost, p)
		}
		planned++
		if err := Validate(p, got.Layouts); err != nil {
			t.Fatalf("problem %d: %v\n%+v", n, err, p)
		}
		if got.Cost != (Goal{cost, cost, Proven}) {
			t.Fatalf("problem %d: cost %+v, optimum %d\n%+v", n, got.Cost, cost, p)
		}
		if got.Sheets.Value < int64(sheets) || got.Sheets.Bound > int64(sheets) {
			t.Fatalf("problem %d: sheets %+v, optimum %d\n%+v", n, got.Sheets, sheets, p)
		}
		if c := got.Certificate.Bound; c > cost {
			t.Fatalf("problem %d: certificate %d, optimum %d\n%+v", n, c, cost, p)
		} else if c == cost {
			proven++
		}
	}
	t.Logf("%d planned, %d impossible; %d proven by functions alone", planned, impossible, proven)
}
