package nest2d

import (
	"math/big"
	"slices"
)

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
// The same holds for a part of the panels: whatever xᵢ ≥ 0 panels are cut
// from nₖ sheets of the kinds that have terms,
//
//	Σₖ Worthₖ·nₖ ≥ Σᵢ vᵢ·xᵢ.
//
// For vᵢ depends on sizes alone (the demands only led to the choice of the
// functions), and on one sheet of kind k the panels j that are cut from it, in
// poses (xⱼ, yⱼ), have Σⱼ vⱼ ≤ Σⱼ Worthₖ·Sₖ(xⱼ, yⱼ) / Sₖ(Xₖ, Yₖ) ≤ Worthₖ, the
// first because vⱼ is a minimum, the second because Sₖ is a sum of dual
// feasible products. Added up over the sheets this is the claim. Values gives
// the vᵢ.
//
// Windows of panels are kinds of sheets of price 0, after the sheets, with the
// panel's demand for a supply. Of a part of the panels, the windows of a panel
// count once for each copy of it.
//
// The area bound is the case in which every function is the Identity and
// Worthₖ is proportional to Xₖ·Yₖ.
//
// A Certificate without Kinds proves nothing: its Bound is 0.
type Certificate struct {
	Kinds []KindProof
	Need  int64
	Bound int64
	// Layouts, unless nil, proves a higher Bound by generated layouts.
	Layouts *LayoutProof
	// Enumerated says that exact search, of plans or of layouts, went further than
	// these Bounds: the bound on cost is higher, or there is no plan at all although
	// Bound is not -1. That is not proved again by formulae.
	Enumerated bool
}

// KindProof is the part of a certificate that speaks of one kind of sheet.
type KindProof struct {
	// Worth is what one sheet counts for; 0 if Terms is empty, which stands
	// for a kind with no supply or nothing left after the trims, of which no
	// panel is cut.
	Worth int64
	Terms []Term
}

// Term is one product of the sum Sₖ: X applies to lengths along x, Y along y.
type Term struct{ X, Y Function }

// Cover is a certificate alone, without the search for a plan, in which every
// kind that is larger than its trims has terms: supplies count as unlimited,
// 0 included, and a price may be 0. Prices steer which of the inequalities that
// hold is picked: the one with the highest Bound, which by and large is the one
// with the greatest Need for worths in proportion to the prices. Sums of worths
// and of values over as many sheets and panels as are wanted stay below 2⁶².
//
// The error is one sentence, as for Solve. Panels that fit no sheet have the
// value 0. When no panel is wanted there are no terms.
func Cover(p Problem, effort Effort) (Certificate, error) {
	p.Sheets = slices.Clone(p.Sheets)
	for k := range p.Sheets {
		p.Sheets[k].Supply = MaxCopies
	}
	return Certify(p, effort)
}

// Certify is the certificate alone of the problem as it is.
func Certify(p Problem, effort Effort) (Certificate, error) {
	m, err := newModel(p)
	if err != nil {
		return Certificate{}, err
	}
	return m.certify(effortOf(effort).bound), nil
}

// Values are the vᵢ of the panels of p, for which the certificate was made;
// demands, supplies and prices may have changed since. They are 0 when it
// proves nothing, and nil when it is not of as many kinds as p.
func (c Certificate) Values(p Problem) []int64 { return c.values(p.Panels, p.opened()) }

func (c Certificate) values(panels []Panel, sheets []Sheet) []int64 {
	if len(c.Kinds) == 0 {
		return make([]int64, len(panels))
	}
	if len(c.Kinds) != len(sheets) {
		return nil
	}
	wholes := make([]*big.Int, len(sheets))
	for k, s := range sheets {
		wholes[k] = c.Kinds[k].sum(s.usable(), s.usable())
	}
	values := make([]int64, len(panels))
	for i, a := range panels {
		least := int64(-1)
		for k, s := range sheets {
			if len(c.Kinds[k].Terms) == 0 {
				continue
			}
			for _, pose := range s.possible(a) {
				v := c.Kinds[k].sum(pose, s.usable())
				v.Mul(v, big.NewInt(c.Kinds[k].Worth))
				v.Quo(v, wholes[k])
				if x := v.Int64(); least < 0 || x < least {
					least = x
				}
			}
		}
		values[i] = max(least, 0)
	}
	return values
}

// prove works out Need and Bound from the functions and worths.
func (c *Certificate) prove(m *model) {
	c.Need = 0
	for i, v := range c.values(m.problem.Panels, m.problem.Sheets) {
		c.Need += m.problem.Panels[i].Demand * v
	}
	c.Bound = c.purchase(m).least()
}

// purchase is the covering problem that the certificate leaves.
func (c *Certificate) purchase(m *model) *purchase {
	p := &purchase{need: c.Need, budget: noBudget}
	for k := range m.kinds {
		if len(c.Kinds[k].Terms) > 0 {
			o := offer{c.Kinds[k].Worth, m.kinds[k].price, m.kinds[k].price, m.kinds[k].supply, 1, k}
			if m.kinds[k].window {
				o.count = 0
			}
			p.offers = append(p.offers, o)
		}
	}
	return p
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

// usable is the trimmed sheet, grown by the kerf.
func (s Sheet) usable() size {
	return size{
		s.Length - s.TrimLeft - s.TrimRight + s.Kerf,
		s.Width - s.TrimBottom - s.TrimTop + s.Kerf,
	}
}

// possible lists the poses of a panel by size alone, grown by the kerf. In a
// window that may be turned itself any panel may be turned against it.
func (s Sheet) possible(a Panel) []size {
	if a.Length > MaxLength || a.Width > MaxLength {
		return nil
	}
	var list []size
	usable := s.usable()
	for _, pose := range []size{{a.Length + s.Kerf, a.Width + s.Kerf}, {a.Width + s.Kerf, a.Length + s.Kerf}} {
		if pose[axisX] <= usable[axisX] && pose[axisY] <= usable[axisY] {
			list = append(list, pose)
		}
		if !a.Turn && !s.turns || a.Length == a.Width {
			break
		}
	}
	return list
}
