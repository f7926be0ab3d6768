package solver

import (
	"container/heap"
	"context"
	"math"
)

// node is a subproblem: its parent's with one bound changed.
type node struct {
	parent       *node
	column       int
	lower, upper float64
	bound        float64 // of the parent, then its own
	depth        int
	number       int   // order of creation, to break ties
	basis        Basis // the parent's last
	// The branching that made it, for the pseudo-costs.
	parentObjective float64
	distance        float64 // how far the branching moved the column
	up              bool
}

// nodeHeap holds the open nodes, least bound first, then deepest, then oldest.
type nodeHeap []*node

func (h nodeHeap) Len() int { return len(h) }
func (h nodeHeap) Less(i, j int) bool {
	a, b := h[i], h[j]
	switch {
	case a.bound != b.bound:
		return a.bound < b.bound
	case a.depth != b.depth:
		return a.depth > b.depth
	}
	return a.number < b.number
}
func (h nodeHeap) Swap(i, j int) { h[i], h[j] = h[j], h[i] }
func (h *nodeHeap) Push(x any)   { *h = append(*h, x.(*node)) }
func (h *nodeHeap) Pop() any {
	old := *h
	n := old[len(old)-1]
	old[len(old)-1] = nil
	*h = old[:len(old)-1]
	return n
}

type search struct {
	ctx            context.Context
	lp             LP
	options        MIPOptions
	firstIteration int

	integer      []int
	lower, upper []float64 // of the integer columns, tightened for all nodes
	given        [][2]float64
	changed      []bool // integer columns whose bounds in lp are a node's

	best          []float64
	bestObjective float64
	cutoff        float64 // of the options, +Inf if none

	open        nodeHeap
	current     *node   // the node being searched, for the bound
	leftBound   float64 // least bound of nodes left unsearched within the gap or failed
	failedBound float64
	failed      int
	nodes       int
	created     int
	struck      MIPLimit
	unbounded   bool

	pseudo []pseudoCost // by integer column

	rootObjective float64
	rootReduced   []float64
	rootX         []float64

	x []float64
}

func newSearch(ctx context.Context, lp LP, options MIPOptions) *search {
	s := &search{ctx: ctx, lp: lp, options: options, firstIteration: lp.Iterations(),
		bestObjective: math.Inf(1), cutoff: math.Inf(1),
		leftBound: math.Inf(1), failedBound: math.Inf(1)}
	if options.Cutoff != nil {
		s.cutoff = *options.Cutoff
	}
	s.integer = options.Integer
	if s.integer == nil {
		for j := range lp.NumColumns() {
			s.integer = append(s.integer, j)
		}
	}
	n := len(s.integer)
	s.lower, s.upper = make([]float64, n), make([]float64, n)
	s.given = make([][2]float64, n)
	s.changed = make([]bool, n)
	s.pseudo = make([]pseudoCost, n)
	for k, j := range s.integer {
		l, u := lp.ColumnBounds(j)
		s.given[k] = [2]float64{l, u}
		s.lower[k], s.upper[k] = math.Ceil(l-integrality), math.Floor(u+integrality)
	}
	return s
}

// run is the search: dives until no open node is left or a limit strikes.
func (s *search) run() {
	for k, j := range s.integer {
		s.changed[k] = true
		if s.lower[k] > s.upper[k] {
			return
		}
		s.lp.SetColumnBounds(j, s.lower[k], s.upper[k])
	}
	s.tryStart()
	if s.struck != NoLimit {
		s.leftBound = math.Inf(-1)
		return
	}
	next := &node{column: -1, bound: math.Inf(-1), basis: s.lp.Basis()}
	for next != nil {
		s.current = next
		if s.limits() {
			return
		}
		child := s.visit(next)
		if s.struck != NoLimit || s.unbounded {
			return
		}
		if next = child; next == nil {
			next = s.pop()
		}
		if s.nodes%100 == 0 {
			s.progress()
		}
	}
	s.current = nil
}

// limits tells whether a limit has struck before the next node.
func (s *search) limits() bool {
	switch {
	case s.ctx.Err() != nil:
		s.struck = ContextEnded
	case s.options.MaxNodes > 0 && s.nodes >= s.options.MaxNodes:
		s.struck = NodeLimit
	case s.options.MaxIterations > 0 && s.iterationsLeft() <= 0:
		s.struck = IterationLimit
	}
	return s.struck != NoLimit
}

func (s *search) iterationsLeft() int {
	return s.options.MaxIterations - (s.lp.Iterations() - s.firstIteration)
}

// pop returns the open node of least bound, or nil; those that the best point
// has overtaken are dropped.
func (s *search) pop() *node {
	for s.open.Len() > 0 {
		n := heap.Pop(&s.open).(*node)
		if n.bound < s.target() {
			return n
		}
		s.leave(n.bound)
	}
	return nil
}

