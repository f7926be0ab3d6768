package nest1d

import (
	"fmt"
	"math/rand/v2"
	"testing"
)

// bar is 100 long; the numbers in these tests are worked by hand.
func TestGeometryByHand(t *testing.T) {
	pieces := []Piece{{Length: 30}, {Length: 20, Left: 1, Right: 1}, {Length: 10, Left: 0, Right: 1, Turn: true}}
	plain := Stock{Length: 100, TrimLeft: 5, TrimRight: 2, Kerf: []int64{3, 4}}
	tail := plain
	tail.Tail = 8
	for _, c := range []struct {
		name         string
		stock        Stock
		places       []Place
		end, offcut  int64
		fits         bool
		fitsOneMore  bool // with everything one unit to the right
		capacityLeft int64
	}{
		// 5 trim, 30, kerf 3, 30 ends at 68, kerf 3 leaves 29.
		{"square", plain, []Place{{Piece: 0, At: 5}, {Piece: 0, At: 38}}, 68, 29, true, true, 93},
		// 5, 30, max(3, 4) = 4, 20 ends at 59, last kerf 4 leaves 37.
		{"mitre after square", plain, []Place{{Piece: 0, At: 5}, {Piece: 1, At: 39}}, 59, 37, true, true, 93},
		// The kerf of 3 between is too little for the mitre.
		{"mitre too close", plain, []Place{{Piece: 0, At: 5}, {Piece: 1, At: 38}}, 58, 38, false, false, 93},
		// Turned, the third piece has the mitre left.
		{"turned", plain, []Place{{Piece: 1, At: 5}, {Piece: 2, Turned: true, At: 29}}, 39, 58, true, true, 93},
		// Three of 30 end at 5+30+3+30+3+30 = 101, beyond the bar.
		{"too many", plain, []Place{{Piece: 0, At: 5}, {Piece: 0, At: 38}, {Piece: 0, At: 71}}, 101, 0, false, false, 93},
		// With the tail the last kerf must lie before 100−2−8 = 90.
		{"tail", tail, []Place{{Piece: 0, At: 5}, {Piece: 0, At: 38}, {Piece: 1, At: 72}}, 92, 4, false, false, 85},
		{"tail fits", tail, []Place{{Piece: 0, At: 5}, {Piece: 0, At: 38}, {Piece: 2, At: 71}}, 81, 15, true, true, 85},
		{"empty", plain, nil, 5, 100, true, true, 93},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := c.stock.End(pieces, c.places); got != c.end {
				t.Errorf("end %d, want %d", got, c.end)
			}
			if got := c.stock.Offcut(pieces, c.places); got != c.offcut {
				t.Errorf("offcut %d, want %d", got, c.offcut)
			}
			if got := c.stock.Fits(pieces, c.places); got != c.fits {
				t.Errorf("fits %v, want %v", got, c.fits)
			}
			for i := range c.places {
				c.places[i].At++
			}
			if got := c.stock.Fits(pieces, c.places); got != c.fitsOneMore {
				t.Errorf("one further right: fits %v, want %v", got, c.fitsOneMore)
			}
			if got := c.stock.Capacity(); got != c.capacityLeft {
				t.Errorf("capacity %d, want %d", got, c.capacityLeft)
			}
		})
	}
}

// An offcut shorter than the last kerf needs no cut, but only without a tail.
func TestLastKerf(t *testing.T) {
	pieces := []Piece{{Length: 48}}
	for tail, want := range map[int64]bool{0: true, 1: false} {
		s := Stock{Length: 100 + tail, Tail: tail, Kerf: []int64{4}}
		places, fits := s.Arrange(pieces, []int{0, 0})
		if fits != want {
			t.Errorf("two of 48 with kerf 4 in %d and tail %d: fits %v at %v", s.Length, tail, fits, places)
		}
	}
}

// TestArrangeAgainstOrders compares the length Arrange takes with the least
// over all orders and turns.
func TestArrangeAgainstOrders(t *testing.T) {
	for seed := range 1500 {
		r := rand.New(rand.NewPCG(uint64(seed), 5))
		s := Stock{Length: 1 << 20, Kerf: []int64{0}}
		for range 1 + r.IntN(4) {
			s.Kerf = append(s.Kerf, r.Int64N(12))
		}
		if r.IntN(2) == 0 {
			s.Tail = 5
		}
		var pieces []Piece
		var content []int
		for i := range 1 + r.IntN(6) {
			pieces = append(pieces, Piece{Length: 1 + r.Int64N(5), Left: r.IntN(len(s.Kerf)), Right: r.IntN(len(s.Kerf)), Turn: r.IntN(2) == 0})
			content = append(content, i)
		}
		places, fits := s.Arrange(pieces, content)
		if !fits || len(places) != len(content) {
			t.Fatalf("seed %d: %v", seed, places)
		}
		got := s.End(pieces, places)
		if s.Tail > 0 {
			got += s.lastKerf(pieces, places)
		}
		want := leastLength(&s, pieces, -1, (1<<len(pieces))-1)
		if got != want {
			t.Errorf("seed %d: %d, best order %d: %+v in %+v", seed, got, want, pieces, s)
		}
		if need, least := s.need(pieces, content); need != want || !least {
			t.Errorf("seed %d: need %d (least %v), best order %d", seed, need, least, want)
		}
	}
}

// leastLength tries all orders of the pieces in the set after an end of kind last.
func leastLength(s *Stock, pieces []Piece, last, set int) int64 {
	if set == 0 {
		if s.Tail > 0 {
			return s.Kerf[last]
		}
		return 0
	}
	best := int64(1) << 60
	for i, q := range pieces {
		if set&(1<<i) == 0 {
			continue
		}
		for _, e := range [][2]int{{q.Left, q.Right}, {q.Right, q.Left}} {
			joint := int64(0)
			if last >= 0 {
				joint = max(s.Kerf[last], s.Kerf[e[0]])
			}
			best = min(best, joint+q.Length+leastLength(s, pieces, e[1], set&^(1<<i)))
			if !q.Turn {
				break
			}
		}
	}
	return best
}

func ExampleStock_Arrange() {
	pieces := []Piece{{Length: 300}, {Length: 200, Left: 1, Right: 1}}
	bar := Stock{Length: 1040, TrimLeft: 10, Kerf: []int64{3, 5}}
	places, fits := bar.Arrange(pieces, []int{0, 1, 0, 1})
	for _, p := range places {
		fmt.Println(pieces[p.Piece].Length, "at", p.At)
	}
	fmt.Println(fits, bar.Offcut(pieces, places))
	// Output:
	// 200 at 10
	// 200 at 215
	// 300 at 420
	// 300 at 723
	// true 14
}
