package solver

import (
	"container/heap"
	"math"
	"slices"
)

// Reliability branching: a column's pseudo-cost is the mean rise of the
// objective per unit branched. While it rests on few branchings, a few
// iterations of the dual simplex method on both children stand in for it.

const (
	// reliable is the number of branchings a pseudo-cost is trusted from.
	reliable = 4
	// strongCandidates and strongIterations limit the work of trying
	// children at one node.
	strongCandidates = 5
	strongIterations = 25
)

// pseudoCost is the history of one column.
type pseudoCost struct {
	up, down   float64 // summed rise per unit
	ups, downs int
}

func (p *pseudoCost) learn(up bool, rise, distance float64) {
	if distance <= 0 || math.IsInf(rise, 0) || math.IsNaN(rise) {
		return
	}
	unit := max(0, rise) / distance
	if up {
		p.up += unit
		p.ups++
	} else {
		p.down += unit
		p.downs++
	}
}

// candidate is a fractional column with the expected rises of its children.
type candidate struct {
	k        int
	down, up float64
	score    float64
}

func scoreOf(down, up float64) float64 {
	const least = 1e-6
	return float64(max(down, least) * max(up, least))
}

// branch splits n on one of its fractional columns, puts one child on the
// heap and returns the other; nil if the trial of children closed the node.
func (s *search) branch(n *node, objective float64, fractional []int) *node {
	cands := s.candidates(fractional)
	best := cands[0]
	tried := 0
	for i := range cands {
		c := &cands[i]
		p := &s.pseudo[c.k]
		if tried < strongCandidates && (p.ups < reliable || p.downs < reliable) {
			tried++
			downClosed, upClosed := s.try(n, c, objective)
			if s.struck != NoLimit {
				return nil
			}
			if downClosed && upClosed {
				return nil
			}
			if downClosed || upClosed {
				down, up := s.children(n, c.k, objective)
				if downClosed {
					return up
				}
				return down
			}
		}
		if c.score > best.score || i == 0 {
			best = *c
		}
	}
	down, up := s.children(n, best.k, objective)
	dive, other := down, up
	fraction := down.distance
	if fraction > 0.5 || fraction == 0.5 && best.up <= best.down {
		dive, other = up, down
	}
	heap.Push(&s.open, other)
	return dive
}

// candidates orders the fractional columns by expected rise, using the mean
// pseudo-cost for columns without one.
func (s *search) candidates(fractional []int) []candidate {
	var mean pseudoCost
	for _, p := range s.pseudo {
		mean.up += p.up
		mean.down += p.down
		mean.ups += p.ups
		mean.downs += p.downs
	}
	value := func(sum float64, count int, all float64, allCount int) float64 {
		switch {
		case count > 0:
			return sum / float64(count)
		case allCount > 0:
			return all / float64(allCount)
		}
		return 1
	}
	cands := make([]candidate, 0, len(fractional))
	for _, k := range fractional {
		x := s.x[s.integer[k]]
		f := x - math.Floor(x)
		p := s.pseudo[k]
		c := candidate{k: k,
			down: float64(f * value(p.down, p.downs, mean.down, mean.downs)),
			up:   float64((1 - f) * value(p.up, p.ups, mean.up, mean.ups))}
		c.score = scoreOf(c.down, c.up)
		cands = append(cands, c)
	}
	slices.SortStableFunc(cands, func(a, b candidate) int {
		switch {
		case a.score > b.score:
			return -1
		case a.score < b.score:
			return 1
		}
		return a.k - b.k
	})
	return cands
}

// children makes both children of n on integer column k.
func (s *search) children(n *node, k int, objective float64) (down, up *node) {
	x := s.x[s.integer[k]]
	l, u := s.boundsAt(n, k)
	floor := math.Floor(x)
	down = &node{parent: n, column: k, lower: l, upper: floor, distance: x - floor}
	up = &node{parent: n, column: k, lower: floor + 1, upper: u, distance: floor + 1 - x, up: true}
	for _, c := range []*node{down, up} {
		s.created++
		c.number = s.created
		c.bound, c.depth, c.basis, c.parentObjective = n.bound, n.depth+1, n.basis, objective
	}
	return down, up
}

// boundsAt returns the bounds of integer column k at n.
func (s *search) boundsAt(n *node, k int) (l, u float64) {
	for ; n != nil && n.column >= 0; n = n.parent {
		if n.column == k {
			return max(n.lower, s.lower[k]), min(n.upper, s.upper[k])
		}
	}
	return s.lower[k], s.upper[k]
}

// try runs a few iterations on both children of n by c and sets its rises.
// A child is closed when it is infeasible or, solved to the end, beyond the
// target.
func (s *search) try(n *node, c *candidate, objective float64) (downClosed, upClosed bool) {
	j := s.integer[c.k]
	x := s.x[j]
	l, u := s.boundsAt(n, c.k)
	floor := math.Floor(x)
	one := func(lower, upper float64, up bool, distance float64) (rise float64, closed bool) {
		s.lp.SetColumnBounds(j, lower, upper)
		s.lp.SetBasis(n.basis)
		status := s.lp.Solve(s.ctx, strongIterations)
		value := s.lp.Objective()
		switch status {
		case Infeasible:
			return math.Inf(1), true
		case Optimal:
			rise = max(0, value-objective)
			s.pseudo[c.k].learn(up, rise, distance)
			if bound := s.rounded(value); bound >= s.target() {
				s.leave(bound)
				return rise, true
			}
			return rise, false
		case Limit:
			return max(0, value-objective), false
		}
		return 0, false
	}
	c.down, downClosed = one(l, floor, false, x-floor)
	c.up, upClosed = one(floor+1, u, true, floor+1-x)
	s.lp.SetColumnBounds(j, l, u)
	s.changed[c.k] = true
	s.limits()
	c.score = scoreOf(c.down, c.up)
	return downClosed, upClosed
}
