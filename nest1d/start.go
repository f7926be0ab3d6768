package nest1d

// start takes the layouts of an earlier plan: those that still fit become patterns,
// and what they make of what is wanted now, completed, a first plan.
func (r *run) start() {
	need, left := r.demands(), r.supplies()
	item, bars := map[int]int{}, map[int]int{}
	for i, it := range r.items {
		for _, p := range it.pieces {
			item[p] = i
		}
	}
	for b, k := range r.bars {
		for _, s := range k.stocks {
			bars[s] = b
		}
	}
	var first plan
	for _, l := range r.options.Start {
		b, known := bars[l.Stock]
		if !known {
			continue
		}
		counts, wanted := make([]int64, len(need)), r.demands()
		for _, p := range l.Places {
			if i, known := item[p.Piece]; known && counts[i] < wanted[i] {
				counts[i]++
			}
		}
		p := newPattern(b, counts)
		if len(p.items) == 0 || !r.fits(b, counts) {
			continue
		}
		r.columns = append(r.columns, p)
		if n := min(l.Count, r.repeats(&p, need, left)); n > 0 {
			r.take(&p, n, need, left)
			first.uses = append(first.uses, use{p, n})
		}
	}
	r.columns = distinct(r.columns)
	if len(first.uses) == 0 {
		return
	}
	if !anyPositive(need) {
		r.tidy(&first)
		r.offer(&first)
		return
	}
	g := &builder{m: r.model, most: r.limits.build}
	r.complete(g, &first, need, left)
	r.work.count(g.nodes + r.takeUncounted())
}
