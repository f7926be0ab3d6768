package job

import (
	"fmt"
	"strings"
	"unicode"

	"golang.org/x/text/unicode/norm"
)

// quote puts a user's text in quotation marks, shortened where it would drown
// the sentence and with anything a terminal might act on replaced.
func quote(text string) string {
	const longest = 60
	r := []rune(text)
	end := ""
	if len(r) > longest {
		r, end = r[:longest], "…"
	}
	for i, c := range r {
		if c == unicode.ReplacementChar || (!unicode.IsPrint(c) && c != ' ') {
			r[i] = '?'
		}
	}
	return `"` + string(r) + end + `"`
}

// fold makes texts that people take for the same equal: lower case, accents
// taken off, anything but letters and digits one blank.
func fold(text string) string {
	var b strings.Builder
	gap := false
	for _, c := range norm.NFKD.String(text) {
		switch {
		case unicode.Is(unicode.Mn, c):
		case unicode.IsLetter(c) || unicode.IsDigit(c):
			if gap && b.Len() > 0 {
				b.WriteByte(' ')
			}
			gap = false
			if c == 'ß' {
				b.WriteString("ss")
			} else {
				b.WriteRune(unicode.ToLower(c))
			}
		default:
			gap = true
		}
	}
	return b.String()
}

// nearest returns the candidate closest to the word, or "" when none is close
// enough to be what was meant: at most a third of its letters differ.
func nearest(word string, candidates []string) string {
	best, least := "", 0
	w := fold(word)
	for _, c := range candidates {
		f := fold(c)
		d := distance(w, f)
		if d <= max(1, min(len(w), len(f))/3) && (best == "" || d < least) {
			best, least = c, d
		}
	}
	return best
}

// distance counts the letters to insert, delete, replace or swap with a
// neighbour to turn a into b: the optimal string alignment form of the
// Damerau–Levenshtein distance (F. Damerau 1964, V. Levenshtein 1966).
// O(len(a)·len(b)); long texts are cut, they are no misspelt key.
func distance(a, b string) int {
	const longest = 64
	x, y := []rune(a), []rune(b)
	x, y = x[:min(len(x), longest)], y[:min(len(y), longest)]
	before, last := make([]int, len(y)+1), make([]int, len(y)+1)
	row := make([]int, len(y)+1)
	for j := range last {
		last[j] = j
	}
	for i := range x {
		row[0] = i + 1
		for j := range y {
			cost := 1
			if x[i] == y[j] {
				cost = 0
			}
			row[j+1] = min(last[j]+cost, last[j+1]+1, row[j]+1)
			if i > 0 && j > 0 && x[i] == y[j-1] && x[i-1] == y[j] {
				row[j+1] = min(row[j+1], before[j-1]+1)
			}
		}
		before, last, row = last, row, before
	}
	return last[len(y)]
}

// list joins words for a sentence: a, b or c.
func list(all []string) string {
	switch len(all) {
	case 0:
		return ""
	case 1:
		return all[0]
	}
	return strings.Join(all[:len(all)-1], ", ") + " or " + all[len(all)-1]
}

// plural is "1 row" or "3 rows".
func plural(n int, noun string) string {
	if n == 1 {
		return "1 " + noun
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
