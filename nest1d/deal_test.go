package nest1d

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// partedFits deals a content out to parts in every way and every order. It shares
// no code with the engine.
func partedFits(p *Problem, s *Stock, content []int64) bool {
	var try func(part int, at, room int64, last int, left []int64) bool
	// At is where the last piece ends in its part, −1 before the first; room is
	// the length that the parts before have left.
	try = func(part int, at, room int64, last int, left []int64) bool {
		trim := int64(0)
		if part == 0 {
			trim = s.TrimLeft
		}
		// Close the part.
		length := trim
		if at >= 0 {
			length = at
			if s.Tail > 0 {
				length += s.Kerf[last] + s.Tail
			}
		}
		if part == s.Parts-1 {
			length += s.TrimRight
		}
		closes := length <= s.Part && length <= room
		if part == s.Parts-1 {
			if closes && !anyPositive(left) {
				return true
			}
		} else if closes && try(part+1, -1, room-length, -1, left) {
			return true
		}
		if at > s.Part {
			return false
		}
		for i := range left {
			if left[i] == 0 {
				continue
			}
			q := p.Pieces[i]
			ends := [][2]int{{q.Left, q.Right}, {q.Right, q.Left}}
			if !q.Turn {
				ends = ends[:1]
			}
			for _, e := range ends {
				start := trim
				if at >= 0 {
					start = at + max(s.Kerf[last], s.Kerf[e[0]])
				}
				left[i]--
				ok := try(part, start+q.Length, room, e[1], left)
				left[i]++
				if ok {
					return true
				}
			}
		}
		return false
	}
	return try(0, -1, s.Length-int64(s.Parts-1)*s.PartKerf, -1, slices.Clone(content))
}

func TestDealAgainstAllWays(t *testing.T) {
	fits, not := 0, 0
	for seed := range 4000 {
		r := rand.New(rand.NewPCG(uint64(seed), 21))
		kinds := 1 + seed%3
		p := smallProblem(r, kinds)
		if seed%4 == 0 {
			workshopScale(r, &p)
		}
		divide(r, &p)
		if err := check(&p); err != nil {
			t.Fatalf("seed %d: %v", seed, err)
		}
		for k := range p.Stocks {
			s := &p.Stocks[k]
			if !s.parted() {
				continue
			}
			var content []int
			counts := make([]int64, len(p.Pieces))
			for range 1 + r.IntN(6) {
				i := r.IntN(len(p.Pieces))
				content = append(content, i)
				counts[i]++
			}
			want := partedFits(&p, s, counts)
			places, cuts, got := s.ArrangeParts(p.Pieces, content)
			if got != want {
				t.Fatalf("seed %d: fits %v, some way fits %v: %v of %+v in %+v", seed, got, want, counts, p.Pieces, *s)
			}
			if !got {
				not++
				continue
			}
			fits++
			verifyParts(t, &p, &Layout{Stock: k, Places: places, Cuts: cuts})
			if len(places) != len(content) || !s.Fits(p.Pieces, places, cuts...) {
				t.Fatalf("seed %d: %v with cuts %v do not fit %+v", seed, places, cuts, *s)
			}
		}
	}
	t.Logf("%d contents fit, %d do not", fits, not)
	if fits < 500 || not < 500 {
		t.Error("too few of either kind")
	}
}

// A search that ends early says so and never says yes to what does not fit.
func TestDealWithLittleEffort(t *testing.T) {
	unsure := 0
	for seed := range 300 {
		r := rand.New(rand.NewPCG(uint64(seed), 22))
		s := Stock{Length: 1000, Part: 500, Parts: 2, Kerf: []int64{0}}
		var pieces []Piece
		var lots []lot
		for i := range 10 {
			pieces = append(pieces, Piece{Length: 60 + 2*r.Int64N(50)})
			lots = append(lots, lot{i, 1})
		}
		full, sure := newDeal(&s, pieces, lots).solve()
		if !sure {
			t.Fatalf("seed %d: ten pieces are not settled", seed)
		}
		d := newDeal(&s, pieces, lots)
		d.budget = 12
		fits, sure := d.solve()
		if fits && !full || sure && fits != full {
			t.Errorf("seed %d: fits %v (sure %v), with more effort %v", seed, fits, sure, full)
		}
		if !sure && !fits {
			unsure++
		}
	}
	if unsure == 0 {
		t.Error("no search ended early")
	}
}
