package planner

import (
	"context"

	"sawbill/nest2d"
)

// A sheet too large to be fetched is cut at the yard along its cut tree until
// every part fits the load. How the engine lays panels out knows nothing of
// that, so a sheet with many yard cuts is laid out again inside strips that fit the
// load, side by side or one above the other; what lies beyond them stays at the yard.

// atYardCuts counts the cuts that the yard makes along a tree.
func (c *sheetCutter) atYardCuts(n *nest2d.Node) int64 {
	if n == nil || n.Kind != nest2d.Split || fitsLoad(c.job, n.Length, n.Width) {
		return 0
	}
	cuts := int64(0)
	for _, child := range n.Children {
		if n.Cut == nest2d.AlongLength && child.Y+child.Width < n.Y+n.Width || n.Cut == nest2d.AlongWidth && child.X+child.Length < n.X+n.Length {
			cuts++
		}
		cuts += c.atYardCuts(child)
	}
	return cuts
}

// fewerYardCuts is the layout, or one of the same panels that needs fewer cuts
// at the yard.
func (c *sheetCutter) fewerYardCuts(ctx context.Context, l nest2d.Layout) nest2d.Layout {
	best := c.atYardCuts(l.Tree)
	for _, across := range []bool{true, false} {
		// A first cut must leave a stage for those inside the strips.
		if best < 2 || c.problem.Stages == 1 {
			break
		}
		first := nest2d.AlongWidth
		if !across {
			first = nest2d.AlongLength
		}
		if c.problem.FirstCut != nest2d.AnyDirection && c.problem.FirstCut != first {
			continue
		}
		if again, ok := c.inStrips(ctx, l, across, best-1); ok {
			if n := c.atYardCuts(again.Tree); n < best {
				l, best = again, n
			}
		}
	}
	return l
}

// inStrips lays the panels out in at most as many strips as cuts allow; across
// says that strips lie side by side along the sheet's length.
func (c *sheetCutter) inStrips(ctx context.Context, l nest2d.Layout, across bool, cuts int64) (nest2d.Layout, bool) {
	s := c.problem.Sheets[l.Sheet]
	long, wide := s.Length-s.TrimLeft-s.TrimRight, s.Width-s.TrimBottom-s.TrimTop
	if !across {
		long, wide = wide, long
	}
	strip := c.widestStrip(long, wide)
	if strip == 0 {
		return l, false
	}
	p := nest2d.Problem{Stages: max(0, c.problem.Stages-1), TrimCut: c.problem.TrimCut}
	part := nest2d.Sheet{Length: strip, Width: wide, Kerf: s.Kerf, MinStrip: s.MinStrip, Blade: s.Blade, Price: 1,
		Supply: min(cuts, (long+s.Kerf)/(strip+s.Kerf))}
	p.FirstCut = nest2d.AlongLength
	if !across {
		part.Length, part.Width = wide, strip
		p.FirstCut = nest2d.AlongWidth
	}
	p.Sheets = []nest2d.Sheet{part}
	for _, panel := range c.problem.Panels {
		panel.Demand = 0
		p.Panels = append(p.Panels, panel)
	}
	for _, place := range l.Places {
		p.Panels[place.Panel].Demand++
	}
	r, err := nest2d.Solve(ctx, p, nest2d.Options{Effort: nest2d.Quick, Seed: c.options.Seed})
	if err != nil || r.Outcome != nest2d.Planned {
		return l, false
	}
	out := nest2d.Layout{Sheet: l.Sheet, Count: l.Count, Tree: &nest2d.Node{Kind: nest2d.Split, X: s.TrimLeft, Y: s.TrimBottom,
		Length: s.Length - s.TrimLeft - s.TrimRight, Width: s.Width - s.TrimBottom - s.TrimTop, Cut: nest2d.AlongWidth, Stage: 1}}
	if !across {
		out.Tree.Cut = nest2d.AlongLength
	}
	at := int64(0) // along the sheet, from its trim
	for _, piece := range r.Layouts {
		for range piece.Count {
			x, y := s.TrimLeft+at, s.TrimBottom
			if !across {
				x, y = s.TrimLeft, s.TrimBottom+at
			}
			out.Tree.Children = append(out.Tree.Children, moved(piece.Tree, x, y, len(out.Places)))
			for _, place := range piece.Places {
				place.X += x
				place.Y += y
				out.Places = append(out.Places, place)
			}
			at += strip + s.Kerf
		}
	}
	if rest := long - at; rest > 0 {
		waste := &nest2d.Node{Kind: nest2d.Waste, X: s.TrimLeft + at, Y: s.TrimBottom, Length: rest, Width: wide}
		if !across {
			waste = &nest2d.Node{Kind: nest2d.Waste, X: s.TrimLeft, Y: s.TrimBottom + at, Length: wide, Width: rest}
		}
		out.Tree.Children = append(out.Tree.Children, waste)
	}
	return out, true
}

// widestStrip is the widest strip, no wider than long, that fits the load with
// its other side wide; 0 when none does.
func (c *sheetCutter) widestStrip(long, wide int64) int64 {
	var best int64
	for _, side := range []int64{long, int64(c.job.LongestLoad), int64(c.job.WidestLoad)} {
		if side > best && side <= long && fitsLoad(c.job, side, wide) {
			best = side
		}
	}
	return best
}

// moved is a tree at another place on the sheet, one stage further down, whose
// panels are numbered from first on.
func moved(n *nest2d.Node, x, y int64, first int) *nest2d.Node {
	out := *n
	out.X, out.Y = n.X+x, n.Y+y
	if n.Kind == nest2d.Split {
		out.Stage++
	}
	if n.Kind == nest2d.Whole {
		out.Place += first
	}
	out.Children = nil
	for _, child := range n.Children {
		out.Children = append(out.Children, moved(child, x, y, first))
	}
	return &out
}
