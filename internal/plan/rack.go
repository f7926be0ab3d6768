package plan

import (
	"slices"

	"sawbill/internal/length"
)

// Rack is what lay on a rack when a plan was made, was free, and could hold
// something of the job.
type Rack struct {
	// Share is what pieces count for where the job says nothing of their material:
	// hundredths of a percent of the cheapest offer by length or area.
	Share  int64       `json:"share"`
	Pieces []RackPiece `json:"pieces"`
}

// RackPiece is one bar or sheet of a rack.
type RackPiece struct {
	// Offer is its place among the job's offers, behind those of the job's tables.
	Offer int `json:"offer"`
	// Number is the one that it has on the rack.
	Number   int64         `json:"number"`
	Place    string        `json:"place,omitempty"`
	Material string        `json:"material"` // key of the job's material
	Length   length.Length `json:"length"`
	Width    length.Length `json:"width,omitempty"`
	// Price is what it counts for.
	Price Money `json:"price"`
	// Used says that the plan cuts from it.
	Used bool `json:"used,omitempty"`
}

// FromRack lists the numbers of the pieces that the plan cuts from.
func (p *Plan) FromRack() []int64 {
	var numbers []int64
	for _, r := range p.Rack.Used() {
		numbers = append(numbers, r.Number)
	}
	return numbers
}

// Used lists the pieces that the plan cuts from; none of a nil rack.
func (r *Rack) Used() []RackPiece {
	if r == nil {
		return nil
	}
	return slices.DeleteFunc(slices.Clone(r.Pieces), func(p RackPiece) bool { return !p.Used })
}
