package planner

import (
	"cmp"
	"context"
	"math"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/nest2d"
	"sawbill/nest2d/geom"
)

// Where a beam cuts, what falls out of a large opening is sheet like any other,
// and other panels may be cut from it. They are planned in a window: the largest
// rectangle inside the opening, less the spacing on all sides. Round corners make
// it smaller than the box around the opening. What is proved of the cost counts
// that box, so that it holds wherever in the opening panels lie.

// opening is one of a panel that may host others.
type opening struct {
	number int      // from 1: those of the outline first, then the round holes
	box    geom.Box // around it, less the spacing
	window geom.Box // in which panels are planned; empty where none has room
}

// room is a panel as far as it matters to openings.
type room struct {
	long, wide int64
	turn       bool
}

// openings lists those of a panel in which any of the panels listed has room.
func openings(p job.Panel, turn bool, spacing length.Length, panels []room) []opening {
	if p.Form == nil {
		return nil
	}
	shape := p.Form.Shape
	var all []geom.Outline
	all = append(all, shape.Inner...)
	for _, h := range shape.Holes {
		all = append(all, h.Outline())
	}
	var list []opening
	for i, o := range all {
		box := o.Bounds().Inset(int64(spacing))
		if !hosts(box, turn, panels) {
			continue
		}
		list = append(list, opening{i + 1, box, window(o, int64(spacing), turn, panels)})
	}
	return list
}

// hosts says that any of the panels fits a box in a panel that may be turned, or
// may not.
func hosts(b geom.Box, turn bool, panels []room) bool {
	return max(b.Length(), b.Width()) <= nest2d.MaxLength && slices.ContainsFunc(panels, func(p room) bool {
		return p.long <= b.Length() && p.wide <= b.Width() || (p.turn || turn) && p.wide <= b.Length() && p.long <= b.Width()
	})
}

const (
	// mostPlaces is how many coordinates the sides of a window are tried at, along
	// each axis, and mostTries how many of the windows between them.
	mostPlaces = 16
	mostTries  = 2000
)

// window is the largest rectangle in an opening that has room for any of the
// panels, less the spacing. Its sides pass through ends of edges, and through
// the quarters of arcs.
func window(o geom.Outline, spacing int64, turn bool, panels []room) geom.Box {
	var xs, ys []int64
	for i, v := range o {
		w := o[(i+1)%len(o)]
		xs, ys = append(xs, v.X), append(ys, v.Y)
		if v.Bulge == 0 {
			continue
		}
		middle := halfway(v, w.Point)
		for _, p := range []geom.Point{halfway(geom.Vertex{Point: v.Point, Bulge: middle.Bulge}, middle.Point).Point, middle.Point, halfway(middle, w.Point).Point} {
			xs, ys = append(xs, p.X), append(ys, p.Y)
		}
	}
	tries := geom.Boxes(geom.Thinned(xs, mostPlaces), geom.Thinned(ys, mostPlaces), func(b geom.Box) bool {
		return hosts(b.Inset(spacing), turn, panels)
	})
	slices.SortStableFunc(tries, func(a, b geom.Box) int {
		return cmp.Compare(float64(b.Length())*float64(b.Width()), float64(a.Length())*float64(a.Width()))
	})
	for _, b := range tries[:min(len(tries), mostTries)] {
		if o.Holds(b) {
			return b.Inset(spacing)
		}
	}
	return geom.Box{}
}

// halfway is the point in the middle of an arc, to the nearest unit, with the
// bulge of each half.
func halfway(from geom.Vertex, to geom.Point) geom.Vertex {
	x, y, b := float64(to.X-from.X), float64(to.Y-from.Y), from.Bulge
	return geom.Vertex{
		Point: geom.Point{
			X: from.X + int64(math.Round(float64(x/2)+float64(y*b/2))),
			Y: from.Y + int64(math.Round(float64(y/2)-float64(x*b/2))),
		},
		Bulge: b / (1 + math.Sqrt(1+float64(b*b))),
	}
}

// windows are the openings of the panels of a problem as windows, those in which
// panels are planned or the boxes around all; class and number say which they are.
func (s *sheetJob) windows(boxes bool) (list []nest2d.Window, of []openingOf) {
	for class, all := range s.openings {
		for _, o := range all {
			b := o.window
			if boxes {
				b = o.box
			}
			if b == (geom.Box{}) {
				continue
			}
			list = append(list, nest2d.Window{
				Panel: class, X: b.Min.X, Y: b.Min.Y, Length: b.Length(), Width: b.Width(), AnyTurn: boxes && s.problem.Panels[class].Turn,
			})
			of = append(of, openingOf{class, o.number})
		}
	}
	return list, of
}

type openingOf struct{ class, number int }

// narrowed says that openings may hold what is not planned in them: those with
// round corners, and those of panels that may be turned, for panels that may not.
func (s *sheetJob) narrowed() bool {
	for class, all := range s.openings {
		for _, o := range all {
			if o.box != o.window {
				return true
			}
			for _, p := range s.problem.Panels {
				if s.problem.Panels[class].Turn && !p.Turn && hosts(o.box, true, []room{{p.Length, p.Width, false}}) {
					return true
				}
			}
		}
	}
	return false
}

// widened is a problem in which openings hold all that could lie in them and
// more: what cannot be done then cannot be done at all.
func (s *sheetJob) widened(p nest2d.Problem) nest2d.Problem {
	p.Windows, _ = s.windows(true)
	return p
}

// widen makes the bounds of a result hold for all that could lie in openings.
func (s *sheetJob) widen(ctx context.Context, r *nest2d.Result, o nest2d.Options) error {
	if !s.narrowed() {
		return nil
	}
	p := s.widened(s.problem)
	c, err := nest2d.Certify(p, o.Effort)
	if err != nil {
		return err
	}
	if c.Bound == r.Cost.Value {
		o.Effort = nest2d.Quick
	}
	o.Progress = nil
	wide, err := nest2d.Solve(ctx, p, o)
	if err != nil {
		return err
	}
	if r.Outcome == nest2d.Impossible && wide.Outcome != nest2d.Impossible {
		r.Outcome = nest2d.NotFound
	}
	r.Cost.Bound = min(r.Cost.Value, max(c.Bound, wide.Cost.Bound))
	r.Certificate = c
	r.Certificate.Enumerated = c.Bound < r.Cost.Bound
	r.Sheets.Bound = 1
	if wide.Outcome == nest2d.Planned && wide.Cost.Value == r.Cost.Value {
		r.Sheets.Bound = min(r.Sheets.Value, wide.Sheets.Bound)
	}
	r.Sheets.Status = nest2d.Open
	if r.Sheets.Bound == r.Sheets.Value {
		r.Sheets.Status = nest2d.Proven
	}
	for _, k := range s.problem.Sheets { // no offcut is larger than a sheet
		r.Offcut.Bound = max(r.Offcut.Bound, (k.Length-k.TrimLeft-k.TrimRight)*(k.Width-k.TrimBottom-k.TrimTop))
	}
	return nil
}
