package check

import (
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// TestNamedGoals: the goals that a job names are counted again. By hand, the example's
// sheet takes 4 trims, 2 rips, 2 and 2 crosscuts and one cut that trims S3; its upper
// 124 mm are left from edge to edge of the 2480 mm between the trims.
func TestNamedGoals(t *testing.T) {
	j := hide()
	j.Goals = []job.Goal{job.FewestCuts, job.LargestStrip}
	made := func(t testing.TB) *plan.Plan {
		p := hidePlan(t)
		g := &skin(p).Goals
		strip := int64(2480*mm) * int64(124*mm)
		g.Order = []string{"fewest cuts", "largest strip"}
		g.Patterns = &plan.CountGoal{Value: 1, Bound: 1, Status: plan.Proven}
		g.Cuts = &plan.CountGoal{Value: 11, Bound: 4, Status: plan.Open}
		g.Strip = &plan.CountGoal{Value: strip, Bound: strip + 1, Status: plan.Open}
		seal(t, p)
		return p
	}
	proved(t, "by hand", j, made(t))
	allRefused(t, j, made, []mutation{
		{"another order", func(p *plan.Plan) { skin(p).Goals.Order = []string{"largest strip", "fewest cuts"} }},
		{"a cut less", func(p *plan.Plan) { skin(p).Goals.Cuts.Value-- }},
		{"cuts called proven", func(p *plan.Plan) { skin(p).Goals.Cuts.Status = plan.Proven }},
		{"cuts below their bound", func(p *plan.Plan) { skin(p).Goals.Cuts.Bound = 12 }},
		{"a larger strip", func(p *plan.Plan) { skin(p).Goals.Strip.Value++ }},
		{"a strip above its bound", func(p *plan.Plan) { skin(p).Goals.Strip.Bound -= 2 }},
		{"two layouts", func(p *plan.Plan) { skin(p).Goals.Patterns.Value = 2 }},
		{"no cuts", func(p *plan.Plan) { skin(p).Goals.Cuts = nil }},
		{"no strip", func(p *plan.Plan) { skin(p).Goals.Strip = nil }},
		{"no layouts", func(p *plan.Plan) { skin(p).Goals.Patterns = nil }},
		{"goals of bars", func(p *plan.Plan) { tube(p).Goals.Order = []string{"fewest cuts"} }},
	})
	p := made(t)
	refused(t, "goals that the job does not name", hide(), p)
}
