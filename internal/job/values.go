package job

import (
	"errors"
	"fmt"
	"math/big"
	"regexp"
	"strings"

	"github.com/pelletier/go-toml/v2/unstable"

	"sawbill/internal/length"
)

// Reading the values of job.toml by what their key expects.

// block is a header of the job with the entries that are known.
type block struct {
	r    *reader
	head header
	name string // the user's name, of a named header
	pos  Pos
	at   map[string]*entry
	// unread are keys whose lines could not be read.
	unread map[string]bool
}

// blocks returns the headers of one kind, in file order. A header that stands
// twice is given once.
func (r *reader) blocks(kind string) []block {
	h, _ := headerNamed(kind)
	var all []block
	met := map[string]bool{}
	for _, s := range r.doc.sections {
		if len(s.path) == 0 || s.path[0] != kind || (len(s.path) == 2) != h.named || len(s.path) > 2 || met[s.path[len(s.path)-1]] {
			continue
		}
		b := block{r: r, head: h, pos: s.pos, at: map[string]*entry{}, unread: s.unread}
		if h.named {
			b.name = s.path[1]
		}
		met[s.path[len(s.path)-1]] = true
		for _, e := range s.entries {
			if _, twice := b.at[e.key]; !twice {
				b.at[e.key] = e
			}
		}
		all = append(all, b)
		for _, k := range h.keys {
			if k.required && b.lacks(k.name) {
				r.fault(s.pos, "[%s] has no %s; add a line such as %s", strings.Join(s.path, "."), k.name, example(h, k))
			}
		}
	}
	return all
}

// example is a line that shows a required key.
func example(h header, k key) string {
	switch h.name + "." + k.name {
	case "job.name":
		return `name = "Reed screen"`
	case "job.unit":
		return `unit = "mm"`
	case "job.currency":
		return `currency = "EUR"`
	case "material.stock":
		return `stock = "SHS 25x25x2"`
	case "material.process":
		return `process = "saw"`
	}
	return k.name + ` = "` + k.name + `.csv"`
}

// has tells whether the key stands there.
func (b block) has(name string) bool { return b.at[name] != nil }

// lacks tells whether the key is missing, and not only unreadable.
func (b block) lacks(name string) bool { return !b.has(name) && !b.unread[name] }

// posOf is the place of a key, or of the header when the key does not stand there.
func (b block) posOf(name string) Pos {
	if e := b.at[name]; e != nil {
		return e.value.pos
	}
	return b.pos
}

// wrong says that a value has not the form its key expects.
func (b block) wrong(e *entry, want string) {
	b.r.fault(e.value.pos, "%s is %s; write %s", e.key, described(e.value), want)
}

func described(v value) string {
	switch v.kind {
	case unstable.String:
		return "the text " + quote(v.text)
	case unstable.Array:
		return "a list in brackets"
	case unstable.InlineTable:
		return "a group in braces"
	}
	return strings.TrimSpace(v.raw)
}

// text reads any text. A number is taken as it is written.
func (b block) text(name string) string {
	e := b.at[name]
	if e == nil {
		return ""
	}
	switch e.value.kind {
	case unstable.String:
		t := strings.TrimSpace(e.value.text)
		if strings.ContainsFunc(t, func(c rune) bool { return c < ' ' && c != '\t' }) && name != "note" {
			b.wrong(e, "one line without control characters")
			return ""
		}
		return t
	case unstable.Integer, unstable.Float:
		return e.value.raw
	}
	b.wrong(e, `text in quotes`)
	return ""
}

// choice reads one of the key's choices, or "".
func (b block) choice(name string) string {
	e := b.at[name]
	if e == nil {
		return ""
	}
	k, _ := b.head.key(name)
	if e.value.kind == unstable.String {
		for _, c := range k.choices {
			if strings.EqualFold(strings.TrimSpace(e.value.text), c) {
				return c
			}
		}
	}
	const few = 6
	choices := k.choices
	if near := nearest(e.value.text, choices); len(choices) > few && near != "" {
		choices = []string{near}
	}
	var all []string
	for _, c := range choices[:min(len(choices), few)] {
		all = append(all, `"`+c+`"`)
	}
	if len(choices) > few {
		all = append(all, "another of the kinds that the schema lists")
	}
	b.wrong(e, list(all))
	return ""
}

var isoDate = regexp.MustCompile(`^\d{4}-(0[1-9]|1[0-2])-(0[1-9]|[12]\d|3[01])$`)

func (b block) date(name string) string {
	e := b.at[name]
	if e == nil {
		return ""
	}
	t := strings.TrimSpace(e.value.text)
	if e.value.kind == unstable.LocalDate {
		t = e.value.raw
	}
	if (e.value.kind != unstable.LocalDate && e.value.kind != unstable.String) || !isoDate.MatchString(t) {
		b.wrong(e, "year, month and day as 2026-11-24")
		return ""
	}
	return t
}

// number reads a TOML number exactly.
func number(v value) (*big.Rat, bool) {
	if v.kind != unstable.Integer && v.kind != unstable.Float || len(v.raw) > 40 || strings.ContainsAny(v.raw, "xobeEin") {
		return nil, false
	}
	return new(big.Rat).SetString(strings.ReplaceAll(v.raw, "_", ""))
}

// extent reads a length that is not negative, or 0.
func (b block) extent(name string) length.Length {
	e := b.at[name]
	if e == nil {
		return 0
	}
	l, _ := b.lengthOf(e, e.value.text, e.value.kind)
	return l
}

