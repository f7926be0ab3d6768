package check

import (
	"math"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// Mitres that share a cut. Seen along the bar a slanted end reaches in by its whole
// slant on one side of the section and not at all on the opposite one. A piece may be
// turned and rolled as its section allows. Between neighbours every corner of the section must keep
// the wider of the two cuts.

// mitred reports whether any piece of the material is.
func (a *audit) mitred(m *material) bool {
	return slices.ContainsFunc(a.job.Pieces, func(p job.Piece) bool {
		return p.Material == m.index && (p.Left != 0 || p.Right != 0)
	})
}

// nests reports whether ends of the material may share cuts: the saw must do so,
// and one that swings one way has to roll the bar between two slants, which only
// a section that looks the same then can be.
func (a *audit) nests(m *material) bool {
	symmetric := m.job.Section.Symmetric()
	return !m.job.Sheet() && m.process.SharedMitres && (symmetric || !m.process.OneWay) && a.mitred(m)
}

// nest orders the pieces of one bar whose mitres share cuts, as barModel.joints
// does for others. Ends alike are one; pieces whose ways to lie are alike, a class.
type nest struct {
	ends    []mitre
	joint   [][]length.Length // right end, left end
	classes [][][2]int        // ways of each class: left and right end
	of      []int             // class of each kind
	tail    bool
	states  int // that all searches for orders may still look at
	// gain is the most that an end can overlap with any it can meet, by its slope.
	gain map[slope]length.Length
}

// nestOf makes the classes of the kinds, with no cut wider than limit.
func (a *audit) nestOf(m *material, kinds []barKind, limit length.Length) *nest {
	n := &nest{tail: m.process.Tail > 0, states: allNested, gain: map[slope]length.Length{}}
	number := func(e mitre) int {
		e.cut = min(e.cut, limit)
		i := slices.Index(n.ends, e)
		if i < 0 {
			i = len(n.ends)
			n.ends = append(n.ends, e)
		}
		return i
	}
	lies := a.lies(m)
	for _, k := range kinds {
		var ways [][2]int
		for _, how := range lies {
			l, r := m.mitres(k.piece(), how)
			ways = append(ways, [2]int{number(l), number(r)})
		}
		slices.SortFunc(ways, func(x, y [2]int) int { return slices.Compare(x[:], y[:]) })
		ways = slices.Compact(ways)
		class := slices.IndexFunc(n.classes, func(o [][2]int) bool { return slices.Equal(o, ways) })
		if class < 0 {
			class = len(n.classes)
			n.classes = append(n.classes, ways)
		}
		n.of = append(n.of, class)
	}
	for _, r := range n.ends {
		var row []length.Length
		for _, l := range n.ends {
			row = append(row, apart(r, l))
		}
		n.joint = append(n.joint, row)
	}
	n.meet(kinds)
	return n
}

// meet finds how much every slant can overlap with those that its piece can meet.
func (n *nest) meet(kinds []barKind) {
	for i := range kinds {
		for j := range kinds {
			if i == j && kinds[i].number < 2 {
				continue
			}
			for _, x := range n.classes[n.of[i]] {
				for _, y := range n.classes[n.of[j]] {
					r, l := n.ends[x[1]], n.ends[y[0]]
					over := max(r.cut, l.cut) - apart(r, l)
					for _, e := range []mitre{r, l} {
						n.gain[e.slope()] = max(n.gain[e.slope()], over)
					}
				}
			}
		}
	}
}

// even reports whether every content of a bar has an order whose joints are all
// alike: one slant, and each piece can lie so that it goes on from any end.
func (n *nest) even() bool {
	first := n.ends[0]
	for _, e := range n.ends {
		if e.cut != first.cut || e.slope() != first.slope() {
			return false
		}
	}
	least := first.cut - n.gain[first.slope()]
	for r := range n.ends {
		for _, ways := range n.classes {
			if !slices.ContainsFunc(ways, func(w [2]int) bool { return n.joint[r][w[0]] == least }) {
				return false
			}
		}
	}
	return true
}

// mostNested limits the states of one search for an order, allNested those of all.
const (
	mostNested = 200_000
	allNested  = 4_000_000
)

// least is the least that the joints of so many of each class take, with a tail
// the last cut too, and whether that is exact; it is never too much.
func (n *nest) least(counts []int) (length.Length, bool) {
	states := len(n.ends)
	for _, c := range counts {
		if states *= c + 1; states > min(mostNested, n.states) {
			return n.halves(counts), false
		}
	}
	n.states -= states
	const unset = math.MinInt64
	known := slices.Repeat([]length.Length{unset}, states)
	left := slices.Clone(counts)
	// behind is the least that follows a right end.
	var behind func(last int) length.Length
	behind = func(last int) length.Length {
		state := 0
		for c, k := range left {
			state = state*(counts[c]+1) + k
		}
		state = state*len(n.ends) + last
		if known[state] != unset {
			return known[state]
		}
		best, any := length.Length(math.MaxInt64), false
		for c := range left {
			if left[c] == 0 {
				continue
			}
			any = true
			left[c]--
			for _, w := range n.classes[c] {
				best = min(best, n.joint[last][w[0]]+behind(w[1]))
			}
			left[c]++
		}
		if !any {
			best = 0
			if n.tail {
				best = n.ends[last].cut
			}
		}
		known[state] = best
		return best
	}
	least := length.Length(math.MaxInt64)
	for c := range left {
		if left[c] == 0 {
			continue
		}
		left[c]--
		for _, w := range n.classes[c] {
			least = min(least, behind(w[1]))
		}
		left[c]++
	}
	return least, true
}

// halves charges every end with half of its best joint, but the outermost two, each
// piece as it lies best.
func (n *nest) halves(counts []int) length.Length {
	var sum length.Length
	high, low := length.Length(math.MinInt64), length.Length(math.MaxInt64)
	for c, k := range counts {
		if k == 0 {
			continue
		}
		best := length.Length(math.MaxInt64)
		for _, w := range n.classes[c] {
			charge, whole := n.charges(w)
			high, low = max(high, charge[0], charge[1]), min(low, whole[0], whole[1])
			best = min(best, charge[0]+charge[1])
		}
		sum += length.Length(k) * best
	}
	sum -= high
	if n.tail {
		sum += low
	} else {
		sum -= high
	}
	return sum >> 1 // never above the half, below 0 either
}

// charges are what the ends of a piece, as it lies, count for: each cut less the most
// that the end can overlap, and the cut and that.
func (n *nest) charges(way [2]int) (charge, whole ends) {
	for i, number := range way {
		e := n.ends[number]
		gain := n.gain[e.slope()]
		charge[i], whole[i] = e.cut-gain, e.cut+gain
	}
	return charge, whole
}
