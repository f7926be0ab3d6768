package truth

import (
	"fmt"
	"slices"

	"sawbill/internal/job"
)

// shear is how panels lie on sheets of one material: any edge-to-edge cuts.
type shear struct {
	items []item
	kerf  int64
	grain bool
	load  load
	boxes map[string][]box
	known map[string]int64 // of yard and row
}

// box is a rectangle out of which a content can be cut without any leftover
// that a smaller one would not have.
type box struct{ long, wide int64 }

// sheetForms lists what a sheet can hold, by the cuts that the yard must make.
func sheetForms(items []item, demand []int64, p job.Process, m job.Material, o job.Offer, l load) []form {
	s := &shear{items: items, kerf: int64(p.Kerf), grain: m.Grain, load: l, boxes: map[string][]box{}, known: map[string]int64{}}
	long := int64(o.Length - p.TrimLeft - p.TrimRight)
	wide := int64(o.Width - p.TrimBottom - p.TrimTop)
	byCuts := map[int64]*form{}
	submultisets(demand, func(c []int64) bool {
		return s.fits(c, long, wide) && (l.long == 0 || s.carried(c))
	}, func(c []int64) {
		cuts := int64(0)
		if !p.BySupplier && l.long > 0 {
			if cuts = s.yard(c, long, wide, 0); cuts >= never {
				return
			}
		}
		if byCuts[cuts] == nil {
			byCuts[cuts] = &form{cuts: cuts}
		}
		byCuts[cuts].contents = append(byCuts[cuts].contents, c)
	})
	var forms []form
	for cuts := int64(0); len(forms) < len(byCuts); cuts++ {
		if f := byCuts[cuts]; f != nil {
			forms = append(forms, *f)
		}
	}
	return forms
}

// carried says that no panel is larger than the load.
func (s *shear) carried(content []int64) bool {
	for i, n := range content {
		if n > 0 && !s.load.carries(s.items[i].length, s.items[i].width) {
			return false
		}
	}
	return true
}

// rectangles lists every box of a content: one panel either way, or two boxes
// side by side or one above the other, a kerf apart.
func (s *shear) rectangles(content []int64) []box {
	key := name(content)
	if known, ok := s.boxes[key]; ok {
		return known
	}
	var list []box
	add := func(b box) {
		if !slices.Contains(list, b) {
			list = append(list, b)
		}
	}
	if total(content) == 1 {
		it := s.items[slices.Index(content, 1)]
		add(box{it.length, it.width})
		if it.turn && !s.grain {
			add(box{it.width, it.length})
		}
	} else {
		s.halves(content, func(a, b []int64) {
			for _, x := range s.rectangles(a) {
				for _, y := range s.rectangles(b) {
					add(box{x.long + s.kerf + y.long, max(x.wide, y.wide)})
					add(box{max(x.long, y.long), x.wide + s.kerf + y.wide})
				}
			}
		})
	}
	s.boxes[key] = list
	return list
}

// halves divides a content into two that are not empty; the first holds a copy
// of the first item that there is.
func (s *shear) halves(content []int64, visit func(a, b []int64)) {
	first := slices.IndexFunc(content, func(n int64) bool { return n > 0 })
	all := total(content)
	submultisets(content, func([]int64) bool { return true }, func(a []int64) {
		if a[first] == 0 || total(a) == all {
			return
		}
		b := slices.Clone(content)
		for i := range b {
			b[i] -= a[i]
		}
		visit(a, b)
	})
}

func (s *shear) fits(content []int64, long, wide int64) bool {
	return slices.ContainsFunc(s.rectangles(content), func(b box) bool { return b.long <= long && b.wide <= wide })
}

// yard is the least number of cuts made in parts larger than the load, so that
// everything can be carried. Before is the direction (1 along, 2 across) of the
// cuts that made the part, 0 for the sheet.
func (s *shear) yard(content []int64, long, wide int64, before int) int64 {
	if !s.fits(content, long, wide) {
		return never
	}
	if s.load.carries(long, wide) {
		return 0
	}
	key := fmt.Sprint("part", content, long, wide, before)
	if known, ok := s.known[key]; ok {
		return known
	}
	least := int64(never)
	for direction := 1; direction <= 2; direction++ {
		if direction == before {
			continue
		}
		room := long
		if direction == 1 {
			room = wide
		}
		// A row of n parts takes n − 1 cuts.
		if n := s.row(content, room, long, wide, direction, true); n < never {
			least = min(least, n-1)
		}
	}
	s.known[key] = least
	return least
}

// row is the least number of parts, a leftover included, plus the cuts in them,
// with which a content is parted from what is left of a row.
func (s *shear) row(content []int64, room, long, wide int64, direction int, first bool) int64 {
	part := func(c []int64, size int64) int64 {
		if direction == 1 {
			return s.yard(c, long, size, direction)
		}
		return s.yard(c, size, wide, direction)
	}
	key := fmt.Sprint("row", content, room, long, wide, direction, first)
	if known, ok := s.known[key]; ok {
		return known
	}
	least := int64(never)
	sizes := func(c []int64) []int64 {
		var list []int64
		for _, b := range s.rectangles(c) {
			size := b.long
			if direction == 1 {
				size = b.wide
			}
			if size <= room && !slices.Contains(list, size) {
				list = append(list, size)
			}
		}
		return list
	}
	for _, size := range sizes(content) {
		n := int64(1)
		if room-size > s.kerf {
			n = 2
		} else if size == room && first {
			continue // no cut at all
		}
		least = min(least, n+part(content, size))
	}
	if !first {
		least = min(least, 1+part(content, room)) // it takes what is left
	}
	// Whichever part comes last may take what is left, so all divisions count.
	all := total(content)
	submultisets(content, func([]int64) bool { return true }, func(a []int64) {
		if total(a) == all {
			return
		}
		b := slices.Clone(content)
		for i := range b {
			b[i] -= a[i]
		}
		for _, size := range sizes(a) {
			if left := room - size - s.kerf; left > 0 {
				least = min(least, 1+part(a, size)+s.row(b, left, long, wide, direction, false))
			}
		}
	})
	s.known[key] = min(least, never)
	return s.known[key]
}
