// Package planner makes the plan that answers a job: it turns every material
// into one problem for an engine, runs the engines, and puts marks, money and
// mass back on what they return. Nothing it makes is trusted: plan/check proves
// a plan again from the job alone.
package planner

import (
	"context"
	"errors"
	"sync"

	"sawbill/internal/job"
	"sawbill/internal/parallel"
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
	// SetUps is how much of the least total found may be given up for fewer patterns
	// of bars, in hundredths of a percent.
	SetUps int64
	// Progress, when set, is called at each change, from several goroutines
	// but never at the same time.
	Progress func(Progress)
	// Start holds layouts of bars of an earlier plan for the same marks: where a
	// material is planned on its own, the search begins with those that still fit.
	Start   []plan.Layout
	wrapped bool
}

// Progress is a glance at the search for one material, or for the purchase of
// them all together.
type Progress struct {
	Material     string
	Purchase     bool
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
	o = o.ready()
	parts := make([]Part, len(j.Materials))
	errs := parallel.Each(len(parts), func(i int) (err error) {
		parts[i], err = Alone(ctx, j, i, o)
		return err
	})
	if err := errors.Join(errs...); err != nil {
		return nil, err
	}
	p, err := Combine(ctx, j, o, parts)
	if err != nil || o.SetUps == 0 {
		return p, err
	}
	return fewerSetUps(ctx, j, o, p)
}

// Part is the plan of one material on its own, from all its offers at their
// lowest prices. It is empty when nothing is cut from the material; None says
// why there is no plan.
type Part struct {
	Material plan.Material
	None     *NoPlan
}

func (p Part) empty() bool { return p.None == nil && p.Material.Key == "" }

// Alone plans one material of a job, by its place, on its own.
func Alone(ctx context.Context, j *job.Job, material int, o Options) (Part, error) {
	r := alone(ctx, j, material, o.ready())
	switch {
	case r.err != nil:
		return Part{}, r.err
	case r.message != nil:
		return Part{None: &NoPlan{Messages: []job.Message{*r.message}, Impossible: r.impossible}}, nil
	}
	return Part{Material: r.material}, nil
}

// Combine makes the plan of a job from the parts of its materials, one for
// each in the job's order. Where suppliers tie materials together it buys
// anew. Errors: *NoPlan, or an engine's refusal.
func Combine(ctx context.Context, j *job.Job, o Options, parts []Part) (*plan.Plan, error) {
	o = o.ready()
	none := &NoPlan{Impossible: true}
	for i, p := range parts {
		if p.None != nil && !SoldByMark(j, i) {
			none.Messages = append(none.Messages, p.None.Messages...)
			none.Impossible = none.Impossible && p.None.Impossible
		}
	}
	if len(none.Messages) > 0 {
		return nil, none
	}
	if tied(j) {
		return together(ctx, j, o, parts)
	}
	p := newPlan(j, o, nil)
	for _, part := range parts {
		if !part.empty() {
			p.Materials = append(p.Materials, part.Material)
			p.Bound += part.Material.Goals.Cost.Bound
		}
	}
	p.add(j, func(i int) string { return onlyWay(j.Suppliers[i]) })
	return p.Plan, p.seal()
}

// outcome is what came of one material.
type outcome struct {
	material   plan.Material
	message    *job.Message
	impossible bool
	err        error
}

// alone plans one material.
func alone(ctx context.Context, j *job.Job, i int, o Options) outcome {
	m := j.Materials[i]
	var out outcome
	if m.Sheet() {
		out = sheets(ctx, j, i, head(j, i), o)
	} else {
		out = bars(ctx, j, i, head(j, i), o)
	}
	if (out.material.Key != "" || out.message != nil || out.err != nil) && o.Progress != nil {
		o.Progress(Progress{
			Material: m.Key, Done: true, Found: out.message == nil && out.err == nil,
			Value: out.material.Goals.Cost.Value, Bound: out.material.Goals.Cost.Bound,
		})
	}
	return out
}

// head is a material's part of the plan before anything is planned.
func head(j *job.Job, i int) plan.Material {
	m := j.Materials[i]
	out := plan.Material{
		Key: m.Key, Stock: m.Section.Canonical, Alloy: m.Alloy.Name,
		Kind: plan.Bar, Process: j.Processes[m.Process].Key,
	}
	if m.Sheet() {
		out.Kind = plan.Sheet
		out.Free = free(j, i)
		out.Spaced = j.Processes[m.Process].Kind == job.Beam && !out.Free
	}
	return out
}

// draft is a plan under way.
type draft struct{ *plan.Plan }

func newPlan(j *job.Job, o Options, materials []plan.Material) draft {
	return draft{&plan.Plan{
		Version: plan.Version, Unit: plan.LengthUnit, Currency: j.Currency,
		Job:     plan.JobRef{Name: j.Name, Revision: j.Revision, Date: j.Date, Digest: j.Digest},
		Options: plan.Options{Effort: string(o.Effort), Seed: o.Seed},
		Status:  plan.Open, Materials: materials,
	}}
}

// add works out the sums, given how what is bought of each supplier comes home.
func (p draft) add(j *job.Job, way func(supplier int) string) {
	for _, m := range p.Materials {
		p.Goods += m.Goals.Cost.Value
		p.Mass = sumMasses(p.Mass, m.Mass)
		p.Struck = worse(p.Struck, m.Struck)
	}
	p.Orders = orders(j, p.Plan, way)
	p.Charges = charges(j, p.Plan)
	p.Total = p.Goods
	for _, c := range p.Charges {
		p.Total += c.Amount
	}
	p.OnHand = onHand(j, p.Plan)
	p.Rack = onRack(j, p.Plan)
	p.Taxes = taxes(j, p.Plan)
	p.Payable = p.Total - p.OnHand
	for _, t := range p.Taxes {
		p.Payable += t.Amount
	}
}

func (p draft) seal() error {
	if p.Total == p.Bound {
		p.Status = plan.Proven
	}
	return p.Seal()
}

// ready fills in what is not given, and wraps the callback so that it never runs
// twice at once.
func (o Options) ready() Options {
	if o.Effort == "" {
		o.Effort = Normal
	}
	if report := o.Progress; report != nil && !o.wrapped {
		o.wrapped = true
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
		g.Patterns != nil && g.Patterns.Status == plan.Open || g.Cuts != nil && g.Cuts.Status == plan.Open
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
