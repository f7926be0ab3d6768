package section

import (
	"math/big"

	"sawbill/internal/length"
)

// pi to twenty places, far more than a girth of any bar can show.
var pi, _ = new(big.Rat).SetString("3.14159265358979323846")

// Girth is the length of the outside of a cross-section, for what covers it:
// paint, film, tape. Corners count as sharp, which over-reads those of a tube
// by less than a tenth; the inside of a tube does not count. It is 0 for sheets.
func (s Section) Girth() length.Length {
	switch s.Shape {
	case SquareTube, RectTube, Angle, SquareBar, Timber:
		return 2 * (s.Width + s.Height)
	case Flat:
		return 2 * (s.Width + s.Thickness)
	case Channel:
		// Two flanges with both faces and tips, the web with both faces.
		return 4*s.Width + 2*s.Height - 2*s.Thickness
	case RoundTube, RoundBar:
		round := new(big.Rat).Mul(pi, big.NewRat(2*int64(s.Width), 1))
		twice := new(big.Int).Quo(round.Num(), round.Denom())
		return length.Length((twice.Int64() + 1) / 2)
	}
	return 0
}