// target is the bound from which on a node is not worth searching.
func (s *search) target() float64 {
	if s.best == nil {
		return s.cutoff
	}
	gap := max(s.options.GapAbs, s.options.GapRel*math.Abs(s.bestObjective))
	if step := s.options.ObjectiveStep; step > 0 {
		gap = max(gap, float64(0.5*step)) // bounds are whole steps
	} else {
		gap = max(gap, boundSlack*1e-3*max(1, math.Abs(s.bestObjective)))
	}
	return min(s.cutoff, s.bestObjective-gap)
}

// leave records that a node with this bound stays unsearched because it
// cannot beat the target.
func (s *search) leave(bound float64) { s.leftBound = min(s.leftBound, bound) }

// lowerBound is the least bound of all that was not searched.
func (s *search) lowerBound() float64 {
	bound := min(min(s.leftBound, s.bestObjective), s.cutoff)
	if s.current != nil {
		bound = min(bound, s.current.bound)
	}
	if len(s.open) > 0 {
		bound = min(bound, s.open[0].bound)
	}
	return bound
}

func (s *search) progress() {
	if s.options.Progress != nil {
		s.options.Progress(MIPProgress{Nodes: s.nodes, Open: len(s.open),
			Iterations: s.lp.Iterations() - s.firstIteration,
			Bound:      s.lowerBound(), Best: s.bestObjective})
	}
}

// rounded raises a bound to the next value the objective can take.
func (s *search) rounded(bound float64) float64 {
	step := s.options.ObjectiveStep
	if step <= 0 || math.IsInf(bound, 0) {
		return bound
	}
	return max(bound, math.Ceil(bound/step-boundSlack)*step)
}

// setBounds gives the model the bounds of n; with nil, those it came with.
func (s *search) setBounds(n *node) {
	for k, j := range s.integer {
		if n == nil {
			s.lp.SetColumnBounds(j, s.given[k][0], s.given[k][1])
		} else if s.changed[k] {
			s.changed[k] = false
			s.lp.SetColumnBounds(j, s.lower[k], s.upper[k])
		}
	}
	if n == nil {
		return
	}
	// From the node up to the root; a column's first bounds are its tightest.
	for ; n != nil && n.column >= 0; n = n.parent {
		if !s.changed[n.column] {
			s.changed[n.column] = true
			l := max(n.lower, s.lower[n.column])
			u := min(n.upper, s.upper[n.column])
			s.lp.SetColumnBounds(s.integer[n.column], l, u)
		}
	}
}

// solve re-solves the model, from scratch a second time if the engine fails.
func (s *search) solve(maxIterations int) Status {
	limit := maxIterations
	if s.options.MaxIterations > 0 {
		left := max(1, s.iterationsLeft())
		if limit <= 0 || left < limit {
			limit = left
		}
	}
	status := s.lp.Solve(s.ctx, limit)
	if status == Failed {
		s.lp.SetBasis(Basis{})
		status = s.lp.Solve(s.ctx, limit)
	}
	return status
}

// visit solves a node and branches. It returns the child to dive into.
func (s *search) visit(n *node) *node {
	s.nodes++
	s.setBounds(n)
	s.lp.SetBasis(n.basis)
	switch s.solve(0) {
	case Infeasible:
		return nil
	case Unbounded:
		// Only the root can be: bounds were tightened since.
		s.unbounded = true
		return nil
	case Limit:
		s.limits()
		if s.struck == NoLimit {
			s.struck = IterationLimit
		}
		return nil
	case Failed:
		s.fail(n.bound)
		return nil
	}
	objective := s.lp.Objective()
	if n.column >= 0 {
		s.pseudo[n.column].learn(n.up, objective-n.parentObjective, n.distance)
	}
	n.bound = max(n.bound, s.rounded(objective))
	if n.bound >= s.target() {
		s.leave(n.bound)
		return nil
	}
	n.basis = s.lp.Basis()
	s.x = s.lp.Primal(s.x)
	fractional := s.fractional()
	if n.column < 0 {
		s.atRoot(objective)
	}
	if len(fractional) == 0 {
		if !s.accept() && !s.limits() {
			s.fail(n.bound)
		}
		return nil
	}
	if n.column < 0 {
		s.roundRoot(n)
		if s.struck != NoLimit {
			return nil
		}
		if n.bound >= s.target() {
			s.leave(n.bound)
			return nil
		}
		s.progress()
	}
	return s.branch(n, objective, fractional)
}

func (s *search) fail(bound float64) {
	s.failed++
	s.failedBound = min(s.failedBound, bound)
	s.leave(bound)
}

// fractional lists the integer columns, by their place in s.integer, whose
// value in s.x is not integral.
func (s *search) fractional() []int {
	var f []int
	for k, j := range s.integer {
		if math.Abs(s.x[j]-math.Round(s.x[j])) > integrality {
			f = append(f, k)
		}
	}
	return f
}
