// Package compare plans a job in several ways and lays the results side by
// side: each material from one or two of its sizes, everything from one
// supplier, the variants that the job names, and sheet sizes that nobody
// offers yet.
//
// Each material of an option is planned on its own, every different problem
// once. What is bought is then chosen for all materials of the option together,
// with the charges of its own suppliers, and proved by plan/check.
package compare

import (
	"context"
	"errors"
	"maps"
	"strconv"
	"strings"

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
	// Progress, when set, is told how many problems and whole plans are done of
	// at most how many; never at the same time.
	Progress func(done, of int)
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
	var unproved *check.Unproved
	if errors.As(err, &unproved) && len(known.Parts)+len(known.Wholes) > 0 {
		return compare(ctx, j, kept{}, o)
	}
	return r, err
}

func compare(ctx context.Context, j *job.Job, known kept, o Options) (*Result, error) {
	choices, crowded := choicesOf(j)
	w := &work{options: o, parts: map[string]part{}, kept: known.Wholes, wholes: map[string]*whole{}}
	maps.Copy(w.parts, known.Parts)
	asked := map[string]bool{}
	for i := range choices {
		choices[i].problems, choices[i].key = w.gather(choices[i].job), w.wholeKey(choices[i].job)
		if _, known := w.kept[choices[i].key]; !known {
			asked[choices[i].key] = true
		}
	}
	w.of = len(w.queue) + len(asked)
	w.tell(0)
	if err := w.plan(ctx); err != nil {
		return nil, err
	}
	if err := w.combine(ctx, choices); err != nil {
		return nil, err
	}
	t := &option.Table{
		Job:      plan.JobRef{Name: j.Name, Revision: j.Revision, Date: j.Date, Digest: j.Digest},
		Currency: j.Currency, Effort: string(o.Effort), Seed: o.Seed, Crowded: crowded, Struck: w.struck(),
	}
	var rows []option.Row
	for i := range choices {
		r, err := w.row(&choices[i])
		if err != nil {
			return nil, err
		}
		rows = append(rows, r)
	}
	for _, r := range rows {
		if r.Kind == option.WhatIf {
			t.WhatIfs = append(t.WhatIfs, r)
		} else {
			t.Rows = append(t.Rows, r)
		}
	}
	var offered *plan.Plan
	if h := w.wholes[choices[0].key]; h != nil && h.plan != nil {
		offered, t.Number = h.plan, h.plan.Number
	}
	rank(t)
	cache, err := w.keep()
	return &Result{Table: t, Offered: offered, Cache: cache}, err
}

// struck is what ended any of the searches early: the clock or a person.
func (w *work) struck() string {
	why := ""
	worse := func(s string) {
		if s != "" && why != "interrupt" {
			why = s
		}
	}
	for _, key := range w.used {
		worse(w.parts[key].struck())
	}
	for _, h := range w.wholes {
		worse(h.struck())
	}
	return why
}

// row counts the plan of one option, or says why it has none.
func (w *work) row(c *choice) (option.Row, error) {
	r := option.Row{Name: c.name, Kind: c.kind}
	var unsold []string
	lacking := w.lacking(c)
	for _, p := range lacking {
		if none := w.parts[p.key].None; none == noOffer {
			unsold = append(unsold, materialOf(p.job).Key)
		} else {
			r.Notes = append(r.Notes, none)
		}
	}
	if len(unsold) > 0 {
		r.Notes = append(r.Notes, noOffer+" of "+strings.Join(unsold, ", "))
	}
	if len(lacking) > 0 {
		return r, nil
	}
	switch h := w.wholes[c.key]; {
	case h.none != "":
		r.Notes = append(r.Notes, h.none)
	case len(h.findings) > 0:
		return r, unproved(c, h.findings)
	default:
		r.Notes = c.notes
		count(&r, c.job, h.plan)
	}
	return r, nil
}

// unproved says that the plan of an option fails its proof.
func unproved(c *choice, findings []check.Finding) error {
	return &check.Unproved{Of: strconv.Quote(c.name), Findings: findings}
}
