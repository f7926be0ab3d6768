// Package compare plans a job in several ways and lays the results side by
// side: each material from one or two of its sizes, everything from one
// supplier, the variants that the job names, and sheet sizes that nobody
// offers yet.
//
// Materials are independent of each other, so an option that changes one of
// them is planned for that one alone; the others are those of the job as it is
// offered. Each different problem is planned once. Every row is then put
// together as a plan of the whole job, with the charges of its own suppliers,
// and proved by plan/check.
package compare

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"runtime"
	"strings"
	"sync"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/option"
	"sawbill/internal/plan/planner"
)

// Options steer the comparison.
type Options struct {
	Effort planner.Effort
	Seed   int64
	// Program identifies the program, so that plans kept by another one are
	// not believed.
	Program string
	// Progress, when set, is told how many problems are planned of how many;
	// never at the same time.
	Progress func(done, of int)
}

// Unproved is the error when a plan made here fails its proof.
type Unproved struct {
	Option   string
	Findings []check.Finding
}

func (e *Unproved) Error() string {
	text := fmt.Sprintf("the plan for %q fails its proof", e.Option)
	for _, f := range e.Findings {
		text += "\n" + f.String()
	}
	return text
}

// Result is the table, the plan of the job as it is offered (nil when there is
// none), and what to keep for the next time.
type Result struct {
	Table   *option.Table
	Offered *plan.Plan
	Cache   []byte
}

// Make plans the options of a job. The end of ctx stops the searches with the
// best so far. The same job, effort and seed give the same table unless ctx
// ended. cache is what an earlier run kept, or nil; what does not fit or fails
// its proof is planned again.
func Make(ctx context.Context, j *job.Job, cache []byte, o Options) (*Result, error) {
	known := readCache(cache, o.Program)
	r, err := compare(ctx, j, known, o)
	var unproved *Unproved
	if errors.As(err, &unproved) && len(known.Parts) > 0 {
		return compare(ctx, j, kept{}, o)
	}
	return r, err
}

func compare(ctx context.Context, j *job.Job, known kept, o Options) (*Result, error) {
	choices, crowded := choicesOf(j)
	w := &work{options: o, parts: map[string]part{}, wholes: map[string][]byte{}}
	maps.Copy(w.parts, known.Parts)
	maps.Copy(w.wholes, known.Wholes)
	for i := range choices {
		choices[i].problems = w.gather(choices[i].job)
	}
	if err := w.plan(ctx); err != nil {
		return nil, err
	}
	rows := make([]option.Row, len(choices))
	plans := make([]*plan.Plan, len(choices))
	keys := make([]string, len(choices))
	err := side(len(choices), func(i int) (err error) {
		rows[i], plans[i], keys[i], err = w.row(ctx, &choices[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	t := &option.Table{
		Job:      plan.JobRef{Name: j.Name, Revision: j.Revision, Date: j.Date, Digest: j.Digest},
		Currency: j.Currency, Effort: string(o.Effort), Seed: o.Seed, Crowded: crowded,
	}
	for i, p := range plans {
		if p == nil {
			continue
		}
		if why := p.Struck; why == "time" || why == "interrupt" {
			if t.Struck != "interrupt" {
				t.Struck = why
			}
			continue
		}
		text, err := p.Encode()
		if err != nil {
			return nil, err
		}
		w.wholes[keys[i]] = text
		w.usedWholes = append(w.usedWholes, keys[i])
	}
	for _, key := range w.used {
		if why := w.parts[key].struck(); why != "" && t.Struck != "interrupt" {
			t.Struck = why
		}
	}
	for _, r := range rows {
		if r.Kind == option.WhatIf {
			t.WhatIfs = append(t.WhatIfs, r)
		} else {
			t.Rows = append(t.Rows, r)
		}
	}
	if plans[0] != nil {
		t.Number = plans[0].Number
	}
	rank(t)
	return &Result{Table: t, Offered: plans[0], Cache: w.keep()}, nil
}

// side runs n tasks side by side and returns the error of the first that
// failed, by number.
func side(n int, task func(i int) error) error {
	errs := make([]error, n)
	slots := make(chan struct{}, runtime.GOMAXPROCS(0))
	var wait sync.WaitGroup
	for i := range n {
		slots <- struct{}{}
		wait.Go(func() {
			errs[i] = task(i)
			<-slots
		})
	}
	wait.Wait()
	for _, err := range errs {
		if err != nil {
			return err
		}
	}
	return nil
}

// row puts the plan of one option together, proves it and counts. The key is
// that of the whole plan.
func (w *work) row(ctx context.Context, c *choice) (r option.Row, p *plan.Plan, key string, err error) {
	r = option.Row{Name: c.name, Kind: c.kind}
	parts := make([]planner.Part, len(c.job.Materials))
	var lacking []string
	whole := true
	for _, p := range c.problems {
		part := w.parts[p.key]
		if part.None == "" {
			m, sound := p.back(part.Material)
			if !sound {
				return r, nil, "", &Unproved{Option: c.name}
			}
			parts[p.material].Material = m
			continue
		}
		parts[p.material].None = &planner.NoPlan{}
		switch {
		case planner.SoldByMark(c.job, p.material):
			continue
		case part.None == noOffer:
			lacking = append(lacking, materialOf(p.job).Key)
		default:
			r.Notes = append(r.Notes, part.None)
		}
		whole = false
	}
	if len(lacking) > 0 {
		r.Notes = append(r.Notes, noOffer+" of "+strings.Join(lacking, ", "))
	}
	r.Notes = append(r.Notes, c.notes...)
	if !whole {
		return r, nil, "", nil
	}
	p, key, err = w.whole(ctx, c.job, parts)
	var none *planner.NoPlan
	if errors.As(err, &none) {
		r.Notes = append(r.Notes, "no purchase suffices")
		if !none.Impossible {
			r.Notes[len(r.Notes)-1] = "no purchase found"
		}
		return r, nil, "", nil
	}
	if err != nil {
		return r, nil, "", err
	}
	if findings, _ := check.Plan(c.job, p); len(findings) > 0 {
		return r, nil, "", &Unproved{c.name, findings}
	}
	count(&r, c.job, p)
	return r, p, key, nil
}
