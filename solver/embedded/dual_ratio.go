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
	limit float64 // once sorted: the least Harris bound from here on
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
		s.breaks = append(s.breaks, dualBreak{v: v, ratio: s.distance(v) / size, size: size, drop: float64(size * (s.high[v] - s.low[v]))})
	}
	if len(s.breaks) == 0 {
		return -1, nil
	}
	largest := 0.0
	for _, b := range s.breaks {
		largest = max(largest, b.size)
	}
	q = -1
	passed := 0  // breaks[:passed] are flipped if the group after them is taken
	flipped := 0 // the same for the group q is from
	bestSize := 0.0
	for groups := 0; passed < len(s.breaks); groups++ {
		if groups == sortAfter {
			s.sortBreaks(passed)
		}
		end := s.nextGroup(passed, groups >= sortAfter)
		best, drop := s.breaks[passed], 0.0
		for _, b := range s.breaks[passed:end] {
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
	if slope > 0 && passed == len(s.breaks) {
		return -1, nil // the dual rises past every candidate
	}
	flips = s.breaks[:flipped]
	slices.SortFunc(flips, func(a, b dualBreak) int { return int(a.v) - int(b.v) })
	return q, flips
}

// sortAfter is the number of groups found by scanning; where more are passed,
// sorting the rest is cheaper.
const sortAfter = 3

// sortBreaks sorts breaks[from:] by ratio and sets their Harris bounds.
func (s *dualState) sortBreaks(from int) {
	rest := s.breaks[from:]
	slices.SortFunc(rest, func(a, b dualBreak) int {
		switch {
		case a.ratio < b.ratio:
			return -1
		case a.ratio > b.ratio:
			return 1
		}
		return int(a.v) - int(b.v)
	})
	limit := math.Inf(1)
	for k := len(rest) - 1; k >= 0; k-- {
		limit = min(limit, rest[k].ratio+harrisSlack/rest[k].size)
		rest[k].limit = limit
	}
}

// nextGroup moves all candidates within the Harris bound of breaks[from:] to
// its front and returns their end.
func (s *dualState) nextGroup(from int, sorted bool) (end int) {
	rest := s.breaks[from:]
	if sorted {
		for end < len(rest) && rest[end].ratio <= rest[0].limit {
			end++
		}
		return from + end
	}
	limit := math.Inf(1)
	for _, b := range rest {
		limit = min(limit, b.ratio+harrisSlack/b.size)
	}
	for k := range rest {
		if rest[k].ratio <= limit {
			rest[k], rest[end] = rest[end], rest[k]
			end++
		}
	}
	return from + end
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
