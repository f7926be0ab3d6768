package planner

import (
	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/nest2d"
)

// aimsOf maps the job's goals to the engine's.
var aimsOf = map[job.Goal]nest2d.Aim{
	job.FewestSheets: nest2d.FewestSheets, job.LargestOffcut: nest2d.LargestOffcut, job.LargestStrip: nest2d.LargestStrip,
	job.FewestLayouts: nest2d.FewestLayouts, job.FewestCuts: nest2d.FewestCuts,
}

// ordered reports whether the job's goals steer a material: sheets cut edge to edge.
func ordered(j *job.Job, mi int) bool {
	m := j.Materials[mi]
	return len(j.Goals) > 0 && m.Sheet() && j.Processes[m.Process].Kind != job.Beam
}

// aims are those of a material, nil for the usual ones.
func aims(j *job.Job, mi int) []nest2d.Aim {
	if !ordered(j, mi) {
		return nil
	}
	var list []nest2d.Aim
	for _, g := range j.Goals {
		list = append(list, aimsOf[g])
	}
	return list
}

// aimGoals fills in the goals that the job names, counted from the layouts; r says what
// is known of them, nil when nothing is.
func aimGoals(j *job.Job, mi int, m *plan.Material, r *nest2d.Result) {
	if !ordered(j, mi) {
		return
	}
	m.Goals.Order = nil
	for _, g := range j.Goals {
		m.Goals.Order = append(m.Goals.Order, string(g))
	}
	var strip, cuts, most int64
	patterns := map[int]bool{}
	p := j.Processes[j.Materials[mi].Process]
	for _, l := range m.Layouts {
		patterns[l.Pattern] = true
		most = max(most, int64(l.Stock.Length)*int64(l.Stock.Width))
		cuts += p.Trims() + l.Tree.Cuts()
		if l.Tree != nil {
			strip = max(strip, stripOf(l.Tree, l.Tree))
		}
	}
	number := int64(len(patterns))
	bounds := [3]int64{min(1, number), most, 0}
	if r != nil {
		bounds = [3]int64{r.Different.Bound, r.Strip.Bound, r.Cuts.Bound}
	}
	different := countGoal(number, bounds[0], number == bounds[0])
	longest := countGoal(strip, bounds[1], strip == bounds[1])
	all := countGoal(cuts, bounds[2], cuts == bounds[2])
	m.Goals.Patterns, m.Goals.Strip, m.Goals.Cuts = &different, &longest, &all
}

// stripOf is the area of the largest leftover in p from edge to edge of the whole.
func stripOf(whole, p *plan.Part) int64 {
	if len(p.Parts) == 0 && p.Panel == 0 && (p.Length == whole.Length || p.Width == whole.Width) {
		return int64(p.Length) * int64(p.Width)
	}
	largest := int64(0)
	for _, q := range p.Parts {
		largest = max(largest, stripOf(whole, q))
	}
	return largest
}
