package main

import (
	"cmp"
	"slices"

	"sawbill/nest2d"
)

// box is a rectangle with its sides at these coordinates.
type box struct{ left, low, right, high int64 }

func (b box) overlaps(c box) bool {
	return b.left < c.right && c.left < b.right && b.low < c.high && c.low < b.high
}

// mirrored swaps the axes.
func (b box) mirrored() box { return box{b.low, b.left, b.high, b.right} }

func mirrored(boxes []box) []box {
	other := make([]box, len(boxes))
	for i, b := range boxes {
		other[i] = b.mirrored()
	}
	return other
}

// guillotineStages tells whether cuts from edge to edge part the boxes, none
// of which overlap, and the fewest stages of parallel cuts that do so when
// the first stage has this direction. A last cut that frees a box from waste
// beside it is not counted, and a box by itself takes one stage.
//
// All cuts that a direction allows are made at once: leaving one out never
// saves a stage later, for a cut that parts a group parts its subsets too.
func guillotineStages(boxes []box, first nest2d.Direction) (int, bool) {
	across, acrossOK := stagesFrom(boxes)
	along, alongOK := stagesFrom(mirrored(boxes))
	switch {
	case len(boxes) == 1:
		return 1, true
	case first == nest2d.AlongWidth && !acrossOK:
		return along + 1, alongOK // the first stage only trims
	case first == nest2d.AlongLength && !alongOK:
		return across + 1, acrossOK
	case first == nest2d.AlongWidth || !alongOK:
		return across, acrossOK
	case first == nest2d.AlongLength || !acrossOK:
		return along, alongOK
	}
	return min(across, along), true
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
		n, ok := stagesFrom(mirrored(g))
		if !ok {
			return 0, false
		}
		deepest = max(deepest, n)
	}
	return 1 + deepest, true
}

// exactStages is guillotineStages for the boxes on a sheet with every cut counted, the
// last one that frees a box from waste too; a box that is the whole sheet takes none.
// Cuts at the edges of each group leave the least to trim.
func exactStages(boxes []box, sheet box, first nest2d.Direction) (int, bool) {
	across, acrossOK := exactFrom(boxes, sheet, true)
	along, alongOK := exactFrom(mirrored(boxes), sheet.mirrored(), true)
	switch {
	case first == nest2d.AlongWidth || !alongOK:
		return across, acrossOK
	case first == nest2d.AlongLength || !acrossOK:
		return along, alongOK
	}
	return min(across, along), true
}

// exactFrom counts the stages when the first cuts run at constant left; idle says that
// a stage without a cut may be passed over.
func exactFrom(boxes []box, from box, idle bool) (int, bool) {
	if len(boxes) == 1 && boxes[0] == from {
		return 0, true
	}
	deepest := 0
	for _, g := range part(boxes) {
		strip := from
		strip.left, strip.right = g[0].left, g[0].right
		for _, b := range g {
			strip.left, strip.right = min(strip.left, b.left), max(strip.right, b.right)
		}
		if strip == from && !idle {
			return 0, false
		}
		n, ok := exactFrom(mirrored(g), strip.mirrored(), strip != from)
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
