package check

import (
	"math/bits"
	"slices"

	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// filling is the knapsack of one bar under the given values of the kinds.
func (s *barStock) filling(values []int64) []kind {
	var list []kind
	for i, k := range s.model.kinds {
		if s.able[i] {
			list = append(list, kind{k.weight, values[i], k.number})
		}
	}
	return list
}

// barLadder lists the valuations of the pieces: the proof's, with what a bar
// may hold by the proof and then with what it really can; and by the material
// alone. It is nil when the proof is wrong.
func (a *audit) barLadder(m *material, b *barModel, effort *int64) *ladder {
	l := &ladder{}
	if proof := m.plan.BarProof; proof != nil {
		w, made := a.barProof(m, b, proof, effort)
		switch made {
		case no:
			return nil
		case unknown:
			l.lacking = true
		case yes:
			l.rungs = append(l.rungs,
				func() (worth, answer) { return w, yes },
				func() (worth, answer) { return b.tight(w, effort), yes })
			l.best = 1
		}
	}
	w, made := b.material()
	if made == yes {
		l.rungs = append(l.rungs,
			func() (worth, answer) { return w, yes },
			func() (worth, answer) { return b.tight(w, effort), yes })
	}
	return l
}

// tight lowers what the bars may hold to what they can.
func (b *barModel) tight(w worth, effort *int64) worth {
	w.most = slices.Clone(w.most)
	for i := range b.stocks {
		w.most[i] = b.stocks[i].most(w.values, w.most[i], effort)
	}
	return w
}

// most is what a bar can hold of the values, which is known to be at most limit.
func (s *barStock) most(values []int64, limit int64, effort *int64) int64 {
	if limit > 0 {
		limit = most(s.filling(values), s.capacity, limit, effort)
	}
	if limit > 0 && !s.model.square {
		limit, _ = s.model.fullest(s, values, 0, limit)
	}
	return limit
}

// over tells whether some content, joined as it must be, is worth more than limit,
// where by the knapsack alone it may be; none is worth more than most.
func (s *barStock) over(values []int64, limit, most int64) answer {
	switch least, reached := s.model.fullest(s, values, limit, most); {
	case reached > limit && !s.model.loose:
		return yes
	case least > limit:
		return unknown
	}
	return no
}

// fullestNodes limits the search for the fullest bar.
const fullestNodes = 1_000_000

// fullest lowers the most that a bar may hold by the joints that its pieces
// really make: contents are tried kind by kind, those of most value for their
// weight first, as long as they may pass the best so far, which is floor at first.
// most stays as it is when there are too many; reached is the best content met.
func (b *barModel) fullest(s *barStock, values []int64, floor, most int64) (least, reached int64) {
	var order []int
	for i := range b.kinds {
		if s.able[i] && values[i] > 0 {
			order = append(order, i)
		}
	}
	slices.SortStableFunc(order, func(x, y int) int {
		return compareProducts(values[y], b.kinds[x].weight, values[x], b.kinds[y].weight)
	})
	best, nodes := floor, fullestNodes
	var content []int
	var try func(at int, room, value int64)
	try = func(at int, room, value int64) {
		best = max(best, value)
		if nodes--; nodes < 0 || at == len(order) {
			return
		}
		more, left := int64(0), room // by Dantzig's bound
		for _, k := range order[at:] {
			kind := &b.kinds[k]
			if fit := left / kind.weight; fit < kind.number {
				left -= fit * kind.weight
				hi, lo := bits.Mul64(uint64(left), uint64(values[k]))
				part, _ := bits.Div64(hi, lo, uint64(kind.weight))
				more += fit*values[k] + int64(part)
				break
			}
			left -= kind.number * kind.weight
			more += kind.number * values[k]
		}
		if value+more <= best {
			return
		}
		k := order[at]
		held := len(content)
		for range min(b.kinds[k].number, room/b.kinds[k].weight) {
			content = append(content, k)
		}
		for n := len(content) - held; n >= 0; n-- {
			content = content[:held+n]
			if b.need(content) <= s.usable {
				try(at+1, room-int64(n)*b.kinds[k].weight, value+int64(n)*values[k])
			}
		}
	}
	try(0, s.capacity, 0)
	if nodes < 0 {
		return most, best
	}
	return min(most, best), best
}

// material values every piece by its own weight, the least it has in any bar:
// so much bar is needed.
func (b *barModel) material() (w worth, made answer) {
	var kinds []kind
	for i, k := range b.kinds {
		weight := k.weight
		for _, s := range b.stocks {
			weight = min(weight, s.model.kinds[i].weight)
		}
		w.values = append(w.values, weight)
		kinds = append(kinds, kind{weight, weight, k.number})
	}
	for _, s := range b.stocks {
		w.most = append(w.most, max(0, s.capacity))
	}
	var fits bool
	if w.wanted, fits = value(kinds); !fits {
		return w, no
	}
	return w, yes
}

// barProof checks that the values in the plan are a proof: that no content of
// a bar is worth more than scale·price + the offer's own value. It answers no
// when they are not, and says so.
func (a *audit) barProof(m *material, b *barModel, proof *plan.BarProof, effort *int64) (w worth, made answer) {
	where := m.job.Key + ", proof of the cost"
	if proof.Scale < 1 {
		a.find(where, "its scale is %d, it must be 1 or more", proof.Scale)
		return w, no
	}
	if proof.Bound < 0 || proof.Bound > m.plan.Goals.Cost.Bound {
		a.find(where, "it is for %s, the least cost is given as %s", proof.Bound, m.plan.Goals.Cost.Bound)
	}
	values, fine := a.pieceValues(b, proof, where)
	extra, alsoFine := a.stockValues(m, proof, where)
	if !fine || !alsoFine {
		return w, no
	}
	w.values = values
	total := make([]kind, len(values))
	for i, v := range values {
		total[i] = kind{0, v, b.kinds[i].number}
	}
	if w.wanted, fine = value(total); !fine {
		a.find(where, "its values are too large")
		return w, no
	}
	made = yes
	for i := range b.stocks {
		s := &b.stocks[i]
		limit, fits := scaled(proof.Scale, leastPrice(&a.job.Offers[s.offer]), extra[s.offer])
		if !fits || limit > w.wanted {
			limit = w.wanted // no bar holds more than all pieces together
		}
		if s.capacity <= 0 {
			limit = 0
		}
		w.most = append(w.most, limit)
		if s.capacity <= 0 {
			continue
		}
		over := exceeds(s.filling(values), s.capacity, limit, effort)
		if over == yes && !s.model.square {
			over = s.over(values, limit, w.wanted)
		}
		switch over {
		case yes:
			a.find(where, "it is wrong for offer %d: a bar can hold pieces worth more than the bar", s.offer)
			return w, no
		case unknown:
			made = unknown
		}
	}
	return w, made
}

// pieceValues gives every kind of piece its value in the proof. Ends may be
// given in either order and slant: any values that pass the test are a proof.
func (a *audit) pieceValues(b *barModel, proof *plan.BarProof, where string) (values []int64, ok bool) {
	exact, alike := map[plan.PieceValue]int{}, map[[3]int64]int{}
	used := make([]bool, len(proof.Pieces))
	ok = true
	for i, p := range proof.Pieces {
		if _, twice := exact[bare(p)]; twice {
			a.find(where, "the pieces of %s are valued twice", a.len(p.Length))
			ok = false
		}
		exact[bare(p)] = i
		alike[eitherWay(p.Length, p.Left, p.Right)] = i
	}
	for _, k := range b.kinds {
		i, known := exact[bare(plan.PieceValue{Length: k.length, Left: k.left, Right: k.right, LeftWide: k.leftFace == section.Wide, RightWide: k.rightFace == section.Wide})]
		if !known {
			i, known = alike[eitherWay(k.length, k.left, k.right)]
		}
		if !known {
			values = append(values, 0) // worth nothing: only weakens the proof
			continue
		}
		used[i] = true
		values = append(values, proof.Pieces[i].Value)
	}
	for i, u := range used {
		if !u {
			a.find(where, "it values a piece of %s that the job does not want", a.len(proof.Pieces[i].Length))
			ok = false
		}
	}
	return values, ok
}

// bare is what a value is told of.
func bare(p plan.PieceValue) plan.PieceValue {
	p.Value = 0
	return p
}

func eitherWay(l length.Length, left, right int64) [3]int64 {
	left, right = max(left, -left), max(right, -right)
	return [3]int64{int64(l), min(left, right), max(left, right)}
}

// stockValues gives the values of the offers, by index into the job's offers.
func (a *audit) stockValues(m *material, proof *plan.BarProof, where string) (extra map[int]int64, ok bool) {
	extra, ok = map[int]int64{}, true
	for _, s := range proof.Stocks {
		_, twice := extra[s.Offer]
		switch {
		case s.Offer < 0 || s.Offer >= len(a.job.Offers) || a.job.Offers[s.Offer].Material != m.index:
			a.find(where, "it values offer %d, which is no offer of this material", s.Offer)
			ok = false
		case twice:
			a.find(where, "it values offer %d twice", s.Offer)
			ok = false
		case s.Value < 0 || a.job.Offers[s.Offer].Stock < 0 && s.Value != 0:
			a.find(where, "it values offer %d at %d; only an offer with a stock has a value, and none below 0", s.Offer, s.Value)
			ok = false
		default:
			extra[s.Offer] = s.Value
		}
	}
	return extra, ok
}
