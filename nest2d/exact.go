package nest2d

import (
	"context"
	"math"
	"math/bits"
)

// Few panels are planned by enumeration: for every kind of sheet and every
// set of panels, is there a cut tree; then the cheapest partition of all
// panels into such sets. Sets are bit masks over single copies. For every set
// the least sizes of its trees are kept, those that no other is below in both
// directions, built from the least sizes of its subsets: O(3ⁿ) pairs of sets.

// mostEnumerated is the number of copies up to which a problem is enumerated.
const mostEnumerated = 9

// A box is a cut tree, known by its least size: a panel, or a part and the
// rest of the parts beside it along an axis.
type box struct {
	size       size
	panel      int32
	turned     bool
	axis       int
	part, rest *box
}

// An enumeration is of one kind of sheet.
type enumeration struct {
	m      *model
	kind   *kind
	copies []int32 // the panel of each bit
	splits map[splitKey][]*box
}

type splitKey struct {
	set, axis, stage int
}

// split lists the least boxes of a set of two and more panels that is parted
// on an axis by cuts of the given stage.
func (e *enumeration) split(set, axis, stage int) []*box {
	limit := e.m.problem.Stages
	if limit > 0 && stage > limit {
		return nil
	}
	if limit == 0 {
		stage = 0
	}
	key := splitKey{set, axis, stage}
	if list, ok := e.splits[key]; ok {
		return list
	}
	equal := limit > 0 && stage == limit && !e.m.problem.TrimCut
	var list []*box
	low := set & -set
	others := set &^ low
	// Every part with the lowest bit, the whole set excepted.
	for sub := (others - 1) & others; ; sub = (sub - 1) & others {
		set1, set2 := sub|low, others&^sub
		for _, a := range e.part(set1, axis, stage) {
			for _, b := range e.rest(set2, axis, stage) {
				if equal && a.size[1-axis] != b.size[1-axis] {
					continue
				}
				s := size{}
				s[axis] = a.size[axis] + b.size[axis]
				s[1-axis] = max(a.size[1-axis], b.size[1-axis])
				if s[axis] <= e.kind.usable[axis] {
					list = addBox(list, &box{size: s, panel: none, axis: axis, part: a, rest: b}, equal)
				}
			}
		}
		if sub == 0 {
			break
		}
	}
	e.splits[key] = list
	return list
}

// part lists the least boxes of a set that is one part of a split on an axis.
func (e *enumeration) part(set, axis, stage int) []*box {
	if set&(set-1) != 0 {
		return e.split(set, 1-axis, stage+1)
	}
	return e.single(set)
}

// rest lists the least boxes of a set that is one or several parts of a split.
func (e *enumeration) rest(set, axis, stage int) []*box {
	if set&(set-1) == 0 {
		return e.single(set)
	}
	return append(append([]*box(nil), e.part(set, axis, stage)...), e.split(set, axis, stage)...)
}

func (e *enumeration) single(set int) []*box {
	panel := e.copies[bits.TrailingZeros(uint(set))]
	var list []*box
	for _, p := range e.kind.poses[panel] {
		list = append(list, &box{size: p.size, panel: panel, turned: p.turned})
	}
	return list
}

// addBox adds a box unless one in the list is as small; it drops those that
// are no smaller. Where sizes across must be equal, larger ones count too.
func addBox(list []*box, b *box, equal bool) []*box {
	keep := list[:0]
	for _, o := range list {
		if o.size == b.size || !equal && o.size[0] <= b.size[0] && o.size[1] <= b.size[1] {
			return list
		}
	}
	for _, o := range list {
		if equal || b.size[0] > o.size[0] || b.size[1] > o.size[1] {
			keep = append(keep, o)
		}
	}
	return append(keep, b)
}

