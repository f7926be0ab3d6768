// Package qr makes QR codes (ISO/IEC 18004) of short texts.
package qr

import (
	"fmt"

	code "github.com/piglig/go-qr"
)

// Quiet is how many cells around a code stay blank (ISO/IEC 18004, 6.3.8).
const Quiet = 4

// utf8 is the assignment number of UTF-8 among the character sets that a code may
// announce (AIM Extended Channel Interpretations). Without it bytes are read as
// ISO/IEC 8859-1, or as the reader guesses.
const utf8 = 26

// Code is a square of cells.
type Code struct {
	// Side is how many cells are in a row.
	Side int
	// Dark are the cells, row by row from the top.
	Dark []bool
}

// Encode makes the smallest code of the text with error correction of level M or,
// where the size allows it, better. It fails when the text is too long, beyond
// some 2,300 bytes.
func Encode(text string) (Code, error) {
	parts, err := code.MakeSegments(text)
	if err != nil {
		return Code{}, fmt.Errorf("a code of %q: %w", text, err)
	}
	if !ascii(text) {
		set, err := code.MakeEci(utf8)
		if err != nil {
			return Code{}, fmt.Errorf("a code of %q: %w", text, err)
		}
		parts = append([]*code.QrSegment{set}, parts...)
	}
	q, err := code.EncodeStandardSegments(parts, code.Medium)
	if err != nil {
		return Code{}, fmt.Errorf("a code of %q: %w", text, err)
	}
	c := Code{Side: q.Size()}
	for y := range c.Side {
		for x := range c.Side {
			c.Dark = append(c.Dark, q.Module(x, y))
		}
	}
	return c, nil
}

func ascii(text string) bool {
	for i := range len(text) {
		if text[i] >= 0x80 {
			return false
		}
	}
	return true
}
