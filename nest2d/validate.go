package nest2d

import (
	"fmt"
)

// Validate proves that layouts are a plan for p, without regard to how they
// were found: every panel is cut as often as it is wanted, no supply is
// exceeded, and every cut tree can be cut as it stands or, when placement is
// free, panels keep the spacing and the margins. It returns nil or
// the first fault. The problem itself is taken to be valid.
func Validate(p Problem, layouts []Layout) error {
	cut := make([]int64, len(p.Panels))
	used := make([]int64, len(p.Sheets))
	for i, l := range layouts {
		if l.Sheet < 0 || l.Sheet >= len(p.Sheets) || l.Count < 1 || (l.Tree == nil) != p.Free {
			return fmt.Errorf("layout %d names sheet %d, %d times", i, l.Sheet, l.Count)
		}
		check := p.checkLayout
		if p.Free {
			check = p.checkSpread
		}
		if err := check(l); err != nil {
			return fmt.Errorf("layout %d: %w", i, err)
		}
		used[l.Sheet] += l.Count
		for _, place := range l.Places {
			cut[place.Panel] += l.Count
		}
	}
	for i, a := range p.Panels {
		if cut[i] != a.Demand {
			return fmt.Errorf("panel %d is cut %d times, not %d", i, cut[i], a.Demand)
		}
	}
	for k, s := range p.Sheets {
		if s.Supply != Unlimited && used[k] > s.Supply {
			return fmt.Errorf("sheet %d is used %d times of %d", k, used[k], s.Supply)
		}
	}
	return nil
}

func (p Problem) checkLayout(l Layout) error {
	s := p.Sheets[l.Sheet]
	t := l.Tree
	if t.X != s.TrimLeft || t.Y != s.TrimBottom ||
		t.X+t.Length != s.Length-s.TrimRight || t.Y+t.Width != s.Width-s.TrimTop {
		return fmt.Errorf("the tree does not start from the trimmed sheet")
	}
	seen := make([]bool, len(l.Places))
	if err := p.checkNode(t, l, seen); err != nil {
		return err
	}
	for i := range seen {
		if !seen[i] {
			return fmt.Errorf("place %d is not in the tree", i)
		}
	}
	return p.checkStages(t)
}

// checkSpread proves that panels placed freely lie inside the margins, or in
// windows of others, and a spacing apart, in time quadratic in their number. What
// lies in a window is smaller than its host, so that none lies in itself.
func (p Problem) checkSpread(l Layout) error {
	s := p.Sheets[l.Sheet]
	extents := make([]size, len(l.Places))
	for i, at := range l.Places {
		if at.Panel < 0 || at.Panel >= len(p.Panels) || at.Turned && !p.Panels[at.Panel].Turn {
			return fmt.Errorf("place %d has panel %d, or has it turned, which may not be", i, at.Panel)
		}
		e := size{p.Panels[at.Panel].Length, p.Panels[at.Panel].Width}
		if at.Turned {
			e[0], e[1] = e[1], e[0]
		}
		if at.In != 0 {
			if err := p.checkHosted(l, i); err != nil {
				return err
			}
		} else if at.X < s.TrimLeft || at.Y < s.TrimBottom || at.X+e[0] > s.Length-s.TrimRight || at.Y+e[1] > s.Width-s.TrimTop {
			return fmt.Errorf("panel %d reaches into a margin", at.Panel)
		}
		extents[i] = e
		for j, o := range l.Places[:i] {
			if at.In == o.In && at.X < o.X+extents[j][0]+s.Kerf && o.X < at.X+e[0]+s.Kerf &&
				at.Y < o.Y+extents[j][1]+s.Kerf && o.Y < at.Y+e[1]+s.Kerf {
				return fmt.Errorf("panels %d and %d are closer than the spacing", o.Panel, at.Panel)
			}
		}
	}
	return nil
}

