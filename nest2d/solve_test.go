package nest2d

import (
	"context"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// TestSearch holds the search alone, without enumeration, against brute
// force: it never finds what cannot be, and almost always the optimum.
func TestSearch(t *testing.T) {
	r := rand.New(rand.NewPCG(5, 6))
	planned, optimal := 0, 0
	for n := range 300 {
		p := randomProblem(r, 1+r.IntN(5))
		cost, _ := bruteForce(p)
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		if m.tooLarge() != nil {
			continue
		}
		s := newSearch(m, 1)
		best, _ := s.construct(context.Background())
		next := func(d *draft, _ int64) (limits, bool) {
			best = &draft{}
			best.copyFrom(d)
			return limits{cost: d.cost - 1, boards: anyNumber}, d.cost > 0
		}
		l := limits{cost: noBudget, boards: anyNumber}
		if best.lack == 0 {
			l.cost = best.cost - 1
		}
		if best.lack > 0 || best.cost > 0 {
			start := &draft{}
			start.copyFrom(best)
			s.improve(context.Background(), start, l, 1_000_000, next)
		}
		if best.lack > 0 {
			if cost >= 0 {
				t.Logf("problem %d: no plan found, one of cost %d exists", n, cost)
				planned++
			}
			continue
		}
		planned++
		if err := Validate(p, m.layouts(best.boards)); err != nil {
			t.Fatalf("problem %d: %v\n%+v", n, err, p)
		}
		if best.cost < cost || cost < 0 {
			t.Fatalf("problem %d: cost %d, optimum %d\n%+v", n, best.cost, cost, p)
		}
		if best.cost == cost {
			optimal++
		}
	}
	t.Logf("%d of %d optimal", optimal, planned)
	if optimal*100 < planned*97 {
		t.Errorf("only %d of %d optimal", optimal, planned)
	}
}

// drawProblem is a problem of workshop size.
func drawProblem(t *rapid.T) Problem {
	p := Problem{
		Stages:   rapid.SampledFrom([]int{0, 0, 2, 3, 4}).Draw(t, "stages"),
		TrimCut:  rapid.Bool().Draw(t, "trim"),
		FirstCut: Direction(rapid.IntRange(0, 2).Draw(t, "first")),
	}
	for range rapid.IntRange(1, 8).Draw(t, "panels") {
		p.Panels = append(p.Panels, Panel{
			Length: rapid.Int64Range(100, 1200).Draw(t, "l"),
			Width:  rapid.Int64Range(100, 1200).Draw(t, "w"),
			Demand: rapid.Int64Range(0, 4).Draw(t, "d"),
			Turn:   rapid.Bool().Draw(t, "turn"),
		})
	}
	kerf := rapid.Int64Range(0, 6).Draw(t, "kerf")
	for range rapid.IntRange(1, 3).Draw(t, "sheets") {
		p.Sheets = append(p.Sheets, Sheet{
			Length:    rapid.Int64Range(1300, 3000).Draw(t, "L"),
			Width:     rapid.Int64Range(1300, 2000).Draw(t, "W"),
			TrimLeft:  rapid.Int64Range(0, 20).Draw(t, "trim left"),
			TrimTop:   rapid.Int64Range(0, 20).Draw(t, "trim top"),
			Kerf:      kerf,
			Supply:    rapid.SampledFrom([]int64{Unlimited, Unlimited, 1, 2}).Draw(t, "supply"),
			Price:     rapid.Int64Range(1, 9000).Draw(t, "price"),
			MinStrip:  rapid.SampledFrom([]int64{0, 0, 50}).Draw(t, "strip"),
			TrimRight: rapid.Int64Range(0, 20).Draw(t, "trim right"),
		})
	}
	return p
}

// sound holds what every plan must: it is valid, panels lie apart, and its goals are
// those of its layouts and on the right side of their bounds.
func sound(t *rapid.T, p Problem, r Result) (cost, sheets int64) {
	t.Helper()
	if err := Validate(p, r.Layouts); err != nil {
		t.Fatal(err)
	}
	for _, l := range r.Layouts {
		cost += l.Count * p.Sheets[l.Sheet].Price
		sheets += l.Count
		for i, a := range l.Places {
			for _, b := range l.Places[:i] {
				if !apart(p, l.Sheet, a, b) {
					t.Fatalf("%+v and %+v overlap or are closer than the kerf or spacing", a, b)
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
	return cost, sheets
}

// TestProperties draws problems: plans are valid, panels do not overlap and
// keep a kerf between them, goals keep their bounds, and the same run again
// gives the same result.
func TestProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		o := Options{Effort: Quick, Seed: rapid.Int64().Draw(t, "seed")}
		r, err := Solve(context.Background(), p, o)
		if err != nil {
			t.Fatal(err)
		}
		if again, _ := Solve(context.Background(), p, o); !cmp.Equal(r, again) {
			t.Fatalf("the same run again differs:\n%s", cmp.Diff(r, again))
		}
		if r.Outcome != Planned {
			if slices.ContainsFunc(p.Sheets, func(s Sheet) bool { return s.Supply == Unlimited }) && r.Shortfall.TooLarge == nil {
				all := true // every panel fits every kind, so a plan exists
				for _, s := range p.Sheets {
					all = all && s.MinStrip == 0
				}
				if all {
					t.Fatalf("outcome %d", r.Outcome)
				}
			}
			return
		}
		sound(t, p, r)
		largest := int64(0)
		for _, l := range r.Layouts {
			largest = max(largest, largestWaste(l.Tree))
		}
		if largest != r.Offcut.Value {
			t.Fatalf("largest offcut %d, goal %+v", largest, r.Offcut)
		}
	})
}

func apart(p Problem, sheet int, a, b Place) bool {
	kerf := p.Sheets[sheet].Kerf
	extent := func(at Place) (int64, int64) {
		if at.Turned {
			return p.Panels[at.Panel].Width, p.Panels[at.Panel].Length
		}
		return p.Panels[at.Panel].Length, p.Panels[at.Panel].Width
	}
	al, aw := extent(a)
	bl, bw := extent(b)
	return a.X+al+kerf <= b.X || b.X+bl+kerf <= a.X || a.Y+aw+kerf <= b.Y || b.Y+bw+kerf <= a.Y
}

// TestIdentities changes small problems in ways that leave the optimum alone:
// finer units, other order, mirrored axes, other seed.
func TestIdentities(t *testing.T) {
	r := rand.New(rand.NewPCG(7, 8))
	for n := range 150 {
		p := randomProblem(r, 1+r.IntN(6))
		want := mustSolve(t, p, Options{Effort: Quick})
		scaled, mirrored, shuffled := p, p, p
		scaled.Panels, scaled.Sheets = slices.Clone(p.Panels), slices.Clone(p.Sheets)
		mirrored.Panels, mirrored.Sheets = slices.Clone(p.Panels), slices.Clone(p.Sheets)
		const unit = 15_875
		for i := range p.Panels {
			a := &scaled.Panels[i]
			a.Length, a.Width = a.Length*unit, a.Width*unit
			b := &mirrored.Panels[i]
			b.Length, b.Width = b.Width, b.Length
		}
		for k := range p.Sheets {
			s := &scaled.Sheets[k]
			for _, x := range []*int64{&s.Length, &s.Width, &s.TrimLeft, &s.TrimRight, &s.TrimBottom, &s.TrimTop, &s.Kerf, &s.MinStrip, &s.Blade} {
				*x *= unit
			}
			m := &mirrored.Sheets[k]
			m.Length, m.Width = m.Width, m.Length
			m.TrimLeft, m.TrimBottom = m.TrimBottom, m.TrimLeft
			m.TrimRight, m.TrimTop = m.TrimTop, m.TrimRight
		}
		mirrored.FirstCut = map[Direction]Direction{AnyDirection: AnyDirection, AlongLength: AlongWidth, AlongWidth: AlongLength}[p.FirstCut]
		shuffled.Panels, shuffled.Sheets = slices.Clone(p.Panels), slices.Clone(p.Sheets)
		r.Shuffle(len(shuffled.Panels), func(i, j int) {
			shuffled.Panels[i], shuffled.Panels[j] = shuffled.Panels[j], shuffled.Panels[i]
		})
		slices.Reverse(shuffled.Sheets)
		for _, q := range []Problem{scaled, mirrored, shuffled} {
			got := mustSolve(t, q, Options{Effort: Quick, Seed: 9})
			if got.Outcome != want.Outcome || got.Cost.Value != want.Cost.Value {
				t.Fatalf("problem %d: %d %+v, changed: %d %+v\n%+v\n%+v", n, want.Outcome, want.Cost, got.Outcome, got.Cost, p, q)
			}
		}
	}
}

func TestOutcomes(t *testing.T) {
	sheet := Sheet{Length: 2000, Width: 1000, Supply: 1, Price: 10}
	t.Run("nothing wanted", func(t *testing.T) {
		r := mustSolve(t, Problem{Panels: []Panel{{10, 10, 0, false}}, Sheets: []Sheet{sheet}}, Options{})
		if r.Outcome != Planned || len(r.Layouts) != 0 || r.Cost != (Goal{0, 0, Proven}) {
			t.Errorf("%+v", r)
		}
	})
	t.Run("no sheets", func(t *testing.T) {
		r := mustSolve(t, Problem{Panels: []Panel{{10, 10, 1, false}}}, Options{})
		if r.Outcome != Impossible || !slices.Equal(r.Shortfall.TooLarge, []int{0}) {
			t.Errorf("%+v", r)
		}
	})
	t.Run("too large", func(t *testing.T) {
		p := Problem{Panels: []Panel{{900, 900, 1, false}, {900, 2000, 1, false}, {1 << 40, 5, 1, true}}, Sheets: []Sheet{sheet}}
		r := mustSolve(t, p, Options{})
		if r.Outcome != Impossible || !slices.Equal(r.Shortfall.TooLarge, []int{1, 2}) {
			t.Errorf("%+v", r)
		}
	})
	t.Run("short of area", func(t *testing.T) {
		p := Problem{Panels: []Panel{{500, 500, 12, false}}, Sheets: []Sheet{sheet}}
		r := mustSolve(t, p, Options{})
		if r.Outcome != Impossible || r.Shortfall.Area <= 999_999 || r.Shortfall.Area > 1_000_000 {
			t.Errorf("%+v", r)
		}
		if len(r.Shortfall.Unplaced) != 1 || r.Shortfall.Unplaced[0] != (Unplaced{0, 4}) {
			t.Errorf("left over: %+v", r.Shortfall.Unplaced)
		}
	})
	t.Run("no guillotine cuts", func(t *testing.T) {
		// Hopper & Turton's C1-P2 fills its sheet, but not by guillotine
		// cuts (Becker c. 2022); no dual feasible function sees that.
		p := oneKind(20, 20, false, c1p2...)
		p.Sheets[0].Supply = 1
		r := mustSolve(t, p, Options{Effort: Quick})
		if r.Outcome != Impossible || !r.Certificate.Enumerated || r.Certificate.Bound != 1 || r.Struck != NoLimit {
			t.Errorf("%+v", r)
		}
	})
	t.Run("not found", func(t *testing.T) {
		// Too many panels to enumerate, and hardly any waste allowed.
		p := Problem{Sheets: []Sheet{{Width: 500, Supply: 1, Price: 1}}}
		area := int64(0)
		for i := range int64(40) {
			p.Panels = append(p.Panels, Panel{53 + i, 97 - i, 1, false})
			area += (53 + i) * (97 - i)
		}
		p.Sheets[0].Length = area/500 + 1
		r := mustSolve(t, p, Options{Effort: Quick})
		if r.Outcome != NotFound || len(r.Shortfall.Unplaced) == 0 || r.Struck != EffortLimit {
			t.Errorf("%+v", r)
		}
	})
	t.Run("free sheets first", func(t *testing.T) {
		p := Problem{
			Panels: []Panel{{1000, 1000, 5, false}},
			Sheets: []Sheet{{Length: 2000, Width: 1000, Supply: Unlimited, Price: 10}, {Length: 1000, Width: 1000, Supply: 3}},
		}
		r := mustSolve(t, p, Options{})
		if r.Cost != (Goal{10, 10, Proven}) || r.Sheets != (Goal{4, 4, Proven}) {
			t.Errorf("%+v %+v", r.Cost, r.Sheets)
		}
	})
	t.Run("few free sheets", func(t *testing.T) {
		// Sheets that cost nothing are counted all the same. 7 panels of a
		// third of a sheet need three; 14 need five.
		for _, n := range []int64{7, 14} {
			p := Problem{
				Panels: []Panel{{500, 900, n, false}},
				Sheets: []Sheet{{Length: 500, Width: 900, Supply: 20}, {Length: 1500, Width: 900, Supply: 20}},
			}
			want := (n + 2) / 3
			if r := mustSolve(t, p, Options{}); r.Sheets != (Goal{want, want, Proven}) {
				t.Errorf("%d panels: %+v", n, r.Sheets)
			}
			p.Sheets = p.Sheets[1:]
			if r := mustSolve(t, p, Options{}); r.Sheets != (Goal{want, want, Proven}) {
				t.Errorf("%d panels, one kind: %+v", n, r.Sheets)
			}
		}
	})
	t.Run("the last cut turns the rest to dust", func(t *testing.T) {
		for _, rest := range []int64{0, 1, 4, 5} {
			p := Problem{Panels: []Panel{{2000 - rest, 1000, 1, false}}, Sheets: []Sheet{sheet}}
			p.Sheets[0].Kerf = 4
			r := mustSolve(t, p, Options{})
			if want := max(0, (rest-4)*1000); r.Offcut.Value != want || r.Cost.Value != 10 {
				t.Errorf("rest %d: offcut %+v", rest, r.Offcut)
			}
		}
	})
	t.Run("one large offcut", func(t *testing.T) {
		// Ten of the twelve squares: the best single rectangle left is 1 × 2
		// or 2 × 1 squares.
		p := Problem{Panels: []Panel{{100, 100, 10, false}}, Sheets: []Sheet{{Length: 400, Width: 300, Supply: Unlimited, Price: 1}}}
		r := mustSolve(t, p, Options{})
		if r.Offcut != (Goal{20_000, 20_000, Proven}) {
			t.Errorf("%+v", r.Offcut)
		}
	})
	t.Run("stopped", func(t *testing.T) {
		ctx, cancel := context.WithCancel(context.Background())
		cancel()
		p := Problem{Sheets: []Sheet{{Length: 100, Width: 100, Supply: Unlimited, Price: 1}}}
		for i := range int64(15) {
			p.Panels = append(p.Panels, Panel{34 + i, 60 - 2*i, 2, true})
		}
		r, err := Solve(ctx, p, Options{})
		if err != nil || r.Outcome != Planned || r.Struck != TimeLimit || Validate(p, r.Layouts) != nil {
			t.Errorf("%v %+v", err, r)
		}
	})
	t.Run("progress", func(t *testing.T) {
		calls, last := 0, Progress{}
		in := Problem{Panels: []Panel{{60, 60, 5, false}, {40, 40, 9, false}}, Sheets: []Sheet{{Length: 100, Width: 100, Supply: Unlimited, Price: 1}}}
		r := mustSolve(t, in, Options{Progress: func(p Progress) { calls++; last = p }})
		if calls == 0 || !last.Found || last.Value != r.Cost.Value || last.Bound != r.Cost.Bound {
			t.Errorf("%d calls, last %+v, %+v", calls, last, r.Cost)
		}
	})
}

func TestErrors(t *testing.T) {
	sheet := Sheet{Length: 20, Width: 10, Supply: Unlimited, Price: 1}
	change := func(f func(*Sheet)) Problem {
		s := sheet
		f(&s)
		return Problem{Sheets: []Sheet{s}}
	}
	for _, c := range []struct {
		problem Problem
		says    string
	}{
		{Problem{Stages: -1}, "stages is -1"},
		{Problem{FirstCut: 3}, "direction is 3"},
		{Problem{Panels: []Panel{{0, 5, 1, false}}}, "panel 0 measures 0 × 5"},
		{Problem{Panels: []Panel{{5, 5, -1, false}}}, "wanted -1 times"},
		{Problem{Panels: []Panel{{5, 5, 1, false}, {5, 5, 1 << 62, false}}}, "panel 1 is wanted"},
		{change(func(s *Sheet) { s.Length = 0 }), "sheet 0 measures 0 × 10"},
		{change(func(s *Sheet) { s.Width = 1 << 40 }), "sheet 0 measures"},
		{change(func(s *Sheet) { s.Kerf = -1 }), "negative"},
		{change(func(s *Sheet) { s.TrimTop = 1 << 62 }), "greater than"},
		{change(func(s *Sheet) { s.Supply = -2 }), "supply of -2"},
		{change(func(s *Sheet) { s.Price = -1 }), "price -1"},
		{change(func(s *Sheet) { s.Price = 0 }), "costs 0"},
	} {
		_, err := Solve(context.Background(), c.problem, Options{})
		if err == nil || !strings.Contains(err.Error(), c.says) {
			t.Errorf("%v, expected %q", err, c.says)
		}
	}
}
