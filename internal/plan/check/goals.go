package check

import "sawbill/internal/plan"

// goals checks the values reached and that every bound is on its right side.
func (a *audit) goals(m *material) {
	g := &m.plan.Goals
	var cost wide
	for _, l := range m.plan.Buy {
		cost = cost.plus(whole(int64(l.Amount)))
	}
	for _, q := range m.plan.Marks {
		cost = cost.plus(whole(int64(q.Amount)))
	}
	if !cost.equals(int64(g.Cost.Value)) {
		a.find(m.job.Key, "the cost is given as %s, the amounts sum up to another", g.Cost.Value)
	}
	a.verdict(m.job.Key, "cost", g.Cost.Status, int64(g.Cost.Value), int64(g.Cost.Bound), true)
	if (g.Cost.Status == plan.Proven) != (g.Cost.Value == g.Cost.Bound) {
		a.find(m.job.Key, "the cost is %s and its bound %s, so it cannot be called %s", g.Cost.Value, g.Cost.Bound, g.Cost.Status)
	}

	if g.Count.Value != int64(len(m.plan.Layouts)) {
		a.find(m.job.Key, "the number of layouts is given as %d, it is %d", g.Count.Value, len(m.plan.Layouts))
	}
	a.verdict(m.job.Key, "number of layouts", g.Count.Status, g.Count.Value, g.Count.Bound, true)

	switch {
	case m.job.Sheet():
		a.ordered(m)
	case len(g.Order) > 0 || g.Strip != nil || g.Cuts != nil:
		a.find(m.job.Key, "the job's goals after cost are for sheets only")
	case !m.job.Sheet() && g.Patterns == nil && m.plan.ByMark == "":
		a.find(m.job.Key, "the number of patterns is missing")
	case g.Patterns != nil:
		if m.sound && g.Patterns.Value != a.shapes(m, false) && g.Patterns.Value != a.shapes(m, true) {
			a.find(m.job.Key, "the number of patterns is given as %d, it is %d", g.Patterns.Value, a.shapes(m, false))
		}
		a.verdict(m.job.Key, "number of patterns", g.Patterns.Status, g.Patterns.Value, g.Patterns.Bound, true)
	}

	if m.sound && !m.largest.equals(g.Offcut.Value) && !m.largestKept.equals(g.Offcut.Value) {
		a.find(m.job.Key, "the largest offcut is given as %d units, it is %s, or %s of those to keep", g.Offcut.Value, m.largest, m.largestKept)
	}
	a.verdict(m.job.Key, "largest offcut", g.Offcut.Status, g.Offcut.Value, g.Offcut.Bound, false)
	a.lesserGoals(m)
}

// verdict checks a goal's status and that its bound does not contradict its value.
func (a *audit) verdict(where, what string, s plan.Status, value, bound int64, least bool) {
	switch {
	case s != plan.Proven && s != plan.Open:
		a.find(where, "the status of the %s is %q; it is either proven or open", what, s)
	case s == plan.Proven && value != bound:
		a.find(where, "the %s is called proven but differs from its bound", what)
	case least && bound > value:
		a.find(where, "the %s is below the bound it is said never to go below", what)
	case !least && bound < value:
		a.find(where, "the %s is above the bound it is said never to go above", what)
	}
}

// lesserGoals names the claims of the last goals, which are not proved again.
func (a *audit) lesserGoals(m *material) {
	g := &m.plan.Goals
	var claims []string
	if g.Patterns != nil && g.Patterns.Status == plan.Proven && g.Patterns.Value > 1 {
		claims = append(claims, "that no fewer patterns would do")
	}
	if g.Cuts != nil && g.Cuts.Status == plan.Proven && g.Cuts.Value > 0 {
		claims = append(claims, "that no fewer cuts would do")
	}
	if g.Strip != nil && g.Strip.Status == plan.Proven {
		claims = append(claims, "that no larger strip is possible")
	}
	if g.Offcut.Status == plan.Proven {
		claims = append(claims, "that no longer offcut is possible")
	}
	for _, c := range claims {
		a.note("%s: %s at this cost is not proved again", m.job.Key, c)
	}
}
