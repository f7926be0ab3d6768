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
	return slices.ContainsFunc(j.Pieces, func(p job.Piece) bool { return p.Material == mi && p.Mitred() })
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
	t := m.Section.Turns(m.GoodSide)
	q.Turn, q.Roll, q.Spin = t.Turn, t.Roll, t.Spin
	leftFace, left := m.Section.Turn(p.RightFace, p.Right)
	rightFace, right := m.Section.Turn(p.LeftFace, p.Left)
	if t.Turn && (leftFace != p.RightFace || left != p.Right || rightFace != p.LeftFace || right != p.Left) {
		q.Turned = &nest1d.Ends{Left: b.cut(left, leftFace), Right: b.cut(right, rightFace), LeftUp: left < 0, RightUp: right < 0}
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
