package nest2d

// LayoutProof proves a bound on cost by what panels are worth in layouts of
// edge-to-edge cuts. No kerf is between parts once all lengths are grown by one,
// as in a Certificate; with a Unit u of a kind greater than 1 every grown length
// x then counts as ⌊x/u⌋, which leaves room for whatever had room before.
//
// Worthₖ is at least
//
//	Σᵢ demandᵢ·chargeₖᵢ + the greatest Σᵢ (Valueᵢ − chargeₖᵢ)·aᵢ
//
// over all numbers aᵢ ≥ 0 of panels, their demands put aside, that can be cut
// from a sheet of kind k by edge-to-edge cuts within the stages. Charges are not
// negative, so no sheet of kind k is part of a plan with panels worth more than
// Worthₖ, and every purchase of nₖ sheets has
//
//	Σₖ Worthₖ·nₖ ≥ Need = Σᵢ demandᵢ·Valueᵢ.
//
// Bound is the least price within the supplies that this allows (Gilmore &
// Gomory 1965; Farley 1990). Whoever wants to prove it again solves one
// guillotine knapsack a kind, copies unlimited.
type LayoutProof struct {
	Values []int64 // by panel
	// Kinds have no Charges where there is no supply, or nothing left after the trims.
	Kinds []LayoutWorth
	Need  int64
	Bound int64
}

// LayoutWorth is the part of a LayoutProof that speaks of one kind of sheet.
type LayoutWorth struct {
	Worth   int64
	Charges []int64 // by panel
	Unit    int64
}

// purchase is the covering problem that the proof leaves.
func (c *LayoutProof) purchase(m *model) *purchase {
	p := &purchase{need: c.Need, budget: noBudget}
	for k := range m.kinds {
		price := m.kinds[k].price
		p.offers = append(p.offers, offer{c.Kinds[k].Worth, price, price, m.kinds[k].supply, 1, k})
	}
	return p
}
