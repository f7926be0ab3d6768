package job

// Every key of job.toml, by header. The reader, its advice and the published
// schema all follow this list.

// key is one key under one header.
type key struct {
	name     string
	required bool
	choices  []string
}

// header is one kind of header. A named header has a name of the user's after
// a point, as [material.tube] has.
type header struct {
	name  string
	named bool
	keys  []key
}

// headers are all headers in the order they are best written.
var headers = []header{
	{name: "job", keys: []key{
		{name: "name", required: true},
		{name: "revision"},
		{name: "date"},
		{name: "unit", required: true, choices: []string{"mm", "cm", "m", "in", "ft"}},
		{name: "currency", required: true},
		{name: "longest-load"},
		{name: "goals"},
		{name: "budget"},
		{name: "people"},
		{name: "allowed-load"},
		{name: "paper", choices: []string{"A4", "Letter"}},
		{name: "author"},
		{name: "note"},
		{name: "decimal", choices: []string{".", ","}},
		{name: "fraction"},
	}},
	{name: "material", named: true, keys: []key{
		{name: "stock", required: true},
		{name: "alloy"},
		{name: "process", required: true},
		{name: "good-side", choices: []string{"none", "one"}},
		{name: "grain", choices: []string{"none", "along length"}},
		{name: "keep-over"},
		{name: "density"},
		{name: "growth"},
		{name: "spare"},
		{name: "spare-percent"},
		{name: "rack-value"},
	}},
	{name: "process", named: true, keys: []key{
		{name: "kind", choices: processNames()},
		{name: "kerf"},
		{name: "trim-each-end"},
		{name: "trim-each-edge"},
		{name: "trim-left"},
		{name: "trim-right"},
		{name: "trim-bottom"},
		{name: "trim-top"},
		{name: "tail"},
		{name: "cut-error"},
		{name: "stages"},
		{name: "exact"},
		{name: "min-strip"},
		{name: "first-cut", choices: []string{"any", string(CutsAlongLength), string(CutsAlongWidth)}},
		{name: "blade"},
		{name: "spacing"},
		{name: "margin"},
		{name: "done-by", choices: []string{"us", "supplier"}},
		{name: "capacity"},
		{name: "shared-mitres"},
		{name: "swings", choices: []string{"both ways", "one way"}},
	}},
	{name: "supplier", named: true, keys: []key{
		{name: "delivery"},
		{name: "fetch"},
		{name: "minimum"},
		{name: "cut"},
		{name: "mitre"},
		{name: "free-cuts"},
		{name: "cut-kerf"},
		{name: "metre-cut"},
		{name: "pierce"},
		{name: "per-sheet"},
		{name: "set-up"},
		{name: "tax"},
		{name: "on-hand"},
		{name: "lays-out", choices: []string{"us", "supplier"}},
		{name: "dxf-version", choices: []string{"2000", "R12"}},
		{name: "dxf-layers", choices: []string{"one", "inside and outside"}},
		{name: "dxf-mark", choices: []string{"none", "engraved"}},
		{name: "dxf-files", choices: []string{"panels", "sheets"}},
	}},
	{name: "tables", keys: []key{
		{name: "offers", required: true},
		{name: "pieces"},
		{name: "panels"},
		{name: "outlines"},
		{name: "openings"},
		{name: "rows"},
		{name: "seams"},
		{name: "zones"},
		{name: "quotes"},
		{name: "brackets"},
		{name: "rivets"},
		{name: "joints"},
		{name: "items"},
		{name: "consumables"},
		{name: "adjust"},
	}},
	{name: "labels", keys: []key{
		{name: "rows"},
		{name: "columns"},
		{name: "margin-top"},
		{name: "margin-side"},
		{name: "gap-down"},
		{name: "gap-across"},
		{name: "roll"},
	}},
	{name: "assembly", keys: []key{
		{name: "rivets-per-minute"},
		{name: "bead-per-minute"},
		{name: "open-time"},
	}},
	{name: "rack", keys: []key{
		{name: "file"},
		{name: "value"},
	}},
	// The keys under a variant's headers are those of what it changes.
	{name: "variant", named: true},
	// The keys under [columns.TABLE] are the fields of that table.
	{name: "columns", named: true},
}

// headerNamed finds a header by its first word.
func headerNamed(name string) (header, bool) {
	for _, h := range headers {
		if h.name == name {
			return h, true
		}
	}
	return header{}, false
}

// key finds a key of the header.
func (h header) key(name string) (key, bool) {
	for _, k := range h.keys {
		if k.name == name {
			return k, true
		}
	}
	return key{}, false
}

// names are the names of the header's keys.
func (h header) names() []string {
	var all []string
	for _, k := range h.keys {
		all = append(all, k.name)
	}
	return all
}

// spelling is how the header is written in a file.
func (h header) spelling() string {
	switch {
	case h.name == "variant":
		return "[variant.NAME.material.KEY]"
	case h.name == "columns":
		return "[columns.TABLE]"
	case h.named:
		return "[" + h.name + ".NAME]"
	}
	return "[" + h.name + "]"
}
