package job

import (
	"fmt"
	"slices"

	"sawbill/internal/length"
)

// Dimension is a measure of what is built that may still be changed by a
// little. It moves all its sides together, each by its factor; a side of two
// dimensions moves by the sum.
type Dimension struct {
	Name  string
	Sides []Side
	// Less and More are the most that it may get shorter and longer, 0 for not
	// at all; Step is what it changes by at a time.
	Less, More, Step length.Length
	Pos              Pos
}

// Side is the length of a piece, or the length or the width of a panel.
type Side struct {
	Mark   string
	Of     SideOf
	Factor int64 // 1 or more
}

// SideOf says which side of what.
type SideOf int

// The sides that a dimension can move.
const (
	PieceLength SideOf = iota
	PanelLength
	PanelWidth
)

// Spell names the side as a table may write it.
func (s Side) Spell() string {
	text := s.Mark
	if s.Factor > 1 {
		text = fmt.Sprintf("%dx %s", s.Factor, text)
	}
	switch s.Of {
	case PanelLength:
		text += " length"
	case PanelWidth:
		text += " width"
	}
	return text
}

// StepsLess is how many steps it may get shorter.
func (d Dimension) StepsLess() int64 { return int64(d.Less / d.Step) }

// StepsMore is how many steps it may get longer.
func (d Dimension) StepsMore() int64 { return int64(d.More / d.Step) }

// mostDimensions bounds their number, mostSteps the steps of one, and mostFactor
// the factor of a side: beyond them a limit or a step is a slip of the pen.
const (
	mostDimensions = 200
	mostSteps      = 10_000
	mostFactor     = 100
)

// Moved is the job with its dimensions changed by so many steps each, negative
// for shorter. Openings stay where they are, measured from the lower left corner, and outlines are
// stretched at their middle.
// The job itself stays as it is. steps beyond the dimensions' limits
// may leave nothing of a side; within them they do not.
func (j *Job) Moved(steps []int64) *Job {
	moved := *j
	type side struct {
		mark string
		of   SideOf
	}
	by := map[side]length.Length{}
	for i, n := range steps {
		d := j.Dimensions[i]
		for _, s := range d.Sides {
			by[side{s.Mark, s.Of}] += length.Length(n*s.Factor) * d.Step
		}
	}
	moved.Pieces, moved.Panels = slices.Clone(j.Pieces), slices.Clone(j.Panels)
	for k := range moved.Pieces {
		p := &moved.Pieces[k]
		p.Length += by[side{p.Mark, PieceLength}]
	}
	for k := range moved.Panels {
		p := &moved.Panels[k]
		long, wide := by[side{p.Mark, PanelLength}], by[side{p.Mark, PanelWidth}]
		if long != 0 || wide != 0 {
			*p, _ = p.Resized(p.Length+long, p.Width+wide)
		}
	}
	return &moved
}

// Cuttable reports whether the mitres of a piece leave something of its shorter
// side.
func (j *Job) Cuttable(p Piece) bool { return shortSide(p, j.Materials[p.Material].Section) > 0 }
