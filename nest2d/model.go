package nest2d

import (
	"fmt"
	"math"
)

const (
	// MaxLength is the largest side of a sheet: its area stays below 2⁶⁰.
	MaxLength = 1 << 30
	// MaxCopies is the largest number of all panels together.
	MaxCopies = 1 << 15
	maxPrice  = 1 << 40
)

// The two axes: parts of a split on axisX lie side by side, those of a split
// on axisY one above the other.
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

// A size is an extent in x and y. Inside the engine every size is grown by
// one kerf, panels, parts and sheets alike; then cuts have no width: parts
// side by side fit exactly if their grown lengths add up to no more than the
// grown length of what they are cut from.
type size [2]int64

// A pose is a panel as it may lie on a kind of sheet.
type pose struct {
	size   size
	turned bool
}

// A kind is a kind of sheet, ready for the search.
type kind struct {
	usable        size // grown by the kerf
	kerf          int64
	price, supply int64 // supply never exceeds the number of panels
	area          int64 // of the trimmed sheet, true
	poses         [][]pose
	first         Direction // of the first cuts
	// Where the blade is shorter than a side of the usable sheet, cuts only run across
	// that side, and what they cut off is cut further only if it is no longer than most
	// along that axis; else the axis is none. See bladed.
	bladed int
	most   int64 // grown
	least  size  // of all poses, along each axis
	window bool  // of a panel: no sheet that is bought or counted
}

// A model is a problem, checked and prepared.
type model struct {
	problem Problem
	free    bool // boards hold panels anywhere (floor.go) and not trees of cuts
	kinds   []kind
	sides   []size  // of a panel, true
	weight  []int64 // of a panel: what it counts for when it is missing
	copies  int64
}

// newModel checks the problem and prepares it. The error is one sentence.
func newModel(p Problem) (*model, error) {
	m := &model{problem: p}
	if err := m.check(); err != nil {
		return nil, err
	}
	m.problem.Sheets = p.opened()
	for _, s := range m.problem.Sheets {
		m.kinds = append(m.kinds, m.kindOf(s))
	}
	for _, a := range p.Panels {
		m.sides = append(m.sides, size{a.Length, a.Width})
	}
	m.weight = weights(p.Panels)
	return m, nil
}

func (m *model) check() error {
	p := m.problem
	if p.Stages < 0 {
		return fmt.Errorf("the number of stages is %d: give 0 for any number, or 1 and more", p.Stages)
	}
	if p.Free && (p.Stages != 0 || p.FirstCut != AnyDirection) {
		return fmt.Errorf("placement is free and yet there are %d stages, the first in direction %d: leave both at 0, or set Free to false", p.Stages, p.FirstCut)
	}
	if p.FirstCut < AnyDirection || p.FirstCut > AlongWidth {
		return fmt.Errorf("the first cut's direction is %d: give AnyDirection, AlongLength or AlongWidth", p.FirstCut)
	}
	for i, a := range p.Panels {
		if a.Length <= 0 || a.Width <= 0 {
			return fmt.Errorf("panel %d measures %d × %d: both must be greater than 0", i, a.Length, a.Width)
		}
		if a.Demand < 0 || a.Demand > MaxCopies-m.copies {
			return fmt.Errorf("panel %d is wanted %d times: give 0 or more, and no more than %d copies of all panels together", i, a.Demand, MaxCopies)
		}
		m.copies += a.Demand
	}
	for k, s := range p.Sheets {
		switch {
		case s.Length <= 0 || s.Width <= 0 || s.Length > MaxLength || s.Width > MaxLength:
			return fmt.Errorf("sheet %d measures %d × %d: both must lie between 1 and %d", k, s.Length, s.Width, MaxLength)
		case s.TrimLeft < 0 || s.TrimRight < 0 || s.TrimBottom < 0 || s.TrimTop < 0 || s.Kerf < 0 || s.MinStrip < 0 || s.Blade < 0:
			return fmt.Errorf("sheet %d has a negative trim, kerf, narrowest strip or blade: give 0 or more", k)
		case s.TrimLeft > MaxLength || s.TrimRight > MaxLength || s.TrimBottom > MaxLength || s.TrimTop > MaxLength || s.Kerf > MaxLength:
			return fmt.Errorf("sheet %d has a trim or kerf greater than %d: give less", k, MaxLength)
		case s.Supply < 0 && s.Supply != Unlimited:
			return fmt.Errorf("sheet %d has a supply of %d: give 0 or more, or Unlimited", k, s.Supply)
		case s.Price < 0 || s.Price > maxPrice:
			return fmt.Errorf("sheet %d has the price %d: give a price between 0 and %d", k, s.Price, int64(maxPrice))
		case s.Price == 0 && s.Supply == Unlimited:
			return fmt.Errorf("sheet %d costs 0 and has no end: give a finite supply, or a price", k)
		}
		if err := p.checkBlade(k); err != nil {
			return err
		}
	}
	return p.checkWindows()
}

