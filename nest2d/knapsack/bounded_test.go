package knapsack

import (
	"testing"

	"pgregory.net/rapid"
)

// sets lists the counts of all sets of panels that a rectangle holds, no panel
// more often than allowed, by trying every cut at every position.
func (b *brute) sets(known map[size]map[[4]int8]bool, length, width int64) map[[4]int8]bool {
	if length <= 0 || width <= 0 {
		return map[[4]int8]bool{{}: true}
	}
	at := size{length, width}
	if s, ok := known[at]; ok {
		return s
	}
	found := map[[4]int8]bool{{}: true}
	for i, a := range b.p.Panels {
		if a.Most != 0 && (a.Length <= length && a.Width <= width || a.Turn && a.Width <= length && a.Length <= width) {
			var one [4]int8
			one[i] = 1
			found[one] = true
		}
	}
	for axis := range 2 {
		for x := int64(1); x < at[axis]; x++ {
			one, two := at, at
			one[axis], two[axis] = x, at[axis]-x-b.p.Kerf
			for s := range b.sets(known, one[0], one[1]) {
			pairs:
				for t := range b.sets(known, two[0], two[1]) {
					sum := s
					for i, a := range b.p.Panels {
						if sum[i] += t[i]; a.Most >= 0 && int64(sum[i]) > a.Most {
							continue pairs
						}
					}
					found[sum] = true
				}
			}
		}
	}
	known[at] = found
	return found
}

func TestBoundedAgainstAllCuts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		p.Length, p.Width, p.Stages = min(p.Length, 9), min(p.Width, 9), 0
		for i := range p.Panels {
			a := &p.Panels[i]
			a.Length, a.Width, a.Value = max(a.Length/2, 1), max(a.Width/2, 1), max(a.Value, 0)
			a.Most = max(a.Most, 0)
		}
		b, want := brute{p: p}, int64(0)
		for s := range b.sets(map[size]map[[4]int8]bool{}, p.Length, p.Width) {
			v := int64(0)
			for i, a := range p.Panels {
				v += int64(s[i]) * a.Value
			}
			want = max(want, v)
		}
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
