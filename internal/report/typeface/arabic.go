package typeface

import (
	"strings"
	"sync"
	"unicode"

	"golang.org/x/text/unicode/bidi"
	"golang.org/x/text/unicode/norm"
)

// A page writer puts one glyph after another from left to right. For scripts
// that run from right to left the runes have to be brought into that order
// (Unicode annex 9), and Arabic letters take the form that joins them to their
// neighbours. Each form has a code point of its own among the Arabic
// Presentation Forms-B, which a reader of the file folds back to the letter.

// The forms of a letter, in the order of the Unicode chart.
const (
	isolated = iota
	final
	initial
	medial
)

// forms maps a letter to its two or four forms. In the chart U+FE80–U+FEF4 the
// forms of a letter stand together, and compatibility normalisation leads back
// to the letter.
var forms = sync.OnceValue(func() map[rune][]rune {
	m := map[rune][]rune{}
	for r := rune(0xFE80); r <= 0xFEF4; r++ {
		letter := []rune(norm.NFKC.String(string(r)))
		if len(letter) == 1 && letter[0] != r {
			m[letter[0]] = append(m[letter[0]], r)
		}
	}
	return m
})

// Arrange returns the text in the order and the forms in which its glyphs are
// set from left to right. Text of other scripts comes back as it is. Marks and
// numbers within a run from right to left keep their own order.
func Arrange(text string) string {
	if !strings.ContainsFunc(text, rightToLeft) {
		return text
	}
	var p bidi.Paragraph
	if _, err := p.SetString(text, bidi.DefaultDirection(bidi.LeftToRight)); err != nil {
		return text
	}
	order, err := p.Order()
	if err != nil {
		return text
	}
	var b strings.Builder
	for i := range order.NumRuns() {
		run := order.Run(i)
		if run.Direction() == bidi.RightToLeft {
			b.WriteString(bidi.ReverseString(join(run.String())))
		} else {
			b.WriteString(run.String())
		}
	}
	return b.String()
}

func rightToLeft(r rune) bool {
	p, _ := bidi.LookupRune(r)
	return p.Class() == bidi.R || p.Class() == bidi.AL
}

// join gives each Arabic letter its form.
func join(text string) string {
	letters := []rune(text)
	out := make([]rune, len(letters))
	for i, r := range letters {
		f := forms()[r]
		if len(f) == 0 {
			out[i] = r
			continue
		}
		before, after := joins(letters, i, -1), joins(letters, i, 1)
		switch {
		case before && after && len(f) == 4:
			out[i] = f[medial]
		case after && len(f) == 4:
			out[i] = f[initial]
		case before && len(f) >= 2:
			out[i] = f[final]
		default:
			out[i] = f[isolated]
		}
	}
	return string(out)
}

// joins reports whether the letter at i meets its neighbour on one side: a letter
// with four forms joins what follows it, any letter with two what goes before.
func joins(letters []rune, i, side int) bool {
	k := i + side
	for k >= 0 && k < len(letters) && unicode.Is(unicode.Mn, letters[k]) {
		k += side
	}
	if k < 0 || k >= len(letters) {
		return false
	}
	first, second := letters[min(i, k)], letters[max(i, k)]
	const tatweel = 'ـ'
	return (len(forms()[first]) == 4 || first == tatweel) && (len(forms()[second]) >= 2 || second == tatweel)
}
