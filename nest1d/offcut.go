package nest1d

// The longest offcut is sought among plans with the same bars and patterns
// cut once: pieces move from the emptiest bar into the waste of the others.

// concentrate moves waste into one bar as long as that lengthens the offcut.
func (r *run) concentrate() {
	if r.credited() {
		return // where offcuts bring something, it is cost that says where they lie
	}
	best := r.best.clone()
	longest := r.planOffcut(best)
	for at := range best.uses {
		if best.uses[at].count != 1 || r.problem.Stocks[r.bars[best.uses[at].bar].stock].Keep == 0 || r.stopped() {
			continue
		}
		p := best.clone()
		r.drain(p, at)
		if len(p.uses[at].items) == 0 {
			continue // a bar less: tidy would have to price it anew
		}
		r.join(p)
		if o := r.planOffcut(p); o > longest && len(p.uses) <= len(best.uses) {
			r.best, longest = p, o
		}
	}
}

// planOffcut is the longest offcut worth keeping that a plan leaves.
func (r *run) planOffcut(p *plan) int64 {
	var best int64
	for _, u := range p.uses {
		s := &r.problem.Stocks[r.bars[u.bar].stock]
		if s.Keep == 0 {
			continue
		}
		places, cuts, _ := s.ArrangeParts(r.problem.Pieces, r.content(&u.pattern))
		if o := s.Offcut(r.problem.Pieces, places, cuts...); o >= s.Keep {
			best = max(best, o)
		}
	}
	return best
}

// content lists the representative pieces of a pattern.
func (m *model) content(p *pattern) []int {
	var out []int
	for _, e := range p.items {
		for range e.count {
			out = append(out, m.items[e.item].piece)
		}
	}
	return out
}

// drain empties the bar at as far as the others, cut once each, take its pieces
// or swap them for shorter ones.
func (r *run) drain(p *plan, at int) {
	from := r.counts(&p.uses[at].pattern)
	for u := range p.uses {
		if u == at || p.uses[u].count != 1 {
			continue
		}
		to := r.counts(&p.uses[u].pattern)
		changed := false
		for i := range from {
			for from[i] > 0 && r.exchange(p.uses[u].bar, p.uses[at].bar, from, to, i) {
				changed = true
			}
		}
		if changed {
			p.uses[u].pattern = newPattern(p.uses[u].bar, to)
		}
	}
	p.uses[at].pattern = newPattern(p.uses[at].bar, from)
}

// exchange moves one piece of item i over, alone or for the shortest piece whose
// removal makes room. Items are sorted longest first.
func (r *run) exchange(toBar, fromBar int, from, to []int64, i int) bool {
	r.work.count(int64(len(to)) + r.takeUncounted())
	from[i]--
	to[i]++
	if r.fits(toBar, to) {
		return true
	}
	for j := len(to) - 1; j > i && r.model.length(j) < r.model.length(i); j-- {
		if to[j] == 0 {
			continue
		}
		to[j]--
		from[j]++
		if r.fits(toBar, to) && r.fits(fromBar, from) {
			return true
		}
		to[j]++
		from[j]--
	}
	from[i]++
	to[i]--
	return false
}

func (m *model) counts(p *pattern) []int64 {
	c := make([]int64, len(m.items))
	for _, e := range p.items {
		c[e.item] = int64(e.count)
	}
	return c
}

// offcutBound is the longest offcut any plan of so many bars could leave: no
// longer than a bar with one piece leaves, or a part without, nor than all bars
// have beyond the lengths of the pieces, less what these can overlap.
func (r *run) offcutBound(bars int64) int64 {
	var alone, longest, pieces int64
	for i := range r.items {
		pieces += r.model.apart(i)
	}
	for b := range r.bars {
		s := &r.problem.Stocks[r.bars[b].stock]
		longest = max(longest, s.Length)
		if s.Keep == 0 {
			continue
		}
		for _, it := range r.items {
			q := &r.problem.Pieces[it.piece]
			kerf := s.Kerf[q.Right]
			if q.turns() {
				kerf = min(kerf, s.Kerf[q.Left])
			}
			if s.holds(r.problem.Pieces, it.piece) {
				rest := s.Length - s.TrimLeft - q.Length - kerf
				if s.parted() {
					rest = min(s.Part, s.partsLength()-q.Length)
				}
				alone = max(alone, rest)
			}
		}
	}
	if all, ok := product(bars, longest); ok {
		return min(alone, all-pieces)
	}
	return alone
}
