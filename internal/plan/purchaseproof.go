package plan

// PurchaseProof proves the least total of a purchase from several suppliers.
//
// A group is a material, or the part of a material that is cut from one
// supplier's stock: pieces are split where suppliers charge differently for
// cutting them. With n bars or sheets cut of every offer of a group, and x
// pieces of every kind cut from them, each cover states
//
//	Σ worthₖ·nₖ ≥ Σ valueᵢ·xᵢ
//
// and holds for every group of its material with the offers of that group.
// Each shortage states that no layouts of at most its counts of every offer hold
// its pieces, by a search over all layouts. Bound is the least total of any purchase
// that agrees with all covers and shortages, with the job's tiers, packs, stocks,
// spares, charges and ways home.
type PurchaseProof struct {
	Covers    []Cover    `json:"covers"`
	Shortages []Shortage `json:"shortages,omitempty"`
	Bound     Money      `json:"bound"`
	// Searched says that Bound rests on searches that Shortages cannot express.
	Searched bool `json:"searched,omitempty"`
}

// Cover is a valuation of the pieces or panels of one material.
type Cover struct {
	Material string `json:"material"`
	// Pieces and Worths are those of bars: worth of every offer, by its index,
	// at least the most that one of its bars can hold of the pieces' values.
	Pieces []PieceValue `json:"pieces,omitempty"`
	Worths []StockValue `json:"worths,omitempty"`
	// Sheets is that of sheets; its Bound is not used.
	Sheets *SheetProof `json:"sheets,omitempty"`
}

// Shortage is a number of bars or sheets that is not enough for the pieces of
// one material. Of offers not named nothing is cut. Pieces are those of a group
// that is a part of the material; without them all pieces of it are meant.
type Shortage struct {
	Material string       `json:"material"`
	Counts   []OfferCount `json:"counts"`
	Pieces   []MarkCount  `json:"pieces,omitempty"`
}

// OfferCount is a number of bars or sheets of one offer.
type OfferCount struct {
	Offer int   `json:"offer"`
	Count int64 `json:"count"`
}

// MarkCount is a number of pieces or panels of one mark.
type MarkCount struct {
	Mark  string `json:"mark"`
	Count int64  `json:"count"`
}
