package solver

import (
	"context"
	"math"
)

// MIPOptions steer SolveMIP. The zero value asks for a proven optimum with
// all columns integer and no limit.
type MIPOptions struct {
	// Integer lists the columns that must take integer values; nil means all.
	// Columns added later are never integer.
	Integer []int
	// MaxNodes and MaxIterations (simplex iterations) limit the search; ≤ 0
	// means no limit. They are counted, so the same limits give the same
	// result everywhere; the context is the only limit of time.
	MaxNodes      int
	MaxIterations int
	// Cutoff, if not nil, makes the search look only for points with an
	// objective below it.
	Cutoff *float64
	// Start is a known point. Its integer columns, fixed at their rounded
	// values, are completed by a linear program; if that is infeasible, Start
	// is ignored. It must have one value per column.
	Start []float64
	// ObjectiveStep > 0 promises that the objective of every feasible point
	// is a multiple of it (1 if costs are integral and all columns integer),
	// so that bounds are rounded up to the next multiple.
	ObjectiveStep float64
	// A node is not searched further when its bound is within GapAbs, or
	// GapRel times the objective's magnitude, of the best point.
	GapAbs, GapRel float64
	// Progress, if not nil, is called at the root, at every new best point,
	// and every hundred nodes.
	Progress func(MIPProgress)
}

// MIPProgress is a glimpse of a running search.
type MIPProgress struct {
	Nodes, Open int
	Iterations  int
	// Bound is a lower bound on the optimum; Best the objective of the best
	// point, +Inf if there is none.
	Bound, Best float64
}

// MIPLimit names the limit that ended a search.
type MIPLimit int

const (
	// NoLimit: the search ended by itself.
	NoLimit MIPLimit = iota
	// NodeLimit: MaxNodes struck.
	NodeLimit
	// IterationLimit: MaxIterations struck.
	IterationLimit
	// ContextEnded: the context was cancelled or its deadline passed.
	ContextEnded
)

// MIPResult is what SolveMIP found.
type MIPResult struct {
	// Status is Optimal: X is optimal within the gaps; Infeasible: there is
	// no point (below the cutoff); Unbounded: the relaxation is; Limit: a
	// limit struck; Failed: the search ended, but the engine failed on
	// subproblems that may hold a better point than X.
	Status Status
	// X is the best point, with its integer columns exactly integer; nil if
	// none was found.
	X []float64
	// Objective is that of X, +Inf without X.
	Objective float64
	// Bound is a lower bound on the objective of every point, at most the
	// cutoff, within the tolerances of the engine: a floating-point number,
	// not a proof. +Inf if Status is Infeasible and there was no cutoff.
	Bound      float64
	Nodes      int
	Iterations int
	// FailedNodes counts subproblems given up because the engine failed.
	FailedNodes int
	LimitStruck MIPLimit
}

const (
	// integrality is how far a value may be from an integer and count as
	// one; the engines' 1e-8 leaves room for the scaling of columns.
	integrality = 1e-6
	// boundSlack is the part of a step (or of the objective) forgiven before
	// a bound is rounded up, for the same reason.
	boundSlack = 1e-6
)

// SolveMIP minimises over the points of lp whose integer columns are integral,
// by branch and bound (Land & Doig 1960, "An automatic method of solving
// discrete programming problems", Econometrica 28:497–520): dives from the
// open node of least bound, branching by reliability (Achterberg, Koch &
// Martin 2005, "Branching rules revisited", Operations Research Letters
// 33:42–54). Every node is re-solved from its parent's basis.
//
// The model is changed during the search; on return its bounds are as before.
// The result depends only on the model, its basis and the options, unless the
// context ends the search. The time may grow exponentially with the columns.
func SolveMIP(ctx context.Context, lp LP, options MIPOptions) MIPResult {
	s := newSearch(ctx, lp, options)
	s.run()
	s.setBounds(nil)
	return s.report()
}

func (s *search) report() MIPResult {
	r := MIPResult{
		X:           s.best,
		Objective:   s.bestObjective,
		Nodes:       s.nodes,
		Iterations:  s.lp.Iterations() - s.firstIteration,
		FailedNodes: s.failed,
		LimitStruck: s.struck,
	}
	r.Bound = s.lowerBound()
	switch {
	case s.unbounded:
		r.Status, r.Bound = Unbounded, math.Inf(-1)
	case s.struck != NoLimit:
		r.Status = Limit
	case s.failed > 0 && s.failedBound < s.target():
		r.Status = Failed
	case s.best != nil:
		r.Status = Optimal
	default:
		r.Status = Infeasible
	}
	return r
}
