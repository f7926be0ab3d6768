package nest2d

import (
	"context"
	"math"
	"math/rand/v2"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The pinwheel is the smallest pattern without a cut from edge to edge (Gilmore
// & Gomory 1965, "Multistage cutting stock problems of two and more dimensions",
// Operations Research 13, 94–120, define the cut; that five panels suffice to
// avoid it is common knowledge).
func TestPinwheel(t *testing.T) {
	p := oneKind(3, 3, false, [3]int64{2, 1, 2}, [3]int64{1, 2, 2}, [3]int64{1, 1, 1})
	if r := mustSolve(t, p, Options{}); r.Cost != (Goal{2, 2, Proven}) {
		t.Errorf("cut from edge to edge: %+v", r.Cost)
	}
	p.Free = true
	if r := mustSolve(t, p, Options{}); r.Cost != (Goal{1, 1, Proven}) {
		t.Errorf("placed freely: %+v", r.Cost)
	}
}

// Hopper & Turton 2001, problem C1-P2, fills its sheet when placement is free,
// and cannot do so with cuts from edge to edge (see TestPublished).
func TestPerfect(t *testing.T) {
	p := oneKind(20, 20, false, c1p2...)
	p.Free = true
	if r := mustSolve(t, p, Options{}); r.Cost != (Goal{1, 1, Proven}) {
		t.Errorf("%+v", r.Cost)
	}
}

func TestFreeErrors(t *testing.T) {
	for _, p := range []Problem{{Free: true, Stages: 2}, {Free: true, FirstCut: AlongLength}} {
		_, err := Solve(context.Background(), p, Options{})
		if err == nil || !strings.Contains(err.Error(), "placement is free") {
			t.Errorf("%v", err)
		}
	}
}

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
	for n := range 250 {
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
		if c := mustSolve(t, cuts, Options{Effort: Quick}); c.Outcome != Planned || c.Cost.Value > cost {
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

// TestFreeProperties draws problems of workshop size: plans are valid, no
// panels are closer than the spacing, cost and sheets are no more than with cuts
// from edge to edge, and the same run again gives the same result.
func TestFreeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		p.Stages, p.TrimCut, p.FirstCut = 0, false, AnyDirection
		for k := range p.Sheets {
			p.Sheets[k].MinStrip = 0
		}
		o := Options{Effort: Quick, Seed: rapid.Int64().Draw(t, "seed")}
		cuts, err := Solve(context.Background(), p, o)
		if err != nil {
			t.Fatal(err)
		}
		p.Free = true
		r, err := Solve(context.Background(), p, o)
		if err != nil {
			t.Fatal(err)
		}
		if again, _ := Solve(context.Background(), p, o); !cmp.Equal(r, again) {
			t.Fatalf("the same run again differs:\n%s", cmp.Diff(r, again))
		}
		if r.Outcome != Planned {
			if cuts.Outcome == Planned {
				t.Fatalf("outcome %d, and a plan with cuts from edge to edge", r.Outcome)
			}
			return
		}
		if err := Validate(p, r.Layouts); err != nil {
			t.Fatal(err)
		}
		cost, sheets := int64(0), int64(0)
		for _, l := range r.Layouts {
			cost += l.Count * p.Sheets[l.Sheet].Price
			sheets += l.Count
			for i, a := range l.Places {
				for _, b := range l.Places[:i] {
					if !apart(p, l.Sheet, a, b) {
						t.Fatalf("%+v and %+v overlap or are closer than the spacing", a, b)
					}
				}
			}
		}
		if r.Cost.Value != cost || r.Sheets.Value != sheets {
			t.Fatalf("goals %+v %+v, layouts cost %d and are %d", r.Cost, r.Sheets, cost, sheets)
		}
		if r.Cost.Bound > cost || r.Sheets.Bound > sheets || r.Offcut.Bound < r.Offcut.Value {
			t.Fatalf("bounds %+v %+v %+v", r.Cost, r.Sheets, r.Offcut)
		}
		if cuts.Outcome == Planned && (cost > cuts.Cost.Value || cost == cuts.Cost.Value && sheets > cuts.Sheets.Value ||
			cost == cuts.Cost.Value && sheets == cuts.Sheets.Value && r.Offcut.Value < cuts.Offcut.Value) {
			t.Fatalf("%+v %+v %+v, with cuts from edge to edge %+v %+v %+v", r.Cost, r.Sheets, r.Offcut, cuts.Cost, cuts.Sheets, cuts.Offcut)
		}
		if v := largestFree(p, r.Layouts); v != r.Offcut.Value {
			t.Fatalf("largest offcut %d, goal %+v", v, r.Offcut)
		}
	})
}

// largestFree is the area of the largest rectangle that could be added to a
// sheet with its spacing, by trying all pairs of edges.
func largestFree(p Problem, layouts []Layout) int64 {
	largest := int64(0)
	for _, l := range layouts {
		s := p.Sheets[l.Sheet]
		xs, ys := []int64{s.TrimLeft, s.Length - s.TrimRight}, []int64{s.TrimBottom, s.Width - s.TrimTop}
		var around [][4]int64 // panels with their spacing, where nothing else may be
		for _, at := range l.Places {
			length, width := p.Panels[at.Panel].Length, p.Panels[at.Panel].Width
			if at.Turned {
				length, width = width, length
			}
			o := [4]int64{at.X - s.Kerf, at.Y - s.Kerf, at.X + length + s.Kerf, at.Y + width + s.Kerf}
			around = append(around, o)
			xs, ys = append(xs, o[0], o[2]), append(ys, o[1], o[3])
		}
		for _, x0 := range xs {
			for _, x1 := range xs {
				if x0 < s.TrimLeft || x1 > s.Length-s.TrimRight || x0 >= x1 {
					continue
				}
				for _, y0 := range ys {
				high:
					for _, y1 := range ys {
						if y0 < s.TrimBottom || y1 > s.Width-s.TrimTop || (x1-x0)*(y1-y0) <= largest || y0 >= y1 {
							continue
						}
						for _, o := range around {
							if x0 < o[2] && o[0] < x1 && y0 < o[3] && o[1] < y1 {
								continue high
							}
						}
						largest = (x1 - x0) * (y1 - y0)
					}
				}
			}
		}
	}
	return largest
}
