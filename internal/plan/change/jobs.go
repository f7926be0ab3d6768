package change

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// Jobs lists everything that differs between two jobs and bears on a plan or
// on its papers; none when the jobs ask the same. The order of rows is no
// difference, nor is a price said in other words that comes to the same cents.
func Jobs(old, new *job.Job) []Entry {
	var out []Entry
	out = append(out, differ(Head, heads(old), heads(new))...)
	out = append(out, differ(Piece, pieces(old), pieces(new))...)
	out = append(out, differ(Panel, panels(old), panels(new))...)
	out = append(out, differ(Material, materials(old), materials(new))...)
	out = append(out, differ(Process, processes(old), processes(new))...)
	out = append(out, differ(Supplier, suppliers(old, new), suppliers(new, old))...)
	out = append(out, differ(Offer, offers(old), offers(new))...)
	out = append(out, differ(Quote, quotes(old), quotes(new))...)
	out = append(out, extras(old, new)...)
	return append(out, variants(old, new)...)
}

// thing is anything of a job that has an identity and properties.
type thing struct {
	id
	fields []property
}

// id is what old and new are matched by. Nth tells apart rows that are alike
// in all the rest, such as stock on hand and more of it at another price.
type id struct {
	name          string
	length, width length.Length
	nth           int
}

type property struct {
	name  string
	value Value
}

func number(name string, f Form, n int64) property { return property{name, Value{Form: f, Number: n}} }
func long(name string, l length.Length) property   { return number(name, Length, int64(l)) }
func text(name, s string) property                 { return property{name, Value{Form: Text, Text: s}} }

func flag(name string, is bool) property {
	if is {
		return number(name, Flag, 1)
	}
	return number(name, Flag, 0)
}

// differ matches things by their identity.
func differ(kind Kind, old, new []thing) []Entry {
	type pair struct{ old, new *thing }
	pairs := map[id]pair{}
	take := func(things []thing, put func(p *pair, t *thing)) {
		met := map[id]int{}
		for i := range things {
			t := &things[i]
			base := t.id
			met[base]++
			t.nth = met[base]
			p := pairs[t.id]
			put(&p, t)
			pairs[t.id] = p
		}
	}
	take(old, func(p *pair, t *thing) { p.old = t })
	take(new, func(p *pair, t *thing) { p.new = t })
	var ids []id
	for i := range pairs {
		ids = append(ids, i)
	}
	slices.SortFunc(ids, func(a, b id) int {
		return cmp.Or(byName(a.name, b.name), cmp.Compare(b.length, a.length), cmp.Compare(b.width, a.width), cmp.Compare(a.nth, b.nth))
	})
	var out []Entry
	for _, i := range ids {
		if e, differs := entryOf(kind, i, pairs[i].old, pairs[i].new); differs {
			out = append(out, e)
		}
	}
	return out
}

func entryOf(kind Kind, i id, old, new *thing) (Entry, bool) {
	e := Entry{Kind: kind, Name: i.name, Length: i.length, Width: i.width, State: Changed}
	switch {
	case old == nil:
		e.State = Added
		for _, p := range new.fields {
			if !p.value.blank() {
				e.Fields = append(e.Fields, Field{Name: p.name, New: p.value})
			}
		}
	case new == nil:
		e.State = Removed
		for _, p := range old.fields {
			if !p.value.blank() {
				e.Fields = append(e.Fields, Field{Name: p.name, Old: p.value})
			}
		}
	default:
		for k, p := range new.fields {
			if was := old.fields[k].value; was != p.value {
				e.Fields = append(e.Fields, Field{p.name, was, p.value})
			}
		}
		return e, len(e.Fields) > 0
	}
	return e, true
}

// Every function below gives each thing of its kind the same properties in the
// same order.

func heads(j *job.Job) []thing {
	return []thing{{fields: []property{
		text("name", j.Name), text("revision", j.Revision), text("date", j.Date), text("author", j.Author), text("note", j.Note),
		text("unit", j.Unit.String()), number("fraction", Count, j.Fraction), flag("decimal comma", j.DecimalComma), text("paper", j.Paper),
		long("longest load", j.LongestLoad), long("widest load", j.WidestLoad), number("budget", Money, j.Budget), text("goals", goalsText(j)),
		number("people", Count, j.People), number("allowed load", Mass, j.AllowedLoad),
		number("label rows", Count, j.Labels.Rows), number("label columns", Count, j.Labels.Columns),
		long("label margin at top", j.Labels.MarginTop), long("label margin at side", j.Labels.MarginSide),
		long("label gap down", j.Labels.GapDown), long("label gap across", j.Labels.GapAcross),
		long("roll label width", j.Labels.RollWidth), long("roll label height", j.Labels.RollHeight),
		number("rivets per minute", Count, j.Assembly.Rivets), long("bead per minute", j.Assembly.Bead), number("open time, min", Count, j.Assembly.OpenTime),
		text("rack", j.Rack.File), number("value of the rack", Percent, j.Rack.Share),
	}}}
}

