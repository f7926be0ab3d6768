package solver

import "math"

// fixAndSolve fixes every integer column at its value in x, rounded by round
// and kept within its bounds, and solves for the rest. It leaves the model
// with these bounds.
func (s *search) fixAndSolve(x []float64, round func(float64) float64) bool {
	for k, j := range s.integer {
		v := max(s.lower[k], min(s.upper[k], round(x[j])))
		s.lp.SetColumnBounds(j, v, v)
		s.changed[k] = true
	}
	return s.solve(0) == Optimal
}

// take keeps the point of the last solve if it is better than the best.
func (s *search) take() {
	objective := s.lp.Objective()
	if step := s.options.ObjectiveStep; step > 0 {
		if whole := float64(math.Round(objective/step) * step); math.Abs(objective-whole) <= float64(boundSlack*step) {
			objective = whole
		}
	}
	if objective >= s.bestObjective || objective >= s.cutoff {
		return
	}
	s.bestObjective = objective
	s.best = s.lp.Primal(s.best)
	for _, j := range s.integer {
		s.best[j] = math.Round(s.best[j])
	}
	s.tighten()
	s.progress()
}

// accept makes the integral point s.x of the current node the best: with the
// integer columns exactly integral, the linear program is solved once more.
// It reports false if that fails, which only rounding can cause.
func (s *search) accept() bool {
	if !s.fixAndSolve(s.x, math.Round) {
		return false
	}
	s.take()
	return true
}

// tryStart makes the given point the best if it can be completed.
func (s *search) tryStart() {
	if s.options.Start == nil || len(s.options.Start) != s.lp.NumColumns() {
		return
	}
	basis := s.lp.Basis()
	for k, j := range s.integer {
		if v := math.Round(s.options.Start[j]); v < s.lower[k] || v > s.upper[k] {
			return
		}
	}
	if s.fixAndSolve(s.options.Start, math.Round) {
		s.take()
	}
	s.lp.SetBasis(basis)
	s.limits()
}

// atRoot keeps the root's reduced costs, which tighten bounds for the whole
// tree whenever a better point is found.
func (s *search) atRoot(objective float64) {
	s.rootObjective = objective
	s.rootReduced = s.lp.ReducedCost(nil)
	s.rootX = append([]float64(nil), s.x...)
	s.tighten()
}

// tighten fixes integer columns that cannot leave the bound they have at the
// root without the objective passing the target (reduced-cost fixing).
func (s *search) tighten() {
	if s.rootReduced == nil {
		return
	}
	room := s.target() - s.rootObjective
	if math.IsInf(room, 1) || room <= 0 {
		return
	}
	// What is cut off here lies at or above the target.
	s.leave(s.rounded(s.target()))
	room += float64(boundSlack * max(1, math.Abs(s.rootObjective)))
	for k, j := range s.integer {
		d, x := s.rootReduced[j], s.rootX[j]
		if math.Abs(d) <= boundSlack || math.Abs(x-math.Round(x)) > integrality {
			continue
		}
		reach := math.Floor(room / math.Abs(d))
		if d > 0 {
			s.upper[k] = min(s.upper[k], math.Round(x)+reach)
		} else {
			s.lower[k] = max(s.lower[k], math.Round(x)-reach)
		}
		s.changed[k] = true
	}
}

// roundRoot tries the roundings of the root's point.
func (s *search) roundRoot(n *node) {
	x := append([]float64(nil), s.x...)
	for _, round := range []func(float64) float64{roundNearest, roundUp, roundDown} {
		s.lp.SetBasis(n.basis)
		if s.fixAndSolve(x, round) {
			s.take()
		}
		if s.limits() {
			return
		}
	}
	s.setBounds(n)
	copy(s.x, x)
}

func roundNearest(v float64) float64 { return math.Round(v) }
func roundUp(v float64) float64      { return math.Ceil(v - integrality) }
func roundDown(v float64) float64    { return math.Floor(v + integrality) }
