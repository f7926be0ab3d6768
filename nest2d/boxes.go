package nest2d

import (
	"cmp"
	"context"
	"slices"
)

// A box is a cut tree, known by its least size: a panel, or a part and the
// rest of the parts beside it along an axis.
type box struct {
	size       size
	panel      int32
	turned     bool
	axis       int
	part, rest *box
}

// A content is a set of panels that can be cut from a kind of sheet.
type content struct {
	set    set
	copies int
	values sums
	boxes  [][]*box // by form
	tree   *box     // on an empty sheet; nil if only parts of a sheet hold the set
	order  []int32  // the panels, largest first, when placement is free,
	laid   []laid   // and how they lie on an empty sheet
	more   set      // digits of panels of which the sheet holds one copy more
}

// sums are what a set of panels is worth, by valuation.
type sums [mostValuations]int64

func (s sums) plus(o sums) sums {
	for t := range s {
		s[t] += o[t]
	}
	return s
}

// Where stages are limited, it matters at which stage a box is parted. A form
// is a panel (0), or a split along an axis at a stage. Without a limit all
// boxes are of form 0.
func (m *model) form(axis, stage int) int { return 1 + axis*m.problem.Stages + stage - 1 }

// A joint is a way to join boxes of two forms to one of a third.
type joint struct {
	part, rest, whole, axis int
	equal                   bool // across
}

func (m *model) joints() []joint {
	stages := m.problem.Stages
	if stages == 0 {
		return []joint{{axis: axisX}, {axis: axisY}}
	}
	var list []joint
	for axis := range 2 {
		for stage := 1; stage <= stages; stage++ {
			whole, equal := m.form(axis, stage), stage == stages && !m.problem.TrimCut
			parts := []int{0}
			if stage < stages {
				parts = append(parts, m.form(1-axis, stage+1))
			}
			for _, part := range parts {
				for _, rest := range append(slices.Clone(parts), whole) {
					list = append(list, joint{part, rest, whole, axis, equal})
				}
			}
		}
	}
	return list
}

// A boxing lists the contents of one kind of sheet, from small sets to large
// ones: for each the least boxes of every form, made of two boxes of smaller
// sets. What cannot be part of any plan within the limits is left out, see
// valuation.
type boxing struct {
	*exact
	kind    int
	joints  []joint
	known   map[set]*content
	byCount [][]*content // by number of copies
}

// contents lists the contents of a kind. It is not ok when the work ran out.
func (e *exact) contents(ctx context.Context, kind int) (list []*content, ok bool) {
	b := &boxing{exact: e, kind: kind, joints: e.m.joints(), known: map[set]*content{}}
	b.byCount = make([][]*content, e.m.copies+1)
	for d, panel := range e.panels {
		c := &content{set: e.one[d], copies: 1, values: e.worthOf[d]}
		for _, p := range e.m.kinds[kind].poses[panel] {
			// Equal, so that both ways to lie are kept: stages may need either.
			if b.isNew(c, 0, p.size, true) {
				b.add(c, 0, &box{size: p.size, panel: panel, turned: p.turned}, true)
			}
		}
	}
	for n := 1; n < len(b.byCount); n++ {
		slices.SortFunc(b.byCount[n], func(x, y *content) int {
			return cmp.Or(cmp.Compare(x.values[0], y.values[0]), cmp.Compare(x.set, y.set))
		})
		for i, x := range b.byCount[n] {
			for o := 1; o < n && o+n <= int(e.m.copies); o++ {
				b.joinAll(x, b.byCount[o])
			}
			b.joinAll(x, b.byCount[n][:i+1])
			if e.work < 0 || ctx.Err() != nil {
				return nil, false
			}
		}
		list = append(list, b.byCount[n]...)
	}
	for _, c := range list {
		c.tree = b.root(c)
	}
	list = slices.DeleteFunc(list, func(c *content) bool { return c.tree == nil })
	for _, c := range list {
		for d, one := range e.one {
			if o := b.known[c.set+one]; e.within(c.set+one, e.full) && o != nil && o.tree != nil {
				c.more |= e.digit[d]
			}
		}
	}
	return list, true
}

// joinAll joins the boxes of x and of each content in a list sorted by area.
func (b *boxing) joinAll(x *content, list []*content) {
	worth := &b.worths[b.kind]
	looked := 0
	for _, y := range list {
		if x.values[0]+y.values[0] > worth[0] || b.work < 0 {
			break
		}
		looked++
		if b.within(x.set+y.set, b.full) {
			b.join(x, y)
		}
	}
	b.work -= int64(looked/4 + 1)
}

