package compare

import (
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan/option"
	"sawbill/internal/plan/planner"
)

// choice is an option before it is planned: a job of its own.
type choice struct {
	name     string
	kind     option.Kind
	notes    []string
	job      *job.Job
	problems []problem
	key      string // of the whole plan
}

// mostPaired is the number of sizes of one material up to which every pair is
// an option.
const mostPaired = 8

// choicesOf lists the options of a job, the job as it is first, and the
// materials whose pairs are left out.
func choicesOf(j *job.Job) (all []choice, crowded []string) {
	all = []choice{{name: string(option.AsOffered), kind: option.AsOffered, job: j}}
	for mi, m := range j.Materials {
		if !cut(j, mi) {
			continue
		}
		sizes := sizesOf(j, mi)
		if len(sizes) > mostPaired {
			crowded = append(crowded, m.Key)
		}
		all = append(all, bySize(j, mi, sizes)...)
		all = append(all, byMark(j, mi)...)
	}
	all = append(all, bySupplier(j)...)
	for _, v := range j.Variants {
		all = append(all, choice{name: v.Name, kind: option.Variant, job: v.Job})
	}
	for mi, m := range j.Materials {
		if m.Sheet() && cut(j, mi) {
			all = append(all, whatIfs(j, mi)...)
		}
	}
	return all, crowded
}

// cut tells whether anything is cut from a material.
func cut(j *job.Job, mi int) bool {
	return slices.ContainsFunc(j.Pieces, func(p job.Piece) bool { return p.Material == mi }) ||
		slices.ContainsFunc(j.Panels, func(p job.Panel) bool { return p.Material == mi })
}

// size of a bar (width 0) or a sheet.
type size struct{ length, width length.Length }

func sizeOf(o job.Offer) size { return size{o.Length, o.Width} }

// sizesOf are the sizes on sale of a material, in the order of the offers.
func sizesOf(j *job.Job, mi int) []size {
	var all []size
	for _, o := range j.Offers {
		if o.Material == mi && onSale(j, o) && !slices.Contains(all, sizeOf(o)) {
			all = append(all, sizeOf(o))
		}
	}
	return all
}

// onSale tells whether bars or sheets of an offer can be ordered: our own are
// there already, and whoever sells by the mark keeps its own.
func onSale(j *job.Job, o job.Offer) bool {
	s := j.Suppliers[o.Supplier]
	return o.Stock != 0 && !s.OnHand && !s.ByMark
}

// offering is the job with those of its offers and quotes for which keep and
// quoted are true.
func offering(j *job.Job, keep func(job.Offer) bool, quoted func(job.Quote) bool) *job.Job {
	less := *j
	less.Offers = slices.DeleteFunc(slices.Clone(j.Offers), func(o job.Offer) bool { return !keep(o) })
	less.Quotes = slices.DeleteFunc(slices.Clone(j.Quotes), func(q job.Quote) bool { return !quoted(q) })
	return &less
}

// elsewhere tells quotes of other materials from those of this one.
func elsewhere(j *job.Job, mi int) func(job.Quote) bool {
	own := map[string]bool{}
	for _, p := range j.Pieces {
		own[p.Mark] = own[p.Mark] || p.Material == mi
	}
	for _, p := range j.Panels {
		own[p.Mark] = own[p.Mark] || p.Material == mi
	}
	return func(q job.Quote) bool { return !own[q.Mark] }
}

// bySize are a material's sizes, each alone and each pair, with what we have
// on hand. All together are the job as it is.
func bySize(j *job.Job, mi int, sizes []size) []choice {
	var all []choice
	add := func(those ...size) {
		var names []string
		for _, s := range those {
			names = append(names, spell(j, s))
		}
		all = append(all, choice{
			name: j.Materials[mi].Key + ": " + strings.Join(names, " + "), kind: option.Sizes,
			job: offering(j, func(o job.Offer) bool {
				return o.Material != mi || j.Suppliers[o.Supplier].OnHand || slices.Contains(those, sizeOf(o))
			}, elsewhere(j, mi)),
		})
	}
	if len(sizes) < 2 {
		return nil
	}
	for _, s := range sizes {
		add(s)
	}
	if len(sizes) == 2 || len(sizes) > mostPaired {
		return all
	}
	for i, a := range sizes {
		for _, b := range sizes[i+1:] {
			add(a, b)
		}
	}
	return all
}

// byMark are the ways to buy a material that somebody sells cut and ready: from
// each who does, and cut from stock in spite of them.
func byMark(j *job.Job, mi int) []choice {
	var all []choice
	other := elsewhere(j, mi)
	add := func(name string, keep func(job.Offer) bool, quoted func(job.Quote) bool) {
		all = append(all, choice{
			name: j.Materials[mi].Key + ": " + name, kind: option.Sizes,
			job: offering(j, func(o job.Offer) bool { return o.Material != mi || keep(o) }, func(q job.Quote) bool { return other(q) || quoted(q) }),
		})
	}
	for i, s := range j.Suppliers {
		ready := func(q job.Quote) bool { return q.Supplier == i }
		only := offering(j, func(job.Offer) bool { return true }, ready)
		if s.ByMark && planner.SoldByMark(only, mi) {
			add("ready from "+s.Name, func(job.Offer) bool { return false }, ready)
		}
	}
	if len(all) > 0 && len(sizesOf(j, mi)) > 0 {
		add("cut from stock", func(job.Offer) bool { return true }, func(job.Quote) bool { return false })
	}
	return all
}

// spell writes a size in the job's unit, exactly.
func spell(j *job.Job, s size) string {
	text := length.Exact(s.length, j.Unit)
	if s.width > 0 {
		text += " x " + length.Exact(s.width, j.Unit)
	}
	return text
}

// bySupplier are the suppliers, each alone and all without each, where that
// leaves others. Our own stock is no supplier: it is used beside whoever is
// alone, and left out in an option of its own.
func bySupplier(j *job.Job) []choice {
	sells := make([]bool, len(j.Suppliers))
	for _, o := range j.Offers {
		sells[o.Supplier] = sells[o.Supplier] || o.Stock != 0 && !j.Suppliers[o.Supplier].ByMark
	}
	for _, q := range j.Quotes {
		sells[q.Supplier] = sells[q.Supplier] || j.Suppliers[q.Supplier].ByMark
	}
	met := [][]bool{sells}
	var all []choice
	add := func(name string, among func(i int) bool) {
		set, ordered := make([]bool, len(sells)), false
		for i, s := range j.Suppliers {
			set[i] = sells[i] && among(i)
			ordered = ordered || set[i] && !s.OnHand
		}
		if !ordered || slices.ContainsFunc(met, func(m []bool) bool { return slices.Equal(m, set) }) {
			return
		}
		met = append(met, set)
		all = append(all, choice{name: name, kind: option.Supplier, job: offering(j,
			func(o job.Offer) bool { return set[o.Supplier] }, func(q job.Quote) bool { return set[q.Supplier] })})
	}
	for i, s := range j.Suppliers {
		if sells[i] && !s.OnHand {
			add(s.Name+" alone", func(k int) bool { return k == i || j.Suppliers[k].OnHand })
		}
	}
	for i, s := range j.Suppliers {
		if sells[i] {
			add("without "+s.Name, func(k int) bool { return k != i })
		}
	}
	return all
}
