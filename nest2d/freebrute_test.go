package nest2d

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"
)

// field answers for free placement by trying every position of every copy on a
// grid of at most 8 × 8, a bit a cell.
type field struct {
	p      Problem
	sheet  Sheet
	copies []int
}

func (f *field) holds(set int, taken uint64) bool {
	if set == 0 {
		return true
	}
	i := 0
	for set>>i&1 == 0 {
		i++
	}
	s, a := f.sheet, f.p.Panels[f.copies[i]]
	if !s.allows(a) {
		return false
	}
	length, width := s.Length-s.TrimLeft-s.TrimRight+s.Kerf, s.Width-s.TrimBottom-s.TrimTop+s.Kerf
	for turn := range 2 {
		l, w := a.Length+s.Kerf, a.Width+s.Kerf
		if turn == 1 {
			if !a.Turn || a.Length == a.Width {
				break
			}
			l, w = w, l
		}
		row := uint64(1)<<l - 1
		shape := uint64(0)
		for y := range w {
			if y < 8 {
				shape |= row << (8 * y)
			}
		}
		for y := int64(0); y+w <= width; y++ {
			for x := int64(0); x+l <= length; x++ {
				if at := shape << (8*y + x); taken&at == 0 && f.holds(set&^(1<<i), taken|at) {
					return true
				}
			}
		}
	}
	return false
}

// freeBrute is the least cost with free placement, or -1.
func freeBrute(p Problem) int64 {
	var copies []int
	for i, a := range p.Panels {
		for range a.Demand {
			copies = append(copies, i)
		}
	}
	all := 1<<len(copies) - 1
	fits := make([][]bool, len(p.Sheets))
	for k, s := range p.Sheets {
		f := &field{p, s, copies}
		fits[k] = make([]bool, all+1)
		fits[k][0] = true
		for set := 1; set <= all; set++ {
			fits[k][set] = true
			for i := range copies {
				if set>>i&1 == 1 && !fits[k][set&^(1<<i)] {
					fits[k][set] = false
				}
			}
			fits[k][set] = fits[k][set] && f.holds(set, 0)
		}
	}
	best := int64(math.MaxInt64)
	used := make([]int64, len(p.Sheets))
	var buy func(left int, price int64)
	buy = func(left int, price int64) {
		if left == 0 {
			best = min(best, price)
			return
		}
		for sub := left; sub != 0; sub = (sub - 1) & left {
			if sub&(left&-left) == 0 {
				continue
			}
			for k, s := range p.Sheets {
				if fits[k][sub] && (s.Supply == Unlimited || used[k] < s.Supply) {
					used[k]++
					buy(left&^sub, price+s.Price)
					used[k]--
				}
			}
		}
	}
	buy(all, 0)
	if best == math.MaxInt64 {
		return -1
	}
	return best
}

// randomFree is a small problem with sheets of at most 8 × 8 with the spacing.
func randomFree(r *rand.Rand, copies int) Problem {
	p := randomProblem(r, copies)
	p.Free, p.Stages, p.TrimCut, p.FirstCut = true, 0, false, AnyDirection
	for k := range p.Sheets {
		s := &p.Sheets[k]
		s.Kerf = min(s.Kerf, 1)
		s.Length = min(s.Length, 8-s.Kerf)
		s.Width = min(s.Width, 8-s.Kerf)
	}
	for i := range p.Panels {
		p.Panels[i].Length, p.Panels[i].Width = min(p.Panels[i].Length, 5), min(p.Panels[i].Width, 5)
	}
	return p
}

// wheel is a problem whose panels nearly fill sheets in the pattern of a
// pinwheel, some cut in two and some a little smaller than that.
func wheel(r *rand.Rand) Problem {
	s := Sheet{Length: 5 + r.Int64N(3), Width: 5 + r.Int64N(3), Kerf: r.Int64N(2), Supply: Unlimited, Price: 1 + r.Int64N(9)}
	length, width := s.Length+s.Kerf, s.Width+s.Kerf
	x0, y0 := 2+r.Int64N(2), 2+r.Int64N(2)
	x1, y1 := length-2, width-2
	p := Problem{Free: true, Sheets: []Sheet{s}}
	for _, a := range [][2]int64{{x1, y0}, {length - x1, y1}, {length - x0, width - y1}, {x0, width - y0}, {x1 - x0, y1 - y0}} {
		if a[0] <= s.Kerf || a[1] <= s.Kerf {
			continue
		}
		parts := [][2]int64{a}
		if half := a[0] / 2; half > s.Kerf && r.IntN(5) == 0 {
			parts = [][2]int64{{half, a[1]}, {a[0] - half, a[1]}}
		}
		for _, a := range parts {
			b := Panel{a[0] - s.Kerf, a[1] - s.Kerf, 1, r.IntN(4) == 0}
			if b.Length > 1 && r.IntN(8) == 0 {
				b.Length--
			}
			p.Panels = append(p.Panels, b)
		}
	}
	if r.IntN(3) == 0 {
		p.Sheets = append(p.Sheets, Sheet{Length: 3 + r.Int64N(4), Width: 3 + r.Int64N(4), Kerf: s.Kerf, Supply: 1 + r.Int64N(2), Price: 1 + r.Int64N(9)})
	}
	return p
}

