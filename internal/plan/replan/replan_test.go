package replan

import (
	"context"
	"errors"
	"fmt"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
	"sawbill/internal/progress"
)

const mm = length.Millimetre

// read makes a job as a person writes it.
func read(t interface{ Fatal(...any) }, dir, text string) *job.Job {
	path := dir + "/job.toml"
	write(t, path, text)
	j, err := job.Read(path)
	if err != nil {
		t.Fatal(err, text)
	}
	return j
}

// drawn is a job of bars and of sheets with suppliers that charge.
func drawn(r *rapid.T, dir string) *job.Job {
	n := func(name string, from, to int) int { return rapid.IntRange(from, to).Draw(r, name) }
	text := "[job]\nname = \"hide\"\ncurrency = \"EUR\"\nunit = \"mm\"\n"
	text += "[material.tube]\nstock = \"SHS 25x25x2\"\nalloy = \"6063-T6\"\nprocess = \"saw\"\nkeep-over = 300\n"
	text += "[material.skin]\nstock = \"sheet 1.5\"\nalloy = \"5754-H22\"\nprocess = \"panels\"\n"
	text += fmt.Sprintf("[process.saw]\nkind = \"saw\"\nkerf = %d\ntrim-left = %d\n", n("kerf", 0, 4), n("trim", 0, 10))
	kind := rapid.SampledFrom([]string{"panel saw", "laser"}).Draw(r, "kind")
	spacing := "kerf"
	if kind == "laser" {
		spacing = "spacing"
	}
	text += fmt.Sprintf("[process.panels]\nkind = %q\n%s = %d\n", kind, spacing, n("spacing", 0, 6))
	text += fmt.Sprintf("[supplier.North]\ndelivery = %d\n[supplier.East]\ndelivery = 0\nminimum = %d\n", n("delivery", 0, 30), n("minimum", 0, 60))
	text += "[tables]\npieces = '''\nmark, material, length, left, right, quantity\n"
	for i := range n("pieces", 1, 4) {
		text += fmt.Sprintf("R%d, tube, %d, %d, %d, %d\n", i+1, n("length", 100, 1900), 45*n("left", 0, 1), 30*n("right", 0, 1), n("quantity", 1, 4))
	}
	text += "'''\npanels = '''\nmark, material, length, width, quantity\n"
	for i := range n("panels", 1, 3) {
		text += fmt.Sprintf("S%d, skin, %d, %d, %d\n", i+1, n("panel length", 100, 900), n("panel width", 100, 500), n("panel quantity", 1, 3))
	}
	text += "'''\noffers = '''\nsupplier, material, size, price\n"
	text += fmt.Sprintf("North, tube, 2000, %d\nEast, tube, 3000, %d\nNorth, skin, 1000 x 1000, %d\n", n("price", 5, 9), n("price 2", 5, 15), n("price 3", 20, 30))
	return read(r, dir, text+"'''\n")
}

// TestAnyEvents: whatever happens at the saw, as often as may be, the plan for
// what remains is proved, and what is made, waits in layouts and is planned is
// every copy of the job once.
func TestAnyEvents(t *testing.T) {
	dir := t.TempDir()
	again := 0
	rapid.Check(t, func(r *rapid.T) {
		j := drawn(r, dir)
		o := planner.Options{Effort: planner.Quick}
		p, err := planner.Make(context.Background(), j, o)
		if err != nil {
			r.Skip(err)
		}
		s := progress.Start(j, p)
		for range rapid.IntRange(1, 4).Draw(r, "rounds") {
			var events []progress.Event
			for range rapid.IntRange(1, 8).Draw(r, "events") {
				e := event(r, j, s, events)
				more, err := progress.Add(j, s, events, e)
				if err == nil {
					events = more
				}
			}
			v := progress.Look(j, s, events)
			whole(r, j, v)
			made := map[progress.Copy]bool{}
			for _, c := range v.Made {
				made[c] = true
			}
			got, err := Make(context.Background(), j, v, o)
			var none *planner.NoPlan
			switch {
			case errors.Is(err, ErrNothing):
				continue
			case errors.As(err, &none):
				return // nobody has the stock any more
			case err != nil:
				r.Fatal(err)
			}
			if findings, _ := check.Plan(got.Job, got.Plan); len(findings) > 0 {
				r.Fatal(findings)
			}
			again++
			for _, m := range got.Plan.Materials {
				for _, l := range m.Layouts {
					for _, q := range l.Pieces {
						if made[progress.Copy{Mark: q.Mark, Copy: q.Copy}] {
							r.Fatalf("%s/%d is asked for twice", q.Mark, q.Copy)
						}
					}
				}
			}
			s = got.State
			whole(r, j, progress.Look(j, s, nil))
			inStock(r, j, s)
		}
	})
	if again == 0 {
		t.Error("nothing was ever planned again: the test tests nothing")
	}
}

