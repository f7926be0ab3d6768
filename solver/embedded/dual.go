package embedded

import (
	"context"
	"math"

	"sawbill/solver"
)

// The dual simplex method, for re-solving after bounds changed or rows were
// added: the basis is dual feasible (boxed variables are put on the bound
// their reduced cost asks for) and the violated bounds are repaired one by
// one at the least rise of the dual.
//
// Leaving rows are priced by dual steepest edge (Forrest & Goldfarb 1992,
// "Steepest-edge simplex algorithms for linear programming", Math.
// Programming 57:341–374). The ratio test flips boxed variables through as
// long as the dual still rises (Maros 2003, "A generalized dual phase-2
// simplex algorithm", European J. Operational Research 149:1–16) and takes
// Harris's larger pivot within each group; costs are shifted where that
// leaves a reduced cost of the wrong sign, and put back in the end.

type dualState struct {
	*lp
	ctx       context.Context
	limit     int
	size      float64 // of the perturbation
	least     float64 // the least pivot taken from fresh factors
	stall     int
	breaks    []dualBreak
	banned    []bool // rows refused since the last pivot, by basic variable
	bannedAny bool
}

// dualFeasible puts boxed non-basic variables on the bound their reduced cost
// asks for and reports whether all reduced costs have the right sign then.
// Nothing moves unless all can.
func (p *lp) dualFeasible() bool {
	for v := range p.status {
		if p.status[v] == solver.Basic || p.attraction(int32(v)) <= dualTolerance {
			continue
		}
		if math.IsInf(p.low[v], 0) || math.IsInf(p.high[v], 0) {
			return false
		}
	}
	for v := range p.status {
		if p.status[v] != solver.Basic && p.attraction(int32(v)) > dualTolerance {
			p.turn(int32(v))
		}
	}
	return true
}

// turn moves a boxed non-basic variable to its other bound and returns the
// change of its value.
func (p *lp) turn(v int32) float64 {
	old := p.x[v]
	if p.status[v] == solver.AtLower {
		p.status[v] = solver.AtUpper
	} else {
		p.status[v] = solver.AtLower
	}
	p.place(v)
	return p.x[v] - old
}

// dual runs from a dual feasible basis. It returns optimal when the point is
// primal feasible, with the costs possibly perturbed; noSolution when a row
// proves that there is no feasible point.
func (p *lp) dual(ctx context.Context, limit int, size float64) outcome {
	s := &dualState{lp: p, ctx: ctx, limit: limit, size: size, least: weakPivot, banned: make([]bool, len(p.status))}
	if !p.edgeValid {
		for v := range p.edge {
			p.edge[v] = 1
		}
		p.edgeValid = true
	}
	troubles := 0
	last := p.stepLimit()
	fresh := true
	for {
		if !p.factorised || p.factor.mustRefactor() {
			if !p.refactorise() {
				return trouble
			}
			fresh = false
		}
		if !fresh {
			p.computeX()
			p.computeD(p.weight)
			if !s.settle() {
				return trouble
			}
			s.unban()
			fresh = true
		}
		if stop(ctx, limit, p.iterations) {
			return stopped
		}
		if p.iterations >= last {
			return trouble
		}
		r := s.price()
		if r < 0 {
			if p.factor.updates > 0 {
				p.factorised = false
				continue
			}
			if s.bannedAny {
				if s.least <= pivotTolerance {
					return trouble
				}
				s.least = pivotTolerance
				s.unban()
				continue
			}
			return optimal
		}
		switch s.step(r) {
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
			return noSolution
		}
	}
}

// settle makes the basis dual feasible again after reduced costs were
// recomputed: boxed variables turn, others get their cost shifted. It reports
// false if a shift would not be small.
func (s *dualState) settle() bool {
	turned := false
	for v := range s.status {
		if s.status[v] == solver.Basic || s.attraction(int32(v)) <= dualTolerance {
			continue
		}
		if !math.IsInf(s.low[v], 0) && !math.IsInf(s.high[v], 0) {
			s.turn(int32(v))
			turned = true
			continue
		}
		if math.Abs(s.d[v]) > largestShift {
			return false
		}
		s.shift(int32(v))
	}
	if turned {
		s.computeX()
	}
	return true
}

// shift changes the cost of v so that its reduced cost is zero.
func (s *dualState) shift(v int32) {
	s.weight[v] -= s.d[v]
	s.d[v] = 0
}

