package report

import (
	"fmt"
	"strings"

	"sawbill/internal/plan/option"
)

// compareHead are the columns of compare.csv. The total is goods and all that
// suppliers charge, before tax; delivery is what bringing them home costs, be they
// delivered or fetched. Charges beside that stand in the note with their amounts.
var compareHead = []string{"option", "total", "currency", "cuts", "delivery", "bought_kg", "scrap_kg", "scrap_pct",
	"stock_count", "offcuts", "build_kg", "gap", "note"}

// compareTable writes the rows as CSV: what can be bought first, then the
// sheet sizes that nobody offers.
func compareTable(t *option.Table) []byte {
	rows := [][]string{compareHead}
	for _, r := range append(t.Rows[:len(t.Rows):len(t.Rows)], t.WhatIfs...) {
		name := r.Name
		if r.Kind == option.WhatIf {
			name = "what if " + name
		}
		if !r.Planned {
			rows = append(rows, []string{name, "", t.Currency, "", "", "", "", "", "", "", "", "", noPlanNote(r)})
			continue
		}
		share := r.ScrapShare()
		rows = append(rows, []string{name, r.Total.String(), t.Currency, fmt.Sprint(r.Cuts), r.Carriage.String(),
			r.Mass.Bought.String(), r.Mass.Scrap.String(), fmt.Sprintf("%d.%02d", share/100, share%100),
			fmt.Sprint(r.Stocks), fmt.Sprint(r.Offcuts), r.Mass.Pieces.String(), r.Gap.String(), planNote(r)})
	}
	return table4180(rows)
}

// noPlanNote says why a row has no figures.
func noPlanNote(r option.Row) string {
	return "no plan: " + strings.Join(r.Notes, "; ")
}

func planNote(r option.Row) string {
	var notes []string
	if r.Undominated {
		notes = append(notes, "undominated")
	}
	notes = append(notes, r.Notes...)
	for _, e := range r.Others {
		notes = append(notes, e.What+" "+e.Amount.String())
	}
	return strings.Join(append(notes, r.Manner()...), "; ")
}
