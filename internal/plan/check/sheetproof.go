package check

import (
	"slices"

	"sawbill/internal/plan"
)

// sheetLadder lists the valuations of the panels: those of the proof, and by the
// area alone. It is nil when the proof by functions is wrong.
func (a *audit) sheetLadder(m *material) *ladder {
	l := &ladder{}
	if proof := m.plan.SheetProof; proof != nil {
		w, made := a.sheetProof(m, proof)
		if made == no {
			return nil
		}
		l.rungs = append(l.rungs, func() (worth, answer) { return w, yes })
	}
	if proof := m.plan.SheetProof; proof != nil && proof.Layouts != nil {
		l.rungs = append(l.rungs, func() (worth, answer) { return a.layoutProof(m, proof.Layouts) })
	}
	l.rungs = append(l.rungs, func() (worth, answer) {
		w, reason := a.valued(m, a.byArea(m))
		if reason != "" {
			return w, no
		}
		return w, yes
	})
	return l
}

// sheetProof checks that the functions in the plan prove anything and works
// out again what the panels are worth by them.
func (a *audit) sheetProof(m *material, proof *plan.SheetProof) (w worth, made answer) {
	where := m.job.Key + ", proof of the cost"
	if proof.Bound < 0 || proof.Bound > m.plan.Goals.Cost.Bound {
		a.find(where, "it is for %s, the least cost is given as %s", proof.Bound, m.plan.Goals.Cost.Bound)
	}
	position := map[int]int{}
	for i, o := range m.offers {
		position[o] = i
	}
	sheets := make([]sheetValue, len(m.offers)+len(m.openings))
	met := map[int]bool{}
	for _, k := range proof.Kinds {
		i, known := position[k.Offer]
		if !known || met[k.Offer] {
			a.find(where, "it values offer %d, which is no offer of this material or is valued already", k.Offer)
			return w, no
		}
		met[k.Offer] = true
		sheets[i] = valueOf(k.Worth, k.Terms)
	}
	for _, o := range proof.Openings {
		i := slices.IndexFunc(m.openings, func(n opening) bool {
			return a.job.Panels[n.panel].Mark == o.Mark && n.number == o.Opening
		})
		if i < 0 || len(sheets[len(m.offers)+i].products) > 0 {
			a.find(where, "it values opening %d of %s, in which no panel fits or which is valued already", o.Opening, o.Mark)
			return w, no
		}
		sheets[len(m.offers)+i] = valueOf(o.Worth, o.Terms)
	}
	w, reason := a.valued(m, sheets)
	if reason != "" {
		a.find(where, "%s", reason)
		return w, no
	}
	// Sheets left out because they cannot be carried, or for a cover because
	// they are sold out, only raise the values.
	fewer := slices.ContainsFunc(m.offers, func(k int) bool {
		o := &a.job.Offers[k]
		return a.mustCarry(o) > 0 || proof != m.plan.SheetProof && !a.sold(o)
	})
	if w.wanted < proof.Need || w.wanted > proof.Need && !fewer {
		a.find(where, "the panels are worth %d by it, it says %d", w.wanted, proof.Need)
	}
	return w, yes
}

func valueOf(worth int64, terms []plan.ProductTerm) sheetValue {
	v := sheetValue{worth: worth}
	for _, t := range terms {
		v.products = append(v.products, product{
			feasible{family(t.X.Family), t.X.Parameter}, feasible{family(t.Y.Family), t.Y.Parameter},
		})
	}
	return v
}

// byArea values sheets and panels by their areas, kerf included. Areas are
// divided by one power of two, so that what is wanted stays in 64 bits.
func (a *audit) byArea(m *material) []sheetValue {
	var sum wide
	for _, p := range a.job.Panels {
		if p.Material == m.index {
			sum = sum.plus(m.room(p.Length, p.Width).area().times(whole(p.Quantity)))
		}
	}
	var areas []wide
	for _, o := range m.offers {
		r := m.trimmed(&a.job.Offers[o])
		s := m.room(r.length, r.width).area()
		areas, sum = append(areas, s), sum.plus(s)
	}
	for _, o := range m.openings {
		areas = append(areas, o.room.area())
	}
	unit := whole(1)
	for half := whole(1 << 61); sum.compare(half.times(unit)) > 0; {
		unit = unit.times(whole(2))
	}
	plain := feasible{family: identity}
	var list []sheetValue
	for _, s := range areas {
		v, _ := s.ceiling(unit).int64()
		list = append(list, sheetValue{v, []product{{plain, plain}}})
	}
	return list
}

func (r room) area() wide { return whole(r.x).times(whole(r.y)) }
