package lptest

import (
	"fmt"
	"math"

	"sawbill/solver"
)

// checkTolerance is what the checks forgive, relative to the size of the
// numbers added up: ten times the scaled tolerances of the engines.
const checkTolerance = 1e-6

// CheckOptimal verifies the last solve of lp against p by the conditions that
// characterise an optimum: the point is within all bounds, the reduced costs
// follow from the duals, a dual or reduced cost is positive only at the lower
// bound and negative only at the upper one, and both objectives agree.
func (p *Problem) CheckOptimal(lp solver.LP) error {
	x, y, d := lp.Primal(nil), lp.Dual(nil), lp.ReducedCost(nil)
	if len(x) != len(p.Columns) || len(d) != len(p.Columns) || len(y) != len(p.Rows) {
		return fmt.Errorf("%d values, %d reduced costs, %d duals for %d columns, %d rows", len(x), len(d), len(y), len(p.Columns), len(p.Rows))
	}
	activity, size := make([]float64, len(y)), make([]float64, len(y))
	objective, objectiveSize := 0.0, 1.0
	for j, c := range p.Columns {
		objective += c.Cost * x[j]
		objectiveSize += math.Abs(c.Cost * x[j])
		reduced, reducedSize := c.Cost, 1+math.Abs(c.Cost)
		for k, i := range c.Rows {
			activity[i] += c.Values[k] * x[j]
			size[i] += math.Abs(c.Values[k] * x[j])
			reduced -= c.Values[k] * y[i]
			reducedSize += math.Abs(c.Values[k] * y[i])
		}
		if math.Abs(reduced-d[j]) > checkTolerance*reducedSize {
			return fmt.Errorf("column %d: reduced cost %g, but cost minus dual·column is %g", j, d[j], reduced)
		}
		if err := complementary(x[j], c.Lower, c.Upper, 1+math.Abs(x[j]), d[j], reducedSize); err != nil {
			return fmt.Errorf("column %d: %w", j, err)
		}
	}
	dual := 0.0
	for j, c := range p.Columns {
		dual += atBound(d[j], c.Lower, c.Upper)
	}
	for i, r := range p.Rows {
		if err := complementary(activity[i], r.Lower, r.Upper, 1+size[i], y[i], 1+math.Abs(y[i])); err != nil {
			return fmt.Errorf("row %d: %w", i, err)
		}
		dual += atBound(y[i], r.Lower, r.Upper)
	}
	if got := lp.Objective(); math.Abs(got-objective) > checkTolerance*objectiveSize {
		return fmt.Errorf("objective %g, but cost·x is %g", got, objective)
	}
	if math.Abs(dual-objective) > 10*checkTolerance*objectiveSize {
		return fmt.Errorf("primal objective %g, dual objective %g", objective, dual)
	}
	return nil
}

// complementary checks a value with its bounds and its multiplier.
func complementary(v, lower, upper, size, multiplier, multiplierSize float64) error {
	slack := checkTolerance * size
	switch {
	case v < lower-slack || v > upper+slack:
		return fmt.Errorf("value %g outside [%g, %g]", v, lower, upper)
	case multiplier > checkTolerance*multiplierSize && v > lower+slack:
		return fmt.Errorf("multiplier %g > 0, but value %g is above its lower bound %g", multiplier, v, lower)
	case multiplier < -checkTolerance*multiplierSize && v < upper-slack:
		return fmt.Errorf("multiplier %g < 0, but value %g is below its upper bound %g", multiplier, v, upper)
	}
	return nil
}

// atBound is the share of a multiplier in the dual objective.
func atBound(multiplier, lower, upper float64) float64 {
	bound := lower
	if multiplier < 0 {
		bound = upper
	}
	if math.IsInf(bound, 0) || multiplier == 0 {
		return 0 // a rounding error: complementary has passed
	}
	return multiplier * bound
}
