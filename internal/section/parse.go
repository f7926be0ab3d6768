package section

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"sawbill/internal/length"
)

// longestText bounds a designation, in runes.
const longestText = 100

// Largest is the largest outside size or thickness accepted.
const Largest = length.Metre

const number = `(?:\d+[ -]\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+)`

var (
	times    = strings.NewReplacer("×", "x", "✕", "x", "✖", "x", "*", "x", "ø", " ", "⌀", " ")
	one      = number + `(?: ?(?:mm|cm|in|inch|inches|m|ft)\b\.?| ?["'])?`
	sizes    = regexp.MustCompile(one + `(?: ?x ?` + one + `)*`)
	oneSize  = regexp.MustCompile(`^(` + number + `) ?(.*)$`)
	wallIs   = regexp.MustCompile(`,? ?\bwall ?[:=]? ?([\d.])`)
	isWall   = regexp.MustCompile(`([\d"']) ?, ?(` + number + ` ?["']?) ?wall\b`)
	gauge    = regexp.MustCompile(`(\d+) ?(?:ga|gauge|gage)\b\.?`)
	radius   = regexp.MustCompile(`\br ?(` + number + `)(?: toe (` + number + `))?(?: |$)`)
	en10219  = regexp.MustCompile(`\ben ?10219(?:-\d)?\b`)
	en10210  = regexp.MustCompile(`\ben ?10210(?:-\d)?\b`)
	hss      = regexp.MustCompile(`\b(?:us )?hss\b`)
	sharp    = regexp.MustCompile(`\bsharp(?: corners?)?\b`)
	nominal  = regexp.MustCompile(`\bnominal\b|\bnom\b\.?`)
	noise    = regexp.MustCompile(`\b(?:(?:wall|thick|od|dia|diameter|equal|unequal)\b|o\.d\b)\.?`)
	metalled = regexp.MustCompile(`\b(?:alu|aluminium|aluminum|60\d\d|50\d\d|30\d\d)\b`)
)

// kind is what the words of a designation ask for.
type kind struct {
	shape Shape
	// any marks a word for tube in general (tube, box, HSS): the sizes choose.
	any   bool
	grade string
}

// size is one number of a designation as written.
type size struct {
	text     string
	unit     string
	fraction bool
	leading  bool // starts with the decimal sign
}

// designation is a text taken apart.
type designation struct {
	text    string
	kind    kind
	sizes   []size
	corner  Corner
	root    string
	toe     string
	gauge   int
	nominal bool
}

// Parse reads a designation. Words and sizes may come in either order, sizes
// with x, × or *; the words are those listed at the package comment and their
// common relatives (square tubing, box section, plate, plywood).
//
// A unit in the designation wins; otherwise numbers are in unit (any metric unit
// means millimetres, inch and foot mean inches). A fraction or a leading point
// is an inch way of writing, so in a metric job it needs in or an inch mark,
// and a bare size no stock has in the default unit (a tube 1 mm wide, a sheet
// 1.5 in thick) is refused with advice rather than guessed.
//
// Timber in whole inches is nominal where the default unit is the inch or the
// word nominal stands there, and gets its dressed size; with a unit written out
// it is the real size. Gauge numbers are the US steel sheet gauge and accepted
// for sheet only.
func Parse(text string, unit length.Unit) (Section, error) {
	d, err := split(text)
	if err != nil {
		return Section{}, err
	}
	s, err := d.build(unit)
	if err != nil {
		return Section{}, err
	}
	if err := s.check(text); err != nil {
		return Section{}, err
	}
	s.Canonical = s.spell(true)
	return s, nil
}

