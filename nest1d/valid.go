package nest1d

import (
	"fmt"
	"math/bits"
	"slices"
)

// limit bounds every sum the package forms, so that int64 never overflows.
const limit = int64(1) << 59

// check refuses a problem whose numbers make no sense, naming the first.
func check(p *Problem) error {
	for i, q := range p.Pieces {
		switch {
		case q.Length <= 0:
			return fmt.Errorf("nest1d: piece %d has length %d; write a length above 0", i, q.Length)
		case q.Demand < 0:
			return fmt.Errorf("nest1d: piece %d has demand %d; write 0 or more", i, q.Demand)
		case q.Left < 0 || q.Right < 0:
			return fmt.Errorf("nest1d: piece %d has cut kinds %d and %d; write an index into the kerfs", i, q.Left, q.Right)
		case q.Turned != nil && min(q.Turned.Left, q.Turned.Right) < 0:
			return fmt.Errorf("nest1d: piece %d has cut kinds %d and %d when turned; write an index into the kerfs", i, q.Turned.Left, q.Turned.Right)
		}
	}
	for k := range p.Stocks {
		if err := checkStock(p, k); err != nil {
			return err
		}
	}
	if err := checkFixed(p); err != nil {
		return err
	}
	if err := checkSize(p); err != nil {
		return err
	}
	return checkCrowd(p)
}

func checkStock(p *Problem, k int) error {
	s := &p.Stocks[k]
	switch {
	case s.Length <= 0:
		return fmt.Errorf("nest1d: stock %d has length %d; write a length above 0", k, s.Length)
	case s.TrimLeft < 0 || s.TrimRight < 0 || s.Tail < 0:
		return fmt.Errorf("nest1d: stock %d has trims %d and %d and tail %d; write 0 or more",
			k, s.TrimLeft, s.TrimRight, s.Tail)
	case s.Supply < Unlimited:
		return fmt.Errorf("nest1d: stock %d has supply %d; write 0 or more, or %d for no limit", k, s.Supply, Unlimited)
	case s.Price < 0:
		return fmt.Errorf("nest1d: stock %d has price %d; write 0 or more", k, s.Price)
	case s.Price == 0 && s.Supply == Unlimited:
		return fmt.Errorf("nest1d: stock %d has price 0 and no limit; write a supply", k)
	case s.Keep < 0:
		return fmt.Errorf("nest1d: stock %d keeps offcuts from %d; write 0 or more", k, s.Keep)
	case s.TrimLeft > limit || s.TrimRight > limit || s.Tail > limit:
		return fmt.Errorf("nest1d: stock %d has trims %d and %d and tail %d; write less than %d",
			k, s.TrimLeft, s.TrimRight, s.Tail, limit)
	}
	if err := checkParts(s, k); err != nil {
		return err
	}
	for c, f := range s.Kerf {
		if f < 0 {
			return fmt.Errorf("nest1d: stock %d has kerf %d for cut kind %d; write 0 or more", k, f, c)
		}
	}
	for c, a := range s.Slant {
		if a < 0 || a > limit {
			return fmt.Errorf("nest1d: stock %d has slant %d for cut kind %d; write 0 to %d", k, a, c, limit)
		}
	}
	for i, q := range p.Pieces {
		if c := slices.Max(q.cuts()); c >= len(s.Kerf) {
			return fmt.Errorf("nest1d: piece %d has cut kind %d, stock %d has kerfs for %d kinds; write a kerf for each", i, c, k, len(s.Kerf))
		}
		if t := q.Turned; t != nil && !(s.asLong(t.Left, q.Right) && s.asLong(t.Right, q.Left)) {
			return fmt.Errorf("nest1d: piece %d has ends of cut kinds %d and %d when turned, whose kerfs or slants in stock %d are not those of %d and %d; write kinds that differ in their planes alone",
				i, t.Left, t.Right, k, q.Right, q.Left)
		}
		if s.consumed(&q) {
			return fmt.Errorf("nest1d: piece %d has length %d, which its slants in a bar of stock %d use up; write a greater length", i, q.Length, k)
		}
	}
	return checkCredit(p, k)
}

// asLong says that two kinds of cut take the same length of bar.
func (s *Stock) asLong(c, e int) bool { return s.Kerf[c] == s.Kerf[e] && s.slant(c) == s.slant(e) }

// mostParts of one bar.
const mostParts = 1000

