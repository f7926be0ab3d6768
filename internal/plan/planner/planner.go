// Package planner makes the plan that answers a job: it turns every material
// into one problem for an engine, runs the engines, and puts marks, money and
// mass back on what they return. Nothing it makes is trusted: plan/check proves
// a plan again from the job alone.
package planner

import (
	"context"
	"errors"
	"runtime"
	"sync"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/nest1d"
	"sawbill/nest2d"
)

// ErrInterrupted is the context's cause (context.WithCancelCause) when a
// person stopped the search, so that the plan can say so.
var ErrInterrupted = errors.New("interrupted")

// Effort is how much counted work a search may do.
type Effort string

const (
	Quick  Effort = "quick"
	Normal Effort = "normal"
	Long   Effort = "long"
)

// Efforts maps each effort to the engines' own scale.
var efforts = map[Effort]struct {
	bars   nest1d.Effort
	sheets nest2d.Effort
}{
	Quick:  {nest1d.Quick, nest2d.Quick},
	Normal: {nest1d.Normal, nest2d.Normal},
	Long:   {nest1d.Long, nest2d.Long},
}

// Valid reports whether e is one of the three efforts.
func (e Effort) Valid() bool { _, ok := efforts[e]; return ok }

// Options steer the search. The zero value means normal effort.
type Options struct {
	Effort Effort
	Seed   int64
	// Progress, when set, is called at each change, from several goroutines
	// but never at the same time.
	Progress func(Progress)
}

// Progress is a glance at the search for one material.
type Progress struct {
	Material     string
	Value, Bound plan.Money
	Found        bool
	Done         bool
}

// NoPlan is the error when a material cannot be planned: one message each.
type NoPlan struct {
	Messages []job.Message
	// Impossible is true when every message is proved; else a plan may exist
	// that the search did not find.
	Impossible bool
}

func (e *NoPlan) Error() string { return job.Faults(e.Messages).Error() }

// Make plans the job. The end of ctx stops the search with the best plan so
// far and its bound. The same job, effort and seed give the same plan on any
// machine unless ctx ended. Errors: *NoPlan, or an engine's refusal.
func Make(ctx context.Context, j *job.Job, o Options) (*plan.Plan, error) {
	if o.Effort == "" {
		o.Effort = Normal
	}
	o = o.serialised()
	results := make([]outcome, len(j.Materials))
	var wait sync.WaitGroup
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	for i := range j.Materials {
		wait.Go(func() {
			slots <- struct{}{}
			defer func() { <-slots }()
			results[i] = material(ctx, j, i, o)
		})
	}
	wait.Wait()
	return assemble(j, o, results)
}

// outcome is what came of one material: wanted is false when nothing is made of it.
type outcome struct {
	wanted     bool
	material   plan.Material
	message    *job.Message
	impossible bool
	err        error
}

func material(ctx context.Context, j *job.Job, i int, o Options) outcome {
	m := j.Materials[i]
	head := plan.Material{
		Key: m.Key, Stock: m.Section.Canonical, Alloy: m.Alloy.Name,
		Kind: plan.Bar, Process: j.Processes[m.Process].Key,
	}
	var out outcome
	if m.Sheet() {
		head.Kind = plan.Sheet
		head.Spaced = j.Processes[m.Process].Kind == job.Beam
		out = sheets(ctx, j, i, head, o)
	} else {
		out = bars(ctx, j, i, head, o)
	}
	if out.wanted && o.Progress != nil {
		o.Progress(Progress{
			Material: m.Key, Done: true, Found: out.message == nil && out.err == nil,
			Value: out.material.Goals.Cost.Value, Bound: out.material.Goals.Cost.Bound,
		})
	}
	return out
}

func assemble(j *job.Job, o Options, results []outcome) (*plan.Plan, error) {
	none := &NoPlan{Impossible: true}
	var made []plan.Material
	for _, r := range results {
		switch {
		case r.err != nil:
			return nil, r.err
		case r.message != nil:
			none.Messages = append(none.Messages, *r.message)
			none.Impossible = none.Impossible && r.impossible
		case r.wanted:
			made = append(made, r.material)
		}
	}
	if len(none.Messages) > 0 {
		return nil, none
	}
	return Assemble(j, o, made)
}

