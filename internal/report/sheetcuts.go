package report

import (
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// The order of cuts of one sheet, as a person at a shear or a panel saw carries it
// out. What is in hand is a lot: the sheet, or equal parts of it that are cut alike,
// one after the other or on each other. Every cut takes a strip off the lower (a rip)
// or left edge of what is in hand; equal strips in a row are one line of the list.
// Before a lot is cut in another direction than the one in which it came off, each of
// its parts is turned by a quarter.

// sheetOrder is how one sheet is cut, in order.
type sheetOrder struct {
	lots []*cutLot
	// cuts is the number of all cuts, turns that of all quarter turns.
	cuts, turns int
}

// cutLot is a number of equal parts that are cut alike.
type cutLot struct {
	// name is that of a part: the sheet, the trimmed sheet, or a letter.
	name string
	// parts are where they lie on the sheet; the first stands for all.
	parts  []*plan.Part
	along  string // direction of the cut lines
	turned bool
	atYard bool
	rows   []*cutRow
	// rest is what is left behind the last cut, apart from saw dust.
	rest *gift
	// children are the lots that come off, in the order of their names.
	children []*cutLot
}

// cutRow is a number of cuts in a row that take equal strips off, or a trim.
type cutRow struct {
	name string // rip, crosscut, or which edge is trimmed
	// at is the distance of the first line from the lot's lower or left edge, last that
	// of the last line, every the extent of each strip.
	at, last, every length.Length
	// each is how many strips come off each part, cuts are those of all parts.
	each  int
	cuts  []sheetCut
	gifts []gift
}

// gift is a number of equal things that come off: panels, offcuts to keep, scrap, or
// parts that are cut further. Sizes are as they lie on the sheet.
type gift struct {
	count         int
	mark          string
	length, width length.Length
	kept          bool
	lot           *cutLot
}

// sheetCut is one edge-to-edge cut.
type sheetCut struct {
	number int
	name   string
	atYard bool // the supplier makes it
	// of is the rectangle in hand; at is the distance of the line from its
	// lower edge (a rip) or left edge, where the part that comes off ends.
	of    *plan.Part
	along string
	at    length.Length
	// x, y is where the line starts on the sheet, long how far it runs.
	x, y, long length.Length
}

// sheetOrderOf is the order of cuts of a layout: the trims, then those at the yard,
// then all others; of each lot all cuts, then the lots that came off it in turn.
func sheetOrderOf(l plan.Layout) *sheetOrder {
	o := &sheetOrder{}
	root := trimmed(l.Tree)
	if root == nil {
		return o
	}
	first := o.trims(l, root)
	b := orderBuilder{layout: l}
	if root.Cut == "" {
		if n := len(o.lots); n > 0 {
			o.lots[n-1].rest = &gift{count: 1, mark: b.mark(root), length: root.Length, width: root.Width, kept: root.Kept}
		}
		return o
	}
	name := "sheet"
	if first != "" {
		name = "trimmed sheet"
	}
	whole := b.lot([]*plan.Part{root}, first)
	whole.name = name
	for _, atYard := range []bool{true, false} {
		o.add(whole, atYard, new(int))
	}
	return o
}

// all are the cuts in order.
func (o *sheetOrder) all() []sheetCut {
	var out []sheetCut
	for _, l := range o.lots {
		for _, r := range l.rows {
			out = append(out, r.cuts...)
		}
	}
	return out
}

// trims adds the cuts that trim the sheet, those across the first cuts of the tree
// before the others so that the sheet is turned once at most. It returns the direction
// of the last of them.
func (o *sheetOrder) trims(l plan.Layout, root *plan.Part) string {
	whole := &plan.Part{Length: l.Stock.Length, Width: l.Stock.Width}
	last := ""
	along := []string{plan.AlongWidth, plan.AlongLength}
	if root.Cut == plan.AlongWidth {
		along = []string{plan.AlongLength, plan.AlongWidth}
	}
	for _, direction := range along {
		lot := &cutLot{name: "sheet", parts: []*plan.Part{whole}, along: direction, turned: last != "", atYard: l.TrimsAtYard}
		if direction == plan.AlongWidth {
			whole = lot.trim(whole, "trim left", root.X)
			whole = lot.trim(whole, "trim right", root.X+root.Length)
		} else {
			whole = lot.trim(whole, "trim lower", root.Y)
			whole = lot.trim(whole, "trim upper", root.Y+root.Width)
		}
		if len(lot.rows) > 0 {
			o.number(lot)
			last = direction
		}
	}
	return last
}

// trim adds a cut whose kept edge is at a place on the sheet, unless it is an edge of
// what is in hand already, and returns what is in hand after it.
func (l *cutLot) trim(p *plan.Part, name string, to length.Length) *plan.Part {
	q := *p
	c := sheetCut{name: name, of: p, along: l.along}
	if l.along == plan.AlongWidth {
		c.at, c.x, c.y, c.long = to-p.X, to, p.Y, p.Width
		if name == "trim left" {
			q.X, q.Length = to, p.Length-c.at
		} else {
			q.Length = c.at
		}
		if q.Length == p.Length {
			return p
		}
	} else {
		c.at, c.x, c.y, c.long = to-p.Y, p.X, to, p.Length
		if name == "trim lower" {
			q.Y, q.Width = to, p.Width-c.at
		} else {
			q.Width = c.at
		}
		if q.Width == p.Width {
			return p
		}
	}
	l.rows = append(l.rows, &cutRow{name: name, at: c.at, last: c.at, each: 1, cuts: []sheetCut{c}})
	return &q
}

// add numbers the cuts of a lot and of those that come off it, those at the yard or
// the others, and names what comes off.
func (o *sheetOrder) add(l *cutLot, atYard bool, named *int) {
	if l.atYard == atYard {
		o.number(l)
	}
	for _, c := range l.children {
		if c.name == "" {
			c.name = "part " + lotLetters(*named)
			*named++
		}
	}
	for _, c := range l.children {
		o.add(c, atYard, named)
	}
}

// number gives the cuts of a lot their numbers.
func (o *sheetOrder) number(l *cutLot) {
	o.lots = append(o.lots, l)
	if l.turned {
		o.turns += len(l.parts)
	}
	for _, r := range l.rows {
		for i := range r.cuts {
			o.cuts++
			r.cuts[i].number, r.cuts[i].atYard = o.cuts, l.atYard
		}
	}
}

// lotLetters counts A, B … Z, AA, AB …
func lotLetters(n int) string {
	if n < 26 {
		return string(rune('A' + n))
	}
	return lotLetters(n/26-1) + lotLetters(n%26)
}

// orderBuilder makes lots of the parts of a layout.
type orderBuilder struct{ layout plan.Layout }

// lot is how equal parts are cut that came off by cuts of a direction, or are the sheet
// as it is.
func (b orderBuilder) lot(parts []*plan.Part, cameOff string) *cutLot {
	p := parts[0]
	l := &cutLot{parts: parts, along: p.Cut, turned: cameOff != "" && cameOff != p.Cut, atYard: p.AtYard}
	var row *cutRow
	var groups [][]int // children that are alike, of those cut further
	lots := map[int]*cutLot{}
	for i, child := range p.Parts {
		q := trimmed(child)
		at, every := child.Y+child.Width-p.Y, child.Width
		extent := p.Width
		if p.Cut == plan.AlongWidth {
			at, every, extent = child.X+child.Length-p.X, child.Length, p.Length
		}
		g := gift{count: len(parts), length: q.Length, width: q.Width, kept: q.Kept}
		switch {
		case q.Cut != "":
			k := 0
			for k < len(groups) && !b.same(trimmed(p.Parts[groups[k][0]]), q) {
				k++
			}
			if k == len(groups) {
				groups = append(groups, nil)
				lots[k] = &cutLot{}
			}
			groups[k] = append(groups[k], i)
			g.lot = lots[k]
		case q.Panel > 0:
			g.mark = b.mark(q)
		}
		if at >= extent {
			l.rest = &g
			continue
		}
		if row == nil || row.every != every {
			row = &cutRow{name: cutName(p), at: at, every: every}
			l.rows = append(l.rows, row)
		}
		row.last = at
		row.each++
		row.give(g)
	}
	for k, group := range groups {
		var all []*plan.Part
		for _, part := range parts {
			for _, i := range group {
				all = append(all, trimmed(part.Parts[i]))
			}
		}
		*lots[k] = *b.lot(all, p.Cut)
		l.children = append(l.children, lots[k])
	}
	l.lines()
	return l
}

// lines lays the cuts of every row on the sheet, part by part.
func (l *cutLot) lines() {
	at := 0
	for _, r := range l.rows {
		for _, p := range l.parts {
			for _, child := range p.Parts[at : at+r.each] {
				c := sheetCut{of: p, along: p.Cut, name: r.name}
				if p.Cut == plan.AlongLength {
					c.at = child.Y + child.Width - p.Y
					c.x, c.y, c.long = p.X, child.Y+child.Width, p.Length
				} else {
					c.at = child.X + child.Length - p.X
					c.x, c.y, c.long = child.X+child.Length, p.Y, p.Width
				}
				r.cuts = append(r.cuts, c)
			}
		}
		at += r.each
	}
}

// give adds what one more strip is, from every part of the lot.
func (r *cutRow) give(g gift) {
	if n := len(r.gifts); n > 0 {
		last := &r.gifts[n-1]
		count := last.count
		if last.count = g.count; *last == g {
			last.count = count + g.count
			return
		}
		last.count = count
	}
	r.gifts = append(r.gifts, g)
}

// trimmed is a part without cuts that cut nothing: one that is handed on whole.
func trimmed(p *plan.Part) *plan.Part {
	for p != nil && len(p.Parts) == 1 && p.Parts[0].Length == p.Length && p.Parts[0].Width == p.Width {
		p = p.Parts[0]
	}
	return p
}

// same reports whether two parts are cut alike into the same marks.
func (b orderBuilder) same(p, q *plan.Part) bool {
	if p.Length != q.Length || p.Width != q.Width || p.Cut != q.Cut || p.AtYard != q.AtYard || p.Kept != q.Kept ||
		len(p.Parts) != len(q.Parts) || b.mark(p) != b.mark(q) {
		return false
	}
	for i := range p.Parts {
		if !b.same(p.Parts[i], q.Parts[i]) {
			return false
		}
	}
	return true
}

// mark is that of the panel a part is, "" if it is none.
func (b orderBuilder) mark(p *plan.Part) string {
	if p.Panel < 1 || p.Panel > len(b.layout.Panels) {
		return ""
	}
	return b.layout.Panels[p.Panel-1].Mark
}

// cutName says which way a line runs on the sheet, whatever its stage.
func cutName(p *plan.Part) string {
	if p.Cut == plan.AlongLength {
		return "rip"
	}
	return "crosscut"
}
