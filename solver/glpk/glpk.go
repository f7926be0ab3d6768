//go:build glpk

package glpk

/*
#cgo LDFLAGS: -lglpk
#include <glpk.h>

static int run(glp_prob *p, int method, int iterations) {
	glp_smcp o;
	glp_init_smcp(&o);
	o.msg_lev = GLP_MSG_OFF;
	o.meth = method;
	o.presolve = GLP_OFF;
	o.it_lim = iterations;
	o.tol_bnd = 1e-8;
	o.tol_dj = 1e-8;
	return glp_simplex(p, &o);
}
*/
import "C"

import (
	"context"
	"math"
	"runtime"

	"sawbill/solver"
	"sawbill/solver/internal/argument"
)

// Engine makes models solved by GLPK.
type Engine struct{}

// Name returns "glpk".
func (Engine) Name() string { return "glpk" }

// New returns an empty model on a thread of its own. It must be closed.
func (Engine) New() solver.LP {
	p := &lp{calls: make(chan func()), done: make(chan struct{})}
	go func() {
		// Never unlocked: the thread ends with the goroutine.
		runtime.LockOSThread()
		for call := range p.calls {
			call()
			p.done <- struct{}{}
		}
	}()
	p.do(func() {
		C.glp_term_out(C.GLP_OFF)
		p.prob = C.glp_create_prob()
	})
	return p
}

type bounds struct{ lower, upper float64 }

type lp struct {
	calls chan func()
	done  chan struct{}
	prob  *C.glp_prob

	rows, columns []bounds
	iterations    int
	result        result
	arguments     argument.Checker
}

// result is a copy of what the last Solve left.
type result struct {
	objective             float64
	primal, dual, reduced []float64
}

// do runs f on the model's thread.
func (p *lp) do(f func()) {
	p.calls <- f
	<-p.done
}

func (p *lp) Close() {
	if p.prob == nil {
		return
	}
	p.do(func() {
		C.glp_delete_prob(p.prob)
		C.glp_free_env()
	})
	p.prob = nil
	close(p.calls)
}

func (p *lp) NumRows() int    { return len(p.rows) }
func (p *lp) NumColumns() int { return len(p.columns) }
func (p *lp) Iterations() int { return p.iterations }

// kindOf translates bounds. Crossed bounds never reach GLPK.
func kindOf(lower, upper float64) (kind C.int, l, u C.double) {
	noLower, noUpper := math.IsInf(lower, 0), math.IsInf(upper, 0)
	switch {
	case noLower && noUpper:
		return C.GLP_FR, 0, 0
	case noLower:
		return C.GLP_UP, 0, C.double(upper)
	case noUpper:
		return C.GLP_LO, C.double(lower), 0
	case lower >= upper:
		return C.GLP_FX, C.double(lower), C.double(lower)
	}
	return C.GLP_DB, C.double(lower), C.double(upper)
}

// sparse makes the one-based arrays of GLPK without zero coefficients.
func sparse(indices []int32, values []float64) ([]C.int, []C.double) {
	index := make([]C.int, 1, len(indices)+1)
	value := make([]C.double, 1, len(indices)+1)
	for k, i := range indices {
		if values[k] != 0 {
			index = append(index, C.int(i+1))
			value = append(value, C.double(values[k]))
		}
	}
	return index, value
}

func (p *lp) AddRow(lower, upper float64, columns []int32, values []float64) int {
	argument.Bounds("AddRow", lower, upper)
	p.arguments.Sparse("AddRow", columns, values, len(p.columns))
	index, value := sparse(columns, values)
	p.rows = append(p.rows, bounds{})
	p.do(func() {
		i := C.glp_add_rows(p.prob, 1)
		C.glp_set_mat_row(p.prob, i, C.int(len(index)-1), &index[0], &value[0])
		C.glp_set_row_stat(p.prob, i, C.GLP_BS)
	})
	p.SetRowBounds(len(p.rows)-1, lower, upper)
	return len(p.rows) - 1
}

