package planner_test

import (
	"fmt"

	"pgregory.net/rapid"

	"sawbill/internal/job"
)

// deals makes of a job one whose suppliers quote as yards really do: fees and
// smallest orders, charges for cutting, packs and prices by quantity, spares,
// marks cut and ready, own stock, and things too long to be fetched.
func (s *source) deals() {
	j := s.job
	if s.int("third supplier", 0, 1) == 1 {
		j.Suppliers = append(j.Suppliers, job.Supplier{Name: "Bittern", CutKerf: -1})
	}
	cents := func(name string, most int) int64 { return int64(s.int(name, 0, most) * s.int(name+" given", 0, 1)) }
	for i := range j.Suppliers {
		v := &j.Suppliers[i]
		*v = job.Supplier{Name: v.Name, CutKerf: -1}
		ways := s.int("ways", 1, 3)
		v.Delivers, v.Fetched = ways&1 != 0, ways&2 != 0
		if v.Delivers {
			v.Delivery = cents("delivery", 5000)
		}
		if v.Fetched {
			v.Fetch = cents("fetch", 3000)
		}
		v.Minimum = cents("minimum", 20_000)
		v.Cut, v.Mitre, v.PerSheet, v.SetUp = cents("cut", 200), cents("mitre", 400), cents("per sheet", 500), cents("set-up", 3000)
		v.CutMetre, v.Pierce = cents("metre of cut", 200_000), cents("pierce", 20_000)
		if v.Cut > 0 {
			v.FreeCuts = cents("free cuts", 12)
		}
		if s.int("own kerf", 0, 2) == 0 {
			v.CutKerf = s.among("cut kerf", 0, 1, 4)
		}
		v.Tax = cents("tax", 25_000)
	}
	for i := range j.Processes {
		j.Processes[i].BySupplier = s.int("by supplier", 0, 1) == 1
	}
	if s.int("load", 0, 1) == 1 {
		j.LongestLoad = s.extent("longest load", 1500, 4000)
		if s.int("wide load", 0, 1) == 1 {
			j.WidestLoad = s.extent("widest load", 300, 1600)
		}
	}
	for i := range j.Materials {
		j.Materials[i].Spare = int64(rapid.SampledFrom([]int{0, 0, 0, 1, 3}).Draw(s.T, "spare"))
		j.Materials[i].SparePercent = int64(rapid.SampledFrom([]int{0, 0, 0, 500, 3333}).Draw(s.T, "spare percent"))
	}
	for i := range j.Offers {
		o := &j.Offers[i]
		o.Supplier = s.int("sold by", 0, len(j.Suppliers)-1)
		o.Price = min(o.Price, 100_000)
		o.Pack = int64(rapid.SampledFrom([]int{1, 1, 1, 2, 5}).Draw(s.T, "pack"))
		from := int64(rapid.SampledFrom([]int{1, 1, 1, 3}).Draw(s.T, "from"))
		o.Tiers = []job.Tier{{From: from, Price: o.Price * o.Pack}}
		for range s.int("tiers", 0, 2) {
			last := o.Tiers[len(o.Tiers)-1]
			o.Tiers = append(o.Tiers, job.Tier{From: last.From + int64(s.int("tier", 1, 8)), Price: last.Price * int64(s.int("off", 60, 100)) / 100})
		}
		if o.Tiers[len(o.Tiers)-1].Price == 0 && o.Stock < 0 {
			o.Stock = 4
		}
	}
	if s.int("own stock", 0, 3) == 0 {
		at := len(j.Suppliers)
		j.Suppliers = append(j.Suppliers, job.Supplier{Name: "Shed", OnHand: true, CutKerf: -1})
		for _, o := range j.Offers {
			if s.int("in the shed", 0, 2) == 0 {
				o.Supplier, o.Pack, o.Stock = at, 1, int64(s.int("on hand", 1, 3))
				o.Price = cents("value", 2000)
				o.Tiers = []job.Tier{{From: 1, Price: o.Price}}
				j.Offers = append(j.Offers, o)
			}
		}
	}
	if s.int("quotes", 0, 3) == 0 {
		at := len(j.Suppliers)
		j.Suppliers = append(j.Suppliers, job.Supplier{Name: "Dunlin", ByMark: true, Delivers: true, Delivery: cents("their delivery", 3000), CutKerf: -1, Minimum: cents("their minimum", 9000)})
		quote := func(mark string) {
			if s.int("quoted", 0, 9) > 0 {
				j.Quotes = append(j.Quotes, job.Quote{Supplier: at, Mark: mark, Price: int64(s.int("quote", 0, 5000))})
			}
		}
		for _, p := range j.Pieces {
			quote(p.Mark)
		}
		for _, p := range j.Panels {
			quote(p.Mark)
		}
	}
	j.Note = fmt.Sprint(len(j.Suppliers), " suppliers")
}
