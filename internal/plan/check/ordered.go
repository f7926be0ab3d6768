package check

import (
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// ordered checks the goals of sheets that the job names: their order, and every value
// counted again from the layouts.
func (a *audit) ordered(m *material) {
	g := &m.plan.Goals
	var want []string
	if m.process.Kind != job.Beam && m.plan.ByMark == "" {
		for _, goal := range a.job.Goals {
			want = append(want, string(goal))
		}
	}
	if !slices.Equal(g.Order, want) {
		a.find(m.job.Key, "the goals after cost are given as %q, the job has %q", g.Order, want)
		return
	}
	if given := g.Patterns != nil || g.Strip != nil || g.Cuts != nil; len(want) == 0 {
		if given {
			a.find(m.job.Key, "it has goals that the job does not name")
		}
		return
	}
	if g.Patterns == nil || g.Strip == nil || g.Cuts == nil {
		a.find(m.job.Key, "of the job's goals one is missing")
		return
	}
	a.verdict(m.job.Key, "number of different layouts", g.Patterns.Status, g.Patterns.Value, g.Patterns.Bound, true)
	a.verdict(m.job.Key, "largest strip", g.Strip.Status, g.Strip.Value, g.Strip.Bound, false)
	a.verdict(m.job.Key, "number of cuts", g.Cuts.Status, g.Cuts.Value, g.Cuts.Bound, true)
	if !m.sound {
		return // the layouts are at fault
	}
	different := map[int]bool{}
	cuts, strip := int64(0), whole(0)
	for _, l := range m.plan.Layouts {
		different[l.Pattern] = true
		cuts += m.trims()
		if l.Tree == nil {
			continue
		}
		for todo := []*plan.Part{l.Tree}; len(todo) > 0; todo = todo[1:] {
			p := todo[0]
			todo = append(todo, p.Parts...)
			if n := len(p.Parts); n > 0 {
				// A cut between every two parts, and one behind the last unless it is at the edge.
				cuts += int64(n - 1)
				if last := bounds(p.Parts[n-1]); last.right() < bounds(p).right() || last.top() < bounds(p).top() {
					cuts++
				}
			} else if p.Panel == 0 && (p.Length == l.Tree.Length || p.Width == l.Tree.Width) {
				if size := whole(int64(p.Length)).times(whole(int64(p.Width))); size.compare(strip) > 0 {
					strip = size
				}
			}
		}
	}
	if g.Patterns.Value != int64(len(different)) {
		a.find(m.job.Key, "the number of different layouts is given as %d, it is %d", g.Patterns.Value, len(different))
	}
	if g.Cuts.Value != cuts {
		a.find(m.job.Key, "the number of cuts is given as %d, it is %d", g.Cuts.Value, cuts)
	}
	if !strip.equals(g.Strip.Value) {
		a.find(m.job.Key, "the largest strip is given as %d square units, it is %s", g.Strip.Value, strip)
	}
}
