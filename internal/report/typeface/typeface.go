// Package typeface is the one type all drawings are lettered in: DejaVu Sans,
// regular and bold, embedded. It measures text, and says what it cannot print.
package typeface

import (
	_ "embed"
	"fmt"
	"slices"
	"strings"
	"sync"
	"unicode"

	"golang.org/x/image/font"
	"golang.org/x/image/font/sfnt"
	"golang.org/x/image/math/fixed"
	"golang.org/x/text/unicode/norm"
)

// Regular and Bold are the font files.
var (
	//go:embed fonts/DejaVuSans.ttf
	Regular []byte
	//go:embed fonts/DejaVuSans-Bold.ttf
	Bold []byte
)

// Millimetres in a typographic point, 1/72 in.
const Point = 25.4 / 72

// Face measures the two weights. It is not safe for concurrent use.
type Face struct {
	weights [2]*weight
}

type weight struct {
	font    *sfnt.Font
	buffer  sfnt.Buffer
	em      float64
	advance map[rune]float64 // in ems; below zero when there is no glyph
}

var parsed = sync.OnceValues(func() ([2]*sfnt.Font, error) {
	var fonts [2]*sfnt.Font
	for i, data := range [][]byte{Regular, Bold} {
		f, err := sfnt.Parse(data)
		if err != nil {
			return fonts, fmt.Errorf("the embedded type cannot be read: %w", err)
		}
		fonts[i] = f
	}
	return fonts, nil
})

// New returns a Face.
func New() (*Face, error) {
	fonts, err := parsed()
	if err != nil {
		return nil, err
	}
	f := new(Face)
	for i := range f.weights {
		f.weights[i] = &weight{font: fonts[i], em: float64(fonts[i].UnitsPerEm()), advance: map[rune]float64{}}
	}
	return f, nil
}

// Width is the width of one line of text in millimetres, at a size in points.
func (f *Face) Width(text string, size float64, bold bool) float64 {
	w := f.weight(bold)
	ems := 0.0
	for _, r := range text {
		ems += max(w.measure(r), 0)
	}
	return ems * size * Point
}

func (f *Face) weight(bold bool) *weight {
	if bold {
		return f.weights[1]
	}
	return f.weights[0]
}

func (w *weight) measure(r rune) float64 {
	if a, met := w.advance[r]; met {
		return a
	}
	a := -1.0
	if g, err := w.font.GlyphIndex(&w.buffer, r); err == nil && g != 0 {
		if v, err := w.font.GlyphAdvance(&w.buffer, g, fixed.I(int(w.em)), font.HintingNone); err == nil {
			a = float64(v) / 64 / w.em
		}
	}
	w.advance[r] = a
	return a
}

// Printable reports whether both weights have a glyph for the rune and it is
// one that shows: no control, no format character, nothing beyond the basic
// plane, which the PDF writer's encoding ends at.
func (f *Face) Printable(r rune) bool {
	if r > 0xFFFF || r == 0xFFFD || (r != ' ' && !unicode.IsPrint(r) && r != '\u00a0') {
		return false
	}
	return f.weights[0].measure(r) >= 0 && f.weights[1].measure(r) >= 0
}

// Clean returns the text as it can be printed, composed (Unicode form C), with
// every other rune replaced by its code point in angle brackets, such as
// ‹U+1F426›, so that two marks that differ still differ on paper. The runes
// replaced are returned in order, with repeats. A byte that is not UTF-8 counts
// as U+FFFD.
func (f *Face) Clean(text string) (string, []rune) {
	var lost []rune
	var b strings.Builder
	for _, r := range norm.NFC.String(text) {
		if f.Printable(r) {
			b.WriteRune(r)
			continue
		}
		lost = append(lost, r)
		fmt.Fprintf(&b, "‹U+%04X›", r)
	}
	return b.String(), lost
}

// Clip shortens the text with an ellipsis until it is no wider than width.
func (f *Face) Clip(text string, size float64, bold bool, width float64) string {
	if f.Width(text, size, bold) <= width {
		return text
	}
	room := width - f.Width("…", size, bold)
	w := f.weight(bold)
	used := 0.0
	for i, r := range text {
		used += float64(max(w.measure(r), 0) * size * Point)
		if used > room {
			return strings.TrimRight(text[:i], " ") + "…"
		}
	}
	return text
}

// Fit is Clip after shrinking: the size is lessened to no less than smallest.
func (f *Face) Fit(text string, size, smallest float64, bold bool, width float64) (string, float64) {
	if w := f.Width(text, size, bold); w > width && w > 0 {
		size = max(smallest, size*width/w*0.999)
	}
	return f.Clip(text, size, bold, width), size
}

// Wrap breaks the text at spaces into lines no wider than width; a word that is
// wider alone is broken where it must be. No line ends at a no-break space in a word
// that a line can hold.
func (f *Face) Wrap(text string, size float64, bold bool, width float64) []string {
	var lines []string
	line := ""
	words := strings.FieldsFunc(text, func(r rune) bool { return unicode.IsSpace(r) && r != noBreak })
	for i := 0; i < len(words); i++ {
		word := words[i]
		if strings.ContainsRune(word, noBreak) && f.Width(word, size, bold) > width {
			words = slices.Replace(words, i, i+1, strings.Split(word, string(noBreak))...)
			word = words[i]
		}
		for {
			joined := word
			if line != "" {
				joined = line + " " + word
			}
			if f.Width(joined, size, bold) <= width {
				line = joined
				break
			}
			if line != "" {
				lines, line = append(lines, line), ""
				continue
			}
			head := f.head(word, size, bold, width)
			if i := strings.LastIndexAny(word[:head], "-/_."); i > 0 {
				head = i + 1 // a word too long for a line parts at its own marks first
			}
			lines, word = append(lines, word[:head]), word[head:]
		}
	}
	if line != "" {
		lines = append(lines, line)
	}
	for i, line := range lines {
		lines[i] = strings.ReplaceAll(line, string(noBreak), " ")
	}
	return lines
}

// noBreak is a space at which a line does not end.
const noBreak = '\u00a0'

// head is how many bytes of the word fit, at least one rune.
func (f *Face) head(word string, size float64, bold bool, width float64) int {
	w := f.weight(bold)
	used := 0.0
	for i, r := range word {
		used += float64(max(w.measure(r), 0) * size * Point)
		if i > 0 && used > width {
			return i
		}
	}
	return len(word)
}
