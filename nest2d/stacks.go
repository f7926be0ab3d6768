package nest2d

import (
	"cmp"
	"math"
	"slices"
)

// In three stages a strip is parted into stacks, and these into panels (Puchinger &
// Raidl 2007). That is three knapsacks along a line, one in the other. A stack is as
// wide as its widest panel, with an exact number of stages as all of them; a strip
// may have any sum of panels for its thickness, of which only some are tried: so
// the program gives plans and no bound.
//
// J. Puchinger & G. R. Raidl, "Models and algorithms for three-stage two-dimensional
// bin packing", European Journal of Operational Research 183 (2007) 1304–1327.

// A width is that of stacks, with the panels that are as wide.
type width struct {
	width int64
	lanes []lane
}

// turnsOfLevels is the number of rounds in which all levels have their turn.
const turnsOfLevels = 4

// mostSums is how many thicknesses of strips are tried in a slicing.
const mostSums = 160

// stacked makes the strips of a slicing hold stacks: panels are sorted by width, and
// levels are sums of their sizes along the axis.
func (m *model) stacked(s *slicing, units int64) {
	kind := &m.kinds[s.kind]
	copies := map[int64]int64{}
	var single []int64
	for _, l := range s.levels {
		single = append(single, l.thickness)
		for _, a := range l.lanes {
			copies[l.thickness] += m.problem.Panels[a.panel].Demand
			at, met := slices.BinarySearchFunc(s.widths, a.length, func(w width, l int64) int { return cmp.Compare(w.width, l) })
			if !met {
				s.widths = slices.Insert(s.widths, at, width{width: a.length})
			}
			s.widths[at].lanes = append(s.widths[at].lanes, a)
		}
	}
	type sum struct{ thickness, copies int64 }
	var sums []sum
	for i, a := range single {
		for n := int64(2); n*a <= kind.usable[s.axis] && n <= copies[a]; n++ {
			sums = append(sums, sum{n * a, copies[a] / n})
		}
		for _, b := range single[:i] {
			if a+b <= kind.usable[s.axis] {
				sums = append(sums, sum{a + b, min(copies[a], copies[b])})
			}
		}
	}
	slices.SortStableFunc(sums, func(a, b sum) int { return cmp.Compare(b.copies, a.copies) })
	thick := slices.Clone(single)
	for _, x := range sums {
		if len(thick) >= mostSums {
			break
		}
		if !slices.Contains(thick, x.thickness) {
			thick = append(thick, x.thickness)
		}
	}
	slices.Sort(thick)
	s.levels = nil
	for _, t := range thick {
		s.levels = append(s.levels, level{thickness: t})
	}
	s.across = newRuler(thick, kind.usable[s.axis], units)
}

// fillStacks works out what strips of a slicing hold at best. Copies are limited in
// each stack alone, and by how often it can be made.
func (g *staging) fillStacks(s *slicing, f *sliced, worth []int64) {
	before := f.row.work
	f.row.forget()
	f.row.empty(s.across.whole)
	f.lanes, f.marks, f.values, f.stacks = f.lanes[:0], f.marks[:0], f.values[:0], f.stacks[:0]
	for i, w := range s.widths {
		if g.exact && i > 0 {
			f.row.empty(s.across.whole)
		}
		for _, a := range w.lanes {
			f.row.add(len(f.lanes), s.across.up(a.pose.size[s.axis]), worth[a.panel], g.wanted[a.panel])
			f.lanes = append(f.lanes, a)
		}
		f.marks = append(f.marks, f.row.mark())
		values := make([]int64, len(s.levels))
		for t, l := range s.levels {
			values[t] = f.row.best[s.across.up(l.thickness)]
		}
		f.stacks = append(f.stacks, values)
	}
	g.work -= f.row.work - before
	for t := range s.levels {
		// What is worth no more than its room need not be known.
		if len(f.room) > 0 && (t%turnsOfLevels != g.turn%turnsOfLevels || s.most(f, t) <= f.room[t]) {
			f.values = append(f.values, f.room[t])
			continue
		}
		f.values = append(f.values, g.setStacks(s, t, f))
	}
}

