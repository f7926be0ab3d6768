package truth

import (
	"math"

	"sawbill/internal/job"
)

// saw is how pieces lie in bars of one material.
type saw struct {
	items       []item
	cuts        [][2]int64 // of the left and right end of each item, along the bar
	left, right int64      // trims of a bar's own ends
	tail        int64      // lost at the right end of every part
	runs        map[string]int64
}

const never = math.MaxInt64 / 4

// barForms lists what a bar can hold: whole, or where it is too long to be
// carried and is cut at home, for each number of parts.
func barForms(items []item, demand []int64, p job.Process, o job.Offer, l load, first int64) []form {
	s := &saw{
		items: items, left: int64(p.TrimLeft), right: int64(p.TrimRight), tail: int64(p.Tail),
		runs: map[string]int64{},
	}
	for _, it := range items {
		s.cuts = append(s.cuts, [2]int64{slant(int64(p.Kerf), it.left), slant(int64(p.Kerf), it.right)})
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

// part is the least length that a content takes of a part, trims not counted:
// over all orders, the pieces, the wider of the two cuts where two ends meet, and
// with a tail the last cut and the tail.
func (s *saw) part(content []int64) int64 {
	if total(content) == 0 {
		return 0
	}
	least := int64(never)
	for i, n := range content {
		if n > 0 {
			content[i]--
			least = min(least, s.items[i].length+s.after(i, content))
			content[i]++
		}
	}
	return least
}

// after is the least length behind a piece of item last.
func (s *saw) after(last int, content []int64) int64 {
	key := name(append([]int64{int64(last)}, content...))
	if known, ok := s.runs[key]; ok {
		return known
	}
	least := int64(never)
	for i, n := range content {
		if n > 0 {
			content[i]--
			least = min(least, max(s.cuts[last][1], s.cuts[i][0])+s.items[i].length+s.after(i, content))
			content[i]++
		}
	}
	if least == never {
		least = 0
		if s.tail > 0 {
			least = s.cuts[last][1] + s.tail
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
