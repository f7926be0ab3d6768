package planner

import (
	"context"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/purchase"
	"sawbill/nest1d"
	"sawbill/nest2d"
)

// asking caps the work and the questions to the engines of a purchase.
var asking = map[Effort]struct {
	work  int64
	packs int
}{
	Quick:  {1_000_000, 40},
	Normal: {16_000_000, 200},
	Long:   {400_000_000, 2_000},
}

// asked is how hard the engines look for a plan or a proof each time a purchase
// asks them.
var asked = map[Effort]struct {
	bars   nest1d.Effort
	sheets nest2d.Effort
}{
	Quick:  {nest1d.Quick, nest2d.Quick},
	Normal: {nest1d.Quick, nest2d.Quick},
	Long:   {nest1d.Normal, nest2d.Normal},
}

// together buys for all materials at once.
func together(ctx context.Context, j *job.Job, o Options, parts []Part) (*plan.Plan, error) {
	var sides []*side
	for i, p := range parts {
		if p.empty() {
			continue
		}
		d := &side{index: i, base: p.Material, none: p.None}
		if j.Materials[i].Sheet() {
			d.cutter = newSheetCutter(j, i, o)
		} else {
			d.cutter = newBarCutter(j, i, o)
		}
		sides = append(sides, d)
	}
	s := newShop(j, sides)
	for i, d := range sides {
		m := &s.problem.Materials[i]
		if d.none != nil || len(m.Kinds) == 0 {
			continue
		}
		m.Covers = append(d.cutter.covers(d.base), s.leastGoods(d))
		s.settleAlone(i)
	}
	options := purchase.Options{Work: asking[o.Effort].work, Packs: asking[o.Effort].packs, Starts: s.starts(ctx)}
	if o.Progress != nil {
		options.Progress = func(total, bound int64, found bool) {
			o.Progress(Progress{Purchase: true, Value: plan.Money(total), Bound: plan.Money(bound), Found: found})
		}
	}
	r := purchase.Solve(ctx, &s.problem, options)
	if r.Best == nil {
		return nil, s.noPurchase(r.Impossible)
	}
	p, err := s.plan(ctx, o, &r)
	if err == nil && o.Progress != nil {
		o.Progress(Progress{Purchase: true, Value: p.Total, Bound: p.Bound, Found: true, Done: true})
	}
	return p, err
}

// settleAlone fixes the counts of a material that nothing ties to the others but
// the sum of its order: one order sells it, at one price each. A total never
// falls when the goods of an order rise, and never rises by more; so the plan of the material on
// its own is best, or within slack of the best.
func (s *shop) settleAlone(i int) {
	d, m := s.sides[i], &s.problem.Materials[i]
	if len(m.Marks) > 0 || m.Spare > 0 || m.SparePercent > 0 || len(m.Groups) != 1 {
		return
	}
	for k, kind := range m.Kinds {
		f := &s.problem.Offers[kind.Offer]
		if f.Order != s.problem.Offers[m.Kinds[0].Offer].Order || f.Pack > 1 || len(f.Tiers) > 1 || f.Tiers[0].From > 1 ||
			kind.Cuts > 0 || kind.Each > 0 || s.parted(d.kinds[k]) {
			return
		}
	}
	for k, n := range s.alone(d).counts {
		m.Kinds[k].Least, m.Kinds[k].Most = n, n
	}
	d.alone = true
	s.slack += int64(d.base.Goals.Cost.Value - d.base.Goals.Cost.Bound)
}

// SoldByMark says that a supplier quotes every mark of a material, by its place.
func SoldByMark(j *job.Job, material int) bool {
	for i, s := range j.Suppliers {
		if _, all := quoted(j, material, i); s.ByMark && all {
			return true
		}
	}
	return false
}

// leastGoods is the bound that was proved of the material on its own: at the
// lowest prices, what is bought cannot cost less.
func (s *shop) leastGoods(d *side) purchase.Cover {
	c := purchase.Cover{Need: int64(d.base.Goals.Cost.Bound)}
	for _, k := range d.kinds {
		c.Worth = append(c.Worth, leastPrice(s.job.Offers[k.offer]))
	}
	return c
}