// most is more than stacks along a strip of a level are worth, or as much.
func (s *slicing) most(f *sliced, t int) int64 {
	most := 0.0
	for i, w := range s.widths {
		most = max(most, float64(f.stacks[i][t])/float64(w.width))
	}
	return int64(math.Ceil(float64(most * float64(s.along.unit*(s.along.whole+1)))))
}

// setStacks sets stacks along a strip of a level and returns their value.
func (g *staging) setStacks(s *slicing, t int, f *sliced) int64 {
	before := f.line.work
	f.line.forget()
	f.line.empty(s.along.whole)
	last := int64(0)
	for i, w := range s.widths {
		v := f.stacks[i][t]
		if v <= last && !g.exact || v <= 0 {
			continue
		}
		last = v
		f.line.add(i, s.along.up(w.width), v, g.repeats(s, f, i, t))
	}
	g.work -= f.line.work - before
	return f.line.value()
}

// stack lists the panels of the best stack of a width in strips of a level.
func (g *staging) stack(s *slicing, f *sliced, i, t int, yield func(lane)) {
	length := func(good int) int64 { return s.across.up(f.lanes[good].pose.size[s.axis]) }
	f.row.goodsWithin(s.across.up(s.levels[t].thickness), f.marks[i], length, func(good int) { yield(f.lanes[good]) })
}

// repeats is how often the best stack can be made of the copies that are wanted.
func (g *staging) repeats(s *slicing, f *sliced, i, t int) int64 {
	counts := map[int]int64{}
	least := g.still
	g.stack(s, f, i, t, func(l lane) {
		counts[l.panel]++
		least = min(least, g.wanted[l.panel]/counts[l.panel])
	})
	return max(least, 1)
}

// stackedStrip is the strip of greatest worth at a level, without copies that are not
// wanted or do not fit when lengths are measured exactly.
func (g *staging) stackedStrip(at, level int, f *sliced) strip {
	s := &g.slicings[at]
	g.setStacks(s, level, f)
	t := strip{slicing: at, stacks: []int{}}
	left := map[int]int64{}
	thickness := int64(0)
	f.line.goods(f.line.mark(), func(i int) int64 { return s.along.up(s.widths[i].width) }, func(i int) {
		n, sum := 0, int64(0)
		g.stack(s, f, i, level, func(l lane) {
			used := left[l.panel]
			if used == g.wanted[l.panel] || sum+l.pose.size[s.axis] > s.levels[level].thickness {
				return
			}
			left[l.panel] = used + 1
			t.lanes = append(t.lanes, l)
			sum += l.pose.size[s.axis]
			n++
		})
		if n > 0 {
			t.stacks = append(t.stacks, n)
			thickness = max(thickness, sum)
		}
	})
	for s.levels[t.level].thickness < thickness {
		t.level++
	}
	return t
}

// inStacks sets boxes above each other, so many at a time.
func inStacks(axis int, panels []*box, stacks []int) []*box {
	var list []*box
	for _, n := range stacks {
		list = append(list, inRow(axis, panels[:n]))
		panels = panels[n:]
	}
	return list
}

// seed adds the strips and sheets of a program of two stages.
func (g *staging) seed(from *staging) {
	for _, c := range from.columns {
		switch {
		case c.strip >= 0:
			s := from.strips[c.strip]
			s.level = g.levelOf(from, s.slicing, s.level)
			s.stacks = slices.Repeat([]int{1}, len(s.lanes))
			g.addStrip(s)
		case c.parting >= 0:
			p := parting{slicing: from.partings[c.parting].slicing}
			for _, t := range from.partings[c.parting].levels {
				p.levels = append(p.levels, g.levelOf(from, p.slicing, t))
			}
			g.addParting(p)
		}
	}
}

func (g *staging) levelOf(from *staging, slicing, at int) int {
	return slices.IndexFunc(g.slicings[slicing].levels, func(l level) bool {
		return l.thickness == from.slicings[slicing].levels[at].thickness
	})
}