func (p *lp) AddColumn(cost, lower, upper float64, rows []int32, values []float64) int {
	argument.Bounds("AddColumn", lower, upper)
	argument.Cost("AddColumn", cost)
	p.arguments.Sparse("AddColumn", rows, values, len(p.rows))
	index, value := sparse(rows, values)
	p.columns = append(p.columns, bounds{})
	p.do(func() {
		j := C.glp_add_cols(p.prob, 1)
		C.glp_set_obj_coef(p.prob, j, C.double(cost))
		C.glp_set_mat_col(p.prob, j, C.int(len(index)-1), &index[0], &value[0])
	})
	p.SetColumnBounds(len(p.columns)-1, lower, upper)
	return len(p.columns) - 1
}

func (p *lp) SetCost(column int, cost float64) {
	argument.Cost("SetCost", cost)
	p.do(func() { C.glp_set_obj_coef(p.prob, C.int(column+1), C.double(cost)) })
}

func (p *lp) SetColumnBounds(column int, lower, upper float64) {
	argument.Bounds("SetColumnBounds", lower, upper)
	p.columns[column] = bounds{lower, upper}
	kind, l, u := kindOf(lower, upper)
	p.do(func() { C.glp_set_col_bnds(p.prob, C.int(column+1), kind, l, u) })
}

func (p *lp) SetRowBounds(row int, lower, upper float64) {
	argument.Bounds("SetRowBounds", lower, upper)
	p.rows[row] = bounds{lower, upper}
	kind, l, u := kindOf(lower, upper)
	p.do(func() { C.glp_set_row_bnds(p.prob, C.int(row+1), kind, l, u) })
}

func (p *lp) ColumnBounds(column int) (lower, upper float64) {
	b := p.columns[column]
	return b.lower, b.upper
}

func (p *lp) RowBounds(row int) (lower, upper float64) {
	b := p.rows[row]
	return b.lower, b.upper
}

// Solve runs GLPK in slices of iterations so that the context is heard.
func (p *lp) Solve(ctx context.Context, maxIterations int) solver.Status {
	if p.crossed() {
		return solver.Infeasible
	}
	const slice = 1000
	status := solver.Limit
	p.do(func() {
		rebuilt := false
		method := C.int(C.GLP_DUALP)
		before := int(C.glp_get_it_cnt(p.prob))
		for ctx.Err() == nil {
			used := int(C.glp_get_it_cnt(p.prob)) - before
			todo := slice
			if maxIterations > 0 {
				todo = min(slice, maxIterations-used)
			}
			if todo <= 0 {
				break
			}
			code := C.run(p.prob, method, C.int(todo))
			if code == C.GLP_EITLIM {
				continue
			}
			if (code == C.GLP_EBADB || code == C.GLP_ESING || code == C.GLP_ECOND) && !rebuilt {
				rebuilt = true
				C.glp_std_basis(p.prob)
				continue
			}
			status = p.status(code)
			if status == solver.Failed && method == C.GLP_DUALP {
				// The dual method stops at a dual infeasible program without
				// telling infeasible from unbounded.
				method = C.GLP_PRIMAL
				status = solver.Limit
				continue
			}
			break
		}
		p.iterations = int(C.glp_get_it_cnt(p.prob))
		p.keep()
	})
	return status
}

func (p *lp) status(code C.int) solver.Status {
	switch {
	case code != 0:
		return solver.Failed
	case C.glp_get_status(p.prob) == C.GLP_OPT:
		return solver.Optimal
	case C.glp_get_prim_stat(p.prob) == C.GLP_NOFEAS:
		return solver.Infeasible
	case C.glp_get_status(p.prob) == C.GLP_UNBND:
		return solver.Unbounded
	}
	return solver.Failed
}

func (p *lp) crossed() bool {
	for _, set := range [][]bounds{p.rows, p.columns} {
		for _, b := range set {
			if b.lower > b.upper+1e-9*math.Max(1, math.Abs(b.upper)) {
				return true
			}
		}
	}
	return false
}