func pieces(j *job.Job) []thing {
	var out []thing
	for _, p := range j.Pieces {
		sec := j.Materials[p.Material].Section
		out = append(out, thing{id{name: p.Mark}, []property{
			text("material", j.Materials[p.Material].Key), long("length", p.Length), number("left", Angle, p.Left), number("right", Angle, p.Right),
			text("left on", sec.LaidOn(p.Left, p.LeftFace)), text("right on", sec.LaidOn(p.Right, p.RightFace)),
			number("quantity", Count, p.Quantity), text("copies", copies(p.Copies)), flag("left long", p.LeftLong), text("group", p.Group), text("note", p.Note),
		}})
	}
	return out
}

func panels(j *job.Job) []thing {
	var out []thing
	for _, p := range j.Panels {
		out = append(out, thing{id{name: p.Mark}, []property{
			text("material", j.Materials[p.Material].Key), long("length", p.Length), long("width", p.Width), flag("turn", p.Turn), text("form", form(p.Form)),
			number("quantity", Count, p.Quantity), text("copies", copies(p.Copies)), text("group", p.Group), text("note", p.Note),
		}})
	}
	return out
}

// copies lists the numbers of copies; "" where they are 1 to the quantity.
func copies(list []int) string {
	if list == nil {
		return ""
	}
	return strings.Trim(fmt.Sprint(list), "[]")
}

func materials(j *job.Job) []thing {
	var out []thing
	for _, m := range j.Materials {
		out = append(out, thing{id{name: m.Key}, []property{
			text("stock", m.Section.Canonical), text("alloy", m.Alloy.Name), text("density", strconv.FormatFloat(m.Density, 'g', -1, 64)+" kg/m³"),
			text("process", j.Processes[m.Process].Key), flag("grain", m.Grain), flag("good side", m.GoodSide),
			long("keep over", m.KeepOver), long("keep length", m.KeepLength), long("keep width", m.KeepWidth), number("growth", Percent, m.Growth),
			number("spare", Count, m.Spare), number("spare in percent", Percent, m.SparePercent),
			worth(m.RackValue),
		}})
	}
	return out
}

// goalsText lists the goals after cost in their order.
func goalsText(j *job.Job) string {
	var all []string
	for _, g := range j.Goals {
		all = append(all, string(g))
	}
	return strings.Join(all, ", ")
}

func processes(j *job.Job) []thing {
	var out []thing
	for _, p := range j.Processes {
		out = append(out, thing{id{name: p.Key}, []property{
			text("kind", string(p.Kind)), long("kerf", p.Kerf), long("left trim", p.TrimLeft), long("right trim", p.TrimRight),
			long("bottom trim", p.TrimBottom), long("top trim", p.TrimTop), long("tail", p.Tail), long("cut error", p.CutError),
			number("stages", Count, int64(p.Stages)), flag("exact", p.Exact), long("smallest strip", p.MinStrip), text("first cut", string(p.FirstCut)), long("blade", p.Blade),
			flag("cut by the supplier", p.BySupplier), long("capacity width", p.CapacityWidth), long("capacity height", p.CapacityHeight),
			flag("shared mitres", p.SharedMitres), flag("swings one way", p.OneWay),
		}})
	}
	return out
}

// worth is what a material of the rack counts for, where that is said of it.
func worth(v job.RackValue) property {
	const name = "value of the rack"
	switch {
	case v.InMoney && v.PerUnit == 0:
		return text(name, "0")
	case v.InMoney:
		return fine(name, v.PerUnit)
	case v.Stated:
		return number(name, Percent, v.Share)
	}
	return property{name: name}
}

// suppliers lists those of both jobs: one that a job does not name charges
// nothing there, and its offers tell of it.
func suppliers(j, other *job.Job) []thing {
	var out []thing
	met := map[string]bool{}
	for _, s := range j.Suppliers {
		met[s.Name] = true
		out = append(out, charges(s))
	}
	for _, s := range other.Suppliers {
		if !met[s.Name] {
			out = append(out, charges(job.PlainSupplier(s.Name)))
		}
	}
	return out
}

