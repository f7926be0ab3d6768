package job

// Every key of job.toml, by header. The reader, its advice and the published
// schema all follow this list.

// form is what a value must look like.
type form int

const (
	words   form = iota // any text
	choice              // one of key.choices
	date                // 2026-11-24, quoted or not
	extent              // a length: number in the job's unit, or text with a unit
	size                // a length, or length x width
	money               // an amount in the job's currency
	percent             // a share in percent
	density             // kg/m³, or text with a unit
	whole               // a whole number
	yesNo               // true or false
	rows                // a path, or the rows themselves
)

// key is one key under one header.
type key struct {
	name     string
	form     form
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
		{name: "name", form: words, required: true},
		{name: "revision", form: words},
		{name: "date", form: date},
		{name: "unit", form: choice, required: true, choices: []string{"mm", "cm", "m", "in", "ft"}},
		{name: "currency", form: words, required: true},
		{name: "longest-load", form: extent},
		{name: "paper", form: choice, choices: []string{"A4", "Letter"}},
		{name: "author", form: words},
		{name: "note", form: words},
		{name: "decimal", form: choice, choices: []string{".", ","}},
		{name: "fraction", form: whole},
	}},
	{name: "material", named: true, keys: []key{
		{name: "stock", form: words, required: true},
		{name: "alloy", form: words},
		{name: "process", form: words, required: true},
		{name: "good-side", form: choice, choices: []string{"none", "one"}},
		{name: "grain", form: choice, choices: []string{"none", "along length"}},
		{name: "keep-over", form: size},
		{name: "density", form: density},
		{name: "growth", form: percent},
	}},
	{name: "process", named: true, keys: []key{
		{name: "kind", form: choice, choices: processNames()},
		{name: "kerf", form: extent},
		{name: "trim-each-end", form: extent},
		{name: "trim-each-edge", form: extent},
		{name: "trim-left", form: extent},
		{name: "trim-right", form: extent},
		{name: "trim-bottom", form: extent},
		{name: "trim-top", form: extent},
		{name: "tail", form: extent},
		{name: "cut-error", form: extent},
		{name: "stages", form: whole},
		{name: "exact", form: yesNo},
		{name: "min-strip", form: extent},
		{name: "spacing", form: extent},
		{name: "margin", form: extent},
	}},
	{name: "supplier", named: true, keys: []key{
		{name: "delivery", form: money},
		{name: "cut", form: money},
		{name: "minimum", form: money},
	}},
	{name: "tables", keys: []key{
		{name: "offers", form: rows, required: true},
		{name: "pieces", form: rows},
		{name: "panels", form: rows},
	}},
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
	case h.name == "columns":
		return "[columns.TABLE]"
	case h.named:
		return "[" + h.name + ".NAME]"
	}
	return "[" + h.name + "]"
}
