package planner

import (
	"context"
	"fmt"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/nest1d"
)

// fewerSetUps trades money for patterns: material for material, the bars are cut in
// fewer patterns where the total, with all that suppliers charge, stays within the
// share that may be given up. More bars may be bought for that, from the suppliers
// that the plan buys from. A material keeps its layouts where its bars are parted to
// be carried, and where spares are wanted in percent of what is cut.
func fewerSetUps(ctx context.Context, j *job.Job, o Options, p *plan.Plan) (*plan.Plan, error) {
	best := *p
	best.Options.SetUps = o.SetUps
	least := p.Total
	most := least + least*plan.Money(o.SetUps)/10_000
	for i := range p.Materials {
		if ctx.Err() != nil {
			break
		}
		mi := slices.IndexFunc(j.Materials, func(m job.Material) bool { return m.Key == p.Materials[i].Key })
		t := trading(j, mi, &best, i)
		if t == nil {
			continue
		}
		for money := most - best.Total; ; money /= 2 {
			found, goal, err := nest1d.FewerPatterns(ctx, t.problem, t.layouts, t.cost+int64(money), nest1d.Options{Effort: efforts[o.Effort].bars, Seed: o.Seed})
			if err != nil {
				return nil, fmt.Errorf("material %q: %w", p.Materials[i].Key, err)
			}
			if found == nil {
				break
			}
			if q := t.with(j, &best, i, found, goal, most); q != nil {
				best = *q
				break
			}
			if money == 0 {
				break
			}
		}
	}
	best.GivenUp = max(0, best.Total-least)
	best.Status = plan.Open
	return &best, draft{&best}.seal()
}

// trade is the bars of one material of a plan as a problem.
type trade struct {
	*barJob
	layouts []nest1d.Layout
	cost    int64
}

// trading is the problem of a material's bars, of the offers of those suppliers that
// the plan buys from, whose bars come home uncut; nil where its layouts stay.
func trading(j *job.Job, mi int, p *plan.Plan, at int) *trade {
	m := &p.Materials[at]
	if m.Kind != plan.Bar || m.ByMark != "" || j.Materials[mi].SparePercent > 0 || m.Goals.Patterns == nil || m.Goals.Patterns.Value < 2 {
		return nil
	}
	t := &trade{barJob: newBarJob(j, mi)}
	all := t.problem.Stocks
	offers := t.offers
	t.problem.Stocks, t.offers = nil, nil
	kind := map[int]int{} // by offer
	for k, i := range offers {
		o := j.Offers[i]
		w := slices.IndexFunc(p.Orders, func(w plan.Order) bool { return w.Supplier == j.Suppliers[o.Supplier].Name })
		bought := slices.ContainsFunc(m.Buy, func(l plan.Line) bool { return l.Offer == i })
		if w < 0 || o.Stock == 0 || p.Orders[w].Way == plan.Fetched && heavyLoad(j, o) || !bought && len(o.Tiers) > 0 && o.Tiers[0].From > 1 {
			continue
		}
		kind[i] = len(t.offers)
		t.offers = append(t.offers, i)
		t.problem.Stocks = append(t.problem.Stocks, all[k])
	}
	shapes := map[string]int{}
	for k, list := range t.copies {
		for _, c := range list {
			shapes[c.mark] = k
		}
	}
	for _, l := range m.Layouts {
		k, known := kind[l.Stock.Offer]
		if !known || len(l.FirstCuts) > 0 {
			return nil
		}
		out := nest1d.Layout{Stock: k, Count: 1}
		for _, q := range l.Pieces {
			out.Places = append(out.Places, nest1d.Place{Piece: shapes[q.Mark]})
		}
		t.layouts = append(t.layouts, out)
		t.cost += t.problem.Stocks[k].Price
	}
	return t
}

// with is a plan with other layouts for a material; nil where its total is more than
// most. Bars that were bought and not cut stay bought, or are cut, as costs less.
func (t *trade) with(j *job.Job, p *plan.Plan, at int, found []nest1d.Layout, goal nest1d.Goal, most plan.Money) *plan.Plan {
	mi := slices.IndexFunc(j.Materials, func(m job.Material) bool { return m.Key == p.Materials[at].Key })
	m := p.Materials[at]
	before, had := cut(j, m.Layouts), make([]int64, len(j.Offers))
	for _, l := range m.Buy {
		had[l.Offer] = l.Count
	}
	m.Layouts = t.barJob.layouts(j, mi, found)
	m.Mass, m.Shares = plan.Masses{}, plan.Shares{}
	weighBars(j, mi, &m)
	lesserGoals(&m)
	patterns := countGoal(goal.Value, goal.Bound, goal.Status == nest1d.Proven)
	m.Goals.Patterns = &patterns
	now := cut(j, m.Layouts)
	var best *plan.Plan
	for _, spares := range []bool{true, false} {
		if !spares && j.Materials[mi].Spare > 0 {
			break
		}
		bought := make([]int64, len(j.Offers))
		for i := range bought {
			if spares {
				bought[i] = now[i] + had[i] - before[i]
			} else {
				bought[i] = max(now[i], had[i])
			}
			if pack := j.Offers[i].Pack; pack > 1 {
				bought[i] = (bought[i] + pack - 1) / pack * pack
			}
			if s := j.Offers[i].Stock; s >= 0 && bought[i] > s || bought[i] > 0 && len(j.Offers[i].Tiers) > 0 && bought[i] < j.Offers[i].Tiers[0].From {
				bought = nil
				break
			}
		}
		if bought == nil {
			continue
		}
		c := m
		c.Buy = buy(j, bought, now)
		value := plan.Money(0)
		for _, l := range c.Buy {
			value += l.Amount
		}
		c.Goals.Cost = moneyGoal(int64(value), min(int64(m.Goals.Cost.Bound), int64(value)))
		q := rebuilt(j, p, at, c)
		if q.Total <= most && (best == nil || q.Total < best.Total) {
			best = q
		}
	}
	return best
}

// rebuilt is a plan with one material in the place of another and all sums anew.
func rebuilt(j *job.Job, p *plan.Plan, at int, m plan.Material) *plan.Plan {
	materials := slices.Clone(p.Materials)
	materials[at] = m
	q := newPlan(j, Options{Effort: Effort(p.Options.Effort), Seed: p.Options.Seed}, materials)
	q.Options = p.Options
	q.add(j, func(supplier int) string {
		i := slices.IndexFunc(p.Orders, func(o plan.Order) bool { return o.Supplier == j.Suppliers[supplier].Name })
		return p.Orders[i].Way
	})
	q.Bound, q.PurchaseProof, q.Struck = min(p.Bound, q.Total), p.PurchaseProof, p.Struck
	return q.Plan
}
