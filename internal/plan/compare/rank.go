package compare

import (
	"cmp"
	"slices"

	"sawbill/internal/plan/option"
)

// rank puts the rows in order and marks them against each other.
func rank(t *option.Table) {
	offered := t.Rows[0] // the job as it is comes first
	for _, rows := range [][]option.Row{t.Rows, t.WhatIfs} {
		for i := range rows {
			judge(&rows[i], offered)
		}
		slices.SortStableFunc(rows, func(a, b option.Row) int {
			switch {
			case a.Planned != b.Planned && a.Planned:
				return -1
			case a.Planned != b.Planned:
				return 1
			}
			return cmp.Compare(a.Total, b.Total)
		})
	}
	for i := range t.Rows {
		t.Rows[i].Undominated = t.Rows[i].Planned && !slices.ContainsFunc(t.Rows[:i], func(r option.Row) bool { return covers(r, t.Rows[i]) }) &&
			!slices.ContainsFunc(t.Rows[i+1:], func(r option.Row) bool { return covers(r, t.Rows[i]) && !covers(t.Rows[i], r) })
	}
}

// judge sets a row beside the job as it is offered.
func judge(r *option.Row, offered option.Row) {
	if !r.Planned || !offered.Planned || r.Kind == option.AsOffered {
		return
	}
	r.Alike = r.SameFigures(offered)
	switch {
	case r.Alike:
		r.Notes = append(r.Notes, "same as offered")
	case (r.Kind == option.Sizes || r.Kind == option.Supplier) && r.Total < offered.Total:
		// Fewer offers cannot make the cheapest purchase cheaper, only the search easier.
		r.Notes = append(r.Notes, "cheaper than found as offered")
	}
	r.SameTerms = slices.Equal(r.Terms, offered.Terms)
}

// covers reports whether a is at least as good as b in all that counts.
func covers(a, b option.Row) bool {
	return a.Planned && a.Total <= b.Total && a.Mass.Pieces <= b.Mass.Pieces && a.Mass.Scrap <= b.Mass.Scrap &&
		a.Stocks <= b.Stocks && a.Longest <= b.Longest
}
