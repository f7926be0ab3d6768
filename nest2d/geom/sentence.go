package geom

import (
	"errors"
	"fmt"
)

// A Sentence says something about places and lengths. It is in millimetres, to
// the micrometre, until its reader has it written in another unit.
type Sentence struct {
	format string
	args   []any
}

// Say makes a sentence of a format of package fmt, with %v for each Point,
// Distance and Place, which write their unit themselves.
func Say(format string, args ...any) *Sentence { return &Sentence{format, args} }

// A Distance is a length in a sentence, in units.
type Distance int64

// Error is the sentence in millimetres.
func (s *Sentence) Error() string { return s.In(nil) }

// In is the sentence with its lengths as print writes them, unit and all; a nil
// print is the usual.
func (s *Sentence) In(print func(units int64) string) string {
	words := make([]any, len(s.args))
	for i, a := range s.args {
		words[i] = written(a, print)
	}
	return fmt.Sprintf(s.format, words...)
}

func written(a any, print func(units int64) string) any {
	switch a := a.(type) {
	case Point:
		if print == nil {
			return a.String() + " mm"
		}
		return fmt.Sprintf("(%s, %s)", print(a.X), print(a.Y))
	case Distance:
		if print == nil {
			return millimetres(int64(a)) + " mm"
		}
		return print(int64(a))
	case Place:
		if a.Contour.Kind == HoleContour {
			return fmt.Sprintf("%v at %v", a.Contour, written(a.At, print))
		}
		return fmt.Sprintf("edge %d of %v, which starts at %v,", a.Edge+1, a.Contour, written(a.At, print))
	}
	return a
}

// Told is the text of an error, its lengths as print writes them if it is a
// sentence or a fault.
func Told(err error, print func(units int64) string) string {
	var s interface {
		In(print func(units int64) string) string
	}
	if errors.As(err, &s) {
		return s.In(print)
	}
	return err.Error()
}
