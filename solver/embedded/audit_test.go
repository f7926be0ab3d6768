package embedded

import (
	"context"
	"math"
	"testing"

	"sawbill/solver"
	"sawbill/solver/lptest"
)

// audited is the engine with every solve recomputed from scratch.
type audited struct{ t *testing.T }

func (audited) Name() string     { return "embedded, audited" }
func (a audited) New() solver.LP { return &auditedLP{&lp{}, a.t} }

type auditedLP struct {
	*lp
	t *testing.T
}

func (a *auditedLP) Solve(ctx context.Context, maxIterations int) solver.Status {
	status := a.lp.Solve(ctx, maxIterations)
	if a.lp.factorised && (status == solver.Optimal || status == solver.Limit) {
		a.audit(status)
	}
	return status
}

// audit recomputes what the simplex methods update: the place of every
// variable, A·x − r, the reduced costs from the duals, and at an optimum the
// feasibility of both.
func (a *auditedLP) audit(status solver.Status) {
	p, t := a.lp, a.t
	for r, v := range p.head {
		if p.status[v] != solver.Basic || p.at[v] != int32(r) {
			t.Errorf("head and status disagree on variable %d", v)
		}
	}
	for v, s := range p.status {
		if s != solver.Basic && p.at[v] != -1 {
			t.Errorf("non-basic variable %d has row %d", v, p.at[v])
		}
		low, high := p.lower[v], p.upper[v]
		if s == solver.AtLower && p.x[v] != low || s == solver.AtUpper && p.x[v] != high || s == solver.Free && p.x[v] != 0 {
			t.Errorf("variable %d with status %v has value %g in [%g, %g]", v, s, p.x[v], low, high)
		}
	}
	if status != solver.Optimal {
		return
	}
	residual, size := make([]float64, len(p.rows)), make([]float64, len(p.rows))
	for v := range p.x {
		p.eachEntry(int32(v), func(row int32, value float64) {
			residual[row] += value * p.x[v]
			size[row] += math.Abs(value * p.x[v])
		})
	}
	for i, r := range residual {
		if math.Abs(r) > 1e-9*(1+size[i]) {
			t.Errorf("row %d: residual %g of %g", i, r, size[i])
		}
	}
	for v := range p.x {
		d, scale := p.cost[v], 1+math.Abs(p.cost[v])
		p.eachEntry(int32(v), func(row int32, value float64) {
			y := p.d[p.rows[row]] // the reduced cost of a row is its dual
			d -= value * y
			scale += math.Abs(value * y)
		})
		if !p.isRow[v] && math.Abs(d-p.d[v]) > 1e-8*scale {
			t.Errorf("variable %d: reduced cost %g, recomputed %g", v, p.d[v], d)
		}
	}
	if w := p.worstPrimal(); w > lastResort*primalTolerance {
		t.Errorf("optimal with a primal violation of %g", w)
	}
	if w := p.worstDual(); w > lastResort*dualTolerance {
		t.Errorf("optimal with a dual violation of %g", w)
	}
}

func TestAudited(t *testing.T) { lptest.Run(t, audited{t}) }
