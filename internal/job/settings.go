package job

import (
	"regexp"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/section"
)

// What stands under [job], [process.NAME], [material.NAME], [supplier.NAME].

var currencyCode = regexp.MustCompile(`^[A-Z]{3}$`)

func (r *reader) readJob() {
	all := r.blocks("job")
	if len(all) == 0 {
		r.fault(Pos{File: r.doc.text.file}, "the job has no [job]; begin the file with [job] and its name, unit and currency")
		return
	}
	b, j := all[0], &r.job
	if u, err := length.ParseUnit(b.choice("unit")); err == nil {
		j.Unit = u
	}
	r.decimal = b.choice("decimal")
	j.DecimalComma = r.decimal == ","
	before := len(r.faults)
	j.Name = b.text("name")
	nameless := b.has("name") && j.Name == "" && len(r.faults) == before
	j.Revision = b.text("revision")
	j.Date = b.date("date")
	j.Author = b.text("author")
	j.Note = b.text("note")
	if b.has("currency") {
		j.Currency = strings.ToUpper(b.text("currency"))
		if !currencyCode.MatchString(j.Currency) {
			b.wrong(b.at["currency"], `the three letters of a currency such as "EUR", "USD" or "GBP"`)
		}
	}
	if nameless {
		r.fault(b.posOf("name"), `name is empty; write what is built, as in name = "Reed screen"`)
	}
	before = len(r.faults)
	long, wide := b.size("longest-load")
	j.LongestLoad, j.WidestLoad = max(long, wide), min(long, wide)
	if b.has("longest-load") && long == 0 && len(r.faults) == before {
		r.fault(b.posOf("longest-load"), "longest-load is 0; write the longest thing you can carry, or take the line out")
	}
	r.loadAt = b.posOf("longest-load")
	before = len(r.faults)
	j.Budget = b.money("budget")
	if b.has("budget") && j.Budget == 0 && len(r.faults) == before {
		r.fault(b.posOf("budget"), "budget is 0; write what may be spent, tax included, or take the line out")
	}
	j.Goals = r.readGoals(b)
	r.readCarrying(b)
	j.Paper = b.choice("paper")
	if j.Paper == "" {
		j.Paper = "A4"
		if j.Unit.Imperial() {
			j.Paper = "Letter"
		}
	}
	j.Fraction = b.whole("fraction", 0, 2, 4, 8, 16, 32, 64)
	if j.Fraction != 0 && !j.Unit.Imperial() {
		r.fault(b.posOf("fraction"), "fraction rounds inches and the job's unit is %s; take the line out", j.Unit)
	}
	if j.Unit.Imperial() && !b.has("fraction") {
		j.Fraction = 16
	}
}

// processWords are names that say what kind of process it is.
var processWords = []struct {
	name string
	kind ProcessKind
}{
	{"saw", Saw}, {"panel saw", PanelSaw}, {"shear", Shear}, {"laser", Beam}, {"waterjet", Beam}, {"router", Beam},
	{"plasma", Beam}, {"beam", Beam}, {"guillotine", Shear}, {"table saw", PanelSaw},
	{"hand saw", Saw}, {"band saw", Saw}, {"cold saw", Saw}, {"chop saw", Saw}, {"mitre saw", Saw}, {"miter saw", Saw},
	{"circular saw", Saw}, {"hacksaw", Saw}, {"jigsaw", Saw},
}

func processNames() []string {
	var all []string
	for _, w := range processWords {
		all = append(all, w.name)
	}
	return all
}

// processKind is the kind a name stands for, with or without its blank or
// hyphen, or "".
func processKind(name string) ProcessKind {
	joined := strings.ReplaceAll(fold(name), " ", "")
	for _, w := range processWords {
		if strings.ReplaceAll(w.name, " ", "") == joined {
			return w.kind
		}
	}
	return ""
}

func (r *reader) readProcesses() {
	for _, b := range r.blocks("process") {
		r.job.Processes = append(r.job.Processes, r.readProcess(b))
	}
}

