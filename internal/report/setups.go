package report

import (
	"fmt"
	"strings"

	"sawbill/internal/plan"
)

// setUps says what was given up for fewer set-ups of the saw, and what came of it;
// "" where nothing might be.
func (s style) setUps(p *plan.Plan) string {
	if p.Options.SetUps == 0 {
		return ""
	}
	var counts []string
	for _, m := range p.Materials {
		if g := m.Goals.Patterns; g != nil && g.Value > 0 {
			is := "best found"
			switch {
			case g.Bound == g.Value:
				is = "proven fewest"
			case g.Bound > 0:
				is = fmt.Sprintf("best found, at least %d", g.Bound)
			}
			counts = append(counts, fmt.Sprintf("%s %d (%s)", m.Key, g.Value, is))
		}
	}
	share := s.decimal(trimZeros(plan.Money(p.Options.SetUps).String())) + " %"
	text := fmt.Sprintf("For fewer set-ups up to %s may be given up; nothing was.", share)
	if p.GivenUp > 0 {
		text = fmt.Sprintf("For fewer set-ups %s %s were given up, of at most %s: the cheapest plan found costs %s %s.",
			s.money(p.GivenUp), p.Currency, share, s.money(p.Total-p.GivenUp), p.Currency)
	}
	if len(counts) > 0 {
		text += " Different bars: " + strings.Join(counts, ", ") + "."
	}
	return text
}