// keep copies the result; it runs on the model's thread.
func (p *lp) keep() {
	r := &p.result
	r.objective = float64(C.glp_get_obj_val(p.prob))
	r.primal, r.dual, r.reduced = r.primal[:0], r.dual[:0], r.reduced[:0]
	for j := range p.columns {
		r.primal = append(r.primal, float64(C.glp_get_col_prim(p.prob, C.int(j+1))))
		r.reduced = append(r.reduced, float64(C.glp_get_col_dual(p.prob, C.int(j+1))))
	}
	for i := range p.rows {
		r.dual = append(r.dual, float64(C.glp_get_row_dual(p.prob, C.int(i+1))))
	}
}

func (p *lp) Objective() float64                  { return p.result.objective }
func (p *lp) Primal(dst []float64) []float64      { return append(dst[:0], p.result.primal...) }
func (p *lp) Dual(dst []float64) []float64        { return append(dst[:0], p.result.dual...) }
func (p *lp) ReducedCost(dst []float64) []float64 { return append(dst[:0], p.result.reduced...) }

func fromGLPK(s C.int) solver.BasisStatus {
	switch s {
	case C.GLP_BS:
		return solver.Basic
	case C.GLP_NU:
		return solver.AtUpper
	case C.GLP_NF:
		return solver.Free
	}
	return solver.AtLower
}

func toGLPK(s solver.BasisStatus) C.int {
	switch s {
	case solver.Basic:
		return C.GLP_BS
	case solver.AtUpper:
		return C.GLP_NU
	case solver.Free:
		return C.GLP_NF
	}
	return C.GLP_NL
}

func (p *lp) Basis() solver.Basis {
	var b solver.Basis
	p.do(func() {
		for j := range p.columns {
			b.Columns = append(b.Columns, fromGLPK(C.glp_get_col_stat(p.prob, C.int(j+1))))
		}
		for i := range p.rows {
			b.Rows = append(b.Rows, fromGLPK(C.glp_get_row_stat(p.prob, C.int(i+1))))
		}
	})
	return b
}

// SetBasis takes the statuses over; GLPK corrects those that do not fit the
// bounds. A wrong number of basic variables or a singular basis, on which
// GLPK 5.0 may abort, is replaced by that of the rows. Takes O(m³) time.
func (p *lp) SetBasis(b solver.Basis) {
	p.do(func() {
		for j := range p.columns {
			s := solver.AtLower
			if j < len(b.Columns) {
				s = b.Columns[j]
			}
			C.glp_set_col_stat(p.prob, C.int(j+1), toGLPK(s))
		}
		for i := range p.rows {
			s := solver.Basic
			if i < len(b.Rows) {
				s = b.Rows[i]
			}
			C.glp_set_row_stat(p.prob, C.int(i+1), toGLPK(s))
		}
		if !p.regular() {
			C.glp_std_basis(p.prob)
		}
	})
}

// regular tells whether the basic columns and rows form a regular matrix, by
// dense elimination; it runs on the model's thread.
func (p *lp) regular() bool {
	m := len(p.rows)
	var basis [][]float64
	for i := range p.rows {
		if C.glp_get_row_stat(p.prob, C.int(i+1)) == C.GLP_BS {
			column := make([]float64, m)
			column[i] = 1
			basis = append(basis, column)
		}
	}
	index, value := make([]C.int, m+1), make([]C.double, m+1)
	for j := range p.columns {
		if C.glp_get_col_stat(p.prob, C.int(j+1)) == C.GLP_BS {
			column := make([]float64, m)
			for k := C.glp_get_mat_col(p.prob, C.int(j+1), &index[0], &value[0]); k > 0; k-- {
				column[index[k]-1] = float64(value[k])
			}
			basis = append(basis, column)
		}
	}
	if len(basis) != m {
		return false
	}
	for i := range m {
		best := i
		for k := i; k < m; k++ {
			if math.Abs(basis[k][i]) > math.Abs(basis[best][i]) {
				best = k
			}
		}
		if math.Abs(basis[best][i]) < 1e-9 {
			return false
		}
		basis[i], basis[best] = basis[best], basis[i]
		for k := i + 1; k < m; k++ {
			if f := basis[k][i] / basis[i][i]; f != 0 {
				for c := i; c < m; c++ {
					basis[k][c] -= f * basis[i][c]
				}
			}
		}
	}
	return true
}
