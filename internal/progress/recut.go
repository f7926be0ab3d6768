package progress

import (
	"math"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// What can still be cut from a piece that went wrong. Its own ends are mitred: a bar with
// square ends lies between them, and a piece whose mitres match may go further.

// end is an end of a piece: its angle and the side that it is laid on.
type end struct {
	angle int64
	face  section.Face
}

// reach is how far an end reaches in from its tip at a corner of the section; rounded up.
func (e end) reach(s section.Section, corner int) length.Length {
	if !e.face.ReachesIn(e.angle, corner) {
		return 0
	}
	tan := math.Tan(math.Abs(float64(e.angle)) / 1000 * math.Pi / 180)
	return length.Length(math.Ceil(float64(s.Across(e.face))*tan - 1e-6))
}

// deepest is how far an end reaches in at most.
func (e end) deepest(s section.Section) length.Length {
	var most length.Length
	for corner := range 4 {
		most = max(most, e.reach(s, corner))
	}
	return most
}

// square is the length of bar with square ends that lies in a piece that measures l
// from tip to tip; 0 when there is none.
func (p part) square(l length.Length) length.Length {
	return max(0, l-p.left.deepest(p.section)-p.right.deepest(p.section))
}

// lying are the ends of a piece turned end for end, rolled over, or both.
func (p part) lying(turned, rolled bool) (left, right end) {
	left, right = p.left, p.right
	if turned {
		swap := func(e end) end {
			f, a := p.section.Turn(e.face, e.angle)
			return end{a, f}
		}
		left, right = swap(right), swap(left)
	}
	if rolled {
		left.angle, right.angle = -left.angle, -right.angle
	}
	return left, right
}

// asMade is what a copy gone wrong is: its ends are as listed, or those of its other hand.
func (v *View) asMade(e Event) part {
	p := v.parts[e.Mark]
	if e.OtherHand {
		p.left, p.right = p.right, p.left
	}
	return p
}

// measured is how long a copy gone wrong is; the other hand is as long as the one that
// was wanted, where nothing is said.
func (p part) measured(e Event) length.Length {
	if e.OtherHand && e.Length == 0 {
		return p.length
	}
	return e.Length
}

// otherHand says that a piece is another one than its mirror image: in no way that it
// may lie are its ends those.
func (p part) otherHand() bool {
	if p.width > 0 {
		return false
	}
	for _, way := range p.ways() {
		if left, right := p.lying(way[0], way[1]); left == p.right && right == p.left {
			return false
		}
	}
	return true
}

// ways lists how a piece may lie, as {turned, rolled}.
func (p part) ways() [][2]bool {
	list := [][2]bool{{}}
	if p.turns.Turn {
		list = append(list, [2]bool{true, false})
	}
	if p.turns.Roll {
		list = append(list, [2]bool{false, true})
	}
	if p.turns.Spin || p.turns.Turn && p.turns.Roll {
		list = append(list, [2]bool{true, true})
	}
	return list
}

// liesIn says that a piece can be cut from another of the same bar that measures l from
// tip to tip, in whatever way it may lie there. Where it keeps one of the other's ends,
// that needs no cut.
func (p part) liesIn(of part, l, kerf length.Length) bool {
	for _, way := range p.ways() {
		left, right := p.lying(way[0], way[1])
		var before, behind length.Length
		for corner := range 4 {
			before = max(before, of.left.reach(p.section, corner)-left.reach(p.section, corner))
			behind = max(behind, of.right.reach(p.section, corner)-right.reach(p.section, corner))
		}
		if left == of.left && right == of.right && p.length == l {
			return true
		}
		if before+p.length+behind+kerfAt(kerf, left.angle, right.angle) <= l {
			return true
		}
	}
	return false
}
