package nest1d

import (
	"cmp"
	"math/bits"
	"slices"
)

// Cuts with all multipliers a half and any number of items (Caprara and Fischetti,
// Mathematical Programming 74 (1996) 221–235): when a set of items has an odd sum
// of demands and every column of the solution an even number of their copies, the
// solution has half a bar too many for them. Such sets are what is left when rows
// are eliminated modulo 2, the columns of greatest value first (Koster, Zymolka and
// Kutschka, Algorithmica 55 (2009) 375–391).

// halfItems caps the items of such a cut: with more, knapsacks take too long.
const halfItems = 60

// parity is a sum of items modulo 2.
type parity struct {
	items []uint64 // that it adds up
	odd   []uint64 // columns with an odd number of their copies
	size  int      // of items
	need  bool     // their demands are odd
	used  bool
}

func (a *parity) add(b *parity) {
	a.size = 0
	for w := range a.items {
		a.items[w] ^= b.items[w]
		a.size += bits.OnesCount64(a.items[w])
	}
	for w := range a.odd {
		a.odd[w] ^= b.odd[w]
	}
	a.need = a.need != b.need
}

func isSet(b []uint64, i int) bool { return b[i/64]>>(i%64)&1 == 1 }

// halves tries the sets that elimination leaves.
func (s *separator) halves() {
	columns := make([]int, len(s.used))
	for j := range columns {
		columns[j] = j
	}
	slices.SortStableFunc(columns, func(a, b int) int { return cmp.Compare(s.used[b].value, s.used[a].value) })
	rows := make([]parity, len(s.need))
	for i := range rows {
		rows[i] = parity{items: make([]uint64, len(rows)/64+1), odd: make([]uint64, len(columns)/64+1), size: 1, need: s.need[i]%2 == 1}
		rows[i].items[i/64] |= 1 << (i % 64)
		for _, h := range s.with[i] {
			if h.count%2 == 1 {
				rows[i].odd[h.column/64] |= 1 << (h.column % 64)
			}
		}
		rows[i].used = len(s.with[i]) == 0
	}
	for _, j := range columns {
		pivot := -1
		for i := range rows {
			if !rows[i].used && isSet(rows[i].odd, j) && (pivot < 0 || rows[i].size < rows[pivot].size) {
				pivot = i
			}
		}
		if pivot < 0 {
			continue
		}
		rows[pivot].used = true
		for i := range rows {
			if !rows[i].used && isSet(rows[i].odd, j) {
				rows[i].add(&rows[pivot])
			}
		}
		s.work.count(int64(len(rows)*(len(rows)+len(columns))) / 512)
	}
	for i := range rows {
		if rows[i].used || !rows[i].need || rows[i].size > halfItems {
			continue
		}
		var items []int32
		for x := range rows {
			if isSet(rows[i].items, x) {
				items = append(items, int32(x))
			}
		}
		s.try(items, slices.Repeat([]int64{1}, len(items)), 2)
	}
}