func (b *boxing) join(x, y *content) {
	values := x.values.plus(y.values)
	for t, most := range b.worths[b.kind] {
		if values[t] > most {
			return
		}
	}
	whole := b.known[x.set+y.set]
	if whole == nil {
		whole = &content{set: x.set + y.set, copies: x.copies + y.copies, values: values}
	}
	// A split is made once only, of the part with the largest panel and the rest.
	first := b.digit[b.first(whole.set)]
	for _, j := range b.joints {
		if x.set&first != 0 {
			b.joinBoxes(j, x, y, whole)
		}
		if y.set&first != 0 && x != y {
			b.joinBoxes(j, y, x, whole)
		}
	}
}

func (b *boxing) joinBoxes(j joint, x, y, whole *content) {
	kind := &b.m.kinds[b.kind]
	usable := kind.usable
	for _, part := range x.boxes[j.part] {
		if part.panel == none && part.axis == j.axis {
			continue // it is no part but several, and joined one by one
		}
		b.work -= int64(len(y.boxes[j.rest]))
		for _, rest := range y.boxes[j.rest] {
			if j.equal && part.size[1-j.axis] != rest.size[1-j.axis] {
				continue
			}
			s := size{}
			s[j.axis] = part.size[j.axis] + rest.size[j.axis]
			s[1-j.axis] = max(part.size[1-j.axis], rest.size[1-j.axis])
			if s[j.axis] <= usable[j.axis] && !kind.tooLong(j.axis, s) && b.isNew(whole, j.whole, s, j.equal) {
				b.add(whole, j.whole, &box{s, none, false, j.axis, part, rest}, j.equal)
			}
		}
	}
}

// isNew tells whether a box of some size adds to those of a content and form,
// and can be part of a plan. Where sizes across must be equal, larger ones
// count too.
func (b *boxing) isNew(c *content, form int, s size, equal bool) bool {
	b.work -= 5
	if c.boxes != nil {
		b.work -= int64(len(c.boxes[form]) / 2)
		for _, o := range c.boxes[form] {
			if o.size == s || !equal && o.size[0] <= s[0] && o.size[1] <= s[1] {
				return false
			}
		}
	}
	return !b.wasteful(b.kind, s, c.values)
}

// add adds a box to a content, and drops those that are no smaller.
func (b *boxing) add(c *content, form int, x *box, equal bool) {
	b.work -= 20
	if c.boxes == nil {
		c.boxes = make([][]*box, 1+2*b.m.problem.Stages)
		b.known[c.set] = c
		b.byCount[c.copies] = append(b.byCount[c.copies], c)
		b.work -= 60
	}
	if !equal {
		c.boxes[form] = slices.DeleteFunc(c.boxes[form], func(o *box) bool {
			return x.size[0] <= o.size[0] && x.size[1] <= o.size[1]
		})
	}
	c.boxes[form] = append(c.boxes[form], x)
}

// root is a box of the content that is a cut tree on an empty sheet, or nil.
func (b *boxing) root(c *content) *box {
	if c.copies == 1 || b.m.problem.Stages == 0 {
		return firstOf(c.boxes[0])
	}
	for axis := range 2 {
		base := b.m.kinds[b.kind].base(axis)
		if base > b.m.problem.Stages {
			continue
		}
		for _, x := range c.boxes[b.m.form(axis, base)] {
			if base > 1 || b.m.problem.Stages > 1 || b.m.problem.TrimCut || x.size[1-axis] == b.m.kinds[b.kind].usable[1-axis] {
				return x
			}
		}
	}
	return nil
}

func firstOf(list []*box) *box {
	if len(list) == 0 {
		return nil
	}
	return list[0]
}

// grow makes the nodes of a box and returns the topmost.
func (b *board) grow(m *model, x *box) int32 {
	if x.panel != none {
		b.load += m.weight[x.panel]
		return b.newNode(node{size: x.size, panel: x.panel, turned: x.turned, up: none, first: none, next: none})
	}
	v := b.newNode(node{panel: none, axis: int8(x.axis), up: none, first: none, next: none})
	b.growParts(m, v, x)
	return v
}

// growParts gives the parts of x, and of boxes in it split along the same
// axis, to node v.
func (b *board) growParts(m *model, v int32, x *box) {
	for _, p := range []*box{x.part, x.rest} {
		if p.panel == none && p.axis == x.axis {
			b.growParts(m, v, p)
		} else {
			b.adopt(v, b.grow(m, p))
		}
	}
}