func charges(s job.Supplier) thing {
	return thing{id{name: s.Name}, []property{
		flag("delivers", s.Delivers), number("delivery", Money, s.Delivery), flag("fetched", s.Fetched), number("fetching", Money, s.Fetch),
		number("smallest order", Money, s.Minimum), number("each cut", Money, s.Cut), number("each mitre", Money, s.Mitre), number("free cuts", Count, s.FreeCuts),
		stated("kerf", s.CutKerf), fine("metre of cut", s.CutMetre), fine("each piercing", s.Pierce), number("each sheet", Money, s.PerSheet),
		number("each set-up", Money, s.SetUp), number("tax", Rate, s.Tax), flag("our own stock", s.OnHand), flag("lays out", s.ByMark),
		flag("DXF of R12", s.DXFR12), flag("DXF with layers inside and outside", s.DXFInsideOutside), flag("DXF with the mark engraved", s.DXFEngraved), flag("DXF of whole sheets", s.DXFSheets),
	}}
}

// stated is a length that may not be stated, and then is negative.
func stated(name string, l length.Length) property {
	if l < 0 {
		return property{name: name}
	}
	return long(name, l)
}

// fine is a price in thousandths of a cent, in the currency's unit.
func fine(name string, thousandths int64) property {
	if thousandths == 0 {
		return property{name: name}
	}
	return text(name, strings.TrimSuffix(strings.TrimRight(fmt.Sprintf("%d.%05d", thousandths/100_000, thousandths%100_000), "0"), "."))
}

// offers lists an offer and, as things of their own, its prices from more than
// one bar or sheet on.
func offers(j *job.Job) []thing {
	var out []thing
	for _, o := range j.Offers {
		name := j.Suppliers[o.Supplier].Name + ", " + j.Materials[o.Material].Key
		for i, t := range o.Tiers {
			tier := id{name: name, length: o.Length, width: o.Width}
			if t.From > 1 {
				tier.name += fmt.Sprintf(", from %d", t.From)
			}
			price, packPrice, pack, stock := number("price", Money, t.Price), property{name: "pack price"}, property{name: "pack"}, property{name: "stock"}
			if o.Pack != 1 {
				price, packPrice = property{name: "price"}, number("pack price", Money, t.Price)
			}
			if i == 0 {
				price.value = Value{Form: Money, Number: o.Price}
				if o.Pack != 1 {
					pack = number("pack", Count, o.Pack)
				}
				if stock = number("stock", Count, o.Stock); o.Stock < 0 {
					stock = text("stock", "not limited")
				}
			}
			out = append(out, thing{tier, []property{price, packPrice, pack, stock, number("no. on the rack", Count, o.Rack), text("place", o.Place)}})
		}
	}
	return out
}

func quotes(j *job.Job) []thing {
	var out []thing
	for _, q := range j.Quotes {
		out = append(out, thing{id{name: j.Suppliers[q.Supplier].Name + ", " + q.Mark}, []property{number("price", Money, q.Price)}})
	}
	return out
}

// variants are told by name alone: they bear on comparisons, not on the plan.
// One is changed when its jobs differ in more than the jobs themselves do.
func variants(old, new *job.Job) []Entry {
	list := func(j *job.Job) []thing {
		var out []thing
		for _, v := range j.Variants {
			out = append(out, thing{id: id{name: v.Name}})
		}
		return out
	}
	out := differ(Variant, list(old), list(new))
	var common []Entry
	if len(old.Variants) > 0 && len(new.Variants) > 0 {
		common = Jobs(withoutVariants(old), withoutVariants(new))
	}
	for _, v := range old.Variants {
		for _, w := range new.Variants {
			if v.Name == w.Name && slices.ContainsFunc(Jobs(v.Job, w.Job), func(e Entry) bool {
				return !slices.ContainsFunc(common, func(c Entry) bool { return same(c, e) })
			}) {
				out = append(out, Entry{Kind: Variant, Name: v.Name, State: Changed})
			}
		}
	}
	slices.SortStableFunc(out, func(a, b Entry) int { return byName(a.Name, b.Name) })
	return out
}

func withoutVariants(j *job.Job) *job.Job {
	k := *j
	k.Variants = nil
	return &k
}

func same(a, b Entry) bool {
	return a.Kind == b.Kind && a.Name == b.Name && a.Length == b.Length && a.Width == b.Width && a.State == b.State && slices.Equal(a.Fields, b.Fields)
}
