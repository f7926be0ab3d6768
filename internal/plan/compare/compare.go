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
	if errors.As(err, &unproved) && len(known) > 0 {
		return compare(ctx, j, nil, o)
	}
	return r, err
}

func compare(ctx context.Context, j *job.Job, known map[string]part, o Options) (*Result, error) {
	choices, crowded := choicesOf(j)
	w := &work{options: o, parts: map[string]part{}}
	maps.Copy(w.parts, known)
	for i := range choices {
		choices[i].problems = w.gather(choices[i].job)
	}
	if err := w.plan(ctx); err != nil {
		return nil, err
	}
	rows := make([]option.Row, len(choices))
	plans := make([]*plan.Plan, len(choices))
	err := side(len(choices), func(i int) (err error) {
		rows[i], plans[i], err = w.row(&choices[i])
		return err
	})
	if err != nil {
		return nil, err
	}
	t := &option.Table{
		Job:      plan.JobRef{Name: j.Name, Revision: j.Revision, Date: j.Date, Digest: j.Digest},
		Currency: j.Currency, Effort: string(o.Effort), Seed: o.Seed, Crowded: crowded,
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

// row puts the plan of one option together, proves it and counts.
func (w *work) row(c *choice) (option.Row, *plan.Plan, error) {
	r := option.Row{Name: c.name, Kind: c.kind}
	var materials []plan.Material
	var lacking []string
	for _, p := range c.problems {
		part := w.parts[p.key]
		switch part.None {
		case "":
		case noOffer:
			lacking = append(lacking, materialOf(p.job).Key)
			continue
		default:
			r.Notes = append(r.Notes, part.None)
			continue
		}
		m, sound := p.back(part.Material)
		if !sound {
			return r, nil, &Unproved{Option: c.name}
		}
		materials = append(materials, m)
	}
	if len(lacking) > 0 {
		r.Notes = append(r.Notes, noOffer+" of "+strings.Join(lacking, ", "))
	}
	r.Notes = append(r.Notes, c.notes...)
	if len(materials) < len(c.problems) {
		return r, nil, nil
	}
	p, err := planner.Assemble(c.job, planner.Options{Effort: w.options.Effort, Seed: w.options.Seed}, materials)
	if err != nil {
		return r, nil, err
	}
	if findings, _ := check.Plan(c.job, p); len(findings) > 0 {
		return r, nil, &Unproved{c.name, findings}
	}
	count(&r, c.job, p)
	return r, p, nil
}
