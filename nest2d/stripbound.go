package nest2d

// A stripCut asks for a number of strips, of one slicing and the levels between two.
type stripCut struct {
	slicing, from, to int
	least             int64
	row               int
}

func (c stripCut) holds(s strip) bool {
	return s.slicing == c.slicing && c.from <= s.level && s.level <= c.to
}

// bound is one on the cost, by the duals of the program and all the demand. Whatever
// duals are, vᵢ of panels and ρ of cuts, rounded down to integers: if a strip of level
// t is worth no more than mₜ = Σᵢ vᵢ·aᵢ + Σ ρ for every aᵢ it can hold, and strips on
// one sheet of kind k no more than Wₖ = Σₜ mₜ·nₜ, then Σₖ Wₖ·nₖ ≥ Σᵢ demandᵢ·vᵢ + Σ
// least·ρ for every purchase. Lengths are rounded down.
func (g *staging) bound() int64 {
	dual := g.lp.Dual(nil)
	worth := g.worths(dual)
	var f sliced
	var r row
	p := &purchase{budget: noBudget}
	for i, a := range g.m.problem.Panels {
		g.wanted[i] = a.Demand
		p.need += a.Demand * worth[i]
	}
	for _, c := range g.cuts {
		p.need += c.least * g.whole(dual[c.row])
	}
	most := make([]int64, len(g.m.kinds))
	for at := range g.slicings {
		s := &g.slicings[at]
		clear(g.made[at])
		g.fill(s, &f, worth, ruler.down)
		for t, v := range g.extra(at, dual) {
			f.values[t] += v
		}
		v, _ := g.sheet(at, &r, f.values, g.most(at), ruler.down)
		most[s.kind] = max(most[s.kind], v)
	}
	for k, w := range most {
		price := g.m.kinds[k].price
		p.offers = append(p.offers, offer{w, price, price, g.m.kinds[k].supply, 1, k})
	}
	return p.least()
}
