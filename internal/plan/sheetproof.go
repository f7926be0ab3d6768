package plan

import "sawbill/internal/length"

// SheetProof proves the least cost of sheets. All lengths are grown by one
// kerf: with kerf κ a panel l × w counts as (l+κ) × (w+κ), and the trimmed
// sheet L × W of an offer as X × Y = (L+κ) × (W+κ). With the dual feasible
// functions f, g of the terms of a kind,
//
//	S(x, y) = Σ f(x)·g(y)
//	v = min ⌊ worth·S(x, y) / S(X, Y) ⌋
//
// over the kinds and the poses of a panel that fit, every purchase of n
// sheets of each kind from which all panels can be cut has Σ worth·n ≥ Need,
// the sum of the values v of all panels. Bound is the least price of such a
// purchase within the stocks (Fekete & Schepers 2004).
type SheetProof struct {
	Kinds []SheetWorth `json:"kinds"`
	// Openings are those of panels in which others may lie; they count as so many
	// sheets for nothing as there are such panels, X × Y being the box around the
	// opening less the spacing on all sides, grown by one kerf. Their worth is taken
	// off Need, which is 0 where it would be less.
	Openings []OpeningWorth `json:"openings,omitempty"`
	Need     int64          `json:"need"`
	Bound    Money          `json:"bound"`
	// Layouts proves more than Bound where that is known.
	Layouts *LayoutProof `json:"layouts,omitempty"`
	// Searched says that the bound of the goals is higher than these because
	// plans or layouts were enumerated.
	Searched bool `json:"searched,omitempty"`
}

// LayoutProof proves the least cost of sheets by what panels are worth in
// layouts of edge-to-edge cuts. Lengths are grown by one kerf as for SheetProof,
// and then counted in units u of the kind, ⌊x/u⌋. Whatever can be cut from one
// sheet of an offer within the stages, however often panels occur in it, has
//
//	Σ (value − charge)·copies ≤ worth − Σ charge·demand
//
// over the panels. As no charge is negative, panels of a plan cut from one sheet
// are worth no more than its worth, and every purchase of n sheets of each offer
// has Σ worth·n ≥ Need = Σ value·demand. Bound is the least price of such a
// purchase within the stocks (Gilmore & Gomory 1965; Farley 1990).
type LayoutProof struct {
	Values []PanelValue  `json:"values"`
	Kinds  []LayoutWorth `json:"kinds"`
	Need   int64         `json:"need"`
	Bound  Money         `json:"bound"`
}

// LayoutWorth is what one sheet of an offer counts for, by layouts.
type LayoutWorth struct {
	Offer   int           `json:"offer"`
	Worth   int64         `json:"worth"`
	Unit    length.Length `json:"unit,omitempty"` // 0 stands for 1
	Charges []PanelValue  `json:"charges,omitempty"`
}

// PanelValue is a number for each copy of a mark, 0 for marks that are not named.
type PanelValue struct {
	Mark  string `json:"mark"`
	Value int64  `json:"value"`
}

// SheetWorth is what one sheet of an offer counts for, and why.
type SheetWorth struct {
	Offer int           `json:"offer"`
	Worth int64         `json:"worth"`
	Terms []ProductTerm `json:"terms"`
}

// OpeningWorth is what an opening of one panel counts for, and why.
type OpeningWorth struct {
	Mark string `json:"mark"`
	// Opening counts from 1: the openings of any form first, then the round holes.
	Opening int           `json:"opening"`
	Worth   int64         `json:"worth"`
	Terms   []ProductTerm `json:"terms"`
}

// ProductTerm is f(x)·g(y).
type ProductTerm struct {
	X DualFunction `json:"x"`
	Y DualFunction `json:"y"`
}

// DualFunction is dual feasible on [0, C]. With parameter p:
//
//	identity   f(x) = x
//	threshold  f(x) = 0 if x < p;  C if x > C−p;  x otherwise          (1 ≤ p ≤ C/2)
//	rounding   f(x) = p·x if C divides (p+1)·x;  C·⌊(p+1)·x/C⌋ otherwise  (1 ≤ p ≤ 100)
//	steps      f(x) = 2⌊x/p⌋ if 2x < C;  ⌊C/p⌋ if 2x = C;  2(⌊C/p⌋ − ⌊(C−x)/p⌋) if 2x > C  (1 ≤ p ≤ C/2)
type DualFunction struct {
	Family    string `json:"family"`
	Parameter int64  `json:"parameter,omitempty"`
}