// starts are purchases from everybody, from everybody with one of the ways home,
// and from one supplier, or all but one, wherever they can supply a material.
func (s *shop) starts(ctx context.Context) []purchase.Start {
	sets := s.sellers()
	tried := make([][]*cutting, len(s.sides))
	for i, d := range s.sides {
		tried[i] = s.tries(ctx, i, d, sets)
	}
	var starts []purchase.Start
next:
	for n := range sets {
		var start purchase.Start
		for i := range s.sides {
			t := tried[i][n]
			if t == nil {
				t = tried[i][0]
			}
			if t == nil {
				continue next
			}
			start.Counts, start.Pieces = append(start.Counts, t.counts), append(start.Pieces, t.pieces)
		}
		starts = append(starts, start)
	}
	return starts
}

// mostStarts caps the sets of orders that are tried.
const mostStarts = 12

// sellers are the sets of orders tried, each by order.
func (s *shop) sellers() (sets [][]bool) {
	add := func(want func(o int) bool) {
		var in []bool
		for o := range s.ways {
			in = append(in, want(o))
		}
		if !slices.ContainsFunc(sets, func(other []bool) bool { return slices.Equal(other, in) }) {
			sets = append(sets, in)
		}
	}
	first := func(o int) bool { return s.ordersOf(s.ways[o].supplier)[0] == o }
	add(first)
	add(func(o int) bool {
		orders := s.ordersOf(s.ways[o].supplier)
		return orders[len(orders)-1] == o
	})
	for one := range s.ways {
		if len(sets) < mostStarts {
			add(func(o int) bool { return o == one })
		}
		if len(sets) < mostStarts {
			add(func(o int) bool { return s.ways[o].supplier != s.ways[one].supplier && first(o) })
		}
	}
	return sets
}

// tries cuts a material from each set of orders; nil where that cannot be done.
// Sets that are alike to the material are tried once.
func (s *shop) tries(ctx context.Context, i int, d *side, sets [][]bool) []*cutting {
	out := make([]*cutting, len(sets))
	extra := make([]int64, len(d.kinds))
	for k, kind := range d.kinds {
		m := s.problem.Materials[i].Kinds[k]
		extra[k] = m.Each + m.Cuts*s.problem.Orders[s.problem.Offers[kind.buy].Order].Cut
	}
	var met [][]bool
	for n, in := range sets {
		allowed := make([]bool, len(d.kinds))
		for k, kind := range d.kinds {
			allowed[k] = in[s.problem.Offers[kind.buy].Order]
		}
		before := slices.IndexFunc(met, func(a []bool) bool { return slices.Equal(a, allowed) })
		met = append(met, allowed)
		switch {
		case d.alone:
			out[n] = s.alone(d)
		case before >= 0:
			out[n] = out[before]
		case d.none == nil && slices.Contains(allowed, true):
			out[n] = d.cutter.try(ctx, allowed, extra)
		}
	}
	return out
}

// alone is how a material is cut whose plan is settled on its own.
func (s *shop) alone(d *side) *cutting {
	have := cut(s.job, d.base.Layouts)
	counts := make([]int64, len(d.kinds))
	for k, kind := range d.kinds {
		counts[k] = have[kind.offer]
	}
	return &cutting{counts, [][]int64{d.cutter.classes()}}
}

// noPurchase says that nothing suffices though every material could be had at
// its lowest price.
func (s *shop) noPurchase(impossible bool) *NoPlan {
	text := "no purchase was found that suffices for every material; raise the stock in the offers, add offers, or take more time with --effort long"
	if impossible {
		text = "no purchase suffices for every material with the packs, smallest quantities, spares, loads and stocks given; raise the stock in the offers or add an offer"
	}
	return &NoPlan{Messages: []job.Message{{Text: text}}, Impossible: impossible}
}

