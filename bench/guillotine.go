package main

import (
	"cmp"
	"slices"
)

// box is a rectangle with its sides at these coordinates.
type box struct{ left, low, right, high int64 }

func (b box) overlaps(c box) bool {
	return b.left < c.right && c.left < b.right && b.low < c.high && c.low < b.high
}

// mirrored swaps the axes.
func (b box) mirrored() box { return box{b.low, b.left, b.high, b.right} }

// guillotineStages tells whether cuts from edge to edge part the boxes, none
// of which overlap, and the fewest stages of parallel cuts that do so, a last
// cut that frees a box from waste beside it not counted. A box by itself
// takes one stage.
//
// All cuts that a direction allows are made at once: leaving one out never
// saves a stage later, for a cut that parts a group parts its subsets too.
func guillotineStages(boxes []box) (int, bool) {
	other := make([]box, len(boxes))
	for i, b := range boxes {
		other[i] = b.mirrored()
	}
	a, aOK := stagesFrom(boxes)
	b, bOK := stagesFrom(other)
	if aOK && (!bOK || a <= b) {
		return max(a, 1), true
	}
	return max(b, 1), bOK
}

// stagesFrom counts the stages when the first cuts run at constant left.
// It reports false when those cuts part nothing or their parts cannot be
// parted further. Time O(n² log n) for n boxes, at worst.
func stagesFrom(boxes []box) (int, bool) {
	if len(boxes) <= 1 {
		return 0, true
	}
	groups := part(boxes)
	if len(groups) == 1 {
		return 0, false
	}
	deepest := 0
	for _, g := range groups {
		for i, b := range g {
			g[i] = b.mirrored()
		}
		n, ok := stagesFrom(g)
		if !ok {
			return 0, false
		}
		deepest = max(deepest, n)
	}
	return 1 + deepest, true
}

// part splits the boxes at every left coordinate that no box straddles.
func part(boxes []box) [][]box {
	sorted := slices.Clone(boxes)
	slices.SortFunc(sorted, func(a, b box) int { return cmp.Compare(a.left, b.left) })
	var groups [][]box
	start, reach := 0, sorted[0].right
	for i, b := range sorted {
		if b.left >= reach && i > start {
			groups = append(groups, sorted[start:i])
			start = i
		}
		reach = max(reach, b.right)
	}
	return append(groups, sorted[start:])
}
