package report

import (
	"cmp"
	"slices"

	"sawbill/internal/account"
	"sawbill/internal/plan"
)

// wholeMass tells on the terminal what the finished thing weighs.
func (t *terminal) wholeMass() {
	a := account.Of(t.job)
	if len(a.Lines()) > 0 {
		t.line("  with all fitted    %s", t.style.mass(a.Mass()))
	}
	if limit := plan.Mass(t.job.AllowedLoad); limit > 0 {
		word := "below it by this estimate; weigh it"
		if a.Mass() > limit {
			word = "ABOVE IT by this estimate; weigh it"
		}
		t.line("  allowed load       %s: %s", t.style.mass(limit), word)
	}
	n := t.job.People
	switch {
	case n < 2 || len(a.Groups) == 0:
	case len(a.Groups) == 1:
		t.line("  each of %-2d carries %s", n, t.shareOf(a.Mass(), n))
	default:
		heaviest := slices.MaxFunc(a.Groups, func(x, y account.Group) int { return cmp.Compare(x.Mass(), y.Mass()) })
		t.line("  heaviest group     %s, %s: each of %d carries %s", groupName(heaviest), t.style.mass(heaviest.Mass()), n, t.shareOf(heaviest.Mass(), n))
	}
}
