package change

import (
	"sawbill/internal/job"
)

// What is bought beside bars and sheets, and the joints that say how much.

func extras(old, new *job.Job) []Entry {
	out := differ(Joint, joints(old), joints(new))
	out = append(out, differ(Bracket, brackets(old), brackets(new))...)
	out = append(out, differ(Rivet, rivets(old), rivets(new))...)
	out = append(out, differ(Item, items(old), items(new))...)
	return append(out, differ(Consumable, consumables(old), consumables(new))...)
}

func joints(j *job.Job) []thing {
	var out []thing
	for _, v := range j.Joints {
		bracket := ""
		if v.Bracket >= 0 {
			bracket = j.Brackets[v.Bracket].Kind
		}
		out = append(out, thing{id{name: v.Mark}, []property{
			text("bracket", bracket), number("brackets", Count, v.Brackets), number("rivets", Count, v.Rivets), long("diameter", v.Diameter),
			long("grip", v.Grip), number("quantity", Count, v.Quantity), text("group", v.Group), text("note", v.Note),
		}})
	}
	return out
}

func brackets(j *job.Job) []thing {
	var out []thing
	for _, v := range j.Brackets {
		fields := []property{flag("cut", v.Cut), text("material", materialKey(j, v.Material)), long("length", v.Length), long("width", v.Width), text("note", v.Note)}
		out = append(out, thing{id{name: v.Kind}, append(fields, pack(j, v.Pack)...)})
	}
	return out
}

func rivets(j *job.Job) []thing {
	var out []thing
	for _, v := range j.Rivets {
		fields := []property{text("name", v.Name), long("grip from", v.GripFrom), long("grip to", v.GripTo), text("note", v.Note)}
		out = append(out, thing{id{length: v.Diameter, width: v.Length}, append(fields, pack(j, v.Pack)...)})
	}
	return out
}

func items(j *job.Job) []thing {
	var out []thing
	for _, v := range j.Items {
		fields := []property{number("quantity", Count, v.Quantity), text("group", v.Group), text("note", v.Note)}
		out = append(out, thing{id{name: v.Name}, append(fields, pack(j, v.Pack)...)})
	}
	return out
}

func consumables(j *job.Job) []thing {
	var out []thing
	for _, v := range j.Consumables {
		fields := []property{
			text("by", string(v.By)), text("of", v.Of), number("coats", Count, v.Coats), text("bead", v.BeadText), number("waste", Percent, v.Waste),
			text("content", v.ContentText), text("coverage", v.CoverageText), text("note", v.Note),
		}
		out = append(out, thing{id{name: v.Name}, append(fields, pack(j, v.Pack)...)})
	}
	return out
}

func pack(j *job.Job, p job.Pack) []property {
	supplier := ""
	if p.Supplier >= 0 && p.Supplier < len(j.Suppliers) {
		supplier = j.Suppliers[p.Supplier].Name
	}
	return []property{text("supplier", supplier), number("pack", Count, p.Count), number("price of a pack", Money, p.Price), number("mass", Mass, p.Mass), number("spare", Percent, p.Spare)}
}

func materialKey(j *job.Job, i int) string {
	if i < 0 || i >= len(j.Materials) {
		return ""
	}
	return j.Materials[i].Key
}
