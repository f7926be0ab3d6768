package main

import (
	"context"
	"fmt"
	"strconv"

	"sawbill/nest1d"
)

// barPlan is a plan as written to a file: every bar with its pieces from the
// left end, in the units of the instance.
type barPlan struct {
	Bars []bar `json:"bars"`
}

type bar struct {
	Length int64   `json:"length"`
	Pieces []int64 `json:"pieces"`
	stock  int     // index of the kind of bar
	kinds  []int   // of each piece, index of its kind
	at     []int64 // of each piece, its left end
}

// instance makes p runnable under a name.
func (p barProblem) instance(name string) instance {
	return instance{name: name, pieces: p.count(), kinds: len(p.pieces), solve: p.solve}
}

// problem puts p to the engine: no kerf, no trim.
func (p barProblem) problem() nest1d.Problem {
	var q nest1d.Problem
	for _, piece := range p.pieces {
		q.Pieces = append(q.Pieces, nest1d.Piece{Length: piece.length, Demand: piece.demand})
	}
	for _, s := range p.stocks {
		supply := s.supply
		if supply < 0 {
			supply = nest1d.Unlimited
		}
		q.Stocks = append(q.Stocks, nest1d.Stock{
			Length: s.length, Supply: supply, Price: s.cost, Kerf: []int64{0},
		})
	}
	return q
}

func (p barProblem) solve(ctx context.Context, e effort) (answer, error) {
	levels := map[effort]nest1d.Effort{quick: nest1d.Quick, normal: nest1d.Normal, long: nest1d.Long}
	q := p.problem()
	r, err := nest1d.Solve(ctx, q, nest1d.Options{Effort: levels[e]})
	if err != nil {
		return answer{}, err
	}
	note := fmt.Sprintf("%s, %s; root bound %d, %d rounds, %d columns, %d nodes",
		[]string{"no plan found", "planned", "no plan exists"}[r.Outcome],
		[]string{"ended by itself", "ended by effort", "ended by time"}[r.Struck],
		r.Work.Root, r.Work.Rounds, r.Work.Columns, r.Work.Nodes)
	switch r.Outcome {
	case nest1d.Impossible:
		return answer{proven: true, note: note}, nil
	case nest1d.NotFound:
		return answer{bound: strconv.FormatInt(r.Cost.Bound, 10), note: note}, nil
	}
	plan, err := p.plan(r)
	if err != nil {
		return answer{}, err
	}
	cost, err := p.recount(plan)
	if err != nil {
		return answer{}, fmt.Errorf("the plan is wrong: %w", err)
	}
	if err := consistent(cost, r.Cost.Value, r.Cost.Bound, r.Cost.Status == nest1d.Proven); err != nil {
		return answer{}, err
	}
	return answer{
		bound:  strconv.FormatInt(r.Cost.Bound, 10),
		value:  strconv.FormatInt(cost, 10),
		proven: r.Cost.Bound == cost,
		plan:   plan,
		note:   note,
	}, nil
}

// consistent compares what a run claims with what was recounted.
func consistent(recounted, value, bound int64, proven bool) error {
	switch {
	case value != recounted:
		return fmt.Errorf("the plan costs %d but the run says %d", recounted, value)
	case bound > value:
		return fmt.Errorf("the bound %d lies above the plan's cost %d", bound, value)
	case proven && bound != value:
		return fmt.Errorf("the run calls %d proven with the bound at %d", value, bound)
	}
	return nil
}

// plan writes the layouts of a result out bar by bar.
func (p barProblem) plan(r nest1d.Result) (barPlan, error) {
	plan := barPlan{Bars: []bar{}}
	pieces := p.count()
	for _, l := range r.Layouts {
		if l.Stock < 0 || l.Stock >= len(p.stocks) {
			return barPlan{}, fmt.Errorf("the plan is wrong: there is no bar kind %d", l.Stock)
		}
		if l.Count < 1 || l.Count > pieces-int64(len(plan.Bars)) {
			return barPlan{}, fmt.Errorf("the plan is wrong: a layout is cut %d times, more often than there are pieces or not at all", l.Count)
		}
		b := bar{Length: p.stocks[l.Stock].length, Pieces: []int64{}, stock: l.Stock}
		for _, place := range l.Places {
			if place.Piece < 0 || place.Piece >= len(p.pieces) {
				return barPlan{}, fmt.Errorf("the plan is wrong: there is no piece kind %d", place.Piece)
			}
			b.Pieces = append(b.Pieces, p.pieces[place.Piece].length)
			b.kinds = append(b.kinds, place.Piece)
			b.at = append(b.at, place.At)
		}
		for range l.Count {
			plan.Bars = append(plan.Bars, b)
		}
	}
	return plan, nil
}

// recount adds a plan up against the instance alone and returns its cost:
// every piece as often as demanded, every bar long enough for its pieces one
// after the other, no more bars than supplied.
func (p barProblem) recount(plan barPlan) (int64, error) {
	made := make([]int64, len(p.pieces))
	used := make([]int64, len(p.stocks))
	var cost int64
	for i, b := range plan.Bars {
		s := p.stocks[b.stock]
		if b.Length != s.length {
			return 0, fmt.Errorf("bar %d is %d long but its kind has %d", i+1, b.Length, s.length)
		}
		used[b.stock]++
		cost += s.cost
		if len(b.Pieces) == 0 {
			return 0, fmt.Errorf("bar %d is bought for nothing", i+1)
		}
		var sum, end int64
		for j, length := range b.Pieces {
			if length != p.pieces[b.kinds[j]].length {
				return 0, fmt.Errorf("bar %d has a piece of length %d that nobody asked for", i+1, length)
			}
			made[b.kinds[j]]++
			sum += length
			if b.at[j] < end {
				return 0, fmt.Errorf("bar %d has a piece at %d before the end of the last at %d", i+1, b.at[j], end)
			}
			end = b.at[j] + length
		}
		if sum > b.Length || end > b.Length {
			return 0, fmt.Errorf("bar %d of length %d is cut to %d, reaching %d", i+1, b.Length, sum, end)
		}
	}
	for i, piece := range p.pieces {
		if made[i] != piece.demand {
			return 0, fmt.Errorf("piece length %d comes %d times instead of %d", piece.length, made[i], piece.demand)
		}
	}
	for i, s := range p.stocks {
		if s.supply >= 0 && used[i] > s.supply {
			return 0, fmt.Errorf("%d bars of length %d are used, %d supplied", used[i], s.length, s.supply)
		}
	}
	return cost, nil
}
