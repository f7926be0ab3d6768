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

// Across is the width of a face, along which a mitre on it slants.
func (s Section) Across(f Face) length.Length {
	if f == Wide {
		return s.OuterHeight()
	}
	return s.OuterWidth()
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
