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
	job     *job.Job
	index   int
	options Options
	kinds   []kind
	// whole are the offers uncut, by which covers are valued.
	whole  nest1d.Problem
	groups int
	known  []cutBars
}

// cutBars are layouts known for a question of the purchase.
type cutBars struct {
	counts, pieces []int64
	layouts        []nest1d.Layout
}

func newBarCutter(j *job.Job, mi int, o Options) *barCutter {
	b := &barCutter{barJob: newBarJob(j, mi), job: j, index: mi, options: o, groups: 1}
	b.whole, _ = b.ifParted(j)
	for k := range b.whole.Stocks {
		b.whole.Stocks[k].Supply, b.whole.Stocks[k].Price = nest1d.Unlimited, 1
	}
	return b
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
	b.kinds = kinds
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
		b.groups = max(b.groups, k.group+1)
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
				for _, size := range sizes {
					room = append(room, size)
				}
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
	offers := b.offersOf()
	for _, k := range b.kinds {
		c.Worth = append(c.Worth, whole[slices.Index(offers, k.offer)])
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

// offersOf are the offers of the whole bars, in order.
func (b *barCutter) offersOf() []int {
	var list []int
	for i, o := range b.job.Offers {
		if o.Material == b.index && !b.job.Suppliers[o.Supplier].ByMark {
			list = append(list, i)
		}
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
			if i := slices.Index(b.shapes, shape{v.Length, v.Left, v.Right}); i >= 0 {
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
		s := b.shapes[i]
		out.Pieces = append(out.Pieces, plan.PieceValue{Length: s.length, Left: s.left, Right: s.right, Value: v})
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

// keep remembers layouts, and tells how many bars of each kind they take.
func (b *barCutter) keep(layouts []nest1d.Layout, pieces []int64) []int64 {
	used := make([]int64, len(b.kinds))
	for _, l := range layouts {
		used[l.Stock] += l.Count
	}
	b.known = append(b.known, cutBars{used, slices.Clone(pieces), layouts})
	return used
}

func (b *barCutter) try(ctx context.Context, allowed []bool, extra []int64) (counts []int64, pieces [][]int64, found bool) {
	all := b.classes()
	var total int64
	for _, n := range all {
		total += n
	}
	supply := make([]int64, len(b.kinds))
	for k, ok := range allowed {
		if ok {
			supply[k] = total
			if s := b.job.Offers[b.kinds[k].offer].Stock; s >= 0 {
				supply[k] = min(total, s)
			}
		}
	}
	r, err := b.solve(ctx, supply, all, extra, asked[b.options.Effort].bars)
	if err != nil || r.Outcome != nest1d.Planned {
		return nil, nil, false
	}
	counts = make([]int64, len(b.kinds))
	for range b.groups {
		pieces = append(pieces, make([]int64, len(all)))
	}
	parts := make([][]nest1d.Layout, b.groups)
	for _, l := range r.Layouts {
		g := b.kinds[l.Stock].group
		counts[l.Stock] += l.Count
		parts[g] = append(parts[g], l)
		for _, place := range l.Places {
			pieces[g][place.Piece] += l.Count
		}
	}
	for g := range parts {
		b.keep(parts[g], pieces[g])
	}
	return counts, pieces, true
}

func (b *barCutter) lay(ctx context.Context, counts []int64, pieces [][]int64, out *plan.Material) error {
	var all []nest1d.Layout
	for g := range pieces {
		own := make([]int64, len(counts))
		extra := make([]int64, len(counts))
		for k := range own {
			if b.kinds[k].group == g {
				own[k] = counts[k]
			}
			extra[k] = int64(b.kinds[k].parts) // as few first cuts as will do
		}
		r, err := b.solve(ctx, own, pieces[g], extra, efforts[b.options.Effort].bars)
		if err != nil {
			return err
		}
		if r.Outcome != nest1d.Planned {
			at := slices.IndexFunc(b.known, func(k cutBars) bool {
				return slices.Equal(k.pieces, pieces[g]) && within(k.counts, own)
			})
			r.Layouts = b.known[at].layouts
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
			p := b.problem.Pieces[place.Piece]
			list = append(list, fmt.Sprint(p.Length, s.Kerf[p.Left], s.Kerf[p.Right]))
		}
		slices.Sort(list)
		met[fmt.Sprint(s.Length, s.Price, len(l.Cuts), list)] = true
	}
	return int64(len(met))
}

// within says a ≤ b in every place.
func within(a, b []int64) bool {
	for i := range a {
		if a[i] > b[i] {
			return false
		}
	}
	return true
}
