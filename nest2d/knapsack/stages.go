package knapsack

// How many stages of cuts a rectangle of an enumeration takes. Its own cuts are the
// first stage; a part that is a row itself takes one more for each of its own. A panel
// that is less high than the row it lies in is trimmed by a cut of the next stage,
// which counts only where the limit is exact. Waste at the end of a row is no more than
// one part more.

// staged fills in the stages of a rectangle made of two, and tells whether they are few
// enough. A part along the same axis goes on the same row.
func (e *enumeration) staged(r, a, b *rectangle) bool {
	across := 1 - int(r.axis)
	for _, part := range []*rectangle{a, b} {
		depth, bare := int8(1), true
		if part.axis >= 0 {
			depth, bare = part.depth, part.bare
			if part.axis != r.axis {
				depth, bare = part.depth+1, false
			}
		}
		if bare && part.size[across] < r.size[across] {
			depth, bare = max(depth, e.trimmed()), false
		}
		r.depth, r.bare = max(r.depth, depth), r.bare || bare
	}
	return int(r.depth) <= e.p.Stages
}

// trimmed is the depth of a row with a panel that must be trimmed.
func (e *enumeration) trimmed() int8 {
	if e.p.TrimCut {
		return 1
	}
	return 2
}

// cut tells whether a rectangle can be cut from the whole within the stages.
func (e *enumeration) cut(r *rectangle) bool {
	if e.p.Stages == 0 || r.axis < 0 && r.size == e.whole {
		return true
	}
	for axis := range 2 {
		if !e.p.may(axis) {
			continue
		}
		depth, bare := r.depth, r.bare
		switch {
		case r.axis < 0:
			depth, bare = 1, true
		case int(r.axis) != axis:
			depth, bare = r.depth+1, false
		}
		if bare && r.size[1-axis] < e.whole[1-axis] {
			depth = max(depth, e.trimmed())
		}
		if int(depth) <= e.p.Stages {
			return true
		}
	}
	return false
}

// stands tells whether a rectangle of the same panels may stand for r in any layout.
func (e *enumeration) stands(o, r *rectangle) bool {
	if o.size[axisX] > r.size[axisX] || o.size[axisY] > r.size[axisY] {
		return false
	}
	if e.p.Stages == 0 || r.axis < 0 {
		return true
	}
	// Less high, its panels might have to be trimmed where those of r need not.
	return o.axis == r.axis && o.depth <= r.depth &&
		(e.p.TrimCut || !o.bare || o.size[1-r.axis] == r.size[1-r.axis])
}
