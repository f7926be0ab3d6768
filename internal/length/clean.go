package length

import (
	"strings"
	"unicode"
)

// vulgar are the single-character fractions of Unicode (Number Forms and
// Latin-1 Supplement).
var vulgar = map[rune]string{
	'½': "1/2", '⅓': "1/3", '⅔': "2/3", '¼': "1/4", '¾': "3/4",
	'⅕': "1/5", '⅖': "2/5", '⅗': "3/5", '⅘': "4/5", '⅙': "1/6", '⅚': "5/6",
	'⅐': "1/7", '⅛': "1/8", '⅜': "3/8", '⅝': "5/8", '⅞': "7/8", '⅑': "1/9", '⅒': "1/10",
}

// marks folds typographic forms of the signs used in lengths into one.
var marks = map[rune]rune{
	'′': '\'', '’': '\'', '‘': '\'', '‛': '\'', '´': '\'', '`': '\'', 'ʹ': '\'', 'ʼ': '\'',
	'″': '"', '”': '"', '“': '"', '‟': '"', '„': '"', 'ʺ': '"', '〃': '"',
	'⁄': '/', '∕': '/', '÷': '/',
	'−': '-', '‐': '-', '‑': '-', '‒': '-', '–': '-', '—': '-',
}

// dropped are characters with no width that tables carry along.
const dropped = "\u200b\u200c\u200d\u2060\ufeff\u00ad"

// Clean rewrites typographic spelling in plain characters: any space becomes one
// blank (none at the ends), primes and quotes become ' and ", two feet marks
// one inch mark, dashes and the minus sign a hyphen, ½ becomes 1/2, 47½ becomes
// 47 1/2, the fraction slash a slash, and superscript over subscript digits
// (¹⁄₂) plain ones. Letters are left alone.
func Clean(text string) string {
	var b strings.Builder
	b.Grow(len(text) + 8)
	var last rune = ' '
	emit := func(r rune) {
		if r == ' ' && last == ' ' {
			return
		}
		b.WriteRune(r)
		last = r
	}
	raised := false // the last character was a superscript digit
	for _, r := range text {
		super, sub := superscript(r), subscript(r)
		if super < 0 {
			raised = false
		}
		switch {
		case strings.ContainsRune(dropped, r):
		case unicode.IsSpace(r):
			emit(' ')
		case vulgar[r] != "":
			if unicode.IsDigit(last) {
				emit(' ')
			}
			for _, c := range vulgar[r] {
				emit(c)
			}
		case super >= 0:
			if !raised && unicode.IsDigit(last) {
				emit(' ')
			}
			raised = true
			emit(rune('0' + super))
		case sub >= 0:
			emit(rune('0' + sub))
		case marks[r] != 0:
			emit(marks[r])
		default:
			emit(r)
		}
	}
	return strings.TrimRight(strings.ReplaceAll(b.String(), "''", `"`), " ")
}

// superscript returns the value of a superscript digit, or -1.
func superscript(r rune) int {
	switch r {
	case '¹':
		return 1
	case '²':
		return 2
	case '³':
		return 3
	}
	if r == '⁰' || (r >= '⁴' && r <= '⁹') {
		return int(r - '⁰')
	}
	return -1
}

// subscript returns the value of a subscript digit, or -1.
func subscript(r rune) int {
	if r >= '₀' && r <= '₉' {
		return int(r - '₀')
	}
	return -1
}

// digits reports whether s is one or more ASCII digits.
func digits(s string) bool {
	if s == "" {
		return false
	}
	for i := 0; i < len(s); i++ {
		if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return true
}

// grouped reports whether s is digits in groups of three under sep, without a
// leading zero: 1,234 or 12,345,678.
func grouped(s, sep string) bool {
	g := strings.Split(s, sep)
	if len(g) < 2 || len(g[0]) > 3 || strings.HasPrefix(g[0], "0") {
		return false
	}
	for i, p := range g {
		if !digits(p) || (i > 0 && len(p) != 3) {
			return false
		}
	}
	return true
}