func (r *reader) readProcess(b block) Process {
	p := Process{Key: b.name, Pos: b.pos, Kind: processKind(b.choice("kind"))}
	if b.lacks("kind") {
		if p.Kind = processKind(b.name); p.Kind == "" {
			r.fault(b.pos, `[process.%s] does not say how it cuts; add kind = "saw", "panel saw", "shear" or "laser"`, b.name)
		}
	}
	b.refuse(p.Kind)
	need := "kerf"
	switch p.Kind {
	case Saw, PanelSaw:
		p.Kerf = b.extent("kerf")
	case Beam:
		need = "spacing"
		p.Kerf = b.extent("spacing")
	default:
		need = ""
	}
	if need != "" && b.lacks(need) {
		r.fault(b.pos, "[process.%s] has no %s; add what lies between two parts, as in %[2]s = 2.5, or 0 for none", b.name, need)
	}
	end, edge, margin := b.extent("trim-each-end"), b.extent("trim-each-edge"), b.extent("margin")
	if b.has("trim-each-end") && b.has("trim-each-edge") {
		r.fault(b.posOf("trim-each-edge"), "[process.%s] has trim-each-end for bars and trim-each-edge for sheets; make two processes of it", b.name)
	}
	p.TrimLeft = max(end, edge, margin)
	p.TrimRight, p.TrimBottom, p.TrimTop = p.TrimLeft, max(edge, margin), max(edge, margin)
	for _, t := range []struct {
		name string
		side *length.Length
	}{{"trim-left", &p.TrimLeft}, {"trim-right", &p.TrimRight}, {"trim-bottom", &p.TrimBottom}, {"trim-top", &p.TrimTop}} {
		if b.has(t.name) {
			*t.side = b.extent(t.name)
		}
	}
	p.Tail = b.extent("tail")
	p.CutError = b.extent("cut-error")
	p.CapacityWidth, p.CapacityHeight = b.twoSizes("capacity", `width x height of what the saw holds and cuts at once, as in capacity = "160 x 100"`)
	p.Stages = int(b.whole("stages", 0, 1, 2, 3, 4, 5))
	p.Exact = b.yesNo("exact")
	if p.Exact && p.Stages == 0 {
		r.fault(b.posOf("exact"), "exact has no meaning without stages; add stages = 2 or 3, or take the line out")
	}
	p.MinStrip = b.extent("min-strip")
	if first := CutDirection(b.choice("first-cut")); first != "any" {
		p.FirstCut = first
	}
	p.Blade = b.extent("blade")
	p.BySupplier = b.choice("done-by") == "supplier" || p.Kind == Beam && !b.has("done-by")
	p.SharedMitres, p.OneWay = b.yesNo("shared-mitres"), b.choice("swings") == "one way"
	if b.lacks("shared-mitres") {
		p.SharedMitres = p.Kind == Saw && !p.BySupplier
	}
	return p
}

// refuse finds keys that have no meaning for the kind of process.
func (b block) refuse(kind ProcessKind) {
	var not []string
	switch kind {
	case Saw, PanelSaw:
		not = []string{"spacing", "margin", "blade"}
		if kind == PanelSaw {
			not = append(not, "capacity", "shared-mitres", "swings")
		}
	case Shear:
		not = []string{"kerf", "spacing", "margin", "tail", "trim-each-end", "capacity", "shared-mitres", "swings"}
	case Beam:
		not = []string{"kerf", "stages", "exact", "min-strip", "first-cut", "blade", "tail", "trim-each-end", "trim-each-edge", "capacity", "shared-mitres", "swings"}
	}
	advice := map[string]string{
		"spacing": "write kerf, what the blade takes away", "margin": "write trim-each-edge",
		"trim-each-end": "write trim-each-edge", "trim-each-edge": "write margin",
	}
	if kind == Beam {
		advice["kerf"] = "write spacing, the distance between two parts"
		advice["trim-each-end"] = "write margin"
	}
	for _, name := range not {
		if b.has(name) {
			todo := advice[name]
			if todo == "" {
				todo = "take the line out"
			}
			b.r.fault(b.at[name].pos, "%s has no meaning for a %s; %s", name, kind, todo)
		}
	}
}

func (r *reader) readMaterials() {
	met, spares := map[string]string{}, int64(0)
	for _, b := range r.blocks("material") {
		if first, twice := met[fold(b.name)]; twice {
			r.fault(b.pos, "the materials %s and %s cannot be told apart in a table; rename one", quote(first), quote(b.name))
			r.lostHeader = true
		}
		met[fold(b.name)] = b.name
		m := r.readMaterial(b)
		r.job.Materials = append(r.job.Materials, m)
		if spares += m.Spare; spares > mostCopies {
			r.fault(b.posOf("spare"), "the spares add up to more than %d; check them", mostCopies)
			spares = 0
		}
	}
	if len(r.job.Materials) == 0 {
		r.fault(Pos{File: r.doc.text.file}, `the job has no material; add one such as [material.tube] with stock = "SHS 25x25x2", alloy = "6063-T6" and process = "saw"`)
	}
}

