// Package solver is a small interface to linear and mixed-integer programming.
//
// A linear program is held in row form with bounds on both rows and columns,
//
//	minimise    c·x
//	subject to  rowLower ≤ A x ≤ rowUpper
//	            colLower ≤   x ≤ colUpper
//
// and can grow after it was solved: columns and rows are added to the live
// model and the next Solve starts from the basis the last one left. That is
// what column generation and branch and bound need, and all they need.
//
// Two engines stand behind the interface: solver/embedded (pure Go, the
// default) and solver/glpk (built with -tags glpk). Both pass the same tests.
//
// Floating-point results are never proofs. A caller that claims a bound
// recomputes it from rounded duals in exact integers.
package solver

import (
	"context"
	"math"
)

// Inf is the bound that is no bound.
var Inf = math.Inf(1)

// Status is the outcome of a solve.
type Status int

const (
	// Unsolved: Solve was not called since the model was made.
	Unsolved Status = iota
	// Optimal: primal and dual feasible within the engine's tolerances.
	Optimal
	// Infeasible: no point satisfies all bounds (within tolerance).
	Infeasible
	// Unbounded: the objective falls without limit.
	Unbounded
	// Limit: the iteration limit struck, or the context ended; the point
	// reached is returned but neither optimality nor feasibility is claimed.
	Limit
	// Failed: the engine met numerical trouble it could not repair and says so.
	Failed
)

// String is the status in one lower-case word.
func (s Status) String() string {
	switch s {
	case Unsolved:
		return "unsolved"
	case Optimal:
		return "optimal"
	case Infeasible:
		return "infeasible"
	case Unbounded:
		return "unbounded"
	case Limit:
		return "limit"
	case Failed:
		return "failed"
	}
	return "unknown"
}

// BasisStatus places one column or row (its slack) relative to the basis.
type BasisStatus int8

const (
	Basic BasisStatus = iota
	AtLower
	AtUpper
	// Free is a non-basic variable without bounds, held at zero.
	Free
)

// Basis is a starting point for the simplex method: one status per column
// and per row, in model order. A basis shorter than the model is completed:
// missing columns at a bound, missing rows basic.
type Basis struct {
	Columns []BasisStatus
	Rows    []BasisStatus
}

// LP is one live linear program. It is not safe for concurrent use.
//
// Index arguments name rows (for AddColumn) or columns (for AddRow) by
// number; indices must be distinct and in range, else the call panics with a
// package-prefixed message: it is a programming error, not one of data.
type LP interface {
	// AddRow appends a row with the given non-zero coefficients and returns its number.
	AddRow(lower, upper float64, columns []int32, values []float64) int
	// AddColumn appends a column and returns its number.
	AddColumn(cost, lower, upper float64, rows []int32, values []float64) int
	SetCost(column int, cost float64)
	SetColumnBounds(column int, lower, upper float64)
	SetRowBounds(row int, lower, upper float64)
	ColumnBounds(column int) (lower, upper float64)
	RowBounds(row int) (lower, upper float64)
	NumRows() int
	NumColumns() int

	// Solve optimises from the current basis (the slack basis at first).
	// maxIterations ≤ 0 means no limit.
	Solve(ctx context.Context, maxIterations int) Status

	// Objective, Primal, Dual and ReducedCost speak of the last Solve. Dual
	// has one value per row: the change of the optimum per unit of the row's
	// active bound. ReducedCost is cost minus dual·column. The slices are
	// written into dst when it is large enough, and returned.
	Objective() float64
	Primal(dst []float64) []float64
	Dual(dst []float64) []float64
	ReducedCost(dst []float64) []float64
	// Basis returns the basis of the last Solve; SetBasis starts the next one.
	Basis() Basis
	SetBasis(Basis)
	// Iterations counts simplex iterations over the life of the model.
	Iterations() int
	// Close releases what the engine holds outside Go's memory.
	Close()
}

// Engine makes empty models.
type Engine interface {
	Name() string
	New() LP
}
