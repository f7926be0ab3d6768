package plan

// SheetProof backs the least cost of sheets.
type SheetProof struct {
	Scale int64 `json:"scale"`
	Bound Money `json:"bound"`
}
