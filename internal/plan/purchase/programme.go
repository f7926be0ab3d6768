package purchase

import (
	"math"
	"math/big"
	"math/bits"
	"slices"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// The mixed-integer programme in exact integers, beside the floating-point one
// that is solved in its place.

// Columns are branched on in this order: whom to buy from comes first.
const (
	never = iota
	choice
	tierChoice
	amount
	division
	ranks
)

type column struct {
	cost         int64
	lower, upper int64
	rank         int
}

// row is lower ≤ Σ coefficient·column ≤ upper, where either end may be open.
type row struct {
	lower, upper         int64
	openBelow, openAbove bool
	terms                []term
	shift                int // the LP has it divided by 2^shift
}

type term struct {
	column int32
	factor int64
}

type programme struct {
	p       *Problem
	columns []column
	rows    []row
	lp      solver.LP
	penalty int64
	// Places of the columns.
	placed []int   // per order
	packs  [][]int // per offer and tier
	tiers  [][]int // per offer and tier; -1 where no choice is needed
	spares []int   // per offer: bought and not cut
	counts [][]int // per material and kind
	pieces [][][]int
	marks  [][]int
}

const noBound = math.MaxInt64

func newProgramme(p *Problem, e solver.Engine, penalty int64) *programme {
	if e == nil {
		e = embedded.Engine{}
	}
	m := &programme{p: p, lp: e.New(), penalty: penalty}
	for o := range p.Orders {
		m.placed = append(m.placed, m.column(p.Orders[o].Fee, 0, 1, choice))
	}
	m.suppliers()
	for j := range p.Offers {
		m.offer(&p.Offers[j])
	}
	for i := range p.Materials {
		m.material(&p.Materials[i])
	}
	m.stock()
	m.spare()
	m.goods()
	m.cuts()
	return m
}

func (m *programme) column(cost, lower, upper int64, rank int) int {
	m.columns = append(m.columns, column{cost, lower, upper, rank})
	return m.lp.AddColumn(float64(cost), float64(lower), float64(upper), nil, nil)
}

// atLeast adds Σ terms ≥ lower, which may be broken at the penalty for each
// unit of give.
func (m *programme) atLeast(lower, give int64, terms ...term) {
	terms = append(terms, term{int32(m.column(m.penalty, 0, m.reach(lower, give, terms), never)), give})
	m.row(row{lower: lower, openAbove: true, terms: terms})
}

// reach is how many units of give make any point satisfy the row.
func (m *programme) reach(lower, give int64, terms []term) int64 {
	lack := float64(lower)
	for _, t := range terms {
		c := m.columns[t.column]
		at := c.lower
		if t.factor < 0 {
			at = c.upper
		}
		lack -= float64(float64(t.factor) * float64(at))
	}
	return int64(min(max(0, math.Ceil(lack/float64(give)))+1, 1<<52))
}

func (m *programme) row(r row) {
	widest := uint64(1)
	for _, t := range r.terms {
		widest = max(widest, uint64(max(t.factor, -t.factor)))
	}
	r.shift = max(0, bits.Len64(widest)-10)
	scale := math.Ldexp(1, -r.shift)
	lower, upper := -solver.Inf, solver.Inf
	if !r.openBelow {
		lower = float64(r.lower) * scale
	}
	if !r.openAbove {
		upper = float64(r.upper) * scale
	}
	cols, values := make([]int32, len(r.terms)), make([]float64, len(r.terms))
	for i, t := range r.terms {
		cols[i], values[i] = t.column, float64(t.factor)*scale
	}
	m.rows = append(m.rows, r)
	m.lp.AddRow(lower, upper, cols, values)
}

// suppliers: of the orders of one supplier at most one is placed.
func (m *programme) suppliers() {
	for o := range m.p.Orders {
		terms := []term{{int32(m.placed[o]), -1}}
		for e := o + 1; e < len(m.p.Orders); e++ {
			if m.p.Orders[e].Supplier == m.p.Orders[o].Supplier {
				terms = append(terms, term{int32(m.placed[e]), -1})
			}
		}
		first := true
		for e := range o {
			first = first && m.p.Orders[e].Supplier != m.p.Orders[o].Supplier
		}
		if first && len(terms) > 1 {
			m.atLeast(-1, 1, terms...)
		}
	}
}

// offer: whole packs of one tier at a time, and only if the order is placed.
func (m *programme) offer(f *Offer) {
	var packs, tiers []int
	var chosen []term
	for t, tier := range f.Tiers {
		last := f.most()
		if t+1 < len(f.Tiers) {
			last = min(last, f.Tiers[t+1].From-1)
		}
		low, high := (tier.From+f.Pack-1)/f.Pack, last/f.Pack
		if low > high {
			high = 0 // the tier cannot be had
		}
		n := m.column(0, 0, high, amount)
		z := m.column(0, 0, 1, tierChoice)
		packs, tiers = append(packs, n), append(tiers, z)
		m.atLeast(0, 1, term{int32(z), high}, term{int32(n), -1})
		if low > 1 {
			m.atLeast(0, 1, term{int32(n), 1}, term{int32(z), -low})
		}
		chosen = append(chosen, term{int32(z), -1})
	}
	m.packs, m.tiers = append(m.packs, packs), append(m.tiers, tiers)
	m.atLeast(0, 1, append(chosen, term{int32(m.placed[f.Order]), 1})...)
	m.spares = append(m.spares, m.column(0, 0, f.most(), amount))
}

// material: what is cut, the division of the pieces, the set-ups, the covers.
func (m *programme) material(a *Material) {
	i := len(m.counts)
	var counts []int
	for _, k := range a.Kinds {
		most := min(k.Most, m.p.Offers[k.Offer].Stock)
		counts = append(counts, m.column(k.Each, min(k.Least, most), most, amount))
	}
	m.counts = append(m.counts, counts)
	var marks []int
	for _, w := range a.Marks {
		marks = append(marks, m.column(0, 0, 1, choice))
		m.atLeast(0, 1, term{int32(m.placed[w.Order]), 1}, term{int32(marks[len(marks)-1]), -1})
	}
	m.marks = append(m.marks, marks)
	var pieces [][]int
	for g := range a.Groups {
		var list []int
		for c, d := range a.Demand {
			lower := int64(0)
			if len(a.Groups) == 1 && len(a.Marks) == 0 {
				lower = d
			}
			list = append(list, m.column(a.Groups[g].each(c), lower, d, division))
		}
		pieces = append(pieces, list)
	}
	m.pieces = append(m.pieces, pieces)
	m.sources(a, counts, pieces)
	for c, d := range a.Demand {
		var terms []term
		for g := range a.Groups {
			terms = append(terms, term{int32(pieces[g][c]), 1})
		}
		for _, w := range marks {
			terms = append(terms, term{int32(w), d})
		}
		m.atLeast(d, 1, terms...)
		if len(terms) > 1 {
			var most []term // and none is cut twice
			for _, t := range terms {
				most = append(most, term{t.column, -t.factor})
			}
			m.atLeast(-d, 1, most...)
		}
	}
	for c := range a.Covers {
		m.cover(i, &a.Covers[c])
	}
}

// sources: whether anything of a material is cut from the goods of an order, which
// is decided before how much.
func (m *programme) sources(a *Material, counts []int, pieces [][]int) {
	met := make([]bool, len(m.p.Orders))
	several := false
	first := -1
	for _, k := range a.Kinds {
		o := m.p.Offers[k.Offer].Order
		several = several || first >= 0 && o != first
		first, met[o] = o, true
	}
	for o := range m.p.Orders {
		var setUp int64
		group := -1
		for g := range a.Groups {
			if a.Groups[g].Order == o {
				group, setUp = g, a.Groups[g].SetUp
			}
		}
		if !met[o] || !several && setUp == 0 {
			continue
		}
		v := int32(m.column(setUp, 0, 1, choice))
		m.atLeast(0, 1, term{int32(m.placed[o]), 1}, term{v, -1})
		for k := range a.Kinds {
			if most := m.columns[counts[k]].upper; m.p.Offers[a.Kinds[k].Offer].Order == o && most > 0 {
				m.atLeast(0, 1, term{v, most}, term{int32(counts[k]), -1})
			}
		}
		if group < 0 || len(a.Groups) == 1 {
			continue
		}
		for c, x := range pieces[group] {
			if d := a.Demand[c]; d > 0 {
				m.atLeast(0, 1, term{v, d}, term{int32(x), -1})
			}
		}
	}
}

func (g *Group) each(class int) int64 {
	if g.Each == nil {
		return 0
	}
	return g.Each[class]
}

func (g *Group) cuts(class int) int64 {
	if g.Cuts == nil {
		return 0
	}
	return g.Cuts[class]
}

// cover adds a cover's rows.
func (m *programme) cover(i int, c *Cover) {
	m.rounded(i, c)
	a := &m.p.Materials[i]
	var all []term
	for k, w := range c.Worth {
		if w > 0 {
			all = append(all, term{int32(m.counts[i][k]), w})
		}
	}
	if c.Value == nil {
		for _, w := range m.marks[i] {
			all = append(all, term{int32(w), c.Need})
		}
		m.atLeast(c.Need, max(1, c.Need), all...)
		return
	}
	for g := range a.Groups {
		var terms []term
		need := int64(1)
		for k, w := range c.Worth {
			if w > 0 && a.Kinds[k].Group == g {
				terms = append(terms, term{int32(m.counts[i][k]), w})
			}
		}
		for class, v := range c.Value {
			if v != 0 {
				terms = append(terms, term{int32(m.pieces[i][g][class]), -v})
				need += max(v, 0) * a.Demand[class]
			}
		}
		m.atLeast(0, need, terms...)
	}
}

// mostRounded caps the rounded rows of one cover.
const mostRounded = 12

// rounded adds what follows from a cover for the whole material because counts
// are whole: divided by any d and rounded up on both sides it still holds (Chvátal
// 1973; Gomory 1958). The worths themselves are the most telling divisors.
func (m *programme) rounded(i int, c *Cover) {
	a := &m.p.Materials[i]
	need := new(big.Int)
	if c.Value == nil {
		need.SetInt64(c.Need)
	}
	for class, v := range c.Value {
		need.Add(need, new(big.Int).Mul(big.NewInt(v), big.NewInt(a.Demand[class])))
	}
	if need.Sign() <= 0 || !need.IsInt64() {
		return
	}
	up := func(n, d int64) int64 { return (n-1)/d + 1 } // n, d > 0
	var used []int64
	for _, d := range c.Worth {
		if d <= 0 || slices.Contains(used, d) || len(used) == mostRounded {
			continue
		}
		used = append(used, d)
		least := up(need.Int64(), d)
		var terms []term
		for k, w := range c.Worth {
			if w > 0 {
				terms = append(terms, term{int32(m.counts[i][k]), up(w, d)})
			}
		}
		for _, w := range m.marks[i] {
			terms = append(terms, term{int32(w), least})
		}
		m.atLeast(least, 1, terms...)
	}
}

// stock: what is cut and what is spare is bought.
func (m *programme) stock() {
	for j, f := range m.p.Offers {
		var terms []term
		for _, n := range m.packs[j] {
			terms = append(terms, term{int32(n), f.Pack})
		}
		terms = append(terms, term{int32(m.spares[j]), -1})
		for i, a := range m.p.Materials {
			for k := range a.Kinds {
				if a.Kinds[k].Offer == j {
					terms = append(terms, term{int32(m.counts[i][k]), -1})
				}
			}
		}
		m.atLeast(0, 1, terms...)
	}
}

// spare: enough of them for each material that is not bought by the mark.
func (m *programme) spare() {
	for i, a := range m.p.Materials {
		if a.Spare == 0 && a.SparePercent == 0 {
			continue
		}
		var terms []term
		for j, f := range m.p.Offers {
			if f.Material == i && f.Spare {
				terms = append(terms, term{int32(m.spares[j]), 10000})
			}
		}
		if a.SparePercent > 0 {
			for _, n := range m.counts[i] {
				terms = append(terms, term{int32(n), -a.SparePercent})
			}
		}
		for _, w := range m.marks[i] {
			terms = append(terms, term{int32(w), 10000 * a.Spare})
		}
		m.atLeast(10000*a.Spare, 1, terms...)
	}
}

// goods of an order cost at least its minimum once it is placed.
func (m *programme) goods() {
	for o := range m.p.Orders {
		var terms []term
		for j, f := range m.p.Offers {
			if f.Order != o {
				continue
			}
			for t, n := range m.packs[j] {
				if f.Tiers[t].Price > 0 {
					terms = append(terms, term{int32(n), -f.Tiers[t].Price})
				}
			}
		}
		for i, a := range m.p.Materials {
			for w := range a.Marks {
				if a.Marks[w].Order == o {
					terms = append(terms, term{int32(m.marks[i][w]), -a.Marks[w].Price})
				}
			}
		}
		most := m.p.Orders[o].Minimum
		for _, t := range terms {
			most += -t.factor * m.columns[t.column].upper
		}
		g := m.column(1, 0, most, never)
		m.atLeast(0, 1, append(terms, term{int32(g), 1})...)
		if least := m.p.Orders[o].Minimum; least > 0 {
			m.atLeast(0, 1, term{int32(g), 1}, term{int32(m.placed[o]), -least})
		}
	}
}

// cuts beyond the free ones are paid for.
func (m *programme) cuts() {
	for o, order := range m.p.Orders {
		if order.Cut == 0 {
			continue
		}
		var terms []term
		add := func(column int, n int64) {
			if n > 0 {
				terms = append(terms, term{int32(column), -n})
			}
		}
		for i, a := range m.p.Materials {
			for k, kind := range a.Kinds {
				if m.p.Offers[kind.Offer].Order == o {
					add(m.counts[i][k], kind.Cuts)
				}
			}
			for g := range a.Groups {
				if a.Groups[g].Order != o {
					continue
				}
				for c := range a.Demand {
					add(m.pieces[i][g][c], a.Groups[g].cuts(c))
				}
			}
		}
		if len(terms) == 0 {
			continue
		}
		var most int64
		for _, t := range terms {
			most += -t.factor * m.columns[t.column].upper
		}
		q := m.column(order.Cut, 0, most, never)
		m.atLeast(-order.Free, 1, append(terms, term{int32(q), 1})...)
	}
}

// most is how many can be bought.
func (f *Offer) most() int64 { return f.Stock / f.Pack * f.Pack }

// dearest is more than any purchase can cost that anyone would make: all that is
// on offer, all fees, all cuts.
func (p *Problem) dearest() int64 {
	sum := 1.0
	for _, o := range p.Orders {
		sum += float64(o.Fee) + float64(o.Minimum)
	}
	for _, f := range p.Offers {
		var price int64
		for _, t := range f.Tiers {
			price = max(price, t.Price)
		}
		sum += float64(float64(price) * float64(f.most()/f.Pack))
	}
	for _, a := range p.Materials {
		for _, k := range a.Kinds {
			sum += float64(float64(k.Most) * float64(k.Each+k.Cuts*p.Orders[p.Offers[k.Offer].Order].Cut))
		}
		for _, w := range a.Marks {
			sum += float64(w.Price)
		}
		for g := range a.Groups {
			sum += float64(a.Groups[g].SetUp)
			for c, d := range a.Demand {
				cost := a.Groups[g].each(c)
				if o := a.Groups[g].Order; o >= 0 {
					cost += a.Groups[g].cuts(c) * p.Orders[o].Cut
				}
				sum += float64(float64(d) * float64(cost))
			}
		}
	}
	return int64(min(sum, 1<<50))
}
