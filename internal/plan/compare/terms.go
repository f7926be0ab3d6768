package compare

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
)

// charges parts what suppliers add into carriage and, kind by kind in the order
// of a bill, the rest.
func charges(p *plan.Plan) (carriage plan.Money, others []option.Extra) {
	kinds := []string{plan.SquareCuts, plan.MitreCuts, plan.Cutting, plan.PerSheet, plan.SetUp, plan.SmallOrder}
	sums := make([]plan.Money, len(kinds))
	for _, c := range p.Charges {
		i := slices.IndexFunc(kinds, func(k string) bool { return c.What == k || strings.HasPrefix(c.What, k+" ") })
		if i < 0 {
			carriage += c.Amount
		} else {
			sums[i] += c.Amount
		}
	}
	for i, k := range kinds {
		if sums[i] != 0 {
			others = append(others, option.Extra{What: k, Amount: sums[i]})
		}
	}
	return carriage, others
}

// terms say how a plan buys where a job leaves more than one way.
func terms(j *job.Job, p *plan.Plan) []string {
	var all []string
	list := func(what string, names []string) {
		if len(names) > 0 {
			all = append(all, what+": "+strings.Join(names, ", "))
		}
	}
	var delivered, fetched, packed, tiered, spare []string
	cuts := 0
	for _, s := range j.Suppliers {
		var ready []string
		for _, m := range p.Materials {
			if m.ByMark == s.Name {
				ready = append(ready, m.Key)
			}
		}
		list("ready from "+s.Name, ready)
		switch way := wayOf(p, s.Name); {
		case !s.Delivers || !s.Fetched || s.OnHand:
		case way == plan.Delivered:
			delivered = append(delivered, s.Name)
		case way == plan.Fetched:
			fetched = append(fetched, s.Name)
		}
	}
	for _, m := range p.Materials {
		spares, packs, tiers := int64(0), false, false
		for _, l := range m.Buy {
			spares += l.Spare
			packs = packs || l.Pack > 1
			t := j.Offers[l.Offer].Tiers
			tiers = tiers || len(t) > 1 && l.Count >= t[1].From
		}
		if packs {
			packed = append(packed, m.Key)
		}
		if tiers {
			tiered = append(tiered, m.Key)
		}
		if spares > 0 {
			spare = append(spare, fmt.Sprintf("%d %s", spares, m.Key))
		}
		for _, l := range m.Layouts {
			cuts += int(l.YardCuts())
		}
	}
	list("delivered", delivered)
	list("fetched", fetched)
	list("in packs", packed)
	list("by quantity", tiered)
	list("spare", spare)
	switch {
	case cuts == 1:
		all = append(all, "1 cut at the yard")
	case cuts > 1:
		all = append(all, fmt.Sprintf("%d cuts at the yard", cuts))
	}
	return all
}
