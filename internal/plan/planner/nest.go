package planner

import (
	"fmt"
	"math"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/section"
	"sawbill/nest1d"
)

// shares says that neighbours of a material share their mitres: the saw must do so,
// and one that swings one way rolls the bar between slants of different hands, which
// only a section that is the same then can be.
func shares(j *job.Job, mi int) bool {
	m := j.Materials[mi]
	process := j.Processes[m.Process]
	if !process.SharedMitres || process.OneWay && !m.Section.Symmetric() {
		return false
	}
	return slices.ContainsFunc(j.Pieces, func(p job.Piece) bool { return p.Material == mi && (p.Left != 0 || p.Right != 0) })
}

// slantAlong is how far a cut at an angle (thousandths of a degree from square)
// reaches along the bar: width·tan, rounded down. A millionth of a base unit is
// forgiven, so that 45° reaches as far as the face is wide.
func slantAlong(face length.Length, angle int64) length.Length {
	return length.Length(math.Floor(float64(face)*math.Tan(float64(angle)/1000*math.Pi/180) + 1e-6))
}

// ownedBeside is how much of a piece's length counts as its neighbours' where
// mitres share cuts: half of both slants.
func ownedBeside(s section.Section, p job.Piece) length.Length {
	return (slantAlong(s.Across(p.LeftFace), max(p.Left, -p.Left)) + slantAlong(s.Across(p.RightFace), max(p.Right, -p.Right))) / 2
}

// turning is how the pieces of a material may lie in a bar beside the way they are
// listed in: the turns of the bar about itself that its section looks the same after.
type turning struct {
	turn, roll, spin bool
	// flips says that turning end for end brings the tips of mitres on the wide side to
	// their other edge, swaps that it brings a mitre to the other side.
	flips, swaps bool
}

// turningOf tells how pieces may lie. Say the bar runs along x, the larger size of
// its section stands along v and the smaller lies along u; mitres on the wide side
// slant along v, those on the narrow side along u. A half turn about
//
//	x  rolls the piece over: all tips change their edges;
//	u  exchanges the ends, and tips on the wide side change their edges;
//	v  exchanges the ends, and tips on the narrow side do: both in turn.
//
// A rectangle may be turned about all three, a channel about u, square to its web. An
// angle with equal legs may be turned about the line that halves it, between u and v,
// which exchanges ends and legs and leaves tips at the heel there; another angle not at
// all. A round or square bar may lie in more ways, of which none shares more cuts while
// all mitres slant along one line.
//
// A good side stays where it is: where all sides are the same it is the one that mitres
// are laid on, square to v; else the wide side or the back of the web, square to u.
func turningOf(m job.Material) turning {
	switch s := m.Section; {
	case s.EqualFaces() && m.GoodSide:
		return turning{spin: true}
	case s.Symmetric():
		return turning{turn: true, roll: !m.GoodSide, flips: true}
	case s.Shape == section.Channel:
		return turning{turn: true, flips: true}
	case s.Width == s.Height && !m.GoodSide:
		return turning{turn: true, swaps: true}
	}
	return turning{}
}

// cutKind is how an end is cut, whichever way it slants: thousandths of a degree
// from square, and the side that it is laid on.
type cutKind struct {
	angle int64
	face  section.Face
}

// cut is the number of the cut kind of an end.
func (b *barJob) cut(angle int64, face section.Face) int {
	c := cutKind{max(angle, -angle), face}
	i := slices.Index(b.cuts, c)
	if i < 0 {
		i = len(b.cuts)
		b.cuts = append(b.cuts, c)
	}
	return i
}

// piece is a piece of the list as the engine knows it. Where mitres share cuts it
// may lie in any way that its section and its good side allow.
func (b *barJob) piece(m job.Material, p job.Piece) nest1d.Piece {
	q := nest1d.Piece{Length: int64(p.Length), Left: b.cut(p.Left, p.LeftFace), Right: b.cut(p.Right, p.RightFace)}
	if !b.shares {
		return q
	}
	q.LeftUp, q.RightUp = p.Left < 0, p.Right < 0
	t := turningOf(m)
	q.Turn, q.Roll, q.Spin = t.turn, t.roll, t.spin
	switch {
	case t.swaps:
		other := func(angle int64, face section.Face) int {
			if angle == 0 {
				return b.cut(0, section.Narrow)
			}
			return b.cut(angle, section.Narrow+section.Wide-face)
		}
		q.Turned = &nest1d.Ends{Left: other(p.Right, p.RightFace), Right: other(p.Left, p.LeftFace), LeftUp: q.RightUp, RightUp: q.LeftUp}
	case t.flips:
		q.Turned = &nest1d.Ends{Left: q.Right, Right: q.Left, LeftUp: q.RightUp != (p.RightFace == section.Wide), RightUp: q.LeftUp != (p.LeftFace == section.Wide)}
	}
	return q
}

// cutAs writes out the length of a piece and how its ends are cut in a bar, the
// same for every way in which it may lie.
func cutAs(s *nest1d.Stock, p nest1d.Piece) string {
	if s.Slant == nil {
		return fmt.Sprint(p.Length, s.Kerf[p.Left], s.Kerf[p.Right])
	}
	end := func(cut int, up bool) string {
		in := s.Slant[cut]
		if up {
			in = -in
		}
		return fmt.Sprint(s.Kerf[cut], in, s.Plane[cut])
	}
	var ways []string
	for _, e := range p.Lies() {
		ways = append(ways, fmt.Sprint(p.Length, end(e.Left, e.LeftUp), ":", end(e.Right, e.RightUp)))
	}
	return slices.Min(ways)
}
