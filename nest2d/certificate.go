package nest2d

import "math/big"

// Certificate proves the bound on cost without the engine.
//
// All lengths are grown by one kerf: with kerf κ of kind k a panel l × w
// counts as (l+κ) × (w+κ), and the trimmed sheet L × W as Xₖ × Yₖ =
// (L+κ) × (W+κ). Parts then fit without any kerf between them. For dual
// feasible functions f on [0, Xₖ] and g on [0, Yₖ] whatever is cut from one
// sheet of kind k satisfies Σ f(x)·g(y) ≤ f(Xₖ)·g(Yₖ) (Fekete & Schepers
// 2004), and so does a sum of such inequalities. With
//
//	Sₖ(x, y) = Σₜ fₜ(x)·gₜ(y)      over the terms t of Kinds[k]
//	vᵢ = min ⌊ Worthₖ·Sₖ(x, y) / Sₖ(Xₖ, Yₖ) ⌋
//
// where the minimum runs over the kinds with a supply and the poses (x, y)
// of panel i, unturned and if allowed turned, with x ≤ Xₖ and y ≤ Yₖ, every
// purchase of nₖ sheets of kind k from which all panels can be cut has
//
//	Σₖ Worthₖ·nₖ ≥ Need = Σᵢ demandᵢ·vᵢ.
//
// Bound is the least Σ priceₖ·nₖ over all integers 0 ≤ nₖ ≤ supplyₖ that
// satisfy this, so it is a sum of prices and respects supplies. It is -1
// when there are no such integers: then no plan exists.
//
// The area bound is the case in which every function is the Identity and
// Worthₖ is proportional to Xₖ·Yₖ.
//
// A Certificate without Kinds proves nothing: its Bound is 0.
type Certificate struct {
	Kinds []KindProof
	Need  int64
	Bound int64
	// Enumerated says that the bound of the goals may be higher than Bound,
	// because all plans were enumerated; that is not proved again by formulae.
	Enumerated bool
}

// KindProof is the part of a certificate that speaks of one kind of sheet.
type KindProof struct {
	// Worth is what one sheet counts for; 0 if Terms is empty, which stands
	// for a kind with no supply or nothing left after the trims.
	Worth int64
	Terms []Term
}

// Term is one product of the sum Sₖ: X applies to lengths along x, Y along y.
type Term struct{ X, Y Function }

// prove works out Need and Bound from the functions and worths.
func (c *Certificate) prove(m *model) {
	c.Need = 0
	for i, a := range m.problem.Panels {
		if a.Demand > 0 {
			c.Need += a.Demand * c.value(m, i)
		}
	}
	c.Bound = c.purchase(m).least()
}

// purchase is the covering problem that the certificate leaves.
func (c *Certificate) purchase(m *model) *purchase {
	p := &purchase{need: c.Need, budget: noBudget}
	for k := range m.kinds {
		if len(c.Kinds[k].Terms) > 0 {
			p.offers = append(p.offers, offer{c.Kinds[k].Worth, m.kinds[k].price, m.kinds[k].price, m.kinds[k].supply})
		}
	}
	return p
}

// fewest is the least number of sheets, under the same conditions, that cost
// no more than a budget.
func (c *Certificate) fewest(m *model, budget int64) int64 {
	p := c.purchase(m)
	p.budget = budget
	for i := range p.offers {
		p.offers[i].price = 1
	}
	return p.least()
}

// value is vᵢ, exactly.
func (c *Certificate) value(m *model, panel int) int64 {
	least := int64(-1)
	for k := range m.kinds {
		proof := c.Kinds[k]
		if len(proof.Terms) == 0 {
			continue
		}
		whole := proof.sum(m.kinds[k].usable, m.kinds[k].usable)
		for _, pose := range m.kinds[k].possible(m.problem.Panels[panel]) {
			v := proof.sum(pose, m.kinds[k].usable)
			v.Mul(v, big.NewInt(proof.Worth))
			v.Quo(v, whole)
			if x := v.Int64(); least < 0 || x < least {
				least = x
			}
		}
	}
	return max(least, 0)
}

func (p KindProof) sum(s, whole size) *big.Int {
	total, product := new(big.Int), new(big.Int)
	for _, t := range p.Terms {
		x, y := t.X.At(s[axisX], whole[axisX]), t.Y.At(s[axisY], whole[axisY])
		product.Mul(product.SetInt64(x), big.NewInt(y))
		total.Add(total, product)
	}
	return total
}

// possible lists the poses of a panel by size alone, grown by the kerf.
func (k *kind) possible(a Panel) []size {
	var list []size
	if k.supply == 0 || a.Length > MaxLength || a.Width > MaxLength {
		return nil
	}
	for _, s := range []size{{a.Length + k.kerf, a.Width + k.kerf}, {a.Width + k.kerf, a.Length + k.kerf}} {
		if s[axisX] <= k.usable[axisX] && s[axisY] <= k.usable[axisY] {
			list = append(list, s)
		}
		if !a.Turn || a.Length == a.Width {
			break
		}
	}
	return list
}
