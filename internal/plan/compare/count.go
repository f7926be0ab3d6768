package compare

import (
	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/plan/option"
)

// count fills in a row's figures from its plan.
func count(r *option.Row, j *job.Job, p *plan.Plan) {
	r.Planned = true
	r.Total, r.Goods, r.Charges = p.Total, p.Goods, p.Total-p.Goods
	r.Gap = p.Total - p.Bound
	r.Mass = p.Mass
	pieces := map[string]job.Piece{}
	for _, row := range j.Pieces {
		pieces[row.Mark] = row
	}
	processes := map[string]job.Process{}
	for _, m := range j.Materials {
		processes[m.Key] = j.Processes[m.Process]
	}
	for _, m := range p.Materials {
		process := processes[m.Key]
		for _, l := range m.Layouts {
			r.Stocks++
			r.Longest = max(r.Longest, l.Stock.Length, l.Stock.Width)
			if m.Kind == plan.Sheet {
				r.Cuts += sheetCuts(l, process)
				r.Offcuts += keptParts(l.Tree)
				continue
			}
			r.Cuts += barCuts(l, process, pieces)
			if l.Kept {
				r.Offcuts++
			}
		}
	}
}

// barCuts counts the strokes of the saw: one for each end of a piece, but one
// for two ends that meet along one line, and none for a square end that is the
// bar's own.
func barCuts(l plan.Layout, t job.Process, pieces map[string]job.Piece) int64 {
	n := int64(0)
	for i, place := range l.Pieces {
		p := pieces[place.Mark]
		if i == 0 && (p.Left != 0 || t.TrimLeft > 0) {
			n++
		}
		if i > 0 && pieces[l.Pieces[i-1].Mark].Right != -p.Left {
			n++
		}
		last := i == len(l.Pieces)-1
		if !last || p.Right != 0 || place.At+p.Length < l.Stock.Length {
			n++
		}
	}
	return n
}

// sheetCuts counts the cuts of a sheet: the trims and every cut of its tree,
// or one outline for each panel where a beam cuts.
func sheetCuts(l plan.Layout, t job.Process) int64 {
	if t.Kind == job.Beam {
		return int64(len(l.Panels))
	}
	n := int64(0)
	for _, trim := range []length.Length{t.TrimLeft, t.TrimRight, t.TrimBottom, t.TrimTop} {
		if trim > 0 {
			n++
		}
	}
	return n + treeCuts(l.Tree)
}

// treeCuts counts the cuts that part a rectangle and its parts. A part that
// reaches to the far edge needs no cut there.
func treeCuts(p *plan.Part) int64 {
	if p == nil {
		return 0
	}
	n := int64(0)
	for _, q := range p.Parts {
		if p.Cut == plan.AlongLength && q.Y+q.Width < p.Y+p.Width || p.Cut == plan.AlongWidth && q.X+q.Length < p.X+p.Length {
			n++
		}
		n += treeCuts(q)
	}
	return n
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
