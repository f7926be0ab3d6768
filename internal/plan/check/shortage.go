package check

import (
	"math"
	"slices"

	"sawbill/internal/plan"
)

// shortages checks the counts that are said not to be enough, and returns those
// that speak of all pieces of the material, one count for each of its offers.
func (a *audit) shortages(m *material, proof *plan.PurchaseProof, covers []cover) (list [][]int64, fine bool) {
	where := m.job.Key + ", proof of the purchase"
	fine = true
	unproved, nodes := 0, int64(tryingNodes)
	for i := range proof.Shortages {
		s := &proof.Shortages[i]
		if s.Material != m.job.Key {
			continue
		}
		counts := make([]int64, len(m.offers))
		met := map[int]bool{}
		for _, c := range s.Counts {
			k := slices.Index(m.offers, c.Offer)
			if k < 0 || met[c.Offer] || c.Count < 0 {
				a.find(where, "a shortage counts %d of offer %d; it is no offer of this material, is counted already, or that is below 0", c.Count, c.Offer)
				return nil, false
			}
			met[c.Offer], counts[k] = true, c.Count
		}
		part, known := a.partOf(m, s.Pieces)
		if !known {
			a.find(where, "a shortage is of pieces that the job does not want so many of")
			return nil, false
		}
		var enough answer
		if m.job.Sheet() {
			enough = a.sheetsHold(m, counts, part, covers)
		} else {
			enough = a.barsHold(m, counts, part, covers, &nodes)
		}
		switch enough {
		case yes:
			a.find(where, "a shortage says that bars or sheets are too few that are enough")
			fine = false
		case unknown:
			unproved++
		}
		if len(s.Pieces) == 0 {
			list = append(list, counts)
		}
	}
	if unproved > 0 {
		a.note("%s: that %d of the numbers of bars or sheets given in the proof of the purchase are too few is not proved again", m.job.Key, unproved)
	}
	return list, fine
}

// partOf turns pieces by mark into a number for every row of the job; nil
// stands for all.
func (a *audit) partOf(m *material, pieces []plan.MarkCount) (rows map[int]int64, known bool) {
	if len(pieces) == 0 {
		return nil, true
	}
	rows = map[int]int64{}
	for _, p := range pieces {
		row, is := a.pieces[p.Mark]
		material, quantity := -1, int64(0)
		if m.job.Sheet() {
			if row, is = a.panels[p.Mark]; is {
				material, quantity = a.job.Panels[row].Material, a.job.Panels[row].Quantity
			}
		} else if is {
			material, quantity = a.job.Pieces[row].Material, a.job.Pieces[row].Quantity
		}
		if _, twice := rows[row]; !is || twice || material != m.index || p.Count < 0 || p.Count > quantity {
			return nil, false
		}
		rows[row] = p.Count
	}
	return rows, true
}

// tooFew reports whether a cover alone shows that the counts do not suffice
// for all pieces.
func tooFew(counts []int64, covers []cover) bool {
	for _, c := range covers {
		sum := whole(0)
		for k, n := range counts {
			sum = sum.plus(whole(n).times(whole(c.worth[k])))
		}
		if sum.compare(whole(c.need)) < 0 {
			return true
		}
	}
	return false
}

// barsHold answers whether pieces can be cut from so many bars of each offer,
// by trying all layouts as far as there are not too many. nodes is counted down.
func (a *audit) barsHold(m *material, counts []int64, part map[int]int64, covers []cover, nodes *int64) answer {
	if part == nil && tooFew(counts, covers) {
		return no
	}
	b := m.bars
	if b == nil {
		return unknown
	}
	p := &purchases{model: b, nodes: *nodes, failed: map[string]bool{}}
	defer func() { *nodes = max(0, p.nodes) }()
	t := packing{purchases: p, rest: make([]int64, len(b.kinds))}
	for i := range a.job.Pieces {
		q := &a.job.Pieces[i]
		if q.Material != m.index {
			continue
		}
		n := q.Quantity
		if part != nil {
			n = part[i]
		}
		k := slices.IndexFunc(b.kinds, func(k barKind) bool {
			return k.has(q)
		})
		t.rest[k] += n
	}
	weights := m.weighed()
	p.values = weights.values
	for i := range b.kinds {
		if t.rest[i] > tryingPieces {
			return unknown
		}
		p.pieces += t.rest[i]
		p.order = append(p.order, i)
	}
	if p.pieces > tryingPieces {
		return unknown
	}
	slices.SortStableFunc(p.order, func(x, y int) int { return compareProducts(p.values[y], 1, p.values[x], 1) })
	room, wanted := whole(0), whole(0)
	for k, n := range counts {
		s := &b.stocks[k]
		if n = min(n, p.pieces); n == 0 || s.capacity <= 0 {
			continue
		}
		most := weights.most[k]
		p.offers = append(p.offers, candidate{stock: k, most: most, bought: n})
		t.left = append(t.left, n)
		room = room.plus(whole(most).times(whole(n)))
	}
	for i, n := range t.rest {
		wanted = wanted.plus(whole(p.values[i]).times(whole(n)))
	}
	waste, fits := room.minus(wanted).int64()
	switch {
	case !fits:
		return unknown
	case waste < 0:
		return no
	}
	result := t.cover(waste)
	if result == yes && b.optimistic() {
		return unknown
	}
	return result
}

// weighed values the pieces by the bar they take.
func (m *material) weighed() worth {
	if m.weights == nil {
		w, made := m.bars.material()
		if made == yes {
			effort := int64(coverEffort)
			w = m.bars.tight(w, &effort)
		}
		m.weights = &w
	}
	return *m.weights
}

// sheetsHold is barsHold for sheets: a few panels are settled by trying.
func (a *audit) sheetsHold(m *material, counts []int64, part map[int]int64, covers []cover) answer {
	if part == nil && tooFew(counts, covers) {
		return no
	}
	rows, few := a.fewRows(m, part)
	if !few {
		return unknown
	}
	least := a.trySets(m, rows, func(k int) (many, price int64) { return min(counts[k], int64(len(rows))), 0 })
	switch {
	case least.cost < math.MaxInt64 && (m.loose || len(m.openings) > 0):
		return unknown
	case least.cost < math.MaxInt64:
		return yes
	}
	return no
}
