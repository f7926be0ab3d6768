package report

import (
	"strings"

	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
)

// advice are the sentences of a comparison: what to buy, what the next best
// costs more, and what the signs mean.
func (s style) advice(t *option.Table) []string {
	out := []string{s.verdictOf(t)}
	if text := ended(t.Struck); text != "" {
		out = append(out, text)
	}
	if len(t.Crowded) > 0 {
		out = append(out, "Pairs of sizes were left out where there are many sizes: "+strings.Join(t.Crowded, ", ")+".")
	}
	return append(out,
		"* no other row is at least as good in all of: amount to pay, mass of the pieces, scrap, bars and sheets to carry, the longest of them; of equals the first is marked. = the figures are those of the job as offered.")
}

// verdictOf says which option to buy.
func (s style) verdictOf(t *option.Table) string {
	best, next := t.Best()
	if best == nil {
		return "None of the options has a plan."
	}
	text := "Buy " + described(best) + ": " + s.amount(best.Total) + " to pay"
	switch {
	case next == nil:
		text += "; no other option comes to different figures."
	case next.Total == best.Total:
		text += "; " + described(next) + " costs the same."
	default:
		text += "; the next best, " + described(next) + ", costs " + s.amount(next.Total-best.Total) + " more."
	}
	if best.Gap > 0 {
		text += " At most " + s.amount(best.Gap) + " of it could still be saved."
	} else {
		text += " For this option the goods are proven cheapest" + on(t.Job.Date) + "."
	}
	return text
}

func described(r *option.Row) string {
	switch r.Kind {
	case option.Sizes:
		return r.Name
	case option.Variant:
		return "the variant " + r.Name
	case option.Supplier:
		return "from " + r.Name
	}
	return r.Name
}

func compareRef(t *option.Table) *plan.Plan {
	return &plan.Plan{Currency: t.Currency, Number: t.Number, Job: t.Job}
}
