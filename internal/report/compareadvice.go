package report

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
)

// advice are the sentences of a comparison: what to buy, what the next best
// costs more, and what bears on the table as a whole.
func (s style) advice(t *option.Table) []string {
	out := []string{s.verdictOf(t)}
	if text := termsOf(t); text != "" {
		out = append(out, text)
	}
	if text := ended(t.Struck); text != "" {
		out = append(out, text)
	}
	if len(t.Crowded) > 0 {
		out = append(out, "Pairs of sizes were left out where there are many sizes: "+strings.Join(t.Crowded, ", ")+".")
	}
	if slices.ContainsFunc(t.Rows, func(r option.Row) bool { return r.Kind == option.Variant }) {
		out = append(out, "Nothing here says that a variant is strong enough.")
	}
	return out
}

// What the signs of the tables mean.
const (
	starMeans  = "* no other row is at least as good in all of these: amount in all, mass of the pieces, scrap, number of bars and sheets, the longest thing to carry home; of equals the first is marked."
	alikeMeans = "= the figures are those of the job as offered."
)

// verdictOf says which option to buy: the one that costs least in all, goods
// and charges, before tax.
func (s style) verdictOf(t *option.Table) string {
	best, next, others := t.Best()
	if best == nil {
		return "None of the options has a plan."
	}
	text := "Buy " + described(best) + ": " + s.amount(best.Total) + " in all"
	if best.Payable != best.Total {
		text += " (to pay, with tax and without our own stock: " + s.amount(best.Payable) + ")"
	}
	switch others {
	case 0:
	case 1:
		text += ", and one other option comes to the same"
	default:
		text += fmt.Sprintf(", and %d other options come to the same", others)
	}
	if next != nil {
		text += "; the next best, " + described(next) + ", costs " + s.amount(next.Total-best.Total) + " more"
	}
	text += "."
	if best.Gap > 0 {
		text += " At most " + s.amount(best.Gap) + " of it could still be saved."
	} else {
		text += " No plan of this option can cost less, goods and charges together: proven for the prices entered" + on(t.Job.Date) + "."
	}
	return text
}

// termsOf say how the best option is bought, where there is more than one way.
func termsOf(t *option.Table) string {
	best, _, _ := t.Best()
	if best == nil || len(best.Terms) == 0 {
		return ""
	}
	return "Bought so: " + strings.Join(best.Terms, "; ") + "."
}

// notesOf are the remarks of a row with a plan, then its charges beside carriage, then
// how it is bought.
func (s style) notesOf(r option.Row) string {
	notes := r.Notes[:len(r.Notes):len(r.Notes)]
	for _, e := range r.Others {
		notes = append(notes, e.What+" "+s.money(e.Amount))
	}
	return strings.Join(append(notes, r.Manner()...), "; ")
}

func described(r *option.Row) string {
	switch r.Kind {
	case option.Variant:
		return "the variant " + r.Name
	case option.Supplier:
		if !strings.HasPrefix(r.Name, "without ") {
			return "from " + r.Name
		}
	}
	return r.Name
}

func compareRef(t *option.Table) *plan.Plan {
	return &plan.Plan{Currency: t.Currency, Number: t.Number, Job: t.Job}
}
