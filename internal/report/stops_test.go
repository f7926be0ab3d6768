package report

import (
	"fmt"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Every length of a saw stands once, the longest first, with as many pieces as the
// layouts have of it: recounted from the layouts.
func TestStopsAreEachLengthOnce(t *testing.T) {
	for _, e := range examples(t) {
		s, err := newSet(e.plan, e.job)
		if err != nil {
			t.Fatal(err)
		}
		total := 0
		for _, saw := range s.saws() {
			count := map[length.Length]int64{}
			for _, m := range e.plan.Materials {
				for _, l := range m.Layouts {
					for _, p := range l.Pieces {
						if m.Process == saw {
							count[s.pieces[p.Mark].Length]++
						}
					}
				}
			}
			last := length.Length(1) << 60
			for _, x := range s.settings(saw) {
				if x.length >= last {
					t.Errorf("%s, %s: %v stands after %v", e.name, saw, x.length, last)
				}
				if x.pieces != count[x.length] {
					t.Errorf("%s, %s: %d pieces of %v, the layouts have %d", e.name, saw, x.pieces, x.length, count[x.length])
				}
				last = x.length
				delete(count, x.length)
				total++
			}
			if len(count) > 0 {
				t.Errorf("%s, %s: missing %v", e.name, saw, count)
			}
		}
		if total == 0 {
			t.Errorf("%s: no stops", e.name)
		}
	}
}

// The hide's mullions, 1150 long, and door sides, 1153, are flagged and nothing else.
func TestNearStopsAreFlagged(t *testing.T) {
	p, j := hide(t)
	s, err := newSet(p, j)
	if err != nil {
		t.Fatal(err)
	}
	all := s.settings("saw")
	var flagged []string
	for i, near := range nearLengths(all) {
		if near {
			flagged = append(flagged, s.own(all[i].length))
		}
	}
	if got := strings.Join(flagged, " "); got != "1153 1150" {
		t.Errorf("flagged: %s", got)
	}
	files, _ := pack(t, example{"hide", p, j})
	page := text(t, find(t, files, "workshop/stops.pdf"))
	for _, want := range []string{"7 settings", "2 × P4 of tube, bar 3, pattern 2", "62.5", "6 × P1 (45° / 45°) of tube, bars 1–2, pattern 1"} {
		if !strings.Contains(page, want) {
			t.Errorf("the page does not say %q:\n%s", want, page)
		}
	}
}

// Whatever the saw holds, every bar is in one load, and those of a load are of one
// pattern and no more than it holds.
func TestLoads(t *testing.T) {
	for _, e := range examples(t) {
		for _, side := range []length.Length{0, 50 * mm, 200 * mm, length.Metre} {
			j := *e.job
			j.Processes = slices.Clone(j.Processes)
			for i := range j.Processes {
				if j.Processes[i].Kind == job.Saw {
					j.Processes[i].CapacityWidth, j.Processes[i].CapacityHeight = side, side/2
				}
			}
			s, err := newSet(e.plan, &j)
			if err != nil {
				t.Fatal(err)
			}
			for _, m := range e.plan.Materials {
				if m.Kind != plan.Bar {
					continue
				}
				met := map[int]int{}
				for _, b := range s.bundles(m) {
					if n := s.atOnce(m, b.Layout); len(b.layouts) == 0 || len(b.layouts) > n {
						t.Errorf("%s, %s: %d bars in a load of %d", e.name, m.Key, len(b.layouts), n)
					}
					for _, l := range b.layouts {
						met[l.Number]++
						if l.Pattern != b.Pattern {
							t.Errorf("%s, %s: patterns %d and %d in one load", e.name, m.Key, l.Pattern, b.Pattern)
						}
					}
				}
				for _, l := range m.Layouts {
					if met[l.Number] != 1 {
						t.Errorf("%s, %s: bar %d is in %d loads", e.name, m.Key, l.Number, met[l.Number])
					}
				}
			}
		}
	}
}

// Short marks differ from each other, are short, and are the marks themselves where
// those are.
func TestPaintMarks(t *testing.T) {
	marks := []string{"P1", "p1", "A1", "north wall post", "Löwe", "é", "R12/2", "", "S10a"}
	for i := range 300 {
		marks = append(marks, fmt.Sprintf("long mark %d", i))
	}
	short, met := paintMarks(marks), map[string]string{}
	for _, m := range marks {
		s := short[m]
		if other, twice := met[strings.ToUpper(s)]; twice || s == "" {
			t.Errorf("%q and %q are both written %q", m, other, s)
		}
		met[strings.ToUpper(s)] = m
		if len(s) > longestPaint {
			t.Errorf("%q is written %q", m, s)
		}
		if strings.ContainsAny(s, "IOQ") {
			t.Errorf("%q is written %q, with a letter taken for a figure", m, s)
		}
	}
	for m, want := range map[string]string{"P1": "P1", "A1": "A1", "S10a": "S10a", "p1": "A2", "north wall post": "A3"} {
		if short[m] != want {
			t.Errorf("%q is written %q, not %q", m, short[m], want)
		}
	}
}
