package job

import (
	"slices"

	"sawbill/internal/rivet"
	"sawbill/nest2d/geom"
)

// mirror makes a panel the other hand of another.
func (r *reader) mirror(p *Panel, m *making) {
	from := r.panelOf(m.mirror)
	switch {
	case from == nil:
		return
	case len(m.contours)+len(m.holes)+len(m.rows)+len(m.zones)+len(m.seams) > 0 || m.drawing != nil:
		r.fault(m.mirror.at, "%s mirrors %s and has an outline, openings, rows or seams of its own; take those out", quote(p.Mark), quote(from.Mark))
		return
	case from.Form == nil && r.makings[from.Mark] != nil:
		if other := r.makings[from.Mark]; other.mirror.text != "" {
			r.fault(m.mirror.at, "%s is a mirrored panel itself; name the one that it mirrors", quote(from.Mark))
		}
		return // or it has been explained
	case from.Form == nil:
		r.fault(m.mirror.at, "%s is a plain rectangle, which has no other hand; take the row out", quote(from.Mark))
		return
	case from.Length != p.Length || from.Width != p.Width:
		r.fault(m.mirror.at, "%s is %s x %s and %s, which it mirrors, %s x %s; write the same size for both", quote(p.Mark), r.print(p.Length), r.print(p.Width),
			quote(from.Mark), r.print(from.Length), r.print(from.Width))
		return
	}
	if material := r.job.Materials[p.Material]; !material.GoodSide && material == r.job.Materials[from.Material] {
		r.remark(m.mirror.at, "%s and %s are one panel turned over, as %s has no good side; one mark would do", quote(p.Mark), quote(from.Mark), quote(material.Key))
	}
	p.Form = from.Form.mirrored(p)
	p.Form.Hand = from.Mark
	if of := r.makings[from.Mark]; of != nil {
		m.seams = mirroredSeams(of.seams, int64(p.Length))
	}
}

// mirroredSeams are the seams of a panel of a length, seen from behind: the part
// on the left is on the right, and lies over the other as before.
func mirroredSeams(seams []seamDraft, l int64) []seamDraft {
	var out, upright []seamDraft
	for _, s := range seams {
		if s.across {
			out = append(out, s)
			continue
		}
		s.place, s.firstOver = l-s.place, !s.firstOver
		upright = append(upright, s)
	}
	slices.Reverse(upright) // they stand from left to right
	return append(out, upright...)
}

// mirrored is the form seen from behind: left is right. The rows are not laid
// anew, so that every hole has its counterpart to the unit.
func (f *Form) mirrored(p *Panel) *Form {
	l := int64(p.Length)
	at := func(q geom.Point) geom.Point { return geom.Point{X: l - q.X, Y: q.Y} }
	over := func(o geom.Outline) geom.Outline { return o.MirrorY().Move(l, 0).Reverse() }
	g := &Form{Shape: f.Shape.MirrorY().Move(l, 0), other: f}
	if len(f.Outline) > 0 {
		g.Outline = over(f.Outline)
	}
	for _, o := range f.Openings {
		g.Openings = append(g.Openings, over(o))
	}
	for _, h := range f.Holes {
		g.Holes = append(g.Holes, geom.Hole{Center: at(h.Center), Diameter: h.Diameter})
	}
	for _, z := range f.Clear {
		z.Center = at(z.Center)
		g.Clear = append(g.Clear, z)
	}
	for _, v := range f.Rows {
		// The way runs on as before where it can, and left of it is right then.
		v.Row.From, v.Row.To = at(v.Row.From), at(v.Row.To)
		v.Row.Offset = -v.Row.Offset
		if v.Row.Second != nil {
			v.Row.Second = &rivet.Second{Spacing: -v.Row.Second.Spacing}
		}
		v.Edge, v.side = otherHand[v.Edge], 0
		if v.Edge == "top" || v.Edge == "bottom" {
			v.Edge = "" // along the same edge, the other way
		}
		v.Sets, v.Met, v.SetFor = nil, nil, 0
		v.Laid = slices.Clone(v.Laid)
		for i, laid := range v.Laid {
			v.Laid[i].Holes = nil
			for _, h := range laid.Holes {
				v.Laid[i].Holes = append(v.Laid[i].Holes, at(h))
			}
		}
		g.Rows = append(g.Rows, v)
	}
	return g
}

// otherHand is the edge that an edge becomes in a mirrored panel.
var otherHand = map[string]string{"left": "right", "right": "left", "top": "top", "bottom": "bottom"}
