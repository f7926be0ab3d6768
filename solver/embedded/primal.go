package embedded

import (
	"context"
	"math"

	"sawbill/solver"
)

// The primal simplex method, both phases in one loop.
//
// Phase 1 minimises the sum of the bound violations of the basic variables, a
// piecewise linear function whose ratio test may run through several bounds
// as long as the sum falls. Phase 2 minimises the cost with the two-pass
// ratio test of Harris (1973, "Pivot selection methods of the Devex LP code",
// Math. Programming 5:1–28); a variable that the test lets slip a little
// outside gets its bound moved to where it is, and all moved bounds are put
// back in the end. Entering variables are priced by Harris's devex weights.
//
// Against cycling, after a run of steps of length zero the bounds of the
// basic variables are widened at random (from a fixed stream).

type outcome int

const (
	optimal outcome = iota
	noSolution
	noLimit
	stopped
	trouble
)

// primalState is what one run of the primal method keeps.
type primalState struct {
	*lp
	ctx    context.Context
	limit  int
	size   float64 // of the perturbation
	phase1 bool
	gain   []float64 // phase 1 costs by variable: −1 below, +1 above, 0 else
	banned []int32   // entering candidates refused since the last pivot
	isBan  []bool
	least  float64 // the least pivot taken from fresh factors
	// attractive is the reduced cost a variable needs to enter: the dual
	// tolerance, less when phase 1 ends with violations that prove nothing.
	attractive float64
	stall      int
	breaks     []breakpoint
}

func (p *lp) primal(ctx context.Context, limit int, size float64) outcome {
	s := &primalState{lp: p, ctx: ctx, limit: limit, size: size, least: weakPivot, attractive: dualTolerance,
		gain: make([]float64, len(p.status)), isBan: make([]bool, len(p.status))}
	for v := range p.devex {
		p.devex[v] = 1
	}
	p.edgeValid = false
	s.restart()
	troubles := 0
	last := p.stepLimit()
	for {
		if !p.factorised || p.factor.mustRefactor() {
			if !p.refactorise() {
				return trouble
			}
			s.restart()
		}
		if stop(ctx, limit, p.iterations) {
			return stopped
		}
		if p.iterations >= last {
			return trouble
		}
		q := s.price()
		if q < 0 {
			if p.factor.updates > 0 {
				p.factorised = false
				continue
			}
			if len(s.banned) > 0 {
				if s.least <= pivotTolerance {
					return trouble
				}
				s.least = pivotTolerance
				s.unban()
				continue
			}
			if !s.phase1 {
				return optimal
			}
			if s.gainProves(s.gain) {
				return noSolution
			}
			if s.attractive *= 1e-2; s.attractive < pivotTolerance*pivotTolerance {
				return trouble
			}
			continue
		}
		switch s.step(q) {
		case stepDone:
			troubles = 0
		case stepRefused:
			if troubles++; troubles > maxTroubles {
				return trouble
			}
		case stepUnbounded:
			if p.factor.updates > 0 {
				p.factorised = false
				continue
			}
			return noLimit
		}
	}
}

// restart recomputes everything from fresh factors.
func (s *primalState) restart() {
	s.computeX()
	s.phase1 = false
	for v := range s.gain {
		s.gain[v] = 0
	}
	for _, v := range s.head {
		if s.gain[v] = sign(s.infeasibility(v)); s.gain[v] != 0 {
			s.phase1 = true
		}
	}
	s.computeD(s.costs())
	s.unban()
}

func (s *primalState) costs() []float64 {
	if s.phase1 {
		return s.gain
	}
	return s.weight
}

// sign is −1, 0 or 1, zero within the primal tolerance.
func sign(g float64) float64 {
	switch {
	case g > primalTolerance:
		return 1
	case g < -primalTolerance:
		return -1
	}
	return 0
}

func (s *primalState) unban() {
	for _, v := range s.banned {
		s.isBan[v] = false
	}
	s.banned = s.banned[:0]
}

func (s *primalState) ban(v int32) {
	s.isBan[v] = true
	s.banned = append(s.banned, v)
}

// price returns the entering variable of the largest weighted attraction, the
// lowest number among equals, or -1.
func (s *primalState) price() int32 {
	q, best := int32(-1), 0.0
	for v := range s.status {
		if s.status[v] == solver.Basic || s.isBan[v] {
			continue
		}
		if a := s.attraction(int32(v)); a > s.attractive {
			if score := a * a / s.devex[v]; score > best {
				q, best = int32(v), score
			}
		}
	}
	return q
}

type stepResult int

const (
	stepDone stepResult = iota
	stepRefused
	stepUnbounded
)

