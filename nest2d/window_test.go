package nest2d

import (
	"context"
	"math/rand/v2"
	"strings"
	"testing"
)

// opening gives some panels of a problem windows.
func opening(r *rand.Rand, p *Problem) {
	for i := range p.Panels {
		a := &p.Panels[i]
		if r.IntN(2) == 0 {
			a.Length, a.Width = min(a.Length, 2), min(a.Width, 3)
			continue
		}
		a.Length, a.Width = 4+r.Int64N(3), 4+r.Int64N(3)
		l, w := a.Length-2-r.Int64N(2), a.Width-2-r.Int64N(2)
		p.Windows = append(p.Windows, Window{i, r.Int64N(a.Length - l), r.Int64N(a.Width - w), l, w, false})
	}
}

// TestWindowsBrute compares with the optimum of small problems, found by trying
// every set of panels on sheets and in windows alike.
func TestWindowsBrute(t *testing.T) {
	r := rand.New(rand.NewPCG(27, 28))
	with, gained, hosted, fewest := 0, 0, 0, 0
	for n := range 300 {
		p := randomFree(r, 2+r.IntN(5))
		opening(r, &p)
		if len(p.Windows) == 0 {
			continue
		}
		all := p
		all.Sheets = p.opened()
		cost := freeBrute(all)
		got := mustSolve(t, p, Options{Effort: Quick})
		if cost < 0 {
			if got.Outcome != Impossible {
				t.Fatalf("problem %d: outcome %d, but no plan exists\n%+v", n, got.Outcome, p)
			}
			continue
		}
		with++
		if got.Outcome != Planned || got.Cost.Value != cost || got.Cost.Bound != cost {
			t.Fatalf("problem %d: outcome %d, cost %+v, optimum %d\n%+v", n, got.Outcome, got.Cost, cost, p)
		}
		var sheets int64
		for _, l := range got.Layouts {
			sheets += l.Count
			for _, at := range l.Places {
				if at.In > 0 {
					hosted++
				}
			}
		}
		if sheets != got.Sheets.Value || got.Sheets.Bound > sheets {
			t.Fatalf("problem %d: %d sheets, said are %+v\n%+v", n, sheets, got.Sheets, p)
		}
		if got.Sheets.Status == Proven {
			fewest++
		}
		none := p
		none.Windows = nil
		if least := freeBrute(none); least < 0 || least > cost {
			gained++
		}
	}
	t.Logf("of %d with a plan %d cost less by windows, %d panels hosted; fewest sheets proven of %d", with, gained, hosted, fewest)
	if gained < 12 || hosted < 30 {
		t.Error("too few problems in which windows help")
	}
}

// A ring holds a ring, which holds a plate: three panels, one sheet.
func TestWindowsWithinWindows(t *testing.T) {
	for _, turn := range []bool{false, true} {
		p := Problem{
			Free:    true,
			Panels:  []Panel{{100, 60, 3, turn}, {80, 40, 3, turn}, {60, 20, 3, turn}},
			Sheets:  []Sheet{{Length: 100, Width: 60, Kerf: 5, Supply: Unlimited, Price: 7}},
			Windows: []Window{{0, 10, 10, 80, 40, false}, {1, 10, 10, 60, 20, false}},
		}
		r := mustSolve(t, p, Options{})
		if r.Cost != (Goal{21, 21, Proven}) || len(r.Layouts) != 1 || r.Layouts[0].Count != 3 {
			t.Errorf("cost %+v, layouts %+v", r.Cost, r.Layouts)
		}
		for i, at := range r.Layouts[0].Places {
			if at.In != i {
				t.Errorf("place %d is %+v", i, at)
			}
		}
	}
}

// What may not be turned lies only in what may not be turned either.
func TestWindowsTurnTheirContent(t *testing.T) {
	p := Problem{
		Free:    true,
		Panels:  []Panel{{100, 60, 1, true}, {80, 40, 1, false}},
		Sheets:  []Sheet{{Length: 60, Width: 100, Supply: 1, Price: 7}, {Length: 80, Width: 40, Supply: 1, Price: 5}},
		Windows: []Window{{0, 10, 10, 80, 40, false}},
	}
	if r := mustSolve(t, p, Options{}); r.Cost != (Goal{12, 12, Proven}) {
		t.Errorf("cost %+v", r.Cost)
	}
	p.Panels[1].Turn = true
	r := mustSolve(t, p, Options{})
	if r.Cost != (Goal{7, 7, Proven}) {
		t.Errorf("cost %+v", r.Cost)
	}
	if at := r.Layouts[0].Places[1]; at != (Place{1, 10, 10, true, 1}) {
		t.Errorf("it lies at %+v", at)
	}
}

func TestWindowsRefused(t *testing.T) {
	p := Problem{Free: true, Panels: []Panel{{100, 60, 1, true}}, Sheets: []Sheet{{Length: 200, Width: 100, Kerf: 5, Supply: 1, Price: 7}}}
	for says, list := range map[string][]Window{
		"in panel 1, of 1":         {{Panel: 1, Length: 5, Width: 5}},
		"must be inside its panel": {{Length: 100, Width: 10}},
		"closer than the spacing":  {{X: 10, Y: 10, Length: 20, Width: 20}, {X: 34, Y: 10, Length: 20, Width: 20}},
	} {
		p.Windows = list
		if _, err := Solve(context.Background(), p, Options{}); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v is refused with %v", list, err)
		}
	}
	p.Windows, p.Free = []Window{{X: 10, Y: 10, Length: 20, Width: 20}}, false
	if _, err := newModel(p); err == nil || !strings.Contains(err.Error(), "not free") {
		t.Errorf("windows without free placement are refused with %v", err)
	}
}

// What may lie either way in windows costs no more than what may not.
func TestWindowsForBounds(t *testing.T) {
	p := Problem{
		Free:    true,
		Panels:  []Panel{{100, 60, 1, true}, {40, 80, 1, false}},
		Sheets:  []Sheet{{Length: 100, Width: 60, Supply: 1, Price: 7}, {Length: 60, Width: 100, Supply: 1, Price: 7}, {Length: 40, Width: 80, Supply: 1, Price: 5}},
		Windows: []Window{{Panel: 0, X: 10, Y: 10, Length: 80, Width: 40}},
	}
	r := mustSolve(t, p, Options{})
	p.Windows[0].AnyTurn = true
	wide, err := Solve(context.Background(), p, Options{})
	if err != nil || r.Cost != (Goal{12, 12, Proven}) || wide.Cost != (Goal{7, 7, Proven}) {
		t.Errorf("cost %+v, in any way %+v, %v", r.Cost, wide.Cost, err)
	}
}