// Assemble makes the plan of a job from the plans of its materials, which must
// stand in the job's order: the sums, what the suppliers charge, and the seal.
func Assemble(j *job.Job, o Options, materials []plan.Material) (*plan.Plan, error) {
	p := &plan.Plan{
		Version: plan.Version, Unit: plan.LengthUnit, Currency: j.Currency,
		Job:     plan.JobRef{Name: j.Name, Revision: j.Revision, Date: j.Date, Digest: j.Digest},
		Options: plan.Options{Effort: string(o.Effort), Seed: o.Seed},
		Status:  plan.Open, Materials: materials,
	}
	for _, m := range materials {
		p.Goods += m.Goals.Cost.Value
		p.Bound += m.Goals.Cost.Bound
		p.Mass = sumMasses(p.Mass, m.Mass)
		p.Struck = worse(p.Struck, m.Struck)
	}
	p.Charges = charges(j, p)
	p.Total = p.Goods
	for _, c := range p.Charges {
		p.Total += c.Amount
	}
	if p.Total == p.Bound {
		p.Status = plan.Proven
	}
	p.Payable = p.Total
	return p, p.Seal()
}

// charges lists what the suppliers of a plan add to the price of the goods.
func charges(j *job.Job, p *plan.Plan) []plan.Charge {
	goods := make([]plan.Money, len(j.Suppliers))
	buys := make([]bool, len(j.Suppliers))
	for _, m := range p.Materials {
		for _, l := range m.Buy {
			s := j.Offers[l.Offer].Supplier
			goods[s] += l.Amount
			buys[s] = true
		}
	}
	var list []plan.Charge
	for i, s := range j.Suppliers {
		if !buys[i] {
			continue
		}
		if short := plan.Money(s.Minimum) - goods[i]; short > 0 && !s.OnHand {
			list = append(list, plan.Charge{Supplier: s.Name, What: plan.SmallOrder, Amount: short})
		}
		o := plan.Order{Supplier: s.Name, Way: plan.Fetched}
		fee := plan.Charge{Supplier: s.Name, What: plan.Fetching, Amount: plan.Money(s.Fetch)}
		switch {
		case s.OnHand:
			o.Way, fee.Amount = plan.OnHand, 0
		case s.Delivers:
			o.Way, fee.What, fee.Amount = plan.Delivered, plan.Delivery, plan.Money(s.Delivery)
		}
		p.Orders = append(p.Orders, o)
		if fee.Amount > 0 {
			list = append(list, fee)
		}
	}
	return list
}

// serialised wraps the callback so that it never runs twice at once.
func (o Options) serialised() Options {
	if report := o.Progress; report != nil {
		var lock sync.Mutex
		o.Progress = func(p Progress) {
			lock.Lock()
			defer lock.Unlock()
			report(p)
		}
	}
	return o
}

// struck turns an engine's limit into the plan's word for it. Once the context
// has ended, what is still open counts as ended by it, whether or not the engine
// got as far as to notice.
func struck(ctx context.Context, effort, time bool, g plan.Goals) string {
	open := g.Cost.Status == plan.Open || g.Count.Status == plan.Open || g.Offcut.Status == plan.Open ||
		g.Patterns != nil && g.Patterns.Status == plan.Open
	time = time || open && ctx.Err() != nil
	switch {
	case time && errors.Is(context.Cause(ctx), ErrInterrupted):
		return "interrupt"
	case time:
		return "time"
	case effort:
		return "effort"
	}
	return ""
}

// worse is the stronger of two reasons for having stopped early.
func worse(a, b string) string {
	for _, s := range []string{"interrupt", "time", "effort"} {
		if a == s || b == s {
			return s
		}
	}
	return ""
}