// step brings q in. It refuses when the numbers disagree; then the factors
// have been marked for renewal or q is banned until the next pivot.
func (s *primalState) step(q int32) stepResult {
	column := s.column
	clear(column)
	s.addColumn(column, q, 1)
	s.factor.ftran(column, true)
	if !s.confirm(q, column) {
		return stepRefused
	}
	direction := 1.0
	if s.status[q] == solver.AtUpper || s.status[q] == solver.Free && s.d[q] > 0 {
		direction = -1
	}
	var r int32
	var length float64
	var toUpper bool
	if s.phase1 {
		r, length, toUpper = s.ratioPhase1(column, direction, math.Abs(s.d[q]))
	} else {
		r, length, toUpper = s.ratioPhase2(column, direction)
	}
	span := s.high[q] - s.low[q]
	if r < 0 && math.IsInf(span, 1) {
		if s.phase1 {
			s.ban(q)
			return stepRefused
		}
		return stepUnbounded
	}
	if r < 0 || span <= length {
		s.flip(q, column, direction*span, direction)
		return stepDone
	}
	pivot := column[r]
	if math.Abs(pivot) < s.least {
		if s.factor.updates > 0 {
			s.factorised = false
		} else {
			s.ban(q)
		}
		return stepRefused
	}
	return s.pivot(q, r, column, float64(direction*length), toUpper)
}

// confirm compares the reduced cost of q with one computed from its column.
func (s *primalState) confirm(q int32, column []float64) bool {
	cost := s.costs()
	sum, size := cost[q], math.Abs(cost[q])
	for i, a := range column {
		if a != 0 {
			c := float64(a * cost[s.head[i]])
			sum -= c
			size += math.Abs(c)
		}
	}
	old := s.d[q]
	s.d[q] = sum
	if math.Abs(sum-old) > float64(driftTolerance*(1+size)) && s.factor.updates > 0 {
		s.factorised = false
		return false
	}
	if s.attraction(q) <= s.attractive {
		return false
	}
	return true
}

// flip moves q to its other bound; the basis stays.
func (s *primalState) flip(q int32, column []float64, delta, direction float64) {
	for i, a := range column {
		if a != 0 {
			s.x[s.head[i]] -= float64(delta * a)
		}
	}
	if direction > 0 {
		s.status[q] = solver.AtUpper
	} else {
		s.status[q] = solver.AtLower
	}
	s.place(q)
	s.iterations++
	s.stall = 0
	s.factor.spikeSet = false
	s.refreshGain()
}

// pivot exchanges q with the basic variable of row r after moving q by delta.
func (s *primalState) pivot(q, r int32, column []float64, delta float64, toUpper bool) stepResult {
	pivot := column[r]
	rho := s.rho
	clear(rho)
	rho[r] = 1
	s.factor.btran(rho)
	s.pivotRow(rho)
	if math.Abs(s.alpha[q]-pivot) > float64(driftTolerance*(1+math.Abs(pivot))) && s.factor.updates > 0 {
		s.factorised = false
		return stepRefused
	}
	out := s.head[r]
	dual := s.d[q] / pivot
	weight := s.devex[q]
	for _, j := range s.touched {
		a := s.alpha[j]
		if j == q || a == 0 {
			continue
		}
		s.d[j] -= float64(dual * a)
		ratio := a / pivot
		if w := float64(float64(ratio*ratio) * weight); w > s.devex[j] {
			s.devex[j] = w
		}
	}
	s.d[q] = 0
	s.d[out] = -dual
	s.devex[out] = max(weight/float64(pivot*pivot), 1)

	if delta != 0 {
		for i, a := range column {
			if a != 0 {
				s.x[s.head[i]] -= float64(delta * a)
			}
		}
		s.x[q] += delta
	}
	status := solver.AtLower
	if toUpper {
		status = solver.AtUpper
	}
	s.d[out] -= s.gain[out]
	s.gain[out] = 0
	s.exchange(r, q, status, pivot)
	s.place(out)
	s.iterations++
	s.least = weakPivot
	s.unban()
	if math.Abs(delta) > primalTolerance {
		s.stall = 0
	} else if s.stall++; s.stall > stallLimit {
		s.stall = 0
		s.widenBounds(s.size)
	}
	if s.factorised {
		s.refreshGain()
	}
	return stepDone
}

// refreshGain brings the phase 1 costs and reduced costs up to date with the
// values, and goes over to phase 2 when nothing is violated.
func (s *primalState) refreshGain() {
	if !s.phase1 {
		return
	}
	change := s.tau
	clear(change)
	changed, violated := false, false
	for i, v := range s.head {
		g := sign(s.infeasibility(v))
		violated = violated || g != 0
		if g != s.gain[v] {
			change[i] = g - s.gain[v]
			s.gain[v] = g
			changed = true
		}
	}
	if !violated {
		s.phase1 = false
		s.attractive = dualTolerance
		s.computeD(s.weight)
		for v := range s.devex {
			s.devex[v] = 1
		}
		return
	}
	if !changed {
		return
	}
	s.factor.btran(change)
	s.pivotRow(change)
	for _, j := range s.touched {
		s.d[j] -= s.alpha[j]
	}
}
