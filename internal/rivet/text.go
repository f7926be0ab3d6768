package rivet

import (
	"fmt"
	"strconv"
	"strings"

	"sawbill/nest2d/geom"
)

// What a finding's text is made of, to be written as its reader wants it.
type (
	length int64 // in units
	rowRef int   // the index of a row
	list   []any // joined by commas
)

// Names are how a finding writes lengths and calls rows. A nil function is the
// usual: millimetres, and "row 1" for index 0.
type Names struct {
	Length func(units int64) string
	Row    func(index int) string
}

// In is the finding's text with the names given.
func (f Finding) In(n Names) string {
	if f.format == "" {
		return f.Text
	}
	if n.Length == nil {
		n.Length = millimetres
	}
	if n.Row == nil {
		n.Row = func(i int) string { return fmt.Sprintf("row %d", i+1) }
	}
	words := make([]any, len(f.args))
	for i, a := range f.args {
		words[i] = n.write(a)
	}
	return fmt.Sprintf(f.format, words...)
}

func (n Names) write(a any) any {
	switch a := a.(type) {
	case length:
		return n.Length(int64(a))
	case rowRef:
		return n.Row(int(a))
	case geom.Point:
		return fmt.Sprintf("(%s, %s)", n.Length(a.X), n.Length(a.Y))
	case list:
		words := make([]string, len(a))
		for i, w := range a {
			words[i] = fmt.Sprint(n.write(w))
		}
		return strings.Join(words, ", ")
	case error:
		return geom.Told(a, n.Length)
	case named:
		return a.before + fmt.Sprint(n.write(a.what))
	}
	return a
}

// named is a word before something to be written.
type named struct {
	before string
	what   any
}

// finding of a row, its text with verbs %s for args.
func finding(s Severity, row int, format string, args ...any) Finding {
	f := Finding{Severity: s, Row: row, format: format, args: args}
	f.Text = f.In(Names{})
	return f
}

// millimetres writes a length to the micrometre.
func millimetres(units int64) string {
	um := (max(units, -units) + 20) / 40
	s := strconv.FormatInt(um/1000, 10)
	if rest := um % 1000; rest != 0 {
		s += "." + strings.TrimRight(fmt.Sprintf("%03d", rest), "0")
	}
	if units < 0 && um > 0 {
		s = "-" + s
	}
	return s + " mm"
}
