package section

import "sawbill/internal/length"

// Face is the side of a bar that a mitre is laid on, where they are not all the
// same: a mitre runs across it, and is square to it. Every section is thought of
// lying so that its larger size stands upright, with a wide side in front; seen
// from its left end an angle then stands as the letter L, a channel as a C that is
// open towards the front.
type Face int

const (
	// Narrow is laid across OuterWidth: the narrow side of a rectangle, the edge of
	// a flat, the lying leg of an angle, the flange of a channel.
	Narrow Face = iota
	// Wide is laid across OuterHeight: the wide side, the standing leg, the web.
	Wide
)

// Faces are both.
var Faces = [...]Face{Narrow, Wide}

// ReachesIn says that a mitre on the face reaches in at a corner of the box around the
// section, where its tip is not. Corners are numbered 0 to 3: the first bit is set above,
// the second in front.
func (f Face) ReachesIn(angle int64, corner int) bool {
	bit := 2
	if f == Wide {
		bit = 1
	}
	return (corner&bit != 0) == (angle > 0)
}

// Across is the width of a face, along which a mitre on it slants.
func (s Section) Across(f Face) length.Length {
	if f == Wide {
		return s.OuterHeight()
	}
	return s.OuterWidth()
}

// Turn is how a mitre lies, its side and its angle with a sign for the edge of its tip,
// once the piece is turned end for end: about the line square to the wide side, so that
// tips there come to the other edge; an angle with equal legs about the line that
// halves it, so that its legs change places. It matters where a piece may be turned.
func (s Section) Turn(f Face, angle int64) (Face, int64) {
	switch {
	case angle == 0:
		return Narrow, 0
	case s.Shape == Angle && s.Width == s.Height:
		return Narrow + Wide - f, angle
	case f == Wide:
		return Wide, -angle
	}
	return f, angle
}

// Turns says how a piece of bar may lie beside the way it is listed in: turned end for
// end, rolled over, and both at once, which goes without saying where it may be either.
type Turns struct{ Turn, Roll, Spin bool }

// Turns are the half turns of a bar that its section looks the same after. Say the bar
// runs along x, the larger size of its section stands along v and the smaller lies along
// u; mitres on the wide side slant along v, those on the narrow side along u. A half
// turn about
//
//	x  rolls the piece over: all tips come to the other edge;
//	u  turns it end for end: tips on the wide side come to the other edge;
//	v  is both in turn: tips on the narrow side do.
//
// A rectangle may be turned about all three, a channel about u, square to its web. An
// angle with equal legs may be turned about the line that halves it, between u and v,
// which exchanges ends and legs and leaves tips at the heel there; another angle not at
// all. A round or square bar may lie in more ways, of which none is of use while all
// mitres slant along one line.
//
// A good side stays where it is: where all sides are the same it is the one that mitres
// are laid on, square to v; else the wide side or the back of the web, square to u.
func (s Section) Turns(goodSide bool) Turns {
	switch {
	case s.EqualFaces() && goodSide:
		return Turns{Spin: true}
	case s.Symmetric():
		return Turns{Turn: true, Roll: !goodSide}
	case s.Shape == Channel:
		return Turns{Turn: true}
	case s.Shape == Angle && s.Width == s.Height && !goodSide:
		return Turns{Turn: true}
	}
	return Turns{}
}

// LaidOn names the face that an end is laid on, "" where that goes without saying: the end
// is square, or the section's faces are all the same.
func (s Section) LaidOn(angle int64, f Face) string {
	if angle == 0 {
		return ""
	}
	return s.FaceName(f)
}

// FaceName names a face in words, "" where the section's are all the same.
func (s Section) FaceName(f Face) string {
	names := [2]string{}
	switch {
	case s.EqualFaces() || s.IsSheet():
	case s.Shape == Angle && s.Width == s.Height:
		names = [2]string{"lying leg", "standing leg"}
	case s.Shape == Angle:
		names = [2]string{"short leg", "long leg"}
	case s.Shape == Channel:
		names = [2]string{"flange", "web"}
	case s.Shape == Flat:
		names = [2]string{"edge", "wide side"}
	default:
		names = [2]string{"narrow side", "wide side"}
	}
	return names[f]
}
