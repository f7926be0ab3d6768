package compare

import (
	"cmp"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"encoding/json"
	"errors"

	"sawbill/internal/job"
	"sawbill/internal/parallel"
	"sawbill/internal/plan"
	"sawbill/internal/plan/check"
	"sawbill/internal/plan/planner"
)

// whole is the plan of an option, proved; or why there is none.
type whole struct {
	plan *plan.Plan
	text []byte // the plan as it was kept
	none string
	// early is "time" or "interrupt" when the clock or a person ended the
	// search before it had a plan.
	early    string
	findings []check.Finding
}

// struck is "time" or "interrupt" when the clock or a person ended the search.
func (h *whole) struck() string {
	if h.plan != nil && h.plan.Struck != "effort" {
		return h.plan.Struck
	}
	return h.early
}

// wholeKey tells whole plans apart by the job as it is read: by all of it, since
// a plan names what it answers.
func (w *work) wholeKey(j *job.Job) string {
	k := *j
	k.Variants, k.Remarks = nil, nil // other jobs, and what was said of the files
	return w.keyOf(&k)
}

func (w *work) keyOf(parts ...any) string {
	// Structs of numbers and texts can always be written.
	text, _ := json.Marshal(append(parts, w.options.Effort, w.options.Seed))
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:])
}

// combine makes the plan of every option of which each material has one, side by
// side, and proves it. Options with one key share a plan.
func (w *work) combine(ctx context.Context, choices []choice) error {
	var queue []*choice
	w.of = w.done
	for i := range choices {
		c := &choices[i]
		if _, met := w.wholes[c.key]; met || len(w.lacking(c)) > 0 {
			continue
		}
		w.wholes[c.key] = &whole{}
		queue = append(queue, c)
		if _, known := w.kept[c.key]; !known {
			w.of++
		}
	}
	return cmp.Or(parallel.Each(len(queue), func(i int) error {
		return w.wholes[queue[i].key].make(ctx, w, queue[i])
	})...)
}

// lacking are the problems of an option that have no plan and keep it from
// having one.
func (w *work) lacking(c *choice) []problem {
	var all []problem
	for _, p := range c.problems {
		if w.parts[p.key].None != "" && !planner.SoldByMark(c.job, p.material) {
			all = append(all, p)
		}
	}
	return all
}

// make plans an option from the plans of its materials, or takes what is kept.
func (h *whole) make(ctx context.Context, w *work, c *choice) error {
	kept, known := w.kept[c.key]
	if known && kept.None != "" {
		h.none = kept.None
		return nil
	}
	if known {
		if p, err := plan.Decode(kept.Plan); err == nil {
			h.plan, h.text = p, kept.Plan
			h.findings, _ = check.Plan(c.job, p)
			return nil
		}
	}
	parts := make([]planner.Part, len(c.job.Materials))
	for _, p := range c.problems {
		part := w.parts[p.key]
		if part.None != "" {
			parts[p.material].None = &planner.NoPlan{}
			continue
		}
		m, sound := p.back(part.Material)
		if !sound {
			return unproved(c, nil)
		}
		parts[p.material].Material = m
	}
	p, err := planner.Combine(ctx, c.job, planner.Options{Effort: w.options.Effort, Seed: w.options.Seed}, parts)
	w.tell(1)
	var none *planner.NoPlan
	switch {
	case errors.As(err, &none) && none.Impossible:
		h.none = "no purchase suffices"
	case errors.As(err, &none):
		h.none, h.early = "no purchase found", ended(ctx)
	case err != nil:
		return err
	default:
		h.plan = p
		h.findings, _ = check.Plan(c.job, p)
	}
	return nil
}

// tell reports how far the work has come.
func (w *work) tell(done int) {
	w.lock.Lock()
	defer w.lock.Unlock()
	w.done += done
	if w.options.Progress != nil {
		w.options.Progress(w.done, w.of)
	}
}