// split takes a text apart without judging the sizes.
func split(text string) (designation, error) {
	d := designation{text: text}
	s := times.Replace(strings.ToLower(length.Clean(text)))
	if s == "" {
		return d, fmt.Errorf("a section is missing; write one such as SHS 25x25x2 or sheet 1.5")
	}
	if utf8.RuneCountInString(s) > longestText {
		return d, fmt.Errorf("%s is too long for a section; write one such as SHS 25x25x2 or sheet 1.5", length.Quote(text))
	}
	var err error
	if s, err = d.rules(s); err != nil {
		return d, err
	}
	s = isWall.ReplaceAllString(s, "$1 x $2")
	s = wallIs.ReplaceAllString(s, " x $1")
	s = length.Clean(noise.ReplaceAllString(s, " "))
	found := sizes.FindAllStringIndex(s, -1)
	if d.gauge != 0 && len(found) > 0 {
		return d, fmt.Errorf("%s uses a gauge beside sizes, and every trade has its own gauge; write the thickness, such as .065 in", length.Quote(text))
	}
	if len(found) > 1 {
		return d, fmt.Errorf("%s has sizes in two places; join them with x, such as sq tube 1x1x.125", length.Quote(text))
	}
	words := s
	if len(found) == 1 {
		at := found[0]
		for _, part := range strings.Split(s[at[0]:at[1]], "x") {
			m := oneSize.FindStringSubmatch(strings.TrimSpace(part))
			if m == nil {
				return d, fmt.Errorf("%s has a broken size %s; write one such as SHS 25x25x2", length.Quote(text), length.Quote(part))
			}
			d.sizes = append(d.sizes, size{
				text: m[1], unit: m[2],
				fraction: strings.Contains(m[1], "/"),
				leading:  strings.HasPrefix(m[1], ".") || strings.HasPrefix(m[1], ","),
			})
		}
		words = s[:at[0]] + " " + s[at[1]:]
	}
	return d, d.words(words)
}

// rules takes corner rule, radii, gauge and the word nominal out of s.
func (d *designation) rules(s string) (string, error) {
	stated := 0
	for _, r := range []struct {
		re     *regexp.Regexp
		corner Corner
	}{{en10219, EN10219}, {en10210, EN10210}, {hss, USHSS}, {sharp, Sharp}} {
		if r.re.MatchString(s) {
			s = r.re.ReplaceAllString(s, " ")
			d.corner = r.corner
			stated++
		}
	}
	if m := radius.FindStringSubmatch(s); m != nil {
		s = radius.ReplaceAllString(s, " ")
		d.corner, d.root, d.toe = Stated, m[1], m[2]
		stated++
	}
	if stated > 1 {
		return s, fmt.Errorf("%s names two corner rules; keep one", length.Quote(d.text))
	}
	if m := gauge.FindStringSubmatch(s); m != nil {
		if metalled.MatchString(s) {
			return s, fmt.Errorf("%s gives aluminium by gauge, and its gauge series is not that of steel; write the thickness, such as sheet .063 in", length.Quote(d.text))
		}
		d.gauge, _ = strconv.Atoi(m[1])
		s = gauge.ReplaceAllString(s, " ")
	}
	if nominal.MatchString(s) {
		d.nominal = true
		s = nominal.ReplaceAllString(s, " ")
	}
	return s, nil
}

// words finds the shape.
func (d *designation) words(s string) error {
	var keep []string
	for _, w := range strings.FieldsFunc(s, func(r rune) bool { return r == ' ' || r == ',' || r == ';' }) {
		w = strings.Trim(w, ".-:")
		if w != "" {
			keep = append(keep, w)
		}
	}
	phrase := strings.Join(keep, " ")
	if phrase == "" && d.corner == USHSS {
		phrase = "tube"
	}
	k, ok := kinds[withoutAccents(phrase)]
	switch {
	case ok:
		d.kind = k
		return nil
	case phrase == "pipe":
		return fmt.Errorf("%s is a pipe, named by its bore; write round tube with outside diameter and wall, such as round tube 1.9x.145 in", length.Quote(d.text))
	case phrase == "":
		return fmt.Errorf("%s has no word for its shape; write one such as SHS, RHS, CHS, angle, channel, flat, sq bar, round bar, sheet, ply or timber", length.Quote(d.text))
	}
	return fmt.Errorf("%s in %s is not a known section; write SHS, RHS, CHS, angle, channel, flat, sq bar, round bar, sheet, ply, foam, board or timber, and the alloy in its own place", length.Quote(phrase), length.Quote(d.text))
}
