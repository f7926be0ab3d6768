package check

import (
	"sawbill/internal/plan"
)

// index prepares the look-ups by mark.
func (a *audit) index() {
	a.pieces, a.panels = map[string]int{}, map[string]int{}
	a.cut, a.suppliers, a.byMark = map[copyKey]bool{}, map[string]int{}, map[int]bool{}
	for i, s := range a.job.Suppliers {
		a.suppliers[s.Name] = i
	}
	for i, p := range a.job.Pieces {
		a.pieces[p.Mark] = i
	}
	for i, p := range a.job.Panels {
		a.panels[p.Mark] = i
	}
}

// head checks what the plan says about itself and about its job.
func (a *audit) head() {
	p, j := a.plan, a.job
	if p.Version != plan.Version {
		a.find("plan", "it is of version %d, it must be %d", p.Version, plan.Version)
	}
	if p.Unit != plan.LengthUnit {
		a.find("plan", "its lengths are in %q, they must be in %q", p.Unit, plan.LengthUnit)
	}
	if d, err := p.ContentDigest(); err != nil {
		a.find("plan", "its digest cannot be worked out: %v", err)
	} else if d != p.Digest {
		a.find("plan", "it was changed after it was made: its digest is %s, the plan says %q", d, p.Digest)
	} else if p.Number != d[:8] {
		a.find("plan", "the plan no. is %q, it must be %q", p.Number, d[:8])
	}
	if p.Job.Digest != j.Digest {
		a.find("plan", "it was made for another state of the job's files (job digest %q, now %q); plan the job again", p.Job.Digest, j.Digest)
	}
	if p.Job.Name != j.Name || p.Job.Revision != j.Revision || p.Job.Date != j.Date {
		a.find("plan", "it names the job %q, revision %q, of %q; the job is %q, revision %q, of %q",
			p.Job.Name, p.Job.Revision, p.Job.Date, j.Name, j.Revision, j.Date)
	}
	if p.Currency != j.Currency {
		a.find("plan", "the currency is %q, the job's is %q", p.Currency, j.Currency)
	}
	if p.Options.Effort == "" {
		a.find("plan", "it does not say with which effort it was made")
	}
	a.struck("plan", p.Struck)
}

func (a *audit) struck(where, word string) {
	switch word {
	case "", "effort", "time", "interrupt":
	default:
		a.find(where, "what ended the search is given as %q; only effort, time and interrupt are known", word)
	}
}

// materials pairs the job's materials with the plan's and returns the pairs
// that can be checked further.
func (a *audit) materials() []*material {
	needed := make([]bool, len(a.job.Materials))
	for _, p := range a.job.Pieces {
		if p.Material >= 0 && p.Material < len(needed) {
			needed[p.Material] = true
		}
	}
	for _, p := range a.job.Panels {
		if p.Material >= 0 && p.Material < len(needed) {
			needed[p.Material] = true
		}
	}
	byKey := map[string]int{}
	for i, m := range a.job.Materials {
		byKey[m.Key] = i
	}

	var pairs []*material
	met := make([]bool, len(needed))
	for i := range a.plan.Materials {
		pm := &a.plan.Materials[i]
		k, known := byKey[pm.Key]
		switch {
		case !known:
			a.find("plan", "the material %q is not in the job", pm.Key)
			continue
		case met[k]:
			a.find(pm.Key, "the material is in the plan twice")
			continue
		case !needed[k]:
			a.find(pm.Key, "nothing is to be cut from the material, yet the plan has it")
			continue
		}
		met[k] = true
		if m := a.pair(k, pm); m != nil {
			pairs = append(pairs, m)
		}
	}
	for k, n := range needed {
		if n && !met[k] {
			a.find(a.job.Materials[k].Key, "the material is missing from the plan")
		}
	}
	return pairs
}

// pair checks what the plan says about one material.
func (a *audit) pair(k int, pm *plan.Material) *material {
	jm := a.job.Materials[k]
	if jm.Process < 0 || jm.Process >= len(a.job.Processes) {
		a.find(jm.Key, "the job names no process for the material")
		return nil
	}
	m := &material{index: k, job: jm, process: a.job.Processes[jm.Process], plan: pm}
	a.byMark[k] = pm.ByMark != ""
	for i, o := range a.job.Offers {
		if o.Material == k {
			m.offers = append(m.offers, i)
		}
	}
	same := func(what, got, want string) {
		if got != want {
			a.find(jm.Key, "the %s is %q in the plan and %q in the job", what, got, want)
		}
	}
	kind := plan.Bar
	if jm.Sheet() {
		kind = plan.Sheet
	}
	same("designation", pm.Stock, jm.Section.Canonical)
	same("alloy", pm.Alloy, jm.Alloy.Name)
	same("process", pm.Process, m.process.Key)
	same("kind", pm.Kind, kind)
	a.spaced(m)
	a.struck(jm.Key, pm.Struck)
	return m
}
