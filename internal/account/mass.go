package account

import (
	"math"
	"math/big"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

const (
	metre       = float64(length.Metre)
	squareMetre = metre * metre
)

// milligrams rounds a mass half up, once.
func milligrams(kg float64) plan.Mass { return plan.Mass(math.Floor(kg*1e6 + 0.5)) }

// alloy is what a material is made of, with the density the job goes by.
func alloy(m job.Material) section.Material {
	if m.Density > 0 && m.Density != m.Alloy.Density {
		return m.Alloy.WithDensity(m.Density)
	}
	return m.Alloy
}

// pieceMass weighs a piece by its centre line: a mitre takes off half of what
// it slants over.
func pieceMass(p job.Piece, m job.Material) plan.Mass {
	slant := math.Tan(float64(max(p.Left, -p.Left))/1000*math.Pi/180) +
		math.Tan(float64(max(p.Right, -p.Right))/1000*math.Pi/180)
	long := float64(p.Length) - float64(float64(m.Section.OuterWidth())*slant/2)
	return milligrams(section.MassPerMetre(m.Section, alloy(m)) * (long / metre))
}

func panelMass(p job.Panel, m job.Material) plan.Mass {
	square, _ := new(big.Float).SetInt(p.Area()).Float64()
	return milligrams(m.Section.MassPerArea(alloy(m)) * (square / squareMetre))
}

// weigh fills in marks and materials.
func (a *Account) weigh(j *job.Job) {
	for i, m := range j.Materials {
		first := len(a.Marks)
		add := func(mark, group string, count int64, each plan.Mass) {
			a.Marks = append(a.Marks, Mark{Material: m.Key, Mark: mark, Group: group, Count: count, Each: each, Mass: plan.Mass(count) * each})
		}
		for _, p := range j.Pieces {
			if p.Material == i {
				add(p.Mark, p.Group, p.Quantity, pieceMass(p, m))
			}
		}
		for _, p := range j.Panels {
			if p.Material == i {
				add(p.Mark, p.Group, p.Quantity, panelMass(p, m))
			}
		}
		if len(a.Marks) == first {
			continue
		}
		sum := plan.Mass(0)
		for _, k := range a.Marks[first:] {
			sum += k.Mass
		}
		a.Materials = append(a.Materials, Material{Key: m.Key, Mass: sum, Growth: growth(sum, m)})
	}
}

func growth(of plan.Mass, m job.Material) plan.Mass {
	return plan.Mass(portion(int64(of), 10_000+m.Growth)) - of
}

// group sorts everything with a mass by the part it belongs to. A bracket
// belongs where its joints are. The growth allowance of a material is shared out
// along a running sum, so that the shares add up to the whole.
func (a *Account) group(j *job.Job) {
	at := map[string]int{}
	find := func(name string) *Group {
		i, met := at[name]
		if !met {
			i = len(a.Groups)
			at[name] = i
			a.Groups = append(a.Groups, Group{Name: name})
		}
		return &a.Groups[i]
	}
	kinds := map[string]int{}
	for i, b := range j.Brackets {
		if b.Cut {
			kinds[b.Kind] = i
		}
	}
	for i, m := range j.Materials {
		sum := plan.Mass(0)
		add := func(group string, mass plan.Mass) {
			g := find(group)
			g.Cut += mass
			g.Growth += growth(sum+mass, m) - growth(sum, m)
			sum += mass
		}
		for _, k := range a.Marks {
			kind, cut := kinds[k.Mark]
			switch {
			case k.Material != m.Key:
			case cut && j.Brackets[kind].Material == i:
				for _, joint := range j.Joints {
					if joint.Bracket == kind {
						add(joint.Group, plan.Mass(joint.Quantity*joint.Brackets)*k.Each)
					}
				}
			default:
				add(k.Group, k.Mass)
			}
		}
	}
	for i, joint := range j.Riveted() {
		if b := joint.Bracket; b >= 0 && !j.Brackets[b].Cut {
			find(joint.Group).Fitted += plan.Mass(joint.Quantity * joint.Brackets * j.Brackets[b].Pack.Mass)
		}
		if r := a.Sizes[i]; r >= 0 {
			find(joint.Group).Fitted += plan.Mass(joint.Quantity * joint.Rivets * j.Rivets[r].Pack.Mass)
		}
	}
	for _, v := range j.Items {
		find(v.Group).Fitted += plan.Mass(v.Quantity * v.Pack.Mass)
	}
	if i := slices.IndexFunc(a.Groups, func(g Group) bool { return g.Name == "" }); i >= 0 {
		none := a.Groups[i]
		a.Groups = append(slices.Delete(a.Groups, i, i+1), none)
	}
}
