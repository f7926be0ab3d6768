package report

import (
	"cmp"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/rivet"
	"sawbill/internal/section"
)

// What a group of the list, a sub-frame, is put together from. Order of fit: pieces
// in the order of the list, joints, what fills the frame, then what closes over it.

// kit is one group.
type kit struct {
	name   string // "" for what is in no group
	pieces []job.Piece
	joints []job.Joint
	// fill are panels of foam, panels the others.
	fill, panels []job.Panel
	items        []job.Item
	rivets       []rivetNeed
	brackets     []bracketNeed
}

// rivetNeed is how many rivets of one size are set. Length is 0 where none on sale suits.
type rivetNeed struct {
	diameter, length length.Length
	count            int64
}

type bracketNeed struct {
	kind  string
	count int64
}

// kits are the groups in the order in which the job first names them; those in none
// are last. None when the job has no groups.
func kits(j *job.Job) []kit {
	place := map[string]int{}
	var out []kit
	of := func(group string) *kit {
		i, met := place[group]
		if !met {
			i = len(out)
			place[group] = i
			out = append(out, kit{name: group})
		}
		return &out[i]
	}
	bracket := map[string]bool{}
	for _, b := range j.Brackets {
		bracket[b.Kind] = b.Cut
	}
	for _, p := range j.Pieces {
		if !bracket[p.Mark] { // those are counted with the joints
			k := of(p.Group)
			k.pieces = append(k.pieces, p)
		}
	}
	for _, p := range j.Panels {
		switch k := of(p.Group); {
		case bracket[p.Mark]:
		case materialAt(j, p.Material).Alloy.Family == section.FoamFamily:
			k.fill = append(k.fill, p)
		default:
			k.panels = append(k.panels, p)
		}
	}
	for _, i := range j.Items {
		k := of(i.Group)
		k.items = append(k.items, i)
	}
	for _, joint := range j.Joints {
		k := of(joint.Group)
		k.joints = append(k.joints, joint)
		if joint.Bracket >= 0 {
			k.bracket(j.Brackets[joint.Bracket].Kind, joint.Quantity*joint.Brackets)
		}
	}
	for _, joint := range j.Riveted() {
		of(joint.Group).rivet(j, joint)
	}
	out = slices.DeleteFunc(out, kit.empty)
	slices.SortStableFunc(out, func(a, b kit) int {
		return cmp.Compare(btoi(a.name == ""), btoi(b.name == ""))
	})
	if len(out) == 1 && out[0].name == "" {
		return nil
	}
	return out
}

// materialAt is a material of the job, or none where the job has it not.
func materialAt(j *job.Job, i int) job.Material {
	if i < 0 || i >= len(j.Materials) {
		return job.Material{}
	}
	return j.Materials[i]
}

func btoi(b bool) int {
	if b {
		return 1
	}
	return 0
}

func (k kit) empty() bool {
	return len(k.pieces)+len(k.joints)+len(k.fill)+len(k.panels)+len(k.items)+len(k.rivets) == 0
}

func (k *kit) bracket(kind string, count int64) {
	for i := range k.brackets {
		if k.brackets[i].kind == kind {
			k.brackets[i].count += count
			return
		}
	}
	k.brackets = append(k.brackets, bracketNeed{kind, count})
}

// rivet counts the rivets of a joint or of a row, by the best size on sale.
func (k *kit) rivet(j *job.Job, joint job.Joint) {
	n := rivetFor(j, joint)
	if n.count = joint.Quantity * joint.Rivets; n.count == 0 {
		return
	}
	for i := range k.rivets {
		if k.rivets[i].diameter == n.diameter && k.rivets[i].length == n.length {
			k.rivets[i].count += n.count
			return
		}
	}
	k.rivets = append(k.rivets, n)
	slices.SortFunc(k.rivets, func(a, b rivetNeed) int {
		return cmp.Or(cmp.Compare(a.diameter, b.diameter), cmp.Compare(a.length, b.length))
	})
}

// bonded is how a panel is closed: the bead along its rows that are bonded and the
// rivets in all its rows.
func bonded(p job.Panel) (bead length.Length, rivets int64) {
	if p.Form == nil {
		return 0, 0
	}
	outer := p.Shape().Outer
	for _, row := range p.Form.Rows {
		rivets += row.Rivets()
		if first, last, any := within(outer, row.Row.From, row.Row.To); any && row.Row.Bond >= 0 {
			bead += length.Length(rivet.Length(first, last))
		}
	}
	return bead, rivets
}

// seconds is how long the bead and the rivets of one panel take one person.
func seconds(a job.Assembly, bead length.Length, rivets int64) int64 {
	up := func(n, by int64) int64 { return (n + by - 1) / by }
	return up(60*int64(bead), int64(a.Bead)) + up(60*rivets, a.Rivets)
}
