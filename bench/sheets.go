package main

import (
	"context"
	"fmt"

	"sawbill/nest2d"
)

// sheetPlan is a plan as written to a file: every sheet with its items, in
// the units of the instance.
type sheetPlan struct {
	Sheets []sheet `json:"sheets"`
}

type sheet struct {
	Length int64       `json:"length"`
	Height int64       `json:"height"`
	Items  []sheetItem `json:"items"`
	kind   int         // index of the kind of sheet
}

// sheetItem lies with its lower left corner at X, Y, X along the sheet's
// length. Length and Height are those of the instance even when it is turned.
type sheetItem struct {
	Length int64 `json:"length"`
	Height int64 `json:"height"`
	X      int64 `json:"x"`
	Y      int64 `json:"y"`
	Turned bool  `json:"turned"`
	kind   int   // index of the kind of item
}

// box is the rectangle that an item covers.
func (i sheetItem) box() box {
	if i.Turned {
		return box{i.X, i.Y, i.X + i.Height, i.Y + i.Length}
	}
	return box{i.X, i.Y, i.X + i.Length, i.Y + i.Height}
}

// instance makes p runnable under the rules of placement.
func (p sheetProblem) instance(rules placement) instance {
	return instance{
		name: p.name, pieces: p.count(), kinds: len(p.items),
		solve: func(ctx context.Context, e effort) (answer, error) { return p.solve(ctx, e, rules) },
	}
}

// problem puts p to the engine: no kerf, no trim.
func (p sheetProblem) problem(rules placement) nest2d.Problem {
	q := nest2d.Problem{Free: rules.free, Stages: rules.stages, TrimCut: rules.stages > 0 && !rules.exact, FirstCut: rules.first}
	for _, k := range p.items {
		q.Panels = append(q.Panels, nest2d.Panel{
			Length: k.length, Width: k.height, Demand: k.demand, Turn: rules.turn,
		})
	}
	for _, s := range p.sheets {
		supply := s.supply
		if supply < 0 {
			supply = nest2d.Unlimited
		}
		q.Sheets = append(q.Sheets, nest2d.Sheet{
			Length: s.length, Width: s.height, Supply: supply, Price: s.cost,
		})
	}
	return q
}

func (p sheetProblem) solve(ctx context.Context, e effort, rules placement) (answer, error) {
	levels := map[effort]nest2d.Effort{quick: nest2d.Quick, normal: nest2d.Normal, long: nest2d.Long}
	r, err := nest2d.Solve(ctx, p.problem(rules), nest2d.Options{Effort: levels[e]})
	if err != nil {
		return answer{}, err
	}
	note := fmt.Sprintf("%s, %s; %d iterations",
		[]string{"no plan found", "planned", "no plan exists"}[r.Outcome],
		[]string{"ended by itself", "ended by effort", "ended by time"}[r.Struck],
		r.Work.Iterations)
	switch r.Outcome {
	case nest2d.Impossible:
		return answer{proven: true, note: note}, nil
	case nest2d.NotFound:
		return answer{bound: p.amount(r.Cost.Bound), note: note}, nil
	}
	plan, err := p.plan(r)
	if err != nil {
		return answer{}, err
	}
	cost, err := p.recount(plan, rules)
	if err != nil {
		return answer{}, fmt.Errorf("the plan is wrong: %w", err)
	}
	if err := consistent(cost, r.Cost.Value, r.Cost.Bound, r.Cost.Status == nest2d.Proven); err != nil {
		return answer{}, err
	}
	return answer{
		bound:  p.amount(r.Cost.Bound),
		value:  p.amount(cost),
		proven: r.Cost.Bound == cost,
		plan:   plan,
		note:   note,
	}, nil
}

