package account

import (
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
		Need: withSpare(n, p.Spare), Content: p.Count, Packs: packs,
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

// buyRivets finds the rivet of each joint and row and the boxes to buy. Those that the
// same rows of the table suit share their boxes, of the sizes that cost least
// together.
func (a *Account) buyRivets(j *job.Job) {
	riveted := j.Riveted()
	a.Sizes = make([]int, len(riveted))
	fits := make([][]int, len(riveted))
	for i, joint := range riveted {
		a.Sizes[i] = -1
		if joint.Rivets > 0 {
			fits[i] = j.FitRivets(joint)
		}
	}
	lines := make([]Line, len(j.Rivets))
	for i, fit := range fits {
		if len(fit) == 0 || a.Sizes[i] >= 0 {
			continue
		}
		n := int64(0)
		for k := i; k < len(fits); k++ {
			if slices.Equal(fits[k], fit) {
				n += riveted[k].Quantity * riveted[k].Rivets
				a.Sizes[k] = fit[0]
			}
		}
		a.buyBoxes(j, lines, fit, n)
	}
	for _, l := range lines {
		if l.Packs > 0 {
			a.Rivets = append(a.Rivets, l)
		}
	}
}

// buyBoxes adds boxes for n rivets, and the largest spare among them, to the
// lines of the rows that suit. All rivets weigh as those of the first row do.
func (a *Account) buyBoxes(j *job.Job, lines []Line, fit []int, n int64) {
	kinds := make([]job.Pack, len(fit))
	need := n
	for i, r := range fit {
		kinds[i] = j.Rivets[r].Pack
		need = max(need, withSpare(n, kinds[i].Spare))
	}
	mass := plan.Mass(n * kinds[0].Mass)
	for i, packs := range boxes(kinds, need) {
		if packs == 0 {
			continue
		}
		r, held := j.Rivets[fit[i]], min(need, packs*kinds[i].Count)
		l := &lines[fit[i]]
		l.Name, l.Diameter, l.Length, l.Note, l.Supplier = r.Name, r.Diameter, r.Length, r.Note, supplier(j, r.Pack)
		l.Measure, l.Content, l.Each = string(job.ByCount), r.Pack.Count, plan.Money(r.Pack.Price)
		l.Need += held
		l.Packs += packs
		l.Amount = plan.Money(l.Packs) * l.Each
		l.Mass += mass
		need, mass = need-held, 0
	}
}

// withSpare is n and so many hundredths of a percent more, rounded up.
func withSpare(n, spare int64) int64 { return (n*(10_000+spare) + 9_999) / 10_000 }

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