// event draws something that may happen, or may not.
func event(r *rapid.T, j *job.Job, s progress.State, events []progress.Event) progress.Event {
	v := progress.Look(j, s, events)
	all := append(append(append([]progress.Copy{}, v.Made...), v.Waiting...), v.Wanted...)
	if len(s.Layouts) > 0 && rapid.IntRange(0, 3).Draw(r, "of stock") == 0 {
		l := rapid.SampledFrom(s.Layouts).Draw(r, "layout")
		e := progress.Event{Plan: l.Plan, Material: l.Material, Number: l.Layout.Number,
			Become: rapid.SampledFrom([]string{progress.Short, progress.Damaged, progress.Missing, progress.Open}).Draw(r, "become")}
		at := func(name string, to length.Length) length.Length {
			return length.Length(rapid.Int64Range(1, int64(to/mm)).Draw(r, name)) * mm
		}
		switch e.Become {
		case progress.Short:
			e.Length = at("length", l.Layout.Stock.Length)
			if l.Layout.Stock.Width > 0 {
				e.Width = at("width", l.Layout.Stock.Width)
			}
		case progress.Damaged:
			e.Start = at("start", l.Layout.Stock.Length)
			e.End = e.Start + at("stretch", 200*mm)
		}
		return e
	}
	c := rapid.SampledFrom(all).Draw(r, "copy")
	e := progress.Event{Mark: c.Mark, Copy: c.Copy, Become: rapid.SampledFrom([]string{progress.Cut, progress.Cut, progress.Wrong, progress.Lost, progress.Open}).Draw(r, "become")}
	switch {
	case e.Become == progress.Wrong && rapid.Bool().Draw(r, "measured"):
		e.Length = length.Length(rapid.Int64Range(50, 2000).Draw(r, "measures")) * mm
		for _, p := range j.Panels {
			if p.Mark == c.Mark {
				e.Width = e.Length / 2
			}
		}
	case e.Become == progress.Cut && rapid.IntRange(0, 2).Draw(r, "from another") == 0:
		f := rapid.SampledFrom(all).Draw(r, "from")
		e.From = &f
	}
	return e
}

// whole sees that every copy of the job is there once.
func whole(r *rapid.T, j *job.Job, v *progress.View) {
	met := map[progress.Copy]int{}
	for _, list := range [][]progress.Copy{v.Made, v.Waiting, v.Wanted} {
		for _, c := range list {
			met[c]++
		}
	}
	n := 0
	count := func(mark string, quantity int64) {
		for i := range int(quantity) {
			n++
			if k := met[progress.Copy{Mark: mark, Copy: i + 1}]; k != 1 {
				r.Fatalf("%s/%d is there %d times", mark, i+1, k)
			}
		}
	}
	for _, p := range j.Pieces {
		count(p.Mark, p.Quantity)
	}
	for _, p := range j.Panels {
		count(p.Mark, p.Quantity)
	}
	if len(met) != n {
		r.Fatalf("%d copies of %d", len(met), n)
	}
}

// inStock sees that no length of a bar is used twice: what is cut, to be cut and
// used elsewhere of a layout lies side by side in its bar.
func inStock(r *rapid.T, j *job.Job, s progress.State) {
	long := map[string]length.Length{}
	for _, p := range j.Pieces {
		long[p.Mark] = p.Length
	}
	for _, l := range s.Layouts {
		for _, q := range l.Layout.Pieces {
			for _, u := range l.Used {
				moved := false
				for _, g := range l.Gone {
					moved = moved || g.Copy == (progress.Copy{Mark: q.Mark, Copy: q.Copy}) && !g.Cut
				}
				if !moved && q.At < u.X+u.Length && u.X < q.At+long[q.Mark] {
					r.Fatalf("%s %d: %s and what is used from %v on overlap", l.Material, l.Layout.Number, q.Mark, u.X)
				}
			}
		}
	}
}