func (b block) lengthOf(e *entry, text string, kind unstable.Kind) (length.Length, bool) {
	reading := b.r.reading()
	switch kind {
	case unstable.Integer, unstable.Float:
		if _, ok := number(e.value); !ok {
			b.wrong(e, "a plain number such as 2.5, or text with a unit such as \"2.5 mm\"")
			return 0, false
		}
		text = strings.ReplaceAll(e.value.raw, "_", "")
		reading.DecimalComma = false // TOML's own numbers have a point
	case unstable.String:
	default:
		b.wrong(e, `a number such as 2.5, or text with a unit such as "2.5 mm"`)
		return 0, false
	}
	l, ok := b.r.length(e.value.pos, e.key, text, reading)
	if ok && l < 0 {
		b.r.fault(e.value.pos, "%s is negative: %s; write a length of 0 or more", e.key, quote(strings.TrimSpace(text)))
		return 0, false
	}
	return l, ok
}

// length reads a length and takes one off the grid at its nearest, visibly.
func (r *reader) length(at Pos, what, text string, reading length.Reading) (length.Length, bool) {
	l, err := length.Parse(text, reading)
	var off *length.OffGridError
	switch {
	case errors.As(err, &off):
		r.remark(at, "%s %s is not a whole number of 25 nm steps and was rounded to %s", what, quote(strings.TrimSpace(text)), length.Format{Unit: off.Unit, Decimals: 6}.WithUnit(off.Nearest))
		return off.Nearest, true
	case err != nil:
		r.fault(at, "%s: %v", what, err)
		return 0, false
	}
	return l, true
}

// size reads a length, or two with an x between them; width is 0 for one.
func (b block) size(name string) (long, wide length.Length) {
	e := b.at[name]
	if e == nil {
		return 0, 0
	}
	if e.value.kind != unstable.String {
		return b.extent(name), 0
	}
	sides, ok := b.r.sizes(e.value.pos, e.key, e.value.text, b.r.reading())
	switch {
	case !ok:
		return 0, 0
	case len(sides) == 1:
		return sides[0], 0
	}
	return sides[0], sides[1]
}

// densityUnits convert what may stand behind a density to kg/m³. The pound is 0.45359237 kg
// and the inch 25.4 mm, exactly (international yard and pound agreement, 1959).
var densityUnits = []struct {
	unit   string
	factor *big.Rat
}{
	{"kg/m3", big.NewRat(1, 1)},
	{"g/cm3", big.NewRat(1000, 1)},
	{"kg/dm3", big.NewRat(1000, 1)},
	{"g/cc", big.NewRat(1000, 1)},
	{"t/m3", big.NewRat(1000, 1)},
	{"lb/in3", rat("0.45359237/0.000016387064")},
	{"lb/ft3", rat("0.45359237/0.028316846592")},
}

// rat is the quotient of two decimals written in the source.
func rat(text string) *big.Rat {
	over, under, _ := strings.Cut(text, "/")
	a, ok := new(big.Rat).SetString(over)
	b, fine := new(big.Rat).SetString(under)
	if !ok || !fine {
		panic("job: " + text + " is no quotient of decimals")
	}
	return a.Quo(a, b)
}

// density reads kg/m³, or 0 when the key does not stand there.
func (b block) density(name string) float64 {
	e := b.at[name]
	if e == nil {
		return 0
	}
	d, ok := number(e.value)
	if e.value.kind == unstable.String {
		text := strings.ToLower(strings.NewReplacer("³", "3", "^", "", " per ", "/", "cu ", "", " ", "").Replace(e.value.text))
		factor := big.NewRat(1, 1)
		for _, u := range densityUnits {
			if rest, cut := strings.CutSuffix(text, u.unit); cut {
				text, factor = rest, u.factor
				break
			}
		}
		if d, ok = plainNumber(text, b.r.job.DecimalComma); ok {
			d.Mul(d, factor)
		}
	}
	switch {
	case !ok || d.Sign() <= 0:
		b.wrong(e, `a density in kg/m³ such as 2700, or text such as "2.70 g/cm3"`)
		return 0
	case d.Cmp(big.NewRat(5, 1)) < 0 || d.Cmp(big.NewRat(25000, 1)) > 0:
		f, _ := d.Float64()
		b.r.fault(e.value.pos, "%s of %g kg/m³ is that of no solid; write kg/m³ such as 2700, or text such as \"2.70 g/cm3\"", e.key, f)
		return 0
	}
	f, _ := d.Float64()
	return f
}

// whole reads one of a few whole numbers; without the key it is 0.
func (b block) whole(name string, allowed ...int64) int64 {
	e := b.at[name]
	if e == nil {
		return 0
	}
	n, ok := number(e.value)
	if ok && n.IsInt() && n.Num().IsInt64() {
		for _, a := range allowed {
			if n.Num().Int64() == a {
				return a
			}
		}
	}
	var all []string
	for _, a := range allowed {
		all = append(all, big.NewInt(a).String())
	}
	b.wrong(e, list(all))
	return 0
}

// count reads a whole number of 0 or more.
func (b block) count(name string) int64 {
	e := b.at[name]
	if e == nil {
		return 0
	}
	n, ok := number(e.value)
	if !ok || !n.IsInt() || n.Sign() < 0 || n.Cmp(big.NewRat(mostCopies, 1)) > 0 {
		b.wrong(e, fmt.Sprintf("a whole number from 0 to %d", mostCopies))
		return 0
	}
	return n.Num().Int64()
}

func (b block) yesNo(name string) bool {
	e := b.at[name]
	if e == nil {
		return false
	}
	if e.value.kind != unstable.Bool {
		b.wrong(e, "true or false")
		return false
	}
	return e.value.raw == "true"
}
