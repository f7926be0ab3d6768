package knapsack

import (
	"fmt"
	"math"
)

const (
	// MaxLength is the largest side of the rectangle.
	MaxLength = 1 << 30
	// MaxValue is the largest value of a panel.
	MaxValue = 1 << 40
	// MaxStages is the largest limit on stages.
	MaxStages = 16
	// Unlimited is the Most of a panel that may be cut any number of times.
	Unlimited = -1
)

// Problem asks for the panels of greatest total value that can be cut from one
// rectangle, its Length along x and its Width along y. Lengths are integers in
// one unit of the caller's choice, values in another.
type Problem struct {
	Length, Width int64
	// Kerf is lost at every cut, except where what remains is narrower than it.
	Kerf   int64
	Panels []Panel
	// Stages limits the number of guillotine stages; 0 means any number. The
	// limit is non-exact when TrimCut is true: one more cut may then free a
	// panel from waste beside it.
	Stages  int
	TrimCut bool
	// FirstCut fixes the direction of the first stage; AnyDirection is free.
	FirstCut Direction
}

// Panel is a kind of rectangle. Unturned, its Length lies along x.
type Panel struct {
	Length, Width int64
	// Value of a copy; 0 or less is never cut.
	Value int64
	// Most is the largest number of copies, or Unlimited.
	Most int64
	// Turn says that it may be turned by 90°.
	Turn bool
}

// Direction of a cut line.
type Direction int

const (
	AnyDirection Direction = iota
	// AlongLength: the cut line runs along x; the parts lie one above the other.
	AlongLength
	// AlongWidth: the cut line runs along y; the parts lie side by side.
	AlongWidth
)

// Node is a rectangle of least size: a panel, or a split into parts from left
// to right or from bottom to top, waste left out.
type Node struct {
	// Panel is the index of a panel, or -1 for a split.
	Panel  int
	Turned bool
	// Cut is the direction of the cuts that part the Parts of a split.
	Cut   Direction
	Parts []*Node
}

// Result is the best layout found and what is proved about it.
type Result struct {
	// Value of the panels cut, 0 if none can be; no layout is worth more than Bound.
	Value, Bound int64
	// Root of the layout, nil when nothing is cut.
	Root *Node
	// Charges, one a panel, and Relaxed prove a bound without enumeration. Where a
	// copy of panel i is worth Scale·Valueᵢ − Chargeᵢ and copies are unlimited, no
	// layout is worth more than Relaxed − Σ Mostᵢ·Chargeᵢ; so with the limits on copies
	// none is worth more than Relaxed in units of the Values divided by Scale.
	// Charges are 0 for panels of no Value and where Most is Unlimited.
	Charges []int64
	Relaxed int64
	// Work is what was done, in steps of the innermost loops.
	Work int64
}

// Counts is how often each of n kinds of panels occurs in the layout.
func (r Result) Counts(n int) []int64 {
	counts := make([]int64, n)
	r.Root.count(counts)
	return counts
}

func (n *Node) count(counts []int64) {
	if n == nil {
		return
	}
	if n.Panel >= 0 {
		counts[n.Panel]++
	}
	for _, p := range n.Parts {
		p.count(counts)
	}
}

// Options limit a run by counted work, never by the clock. The zero value is
// good.
type Options struct {
	// Work is about how many steps may be taken once the first bound stands; 0
	// stands for two thousand million, some ten seconds.
	Work int64
	// Enough ends the run when the bound is no more than it.
	Enough int64
	// Target, unless 0, ends the run when a layout is worth more than it.
	Target int64
	// Charges, unless nil, are those to start from: the Charges of a problem much
	// like this one.
	Charges []int64
}

const (
	axisX = 0
	axisY = 1
)

func cutOf(axis int) Direction {
	if axis == axisX {
		return AlongWidth
	}
	return AlongLength
}

// may tells whether the first stage may part along an axis.
func (p *Problem) may(axis int) bool { return p.FirstCut == AnyDirection || p.FirstCut == cutOf(axis) }

type size [2]int64

// A pose is a panel as it may lie, grown by the kerf.
type pose struct {
	size   size
	panel  int
	turned bool
}

// usable is the rectangle, grown by the kerf.
func (p *Problem) usable() size { return size{p.Length + p.Kerf, p.Width + p.Kerf} }

// poses lists how panels that have a value may lie in the rectangle.
func (p *Problem) poses() []pose {
	var list []pose
	whole := p.usable()
	for i, a := range p.Panels {
		if a.Value <= 0 || a.Most == 0 {
			continue
		}
		s := size{a.Length + p.Kerf, a.Width + p.Kerf}
		if s[axisX] <= whole[axisX] && s[axisY] <= whole[axisY] {
			list = append(list, pose{s, i, false})
		}
		if a.Turn && a.Length != a.Width && s[axisY] <= whole[axisX] && s[axisX] <= whole[axisY] {
			list = append(list, pose{size{s[axisY], s[axisX]}, i, true})
		}
	}
	return list
}

// most is how many copies of a panel can be cut at all, by its limit and area.
func (p *Problem) most(i int) int64 {
	a, whole := p.Panels[i], p.usable()
	area := whole[axisX] * whole[axisY] / ((a.Length + p.Kerf) * (a.Width + p.Kerf))
	if a.Most == Unlimited {
		return area
	}
	return min(a.Most, area)
}

func (p *Problem) check() error {
	switch {
	case p.Length <= 0 || p.Width <= 0 || p.Length > MaxLength || p.Width > MaxLength:
		return fmt.Errorf("the rectangle measures %d × %d: both must lie between 1 and %d", p.Length, p.Width, MaxLength)
	case p.Kerf < 0 || p.Kerf > MaxLength:
		return fmt.Errorf("the kerf is %d: give 0 to %d", p.Kerf, MaxLength)
	case p.Stages < 0 || p.Stages > MaxStages:
		return fmt.Errorf("the number of stages is %d: give 0 for any number, or 1 to %d", p.Stages, MaxStages)
	case p.FirstCut < AnyDirection || p.FirstCut > AlongWidth:
		return fmt.Errorf("the first cut's direction is %d: give AnyDirection, AlongLength or AlongWidth", p.FirstCut)
	}
	for i, a := range p.Panels {
		switch {
		case a.Length <= 0 || a.Width <= 0 || a.Length > MaxLength || a.Width > MaxLength:
			return fmt.Errorf("panel %d measures %d × %d: both must lie between 1 and %d", i, a.Length, a.Width, MaxLength)
		case a.Most < Unlimited:
			return fmt.Errorf("panel %d may be cut %d times: give 0 or more, or Unlimited", i, a.Most)
		case a.Value > MaxValue:
			return fmt.Errorf("panel %d has the value %d: give no more than %d", i, a.Value, int64(MaxValue))
		case a.Value > 0 && float64(a.Value)*float64(p.most(i)) > math.MaxInt64/Scale/4/float64(len(p.Panels)):
			return fmt.Errorf("panel %d has the value %d and may be cut %d times: give values in a larger unit", i, a.Value, p.most(i))
		}
	}
	return nil
}

// Scale is the number of parts that a unit of value is divided into for the
// prices of copies.
const Scale = 1 << 10

// Raster is how many sums of panels' sizes there are along each side of the
// rectangle, at most one more than the limit.
func (p *Problem) Raster(limit int) (x, y int) {
	var count [2]int
	for axis := range 2 {
		count[axis] = len(sumsOf(p.poses(), axis, p.usable()[axis], limit))
	}
	return count[axisX], count[axisY]
}
