package saving

import (
	"errors"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// Nearness is how far a side may be from saving something to be told of it:
// common practice, no source.
func Nearness(u length.Unit) length.Length {
	if u.Imperial() {
		return length.Inch * 3 / 8
	}
	return 10 * length.Millimetre
}

// nearStep is by what steps such a side is looked at.
func nearStep(u length.Unit) length.Length {
	if u.Imperial() {
		return length.Inch / 16
	}
	return length.Millimetre
}

// near finds savings by sides that no dimension moves. A material is looked at
// only if all its sides together, each by as much as may be, save anything; then
// each side alone; and where none does alone, all together by as little as may be.
// Materials for which shorter may be dearer are left out.
func (w *work) near(j *job.Job) (found []Saving, unseen int, err error) {
	type result struct {
		found  []Saving
		unseen int
	}
	// What one material may spend does not depend on the others.
	var materials []job.Dimension
	for mi := range j.Materials {
		d := loose(j, mi)
		if !monotone(j, d.Sides) {
			unseen += len(d.Sides)
			continue
		}
		if len(d.Sides) > 0 {
			d.Name = j.Materials[mi].Key
			materials = append(materials, d)
		}
	}
	results := make([]result, len(materials))
	err = side(len(materials), func(i int) (err error) {
		r := &results[i]
		r.found, r.unseen, err = w.nearOf(j, materials[i], mostNear/len(materials))
		return err
	})
	for _, r := range results {
		found, unseen = append(found, r.found...), unseen+r.unseen
	}
	return found, unseen, err
}

// loose are the sides of a material that no dimension moves, as a dimension
// that moves them all.
func loose(j *job.Job, mi int) job.Dimension {
	far := Nearness(j.Unit)
	d := job.Dimension{Less: far, Step: nearStep(j.Unit)}
	type side struct {
		mark string
		of   job.SideOf
	}
	bound := map[side]bool{}
	for _, other := range j.Dimensions {
		for _, s := range other.Sides {
			bound[side{s.Mark, s.Of}] = true
		}
	}
	add := func(mark string, of job.SideOf) {
		if !bound[side{mark, of}] {
			d.Sides = append(d.Sides, job.Side{Mark: mark, Of: of, Factor: 1})
		}
	}
	for _, p := range j.Pieces {
		shorter := p
		shorter.Length -= far
		if p.Material == mi && p.Length > 10*far && j.Cuttable(shorter) {
			add(p.Mark, job.PieceLength)
		}
	}
	for _, p := range j.Panels {
		if p.Material != mi {
			continue
		}
		if _, cuttable := p.Resized(p.Length-far, p.Width); cuttable && p.Length > 10*far {
			add(p.Mark, job.PanelLength)
		}
		if _, cuttable := p.Resized(p.Length, p.Width-far); cuttable && p.Width > 10*far {
			add(p.Mark, job.PanelWidth)
		}
	}
	return d
}

func (w *work) nearOf(j *job.Job, all job.Dimension, most int) (found []Saving, unseen int, err error) {
	p := parts(j, all.Sides)[0]
	whole := w.problem(p, []job.Dimension{all}, 2)
	base, err := whole.at(0)
	if err != nil {
		return nil, 0, err
	}
	together, err := whole.at(-all.StepsLess())
	if err != nil {
		return nil, 0, err
	}
	// What the plan of the job as it is leaves open is no near miss.
	if base.plan == nil || base.bound-together.value < worthTelling(base) {
		return nil, 0, nil
	}
	for i, s := range all.Sides {
		if i >= most {
			unseen++
			continue
		}
		one := all
		one.Sides = []job.Side{s}
		first, err := w.first(p, one)
		if err != nil {
			return found, unseen, err
		}
		if first != nil {
			first.Moves[0].Name = ""
			found = append(found, *first)
		}
	}
	if len(found) > 0 {
		return found, unseen, nil
	}
	first, err := w.first(p, all)
	if err != nil || first == nil {
		return nil, unseen, err
	}
	first.Moves[0].Name, first.Moves[0].Material = "", all.Name
	return []Saving{*first}, unseen, nil
}

// first is the first saving of a dimension that no plan of the job as it is
// reaches, or nil.
func (w *work) first(part *job.Job, d job.Dimension) (*Saving, error) {
	out := &Dimension{}
	s := &search{problem: w.problem(part, []job.Dimension{d}, mostNearPlans), sign: -1, out: out}
	if err := s.run(d.StepsLess(), true); err != nil && !errors.Is(err, errSpent) {
		return nil, err
	}
	for i := range out.Savings {
		if f := &out.Savings[i]; f.Least >= worthTelling(s.base) {
			return f, nil
		}
	}
	return nil, nil
}
