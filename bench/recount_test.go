package main

import (
	"strings"
	"testing"

	"sawbill/nest2d"
)

// bars of 10 hold 6+4 and 5+5; two of the three kinds of bar cost the same.
var smallBars = barProblem{
	pieces: []barPiece{{6, 1}, {4, 1}, {5, 2}},
	stocks: []barStock{{10, 1, 7}, {10, 2, 9}, {6, -1, 5}},
}

func smallBarPlan() barPlan {
	return barPlan{[]bar{
		{Length: 10, Pieces: []int64{6, 4}, stock: 0, kinds: []int{0, 1}, at: []int64{0, 6}},
		{Length: 10, Pieces: []int64{5, 5}, stock: 1, kinds: []int{2, 2}, at: []int64{0, 5}},
	}}
}

func TestRecountBars(t *testing.T) {
	if cost, err := smallBars.recount(smallBarPlan()); err != nil || cost != 16 {
		t.Errorf("recount = %d, %v, want 16", cost, err)
	}
	tests := []struct {
		name  string
		spoil func(*barPlan)
		want  string
	}{
		{"bar left out", func(p *barPlan) { p.Bars = p.Bars[:1] }, "comes 0 times instead of 2"},
		{"bar too many", func(p *barPlan) { p.Bars = append(p.Bars, p.Bars[1]) }, "comes 4 times instead of 2"},
		{"empty bar", func(p *barPlan) { p.Bars = append(p.Bars, bar{Length: 6, stock: 2}) }, "for nothing"},
		{"supply", func(p *barPlan) { p.Bars[1].stock = 0 }, "2 bars of length 10 are used, 1 supplied"},
		{"wrong length", func(p *barPlan) { p.Bars[0].Length = 12 }, "its kind has 10"},
		{"shorter kind", func(p *barPlan) { p.Bars[1].Length, p.Bars[1].stock = 6, 2 }, "reaching 10"},
		{"overlap", func(p *barPlan) { p.Bars[1].at[1] = 4 }, "before the end"},
		{"outside to the left", func(p *barPlan) { p.Bars[1].at[0] = -1 }, "before the end"},
		{"outside to the right", func(p *barPlan) { p.Bars[1].at[1] = 6 }, "reaching 11"},
		{"foreign piece", func(p *barPlan) { p.Bars[0].Pieces[0] = 3 }, "nobody asked for"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			plan := smallBarPlan()
			test.spoil(&plan)
			if _, err := smallBars.recount(plan); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want one that says %q", err, test.want)
			}
		})
	}
}

var smallSheets = sheetProblem{
	items:  []panelKind{{6, 10, 1, 0}, {10, 4, 1, 0}},
	sheets: []sheetKind{{10, 10, 1, 7}, {20, 10, -1, 12}},
}

func smallSheetPlan() sheetPlan {
	return sheetPlan{[]sheet{{Length: 10, Height: 10, kind: 0, Items: []sheetItem{
		{6, 10, 0, 0, false, 0},
		{10, 4, 6, 0, true, 1},
	}}}}
}

func TestRecountSheets(t *testing.T) {
	turning := placement{turn: true}
	if cost, err := smallSheets.recount(smallSheetPlan(), turning); err != nil || cost != 7 {
		t.Errorf("recount = %d, %v, want 7", cost, err)
	}
	tests := []struct {
		name  string
		rules placement
		spoil func(*sheetPlan)
		want  string
	}{
		{"turned", placement{}, func(*sheetPlan) {}, "turned that may not be"},
		{"left out", turning, func(p *sheetPlan) { p.Sheets[0].Items = p.Sheets[0].Items[:1] }, "comes 0 times instead of 1"},
		{"twice", turning, func(p *sheetPlan) { p.Sheets = append(p.Sheets, p.Sheets[0]) }, "comes 2 times instead of 1"},
		{"overlap", turning, func(p *sheetPlan) { p.Sheets[0].Items[1].X = 5 }, "over each other"},
		{"outside", turning, func(p *sheetPlan) { p.Sheets[0].Items[1].X = 7 }, "reaching from (7, 0) to (11, 10)"},
		{"outside above", turning, func(p *sheetPlan) { p.Sheets[0].Items[0].Y = 1 }, "reaching from (0, 1) to (6, 11)"},
		{"below zero", turning, func(p *sheetPlan) { p.Sheets[0].Items[0].X = -1 }, "reaching from (-1, 0)"},
		{"wrong size", turning, func(p *sheetPlan) { p.Sheets[0].Length = 11 }, "its kind has 10 by 10"},
		{"foreign item", turning, func(p *sheetPlan) { p.Sheets[0].Items[0].Length = 5 }, "nobody asked for"},
		{"empty sheet", turning, func(p *sheetPlan) { p.Sheets[0].Items = nil }, "for nothing"},
		{"supply", turning, func(p *sheetPlan) {
			one, other := p.Sheets[0], p.Sheets[0]
			one.Items, other.Items = one.Items[:1], other.Items[1:]
			p.Sheets = []sheet{one, other}
		}, "2 sheets of 10 by 10 are used, 1 supplied"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			plan := smallSheetPlan()
			test.spoil(&plan)
			if _, err := smallSheets.recount(plan, test.rules); err == nil || !strings.Contains(err.Error(), test.want) {
				t.Errorf("error %v, want one that says %q", err, test.want)
			}
		})
	}
}

