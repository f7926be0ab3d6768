package nest1d

import (
	"math/big"
	"testing"
)

// bestContent is the greatest Σ value·count of one bar by plain recursion over
// counts, with the joints at their least possible, which in a bar that is parted
// may be a first cut: a test-only knapsack that shares nothing with the engine. It
// is meant for small problems.
func bestContent(p *Problem, k int, value []int64) int64 {
	s := &p.Stocks[k]
	if s.Slant != nil && s.Part == 0 {
		return fullestNested(p, k, value)
	}
	kerf := func(cut int) int64 {
		if s.Part > 0 && s.Parts > 1 {
			return min(s.Kerf[cut], s.PartKerf)
		}
		return s.Kerf[cut]
	}
	var low, high int64 = 1 << 40, 0
	for _, q := range p.Pieces {
		for _, e := range []int{q.Left, q.Right} {
			low, high = min(low, kerf(e)), max(high, kerf(e))
		}
	}
	// Twice the room: all ends counted half, the outer two as the largest.
	room := 2*(s.Length-s.TrimLeft-s.TrimRight-s.Tail) + 2*high
	if s.Tail > 0 {
		room = 2*(s.Length-s.TrimLeft-s.TrimRight-s.Tail) + high - low
	}
	memo := map[[2]int64]int64{}
	var best func(i int, room int64) int64
	best = func(i int, room int64) int64 {
		if i == len(p.Pieces) {
			return 0
		}
		key := [2]int64{int64(i), room}
		if v, ok := memo[key]; ok {
			return v
		}
		q := p.Pieces[i]
		w := 2*q.Length + kerf(q.Left) + kerf(q.Right)
		var v int64
		most := q.Demand
		if s.Part == 0 && !fitsAlone(s, q) || s.Part > 0 && !partedFits(&Problem{Pieces: []Piece{q}}, s, []int64{1}) {
			most = 0
		}
		for c := int64(0); c <= most && c*w <= room; c++ {
			v = max(v, c*value[i]+best(i+1, room-c*w))
		}
		memo[key] = v
		return v
	}
	return best(0, room)
}

func fitsAlone(s *Stock, q Piece) bool {
	last := s.Kerf[q.Right]
	if q.Turn {
		last = min(last, s.Kerf[q.Left])
	}
	if s.Tail == 0 {
		last = 0
	}
	return q.Length+last <= s.Length-s.TrimLeft-s.TrimRight-s.Tail
}

// bestOffcut is the greatest Σ value·count plus the credit, times scale, of contents
// that leave an offcut to keep, by plain recursion; −1 if there are none.
func bestOffcut(p *Problem, k int, value []int64, scale int64) int64 {
	s := &p.Stocks[k]
	end := min(s.Length-s.TrimLeft-s.Keep, s.Length-s.TrimLeft-s.TrimRight-s.Tail+s.Kerf[0])
	if s.Tail > 0 {
		end = min(end, s.Length-s.TrimLeft-s.TrimRight-s.Tail)
	}
	var best func(i int, used int64) int64
	best = func(i int, used int64) int64 {
		if used > end {
			return -1
		}
		if i == len(p.Pieces) {
			return scale * s.Credit * (s.Length - s.TrimLeft - used)
		}
		v := int64(-1)
		for c := int64(0); c <= p.Pieces[i].Demand; c++ {
			if w := best(i+1, used+c*(p.Pieces[i].Length+s.Kerf[0])); w >= 0 {
				v = max(v, w+c*value[i])
			}
		}
		return v
	}
	return best(0, 0)
}

// verifyCertificate checks what Certificate states, without the engine.
func verifyCertificate(t *testing.T, p *Problem, res *Result) {
	t.Helper()
	c := res.Certificate
	if len(c.Piece) != len(p.Pieces) || len(c.Stock) != len(p.Stocks) || c.Scale < 1 {
		t.Fatalf("certificate of %d pieces, %d stocks, scale %d", len(c.Piece), len(c.Stock), c.Scale)
	}
	num := new(big.Int)
	add := func(a, b int64) { num.Add(num, new(big.Int).Mul(big.NewInt(a), big.NewInt(b))) }
	for i, q := range p.Pieces {
		if c.Piece[i] < 0 {
			t.Fatalf("piece %d has value %d", i, c.Piece[i])
		}
		add(c.Piece[i], q.Demand)
	}
	for k, s := range p.Stocks {
		switch {
		case c.Stock[k] < 0 || s.Supply == Unlimited && c.Stock[k] != 0:
			t.Fatalf("stock %d has value %d", k, c.Stock[k])
		case s.Supply != Unlimited:
			add(-c.Stock[k], s.Supply)
		}
		if s.Supply == 0 {
			continue
		}
		most := bestContent(p, k, c.Piece)
		if s.Credit > 0 {
			most = max(most, bestOffcut(p, k, c.Piece, c.Scale))
		}
		held := big.NewInt(most)
		paid := new(big.Int).Mul(big.NewInt(c.Scale), big.NewInt(s.Price))
		if held.Cmp(paid.Add(paid, big.NewInt(c.Stock[k]))) > 0 {
			t.Fatalf("stock %d holds %v, more than %v", k, held, paid)
		}
	}
	scale := big.NewInt(c.Scale)
	bound := new(big.Int).Add(num, new(big.Int).Sub(scale, big.NewInt(1)))
	bound.Div(bound, scale)
	if bound.Sign() < 0 {
		bound.SetInt64(0)
	}
	if !bound.IsInt64() || bound.Int64() != c.Bound {
		t.Fatalf("certificate proves %v, says %d", bound, c.Bound)
	}
	if res.Outcome == Planned && c.Bound > res.Cost.Bound {
		t.Fatalf("certificate %d above the bound %d", c.Bound, res.Cost.Bound)
	}
}
