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

// sharedFace is the width of the face across which neighbours of a material share
// their mitres, or 0 where they do not: the saw must do so, and one that swings
// one way rolls the bar between slants of different hands, which only a section
// that is the same then can be.
func sharedFace(j *job.Job, mi int) length.Length {
	m := j.Materials[mi]
	process := j.Processes[m.Process]
	if !process.SharedMitres || process.OneWay && !m.Section.Symmetric() {
		return 0
	}
	for _, p := range j.Pieces {
		if p.Material == mi && (p.Left != 0 || p.Right != 0) {
			return m.Section.OuterWidth()
		}
	}
	return 0
}

// slantAlong is how far a cut at an angle (thousandths of a degree from square)
// reaches along the bar: width·tan, rounded down. A millionth of a base unit is
// forgiven, so that 45° reaches as far as the face is wide.
func slantAlong(face length.Length, angle int64) length.Length {
	return length.Length(math.Floor(float64(face)*math.Tan(float64(angle)/1000*math.Pi/180) + 1e-6))
}

// ownedBeside is how much of a piece's length counts as its neighbours' where
// mitres share cuts: half of both slants.
func ownedBeside(face length.Length, p job.Piece) length.Length {
	return (slantAlong(face, max(p.Left, -p.Left)) + slantAlong(face, max(p.Right, -p.Right))) / 2
}

// piece is a piece of the list as the engine knows it. Where mitres share cuts it
// may lie in any way that its section looks the same in: turned and rolled; a
// channel, mitred across its flanges, turned about the line square to its web; an
// angle, and what has a good face, only as it is listed.
func (b *barJob) piece(m job.Material, p job.Piece) nest1d.Piece {
	q := nest1d.Piece{Length: int64(p.Length), Left: b.cut(p.Left), Right: b.cut(p.Right)}
	if b.face == 0 {
		return q
	}
	q.LeftUp, q.RightUp = p.Left < 0, p.Right < 0
	if !m.GoodSide {
		q.Turn = m.Section.Symmetric() || m.Section.Shape == section.Channel
		q.Roll = m.Section.Symmetric()
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
		return fmt.Sprint(s.Kerf[cut], in)
	}
	var ways []string
	for way := range 4 {
		turned, rolled := way&1 != 0, way&2 != 0
		if turned && !p.Turn || rolled && !p.Roll {
			continue
		}
		left, right := end(p.Left, p.LeftUp != rolled), end(p.Right, p.RightUp != rolled)
		if turned {
			left, right = right, left
		}
		ways = append(ways, fmt.Sprint(p.Length, left, ":", right))
	}
	return slices.Min(ways)
}
