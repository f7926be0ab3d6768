package account

import (
	"cmp"
	"math/big"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

func supplier(j *job.Job, p job.Pack) string {
	if p.Supplier < 0 || p.Supplier >= len(j.Suppliers) {
		return ""
	}
	return j.Suppliers[p.Supplier].Name
}

// counted is a line of n things with the spare of their pack.
func counted(j *job.Job, name string, p job.Pack, n int64) Line {
	packs := p.Packs(n)
	return Line{
		Name: name, Supplier: supplier(j, p), Measure: string(job.ByCount),
		Need: (n*(10_000+p.Spare) + 9_999) / 10_000, Content: p.Count, Packs: packs,
		Each: plan.Money(p.Price), Amount: plan.Money(packs * p.Price), Mass: plan.Mass(n * p.Mass),
	}
}

// buyBrackets lists the brackets that are bought and not cut.
func (a *Account) buyBrackets(j *job.Job) {
	for i, b := range j.Brackets {
		n := int64(0)
		for _, joint := range j.Joints {
			if joint.Bracket == i {
				n += joint.Quantity * joint.Brackets
			}
		}
		if b.Cut || n == 0 {
			continue
		}
		l := counted(j, b.Kind, b.Pack, n)
		l.Note = b.Note
		a.Brackets = append(a.Brackets, l)
	}
}

// chosen is the rivet for each joint, -1 for none. Joints that the same rivets
// suit share one box: the one that costs least for all of them, before another
// with a lower price each.
func chosen(j *job.Job) []int {
	out := make([]int, len(j.Joints))
	fits := make([][]int, len(j.Joints))
	for i, joint := range j.Joints {
		out[i] = -1
		if joint.Rivets > 0 {
			fits[i] = j.FitRivets(joint)
		}
	}
	for i, fit := range fits {
		if len(fit) == 0 || out[i] >= 0 {
			continue
		}
		n := int64(0)
		for k := i; k < len(fits); k++ {
			if slices.Equal(fits[k], fit) {
				n += j.Joints[k].Quantity * j.Joints[k].Rivets
			}
		}
		cost := func(r int) int64 { return j.Rivets[r].Pack.Packs(n) * j.Rivets[r].Pack.Price }
		best := slices.MinFunc(fit, func(a, b int) int { return cmp.Compare(cost(a), cost(b)) })
		for k := i; k < len(fits); k++ {
			if slices.Equal(fits[k], fit) {
				out[k] = best
			}
		}
	}
	return out
}

func (a *Account) buyRivets(j *job.Job) {
	for i, r := range j.Rivets {
		n := int64(0)
		for k, joint := range j.Joints {
			if a.Sizes[k] == i {
				n += joint.Quantity * joint.Rivets
			}
		}
		if n == 0 {
			continue
		}
		l := counted(j, r.Name, r.Pack, n)
		l.Diameter, l.Length, l.Note = r.Diameter, r.Length, r.Note
		a.Rivets = append(a.Rivets, l)
	}
}

func (a *Account) buyItems(j *job.Job) {
	for _, v := range j.Items {
		l := counted(j, v.Name, v.Pack, v.Quantity)
		l.Group, l.Note = v.Group, v.Note
		a.Items = append(a.Items, l)
	}
}

func (a *Account) buyConsumables(j *job.Job) {
	for _, c := range j.Consumables {
		packs := j.PacksOf(c)
		if packs == 0 {
			continue
		}
		applied := j.Applied(c)
		applied.Mul(applied, big.NewRat(c.Pack.Mass, c.Content))
		a.Consumables = append(a.Consumables, Line{
			Name: c.Name, Supplier: supplier(j, c.Pack), Note: c.Note, Measure: c.Measure(), Need: up(j.Need(c)), Content: c.Content, Packs: packs,
			Each: plan.Money(c.Pack.Price), Amount: plan.Money(packs * c.Pack.Price), Mass: plan.Mass(half(applied)),
		})
	}
}

// up rounds up, half to the nearest with halves up.
func up(v *big.Rat) int64 {
	n, rest := new(big.Int).QuoRem(v.Num(), v.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		n.Add(n, big.NewInt(1))
	}
	return n.Int64()
}

func half(v *big.Rat) int64 {
	n := new(big.Int).Lsh(v.Num(), 1)
	n.Add(n, v.Denom())
	return n.Div(n, new(big.Int).Lsh(v.Denom(), 1)).Int64()
}
