package embedded

import (
	"math"
	"slices"

	"sawbill/solver"
)

// dualBreak is a candidate of the ratio test.
type dualBreak struct {
	v     int32
	ratio float64 // |d|/|alpha|
	size  float64 // |alpha|
	drop  float64 // what flipping v takes off the slope
}

// ratio returns the entering variable, or -1, and the variables to flip.
// side is +1 if the leaving variable lies above its bound.
func (s *dualState) ratio(side, slope float64) (q int32, flips []dualBreak) {
	s.breaks = s.breaks[:0]
	for _, v := range s.touched {
		a := side * s.alpha[v]
		if math.Abs(a) < pivotTolerance || s.low[v] == s.high[v] {
			continue
		}
		switch s.status[v] {
		case solver.AtLower:
			if a < 0 {
				continue
			}
		case solver.AtUpper:
			if a > 0 {
				continue
			}
		}
		size := math.Abs(a)
		s.breaks = append(s.breaks, dualBreak{v, s.distance(v) / size, size, float64(size * (s.high[v] - s.low[v]))})
	}
	rest := s.breaks
	if len(rest) == 0 {
		return -1, nil
	}
	largest := 0.0
	for _, b := range rest {
		largest = max(largest, b.size)
	}
	q = -1
	passed := 0 // rest[:passed] are flipped if the group after them is taken
	flipped := 0
	bestSize := 0.0
	for passed < len(rest) {
		// The next group: all within the Harris bound of what is left.
		limit := math.Inf(1)
		for _, b := range rest[passed:] {
			limit = min(limit, b.ratio+harrisSlack/b.size)
		}
		end := passed
		for k := passed; k < len(rest); k++ {
			if rest[k].ratio <= limit {
				rest[k], rest[end] = rest[end], rest[k]
				end++
			}
		}
		group := rest[passed:end]
		best := group[0]
		drop := 0.0
		for _, b := range group {
			if b.size > best.size || b.size == best.size && b.v < best.v {
				best = b
			}
			drop += b.drop
		}
		if q < 0 || best.size >= float64(0.1*largest) || best.size > bestSize {
			q, bestSize, flipped = best.v, best.size, passed
		}
		slope -= drop
		passed = end
		if !(slope > 0) {
			break
		}
	}
	// No candidate left and the dual still rises: the last group taken is a
	// step to the end of the dual ray unless every variable can flip.
	if slope > 0 && passed == len(rest) {
		return -1, nil
	}
	flips = rest[:flipped]
	slices.SortFunc(flips, func(a, b dualBreak) int { return int(a.v) - int(b.v) })
	return q, flips
}

// distance is how far the reduced cost of v is from changing sign.
func (s *dualState) distance(v int32) float64 {
	switch s.status[v] {
	case solver.AtLower:
		return max(0, s.d[v])
	case solver.AtUpper:
		return max(0, -s.d[v])
	}
	return 0
}

