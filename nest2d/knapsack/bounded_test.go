package knapsack

import (
	"testing"

	"pgregory.net/rapid"
)

// A tally is how often each panel occurs.
type tally [4]int8

// tallies lists the panels of all sets that a rectangle holds, no panel more often than
// allowed, by trying every cut at every position. left and axis are as those of value.
func (b *brute) tallies(known map[bruteState]map[tally]bool, left, axis int, length, width int64) map[tally]bool {
	if length <= 0 || width <= 0 {
		return map[tally]bool{{}: true}
	}
	s := bruteState{left, axis, length, width}
	if found, ok := known[s]; ok {
		return found
	}
	found := map[tally]bool{{}: true}
	for i, a := range b.p.Panels {
		trim := [2]bool{left < 0, left < 0}
		if left == 0 {
			trim[axis] = b.p.TrimCut
		}
		if left <= 0 && a.Most != 0 && (&brute{p: Problem{Panels: []Panel{{a.Length, a.Width, 1, 1, a.Turn}}}}).holds(length, width, trim) > 0 {
			var one tally
			one[i] = 1
			found[one] = true
		}
	}
	if left > 0 {
		for s := range b.tallies(known, left-1, 1-axis, length, width) {
			found[s] = true
		}
	}
	for a := range 2 {
		if left == 0 || left > 0 && a != axis {
			continue
		}
		whole := [2]int64{length, width}
		for x := int64(1); x < whole[a]; x++ {
			one, two := whole, whole
			one[a], two[a] = x, whole[a]-x-b.p.Kerf
			first := b.tallies(known, max(left-1, -1), 1-axis, one[0], one[1])
			if left < 0 {
				first = b.tallies(known, left, axis, one[0], one[1])
			}
			for s := range first {
			pairs:
				for t := range b.tallies(known, left, axis, two[0], two[1]) {
					sum := s
					for i, p := range b.p.Panels {
						if sum[i] += t[i]; p.Most >= 0 && int64(sum[i]) > p.Most {
							continue pairs
						}
					}
					found[sum] = true
				}
			}
		}
	}
	known[s] = found
	return found
}

// most is the greatest value within the limits on copies.
func (b *brute) most() int64 {
	best, known := int64(0), map[bruteState]map[tally]bool{}
	for axis := range 2 {
		left := b.p.Stages
		if left == 0 {
			left = -1
		} else if !b.p.may(axis) {
			continue
		}
		for s := range b.tallies(known, left, axis, b.p.Length, b.p.Width) {
			v := int64(0)
			for i, a := range b.p.Panels {
				v += int64(s[i]) * a.Value
			}
			best = max(best, v)
		}
	}
	return best
}

func TestBoundedAgainstAllCuts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		p.Length, p.Width = min(p.Length, 9), min(p.Width, 9)
		for i := range p.Panels {
			a := &p.Panels[i]
			a.Length, a.Width, a.Value = max(a.Length/2, 1), max(a.Width/2, 1), max(a.Value, 0)
			a.Most = max(a.Most, 0)
		}
		b := brute{p: p}
		want := b.most()
		r, err := Bounded(t.Context(), p, Options{})
		if err != nil {
			t.Fatal(err)
		}
		if r.Value != want || r.Bound != want {
			t.Fatalf("value %d, bound %d, by all cuts %d", r.Value, r.Bound, want)
		}
		mustHold(t, &p, r)
		for i, n := range r.Counts(len(p.Panels)) {
			if n > p.Panels[i].Most {
				t.Fatalf("panel %d comes %d times", i, n)
			}
		}
	})
}
