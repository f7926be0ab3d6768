package progress

import (
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// Rest is what is still to be made and what there is for it: enough to make of a
// job the job that remains.
type Rest struct {
	Wanted []Copy   `json:"wanted"`
	Left   []Left   `json:"left,omitempty"`
	Bought []Bought `json:"bought,omitempty"`
	// Withdrawn are numbers of pieces of a rack that cannot be used any more.
	Withdrawn []int64 `json:"withdrawn,omitempty"`
}

// Left is stock at hand, so many of one size.
type Left struct {
	Material string        `json:"material"`
	Length   length.Length `json:"length"`
	Width    length.Length `json:"width,omitempty"`
	Count    int64         `json:"count"`
}

// atHand is one piece of stock that Rest offers, and the layout it is left of,
// if that stays in force.
type atHand struct {
	Stock
	of   *layoutName
	area Area
}

// Rest is what remains. If all, the layouts in force of the materials of which
// something is wanted are given up, and their copies planned again with it; else
// these layouts stay, and what they leave is used.
func (v *View) Rest(all bool) Rest {
	r := Rest{Wanted: slices.Clone(v.Wanted), Bought: v.Bought, Withdrawn: v.Withdrawn}
	if all {
		again := v.again()
		for _, l := range v.Layouts {
			if !again[l.Material] {
				continue
			}
			for _, c := range copiesOf(l.Layout) {
				if !v.gone(l, c) {
					r.Wanted = append(r.Wanted, c)
				}
			}
		}
	}
	for _, s := range v.atHand(all) {
		i := slices.IndexFunc(r.Left, func(l Left) bool {
			return l.Material == s.Material && l.Length == s.Length && l.Width == s.Width
		})
		if i < 0 {
			r.Left = append(r.Left, Left{s.Material, s.Length, s.Width, 1})
			continue
		}
		r.Left[i].Count++
	}
	return r
}

// again are the materials of which something is wanted.
func (v *View) again() map[string]bool {
	set := map[string]bool{}
	for _, c := range v.Wanted {
		set[v.job.Materials[v.parts[c.Mark].material].Key] = true
	}
	return set
}

// atHand lists the stock that may be used: loose first, then what layouts leave.
// What is too small for all that is wanted is left out.
func (v *View) atHand(all bool) []atHand {
	again := v.again()
	var list []atHand
	for _, s := range v.Loose {
		list = append(list, atHand{Stock: s})
	}
	for _, l := range v.Layouts {
		name := l.name()
		areas := v.rests[name]
		if all {
			areas = v.all[name]
		}
		for _, a := range areas {
			list = append(list, atHand{Stock{l.Material, a.Length, a.Width, l.rest(), nil}, &name, a})
		}
	}
	return slices.DeleteFunc(list, func(s atHand) bool { return !again[s.Material] || !v.holdsAny(s.Stock, all) })
}

// holdsAny says that some copy that is to be planned might be cut from a stock.
func (v *View) holdsAny(s Stock, all bool) bool {
	any := func(list []Copy) bool {
		return slices.ContainsFunc(list, func(c Copy) bool {
			p := v.parts[c.Mark]
			return v.job.Materials[p.material].Key == s.Material && p.goesIn(s.Length, s.Width, 0)
		})
	}
	return any(v.Wanted) || all && any(v.Waiting)
}

// AtHand is the name of the supplier that stands for what is left.
const AtHand = "at hand"

// Job is the job that remains of a job.
func (r Rest) Job(j *job.Job) *job.Job {
	out := *j
	wanted := map[string][]int{}
	for _, c := range r.Wanted {
		wanted[c.Mark] = append(wanted[c.Mark], c.Copy)
	}
	out.Pieces, out.Panels = nil, nil
	for _, p := range j.Pieces {
		if p.Copies = sorted(wanted[p.Mark]); p.Copies != nil {
			p.Quantity = int64(len(p.Copies))
			out.Pieces = append(out.Pieces, p)
		}
	}
	for _, p := range j.Panels {
		if p.Copies = sorted(wanted[p.Mark]); p.Copies != nil {
			p.Quantity = int64(len(p.Copies))
			out.Panels = append(out.Panels, p)
		}
	}
	// What goes with the pieces was bought with the first plan.
	out.Joints, out.Items, out.Consumables, out.Brackets, out.Rivets = nil, nil, nil, nil, nil
	out.Variants, out.Dimensions, out.Remarks = nil, nil, nil
	out.Budget, out.AllowedLoad = 0, 0
	out.Materials = slices.Clone(j.Materials)
	for i := range out.Materials {
		out.Materials[i].Spare, out.Materials[i].SparePercent = 0, 0
	}
	out.Suppliers, out.Offers = slices.Clone(j.Suppliers), r.lessBought(j)
	if len(r.Left) > 0 {
		out.Suppliers = append(out.Suppliers, job.Supplier{Name: nameFor(j), OnHand: true, Delivers: true, CutKerf: -1})
		for _, l := range r.Left {
			out.Offers = append(out.Offers, job.Offer{
				Supplier: len(out.Suppliers) - 1, Material: slices.IndexFunc(j.Materials, func(m job.Material) bool { return m.Key == l.Material }),
				Length: l.Length, Width: l.Width, Pack: 1, Tiers: []job.Tier{{From: 1, Text: "0"}}, PriceText: "0", Stock: l.Count,
			})
		}
	}
	text, _ := json.Marshal(r)
	sum := sha256.Sum256(append([]byte(j.Digest+"\n"), text...))
	out.Digest = hex.EncodeToString(sum[:])
	return &out
}

// lessBought are the offers with what was bought taken off limited stocks, and
// without what was withdrawn.
func (r Rest) lessBought(j *job.Job) []job.Offer {
	list := slices.Clone(j.Offers)
	for _, b := range r.Bought {
		for i := range list {
			o := &list[i]
			if o.Stock < 0 || j.Suppliers[o.Supplier].Name != b.Supplier || j.Materials[o.Material].Key != b.Material || o.Rack != b.Rack || o.Length != b.Length || o.Width != b.Width {
				continue
			}
			n := min(o.Stock, b.Count)
			o.Stock -= n
			b.Count -= n
		}
	}
	for i := range list {
		if list[i].Rack != 0 && slices.Contains(r.Withdrawn, list[i].Rack) {
			list[i].Stock = 0
		}
	}
	return list
}

// nameFor is AtHand, or a name like it that no supplier of the job has.
func nameFor(j *job.Job) string {
	name := AtHand
	for slices.ContainsFunc(j.Suppliers, func(s job.Supplier) bool { return s.Name == name }) {
		name += " now"
	}
	return name
}

func sorted(list []int) []int {
	list = slices.Clone(list)
	slices.Sort(list)
	return list
}
