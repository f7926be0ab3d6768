package nest1d

import (
	"cmp"
	"math"
	"slices"
)

// tally is a set of patterns and how many bars the programme gives it.
type tally struct {
	set
	bars float64
}

// choose picks what to branch on: a kind of bar when its number is a fraction,
// else the pair of items, or the number of copies of an item, with the fraction
// closest to one half or as the search prefers, else a single pattern.
func (x *exactSearch) choose(values []float64) (set, float64, bool) {
	if s, v, ok := fractional(x.s.barTallies(values), nil); ok {
		return s, v, true
	}
	contents := x.s.contentTallies(values)
	x.r.work.count(int64(len(contents)))
	if s, v, ok := fractional(contents, x.prefer); ok {
		return s, v, true
	}
	var single []tally
	for j, v := range values {
		if v > epsilon {
			single = append(single, tally{set{kind: ofColumn, a: x.inPool[j]}, v})
		}
	}
	return fractional(single, nil)
}

// preference gives the sets to branch on first a higher score, below one half.
type preference func(s *set) float64

// likeItems prefers two items close in the order of lengths: they are nearly
// interchangeable, and settling which goes where removes many like solutions.
func likeItems(s *set) float64 { return 0.4 / (1 + math.Abs(float64(s.a-s.b))) }

// shortItems prefers the items that come last in the order of lengths.
func shortItems(s *set) float64 { return 0.4 - 0.4/(1+float64(s.a)+float64(s.b)) }

// clearFraction is the distance from a whole number from which preference counts.
const clearFraction = 0.3

// fractional returns the tally closest to a half or, among clear fractions, the
// one preferred; the first of equals.
func fractional(ts []tally, prefer preference) (set, float64, bool) {
	best, score := -1, branchEpsilon
	for i, t := range ts {
		f := t.bars - math.Floor(t.bars)
		d := min(f, 1-f)
		if prefer != nil && d > clearFraction {
			d = 0.5 + prefer(&t.set)
		}
		if d > score+preferEpsilon {
			best, score = i, d
		}
	}
	if best < 0 {
		return set{}, 0, false
	}
	return ts[best].set, ts[best].bars, true
}

// preferEpsilon is the least difference of scores that decides.
const preferEpsilon = 1e-9

// branchEpsilon is the distance from a whole number from which a value is a fraction.
const branchEpsilon = 1e-5

// barTallies are the bars of each kind, of several.
func (s *master) barTallies(values []float64) []tally {
	if len(s.m.bars) == 1 {
		return nil
	}
	ts := make([]tally, len(s.m.bars))
	for b := range ts {
		ts[b].set = set{kind: ofBar, a: int32(b)}
	}
	for j, v := range values {
		ts[s.columns[j].bar].bars += v
	}
	return ts
}

// contentTallies are the bars of all sets of contents that the solution has.
func (s *master) contentTallies(values []float64) []tally {
	var ts []tally
	for j, v := range values {
		if v <= epsilon {
			continue
		}
		p := s.columns[j].items
		for i, e := range p {
			for n := int32(1); n <= e.count; n++ {
				ts = append(ts, tally{set{kind: withCopies, a: e.item, most: n}, v})
			}
			for _, f := range p[:i] {
				ts = append(ts, tally{set{kind: withPair, a: f.item, b: e.item, most: 1, also: 1}, v})
			}
		}
	}
	slices.SortStableFunc(ts, func(s, t tally) int {
		return cmp.Or(cmp.Compare(s.kind, t.kind), cmp.Compare(s.a, t.a), cmp.Compare(s.b, t.b), cmp.Compare(s.most, t.most))
	})
	out := ts[:0]
	for _, t := range ts {
		if n := len(out); n > 0 && out[n-1].set == t.set {
			out[n-1].bars += t.bars
			continue
		}
		out = append(out, t)
	}
	return out
}
