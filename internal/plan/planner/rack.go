package planner

import (
	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// onRack lists the job's offers that lie on a rack, and which of them the plan
// uses; nil where there are none.
func onRack(j *job.Job, p *plan.Plan) *plan.Rack {
	used := map[int]bool{}
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			used[l.Offer] = true
		}
	}
	var r *plan.Rack
	for i, o := range j.Offers {
		if o.Rack == 0 {
			continue
		}
		if r == nil {
			r = &plan.Rack{Share: j.Rack.Share}
		}
		r.Pieces = append(r.Pieces, plan.RackPiece{
			Offer: i, Number: o.Rack, Place: o.Place, Material: j.Materials[o.Material].Key,
			Length: o.Length, Width: o.Width, Price: plan.Money(o.Price), Used: used[i],
		})
	}
	return r
}
