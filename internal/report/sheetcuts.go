package report

import (
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// sheetCut is one edge-to-edge cut, in cutting order.
type sheetCut struct {
	number int
	// name is rip, crosscut or recut.
	name string
	// of is the rectangle in hand; at is the distance of the line from its
	// lower edge (a rip) or left edge, where the part that is kept begins.
	of    *plan.Part
	along string
	at    length.Length
	// x, y is where the line starts on the sheet, long how far it runs.
	x, y, long length.Length
}

// sheetCuts lists the cuts of a tree: all cuts of a part from its lower or left
// edge on, then the parts in turn. A part that touches its parent's far edge
// needs no cut there.
func sheetCuts(root *plan.Part) []sheetCut {
	var out []sheetCut
	var walk func(p *plan.Part)
	walk = func(p *plan.Part) {
		if p == nil || p.Cut == "" {
			return
		}
		for _, q := range p.Parts {
			c := sheetCut{of: p, along: p.Cut, name: cutName(p)}
			if p.Cut == plan.AlongLength {
				c.at = q.Y + q.Width - p.Y
				c.x, c.y, c.long = p.X, q.Y+q.Width, p.Length
				if c.at >= p.Width {
					continue
				}
			} else {
				c.at = q.X + q.Length - p.X
				c.x, c.y, c.long = q.X+q.Length, p.Y, p.Width
				if c.at >= p.Length {
					continue
				}
			}
			c.number = len(out) + 1
			out = append(out, c)
		}
		for _, q := range p.Parts {
			walk(q)
		}
	}
	walk(root)
	return out
}

func cutName(p *plan.Part) string {
	switch {
	case p.Stage >= 3:
		return "recut"
	case p.Cut == plan.AlongLength:
		return "rip"
	}
	return "crosscut"
}