// kindOf prepares one kind of sheet.
//
// The narrowest strip needs no thought after this: a part that is cut
// further is never narrower than a panel in it, so the rule comes down to
// which way a panel may lie. A panel as long as the usable sheet is exempt in
// that direction, for then no cut sets its length.
func (m *model) kindOf(s Sheet) kind {
	k := kind{
		usable: s.usable(),
		kerf:   s.Kerf,
		price:  s.Price,
		supply: s.Supply,
		poses:  make([][]pose, len(m.problem.Panels)),
		first:  m.problem.FirstCut,
		bladed: -1,
		least:  size{math.MaxInt64, math.MaxInt64},
		window: s.window,
	}
	k.shorten(m.problem, s)
	minStrip := s.MinStrip
	if m.problem.Free {
		minStrip = 0
	}
	if s.Supply == Unlimited || s.Supply > m.copies {
		k.supply = m.copies
	}
	if k.usable[axisX] <= s.Kerf || k.usable[axisY] <= s.Kerf {
		k.supply = 0
		return k
	}
	k.area = (k.usable[axisX] - s.Kerf) * (k.usable[axisY] - s.Kerf)
	for i, a := range m.problem.Panels {
		if !s.allows(a) {
			continue
		}
		for _, turned := range []bool{false, true} {
			if turned && (!a.Turn && !s.free || a.Length == a.Width) {
				continue
			}
			if a.Length > MaxLength || a.Width > MaxLength {
				continue
			}
			grown := k.grown(size{a.Length, a.Width}, turned)
			if m.fits(&k, grown, minStrip) {
				k.admit(i, pose{grown, turned})
			}
		}
	}
	return k
}

// grown is the size of a panel as it lies, with a kerf.
func (k *kind) grown(sides size, turned bool) size {
	if turned {
		sides[0], sides[1] = sides[1], sides[0]
	}
	return size{sides[0] + k.kerf, sides[1] + k.kerf}
}

func (k *kind) admit(panel int, p pose) {
	k.poses[panel] = append(k.poses[panel], p)
	for axis := range k.least {
		k.least[axis] = min(k.least[axis], p.size[axis])
	}
}

// fits tells whether a panel can be cut from an empty sheet.
func (m *model) fits(k *kind, panel size, minStrip int64) bool {
	usable := k.usable
	if !k.cuttable(panel) {
		return false
	}
	for axis := range panel {
		if panel[axis] > usable[axis] {
			return false
		}
		if panel[axis] < usable[axis] && panel[axis]-k.kerf < minStrip {
			return false
		}
	}
	if m.problem.Stages != 1 || m.problem.TrimCut {
		return true
	}
	// One exact stage: one of the two directions must need no cut.
	for axis := range panel {
		if k.base(axis) == 1 && panel[1-axis] == usable[1-axis] {
			return true
		}
	}
	return false
}

// base is the stage of cuts on an axis at the root of a cut tree: 2 when the
// first stage must run the other way and so makes no cut.
func (k *kind) base(axis int) int {
	if k.first == AnyDirection || k.first == cutOf(axis) {
		return 1
	}
	return 2
}

// weights measures panels by the square of their area, in parts of the largest:
// many small panels are easier to place than a large one of the same area. The
// sum over all copies stays far inside an int64.
func weights(panels []Panel) []int64 {
	area := func(a Panel) float64 {
		return float64(min(a.Length, MaxLength)) * float64(min(a.Width, MaxLength))
	}
	largest := 0.0
	for _, a := range panels {
		largest = max(largest, area(a))
	}
	w := make([]int64, len(panels))
	for i, a := range panels {
		share := area(a) / largest
		w[i] = max(1, int64(float64(share*share)*(1<<40)))
	}
	return w
}