func (r *reader) readMaterial(b block) Material {
	m := Material{Key: b.name, Pos: b.pos, Process: -1}
	var processes []string
	for _, p := range r.job.Processes {
		processes = append(processes, p.Key)
	}
	var err error
	if b.has("stock") {
		if b.text("stock") == "?" {
			r.fault(b.posOf("stock"), `stock is not filled in; write what it is, such as "SHS 25x25x2" or "sheet 1.5"`)
		} else if m.Section, err = section.Parse(b.text("stock"), r.job.Unit); err != nil {
			r.fault(b.posOf("stock"), "stock: %v", err)
		}
	}
	known := m.Section.Canonical != ""
	r.readAlloy(b, &m)
	if b.has("process") {
		name := b.text("process")
		for i, p := range r.job.Processes {
			if fold(p.Key) == fold(name) {
				m.Process = i
			}
		}
		switch near := nearest(name, processes); {
		case m.Process >= 0 || r.lostHeader:
		case near != "":
			r.fault(b.posOf("process"), "there is no [process.%s]; the nearest is %s", name, quote(near))
		default:
			r.fault(b.posOf("process"), "there is no [process.%s]; add it with its kerf, or its spacing and margin", name)
		}
	}
	if m.Process >= 0 && known && !m.Sheet() && r.job.Processes[m.Process].Kind != Saw && r.job.Processes[m.Process].Kind != "" {
		r.fault(b.posOf("process"), "%s is a bar, and a %s cuts sheets; name a process of kind \"saw\"", m.Section, r.job.Processes[m.Process].Kind)
	}
	m.Grain = b.choice("grain") == "along length"
	m.GoodSide = b.choice("good-side") == "one"
	long, wide := b.size("keep-over")
	switch {
	case !known || !b.has("keep-over"):
	case m.Sheet() && wide == 0 && long > 0:
		r.fault(b.posOf("keep-over"), `keep-over of a sheet is the smallest size worth keeping; write two lengths, as in keep-over = "600 x 400"`)
	case !m.Sheet() && wide > 0:
		r.fault(b.posOf("keep-over"), "keep-over of a bar is one length; write a number, as in keep-over = 400")
	case m.Sheet():
		m.KeepLength, m.KeepWidth = long, wide
	default:
		m.KeepOver = long
	}
	if known && !m.Sheet() && b.has("grain") {
		r.fault(b.at["grain"].pos, "grain has a meaning for sheets only and %s is a bar; take the line out", m.Section)
	}
	m.Growth = b.percent("growth")
	m.Spare, m.SparePercent = b.count("spare"), b.percent("spare-percent")
	m.RackValue = b.rackValue(known && m.Sheet())
	return m
}

// readAlloy takes the density from the alloy, or from the job, which wins.
func (r *reader) readAlloy(b block, m *Material) {
	stated := b.density("density")
	if b.has("alloy") {
		alloy, err := section.LookupMaterial(b.text("alloy"))
		switch {
		case b.text("alloy") == "?":
			r.fault(b.posOf("alloy"), `alloy is not filled in; write what it is made of, such as "6063-T6" or "S235"`)
		case err == nil:
			m.Alloy = alloy
			if m.Section.Canonical == "" {
				break
			}
			if err := m.Section.Suits(alloy); err != nil {
				r.fault(b.posOf("alloy"), "alloy: %v", err)
			}
		case b.has("density"):
			m.Alloy = section.Material{Name: b.text("alloy"), Family: section.Other}
		default:
			r.fault(b.posOf("alloy"), "alloy: %v", err)
		}
	} else if b.lacks("density") && b.lacks("alloy") {
		r.fault(b.pos, `[material.%s] has no alloy, so it cannot be weighed; add a line such as alloy = "6063-T6", or density = 2700 in kg/m³`, b.name)
	} else {
		m.Alloy = section.Material{Name: b.name, Family: section.Other}
	}
	if stated > 0 {
		m.Alloy = m.Alloy.WithDensity(stated)
	}
	m.Density = m.Alloy.Density
}
