package check

import (
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// layoutEffort is the number of steps that the layouts of one material may take.
const layoutEffort = 2_000_000_000

// layoutProof values the panels by the plan's proof of layouts, and works out
// again what a sheet of each offer holds of these values at most. It answers
// unknown when that takes more than the effort allows.
func (a *audit) layoutProof(m *material, proof *plan.LayoutProof) (w worth, made answer) {
	where := m.job.Key + ", proof of the cost by layouts"
	if proof.Bound < 0 || proof.Bound > m.plan.Goals.Cost.Bound {
		a.find(where, "it is for %s, the least cost is given as %s", proof.Bound, m.plan.Goals.Cost.Bound)
	}
	if m.free {
		a.find(where, "panels lie freely on the sheets, it speaks of edge-to-edge cuts")
		return w, no
	}
	values, ok := a.numbered(m, proof.Values, where)
	if !ok {
		return w, no
	}
	need := whole(0)
	for i, p := range a.job.Panels {
		if p.Material == m.index {
			need = need.plus(whole(values[i]).times(whole(p.Quantity)))
		}
	}
	if w.wanted, ok = need.int64(); !ok || w.wanted != proof.Need {
		a.find(where, "the panels are worth %s by it, it says %d", need, proof.Need)
		return w, no
	}
	effort := int64(layoutEffort)
	w.most = make([]int64, len(m.offers))
	met := map[int]bool{}
	for _, k := range proof.Kinds {
		at := slices.Index(m.offers, k.Offer)
		if at < 0 || met[k.Offer] {
			a.find(where, "it values offer %d, which is no offer of this material or is valued already", k.Offer)
			return w, no
		}
		met[k.Offer] = true
		if made := a.layoutWorth(m, k, values, where, &effort); made != yes {
			return w, made
		}
		w.most[at] = k.Worth
	}
	for _, o := range m.offers {
		offer := &a.job.Offers[o]
		if r := m.trimmed(offer); !met[o] && a.sold(offer) && r.length > 0 && r.width > 0 {
			a.find(where, "it does not say what a sheet of offer %d holds", o)
			return w, no
		}
	}
	return w, yes
}

// numbered lists numbers by row of the job's panels.
func (a *audit) numbered(m *material, list []plan.PanelValue, where string) (values []int64, ok bool) {
	values = make([]int64, len(a.job.Panels))
	met := map[string]bool{}
	for _, v := range list {
		row := slices.IndexFunc(a.job.Panels, func(p job.Panel) bool { return p.Mark == v.Mark && p.Material == m.index })
		if row < 0 || met[v.Mark] || v.Value < 0 {
			a.find(where, "it has the number %d for %s, which is less than 0, or for a panel that is not of this material or has one already", v.Value, v.Mark)
			return nil, false
		}
		met[v.Mark] = true
		values[row] = v.Value
	}
	return values, true
}

// layoutWorth answers yes when no layout holds panels worth more than the
// proof says of an offer.
func (a *audit) layoutWorth(m *material, k plan.LayoutWorth, values []int64, where string, effort *int64) answer {
	offer := &a.job.Offers[k.Offer]
	charges, ok := a.numbered(m, k.Charges, where)
	if !ok {
		return no
	}
	r := m.trimmed(offer)
	if r.length <= 0 || r.width <= 0 {
		return yes
	}
	unit := int64(max(k.Unit, 1))
	sheet := m.room(r.length, r.width)
	g := &guillotine{whole: sheet.in(unit), stages: m.process.Stages, exact: m.process.Exact, may: m.firstCuts(sheet), effort: effort}
	charged := whole(0)
	for i, p := range a.job.Panels {
		if p.Material != m.index {
			continue
		}
		charged = charged.plus(whole(charges[i]).times(whole(p.Quantity)))
		if a.mustCarry(offer) > 0 && !a.load(p.Length, p.Width) {
			continue
		}
		for _, lies := range m.cuttable(p.Length, p.Width, p.Turn, sheet) {
			if v := values[i] - charges[i]; v > 0 {
				g.panels = append(g.panels, valued{lies.in(unit), v})
			}
		}
	}
	rest, ok := whole(k.Worth).minus(charged).int64()
	if !ok || rest < 0 {
		a.find(where, "its charges come to more than the %d that it says a sheet of offer %d is worth", k.Worth, k.Offer)
		return no
	}
	most, made := g.most()
	if made == yes && most > rest {
		a.find(where, "a sheet of offer %d holds panels worth %d by it, less their charges; no more than %d is allowed", k.Offer, most, rest)
		return no
	}
	return made
}

func (r room) in(unit int64) room { return room{r.x / unit, r.y / unit} }
