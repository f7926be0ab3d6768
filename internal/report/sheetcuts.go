package report

import (
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// sheetCut is one edge-to-edge cut, in cutting order.
type sheetCut struct {
	number int
	// name is rip, crosscut or recut; atYard when the supplier makes it.
	name   string
	atYard bool
	// of is the rectangle in hand; at is the distance of the line from its
	// lower edge (a rip) or left edge, where the part that is kept begins.
	of    *plan.Part
	along string
	at    length.Length
	// x, y is where the line starts on the sheet, long how far it runs.
	x, y, long length.Length
}

// sheetCuts lists the cuts of a tree, those at the yard before all others: of a part,
// all cuts from its lower or left edge on, then the parts in turn. A part that touches
// its parent's far edge needs no cut there.
func sheetCuts(root *plan.Part) []sheetCut {
	out := partCuts(nil, root, true)
	return partCuts(out, root, false)
}

// partCuts appends the cuts of a part and of what is in it, those at the yard or the others.
func partCuts(out []sheetCut, p *plan.Part, atYard bool) []sheetCut {
	if p == nil || p.Cut == "" {
		return out
	}
	for _, q := range p.Parts {
		if p.AtYard != atYard {
			break
		}
		c := sheetCut{number: len(out) + 1, of: p, along: p.Cut, name: cutName(p), atYard: atYard}
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
		out = append(out, c)
	}
	for _, q := range p.Parts {
		out = partCuts(out, q, atYard)
	}
	return out
}

// title is the cut's name in a list.
func (c sheetCut) title() string {
	if c.atYard {
		return c.name + ", yard"
	}
	return c.name
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
