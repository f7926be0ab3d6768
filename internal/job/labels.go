package job

import (
	"fmt"

	"sawbill/internal/length"
)

// Labels is how labels for pieces and panels are laid out.
type Labels struct {
	// Rows and Columns of labels on a sheet of the job's paper.
	Rows, Columns int64
	// MarginTop and MarginSide lie between the paper's edge and the outer labels,
	// at the bottom and the other side as well; GapDown and GapAcross between labels.
	MarginTop, MarginSide length.Length
	GapDown, GapAcross    length.Length
	// RollWidth and RollHeight are those of single labels for a roll printer; 0
	// prints none.
	RollWidth, RollHeight length.Length
}

// The least label that holds what stands on one, and the largest roll.
const (
	leastLabelWidth, leastLabelHeight = 38 * length.Millimetre, 20 * length.Millimetre
	mostRoll                          = 300 * length.Millimetre
)

// DefaultLabels are the labels of a paper where the job does not say: 3 by 8 to
// the edges of A4, 70 mm wide; 2 by 5 on Letter, 4 in by 2 in. Common practice, no source.
func DefaultLabels(paper string) Labels {
	if paper == "Letter" {
		return Labels{Rows: 5, Columns: 2, MarginTop: length.Inch / 2, MarginSide: 5 * length.Inch / 32, GapAcross: 3 * length.Inch / 16}
	}
	return Labels{Rows: 8, Columns: 3}
}

// PaperSize is a paper upright: ISO 216 A4, or ANSI/ASME Y14.1 A (Letter).
func PaperSize(paper string) (width, height length.Length) {
	if paper == "Letter" {
		return 17 * length.Inch / 2, 11 * length.Inch
	}
	return 210 * length.Millimetre, 297 * length.Millimetre
}

// Size is that of one label on a sheet of the paper.
func (l Labels) Size(paper string) (width, height length.Length) {
	w, h := PaperSize(paper)
	return share(w-2*l.MarginSide, l.GapAcross, l.Columns), share(h-2*l.MarginTop, l.GapDown, l.Rows)
}

// share is what each of n gets of a room, gaps between them.
func share(room, gap length.Length, n int64) length.Length {
	return (room - length.Length(n-1)*gap) / length.Length(n)
}

// readLabels reads [labels].
func (r *reader) readLabels() {
	l := DefaultLabels(r.job.Paper)
	r.job.Labels = l
	all := r.blocks("labels")
	if len(all) == 0 {
		return
	}
	b, before := all[0], len(r.faults)
	l.Rows, l.Columns = b.countOr("rows", l.Rows), b.countOr("columns", l.Columns)
	l.MarginTop, l.MarginSide = b.extentOr("margin-top", l.MarginTop), b.extentOr("margin-side", l.MarginSide)
	l.GapDown, l.GapAcross = b.extentOr("gap-down", l.GapDown), b.extentOr("gap-across", l.GapAcross)
	l.RollWidth, l.RollHeight = b.twoSizes("roll", `width x height of one label, as in roll = "60 x 40"`)
	if len(r.faults) > before {
		return
	}
	if b.has("roll") && (l.RollWidth < leastLabelWidth || l.RollHeight < leastLabelHeight || max(l.RollWidth, l.RollHeight) > mostRoll) {
		r.fault(b.posOf("roll"), "a label of %s x %s is too small or too large; write width x height from %s x %s to %s",
			r.print(l.RollWidth), r.print(l.RollHeight), r.print(leastLabelWidth), r.print(leastLabelHeight), r.print(mostRoll))
		return
	}
	if w, h := l.Size(r.job.Paper); w < leastLabelWidth || h < leastLabelHeight {
		r.fault(b.pos, "%d rows by %d columns on %s leave %s x %s for a label; give it %s x %s or more by fewer rows and columns or smaller margins and gaps",
			l.Rows, l.Columns, r.job.Paper, r.about(max(w, 0)), r.about(max(h, 0)), r.print(leastLabelWidth), r.print(leastLabelHeight))
		return
	}
	r.job.Labels = l
}

// mostLabels are the most rows or columns.
const mostLabels = 40

func (b block) countOr(name string, otherwise int64) int64 {
	if !b.has(name) {
		return otherwise
	}
	return b.countTo(name, 1, mostLabels)
}

func (b block) extentOr(name string, otherwise length.Length) length.Length {
	if !b.has(name) {
		return otherwise
	}
	return b.extent(name)
}

// countTo reads a whole number in a range.
func (b block) countTo(name string, least, most int64) int64 {
	e := b.at[name]
	n, ok := number(e.value)
	if !ok || !n.IsInt() || !n.Num().IsInt64() || n.Num().Int64() < least || n.Num().Int64() > most {
		b.wrong(e, fmt.Sprintf("a whole number from %d to %d", least, most))
		return least
	}
	return n.Num().Int64()
}

// twoSizes reads width x height; without the key both are 0.
func (b block) twoSizes(name, want string) (width, height length.Length) {
	if !b.has(name) {
		return 0, 0
	}
	before := len(b.r.faults)
	width, height = b.size(name)
	if len(b.r.faults) == before && (width <= 0 || height <= 0) {
		b.wrong(b.at[name], want)
	}
	return width, height
}