func (s *dualState) unban() {
	if s.bannedAny {
		clear(s.banned)
		s.bannedAny = false
	}
}

// price returns the row of the largest weighted violation, or -1.
func (s *dualState) price() int32 {
	r, best := int32(-1), 0.0
	for i, v := range s.head {
		g := s.infeasibility(v)
		if math.Abs(g) <= primalTolerance || s.banned[v] {
			continue
		}
		if score := g * g / s.edge[v]; score > best {
			r, best = int32(i), score
		}
	}
	return r
}

// step repairs row r.
func (s *dualState) step(r int32) stepResult {
	out := s.head[r]
	gap := s.infeasibility(out)
	rho := s.rho
	clear(rho)
	rho[r] = 1
	s.factor.btran(rho)
	s.pivotRow(rho)
	weight := 0.0
	for _, v := range rho {
		weight += float64(v * v)
	}
	s.edge[out] = weight

	q, flips := s.ratio(sign(gap), math.Abs(gap))
	if q < 0 {
		if s.rowProves(out) {
			return stepUnbounded
		}
		s.refuse(out)
		return stepRefused
	}
	column := s.column
	clear(column)
	s.addColumn(column, q, 1)
	s.factor.ftran(column, true)
	pivot := column[r]
	if math.Abs(s.alpha[q]-pivot) > float64(driftTolerance*(1+math.Abs(pivot))) && s.factor.updates > 0 {
		s.factorised = false
		return stepRefused
	}
	if math.Abs(pivot) < s.least {
		s.refuse(out)
		return stepRefused
	}
	s.turnAll(flips)
	s.updateDuals(q, out, pivot)
	s.updateEdges(r, q, column, rho, weight)

	bound, status := s.low[out], solver.AtLower
	if gap > 0 {
		bound, status = s.high[out], solver.AtUpper
	}
	delta := (s.x[out] - bound) / pivot
	for i, a := range column {
		if a != 0 {
			s.x[s.head[i]] -= float64(delta * a)
		}
	}
	s.x[q] += delta
	s.exchange(r, q, status, pivot)
	s.place(out)
	s.iterations++
	s.least = weakPivot
	s.unban()
	return stepDone
}

// refuse has the basis refactorised, or leaves the row aside if it is fresh.
func (s *dualState) refuse(out int32) {
	if s.factor.updates > 0 {
		s.factorised = false
		return
	}
	s.banned[out] = true
	s.bannedAny = true
}

// turnAll flips variables and moves the basic values along.
func (s *dualState) turnAll(flips []dualBreak) {
	if len(flips) == 0 {
		return
	}
	change := s.flips
	clear(change)
	for _, b := range flips {
		s.addColumn(change, b.v, s.turn(b.v))
	}
	s.factor.ftran(change, false)
	for i, c := range change {
		if c != 0 {
			s.x[s.head[i]] -= c
		}
	}
}

// updateDuals takes the dual step that brings q in, shifting the costs of
// variables that the Harris bound let slip.
func (s *dualState) updateDuals(q, out int32, pivot float64) {
	if s.distance(q) == 0 {
		s.shift(q)
	}
	dual := s.d[q] / pivot
	if math.Abs(dual) > dualTolerance {
		s.stall = 0
	} else if s.stall++; s.stall > stallLimit {
		s.stall = 0
		s.raiseCosts(s.size)
		dual = s.d[q] / pivot
	}
	for _, j := range s.touched {
		a := s.alpha[j]
		if a == 0 || j == q {
			continue
		}
		s.d[j] -= float64(dual * a)
		if s.attraction(j) > 0 {
			s.shift(j)
		}
	}
	s.d[q] = 0
	s.d[out] = -dual
}

// updateEdges updates the steepest-edge weights for a pivot on row r.
func (s *dualState) updateEdges(r, q int32, column, rho []float64, weight float64) {
	tau := s.tau
	copy(tau, rho)
	s.factor.ftran(tau, false)
	pivot := column[r]
	for i, a := range column {
		if a == 0 || int32(i) == r {
			continue
		}
		v := s.head[i]
		ratio := a / pivot
		w := s.edge[v] + float64(ratio*(float64(ratio*weight)-float64(2*tau[i])))
		s.edge[v] = max(w, leastEdge)
	}
	s.edge[q] = max(weight/float64(pivot*pivot), leastEdge)
}
