package planner

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
	"sawbill/nest1d"
)

// barJob is the problem of one material and the way back from its answer.
type barJob struct {
	problem nest1d.Problem
	offers  []int     // stock kind → offer
	shapes  []shape   // piece kind → shape
	copies  [][]named // piece kind → marks and copies, in list order
	cuts    []cutKind // by number, the square cut first
	shares  bool      // mitres share cuts
}

// shape is what makes two pieces alike for the saw.
type shape struct {
	length              length.Length
	left, right         int64
	leftFace, rightFace section.Face
}

func shapeOf(p job.Piece) shape { return shape{p.Length, p.Left, p.Right, p.LeftFace, p.RightFace} }

// worth is a value of pieces of the shape, as a plan states it.
func (s shape) worth(v int64) plan.PieceValue {
	return plan.PieceValue{Length: s.length, Left: s.left, Right: s.right, LeftWide: s.leftFace == section.Wide, RightWide: s.rightFace == section.Wide, Value: v}
}

func bars(ctx context.Context, j *job.Job, mi int, head plan.Material, o Options) outcome {
	b := newBarJob(j, mi)
	if len(b.shapes) == 0 {
		return outcome{}
	}
	options := nest1d.Options{Effort: efforts[o.Effort].bars, Seed: o.Seed, Start: b.start(j, o.Start)}
	if o.Progress != nil {
		options.Progress = func(p nest1d.Progress) {
			o.Progress(Progress{Material: head.Key, Value: plan.Money(p.Value), Bound: plan.Money(p.Bound), Found: p.Found})
		}
	}
	r, err := nest1d.Solve(ctx, b.problem, options)
	if err != nil {
		return outcome{err: fmt.Errorf("material %q: %w", head.Key, err)}
	}
	if r.Outcome != nest1d.Planned {
		return b.noPlan(j, mi, r)
	}
	patterns := countGoal(r.Patterns.Value, r.Patterns.Bound, r.Patterns.Status == nest1d.Proven)
	head.Goals = plan.Goals{
		Cost:     moneyGoal(r.Cost.Value, r.Cost.Bound),
		Count:    countGoal(r.Bars.Value, r.Bars.Bound, r.Bars.Status == nest1d.Proven),
		Patterns: &patterns,
		Offcut:   countGoal(r.Offcut.Value, r.Offcut.Bound, r.Offcut.Status == nest1d.Proven),
	}
	head.Struck = struck(ctx, r.Struck == nest1d.EffortLimit, r.Struck == nest1d.TimeLimit, head.Goals)
	head.BarProof = b.proof(r)
	if p, differs := b.ifParted(j); differs {
		// What is cut at the yard may meet there with less kerf than any joint has.
		r, err := nest1d.Solve(ctx, p, nest1d.Options{Effort: options.Effort, Seed: o.Seed})
		if err != nil {
			return outcome{err: fmt.Errorf("material %q: %w", head.Key, err)}
		}
		head.Goals.Cost = moneyGoal(int64(head.Goals.Cost.Value), min(int64(head.Goals.Cost.Bound), r.Cost.Bound))
		head.Goals.Count = countGoal(head.Goals.Count.Value, min(1, head.Goals.Count.Value), false)
		head.BarProof = b.proof(r)
	}
	head.Layouts = b.layouts(j, mi, r.Layouts)
	used := cut(j, head.Layouts)
	head.Buy = buy(j, used, used)
	weighBars(j, mi, &head)
	return outcome{material: head}
}

