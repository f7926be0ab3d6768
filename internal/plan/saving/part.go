package saving

import (
	"slices"

	"sawbill/internal/job"
)

// parts takes a job apart into those that some sides bear on: each has one of
// their materials, and whatever shares a supplier with it that charges for an
// order as a whole. What parts cost adds up, and what they leave out costs the
// same before and after.
func parts(j *job.Job, sides []job.Side) []*job.Job {
	sells := suppliersOf(j)
	met := make([]bool, len(j.Materials))
	var all []*job.Job
	for _, m := range movedMaterials(j, sides) {
		if met[m] {
			continue
		}
		keep := tied(j, sells, m)
		for i, k := range keep {
			met[i] = met[i] || k
		}
		all = append(all, only(j, keep))
	}
	return all
}

// tied are a material and those that are bought together with it.
func tied(j *job.Job, sells [][]int, m int) []bool {
	keep := make([]bool, len(j.Materials))
	keep[m] = true
	for again := true; again; {
		again = false
		for s, supplier := range j.Suppliers {
			if !ties(supplier) || !slices.ContainsFunc(sells[s], func(m int) bool { return keep[m] }) {
				continue
			}
			for _, m := range sells[s] {
				again = again || !keep[m]
				keep[m] = true
			}
		}
	}
	return keep
}

// only is the job with those materials alone; indexes stay what they are.
func only(j *job.Job, keep []bool) *job.Job {
	p := *j
	p.Variants, p.Dimensions = nil, nil
	p.Pieces = slices.DeleteFunc(slices.Clone(j.Pieces), func(p job.Piece) bool { return !keep[p.Material] })
	p.Panels = slices.DeleteFunc(slices.Clone(j.Panels), func(p job.Panel) bool { return !keep[p.Material] })
	marks := materialsByMark(&p)
	p.Quotes = slices.DeleteFunc(slices.Clone(j.Quotes), func(q job.Quote) bool { return len(marks[q.Mark]) == 0 })
	return &p
}

// ties reports whether what is bought of one material bears on what another
// costs from the same supplier.
func ties(s job.Supplier) bool {
	return !s.OnHand && (s.Delivery > 0 || s.Fetch > 0 || s.Minimum > 0 || s.FreeCuts > 0)
}

// suppliersOf lists, for each supplier, the materials that can come from it.
func suppliersOf(j *job.Job) [][]int {
	sells := make([][]int, len(j.Suppliers))
	add := func(s, m int) {
		if !slices.Contains(sells[s], m) {
			sells[s] = append(sells[s], m)
		}
	}
	for _, o := range j.Offers {
		add(o.Supplier, o.Material)
	}
	marks := materialsByMark(j)
	for _, q := range j.Quotes {
		for _, m := range marks[q.Mark] {
			add(q.Supplier, m)
		}
	}
	return sells
}

func materialsByMark(j *job.Job) map[string][]int {
	all := map[string][]int{}
	for _, p := range j.Pieces {
		all[p.Mark] = append(all[p.Mark], p.Material)
	}
	for _, p := range j.Panels {
		all[p.Mark] = append(all[p.Mark], p.Material)
	}
	return all
}

// movedMaterials are those of which the sides are, ascending.
func movedMaterials(j *job.Job, sides []job.Side) []int {
	pieces, panels := map[string]int{}, map[string]int{}
	for _, p := range j.Pieces {
		pieces[p.Mark] = p.Material
	}
	for _, p := range j.Panels {
		panels[p.Mark] = p.Material
	}
	var all []int
	for _, s := range sides {
		m, known := panels[s.Mark]
		if s.Of == job.PieceLength {
			m, known = pieces[s.Mark]
		}
		if known && !slices.Contains(all, m) {
			all = append(all, m)
		}
	}
	slices.Sort(all)
	return all
}

// monotone reports whether the least cost cannot rise when the sides get
// shorter; the package's essay says why it might.
func monotone(j *job.Job, sides []job.Side) bool {
	for _, mi := range movedMaterials(j, sides) {
		m := j.Materials[mi]
		process := j.Processes[m.Process]
		if !m.Sheet() {
			continue
		}
		if process.Exact || process.MinStrip > 0 || process.Blade > 0 {
			return false
		}
		if process.BySupplier || j.LongestLoad == 0 {
			continue
		}
		for _, o := range j.Offers {
			if s := j.Suppliers[o.Supplier]; o.Material == mi && s.Cut > 0 && !s.OnHand {
				return false
			}
		}
	}
	return true
}
