package nest1d

import "slices"

// How pieces lie in a bar is settled here and nowhere else.
//
//	|TrimLeft|piece|kerf|piece|kerf| ... |piece|kerf| offcut ...       |
//	0                                          end       Tail|TrimRight|
//
// The first piece starts at TrimLeft. Between neighbours lies the larger of the
// two kerfs of the ends that meet, less what their slants overlap (nest.go). The last piece is parted by the kerf of its
// right end; without a tail that last kerf is not needed when what remains of
// the bar is shorter than it. Of bars that are cut into parts first see parts.go.

// Capacity is the length that pieces and the kerfs between them may fill. It is
// negative when the trims and the tail leave nothing of the bar. In a bar that is
// parted first cuts count as kerfs.
func (s Stock) Capacity() int64 {
	return s.Length - s.TrimLeft - s.TrimRight - s.Tail
}

// End is the position of the right tip of the last piece, TrimLeft if none.
func (s Stock) End(pieces []Piece, places []Place) int64 {
	if len(places) == 0 {
		return s.TrimLeft
	}
	last := places[len(places)-1]
	return last.At + pieces[last.Piece].Length
}

// Offcut is the length that remains right of the last kerf, trim and tail
// included, for the saw has no use for them but the rack may. It is never
// negative. A bar without pieces remains whole. Of a bar that is parted by the
// given cuts it is the longest that remains of one part.
func (s Stock) Offcut(pieces []Piece, places []Place, cuts ...int64) int64 {
	if s.parted() {
		var longest int64
		parts, held, _ := s.cutParts(pieces, places, cuts)
		for j, p := range parts {
			longest = max(longest, p.Offcut(pieces, held[j]))
		}
		return longest
	}
	if len(places) == 0 {
		return s.Length
	}
	return max(0, s.Length-s.End(pieces, places)-s.lastKerf(pieces, places))
}

// Fits says whether the places, from the left, keep to the trims, the kerfs
// and the tail of the bar, and the cuts to the rules for its parts if it is parted.
func (s Stock) Fits(pieces []Piece, places []Place, cuts ...int64) bool {
	if s.parted() {
		parts, held, sound := s.cutParts(pieces, places, cuts)
		for j, p := range parts {
			sound = sound && (len(held[j]) == 0 || p.Fits(pieces, held[j]))
		}
		return sound
	}
	at := s.TrimLeft
	for i, p := range places {
		if i > 0 {
			at += s.joint(pieces, places[i-1], p)
		}
		if p.At < at {
			return false
		}
		at = p.At + pieces[p.Piece].Length
	}
	if s.Tail > 0 {
		at += s.lastKerf(pieces, places)
	}
	return at <= s.Length-s.TrimRight-s.Tail
}

// Arrange puts the pieces, named by index with repetition, into one bar in an
// order that takes the least length, short of hundreds of turnable pieces with
// three or more different kerfs, or of many kinds of ends where slants nest; there
// it is merely good. It reports whether they fit. Complexity O(n log n) for n pieces
// but for the search that chain describes. See ArrangeParts for bars that are parted.
func (s Stock) Arrange(pieces []Piece, content []int) (places []Place, fits bool) {
	if s.parted() {
		places, _, fits = s.ArrangeParts(pieces, content)
		return places, fits
	}
	places = sequence(&s, pieces, content)
	at := s.TrimLeft
	for i := range places {
		if i > 0 {
			at += s.joint(pieces, places[i-1], places[i])
		}
		places[i].At = at
		at += pieces[places[i].Piece].Length
	}
	return places, s.Fits(pieces, places)
}

func (s *Stock) joint(pieces []Piece, left, right Place) int64 {
	_, r := pieces[left.Piece].ends(left.Turned, left.Rolled)
	l, _ := pieces[right.Piece].ends(right.Turned, right.Rolled)
	return s.between(r, l)
}

func (s *Stock) lastKerf(pieces []Piece, places []Place) int64 {
	if len(places) == 0 {
		return 0
	}
	last := places[len(places)-1]
	_, r := pieces[last.Piece].ends(last.Turned, last.Rolled)
	return s.Kerf[r.cut]
}

// byLength orders piece indices longest first, equal ones by index.
func byLength(pieces []Piece) func(a, b int) int {
	return func(a, b int) int {
		if d := pieces[b].Length - pieces[a].Length; d != 0 {
			if d < 0 {
				return -1
			}
			return 1
		}
		return a - b
	}
}

// sequence orders the content of a bar; positions are left to the caller.
func sequence(s *Stock, pieces []Piece, content []int) []Place {
	if s.nests() {
		return chained(s, pieces, content)
	}
	order := slices.Clone(content)
	slices.SortFunc(order, byLength(pieces))
	places := make([]Place, len(order))
	for i, p := range order {
		places[i].Piece = p
	}
	t := newTour(s, pieces, places)
	if t == nil {
		return places
	}
	t.orient()
	places = t.walk()
	for i := range places {
		places[i].Rolled = places[i].Turned && !pieces[places[i].Piece].Turn // it spins
	}
	return places
}

// need is the length that the content takes of the capacity, arranged as
// Arrange does, and whether no order takes less.
func (s *Stock) need(pieces []Piece, content []int) (length int64, least bool) {
	if len(content) == 0 {
		return 0, true
	}
	if s.nests() {
		return needChained(s, pieces, content)
	}
	least = true
	var lengths, cuts int64
	places := make([]Place, len(content))
	high := int64(0)
	for i, p := range content {
		q := &pieces[p]
		l, r := s.Kerf[q.Left], s.Kerf[q.Right]
		places[i].Piece = p
		lengths += q.Length
		cuts += l + r
		high = max(high, l, r)
	}
	if t := newTour(s, pieces, places); t != nil {
		var moves int64
		moves, least = t.orient()
		cuts += moves
	} else if s.Tail > 0 {
		cuts += high // from no kerf before the bar's end to the one of all ends
	}
	if s.Tail > 0 {
		return lengths + (cuts-high)/2, least
	}
	return lengths + cuts/2 - high, least
}

// holds says whether the bar holds the piece alone.
func (s *Stock) holds(pieces []Piece, piece int) bool {
	if s.Longest > 0 && pieces[piece].Length > s.Longest {
		return false
	}
	if s.parted() {
		fits, _ := newDeal(s, pieces, []lot{{piece, 1}}).solve()
		return fits
	}
	length, _ := s.need(pieces, []int{piece})
	return length <= s.Capacity()
}
