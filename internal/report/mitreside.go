package report

import (
	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/section"
)

// What papers say of the ends of a piece: its angles, how they lean to each other, and
// where the sides of the section differ on which each is laid.

// twoSided says that the mitres of a piece are laid on different sides.
func twoSided(p job.Piece) bool { return p.Left != 0 && p.Right != 0 && p.LeftFace != p.RightFace }

// ends tells the angles of a piece, how they lean, on which side they are laid and how
// long its shortest edge is; "" of one that is square.
func (s style) ends(sec section.Section, p job.Piece) string {
	if !p.Mitred() {
		return ""
	}
	text := s.angles(sec, p)
	if !twoSided(p) {
		text += ", " + hand(p)
	}
	return text + ", " + s.shortPoint(sec, p)
}

// shortPoint tells the length from short point to short point, or that of both edges
// where they are alike.
func (s style) shortPoint(sec section.Section, p job.Piece) string {
	long, short := edges(sec, p)
	if long == short {
		return "both edges " + s.length(short)
	}
	return "short point " + s.length(short)
}

// angles are those of a piece, with the sides that they are laid on.
func (s style) angles(sec section.Section, p job.Piece) string {
	if twoSided(p) {
		return s.degrees(p.Left) + " " + s.laid(sec, p.LeftFace) + ", " + s.degrees(p.Right) + " " + s.laid(sec, p.RightFace)
	}
	text := s.degrees(p.Left) + " / " + s.degrees(p.Right)
	if on := s.laidOn(sec, p); on != "" {
		text += " " + on
	}
	return text
}

// laid names a side with its size, "" where all are the same: on the wide side (40 mm).
func (s style) laid(sec section.Section, f section.Face) string {
	if sec.FaceName(f) == "" {
		return ""
	}
	return "on the " + s.sideOf(sec, f)
}

// sideOf is a side's name and size.
func (s style) sideOf(sec section.Section, f section.Face) string {
	return sec.FaceName(f) + " (" + s.ownWithUnit(sec.Across(f)) + ")"
}

// laidOn says on which side or sides the mitres of a piece are laid; "" where that goes
// without saying.
func (s style) laidOn(sec section.Section, p job.Piece) string {
	switch {
	case !p.Mitred() || sec.EqualFaces():
		return ""
	case twoSided(p):
		return "left " + s.laid(sec, p.LeftFace) + ", right " + s.laid(sec, p.RightFace)
	case p.Left != 0:
		return s.laid(sec, p.LeftFace)
	}
	return s.laid(sec, p.RightFace)
}

// lying says how a bar whose sides differ is held, and where a positive angle has its
// long point.
func (s style) lying(sec section.Section) string {
	switch sec.Shape {
	case section.Angle:
		return "Seen from its left end an angle stands as the letter L, the " + sec.FaceName(section.Wide) + " upright; a positive angle has its long point at the heel."
	case section.Channel:
		return "Seen from its left end a channel stands as the letter C, open towards you; a positive angle has its long point on the lower flange, or, laid on the flange, at the web."
	}
	return "With the " + sec.FaceName(section.Wide) + " in front of you a positive angle has its long point on the lower edge, or, laid on the " + sec.FaceName(section.Narrow) + ", on the back edge."
}

// hand is how the ends of a piece lean to each other.
func hand(p job.Piece) string {
	switch {
	case !p.Mitred():
		return "square"
	case p.Left == 0 || p.Right == 0:
		return "one mitre"
	case twoSided(p):
		return "on two sides"
	case (p.Left > 0) == (p.Right > 0):
		return "trapezoid"
	}
	return "parallelogram"
}

// edges are the lengths of the longest and the shortest edge of a piece, at the corners
// of its section.
func edges(sec section.Section, p job.Piece) (long, short length.Length) {
	short = length.Max
	for corner := range 4 {
		if sec.Shape == section.Angle && corner == 3 {
			continue // no edge lies away from both legs
		}
		l := p.Length - reachAt(sec, p.Left, p.LeftFace, corner) - reachAt(sec, p.Right, p.RightFace, corner)
		long, short = max(long, l), min(short, l)
	}
	return long, short
}

// reachAt is how far an end reaches in at a corner of its section.
func reachAt(sec section.Section, angle int64, f section.Face, corner int) length.Length {
	if !f.ReachesIn(angle, corner) {
		return 0
	}
	return reach(sec.Across(f), angle)
}

// centreLine is the length of bar as heavy as a piece, since a mitre takes off half of
// what it slants over.
func centreLine(sec section.Section, p job.Piece) length.Length {
	return p.Length - (reach(sec.Across(p.LeftFace), p.Left)+reach(sec.Across(p.RightFace), p.Right))/2
}
