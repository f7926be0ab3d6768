package check

import (
	"fmt"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// rack checks what the plan says of a rack against the job's offers: each piece
// once, at its size, place and price, there is one of it and no order is made for
// it, and it is marked used when the plan takes it and only then. That no layout
// beyond one is cut from it follows from the stock, which is checked with the purchase.
func (a *audit) rack() {
	taken := map[int]bool{}
	for i := range a.plan.Materials {
		for _, l := range a.plan.Materials[i].Buy {
			taken[l.Offer] = true
		}
		for _, l := range a.plan.Materials[i].Layouts {
			taken[l.Stock.Offer] = true
		}
	}
	var given []plan.RackPiece
	if a.plan.Rack != nil {
		given = a.plan.Rack.Pieces
		if a.plan.Rack.Share != a.job.Rack.Share {
			a.find("rack", "its pieces count for %d hundredths of a percent in the plan and for %d in the job", a.plan.Rack.Share, a.job.Rack.Share)
		}
	}
	met := map[int64]bool{}
	n := 0
	for i := range a.job.Offers {
		o := &a.job.Offers[i]
		if o.Rack == 0 {
			continue
		}
		if n++; n > len(given) {
			continue
		}
		a.rackPiece(i, o, given[n-1], taken[i])
		if met[o.Rack] {
			a.find("rack", "no. %d is offered twice", o.Rack)
		}
		met[o.Rack] = true
	}
	if n != len(given) {
		a.find("rack", "the plan has %d pieces of it, the job %d", len(given), n)
	} else if a.plan.Rack != nil && n == 0 {
		a.find("rack", "the plan speaks of a rack on which nothing is")
	}
}

func (a *audit) rackPiece(offer int, o *job.Offer, p plan.RackPiece, taken bool) {
	where := fmt.Sprintf("rack, no. %d", o.Rack)
	key := ""
	if o.Material >= 0 && o.Material < len(a.job.Materials) {
		key = a.job.Materials[o.Material].Key
	}
	if p.Offer != offer || p.Number != o.Rack || p.Place != o.Place || p.Material != key {
		a.find(where, "it is given as offer %d, no. %d, %q, in %q; it is offer %d, of %q, in %q", p.Offer, p.Number, p.Material, p.Place, offer, key, o.Place)
	}
	if p.Length != o.Length || p.Width != o.Width {
		a.find(where, "its size is given as %s x %s, it is %s x %s", a.len(p.Length), a.len(p.Width), a.len(o.Length), a.len(o.Width))
	}
	if int64(p.Price) != o.Price || len(o.Tiers) != 1 || o.Tiers[0].Price != o.Price || o.Tiers[0].From > 1 {
		a.find(where, "it is given as counting for %s, it counts for %s", p.Price, plan.Money(o.Price))
	}
	if o.Stock < 0 || o.Stock > 1 || pack(o) != 1 {
		a.find(where, "there are %d of it, and there is only one of each number", o.Stock)
	}
	if o.Supplier < 0 || o.Supplier >= len(a.job.Suppliers) || !a.job.Suppliers[o.Supplier].OnHand {
		a.find(where, "an order would be made for what lies on the rack")
	}
	if p.Used != taken {
		a.find(where, "it is marked used: %v, and the layouts take it: %v", p.Used, taken)
	}
}