// tree is a cut tree of the set on an empty sheet, or nil.
func (e *enumeration) tree(set int) *box {
	if set&(set-1) == 0 {
		for _, b := range e.single(set) {
			return b
		}
		return nil
	}
	p := e.m.problem
	for axis := range 2 {
		base := e.m.base(axis)
		across := base == 1 && p.Stages == 1 && !p.TrimCut
		for _, b := range e.split(set, axis, base) {
			if b.size[axis] <= e.kind.usable[axis] && b.size[1-axis] <= e.kind.usable[1-axis] &&
				(!across || b.size[1-axis] == e.kind.usable[1-axis]) {
				return b
			}
		}
	}
	return nil
}

// A stock is how a set of panels is best bought with the sheets seen so far.
type stock struct {
	cost   int64
	sheets int
	tree   *box // of the last sheet; nil if the last round added none
	set    int  // on the last sheet
	kind   int
}

// enumerate finds a plan of least cost, among these of fewest sheets, or
// proves that there is none and returns nil. Sheets dearer than a known plan
// are left out. It gives up, and is then not done, when the context ends.
func (s *search) enumerate(ctx context.Context, known int64) (d *draft, done bool) {
	m := s.m
	var copies []int32
	for i, a := range m.problem.Panels {
		for range a.Demand {
			copies = append(copies, int32(i))
		}
	}
	all := 1<<len(copies) - 1
	rounds := [][]stock{make([]stock, all+1)}
	for set := 1; set <= all; set++ {
		rounds[0][set] = stock{cost: math.MaxInt64}
	}
	for k := range m.kinds {
		if m.kinds[k].supply == 0 || m.kinds[k].price > known {
			continue
		}
		if ctx.Err() != nil {
			return nil, false
		}
		e := &enumeration{m, &m.kinds[k], copies, make(map[splitKey][]*box)}
		trees := make([]*box, all+1)
		for set := 1; set <= all; set++ {
			trees[set] = e.tree(set)
		}
		for range m.kinds[k].supply {
			next, better := oneMore(rounds[len(rounds)-1], trees, k, m.kinds[k].price)
			if !better {
				break
			}
			rounds = append(rounds, next)
		}
	}
	if rounds[len(rounds)-1][all].cost == math.MaxInt64 {
		return nil, true
	}
	d = &draft{used: make([]int64, len(m.kinds))}
	for set := all; set != 0; rounds = rounds[:len(rounds)-1] {
		last := rounds[len(rounds)-1][set]
		if last.tree == nil {
			continue
		}
		b := &board{}
		b.reset(last.kind)
		b.root = b.grow(m, last.tree)
		b.measure(m)
		d.addBoard(m, b)
		set &^= last.set
	}
	return d, true
}

// oneMore lets every set buy one more sheet of a kind, if that is better.
func oneMore(before []stock, trees []*box, kind int, price int64) (after []stock, better bool) {
	after = make([]stock, len(before))
	for set := range before {
		best := before[set]
		best.tree = nil
		for sub := set; sub != 0; sub = (sub - 1) & set {
			from := before[set&^sub]
			if trees[sub] == nil || from.cost == math.MaxInt64 {
				continue
			}
			cost, sheets := from.cost+price, from.sheets+1
			if cost < best.cost || cost == best.cost && sheets < best.sheets {
				best = stock{cost, sheets, trees[sub], sub, kind}
				better = true
			}
		}
		after[set] = best
	}
	return after, better
}

// grow makes the nodes of a box and returns the topmost.
func (b *board) grow(m *model, x *box) int32 {
	if x.panel != none {
		b.load += m.weight[x.panel]
		return b.newNode(node{size: x.size, panel: x.panel, turned: x.turned, up: none, first: none, next: none})
	}
	v := b.newNode(node{panel: none, axis: int8(x.axis), up: none, first: none, next: none})
	for {
		b.adopt(v, b.grow(m, x.part))
		if x.rest.panel != none || x.rest.axis != x.axis {
			b.adopt(v, b.grow(m, x.rest))
			return v
		}
		x = x.rest
	}
}
