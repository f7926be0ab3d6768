package report

import (
	"math"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// Where mitres share cuts, the plan says how each piece is held. Elsewhere it says
// where the left tip lies, not whether the piece is turned end for end, or rolled
// over so that its long side is up; only some ways of holding the pieces keep them
// apart, so the drawing finds one: the way that leaves every kerf free, with as few
// pieces turned or rolled as can be. It is a shortest path over the pieces with
// four states each.

// held is a piece as it lies in the bar. Positive slants lean so that the tip is on the
// lower edge, seen from the side that they are laid on; see section.Face.
type held struct {
	plan.Piece
	length              length.Length
	left, right         int64 // thousandths of a degree, as lying
	leftFace, rightFace section.Face
	// cutLeft and cutRight are how far the slants reach in from the tips.
	cutLeft, cutRight length.Length
	// hidden are slants on the other side, in what from gives: from the tip to where
	// they end, which there shows as a line.
	hidden [2]length.Length
	sec    section.Section
}

// from is the piece seen from a side: mitres laid on the other show as square ends.
func (h held) from(f section.Face) held {
	if h.left != 0 && h.leftFace != f {
		h.hidden[0] = h.cutLeft
		h.left, h.cutLeft = 0, 0
	}
	if h.right != 0 && h.rightFace != f {
		h.hidden[1] = h.cutRight
		h.right, h.cutRight = 0, 0
	}
	return h
}

// asLying is the piece with its ends as they lie.
func (h held) asLying() job.Piece {
	return job.Piece{Length: h.length, Left: h.left, Right: h.right, LeftFace: h.leftFace, RightFace: h.rightFace}
}

// views are the sides that mitres of a bar are laid on, the wide one first; of a bar
// with none the narrow one.
func views(pieces []held) []section.Face {
	var on [2]bool
	for _, h := range pieces {
		on[h.leftFace] = on[h.leftFace] || h.left != 0
		on[h.rightFace] = on[h.rightFace] || h.right != 0
	}
	switch {
	case on[section.Wide] && on[section.Narrow]:
		return []section.Face{section.Wide, section.Narrow}
	case on[section.Wide]:
		return []section.Face{section.Wide}
	}
	return []section.Face{section.Narrow}
}

// leftEdge is where the left end meets the lower and the upper edge.
func (h held) leftEdge() (low, up length.Length) { return ends(h.At, h.cutLeft, h.left) }

func (h held) rightEdge() (low, up length.Length) {
	return ends(h.At+h.length, -h.cutRight, h.right)
}

func ends(tip, reach length.Length, angle int64) (low, up length.Length) {
	switch {
	case angle > 0:
		return tip, tip + reach
	case angle < 0:
		return tip + reach, tip
	}
	return tip, tip
}

// reach is how far a slant across a face goes along the bar.
func reach(face length.Length, angle int64) length.Length {
	return length.Length(math.Round(float64(face) * math.Tan(math.Abs(float64(angle))/1000*math.Pi/180)))
}

const ways = 4 // as listed, turned, rolled, both

func (h held) in(way int) held {
	if way&1 != 0 {
		left, right := h.left, h.right
		leftFace, rightFace := h.leftFace, h.rightFace
		h.leftFace, h.left = h.sec.Turn(rightFace, right)
		h.rightFace, h.right = h.sec.Turn(leftFace, left)
		h.cutLeft, h.cutRight = h.cutRight, h.cutLeft
	}
	if way&2 != 0 {
		h.left, h.right = -h.left, -h.right
	}
	return h
}

// heldAs is how the plan holds the pieces.
func (s *set) heldAs(pieces []plan.Piece, sec section.Section) []held {
	out := make([]held, len(pieces))
	for i, p := range pieces {
		way := 0
		if p.Turned {
			way |= 1
		}
		if p.Rolled {
			way |= 2
		}
		out[i] = s.listed(p, sec).in(way)
	}
	return out
}

func (s *set) listed(p plan.Piece, sec section.Section) held {
	h := asListed(s.pieces[p.Mark], sec)
	h.Piece = p
	return h
}

// asListed is a row of the list as it stands there, its left tip at 0.
func asListed(row job.Piece, sec section.Section) held {
	return held{length: row.Length, left: row.Left, right: row.Right, leftFace: row.LeftFace, rightFace: row.RightFace,
		cutLeft: reach(sec.Across(row.LeftFace), row.Left), cutRight: reach(sec.Across(row.RightFace), row.Right), sec: sec}
}

// shared says that two neighbours share one cut.
func shared(a, b held) bool {
	return a.right != 0 && a.right == -b.left && a.rightFace == b.leftFace && b.At < a.At+a.length
}

// hold finds how the pieces of a bar lie.
func (s *set) hold(pieces []plan.Piece, sec section.Section, kerf length.Length) []held {
	n := len(pieces)
	if n == 0 {
		return nil
	}
	listed := make([]held, n)
	for i, p := range pieces {
		listed[i] = s.listed(p, sec)
	}
	// price of the best way to hold the first i+1 pieces with the last in way w.
	price := make([][ways]int64, n)
	from := make([][ways]int, n)
	for i := range listed {
		for w := range ways {
			price[i][w] = math.MaxInt64
			for v := range ways {
				c := int64(w)
				if i == 0 {
					c *= 2 // between equals, the first piece lies as listed
				} else {
					c += price[i-1][v] + tightness(listed[i-1].in(v), listed[i].in(w), kerf)
				}
				if c < price[i][w] {
					price[i][w], from[i][w] = c, v
				}
				if i == 0 {
					break
				}
			}
		}
	}
	best := 0
	for w := range ways {
		if price[n-1][w] < price[n-1][best] {
			best = w
		}
	}
	out := make([]held, n)
	for i := n - 1; i >= 0; i-- {
		out[i] = listed[i].in(best)
		best = from[i][best]
	}
	return out
}

// tightness is what two neighbours lack of a kerf between them, weighed far
// above any turning.
func tightness(a, b held, kerf length.Length) int64 {
	aLow, aUp := a.rightEdge()
	bLow, bUp := b.leftEdge()
	lack := max(0, kerf-(bLow-aLow), kerf-(bUp-aUp))
	return int64(lack) * 8
}