// plan writes the layouts of a result out sheet by sheet.
func (p sheetProblem) plan(r nest2d.Result) (sheetPlan, error) {
	plan := sheetPlan{Sheets: []sheet{}}
	pieces := p.count()
	for _, l := range r.Layouts {
		if l.Sheet < 0 || l.Sheet >= len(p.sheets) {
			return sheetPlan{}, fmt.Errorf("the plan is wrong: there is no sheet kind %d", l.Sheet)
		}
		if l.Count < 1 || l.Count > pieces-int64(len(plan.Sheets)) {
			return sheetPlan{}, fmt.Errorf("the plan is wrong: a layout is cut %d times, more often than there are pieces or not at all", l.Count)
		}
		k := p.sheets[l.Sheet]
		s := sheet{Length: k.length, Height: k.height, Items: []sheetItem{}, kind: l.Sheet}
		for _, place := range l.Places {
			if place.Panel < 0 || place.Panel >= len(p.items) {
				return sheetPlan{}, fmt.Errorf("the plan is wrong: there is no item kind %d", place.Panel)
			}
			it := p.items[place.Panel]
			s.Items = append(s.Items, sheetItem{it.length, it.height, place.X, place.Y, place.Turned, place.Panel})
		}
		for range l.Count {
			plan.Sheets = append(plan.Sheets, s)
		}
	}
	return plan, nil
}

// recount adds a plan up against the instance alone and returns its cost:
// every item as often as demanded, inside its sheet and clear of the others,
// parted by guillotine cuts unless placement is free, no more sheets than
// supplied.
func (p sheetProblem) recount(plan sheetPlan, rules placement) (int64, error) {
	made := make([]int64, len(p.items))
	used := make([]int64, len(p.sheets))
	var cost int64
	for i, s := range plan.Sheets {
		k := p.sheets[s.kind]
		if s.Length != k.length || s.Height != k.height {
			return 0, fmt.Errorf("sheet %d is %d by %d but its kind has %d by %d", i+1, s.Length, s.Height, k.length, k.height)
		}
		used[s.kind]++
		cost += k.cost
		if len(s.Items) == 0 {
			return 0, fmt.Errorf("sheet %d is bought for nothing", i+1)
		}
		var boxes []box
		for _, it := range s.Items {
			want := p.items[it.kind]
			if it.Length != want.length || it.Height != want.height {
				return 0, fmt.Errorf("sheet %d has an item of %d by %d that nobody asked for", i+1, it.Length, it.Height)
			}
			if it.Turned && !rules.turn {
				return 0, fmt.Errorf("sheet %d has an item of %d by %d turned that may not be", i+1, it.Length, it.Height)
			}
			made[it.kind]++
			b := it.box()
			if b.left < 0 || b.low < 0 || b.right > s.Length || b.high > s.Height {
				return 0, fmt.Errorf("sheet %d of %d by %d has an item reaching from (%d, %d) to (%d, %d)", i+1, s.Length, s.Height, b.left, b.low, b.right, b.high)
			}
			for _, other := range boxes {
				if b.overlaps(other) {
					return 0, fmt.Errorf("sheet %d has two items over each other at (%d, %d) and (%d, %d)", i+1, b.left, b.low, other.left, other.low)
				}
			}
			boxes = append(boxes, b)
		}
		if rules.free {
			continue
		}
		stages, ok := guillotineStages(boxes, rules.first)
		if rules.exact {
			stages, ok = exactStages(boxes, box{0, 0, s.Length, s.Height}, rules.first)
		}
		if !ok {
			return 0, fmt.Errorf("sheet %d cannot be parted by guillotine cuts", i+1)
		}
		if rules.stages > 0 && stages > rules.stages {
			return 0, fmt.Errorf("sheet %d needs %d stages, more than %d", i+1, stages, rules.stages)
		}
	}
	for i, it := range p.items {
		if made[i] != it.demand {
			return 0, fmt.Errorf("the item of %d by %d comes %d times instead of %d", it.length, it.height, made[i], it.demand)
		}
	}
	for i, k := range p.sheets {
		if k.supply >= 0 && used[i] > k.supply {
			return 0, fmt.Errorf("%d sheets of %d by %d are used, %d supplied", used[i], k.length, k.height, k.supply)
		}
	}
	return cost, nil
}
