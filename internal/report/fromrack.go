package report

import (
	"fmt"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// fromRack names a piece of a rack, "no. 17, bin 3"; "" where the offer is none.
func fromRack(j *job.Job, offer int) string {
	if offer < 0 || offer >= len(j.Offers) || j.Offers[offer].Rack == 0 {
		return ""
	}
	o := j.Offers[offer]
	text := fmt.Sprintf("no. %d", o.Rack)
	if o.Place != "" {
		text += ", " + o.Place
	}
	return text
}

// source says where a bar or sheet comes from: the supplier, or the rack and which
// piece of it.
func source(j *job.Job, s plan.Stock) string {
	if piece := fromRack(j, s.Offer); piece != "" {
		return s.Supplier + ": " + piece
	}
	return s.Supplier
}

// counted says what pieces of the rack among goods count for; "" where there are none.
func (s style) counted(j *job.Job, goods []purchase) string {
	any, own := false, false
	for _, g := range goods {
		if g.rack != "" {
			any = true
			for _, m := range j.Materials {
				own = own || m.Key == g.material.Key && m.RackValue.Stated
			}
		}
	}
	share := s.decimal(trimZeros(plan.Money(j.Rack.Share).String())) + " %"
	switch {
	case !any:
		return ""
	case own:
		return "Counted at what the job says of each material, or " + share + " of the cheapest offer by size; not paid."
	}
	return "Counted at " + share + " of the cheapest offer by size; not paid."
}

// withRack writes a table, with a column of the pieces of the rack where the plan
// knows one.
func (s *set) withRack(rows [][]string, piece func(row int) string) []byte {
	if s.plan.Rack != nil {
		rows[0] = append(rows[0], "rack")
		for i := 1; i < len(rows); i++ {
			rows[i] = append(rows[i], piece(i))
		}
	}
	return table4180(rows)
}
