package check

import (
	"encoding/json"
	"slices"
	"strings"
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// tied is the plan of the hide with its total proved: North's tube costs no less
// than the smallest order of 80.00 and its delivery, 35.00; East's sheet 58.00.
func tied(t testing.TB) *plan.Plan {
	p := hidePlan(t)
	p.Bound, p.Status = 17_300, plan.Proven
	p.PurchaseProof = &plan.PurchaseProof{
		Bound: 17_300,
		Covers: []plan.Cover{
			{
				Material: "tube",
				Pieces:   p.Materials[0].BarProof.Pieces,
				// As much as their usable lengths, doubled, and two mitres.
				Worths: []plan.StockValue{{Offer: 0, Value: 478_682_844}, {Offer: 1, Value: 398_682_844}},
			},
			{Material: "skin", Sheets: &plan.SheetProof{
				// By the area, kerf included, in mm²: 2483 x 1233 and 1983 x 983; the panels
				// lie as 1203 x 603 or turned (2), 803 x 503 (2) and 77 x 593.
				Need: 2*1203*603 + 2*803*503 + 77*593,
				Kinds: []plan.SheetWorth{
					{Offer: 2, Worth: 2483 * 1233, Terms: []plan.ProductTerm{{X: plan.DualFunction{Family: "identity"}, Y: plan.DualFunction{Family: "identity"}}}},
					{Offer: 3, Worth: 1983 * 983, Terms: []plan.ProductTerm{{X: plan.DualFunction{Family: "identity"}, Y: plan.DualFunction{Family: "identity"}}}},
				},
			}},
		},
		Shortages: []plan.Shortage{
			{Material: "tube", Counts: []plan.OfferCount{{Offer: 0, Count: 1}, {Offer: 1, Count: 1}}},
			{Material: "tube", Counts: []plan.OfferCount{{Offer: 0, Count: 1}}, Pieces: []plan.MarkCount{{Mark: "P1", Count: 4}, {Mark: "P3", Count: 2}}},
			{Material: "skin", Counts: []plan.OfferCount{{Offer: 3, Count: 1}}},
		},
	}
	seal(t, p)
	return p
}

func TestPurchaseProof(t *testing.T) {
	j, p := hide(), tied(t)
	proved(t, "the total by hand", j, p)
	_, notes := Plan(j, p)
	for _, n := range notes {
		if strings.Contains(n, "purchase") {
			t.Errorf("not proved again: %s", n)
		}
	}
}

var proofMutations = []mutation{
	{"a bound of its own", func(p *plan.Plan) { p.PurchaseProof.Bound-- }},
	{"called open", func(p *plan.Plan) { p.Status = plan.Open }},
	{"a cover of no material", func(p *plan.Plan) { p.PurchaseProof.Covers[0].Material = "pipe" }},
	{"a cover of the other material", func(p *plan.Plan) { p.PurchaseProof.Covers[0].Material = "skin" }},
	{"a sheet's cover of bars", func(p *plan.Plan) { p.PurchaseProof.Covers[0].Sheets = p.PurchaseProof.Covers[1].Sheets }},
	{"a bar that can hold more", func(p *plan.Plan) { p.PurchaseProof.Covers[0].Worths[0].Value = 300_000_000 }},
	{"a bar that holds nothing", func(p *plan.Plan) { p.PurchaseProof.Covers[0].Worths = nil }},
	{"a worth below nothing", func(p *plan.Plan) { p.PurchaseProof.Covers[0].Worths[0].Value = -1 }},
	{"a worth of a sheet among bars", func(p *plan.Plan) { p.PurchaseProof.Covers[0].Worths[1].Offer = 2 }},
	{"two worths", func(p *plan.Plan) { p.PurchaseProof.Covers[0].Worths[1].Offer = 0 }},
	{"a piece worth less than nothing", func(p *plan.Plan) {
		c := &p.PurchaseProof.Covers[0]
		c.Pieces = slices.Clone(c.Pieces)
		c.Pieces[0].Value = -1
	}},
	{"values beyond 64 bits in a cover", func(p *plan.Plan) {
		c := &p.PurchaseProof.Covers[0]
		c.Pieces = slices.Clone(c.Pieces)
		c.Pieces[0].Value, c.Worths[0].Value, c.Worths[1].Value = 1<<62, 1<<62, 1<<62
	}},
	{"a piece nobody wants in a cover", func(p *plan.Plan) {
		c := &p.PurchaseProof.Covers[0]
		c.Pieces = append(slices.Clone(c.Pieces), plan.PieceValue{Length: 7, Value: 1})
	}},
	{"panels worth more", func(p *plan.Plan) { p.PurchaseProof.Covers[1].Sheets.Need++ }},
	{"two bars too few", func(p *plan.Plan) { p.PurchaseProof.Shortages[0].Counts = []plan.OfferCount{{Offer: 0, Count: 2}} }},
	{"a sheet too few", func(p *plan.Plan) { p.PurchaseProof.Shortages[2].Counts[0].Offer = 2 }},
	{"a shortage of no material", func(p *plan.Plan) { p.PurchaseProof.Shortages[0].Material = "pipe" }},
	{"a shortage of the other material", func(p *plan.Plan) { p.PurchaseProof.Shortages[0].Material = "skin" }},
	{"a shortage of fewer than none", func(p *plan.Plan) { p.PurchaseProof.Shortages[0].Counts[0].Count = -1 }},
	{"an offer twice in a shortage", func(p *plan.Plan) { p.PurchaseProof.Shortages[0].Counts[1].Offer = 0 }},
	{"a shortage of unknown pieces", func(p *plan.Plan) { p.PurchaseProof.Shortages[1].Pieces[0].Mark = "P9" }},
	{"a shortage of too many pieces", func(p *plan.Plan) { p.PurchaseProof.Shortages[1].Pieces[0].Count = 5 }},
	{"a shortage of pieces that fit", func(p *plan.Plan) { p.PurchaseProof.Shortages[1].Pieces[1].Count = 1 }},
}

func TestProofMutations(t *testing.T) {
	allRefused(t, hide(), tied, proofMutations)
}

// TestProofOfMore: a plan with a bar too many is not the least, whatever its
// proof says; every way to pay less is found.
func TestProofOfMore(t *testing.T) {
	for _, c := range []struct {
		name  string
		deals func(j *job.Job)
		least plan.Money // by hand
	}{
		{"no smallest order", func(j *job.Job) { j.Suppliers[0].Minimum = 0 }, 4280 + 3500 + 5800},
		{"a smallest order", func(j *job.Job) {}, 8000 + 3500 + 5800},
		{"fetched", func(j *job.Job) { j.Suppliers[0].Fetched, j.Suppliers[0].Fetch = true, 1000 }, 8000 + 1000 + 5800},
		{"a pack", func(j *job.Job) {
			j.Suppliers[0].Minimum = 0
			j.Offers[0].Pack, j.Offers[0].Tiers = 4, []job.Tier{{From: 1, Price: 7000}}
		}, 5550 + 3500 + 5800}, // three of 5 m
		{"a price by quantity", func(j *job.Job) {
			j.Suppliers[0].Minimum = 0
			j.Offers[0].Tiers = []job.Tier{{From: 1, Price: 2140}, {From: 3, Price: 1300}}
		}, 3900 + 3500 + 5800},
		{"a spare", func(j *job.Job) { j.Suppliers[0].Minimum, j.Materials[0].Spare = 0, 1 }, 4280 + 1850 + 3500 + 5800},
		{"by the mark", func(j *job.Job) {
			j.Suppliers = append(j.Suppliers, job.Supplier{Name: "West", ByMark: true, Fetched: true, Fetch: 900})
			for _, p := range j.Pieces {
				j.Quotes = append(j.Quotes, job.Quote{Supplier: 2, Mark: p.Mark, Price: 500})
			}
		}, 11*500 + 900 + 5800},
		{"our own", func(j *job.Job) {
			j.Suppliers = append(j.Suppliers, job.Supplier{Name: "Loft", OnHand: true})
			j.Offers = append(j.Offers, job.Offer{Supplier: 2, Material: 0, Length: 6000 * mm, Price: 2600, Stock: 2})
		}, 5200 + 5800},
		{"cuts, some free", func(j *job.Job) {
			j.Processes[0].BySupplier = true
			j.Suppliers[0].Cut, j.Suppliers[0].FreeCuts, j.Suppliers[0].Mitre = 100, 1, 50
		}, 8000 + 3500 + 2*100 + 16*50 + 5800}, // P3 is square; P1 and P2 have two mitres each
	} {
		for _, more := range []plan.Money{0, 1} {
			j, p := hide(), tied(t)
			c.deals(j)
			for o := 5; o < len(j.Offers); o++ {
				w := &p.PurchaseProof.Covers[0].Worths
				*w = append(*w, plan.StockValue{Offer: o, Value: 478_682_844})
			}
			p.Materials[0].BarProof = nil
			p.PurchaseProof.Shortages = nil
			p.Materials[0].Goals.Cost.Bound, p.Materials[1].Goals.Cost.Bound = 0, 0
			p.Bound, p.PurchaseProof.Bound = c.least+more, c.least+more
			a := &audit{job: j, plan: p}
			a.index()
			pairs := a.materials()
			for _, m := range pairs {
				a.bound(m)
			}
			a.findings, a.notes = nil, nil
			a.purchase(pairs)
			if found := len(a.findings) > 0; found != (more > 0) || len(a.notes) > 0 {
				t.Errorf("%s, %d more than the least: %v %v", c.name, more, a.findings, a.notes)
			}
		}
	}
}

// TestHostileProofs puts hostile values into every number of the proof.
func TestHostileProofs(t *testing.T) {
	for _, of := range []struct {
		j *job.Job
		p *plan.Plan
	}{{hide(), tied(t)}, {yard(), yardPlan(t)}} {
		encoded, err := json.Marshal(of.p)
		if err != nil {
			t.Fatal(err)
		}
		for n := 0; ; n++ {
			var tree any
			if err := json.Unmarshal(encoded, &tree); err != nil {
				t.Fatal(err)
			}
			e := editor{target: n}
			e.visit(tree, "")
			if e.path == "" {
				break
			}
			for _, v := range []any{-9e18, 9e18, 0, "92233720368547758.07", "-0.01", ""} {
				json.Unmarshal(encoded, &tree)
				set(tree, strings.Split(e.path, "/"), v)
				b, _ := json.Marshal(tree)
				p := new(plan.Plan)
				if json.Unmarshal(b, p) == nil {
					Plan(of.j, p)
				}
			}
		}
	}
}

func set(tree any, path []string, v any) {
	for i, k := range path {
		switch t := tree.(type) {
		case map[string]any:
			if i == len(path)-1 {
				t[k] = v
			}
			tree = t[k]
		case []any:
			n := int(k[0] - '0')
			if len(k) > 1 {
				n = 10*n + int(k[1]-'0')
			}
			if i == len(path)-1 {
				t[n] = v
			}
			tree = t[n]
		}
	}
}