// TestFreeBrute compares with the optimum on small random problems: plans keep
// the rules, no bound lies above the optimum, and no plan below it.
func TestFreeBrute(t *testing.T) {
	r := rand.New(rand.NewPCG(21, 22))
	planned, optimal, proven, looser := 0, 0, 0, 0
	for n := range 160 {
		p := randomFree(r, 1+r.IntN(7))
		if n%2 == 0 {
			p = wheel(r)
		}
		cost := freeBrute(p)
		got := mustSolve(t, p, Options{Effort: Quick})
		if cost < 0 {
			if got.Outcome == Planned {
				t.Fatalf("problem %d: a plan, but none exists\n%+v", n, p)
			}
			continue
		}
		if got.Outcome == Impossible || got.Cost.Bound > cost || got.Outcome == Planned && got.Cost.Value < cost {
			t.Fatalf("problem %d: outcome %d, cost %+v, optimum %d\n%+v", n, got.Outcome, got.Cost, cost, p)
		}
		planned++
		if got.Outcome == Planned && got.Cost.Value == cost {
			optimal++
		}
		if got.Cost.Status == Proven {
			proven++
		}
		cuts := p
		cuts.Free = false
		for k := range cuts.Sheets {
			cuts.Sheets[k].MinStrip = 0
		}
		if _, v := decideAll(t, cuts, limits{cost: cost, boards: anyNumber}); v == excluded {
			looser++
		}
	}
	t.Logf("of %d with a plan %d optimal, %d proven; %d cost more, or cannot be done, with cuts from edge to edge", planned, optimal, proven, looser)
	if optimal < planned {
		t.Errorf("%d of %d optimal", optimal, planned)
	}
	if proven < planned {
		t.Errorf("%d of %d proven", proven, planned)
	}
	if looser == 0 {
		t.Error("cuts from edge to edge do as well: nothing was tested")
	}
}

// TestDecideFree puts the limits of exact search at the optimum by brute force,
// where a plan must be found, and just below, where there is none.
func TestDecideFree(t *testing.T) {
	r := rand.New(rand.NewPCG(23, 24))
	for n := range 400 {
		p := randomFree(r, 1+r.IntN(6))
		if n%2 == 0 {
			p = wheel(r)
		}
		cost := freeBrute(p)
		if cost < 0 {
			if _, v := decideFree(t, p, noBudget); v != excluded {
				t.Fatalf("problem %d: planned, but no plan exists\n%+v", n, p)
			}
			continue
		}
		if d, v := decideFree(t, p, cost); v != planned || d.cost > cost {
			t.Fatalf("problem %d: excluded, but there is a plan for %d\n%+v", n, cost, p)
		}
		if _, v := decideFree(t, p, cost-1); v != excluded {
			t.Fatalf("problem %d: planned for less than %d\n%+v", n, cost, p)
		}
	}
}

func decideFree(t *testing.T, p Problem, cost int64) (*draft, verdict) {
	t.Helper()
	m, err := newModel(p)
	if err != nil {
		t.Fatal(err)
	}
	m.free = true
	work := int64(math.MaxInt64)
	d, v := m.decide(context.Background(), m.certificates(100_000), limits{cost: cost, boards: anyNumber}, &work)
	if v == undecided {
		t.Fatalf("undecided\n%+v", p)
	}
	if v == planned {
		if err := Validate(p, m.layouts(d.boards)); err != nil {
			t.Fatalf("%v\n%+v", err, p)
		}
	}
	return d, v
}

// TestOneSheet holds the decision on one sheet alone, without trying spaces
// first, against brute force.
func TestOneSheet(t *testing.T) {
	r := rand.New(rand.NewPCG(25, 26))
	count := map[verdict]int{}
	for n := range 2000 {
		p := randomFree(r, 2+r.IntN(6))
		if n%2 == 0 {
			p = wheel(r)
		}
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		f := &field{p: p, sheet: p.Sheets[0]}
		var panels []int32
		for i, a := range p.Panels {
			for range a.Demand {
				panels = append(panels, int32(i))
				f.copies = append(f.copies, i)
			}
		}
		want, work := excluded, int64(math.MaxInt64)
		if f.holds(1<<len(panels)-1, 0) {
			want = planned
		}
		pair := &pairing{usable: m.kinds[0].usable, work: &work}
		v := m.turnings(0, panels, pair)
		if v != want {
			t.Fatalf("problem %d: verdict %d, by brute force %d\n%+v", n, v, want, p)
		}
		if v == planned {
			for i, a := range pair.laid {
				for _, b := range pair.laid[:i] {
					if a.overlaps(b.space) {
						t.Fatalf("problem %d: %+v overlaps %+v", n, a, b)
					}
				}
				if !(space{size: pair.usable}).contains(a.space) {
					t.Fatalf("problem %d: %+v is outside", n, a)
				}
			}
		}
		count[v]++
	}
	t.Logf("%d fit, %d do not", count[planned], count[excluded])
	if count[planned] < 200 || count[excluded] < 200 {
		t.Error("too few of one sort")
	}
}