// newBarJob gathers the pieces of one material into kinds and its offers into
// stock kinds, both in the order of the tables.
func newBarJob(j *job.Job, mi int) *barJob {
	b := &barJob{cuts: []cutKind{{}}, shares: shares(j, mi)}
	process := j.Processes[j.Materials[mi].Process]
	kinds := map[shape]int{}
	for _, p := range j.Pieces {
		if p.Material != mi {
			continue
		}
		s := shapeOf(p)
		k, known := kinds[s]
		if !known {
			k = len(b.shapes)
			kinds[s] = k
			b.shapes = append(b.shapes, s)
			b.copies = append(b.copies, nil)
			b.problem.Pieces = append(b.problem.Pieces, b.piece(j.Materials[mi], p))
		}
		b.problem.Pieces[k].Demand += p.Quantity
		for c := range int(p.Quantity) {
			b.copies[k] = append(b.copies[k], named{p.Mark, p.Copy(c)})
		}
	}
	for i, offer := range j.Offers {
		if offer.Material == mi && !j.Suppliers[offer.Supplier].ByMark {
			b.offers = append(b.offers, i)
			b.problem.Stocks = append(b.problem.Stocks, b.stock(j, offer, process.Kerf))
		}
	}
	return b
}

// start are layouts of an earlier plan in the pieces and stocks of this one: for
// each, every stock of its length, those on hand first.
func (b *barJob) start(j *job.Job, layouts []plan.Layout) []nest1d.Layout {
	if len(layouts) == 0 {
		return nil
	}
	kinds := map[string]int{}
	for k, copies := range b.copies {
		for _, mark := range marksOf(copies) {
			kinds[mark] = k
		}
	}
	stocks := make([]int, len(b.offers))
	for s := range stocks {
		stocks[s] = s
	}
	slices.SortStableFunc(stocks, func(s, t int) int {
		return cmp.Compare(b.problem.Stocks[s].Price, b.problem.Stocks[t].Price)
	})
	var out []nest1d.Layout
	for _, l := range layouts {
		var places []nest1d.Place
		for _, p := range l.Pieces {
			if k, known := kinds[p.Mark]; known {
				places = append(places, nest1d.Place{Piece: k})
			}
		}
		for _, s := range stocks {
			if len(places) > 0 && j.Offers[b.offers[s]].Length == l.Stock.Length {
				out = append(out, nest1d.Layout{Stock: s, Count: 1, Places: places})
			}
		}
	}
	return out
}

// ifParted is the problem with the kerfs of first cuts, where those are less, of
// bars that may have to be cut to be carried.
func (b *barJob) ifParted(j *job.Job) (p nest1d.Problem, differs bool) {
	p = b.problem
	p.Stocks = slices.Clone(p.Stocks)
	for s, i := range b.offers {
		o := j.Offers[i]
		v := j.Suppliers[o.Supplier]
		if !v.Fetched || v.OnHand || !carried(j, o) || !heavyLoad(j, o) {
			continue
		}
		kerfs := slices.Clone(p.Stocks[s].Kerf)
		for c := range kerfs {
			kerfs[c] = min(kerfs[c], int64(firstKerf(j, o)))
			differs = differs || kerfs[c] < p.Stocks[s].Kerf[c]
		}
		p.Stocks[s].Kerf = kerfs
	}
	return p, differs
}

// stock is a bar of an offer, cut with a kerf.
func (b *barJob) stock(j *job.Job, offer job.Offer, kerf length.Length) nest1d.Stock {
	material := j.Materials[offer.Material]
	process := j.Processes[material.Process]
	s := nest1d.Stock{
		Length:   int64(offer.Length),
		TrimLeft: int64(process.TrimLeft), TrimRight: int64(process.TrimRight), Tail: int64(process.Tail),
		Supply: offer.Stock, Price: leastPrice(offer), Keep: int64(material.KeepOver),
	}
	if s.Price == 0 && s.Supply < 0 {
		for _, p := range b.problem.Pieces { // what costs nothing must have an end
			s.Supply = max(0, s.Supply) + p.Demand
		}
	}
	for _, c := range b.cuts {
		s.Kerf = append(s.Kerf, int64(alongBar(kerf, c.angle)))
		if b.shares {
			s.Slant = append(s.Slant, int64(slantAlong(material.Section.Across(c.face), c.angle)))
			s.Plane = append(s.Plane, int(c.face))
		}
	}
	return s
}

