package planner

import (
	"cmp"
	"context"
	"fmt"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/purchase"
	"sawbill/nest1d"
)

// barCutter answers for the bars of one material.
type barCutter struct {
	*barJob
	desk[nest1d.Layout]
	// whole are the offers sold, uncut, by which covers are valued.
	whole nest1d.Problem
	sold  []int
}

func newBarCutter(j *job.Job, mi int, o Options) *barCutter {
	b := &barCutter{barJob: newBarJob(j, mi), desk: desk[nest1d.Layout]{job: j, index: mi, options: o, groups: 1, read: readBar}}
	b.whole, _ = b.ifParted(j)
	b.sold = b.offers
	for k := range b.whole.Stocks {
		b.whole.Stocks[k].Supply, b.whole.Stocks[k].Price = nest1d.Unlimited, 1
	}
	return b
}

func readBar(l nest1d.Layout) content {
	c := content{kind: l.Stock, count: l.Count}
	for _, place := range l.Places {
		c.classes = append(c.classes, place.Piece)
	}
	return c
}

// firstKerf is the kerf of the saw that makes a supplier's first cuts.
func firstKerf(j *job.Job, o job.Offer) length.Length {
	if k := j.Suppliers[o.Supplier].CutKerf; k >= 0 {
		return k
	}
	return j.Processes[j.Materials[o.Material].Process].Kerf
}

func (b *barCutter) classes() []int64 {
	var list []int64
	for _, p := range b.problem.Pieces {
		list = append(list, p.Demand)
	}
	return list
}

func (b *barCutter) form(kinds []kind) {
	b.desk.form(kinds)
	b.offers, b.problem.Stocks = nil, nil
	kerf := b.job.Processes[b.job.Materials[b.index].Process].Kerf
	for _, k := range kinds {
		offer := b.job.Offers[k.offer]
		s := b.barJob.stock(b.job, offer, kerf)
		if k.fetched {
			s.Longest = int64(b.job.LongestLoad)
		}
		if k.parts > 0 {
			s.Part, s.Parts, s.PartKerf = int64(b.job.LongestLoad), k.parts, int64(firstKerf(b.job, offer))
		}
		b.offers = append(b.offers, k.offer)
		b.problem.Stocks = append(b.problem.Stocks, s)
	}
}

func (b *barCutter) holds(kind, class int) bool {
	s := b.problem.Stocks[kind]
	_, _, fits := s.ArrangeParts(b.problem.Pieces, []int{class})
	return fits && (s.Longest == 0 || b.problem.Pieces[class].Length <= s.Longest)
}

// enough cuts all pieces, longest first, from the first bar of the kind, or part
// of it, that has room with the widest kerf after each piece.
func (b *barCutter) enough(kind int) int64 {
	s := b.problem.Stocks[kind]
	kerf := slices.Max(s.Kerf)
	var sizes []int64 // of the parts of one bar
	for left, parts := s.Length, max(1, s.Parts); parts > 0; parts-- {
		size := left
		if parts > 1 {
			size = min(s.Part, left)
		}
		left = max(0, left-size-s.PartKerf)
		sizes = append(sizes, size-s.TrimLeft-s.TrimRight-s.Tail)
	}
	order := make([]int, len(b.shapes))
	for i := range order {
		if order[i] = i; !b.holds(kind, i) {
			return 0
		}
	}
	slices.SortFunc(order, func(x, y int) int { return cmp.Compare(b.shapes[y].length, b.shapes[x].length) })
	var room []int64
	for _, i := range order {
		need := int64(b.shapes[i].length) + kerf
		from := 0
		for range b.problem.Pieces[i].Demand {
			for from < len(room) && room[from] < need {
				from++ // nor has it room for the next of the same length
			}
			if from == len(room) {
				room = append(room, sizes...)
				for from < len(room) && room[from] < need {
					from++
				}
				if from == len(room) || len(room) > mostRoom {
					return 0
				}
			}
			room[from] -= need
		}
	}
	return int64(len(room) / len(sizes))
}

// mostRoom caps the parts of bars that enough looks through.
const mostRoom = 5000

func (b *barCutter) price(s job.Supplier, class int) (cuts, each int64) {
	n := pieceCuts(b.shapes[class].left, b.shapes[class].right)
	return n[0], n[1] * s.Mitre
}

// cover values the pieces. The plan states what a whole bar is worth, however
// it comes home; what must be fetched may be worth less, which is beyond what the
// plan's proof can say.
func (b *barCutter) cover(value []int64) (list []purchase.Cover) {
	whole, err := nest1d.Worth(b.whole, value)
	if err != nil {
		return nil
	}
	c := purchase.Cover{Value: slices.Clone(value)}
	for _, k := range b.kinds {
		c.Worth = append(c.Worth, whole[slices.Index(b.sold, k.offer)])
	}
	list = append(list, c)
	fine, err := nest1d.WorthInParts(b.problem, value)
	if err != nil {
		return list
	}
	tight := purchase.Cover{Value: c.Value, Beyond: true}
	for k := range fine {
		tight.Worth = append(tight.Worth, min(fine[k], c.Worth[k]))
	}
	if !slices.Equal(tight.Worth, c.Worth) {
		list = append(list, tight)
	}
	return list
}

