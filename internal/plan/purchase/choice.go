package purchase

import (
	"math/big"
	"slices"
)

// forbids says that the cover proves that the counts of a group do not suffice
// for the pieces.
func (c *Cover) forbids(a *Material, g int, counts, pieces []int64) bool {
	if c.Value == nil && len(a.Groups) > 1 {
		return false
	}
	lack, t, f := new(big.Int), new(big.Int), new(big.Int)
	if c.Value == nil {
		lack.SetInt64(c.Need)
	}
	for i, v := range c.Value {
		lack.Add(lack, t.Mul(t.SetInt64(v), f.SetInt64(pieces[i])))
	}
	for k, w := range c.Worth {
		if a.Kinds[k].Group == g {
			lack.Sub(lack, t.Mul(t.SetInt64(w), f.SetInt64(counts[k])))
		}
	}
	return lack.Sign() > 0
}

// settle works out what a choice costs, and refuses one that breaks a rule.
func (p *Problem) settle(c *Choice) bool {
	goods := make([]int64, len(p.Orders))
	cuts := make([]int64, len(p.Orders))
	spare := make([]int64, len(p.Materials))
	cut := make([]int64, len(p.Offers))
	c.Total = 0
	for i, a := range p.Materials {
		if w := c.Marks[i]; w > 0 {
			m := a.Marks[w-1]
			goods[m.Order] += m.Price
			if !c.Placed[m.Order] {
				return false
			}
		}
		if !p.cutting(c, i, cut, cuts) {
			return false
		}
	}
	for j, f := range p.Offers {
		n := c.Bought[j]
		if n == 0 {
			if cut[j] > 0 {
				return false
			}
			continue
		}
		tier := f.at(n)
		if tier == nil || n > f.Stock || n%f.Pack != 0 || cut[j] > n || !c.Placed[f.Order] {
			return false
		}
		goods[f.Order] += n / f.Pack * tier.Price
		if f.Spare {
			spare[f.Material] += n - cut[j]
		}
	}
	for i, a := range p.Materials {
		var n int64
		for _, k := range c.Counts[i] {
			n += k
		}
		if c.Marks[i] == 0 && 10000*(spare[i]-a.Spare) < a.SparePercent*n {
			return false
		}
	}
	taken := map[int]bool{}
	for o, order := range p.Orders {
		if !c.Placed[o] {
			continue
		}
		if taken[order.Supplier] {
			return false
		}
		taken[order.Supplier] = true
		c.Total += order.Fee + max(order.Minimum, goods[o]) + order.Cut*max(0, cuts[o]-order.Free)
	}
	return true
}

// cutting adds what is cut of a material, and what that costs.
func (p *Problem) cutting(c *Choice, i int, cut, cuts []int64) bool {
	a := &p.Materials[i]
	have := make([]int64, len(a.Demand))
	used := make([]bool, len(a.Groups))
	for k, n := range c.Counts[i] {
		kind := &a.Kinds[k]
		cut[kind.Offer] += n
		cuts[p.Offers[kind.Offer].Order] += n * kind.Cuts
		c.Total += n * kind.Each
		used[kind.Group] = used[kind.Group] || n > 0
	}
	for g := range a.Groups {
		if used[g] {
			c.Total += a.Groups[g].SetUp
		}
		for d, n := range c.Pieces[i][g] {
			have[d] += n
			c.Total += n * a.Groups[g].each(d)
			if o := a.Groups[g].Order; o >= 0 {
				cuts[o] += n * a.Groups[g].cuts(d)
			}
		}
	}
	return c.Marks[i] > 0 || slices.Equal(have, a.Demand)
}

// at is the tier that prices n bars or sheets; nil when so few are not sold.
func (f *Offer) at(n int64) *Tier {
	var best *Tier
	for t := range f.Tiers {
		if f.Tiers[t].From <= n {
			best = &f.Tiers[t]
		}
	}
	return best
}