// plan puts the purchase back into the words of the job.
func (s *shop) plan(ctx context.Context, o Options, r *purchase.Result) (*plan.Plan, error) {
	j, choice := s.job, r.Best
	var materials []plan.Material
	used := purchase.Start{}
	for i, d := range s.sides {
		m := plan.Material{Key: d.base.Key, Stock: d.base.Stock, Alloy: d.base.Alloy, Kind: d.base.Kind, Process: d.base.Process, Free: d.base.Free, Spaced: d.base.Spaced,
			BarProof: d.base.BarProof, SheetProof: d.base.SheetProof, Buy: []plan.Line{}, Layouts: []plan.Layout{}}
		if d.none != nil {
			m = head(j, d.index)
		}
		counts := slices.Clone(choice.Counts[i])
		switch {
		case choice.Marks[i] > 0:
			counts = make([]int64, len(counts))
			s.ready(i, choice.Marks[i]-1, &m)
		case s.asBase(d, counts):
			m = d.base
		default:
			if err := d.cutter.lay(ctx, counts, choice.Pieces[i], &m); err != nil {
				return nil, err
			}
			counts = s.count(d, choice.Counts[i], m.Layouts)
			s.yard(&m, d, choice)
			lesserGoals(&m)
			aimGoals(j, d.index, &m, nil)
		}
		used.Counts, used.Pieces = append(used.Counts, counts), append(used.Pieces, choice.Pieces[i])
		materials = append(materials, m)
	}
	if !slices.EqualFunc(used.Counts, choice.Counts, slices.Equal) && !slices.ContainsFunc(choice.Marks, func(w int) bool { return w > 0 }) {
		if c := purchase.Complete(ctx, &s.problem, used, nil); c != nil && c.Total <= choice.Total {
			choice = c
		}
	}
	bought := make([]int64, len(j.Offers))
	for b, n := range choice.Bought {
		bought[s.offers[b]] += n
	}
	for i := range materials {
		s.settle(&materials[i], s.sides[i], bought, choice.Marks[i] > 0)
	}
	p := newPlan(j, o, materials)
	p.add(j, func(supplier int) string {
		for _, order := range s.ordersOf(supplier) {
			if choice.Placed[order] {
				return s.ways[order].way
			}
		}
		return onlyWay(j.Suppliers[supplier])
	})
	p.Bound = max(0, min(plan.Money(r.Bound), p.Total)-plan.Money(s.slack))
	p.PurchaseProof = s.proof(r, p.Bound)
	if p.Struck == "effort" {
		p.Struck = ""
	}
	for i := range materials {
		p.Struck = worse(p.Struck, struck(ctx, false, false, materials[i].Goals))
	}
	switch {
	case r.Ended:
		p.Struck = struck(ctx, false, true, plan.Goals{})
	case p.Struck != "":
	case p.Bound < p.Total && (r.Struck || s.slack > 0):
		p.Struck = "effort"
	}
	return p.Plan, p.seal()
}

// lesserGoals fills in the number of layouts and the largest offcut to keep of
// layouts made for a purchase, of which little is proved.
func lesserGoals(m *plan.Material) {
	number := int64(len(m.Layouts))
	m.Goals.Count = countGoal(number, min(1, number), number <= 1)
	var kept, most int64
	var parts func(p *plan.Part)
	parts = func(p *plan.Part) {
		if p.Kept {
			kept = max(kept, int64(p.Length)*int64(p.Width))
		}
		for _, c := range p.Parts {
			parts(c)
		}
	}
	for _, l := range m.Layouts {
		if m.Kind == plan.Sheet {
			for _, p := range []*plan.Part{l.Tree, l.Strip} {
				if p != nil {
					parts(p)
				}
			}
			most = max(most, int64(l.Stock.Length)*int64(l.Stock.Width))
			continue
		}
		if l.Kept {
			kept = max(kept, int64(l.Offcut))
		}
		most = max(most, int64(l.Stock.Length))
	}
	m.Goals.Offcut = countGoal(kept, most, kept == most)
}

// yard marks what of fetched bars and sheets is too large to be carried: what
// is cut at the yard, and leftovers that stay there.
func (s *shop) yard(m *plan.Material, d *side, c *purchase.Choice) {
	for i := range m.Layouts {
		l := &m.Layouts[i]
		o := s.job.Offers[l.Stock.Offer]
		for _, order := range s.ordersOf(o.Supplier) {
			if !c.Placed[order] || s.ways[order].way != plan.Fetched {
				continue
			}
			if l.Tree != nil {
				s.atYard(l.Tree, carried(s.job, o))
				l.TrimsAtYard = carried(s.job, o) && heavyLoad(s.job, o) && l.Trims() > 0
			} else if m.Free {
				keepStrip(s.job, d.index, l, true)
			} else if !fitsLoad(s.job, int64(l.Offcut), 0) {
				l.Kept = false
			}
		}
	}
	m.Mass, m.Shares = plan.Masses{}, plan.Shares{}
	if m.Kind == plan.Sheet {
		weighSheets(s.job, d.index, m)
	} else {
		weighBars(s.job, d.index, m)
	}
}

func (s *shop) atYard(p *plan.Part, whole bool) {
	if fitsLoad(s.job, int64(p.Length), int64(p.Width)) {
		return
	}
	p.Kept = false
	p.AtYard = whole && len(p.Parts) > 0
	for _, c := range p.Parts {
		s.atYard(c, whole)
	}
}

