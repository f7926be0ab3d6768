package planner

import (
	"cmp"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// A beam cuts round each panel, so panels lie anywhere on a sheet and no cut
// tree parts it. What a beam leaves is one piece full of holes; of that a strip
// is kept that runs from edge to edge clear of all panels.

// free says that panels of a material may lie anywhere on its sheets. Where we
// have the beam, and a sheet that can be fetched is larger than the load, sheets
// are planned edge to edge: the yard must be able to cut them.
func free(j *job.Job, mi int) bool {
	m := j.Materials[mi]
	if !m.Sheet() || j.Processes[m.Process].Kind != job.Beam {
		return false
	}
	return !slices.ContainsFunc(j.Offers, func(o job.Offer) bool {
		s := j.Suppliers[o.Supplier]
		fetched := !s.OnHand && !s.ByMark && (s.Fetched || !s.Delivers)
		return o.Material == mi && fetched && carried(j, o) && heavyLoad(j, o)
	})
}

// strips lists the strips of a sheet that run from edge to edge of the trimmed
// sheet, a spacing from every panel: first those across it, from the left, then
// those along it, from the bottom.
func strips(j *job.Job, mi int, l *plan.Layout) []plan.Part {
	p := j.Processes[j.Materials[mi].Process]
	size := map[string][2]length.Length{}
	for _, q := range j.Panels {
		size[q.Mark] = [2]length.Length{q.Length, q.Width}
	}
	start := [2]length.Length{p.TrimLeft, p.TrimBottom}
	end := [2]length.Length{l.Stock.Length - p.TrimRight, l.Stock.Width - p.TrimTop}
	var list []plan.Part
	for axis := range 2 {
		var taken [][2]length.Length
		for _, q := range l.Panels {
			from, sides := q.X, size[q.Mark]
			if q.Turned {
				sides[0], sides[1] = sides[1], sides[0]
			}
			if axis == 1 {
				from = q.Y
			}
			taken = append(taken, [2]length.Length{from - p.Kerf, from + sides[axis] + p.Kerf})
		}
		taken = append(taken, [2]length.Length{end[axis], end[axis]})
		slices.SortFunc(taken, func(a, b [2]length.Length) int { return cmp.Compare(a[0], b[0]) })
		at := start[axis]
		for _, t := range taken {
			if t[0] > at {
				s := [2][2]length.Length{{start[0], end[0]}, {start[1], end[1]}}
				s[axis] = [2]length.Length{at, t[0]}
				list = append(list, plan.Part{X: s[0][0], Y: s[1][0], Length: s[0][1] - s[0][0], Width: s[1][1] - s[1][0]})
			}
			at = max(at, t[1])
		}
	}
	return list
}

// keepStrip sets the strip that is kept of a sheet: the largest one worth
// keeping, and no larger than the load where it must be carried.
func keepStrip(j *job.Job, mi int, l *plan.Layout, carry bool) {
	l.Strip = nil
	for _, s := range strips(j, mi, l) {
		if !worthKeeping(&s, j.Materials[mi]) || carry && !fitsLoad(j, int64(s.Length), int64(s.Width)) {
			continue
		}
		if l.Strip == nil || int64(s.Length)*int64(s.Width) > int64(l.Strip.Length)*int64(l.Strip.Width) {
			s.Kept = true
			l.Strip = &s
		}
	}
}

// largestStrip is the area of the largest strip of any sheet.
func largestStrip(j *job.Job, mi int, layouts []plan.Layout) int64 {
	largest := int64(0)
	for i := range layouts {
		for _, s := range strips(j, mi, &layouts[i]) {
			largest = max(largest, int64(s.Length)*int64(s.Width))
		}
	}
	return largest
}
