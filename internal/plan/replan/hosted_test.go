package replan

import (
	"context"
	"slices"
	"testing"

	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/internal/progress"
)

// A plate that waits in the opening of a frame falls out of the sheet with it: once
// the frame is cut or has gone wrong it is planned anew, unless it was cut as well,
// in whatever order that is told. One whose frame was made of something else stays.
func TestPlateFallsWithItsFrame(t *testing.T) {
	j := read(t, t.TempDir(), `[job]
name = "screen"
currency = "EUR"
unit = "mm"
[material.skin]
stock = "sheet 1.5"
alloy = "5005-H14"
process = "laser"
[process.laser]
kind = "laser"
spacing = 5
margin = 10
[tables]
offers = '''
supplier, material, size, price
East, skin, 1020 x 620, 50
'''
panels = '''
mark, material, length, width, quantity, turn
F1, skin, 1000, 600, 2, no
P1, skin, 790, 390, 2, no
'''
openings = '''
mark, x, y, length, width
F1, 100, 100, 800, 400
'''
`)
	ctx := context.Background()
	p, err := planner.Make(ctx, j, planner.Options{})
	if err != nil {
		t.Fatal(err)
	}
	s := progress.Start(j, p)
	host, plate := progress.Copy{Mark: "F1", Copy: 1}, progress.Copy{}
	for _, l := range s.Layouts {
		for _, q := range l.Layout.Panels {
			if q.In > 0 && l.Layout.Panels[q.In-1].Copy == host.Copy {
				plate = progress.Copy{Mark: q.Mark, Copy: q.Copy}
			}
		}
	}
	if plate.Mark != "P1" {
		t.Fatal("no plate lies in F1/1: the test tests nothing")
	}
	told := func(c progress.Copy, become string) progress.Event {
		return progress.Event{Mark: c.Mark, Copy: c.Copy, Become: become}
	}
	cut := progress.Cut
	for _, c := range []struct {
		name   string
		events []progress.Event
		wanted []progress.Copy
	}{
		{"nothing", nil, nil},
		{"the plate", []progress.Event{told(plate, cut)}, nil},
		{"the frame", []progress.Event{told(host, cut)}, []progress.Copy{plate}},
		{"both", []progress.Event{told(host, cut), told(plate, cut)}, nil},
		{"frame wrong", []progress.Event{told(host, progress.Wrong)}, []progress.Copy{host, plate}},
	} {
		var events []progress.Event
		for _, e := range c.events {
			if events, err = progress.Add(j, s, events, e); err != nil {
				t.Fatal(c.name, err)
			}
		}
		v := progress.Look(j, s, events)
		if !slices.Equal(v.Wanted, c.wanted) {
			t.Errorf("%s: wanted %v, want %v", c.name, v.Wanted, c.wanted)
		}
		if len(c.wanted) == 0 {
			continue
		}
		got, err := Make(ctx, j, v, planner.Options{})
		if err != nil {
			t.Fatal(c.name, err)
		}
		if findings, _ := check.Plan(got.Job, got.Plan); len(findings) > 0 {
			t.Error(c.name, findings)
		}
	}
}
