package truth

import (
	"math"

	"sawbill/internal/job"
	"sawbill/internal/section"
)

// saw is how pieces lie in bars of one material.
type saw struct {
	items       []item
	ways        [][][2]edge // the ends of each item, left and right, in every way it may lie
	nested      bool        // mitres share cuts
	left, right int64       // trims of a bar's own ends
	tail        int64       // lost at the right end of every part
	runs        map[string]int64
}

// edge is an end as it lies: what its cut takes along the bar, where it meets the lower
// and the upper edge of the side that it is laid on, behind the tip of the end, and
// whether that is the wide side.
type edge struct {
	cut, low, up int64
	wide         bool
}

const never = math.MaxInt64 / 4

// barForms lists what a bar can hold: whole, or where it is too long to be
// carried and is cut at home, for each number of parts.
func barForms(items []item, demand []int64, p job.Process, m job.Material, o job.Offer, l load, first int64) []form {
	s := &saw{
		items: items, left: int64(p.TrimLeft), right: int64(p.TrimRight), tail: int64(p.Tail),
		runs: map[string]int64{},
	}
	s.nested = p.SharedMitres && (!p.OneWay || m.Section.Shape == section.SquareTube || m.Section.Shape == section.RectTube || m.Section.Shape == section.Flat)
	for _, it := range items {
		s.ways = append(s.ways, lies(it, int64(p.Kerf), m, s.nested))
	}
	whole := int64(o.Length)
	uncut := form{}
	pieces := int64(0) // the most that one bar holds
	submultisets(demand, func(c []int64) bool {
		return s.left+s.part(c)+s.right <= whole
	}, func(c []int64) {
		uncut.contents = append(uncut.contents, c)
		pieces = max(pieces, total(c))
	})
	if l.long == 0 {
		return []form{uncut}
	}
	if p.BySupplier {
		carried := form{}
		submultisets(demand, func(c []int64) bool {
			for i, n := range c {
				if n > 0 && items[i].length > l.long {
					return false
				}
			}
			return s.left+s.part(c)+s.right <= whole
		}, func(c []int64) { carried.contents = append(carried.contents, c) })
		return []form{carried}
	}
	if whole <= l.long {
		return []form{uncut}
	}
	least := int64(1)
	for least*l.long+(least-1)*first < whole {
		least++
	}
	s.nested, s.runs = false, map[string]int64{} // bars cut at the yard share none
	var forms []form
	met := map[string]bool{}
	for parts := least; parts <= least+pieces; parts++ {
		f := form{cuts: parts - 1}
		known := map[string]int64{}
		submultisets(demand, func(c []int64) bool {
			return met[name(c)] || s.parted(c, parts, true, l.long, known)+(parts-1)*first <= whole
		}, func(c []int64) {
			if !met[name(c)] {
				met[name(c)] = true
				f.contents = append(f.contents, c)
			}
		})
		if len(f.contents) > 0 {
			forms = append(forms, f)
		}
	}
	return forms
}

// slant is the length of bar that a blade takes at an angle in thousandths of a
// degree from square, in whole units, rounded up.
func slant(kerf, angle int64) int64 {
	if angle == 0 {
		return kerf
	}
	return int64(math.Ceil(float64(kerf)/math.Cos(float64(angle)*math.Pi/180_000) - 1e-6))
}

// lies lists the ends of an item in the ways it may lie. flips says of a way whether the
// tips on the narrow and on the wide side change their edges.
func lies(it item, kerf int64, m job.Material, free bool) [][2]edge {
	end := func(angle int64, wide bool, flips [2]bool, exchanged bool) edge {
		face, flip := m.Section.OuterWidth(), flips[0]
		if wide {
			face, flip = m.Section.OuterHeight(), flips[1]
		}
		e := edge{cut: slant(kerf, angle), wide: wide != exchanged}
		in := int64(math.Floor(float64(face)*math.Tan(math.Abs(float64(angle))*math.Pi/180_000) + 1e-6))
		if angle > 0 != flip {
			e.up = in
		} else {
			e.low = in
		}
		return e
	}
	var list [][2]edge
	way := func(turned, flipNarrow, flipWide, exchanged bool) {
		flips := [2]bool{flipNarrow, flipWide}
		l, r := end(it.left, it.wide[0], flips, exchanged), end(it.right, it.wide[1], flips, exchanged)
		if turned {
			l, r = r, l
		}
		list = append(list, [2]edge{l, r})
	}
	way(false, false, false, false)
	if !free {
		return list
	}
	switch s := m.Section; s.Shape {
	case section.SquareTube:
		way(true, true, false, false)
		if !m.GoodSide {
			way(false, true, true, false)
			way(true, false, true, false)
		}
	case section.RectTube, section.Flat:
		way(true, false, true, false)
		if !m.GoodSide {
			way(false, true, true, false)
			way(true, true, false, false)
		}
	case section.Channel:
		way(true, false, true, false)
	case section.Angle:
		if s.Width == s.Height && !m.GoodSide {
			way(true, false, false, true)
		}
	}
	return list
}

// between is the least distance of two tips that meet.
func (s *saw) between(right, left edge) int64 {
	k := max(right.cut, left.cut)
	if s.nested && right.wide == left.wide {
		k -= min(right.low+left.low, right.up+left.up)
	}
	return k
}

// part is the least length that a content takes of a part, trims not counted: over
// all orders and ways to lie, the pieces, what lies between two ends that meet, and
// with a tail the last cut and the tail.
func (s *saw) part(content []int64) int64 {
	if total(content) == 0 {
		return 0
	}
	least := int64(never)
	for i, n := range content {
		if n > 0 {
			content[i]--
			for way := range s.ways[i] {
				least = min(least, s.items[i].length+s.after(i, way, content))
			}
			content[i]++
		}
	}
	return least
}

// after is the least length behind a piece of item last that lies in a way.
func (s *saw) after(last, way int, content []int64) int64 {
	key := name(append([]int64{int64(last), int64(way)}, content...))
	if known, ok := s.runs[key]; ok {
		return known
	}
	right := s.ways[last][way][1]
	least := int64(never)
	for i, n := range content {
		if n > 0 {
			content[i]--
			for next, ends := range s.ways[i] {
				least = min(least, s.between(right, ends[0])+s.items[i].length+s.after(i, next, content))
			}
			content[i]++
		}
	}
	if least == never {
		least = 0
		if s.tail > 0 {
			least = right.cut + s.tail
		}
	}
	s.runs[key] = least
	return least
}

// parted is the least that a content takes of a bar in so many parts, none longer
// than the load, cuts at the yard not counted; never when it cannot be.
func (s *saw) parted(content []int64, parts int64, first bool, load int64, known map[string]int64) int64 {
	ends := int64(0)
	if first {
		ends += s.left
	}
	if parts == 1 {
		if need := ends + s.part(content) + s.right; need <= load {
			return need
		}
		return never
	}
	key := name(append([]int64{parts}, content...))
	if first {
		key += "first"
	}
	if least, ok := known[key]; ok {
		return least
	}
	least := int64(never)
	rest := make([]int64, len(content))
	try := func(c []int64) {
		if need := ends + s.part(c); need <= load {
			for i := range rest {
				rest[i] = content[i] - c[i]
			}
			least = min(least, need+s.parted(append([]int64(nil), rest...), parts-1, false, load, known))
		}
	}
	try(make([]int64, len(content)))
	submultisets(content, func(c []int64) bool { return ends+s.part(c) <= load }, try)
	known[key] = least
	return least
}

func total(content []int64) int64 {
	var n int64
	for _, c := range content {
		n += c
	}
	return n
}