func (b *barCutter) covers(base plan.Material) []purchase.Cover {
	var list []purchase.Cover
	add := func(value []int64) {
		if slices.ContainsFunc(value, func(v int64) bool { return v > 0 }) {
			list = append(list, b.cover(value)...)
		}
	}
	if base.BarProof != nil {
		value := make([]int64, len(b.shapes))
		for _, v := range base.BarProof.Pieces {
			if i := slices.IndexFunc(b.shapes, func(s shape) bool { return s.worth(v.Value) == v }); i >= 0 {
				value[i] = v.Value
			}
		}
		add(value)
	}
	lengths := make([]int64, len(b.shapes))
	for i, s := range b.shapes {
		lengths[i] = int64(s.length)
	}
	add(lengths)
	return list
}

func (b *barCutter) proof(_ int, c purchase.Cover) plan.Cover {
	out := plan.Cover{Material: b.job.Materials[b.index].Key}
	for i, v := range c.Value {
		out.Pieces = append(out.Pieces, b.shapes[i].worth(v))
	}
	met := map[int]bool{}
	for k, w := range c.Worth {
		if o := b.kinds[k].offer; !met[o] {
			met[o] = true
			out.Worths = append(out.Worths, plan.StockValue{Offer: o, Value: w})
		}
	}
	slices.SortFunc(out.Worths, func(a, b plan.StockValue) int { return a.Offer - b.Offer })
	return out
}

// solve cuts some pieces from some bars, at prices of the goods and extra.
func (b *barCutter) solve(ctx context.Context, counts, pieces, extra []int64, effort nest1d.Effort) (nest1d.Result, error) {
	p := b.problem
	p.Stocks, p.Pieces = slices.Clone(p.Stocks), slices.Clone(p.Pieces)
	for k := range p.Stocks {
		p.Stocks[k].Supply = counts[k]
		if extra != nil {
			p.Stocks[k].Price += extra[k]
		}
	}
	for i := range p.Pieces {
		p.Pieces[i].Demand = pieces[i]
	}
	return nest1d.Solve(ctx, p, nest1d.Options{Effort: effort, Seed: b.options.Seed})
}

// Pack asks for the fewest bars beyond those there are, which cost nothing: none
// when the pieces can be cut from them. There is always a plan then, and the
// engine proves its cost.
func (b *barCutter) Pack(ctx context.Context, counts, pieces []int64) purchase.Answer {
	p := b.problem
	p.Stocks, p.Pieces = nil, slices.Clone(p.Pieces)
	for k, s := range b.problem.Stocks {
		s.Supply, s.Price = counts[k], 0
		p.Stocks = append(p.Stocks, s)
	}
	for _, s := range b.problem.Stocks {
		s.Supply, s.Price = nest1d.Unlimited, 1
		p.Stocks = append(p.Stocks, s)
	}
	for i := range p.Pieces {
		p.Pieces[i].Demand = pieces[i]
	}
	r, err := nest1d.Solve(ctx, p, nest1d.Options{Effort: asked[b.options.Effort].bars, Seed: b.options.Seed})
	switch {
	case err != nil:
		return purchase.Answer{}
	case r.Outcome == nest1d.Planned && r.Cost.Value == 0:
		return purchase.Answer{Fit: purchase.Packed, Used: b.keep(r.Layouts, pieces)}
	case r.Outcome == nest1d.NotFound || r.Outcome == nest1d.Planned && r.Cost.Bound == 0:
		return purchase.Answer{}
	}
	answer := purchase.Answer{Fit: purchase.Short}
	if r.Certificate.Scale > 0 && len(r.Certificate.Piece) == len(b.shapes) {
		answer.Covers = b.cover(r.Certificate.Piece)
	}
	return answer
}

func (b *barCutter) try(ctx context.Context, allowed []bool, extra []int64) *cutting {
	all := b.classes()
	r, err := b.solve(ctx, b.supply(allowed, all), all, extra, asked[b.options.Effort].bars)
	if err != nil || r.Outcome != nest1d.Planned {
		return nil
	}
	return b.divide(r.Layouts, len(all))
}

func (b *barCutter) lay(ctx context.Context, counts []int64, pieces [][]int64, out *plan.Material) error {
	var all []nest1d.Layout
	extra := make([]int64, len(counts))
	for k := range extra {
		extra[k] = int64(b.kinds[k].parts) // as few first cuts as will do
	}
	for g := range pieces {
		own := b.own(counts, g)
		r, err := b.solve(ctx, own, pieces[g], extra, efforts[b.options.Effort].bars)
		if err != nil {
			return err
		}
		if r.Outcome != nest1d.Planned {
			r.Layouts = b.recall(own, pieces[g])
		}
		all = append(all, r.Layouts...)
	}
	out.Layouts = b.layouts(b.job, b.index, all)
	patterns := b.patterns(all)
	goal := countGoal(patterns, min(1, patterns), patterns <= 1)
	out.Goals.Patterns = &goal
	weighBars(b.job, b.index, out)
	return nil
}

// patterns counts the set-ups of the saw: bars of one length and price, parted
// alike, with pieces of the same lengths and cuts in any order.
func (b *barCutter) patterns(layouts []nest1d.Layout) int64 {
	met := map[string]bool{}
	for _, l := range layouts {
		s := b.problem.Stocks[l.Stock]
		var list []string
		for _, place := range l.Places {
			list = append(list, cutAs(&s, b.problem.Pieces[place.Piece]))
		}
		slices.Sort(list)
		met[fmt.Sprint(s.Length, s.Price, len(l.Cuts), list)] = true
	}
	return int64(len(met))
}
