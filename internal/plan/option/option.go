// Package option is the answer to a comparison: a job planned in several ways,
// one row for each. It is values only; plan/compare makes them, report prints
// them.
package option

import (
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// Kind says in what a row differs from the job as it is offered.
type Kind string

// The kinds of rows.
const (
	AsOffered Kind = "as offered"
	Sizes     Kind = "sizes"    // one material from one or two of its sizes, or from whoever sells it cut and ready
	Supplier  Kind = "supplier" // everything from one supplier, or without one
	Variant   Kind = "variant"  // what the job calls a variant
	WhatIf    Kind = "what if"  // a sheet size that nobody offers
)

// Table is a job planned once for each option.
type Table struct {
	Job      plan.JobRef
	Currency string
	// Number is the plan no. of the job as it is offered; empty when that has
	// no plan.
	Number string
	Effort string
	Seed   int64
	// Rows are what can be bought: those with a plan by their totals, then those
	// without.
	Rows []Row
	// WhatIfs are sheet sizes without an offer, in the same order.
	WhatIfs []Row
	// Crowded names materials with so many sizes that pairs were left out.
	Crowded []string
	// Struck is "time" or "interrupt" when the clock or a person ended a
	// search; the table may then not come out the same again.
	Struck string
}

// Row is one option. Without a plan only Name, Kind and Notes mean anything.
type Row struct {
	Name    string
	Kind    Kind
	Planned bool
	// Total is Goods and Charges, before tax.
	Total, Goods, Charges plan.Money
	// Carriage is the part of Charges that delivery and fetching cost; Others are
	// the rest, each kind with the sum over all suppliers.
	Carriage plan.Money
	Others   []Extra
	// Payable is Total less our own stock, plus taxes.
	Payable plan.Money
	// Gap is what could still be saved on Total at most.
	Gap plan.Money
	// Cuts counts every cut of every layout.
	Cuts int64
	Mass plan.Masses
	// Stocks is the number of bars and sheets bought, spares included, Offcuts of
	// leftovers worth keeping.
	Stocks, Offcuts int64
	// Longest is the longest thing that comes home: a bar or sheet, what the load
	// leaves of it, or a piece or panel of what is bought cut.
	Longest length.Length
	// Undominated is set when no other row of the table is at least as good in
	// total, mass of the pieces, scrap, stocks and longest, and better in one;
	// of rows alike in all of them only the first has it.
	Undominated bool
	// Alike is set when all figures are those of the row as offered.
	Alike bool
	// Terms say how it is bought, where there is more than one way: what comes
	// ready, how it comes home, packs, prices by quantity, spares. SameTerms is
	// set when they are those of the row as offered.
	Terms     []string
	SameTerms bool
	Notes     []string
}

// Manner is what a row says of its terms: nothing where it is as offered anyway,
// little where only its terms are.
func (r Row) Manner() []string {
	switch {
	case r.SameTerms && (r.Alike || len(r.Terms) == 0):
		return nil
	case r.SameTerms:
		return []string{"bought as offered"}
	}
	return r.Terms
}

// Extra is a kind of charge and what it comes to.
type Extra struct {
	What   string
	Amount plan.Money
}

// ScrapShare is the scrap in hundredths of a percent of the mass bought,
// rounded half up.
func (r Row) ScrapShare() int64 {
	if r.Mass.Bought <= 0 {
		return 0
	}
	// The mass of a ship in milligrams times 20 000 stays inside 64 bits up to
	// 461 tonnes; beyond that a float is near enough for a printed share.
	if r.Mass.Bought > 400_000_000_000 {
		return int64(r.Mass.Scrap.Kilograms()/r.Mass.Bought.Kilograms()*10_000 + 0.5)
	}
	b := int64(r.Mass.Bought)
	return (int64(r.Mass.Scrap)*20_000 + b) / (2 * b)
}

// Best is the cheapest row and the first that costs more, nil when there is
// none, and how many others cost as little as the best.
func (t *Table) Best() (best, next *Row, others int) {
	for i := range t.Rows {
		r := &t.Rows[i]
		switch {
		case !r.Planned:
			return best, next, others
		case best == nil:
			best = r
		case r.Total == best.Total:
			others++
		default:
			return best, r, others
		}
	}
	return best, next, others
}

// SameFigures reports whether two rows differ in nothing but their names.
func (r Row) SameFigures(o Row) bool {
	return r.Planned == o.Planned && r.Total == o.Total && r.Goods == o.Goods && r.Carriage == o.Carriage &&
		r.Payable == o.Payable && r.Gap == o.Gap && r.Cuts == o.Cuts &&
		r.Mass == o.Mass && r.Stocks == o.Stocks && r.Offcuts == o.Offcuts && r.Longest == o.Longest
}
