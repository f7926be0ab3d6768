package dxf

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"sawbill/internal/length"
)

// A group is a line with a code and the line with its value.
type group struct {
	code  int
	value string
	line  int // of the value, from 1
}

// A scanner takes a file apart into groups. It holds one line at a time.
type scanner struct {
	r     *bufio.Reader
	line  int
	left  int64 // bytes that may still come
	limit int64
}

const (
	longestLine    = 64 << 10
	binarySentinel = "AutoCAD Binary DXF"
)

func newScanner(r io.Reader, limit int64) (*scanner, error) {
	s := &scanner{r: bufio.NewReaderSize(r, longestLine), left: limit, limit: limit}
	start, err := s.r.Peek(len(binarySentinel))
	if err != nil && !errors.Is(err, io.EOF) {
		return nil, fmt.Errorf("the drawing cannot be read: %w", err)
	}
	switch text := string(start); {
	case len(start) == 0:
		return nil, errors.New("the drawing is empty: export it anew as DXF")
	case text == binarySentinel:
		return nil, errors.New("the drawing is a binary DXF: export it as ASCII DXF")
	case strings.HasPrefix(text, "AC10"):
		return nil, fmt.Errorf("the drawing begins with %s as a DWG does: export it as DXF", length.Quote(text[:min(6, len(text))]))
	case strings.HasPrefix(text, "\ufeff"):
		_, _ = s.r.Discard(len("\ufeff")) // they were peeked at
	}
	return s, nil
}

// text is the next line without its end.
func (s *scanner) text() (string, error) {
	line, err := s.r.ReadSlice('\n')
	s.line++
	s.left -= int64(len(line))
	switch {
	case s.left < 0:
		return "", fmt.Errorf("the drawing is larger than %d MB: leave out what is not to be cut", (s.limit+999_999)/1_000_000)
	case errors.Is(err, bufio.ErrBufferFull):
		return "", fmt.Errorf("line %d is longer than %d characters: this is no DXF, export it anew", s.line, longestLine)
	case errors.Is(err, io.EOF) && len(line) == 0:
		return "", io.EOF
	case err != nil && !errors.Is(err, io.EOF):
		return "", fmt.Errorf("the drawing cannot be read on after line %d: %w", s.line-1, err)
	}
	return strings.TrimRight(string(line), "\r\n"), nil
}

// next is the next group that is not a comment. It is an error for the file
// to end: that is what the group EOF is for.
func (s *scanner) next() (group, error) {
	for {
		code, err := s.text()
		if err == nil {
			var g group
			g.code, err = strconv.Atoi(strings.TrimSpace(code))
			if err != nil {
				return g, fmt.Errorf("line %d: %s is not a group code: this is no ASCII DXF, export it anew", s.line, length.Quote(code))
			}
			if g.value, err = s.text(); err == nil {
				if g.code == comment {
					continue
				}
				g.line = s.line
				return g, nil
			}
		}
		if errors.Is(err, io.EOF) {
			return group{}, fmt.Errorf("the drawing ends after line %d without the mark EOF: it is not complete, get it anew", s.line-1)
		}
		return group{}, err
	}
}

const comment = 999

// number reads a real of a size that a drawing may have.
func (g group) number() (float64, error) {
	const largest = 1e12
	text := strings.TrimSpace(g.value)
	v, err := strconv.ParseFloat(text, 64)
	switch {
	case err != nil && strings.Count(text, ",") == 1:
		return 0, fmt.Errorf("line %d: %s has a decimal comma: export the drawing with a decimal point", g.line, length.Quote(text))
	case err != nil || math.IsNaN(v) || strings.ContainsAny(text, "xXpP_"):
		return 0, fmt.Errorf("line %d: %s is not a number: export the drawing anew", g.line, length.Quote(text))
	case math.Abs(v) > largest:
		return 0, fmt.Errorf("line %d: %s is too large for a coordinate: move the drawing to its origin", g.line, length.Quote(text))
	}
	return v, nil
}

// whole reads an integer.
func (g group) whole() (int, error) {
	v, err := strconv.ParseInt(strings.TrimSpace(g.value), 10, 32)
	if err != nil {
		return 0, fmt.Errorf("line %d: %s is not a whole number: export the drawing anew", g.line, length.Quote(g.value))
	}
	return int(v), nil
}

func (g group) name() string { return strings.TrimSpace(g.value) }

// key makes names of layers and blocks, which are the same in either case.
func key(name string) string { return strings.ToUpper(name) }