// asBase says that the counts are those of the plan of the material on its own,
// whose goals then hold.
func (s *shop) asBase(d *side, counts []int64) bool {
	if d.none != nil {
		return false
	}
	n := cut(s.job, d.base.Layouts)
	have := make([]int64, len(s.job.Offers))
	for k, c := range counts {
		if c > 0 && s.parted(d.kinds[k]) || len(d.groups) > 1 {
			return false
		}
		have[d.kinds[k].offer] += c
	}
	return slices.Equal(n, have)
}

// count tells how many of each kind layouts take, which are at most counts.
func (s *shop) count(d *side, counts []int64, layouts []plan.Layout) []int64 {
	used := make([]int64, len(counts))
	for _, l := range layouts {
		for k, kind := range d.kinds {
			if kind.offer == l.Stock.Offer && used[k] < counts[k] && kind.parts == parts(l) {
				used[k]++
				break
			}
		}
	}
	return used
}

// parts is the number of parts a bar is cut into at the yard, 0 when it is not.
func parts(l plan.Layout) int {
	if len(l.FirstCuts) == 0 {
		return 0
	}
	return len(l.FirstCuts) + 1
}

// ready fills in a material bought cut and ready.
func (s *shop) ready(i, marks int, m *plan.Material) {
	d := s.sides[i]
	supplier := s.ways[s.problem.Materials[i].Marks[marks].Order].supplier
	m.ByMark = s.job.Suppliers[supplier].Name
	m.Marks, _ = quoted(s.job, d.index, supplier)
	m.BarProof, m.SheetProof = nil, nil
	if m.Kind == plan.Sheet {
		weighSheets(s.job, d.index, m)
	} else {
		weighBars(s.job, d.index, m)
		m.Goals.Patterns = &plan.CountGoal{Status: plan.Proven}
	}
	m.Mass.Bought, m.Mass.Scrap, m.Mass.Offcuts = m.Mass.Pieces, 0, 0
	m.Shares = plan.Shares{Used: 10_000}
	m.Goals.Count, m.Goals.Offcut = plan.CountGoal{Status: plan.Proven}, plan.CountGoal{Status: plan.Proven}
	m.Goals.Order, m.Goals.Strip, m.Goals.Cuts = nil, nil, nil
	if m.Kind == plan.Sheet {
		m.Goals.Patterns = nil
	}
}

// settle fills in what a material's goods cost, and the least they could.
func (s *shop) settle(m *plan.Material, d *side, bought []int64, ready bool) {
	var value, bound plan.Money
	if ready {
		for _, q := range m.Marks {
			value += q.Amount
		}
	} else {
		own := make([]int64, len(bought))
		for i, o := range s.job.Offers {
			if o.Material == d.index {
				own[i] = bought[i]
			}
		}
		m.Buy = buy(s.job, own, cut(s.job, m.Layouts))
		for _, l := range m.Buy {
			value += l.Amount
		}
		bound = min(d.base.Goals.Cost.Bound, value)
	}
	m.Goals.Cost = moneyGoal(int64(value), int64(bound))
}

// proof lists what the bound of the purchase rests on.
func (s *shop) proof(r *purchase.Result, bound plan.Money) *plan.PurchaseProof {
	out := &plan.PurchaseProof{Bound: bound, Covers: []plan.Cover{}}
	for i, d := range s.sides {
		out.Searched = out.Searched || d.none != nil // that no offer will do
		for n, c := range r.Covers[i] {
			switch {
			case c.Beyond:
				out.Searched = true
			case c.Value != nil:
				out.Covers = append(out.Covers, d.cutter.proof(n, c))
			}
		}
	}
	for _, short := range r.Shortages {
		if t, ok := s.shortage(short); ok {
			out.Shortages = append(out.Shortages, t)
		} else {
			out.Searched = true
		}
	}
	return out
}

// shortage is in the words of the plan, where it speaks of whole offers.
func (s *shop) shortage(short purchase.Shortage) (plan.Shortage, bool) {
	d := s.sides[short.Material]
	out := plan.Shortage{Material: s.job.Materials[d.index].Key}
	counts := make([]int64, len(s.job.Offers))
	for k, n := range short.Counts {
		if d.kinds[k].parts > 0 && n > 0 || len(d.groups) > 1 {
			return out, false
		}
		counts[d.kinds[k].offer] += n
	}
	for o, n := range counts {
		if n > 0 {
			out.Counts = append(out.Counts, plan.OfferCount{Offer: o, Count: n})
		}
	}
	return out, true
}
