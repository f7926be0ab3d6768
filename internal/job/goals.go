package job

import (
	"slices"
	"strings"
)

// readGoals reads the order of the goals after cost.
func (r *reader) readGoals(b block) []Goal {
	if !b.has("goals") {
		return nil
	}
	before := len(r.faults)
	text := b.text("goals")
	if len(r.faults) > before {
		return nil
	}
	var out []Goal
	for _, part := range strings.Split(text, ",") {
		i := slices.IndexFunc(AllGoals, func(g Goal) bool { return strings.EqualFold(strings.TrimSpace(part), string(g)) })
		if i < 0 {
			b.wrong(b.at["goals"], `some of "fewest sheets, largest offcut, largest strip, fewest layouts, fewest cuts", first what matters most`)
			return nil
		}
		if slices.Contains(out, AllGoals[i]) {
			r.fault(b.posOf("goals"), "goals names %s twice; take one out", quote(string(AllGoals[i])))
			return nil
		}
		out = append(out, AllGoals[i])
	}
	return out
}
