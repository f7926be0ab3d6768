package job

import (
	"maps"
	"math"
	"slices"
	"strings"

	"sawbill/internal/section"
)

// A variant is the same pieces and panels built otherwise: its headers stand for
// those of the job with some keys written anew,
//
//	[variant.thin-skin.material.skin]
//	stock = "sheet 1.2"
//
// and what it changes is read as the job itself is, so that it has the same
// faults. A material that becomes another good needs offers of its own, under
// the name thin-skin.skin.

// Variant is a job with some of its materials, processes and suppliers changed.
type Variant struct {
	Name string
	// Job has the variant's materials, processes, suppliers and offers in the
	// places of the original's, no quotes of what has become another good, and no
	// variants.
	Job *Job
	Pos Pos
}

// draft is a variant while it is read.
type draft struct {
	name      string
	pos       Pos
	materials []*changed
	processes map[int]Process
	suppliers map[int]Supplier
}

// changed is a material of a variant.
type changed struct {
	key    string // as offers name it
	index  int    // of the original in Job.Materials
	pos    Pos
	value  Material
	offers []Offer
}

const variantSpelling = "[variant.NAME.material.KEY], [variant.NAME.process.KEY] or [variant.NAME.supplier.KEY]"

// variantHeader checks a header that begins with variant; its keys are those of
// what it changes.
func (r *reader) variantHeader(s *heading) (bool, header) {
	if len(s.path) == 4 && s.path[1] != "" && s.path[3] != "" && (s.path[2] == "material" || s.path[2] == "process" || s.path[2] == "supplier") {
		return true, mustHeader(s.path[2])
	}
	advice := "write " + variantSpelling
	if len(s.path) > 4 {
		advice += ", with a name that has a point in quotes"
	}
	r.fault(s.pos, "the header [%s] does not say what the variant changes; %s", strings.Join(s.path, "."), advice)
	return false, header{}
}

func mustHeader(name string) header {
	h, _ := headerNamed(name)
	return h
}

func (r *reader) readVariants() {
	materials, processes, suppliers := r.blocks("material"), r.blocks("process"), r.blocks("supplier")
	for _, s := range r.doc.sections {
		if len(s.path) != 4 || s.path[0] != "variant" {
			continue
		}
		d := r.draft(s)
		switch s.path[2] {
		case "material":
			if b, ok := r.altered(s, materials); ok {
				r.changeMaterial(d, s, b)
			}
		case "process":
			b, ok := r.altered(s, processes)
			if !ok {
				continue
			}
			p := r.readProcess(b)
			for i := range r.job.Processes {
				if r.job.Processes[i].Key == p.Key {
					d.processes[i] = p
				}
			}
		case "supplier":
			if b, ok := r.altered(s, suppliers); ok {
				r.changeSupplier(d, b)
			}
		}
	}
}

// draft is the variant a header belongs to, made when it is the first.
func (r *reader) draft(s *heading) *draft {
	name := s.path[1]
	for _, d := range r.drafts {
		if d.name == name {
			return d
		}
		if fold(d.name) == fold(name) {
			r.fault(s.pos, "the variants %s and %s cannot be told apart in a table; rename one", quote(d.name), quote(name))
		}
	}
	d := &draft{name: name, pos: s.pos, processes: map[int]Process{}, suppliers: map[int]Supplier{}}
	r.drafts = append(r.drafts, d)
	return d
}

// altered is a block of the job with the keys of a variant's header in the
// places of its own.
func (r *reader) altered(s *heading, all []block) (block, bool) {
	kind, name := s.path[2], s.path[3]
	i := slices.IndexFunc(all, func(b block) bool { return b.name == name })
	if i < 0 {
		var names []string
		for _, b := range all {
			names = append(names, b.name)
		}
		advice := "write one of " + list(names)
		if near := nearest(name, names); near != "" {
			advice = "the nearest is " + quote(near)
		}
		if len(names) == 0 && kind == "supplier" {
			advice = "add [supplier." + tomlKey(name) + "]"
		}
		if !r.lostHeader && (len(names) > 0 || kind == "supplier") {
			r.fault(s.pos, "the header [%s] changes a %s that the job has not; %s", strings.Join(s.path, "."), kind, advice)
		}
		return block{}, false
	}
	b := all[i]
	b.pos, b.at, b.unread = s.pos, maps.Clone(b.at), maps.Clone(b.unread)
	for k := range s.unread {
		if b.unread == nil {
			b.unread = map[string]bool{}
		}
		b.unread[k] = true
	}
	met := map[string]bool{}
	for _, e := range s.entries {
		if !met[e.key] {
			b.at[e.key] = e
		}
		met[e.key] = true
	}
	return b, true
}

func (r *reader) changeMaterial(d *draft, s *heading, b block) {
	i := slices.IndexFunc(r.job.Materials, func(m Material) bool { return m.Key == b.name })
	if i < 0 {
		return
	}
	was := r.job.Materials[i].Section
	if is, err := section.Parse(b.text("stock"), r.job.Unit); err == nil && was.Canonical != "" && is.IsSheet() != was.IsSheet() {
		kinds := map[bool]string{true: "a sheet", false: "a bar"}
		r.fault(b.posOf("stock"), "%s is %s and %s is %s; a variant cannot turn one into the other", is, kinds[is.IsSheet()], was, kinds[was.IsSheet()])
		return
	}
	m := r.readMaterial(b)
	if m.Section.Canonical == "" || was.Canonical == "" {
		return
	}
	d.materials = append(d.materials, &changed{key: d.name + "." + b.name, index: i, pos: s.pos, value: m})
}