func (p Problem) checkNode(n *Node, l Layout, seen []bool) error {
	if n.Length <= 0 || n.Width <= 0 {
		return fmt.Errorf("a part measures %d × %d", n.Length, n.Width)
	}
	switch n.Kind {
	case Waste:
		if len(n.Children) > 0 {
			return fmt.Errorf("waste is cut further")
		}
		return nil
	case Whole:
		if n.Place < 0 || n.Place >= len(l.Places) || seen[n.Place] || len(n.Children) > 0 {
			return fmt.Errorf("place %d is wrong or used twice", n.Place)
		}
		seen[n.Place] = true
		return p.checkWhole(n, l.Places[n.Place])
	case Split:
		return p.checkSplit(n, l, seen)
	}
	return fmt.Errorf("a part is of kind %d", n.Kind)
}

func (p Problem) checkWhole(n *Node, at Place) error {
	if at.Panel < 0 || at.Panel >= len(p.Panels) || at.X != n.X || at.Y != n.Y {
		return fmt.Errorf("panel %d is not where its part is", at.Panel)
	}
	a := p.Panels[at.Panel]
	length, width := a.Length, a.Width
	if at.Turned {
		length, width = width, length
	}
	if at.Turned && !a.Turn || n.Length != length || n.Width != width {
		return fmt.Errorf("panel %d does not fill its part of %d × %d", at.Panel, n.Length, n.Width)
	}
	return nil
}

func (p Problem) checkSplit(n *Node, l Layout, seen []bool) error {
	s := p.Sheets[l.Sheet]
	// along gives start and extent in the direction in which parts follow.
	along := func(n *Node) (at, extent, crossAt, cross int64) { return n.X, n.Length, n.Y, n.Width }
	if n.Cut == AlongLength {
		along = func(n *Node) (at, extent, crossAt, cross int64) { return n.Y, n.Width, n.X, n.Length }
	}
	at, extent, crossAt, cross := along(n)
	end := at + extent
	if len(n.Children) == 0 {
		return fmt.Errorf("a split has no parts")
	}
	if _, first, _, _ := along(n.Children[0]); s.Blade > 0 && cross > s.Blade && first < extent {
		return fmt.Errorf("a cut of %d is longer than the blade", cross)
	}
	for i, c := range n.Children {
		cAt, cExtent, cCrossAt, cCross := along(c)
		if cCrossAt != crossAt || cCross != cross {
			return fmt.Errorf("a part is not as large across as what it is cut from")
		}
		if i > 0 {
			at += s.Kerf
		}
		if cAt != at {
			return fmt.Errorf("a part starts at %d, not at %d", cAt, at)
		}
		at += cExtent
		if c.Kind != Waste && cExtent < extent && cExtent < s.MinStrip {
			return fmt.Errorf("a part of %d is narrower than the machine can hold", cExtent)
		}
		if c.Kind == Split && (c.Cut == n.Cut || c.Stage != n.Stage+1) {
			return fmt.Errorf("a cut of stage %d follows one of stage %d", c.Stage, n.Stage)
		}
		if err := p.checkNode(c, l, seen); err != nil {
			return err
		}
	}
	// What the last cut turns wholly into dust needs no part.
	if at != end && !(at < end && end-at <= s.Kerf) {
		return fmt.Errorf("parts end at %d, not at %d", at, end)
	}
	return nil
}

// checkStages proves that a tree keeps to the first direction and to the
// number of stages: with TrimCut one more cut may free one panel from waste.
func (p Problem) checkStages(root *Node) error {
	if root.Kind == Split {
		if root.Stage != 1 {
			return fmt.Errorf("the first cut is of stage %d", root.Stage)
		}
		if p.FirstCut != AnyDirection && root.Cut != p.FirstCut {
			return fmt.Errorf("the first cut runs the wrong way")
		}
	}
	if p.Stages == 0 {
		return nil
	}
	var walk func(*Node) error
	walk = func(n *Node) error {
		if n.Kind != Split {
			return nil
		}
		if n.Stage > p.Stages {
			trims := len(n.Children) <= 2 && n.Children[0].Kind == Whole &&
				(len(n.Children) == 1 || n.Children[1].Kind == Waste)
			if !p.TrimCut || n.Stage > p.Stages+1 || !trims {
				return fmt.Errorf("a cut is of stage %d", n.Stage)
			}
		}
		for _, c := range n.Children {
			if err := walk(c); err != nil {
				return err
			}
		}
		return nil
	}
	return walk(root)
}
