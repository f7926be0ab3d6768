package planner

import "sawbill/internal/job"

// tied says that the purchase for one material bears on another, or on prices:
// suppliers charge for more than goods, prices depend on the quantity, spares
// are wanted, or the way home limits what can be bought.
func tied(j *job.Job) bool {
	sells := make([]bool, len(j.Suppliers))
	for _, o := range j.Offers {
		s := j.Suppliers[o.Supplier]
		sells[o.Supplier] = true
		if len(o.Tiers) > 1 || o.Pack > 1 || len(o.Tiers) == 1 && o.Tiers[0].From > 1 || s.ByMark {
			return true
		}
		if (s.Fetched || !s.Delivers) && !s.OnHand && heavyLoad(j, o) {
			return true
		}
	}
	for i, s := range j.Suppliers {
		if sells[i] && !s.OnHand && (s.Delivery > 0 || s.Fetch > 0 || s.Minimum > 0 || s.Cut > 0 || s.Mitre > 0 || s.CutMetre > 0 ||
			s.Pierce > 0 || s.PerSheet > 0 || s.SetUp > 0) {
			return true
		}
	}
	for _, m := range j.Materials {
		if m.Spare > 0 || m.SparePercent > 0 {
			return true
		}
	}
	return len(j.Quotes) > 0
}

// carried says that the offer comes home in the form in which it is sold: what
// the supplier cuts to the list is carried in pieces.
func carried(j *job.Job, o job.Offer) bool {
	return !j.Processes[j.Materials[o.Material].Process].BySupplier
}

// heavyLoad says that one bar or sheet is more than can be carried.
func heavyLoad(j *job.Job, o job.Offer) bool { return !fitsLoad(j, int64(o.Length), int64(o.Width)) }

// fitsLoad says that a bar (wide is 0) or sheet can be carried.
func fitsLoad(j *job.Job, long, wide int64) bool {
	most, widest := int64(j.LongestLoad), int64(j.WidestLoad)
	if wide > long {
		long, wide = wide, long
	}
	if widest > most && most > 0 {
		most, widest = widest, most
	}
	return (most == 0 || long <= most) && (widest == 0 || wide <= widest)
}

// leastPrice is the least that one bar or sheet of an offer can cost, in cents,
// rounded down.
func leastPrice(o job.Offer) int64 {
	if len(o.Tiers) == 0 {
		return o.Price
	}
	least := o.Tiers[0].Price / max(1, o.Pack)
	for _, t := range o.Tiers {
		least = min(least, t.Price/max(1, o.Pack))
	}
	return least
}