// changeSupplier takes other terms of a supplier. What decides how its rows are
// read stays.
func (r *reader) changeSupplier(d *draft, b block) {
	i, known := r.suppliers[fold(b.name)]
	if !known {
		return
	}
	s := r.readSupplier(b)
	was := r.job.Suppliers[i]
	switch {
	case s.OnHand != was.OnHand:
		r.fault(b.posOf("on-hand"), "a variant cannot change on-hand, which bears on the offers; take the line out")
	case s.ByMark != was.ByMark:
		r.fault(b.posOf("lays-out"), "a variant cannot change lays-out, which bears on the quotes; take the line out")
	default:
		d.suppliers[i] = s
	}
}

// ofVariant is the variant's material that an offer names, or nil.
func (c record) ofVariant() *changed {
	name := fold(c.cell("material").text)
	if name == "" || slices.ContainsFunc(c.t.r.job.Materials, func(m Material) bool { return fold(m.Key) == name }) {
		return nil
	}
	for _, d := range c.t.r.drafts {
		for _, m := range d.materials {
			if fold(m.key) == name {
				return m
			}
		}
	}
	return nil
}

// sameGood tells whether what is bought for the one does for the other.
func sameGood(a, b Material) bool {
	return a.Section == b.Section && a.Alloy == b.Alloy
}

// finishVariants makes jobs of the drafts, once the tables are read.
func (r *reader) finishVariants() {
	for _, d := range r.drafts {
		j := r.job
		j.Variants = nil
		j.Materials, j.Processes = slices.Clone(j.Materials), slices.Clone(j.Processes)
		for i, p := range d.processes {
			j.Processes[i] = p
		}
		for _, m := range d.materials {
			was := j.Materials[m.index]
			j.Materials[m.index] = m.value
			j.Pieces = withFaces(j.Pieces, m)
			r.shortAfterMitres(m)
			r.changedGrips(&j, m)
			if !sameGood(was, m.value) {
				j.Quotes = j.otherQuotes(m.index)
			}
			switch {
			case len(m.offers) > 0:
				j.Offers = slices.DeleteFunc(slices.Clone(j.Offers), func(o Offer) bool { return o.Material == m.index })
				j.Offers = append(j.Offers, m.offers...)
			case !sameGood(was, m.value):
				r.fault(m.pos, "no supplier offers %s, %s, which the variant %s makes of %s; add a row to offers with the material %s",
					m.value.Section, m.value.Alloy.Name, quote(d.name), quote(m.value.Key), quote(m.key))
			}
		}
		r.job.Variants = append(r.job.Variants, Variant{Name: d.name, Job: &j, Pos: d.pos})
	}
	for i, d := range r.drafts {
		// Suppliers may have been met in another variant's offers.
		all := slices.Clone(r.job.Suppliers)
		for k, s := range d.suppliers {
			all[k] = s
		}
		r.job.Variants[i].Job.Suppliers = all
	}
}

// otherQuotes are the quotes of all marks but those of a material.
func (j *Job) otherQuotes(material int) []Quote {
	of := map[string]bool{}
	for _, p := range j.Pieces {
		of[p.Mark] = of[p.Mark] || p.Material == material
	}
	for _, p := range j.Panels {
		of[p.Mark] = of[p.Mark] || p.Material == material
	}
	return slices.DeleteFunc(slices.Clone(j.Quotes), func(q Quote) bool { return of[q.Mark] })
}

// shortAfterMitres refuses a section across which a piece's mitres meet.
func (r *reader) shortAfterMitres(m *changed) {
	for _, p := range r.job.Pieces {
		if p.Material == m.index && shortSide(p.WithFaces(m.value.Section), m.value.Section) <= 0 {
			r.fault(m.pos, "%s is too short for its mitres when cut from %s; name a smaller section", quote(p.Mark), m.value.Section)
		}
	}
}

// changedGrips refuses a thickness that no rivet on sale takes in a row.
func (r *reader) changedGrips(j *Job, m *changed) {
	if len(j.Rivets) == 0 {
		return
	}
	for _, joint := range j.Riveted()[len(j.Joints):] {
		if joint.Rivets > 0 && len(j.FitRivets(joint)) == 0 {
			r.fault(m.pos, "no rivet of diameter %s takes the grip of %s with %s, %s; add one to rivets", r.print(joint.Diameter), quote(joint.Mark), m.value.Section, r.print(joint.Grip))
			return
		}
	}
}

// withFaces are the pieces of a job, those of a changed material as its section asks.
func withFaces(pieces []Piece, m *changed) []Piece {
	pieces = slices.Clone(pieces)
	for i, p := range pieces {
		if p.Material == m.index {
			pieces[i] = p.WithFaces(m.value.Section)
		}
	}
	return pieces
}

// shortSide is the length that a piece's mitres leave on its shorter side; where they
// are laid on different sides, on the edge that both tips lie away from.
func shortSide(p Piece, s section.Section) float64 {
	slant := func(milli int64, f section.Face) float64 {
		return float64(float64(s.Across(f)) * math.Tan(float64(milli)*(math.Pi/180000)))
	}
	left, right := slant(p.Left, p.LeftFace), slant(p.Right, p.RightFace)
	if p.LeftFace == p.RightFace && left*right < 0 {
		return float64(p.Length) - max(math.Abs(left), math.Abs(right))
	}
	return float64(p.Length) - math.Abs(left) - math.Abs(right)
}
