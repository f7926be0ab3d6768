package account

import (
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/plan"
	"sawbill/internal/plan/mass"
)

// weigh fills in marks and materials.
func (a *Account) weigh(j *job.Job) {
	for i, m := range j.Materials {
		first := len(a.Marks)
		add := func(mark, group string, count int64, each plan.Mass) {
			a.Marks = append(a.Marks, Mark{Material: m.Key, Mark: mark, Group: group, Count: count, Each: each, Mass: plan.Mass(count) * each})
		}
		for _, p := range j.Pieces {
			if p.Material == i {
				add(p.Mark, p.Group, p.Quantity, mass.Piece(m, p))
			}
		}
		for _, p := range j.Panels {
			if p.Material == i {
				add(p.Mark, p.Group, p.Quantity, mass.Panel(m, p))
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
	return plan.Mass(portion(int64(of), 10_000+m.Growth, 10_000)) - of
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
