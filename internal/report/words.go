package report

import (
	"sawbill/internal/plan"
)

// The sentences that both the terminal and the buyer's page say.

// verdict says in plain words how good the total is: goods and all that suppliers
// add, before tax.
func (s style) verdict(value, bound plan.Money, status plan.Status, date string) string {
	if status == plan.Proven {
		return "proven cheapest for the prices entered" + on(date)
	}
	return "at most " + s.amount(value-bound) + " could still be saved"
}

func on(date string) string {
	if date == "" {
		return ""
	}
	return " on " + date
}

// ended says what ended the search early; empty when nothing did.
func ended(struck string) string {
	switch struck {
	case "":
		return ""
	case "effort":
		return "The search ended at the effort set for it."
	case "time":
		return "The search ended because its time was up; planned again, the result may differ."
	case "interrupt":
		return "The search was interrupted; planned again, the result may differ."
	}
	return "The search ended early (" + struck + ")."
}

// cautions are printed on the buyer's page.
func cautions(date string) []string {
	return []string{
		"This is a planning estimate from nominal sizes and the prices entered" + on(date) + ". Ask for a quotation before you order.",
		"Masses are theoretical, of the metal or board alone. Add fasteners, adhesive, fittings and paint, and weigh the finished thing.",
		"This is not a structural design: it says nothing of strength, stiffness, stability or use. Have those judged by someone qualified.",
		"Measure the stock on arrival, before the first cut; a bar or sheet that is short changes the plan.",
		"Sawn and sheared edges are sharp. Wear gloves and eye protection, and deburr before handling.",
	}
}

const shortCaution = "Planning estimate; not a structural design. Measure stock on arrival."
