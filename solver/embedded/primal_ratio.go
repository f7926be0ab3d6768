package embedded

import (
	"math"
	"slices"
)

// breakpoint is a step length at which a basic variable meets a bound.
type breakpoint struct {
	step  float64
	row   int32
	upper bool
	slope float64
}

// ratioPhase1 returns the leaving row, the step length and the bound at which
// the leaving variable stops, or row -1.
func (s *primalState) ratioPhase1(column []float64, direction, slope float64) (row int32, length float64, toUpper bool) {
	s.breaks = s.breaks[:0]
	largest := 0.0
	for i, a := range column {
		size := math.Abs(a)
		if size < pivotTolerance {
			continue
		}
		v := s.head[i]
		rate := -direction * a
		add := func(bound float64, upper bool, slope float64) {
			if !math.IsInf(bound, 0) {
				step := max(0, (bound-s.x[v])/rate)
				s.breaks = append(s.breaks, breakpoint{step, int32(i), upper, slope})
				largest = max(largest, size)
			}
		}
		if rate > 0 {
			if s.gain[v] < 0 {
				add(s.low[v], false, size)
			}
			if s.gain[v] <= 0 {
				add(s.high[v], true, size)
			}
		} else {
			if s.gain[v] > 0 {
				add(s.high[v], true, size)
			}
			if s.gain[v] >= 0 {
				add(s.low[v], false, size)
			}
		}
	}
	if len(s.breaks) == 0 {
		return -1, 0, false
	}
	slices.SortFunc(s.breaks, func(a, b breakpoint) int {
		switch {
		case a.step < b.step:
			return -1
		case a.step > b.step:
			return 1
		}
		return int(a.row) - int(b.row)
	})
	last := 0
	for k, b := range s.breaks {
		slope -= b.slope
		last = k
		if slope <= 0 {
			break
		}
	}
	// Among the bounds run through, the last whose pivot is not small; the
	// breakpoints at the same step as the last count as run through.
	for last+1 < len(s.breaks) && s.breaks[last+1].step <= s.breaks[last].step {
		last++
	}
	best := -1
	for k := last; k >= 0; k-- {
		b := s.breaks[k]
		if best >= 0 && b.step < s.breaks[best].step && s.breaks[best].slope >= float64(0.1*largest) {
			break
		}
		if best < 0 || b.slope > s.breaks[best].slope {
			best = k
		}
	}
	b := s.breaks[best]
	return b.row, b.step, b.upper
}

// ratioPhase2 is Harris's two-pass ratio test.
func (s *primalState) ratioPhase2(column []float64, direction float64) (row int32, length float64, toUpper bool) {
	limit := math.Inf(1)
	for i, a := range column {
		if math.Abs(a) < pivotTolerance {
			continue
		}
		v := s.head[i]
		if rate := -direction * a; rate < 0 {
			limit = min(limit, (s.x[v]-s.low[v]+harrisSlack)/-rate)
		} else {
			limit = min(limit, (s.high[v]-s.x[v]+harrisSlack)/rate)
		}
	}
	if math.IsInf(limit, 1) {
		return -1, limit, false
	}
	limit = max(limit, 0)
	row, best := -1, 0.0
	for i, a := range column {
		if math.Abs(a) < pivotTolerance || math.Abs(a) <= best {
			continue
		}
		v := s.head[i]
		rate := -direction * a
		room := s.x[v] - s.low[v]
		if rate > 0 {
			room = s.high[v] - s.x[v]
		}
		if step := room / math.Abs(rate); step <= limit {
			row, best, length, toUpper = int32(i), math.Abs(a), step, rate > 0
		}
	}
	if length < 0 {
		length = 0
		v := s.head[row]
		if toUpper {
			s.high[v] = s.x[v]
		} else {
			s.low[v] = s.x[v]
		}
	}
	return row, length, toUpper
}