// alongBar is the length of bar a blade uses at an angle (thousandths of a
// degree from square): kerf / cos, rounded up. A millionth of a base unit is
// forgiven, so that 60° doubles the kerf exactly.
func alongBar(kerf length.Length, angle int64) length.Length {
	if angle == 0 {
		return kerf
	}
	c := math.Cos(float64(angle) / 1000 * math.Pi / 180)
	return length.Length(math.Ceil(float64(kerf)/c - 1e-6))
}

func (b *barJob) layouts(j *job.Job, mi int, found []nest1d.Layout) []plan.Layout {
	material := j.Materials[mi]
	process := j.Processes[material.Process]
	next := make([]int, len(b.shapes))
	var list []plan.Layout
	for _, l := range found {
		offer := b.offers[l.Stock]
		for range l.Count {
			out := plan.Layout{Stock: stock(j, offer)}
			for _, place := range l.Places {
				who := b.copies[place.Piece][next[place.Piece]]
				next[place.Piece]++
				out.Pieces = append(out.Pieces, plan.Piece{
					Mark: who.mark, Copy: who.copy, At: length.Length(place.At), Turned: place.Turned, Rolled: place.Rolled,
				})
			}
			if n := len(l.Places); n > 0 {
				last := l.Places[n-1]
				s := b.shapes[last.Piece]
				right := s.right
				if last.Turned {
					right = s.left
				}
				end := length.Length(last.At) + s.length + alongBar(process.Kerf, max(right, -right))
				out.Offcut = max(0, j.Offers[offer].Length-end)
			}
			if len(l.Cuts) > 0 {
				bar := b.problem.Stocks[l.Stock]
				for _, c := range l.Cuts {
					out.FirstCuts = append(out.FirstCuts, length.Length(c))
				}
				out.FirstKerf = length.Length(bar.PartKerf)
				out.Offcut = length.Length(bar.Offcut(b.problem.Pieces, l.Places, l.Cuts...))
			}
			out.Kept = material.KeepOver > 0 && out.Offcut >= material.KeepOver
			list = append(list, out)
		}
	}
	number(list)
	return list
}

func (b *barJob) proof(r nest1d.Result) *plan.BarProof {
	c := r.Certificate
	if c.Scale == 0 {
		return nil
	}
	proof := &plan.BarProof{Scale: c.Scale, Bound: plan.Money(c.Bound), Stocks: []plan.StockValue{}, Searched: c.Searched}
	for i, v := range c.Piece {
		proof.Pieces = append(proof.Pieces, b.shapes[i].worth(v))
	}
	for i, v := range c.Stock {
		if v != 0 {
			proof.Stocks = append(proof.Stocks, plan.StockValue{Offer: b.offers[i], Value: v})
		}
	}
	return proof
}

// noPlan says in a sentence why a material has no plan.
func (b *barJob) noPlan(j *job.Job, mi int, r nest1d.Result) outcome {
	m := j.Materials[mi]
	impossible := r.Outcome == nest1d.Impossible
	if len(r.Shortfall.TooLong) > 0 {
		var marks []string
		for _, k := range r.Shortfall.TooLong {
			marks = append(marks, marksOf(b.copies[k])...)
		}
		return outcome{impossible: true, message: tooLarge(m, j.Processes[m.Process], "bars", marks)}
	}
	var missing string
	if r.Shortfall.Length > 0 {
		missing = "at least " + inUnit(j, length.Length(r.Shortfall.Length)) + " of bar is missing"
	}
	var left []string
	for _, u := range r.Shortfall.Unplaced {
		left = append(left, fmt.Sprintf("%d of %s", u.Count, strings.Join(marksOf(b.copies[u.Piece]), ", ")))
	}
	return outcome{impossible: impossible, message: shortMessage(m, "bars", impossible, missing, left)}
}
