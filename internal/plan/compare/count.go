package compare

import (
	"math"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
)

// count fills in a row's figures from its plan.
func count(r *option.Row, j *job.Job, p *plan.Plan) {
	r.Planned = true
	r.Total, r.Goods, r.Charges, r.Payable = p.Total, p.Goods, p.Total-p.Goods, p.Payable
	r.Gap = p.Total - p.Bound
	r.Mass = p.Mass
	r.Carriage, r.Others = charges(p)
	r.Terms = terms(j, p)
	pieces := map[string]job.Piece{}
	for _, row := range j.Pieces {
		pieces[row.Mark] = row
	}
	for _, m := range p.Materials {
		mi := slices.IndexFunc(j.Materials, func(x job.Material) bool { return x.Key == m.Key })
		process := j.Processes[j.Materials[mi].Process]
		r.Longest = max(r.Longest, longest(j, p, m, mi))
		for _, l := range m.Buy {
			r.Stocks += l.Count
		}
		for _, l := range m.Layouts {
			if m.Kind == plan.Sheet {
				r.Cuts += sheetCuts(l, process)
				r.Offcuts += keptParts(l.Tree) + keptParts(l.Strip)
				continue
			}
			r.Cuts += barCuts(l, process, pieces)
			if l.Kept {
				r.Offcuts++
			}
		}
	}
}

// longest is the longest thing of a material that comes home.
func longest(j *job.Job, p *plan.Plan, m plan.Material, mi int) length.Length {
	most, comesCut := length.Length(0), m.ByMark != ""
	for _, l := range m.Buy {
		long := max(l.Length, l.Width)
		switch wayOf(p, l.Supplier) {
		case plan.Fetched:
			if j.LongestLoad > 0 {
				long = min(long, j.LongestLoad)
			}
			fallthrough
		case plan.Delivered:
			if j.Processes[j.Materials[mi].Process].BySupplier {
				comesCut = true
				if l.Spare == 0 {
					continue
				}
			}
		}
		most = max(most, long)
	}
	if comesCut {
		for _, q := range j.Pieces {
			if q.Material == mi {
				most = max(most, q.Length)
			}
		}
		for _, q := range j.Panels {
			if q.Material == mi {
				most = max(most, q.Length, q.Width)
			}
		}
	}
	return most
}

func wayOf(p *plan.Plan, supplier string) string {
	for _, o := range p.Orders {
		if o.Supplier == supplier {
			return o.Way
		}
	}
	return ""
}

// barCuts counts the strokes of the saw: one for each end of a piece, but one
// for two ends that share a cut, and none for a square end that is the
// bar's own. First cuts at the yard make ends that are a bar's own.
func barCuts(l plan.Layout, t job.Process, pieces map[string]job.Piece) int64 {
	n := int64(len(l.FirstCuts))
	from, trim, next := length.Length(0), t.TrimLeft, 0
	for i, place := range l.Pieces {
		p := pieces[place.Mark]
		left, right := endsOf(p, place)
		begins := i == 0
		for next < len(l.FirstCuts) && place.At >= l.FirstCuts[next] {
			from, trim, begins = l.FirstCuts[next]+l.FirstKerf, 0, true
			next++
		}
		to := l.Stock.Length
		if next < len(l.FirstCuts) {
			to = l.FirstCuts[next]
		}
		switch {
		case begins && (left != 0 || trim > 0 || place.At > from):
			n++
		case !begins && !oneCut(l.Pieces[i-1], place, t, pieces):
			n++
		}
		ends := i == len(l.Pieces)-1 || l.Pieces[i+1].At >= to
		if !ends || right != 0 || place.At+p.Length < to {
			n++
		}
	}
	return n
}

// endsOf are the angles of a piece's ends as it lies, whichever way they slant.
func endsOf(p job.Piece, place plan.Piece) (left, right int64) {
	left, right = max(p.Left, -p.Left), max(p.Right, -p.Right)
	if place.Turned {
		left, right = right, left
	}
	return left, right
}

// oneCut says that two neighbours are parted by one stroke: both ends are square, or
// mitred alike and so close that they lean the same way.
func oneCut(a, b plan.Piece, t job.Process, pieces map[string]job.Piece) bool {
	_, right := endsOf(pieces[a.Mark], a)
	left, _ := endsOf(pieces[b.Mark], b)
	if right != left || right == 0 {
		return right == left
	}
	apart := float64(b.At - a.At - pieces[a.Mark].Length)
	return apart < float64(t.Kerf)/math.Cos(float64(right)/1000*math.Pi/180)-0.5
}

// sheetCuts counts the cuts of a sheet: the trims and every cut of its tree,
// or one outline for each panel where a beam cuts.
func sheetCuts(l plan.Layout, t job.Process) int64 {
	if t.Kind == job.Beam {
		return int64(len(l.Panels))
	}
	return t.Trims() + l.Tree.Cuts()
}

func keptParts(p *plan.Part) int64 {
	if p == nil {
		return 0
	}
	n := int64(0)
	if p.Kept {
		n++
	}
	for _, q := range p.Parts {
		n += keptParts(q)
	}
	return n
}
