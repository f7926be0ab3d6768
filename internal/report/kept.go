package report

import (
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// longestKept is the longest bar offcut worth keeping; 0 when there is none.
func longestKept(m plan.Material) length.Length {
	longest := length.Length(0)
	for _, l := range m.Layouts {
		if l.Kept {
			longest = max(longest, l.Offcut)
		}
	}
	return longest
}

// largestKept is the sheet offcut of the largest area; nil when there is none.
func largestKept(m plan.Material) *plan.Part {
	var best *plan.Part
	for _, l := range m.Layouts {
		for _, p := range append(leaves(l.Tree), leaves(l.Strip)...) {
			if p.Panel == 0 && p.Kept && (best == nil || p.Length.Millimetres()*p.Width.Millimetres() > best.Length.Millimetres()*best.Width.Millimetres()) {
				best = p
			}
		}
	}
	return best
}
