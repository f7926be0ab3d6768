package compare

import (
	"cmp"
	"context"
	"errors"
	"slices"
	"sync"

	"sawbill/internal/job"
	"sawbill/internal/parallel"
	"sawbill/internal/plan"
	"sawbill/internal/plan/planner"
)

// problem is one material of an option: a job of its own that knows no other
// material's pieces and offers.
type problem struct {
	key      string
	job      *job.Job
	material int
	// offers are the places of the problem's offers among those of the option.
	offers []int
}

// part is what came of a problem: a material's plan, or why there is none.
type part struct {
	Material plan.Material `json:"material"`
	None     string        `json:"none,omitempty"`
	// early is "time" or "interrupt" when the clock or a person ended the
	// search before it had a plan.
	early string
}

// struck is "time" or "interrupt" when the clock or a person ended the search.
func (p part) struck() string {
	if p.Material.Struck != "effort" && p.Material.Struck != "" {
		return p.Material.Struck
	}
	return p.early
}

// work is everything that is planned, each different problem once.
type work struct {
	options Options
	// parts are known plans by the key of their problem; used are the keys of
	// this comparison.
	parts map[string]part
	used  []string
	queue []problem
	// kept are the whole plans of an earlier run, as text; wholes are those of
	// this one.
	kept   map[string]keptWhole
	wholes map[string]*whole
	// done and of count the problems and the whole plans made and to be made.
	done, of int
	lock     sync.Mutex
}

// gather takes an option apart into problems and queues those not yet known.
func (w *work) gather(j *job.Job) []problem {
	var all []problem
	for mi := range j.Materials {
		p, wanted := w.problem(j, mi)
		if !wanted {
			continue
		}
		all = append(all, p)
		if slices.Contains(w.used, p.key) {
			continue
		}
		w.used = append(w.used, p.key)
		if _, known := w.parts[p.key]; !known {
			w.queue = append(w.queue, p)
		}
	}
	return all
}

// problem is a material of a job by itself; false when nothing is cut from it.
func (w *work) problem(j *job.Job, mi int) (problem, bool) {
	one := *j
	one.Digest, one.Files, one.Remarks, one.Variants, one.Dimensions, one.Quotes = "", nil, nil, nil, nil, nil
	one.Pieces = slices.DeleteFunc(slices.Clone(j.Pieces), func(p job.Piece) bool { return p.Material != mi })
	one.Panels = slices.DeleteFunc(slices.Clone(j.Panels), func(p job.Panel) bool { return p.Material != mi })
	if len(one.Pieces)+len(one.Panels) == 0 {
		return problem{}, false
	}
	p := problem{job: &one, material: mi}
	one.Offers = nil
	for i, o := range j.Offers {
		if o.Material == mi {
			p.offers = append(p.offers, i)
			one.Offers = append(one.Offers, o)
		}
	}
	p.key = w.key(&one, mi)
	return p, true
}

// key tells problems apart by everything that could bear on their plans, and
// not by what the job is called nor by where in which file a row stands.
func (w *work) key(one *job.Job, mi int) string {
	k := *one
	k.Name, k.Revision, k.Date, k.Author, k.Note = "", "", "", "", ""
	k.People, k.AllowedLoad, k.Budget = 0, 0, 0
	k.Brackets, k.Rivets, k.Joints, k.Items, k.Consumables = nil, nil, nil, nil, nil
	m := one.Materials[mi]
	process := one.Processes[m.Process]
	m.Pos, m.Process, process.Pos = job.Pos{}, 0, job.Pos{}
	k.Materials, k.Processes = []job.Material{m}, []job.Process{process}
	k.Suppliers, k.Offers = slices.Clone(k.Suppliers), slices.Clone(k.Offers)
	k.Pieces, k.Panels = slices.Clone(k.Pieces), slices.Clone(k.Panels)
	for i := range k.Suppliers {
		k.Suppliers[i].Pos = job.Pos{}
	}
	for i := range k.Offers {
		k.Offers[i].Pos, k.Offers[i].Further = job.Pos{}, nil
	}
	for i := range k.Pieces {
		k.Pieces[i].Pos = job.Pos{}
	}
	for i := range k.Panels {
		k.Panels[i].Pos = job.Pos{}
	}
	return w.keyOf(mi, &k)
}

