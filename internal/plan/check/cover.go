package check

import (
	"slices"

	"sawbill/internal/plan"
)

// What a purchase must hold is known from inequalities
//
//	Σ worthₖ·nₖ ≥ need
//
// over the bars or sheets cut of every offer of a material. The covers of the
// plan's proof are such, when no bar can hold more than its worth of the
// pieces' values; so are the valuations by which the material's own least cost was
// proved, and that least cost itself, with the lowest prices for worths.

// cover is one such inequality.
type cover struct {
	worth  []int64 // for each of the material's offers
	need   int64
	values []int64 // of the kinds of bar pieces, where they are known
}

// coverEffort is the number of knapsack states that the covers may take.
const coverEffort = 100_000_000

// covers checks those of the proof and adds the material's own.
func (a *audit) covers(m *material, proof *plan.PurchaseProof) (list []cover, fine bool) {
	fine = true
	effort := int64(coverEffort)
	for i := range proof.Covers {
		c := &proof.Covers[i]
		if c.Material != m.job.Key {
			continue
		}
		var w worth
		var made answer
		switch {
		case m.job.Sheet() && c.Sheets != nil && len(c.Pieces)+len(c.Worths) == 0:
			w, made = a.sheetProof(m, c.Sheets)
		case !m.job.Sheet() && c.Sheets == nil:
			w, made = a.barCover(m, c, &effort)
		default:
			a.find(m.job.Key+", proof of the purchase", "a cover is of the other kind of material")
		}
		switch made {
		case yes:
			list = append(list, cover{w.most, w.wanted, w.values})
		case unknown:
			a.note("%s: what one bar can hold by the proof of the purchase is not proved again", m.job.Key)
			a.weak = true
		default:
			fine = false
		}
	}
	if l := m.ladder; l != nil {
		l.climb(func(worth) answer { return no })
		for _, w := range l.tried {
			list = append(list, cover{w.most, w.wanted, w.values})
		}
	}
	least := cover{need: int64(m.plan.Goals.Cost.Bound)}
	some := cover{need: 1}
	for _, o := range m.offers {
		one := int64(1)
		if !a.sold(&a.job.Offers[o]) {
			one = 0
		}
		least.worth = append(least.worth, one*leastPrice(&a.job.Offers[o]))
		some.worth = append(some.worth, one)
	}
	return append(list, least, some), fine
}

// barCover checks that no bar can hold more of the pieces' values than the
// cover says it is worth.
func (a *audit) barCover(m *material, c *plan.Cover, effort *int64) (w worth, made answer) {
	where := m.job.Key + ", proof of the purchase"
	b := m.bars
	if b == nil {
		return w, unknown
	}
	values, fine := a.pieceValues(b, &plan.BarProof{Pieces: c.Pieces}, where)
	given := make([]int64, len(m.offers))
	met := map[int]bool{}
	for _, s := range c.Worths {
		k := slices.Index(m.offers, s.Offer)
		if k < 0 || met[s.Offer] || s.Value < 0 {
			a.find(where, "offer %d is given the worth %d; it is no offer of this material, has one already, or that is below 0", s.Offer, s.Value)
			return w, no
		}
		met[s.Offer], given[k] = true, s.Value
	}
	total := make([]kind, len(values))
	for i, v := range values {
		if v < 0 {
			a.find(where, "a piece is valued below 0")
			return w, no
		}
		total[i] = kind{0, v, b.kinds[i].number}
	}
	w.values = values
	if w.wanted, met[-1] = value(total); !met[-1] || !fine {
		if fine {
			a.find(where, "its values are too large")
		}
		return w, no
	}
	made = yes
	for k := range b.stocks {
		s := &b.stocks[k]
		limit := min(given[k], w.wanted)
		w.most = append(w.most, limit)
		if s.capacity <= 0 {
			w.most[k] = 0
			continue
		}
		switch exceeds(s.filling(values), s.capacity, limit, effort) {
		case no:
			w.most[k] = s.most(values, limit, effort)
			continue
		case yes:
			t, held := limit+1, limit+1
			if !s.model.square {
				t, held = s.model.fullest(s, values, 0, w.wanted)
			}
			if held > limit && !s.model.loose {
				a.find(where, "offer %d is worth %d by it, but one of its bars can hold more", s.offer, given[k])
				return w, no
			}
			if t <= limit {
				w.most[k] = t
				continue
			}
		}
		made = unknown
	}
	return w, made
}
