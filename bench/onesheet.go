package main

import (
	"context"
	"fmt"
	"slices"
	"strconv"

	"sawbill/nest2d/knapsack"
)

// selection makes p runnable as the choice of the items of greatest value from
// one sheet; with bounded set, no item more often than demanded. Bound is then
// an upper bound.
func (p sheetProblem) selection(rules placement, bounded bool) instance {
	return instance{
		name: p.name, pieces: p.count(), kinds: len(p.items),
		solve: func(ctx context.Context, e effort) (answer, error) { return p.choose(ctx, e, rules, bounded) },
	}
}

func (p sheetProblem) choose(ctx context.Context, e effort, rules placement, bounded bool) (answer, error) {
	s := p.sheets[0]
	q := knapsack.Problem{
		Length: s.length, Width: s.height,
		Stages: rules.stages, TrimCut: true, FirstCut: knapsack.Direction(rules.first),
	}
	for _, it := range p.items {
		a := knapsack.Panel{Length: it.length, Width: it.height, Value: it.value, Most: knapsack.Unlimited, Turn: rules.turn}
		if bounded {
			a.Most = it.demand
		}
		q.Panels = append(q.Panels, a)
	}
	var r knapsack.Result
	var err error
	if bounded {
		work := map[effort]int64{quick: 100_000_000, normal: 2_000_000_000, long: 20_000_000_000}
		r, err = knapsack.Bounded(ctx, q, knapsack.Options{Work: work[e]})
	} else {
		r, err = knapsack.Unbounded(q)
	}
	if err != nil {
		return answer{}, err
	}
	plan := sheetPlan{Sheets: []sheet{{Length: s.length, Height: s.height, Items: []sheetItem{}}}}
	p.draw(r.Root, 0, 0, &plan.Sheets[0])
	value, err := p.appraise(plan, rules, bounded)
	if err != nil {
		return answer{}, fmt.Errorf("the plan is wrong: %w", err)
	}
	if value != r.Value || value > r.Bound {
		return answer{}, fmt.Errorf("the run says %d of at most %d but the plan is worth %d", r.Value, r.Bound, value)
	}
	return answer{
		bound:  strconv.FormatInt(r.Bound, 10),
		value:  strconv.FormatInt(value, 10),
		proven: value == r.Bound,
		plan:   plan,
		note:   fmt.Sprintf("%d steps", r.Work),
	}, nil
}

// draw sets a layout's items on a sheet from x, y on and returns its size.
func (p sheetProblem) draw(n *knapsack.Node, x, y int64, s *sheet) (length, height int64) {
	if n == nil {
		return 0, 0
	}
	if n.Panel >= 0 {
		it := p.items[n.Panel]
		s.Items = append(s.Items, sheetItem{it.length, it.height, x, y, n.Turned, n.Panel})
		if n.Turned {
			return it.height, it.length
		}
		return it.length, it.height
	}
	for _, part := range n.Parts {
		if n.Cut == knapsack.AlongWidth {
			l, h := p.draw(part, x+length, y, s)
			length, height = length+l, max(height, h)
		} else {
			l, h := p.draw(part, x, y+height, s)
			length, height = max(length, l), height+h
		}
	}
	return length, height
}

// appraise adds up the value of a sheet against the instance alone.
func (p sheetProblem) appraise(plan sheetPlan, rules placement, bounded bool) (int64, error) {
	s := plan.Sheets[0]
	if len(s.Items) == 0 {
		return 0, nil
	}
	value, made := int64(0), make([]int64, len(p.items))
	for _, it := range s.Items {
		made[it.kind]++
		value += p.items[it.kind].value
	}
	// The rest is recounted as if what is there had been demanded.
	q := p
	q.items = slices.Clone(p.items)
	for i, it := range p.items {
		if bounded && made[i] > it.demand {
			return 0, fmt.Errorf("the item of %d by %d comes %d times instead of %d at most", it.length, it.height, made[i], it.demand)
		}
		q.items[i].demand = made[i]
	}
	_, err := q.recount(plan, rules)
	return value, err
}