// checkParts comes after the length has been found to be positive.
func checkParts(s *Stock, k int) error {
	switch {
	case s.Part < 0:
		return fmt.Errorf("nest1d: stock %d has parts of at most %d; write a length above 0, or 0 for a bar in one piece", k, s.Part)
	case s.Part == 0:
		return nil
	case s.Parts < 1 || s.Parts > mostParts:
		return fmt.Errorf("nest1d: stock %d is cut into %d parts; write 1 to %d", k, s.Parts, mostParts)
	case s.PartKerf < 0 || s.PartKerf > limit/mostParts:
		return fmt.Errorf("nest1d: stock %d has first cuts of width %d; write 0 to %d", k, s.PartKerf, limit/mostParts)
	}
	if all, ok := product(s.Part, int64(s.Parts)); ok && all+int64(s.Parts-1)*s.PartKerf < s.Length {
		return fmt.Errorf("nest1d: stock %d with length %d is cut into %d parts of at most %d; write more parts", k, s.Length, s.Parts, s.Part)
	}
	return nil
}

func checkFixed(p *Problem) error {
	used := make([]int64, len(p.Stocks))
	for f, l := range p.Fixed {
		if l.Stock < 0 || l.Stock >= len(p.Stocks) {
			return fmt.Errorf("nest1d: fixed layout %d names stock %d of %d; write an index below that", f, l.Stock, len(p.Stocks))
		}
		if l.Count < 0 {
			return fmt.Errorf("nest1d: fixed layout %d has count %d; write 0 or more", f, l.Count)
		}
		for _, q := range l.Places {
			if q.Piece < 0 || q.Piece >= len(p.Pieces) {
				return fmt.Errorf("nest1d: fixed layout %d names piece %d of %d; write an index below that", f, q.Piece, len(p.Pieces))
			}
		}
		supply := p.Stocks[l.Stock].Supply
		if supply != Unlimited && l.Count > supply-used[l.Stock] {
			return fmt.Errorf("nest1d: the fixed layouts take more than the %d bars of stock %d; write a larger supply", supply, l.Stock)
		}
		used[l.Stock] += l.Count
	}
	return nil
}

// checkSize keeps Σ demand·length, Σ supply·length and the dearest plan, one
// bar a piece, below limit.
func checkSize(p *Problem) error {
	var kerf, price, length, count int64
	over := false
	add := func(a, b int64) int64 {
		if a+b > limit || a+b < 0 {
			over = true
			return 0
		}
		return a + b
	}
	mul := func(a, b int64) int64 {
		hi, lo := bits.Mul64(uint64(a), uint64(b))
		if hi != 0 || lo > uint64(limit) {
			over = true
			return 0
		}
		return int64(lo)
	}
	for _, s := range p.Stocks {
		for _, f := range s.Kerf {
			kerf = max(kerf, f)
		}
		price = max(price, s.Price)
		mul(s.Length, 4)
		add(add(s.TrimLeft, s.TrimRight), s.Tail)
	}
	var total int64
	for _, q := range p.Pieces {
		length = add(q.Length, mul(kerf, 2))
		count = add(count, q.Demand)
		total = add(total, mul(mul(length, 4), q.Demand))
	}
	mul(price, count+1)
	for _, s := range p.Stocks {
		mul(mul(s.Length, 4), min(s.Supply, count)+1)
	}
	if over {
		return fmt.Errorf("nest1d: lengths, prices and demands add up to more than %d; write them in a coarser unit", limit)
	}
	return nil
}

// mostInBar bounds the pieces of one layout, which are listed one by one.
const mostInBar = 4_000_000

// checkCrowd refuses bars that could hold more pieces than a layout can list.
func checkCrowd(p *Problem) error {
	order := make([]int, len(p.Pieces))
	for i := range order {
		order[i] = i
	}
	slices.SortFunc(order, byLength(p.Pieces))
	for k := range p.Stocks {
		rest, held := p.Stocks[k].Capacity(), int64(0)
		for _, i := range slices.Backward(order) {
			q := &p.Pieces[i]
			s := &p.Stocks[k]
			long := max(1, q.Length-(s.slant(q.Left)+s.slant(q.Right))/2)
			n := min(q.Demand, rest/long)
			if n <= 0 {
				continue
			}
			rest -= n * long
			if held += n; held > mostInBar {
				return fmt.Errorf("nest1d: a bar of stock %d with length %d holds more than %d pieces as short as piece %d with length %d; write lengths in one unit",
					k, p.Stocks[k].Length, mostInBar, i, q.Length)
			}
		}
	}
	return nil
}