// TestRecountGuillotine has the pinwheel, the smallest pattern without a cut
// from edge to edge (Gilmore and Gomory 1965, Operations Research 13:94-120,
// define the cut; that five boxes suffice to avoid it is common knowledge).
func TestRecountGuillotine(t *testing.T) {
	wheel := sheetProblem{
		items:  []panelKind{{2, 1, 2, 0}, {1, 2, 2, 0}, {1, 1, 1, 0}},
		sheets: []sheetKind{{3, 3, -1, 1}},
	}
	plan := sheetPlan{[]sheet{{Length: 3, Height: 3, Items: []sheetItem{
		{2, 1, 0, 0, false, 0}, {1, 2, 2, 0, false, 1}, {2, 1, 1, 2, false, 0}, {1, 2, 0, 1, false, 1}, {1, 1, 1, 1, false, 2},
	}}}}
	if _, err := wheel.recount(plan, placement{}); err == nil || !strings.Contains(err.Error(), "guillotine") {
		t.Errorf("the pinwheel passes for guillotine cuts: %v", err)
	}
	if _, err := wheel.recount(plan, placement{free: true}); err != nil {
		t.Errorf("the pinwheel fails as free placement: %v", err)
	}
}

func TestGuillotineStages(t *testing.T) {
	tests := []struct {
		name                string
		boxes               []box
		any, length, across int // stages by the direction of the first
	}{
		{"one", []box{{0, 0, 3, 4}}, 1, 1, 1},
		{"side by side", []box{{0, 0, 1, 4}, {1, 0, 2, 3}, {2, 0, 3, 5}}, 1, 2, 1},
		{"one above the other, apart", []box{{0, 0, 4, 1}, {0, 2, 3, 3}}, 1, 1, 2},
		{"a row on a row", []box{{0, 0, 2, 1}, {2, 0, 4, 1}, {0, 1, 1, 2}, {1, 1, 4, 2}}, 2, 2, 3},
		{"a grid", []box{{0, 0, 2, 1}, {2, 0, 4, 1}, {0, 1, 2, 2}, {2, 1, 4, 2}}, 2, 2, 2},
		{"three", []box{{0, 0, 4, 1}, {0, 1, 1, 3}, {1, 1, 4, 2}, {1, 2, 4, 3}}, 3, 3, 4},
		{"three, mirrored", []box{{0, 0, 1, 4}, {1, 0, 3, 1}, {1, 1, 2, 4}, {2, 1, 3, 4}}, 3, 4, 3},
	}
	for _, test := range tests {
		for first, want := range map[nest2d.Direction]int{
			nest2d.AnyDirection: test.any, nest2d.AlongLength: test.length, nest2d.AlongWidth: test.across,
		} {
			if got, ok := guillotineStages(test.boxes, first); !ok || got != want {
				t.Errorf("%s, first direction %d: %d stages, %v, want %d", test.name, first, got, ok, want)
			}
		}
	}
}

// TestExactStages counts by hand the stages with every trimming cut in them.
func TestExactStages(t *testing.T) {
	row := []box{{0, 0, 1, 4}, {1, 0, 2, 3}, {2, 0, 3, 5}}
	grid := []box{{0, 0, 2, 1}, {2, 0, 4, 1}, {0, 1, 2, 2}, {2, 1, 4, 2}}
	for _, test := range []struct {
		name                string
		boxes               []box
		sheet               box
		any, length, across int // stages by the direction of the first
	}{
		{"the whole sheet", []box{{0, 0, 3, 4}}, box{0, 0, 3, 4}, 0, 0, 0},
		{"a strip of it", []box{{0, 0, 3, 4}}, box{0, 0, 5, 4}, 1, 2, 1},
		{"a corner of it", []box{{0, 0, 3, 4}}, box{0, 0, 5, 5}, 2, 2, 2},
		{"side by side", row, box{0, 0, 3, 5}, 2, 3, 2},
		{"a grid", grid, box{0, 0, 5, 3}, 2, 2, 2},
		{"two strips, one uneven", []box{{0, 0, 2, 2}, {2, 0, 4, 1}, {0, 2, 4, 3}}, box{0, 0, 4, 3}, 3, 3, 4},
	} {
		for first, want := range map[nest2d.Direction]int{
			nest2d.AnyDirection: test.any, nest2d.AlongLength: test.length, nest2d.AlongWidth: test.across,
		} {
			if got, ok := exactStages(test.boxes, test.sheet, first); !ok || got != want {
				t.Errorf("%s, first direction %d: %d stages, %v, want %d", test.name, first, got, ok, want)
			}
		}
	}
}