// plan plans what is queued, side by side.
func (w *work) plan(ctx context.Context) error {
	parts := make([]part, len(w.queue))
	errs := parallel.Each(len(w.queue), func(i int) (err error) {
		parts[i], err = planPart(ctx, w.queue[i], planner.Options{Effort: w.options.Effort, Seed: w.options.Seed})
		w.tell(1)
		return err
	})
	for i, p := range w.queue {
		w.parts[p.key] = parts[i]
	}
	return cmp.Or(errs...)
}

func planPart(ctx context.Context, p problem, o planner.Options) (part, error) {
	if why := hopeless(p.job); why != "" {
		return part{None: why}, nil
	}
	one, err := planner.Alone(ctx, p.job, p.material, o)
	switch {
	case err != nil:
		return part{}, err
	case one.None != nil && one.None.Impossible:
		return part{None: materialOf(p.job).Key + ": the stock runs out"}, nil
	case one.None != nil:
		return part{None: materialOf(p.job).Key + ": no plan found", early: ended(ctx)}, nil
	}
	return part{Material: one.Material}, nil
}

// ended is what ended the context, "" while nothing has.
func ended(ctx context.Context) string {
	switch {
	case ctx.Err() == nil:
		return ""
	case errors.Is(context.Cause(ctx), planner.ErrInterrupted):
		return "interrupt"
	}
	return "time"
}

// materialOf is the material a problem is about.
func materialOf(one *job.Job) job.Material {
	if len(one.Pieces) > 0 {
		return one.Materials[one.Pieces[0].Material]
	}
	return one.Materials[one.Panels[0].Material]
}

// noOffer is the reason of a material that nobody sells.
const noOffer = "no offer"

// hopeless says why no search is needed to see that a problem has no plan, or
// nothing.
func hopeless(one *job.Job) string {
	m := materialOf(one)
	offers := slices.DeleteFunc(slices.Clone(one.Offers), func(o job.Offer) bool {
		return o.Stock == 0 || one.Suppliers[o.Supplier].ByMark
	})
	if len(offers) == 0 {
		return noOffer
	}
	t := one.Processes[m.Process]
	fits := func(p job.Panel) bool {
		return slices.ContainsFunc(offers, func(o job.Offer) bool {
			long, wide := o.Length-t.TrimLeft-t.TrimRight, o.Width-t.TrimBottom-t.TrimTop
			return p.Length <= long && p.Width <= wide || p.Turn && !m.Grain && p.Width <= long && p.Length <= wide
		})
	}
	for _, p := range one.Panels {
		if !fits(p) {
			return p.Mark + " fits no sheet"
		}
	}
	for _, p := range one.Pieces {
		if !slices.ContainsFunc(offers, func(o job.Offer) bool {
			return p.Length <= o.Length-t.TrimLeft-t.TrimRight-t.Tail
		}) {
			return p.Mark + " fits no bar"
		}
	}
	return ""
}

// back makes the offers of a material's plan those of the option. The plan is
// shared by options, so it is copied where it changes. It is false when the
// plan names an offer that the problem has not.
func (p problem) back(m plan.Material) (plan.Material, bool) {
	sound := true
	move := func(offer *int) {
		if *offer < 0 || *offer >= len(p.offers) {
			sound = false
			return
		}
		*offer = p.offers[*offer]
	}
	m.Buy, m.Layouts = slices.Clone(m.Buy), slices.Clone(m.Layouts)
	for i := range m.Buy {
		move(&m.Buy[i].Offer)
	}
	for i := range m.Layouts {
		move(&m.Layouts[i].Stock.Offer)
	}
	if m.BarProof != nil {
		proof := *m.BarProof
		proof.Stocks = slices.Clone(proof.Stocks)
		for i := range proof.Stocks {
			move(&proof.Stocks[i].Offer)
		}
		m.BarProof = &proof
	}
	if m.SheetProof != nil {
		proof := *m.SheetProof
		proof.Kinds = slices.Clone(proof.Kinds)
		for i := range proof.Kinds {
			move(&proof.Kinds[i].Offer)
		}
		if proof.Layouts != nil {
			layouts := *proof.Layouts
			layouts.Kinds = slices.Clone(layouts.Kinds)
			for i := range layouts.Kinds {
				move(&layouts.Kinds[i].Offer)
			}
			proof.Layouts = &layouts
		}
		m.SheetProof = &proof
	}
	return m, sound
}
