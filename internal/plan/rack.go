package plan

import "sawbill/internal/length"

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

// OnRack is the piece of the rack that an offer is, or nil.
func (p *Plan) OnRack(offer int) *RackPiece {
	if p.Rack == nil || len(p.Rack.Pieces) == 0 {
		return nil
	}
	// Their offers are ascending, though not without gaps.
	for i := range p.Rack.Pieces {
		if p.Rack.Pieces[i].Offer == offer {
			return &p.Rack.Pieces[i]
		}
	}
	return nil
}

// FromRack lists the numbers of the pieces that the plan cuts from.
func (p *Plan) FromRack() []int64 {
	var numbers []int64
	if p.Rack != nil {
		for _, r := range p.Rack.Pieces {
			if r.Used {
				numbers = append(numbers, r.Number)
			}
		}
	}
	return numbers
}
