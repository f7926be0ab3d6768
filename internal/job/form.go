package job

import (
	"math"
	"math/big"
	"slices"

	"sawbill/internal/length"
	"sawbill/internal/rivet"
	"sawbill/nest2d/geom"
)

// What a panel is beyond its length and width: an outline, openings, holes.

// Form is how a panel is made that is no plain rectangle. All points are
// measured from the panel's lower left corner, with its length along x, seen
// from the good side.
type Form struct {
	// Outline is the outer edge, anticlockwise; empty for the rectangle of the
	// panel's length and width.
	Outline geom.Outline
	// Openings are what is cut out of it, Holes the round ones.
	Openings []geom.Outline
	Holes    []geom.Hole
	// Rows are the rows of rivets, in table order, and Clear where no rivet may be.
	Rows  []RivetRow
	Clear []rivet.Zone
	// Shape is the panel with everything in its place: of its holes first Holes,
	// then those of Rows, row by row.
	Shape geom.Shape
	// Laps are where other parts of the panel that this is a part of lie over or under it.
	Laps []Lap
	// Hand is the mark of the panel whose other hand it is, or "".
	Hand string

	corners []corner // of the outline, as they were given
	other   *Form    // the form that this one mirrors
	whole   *Form    // the form that this one is a part of
}

// Shape is the panel as it is cut, its lower left corner at the origin.
func (p Panel) Shape() geom.Shape {
	if p.Form == nil {
		return geom.Rectangle(int64(p.Length), int64(p.Width))
	}
	return p.Form.Shape
}

// Area is that of the panel in square base units, openings and holes taken
// off, to the nearest whole unit.
func (p Panel) Area() *big.Int {
	if p.Form == nil {
		return new(big.Int).Mul(big.NewInt(int64(p.Length)), big.NewInt(int64(p.Width)))
	}
	area, _ := new(big.Float).SetFloat64(math.Floor(p.Form.Shape.Area() + 0.5)).Int(nil)
	return area
}

// CutLength is the length of all contours in base units: what a beam travels.
func (p Panel) CutLength() int64 {
	if p.Form == nil {
		return 2 * int64(p.Length+p.Width)
	}
	return nearestUnit(p.Form.Shape.CutLength())
}

// Pierces is how often a beam must begin: once for each contour.
func (p Panel) Pierces() int64 {
	if p.Form == nil {
		return 1
	}
	return int64(p.Form.Shape.Pierces())
}

// Edges is the length of the outer edge and of those of the openings in base
// units, holes for rivets left out.
func (p Panel) Edges() int64 {
	if p.Form == nil {
		return 2 * int64(p.Length+p.Width)
	}
	sum := p.Form.Shape.Outer.Length()
	for _, o := range p.Form.Openings {
		sum += o.Length()
	}
	for _, h := range p.Form.Holes {
		sum += h.Length()
	}
	return nearestUnit(sum)
}

func nearestUnit(l float64) int64 { return int64(math.Floor(l + 0.5)) }

// bare is the panel without its rows of rivets.
func (f *Form) bare(p *Panel) geom.Shape {
	s := geom.Rectangle(int64(p.Length), int64(p.Width))
	if len(f.Outline) > 0 {
		s.Outer = f.Outline
	}
	s.Inner, s.Holes = f.Openings, slices.Clip(f.Holes)
	return s
}

// Resized is the panel with another length and width and its rows of rivets laid
// anew. Corners of its outline right of the middle move with the right edge and
// those above it with the top edge; openings stay where they are, and a panel that
// mirrors another stays its mirror image. It is false where that cannot be cut:
// not every outline can be stretched, and openings and rows may not go with every size.
func (p Panel) Resized(long, wide length.Length) (Panel, bool) {
	if f := p.Form; f != nil && f.other != nil {
		first := p
		first.Form = f.other
		first, fine := first.Resized(long, wide)
		hand := f.Hand
		p.Length, p.Width, p.Form = long, wide, first.Form.mirrored(&first)
		p.Form.Hand = hand
		return p, fine
	}
	was := geom.Point{X: int64(p.Length), Y: int64(p.Width)}
	p.Length, p.Width = long, wide
	if p.Form == nil {
		return p, long > 0 && wide > 0
	}
	if p.Form.whole != nil {
		return p, false // its seams are where its members are
	}
	f := *p.Form
	p.Form = &f
	fine := long > 0 && wide > 0 && f.stretch(was, geom.Point{X: int64(long), Y: int64(wide)})
	refused := slices.ContainsFunc(f.lay(&p), func(f rivet.Finding) bool { return f.Severity == rivet.Refuse })
	return p, fine && !refused && f.Shape.Simple() == nil
}

// stretch gives the outline another size. It is false where that cannot be.
func (f *Form) stretch(was, is geom.Point) bool {
	if len(f.corners) == 0 {
		return true
	}
	corners, fine := stretched(f.corners, was, is)
	if !fine {
		return false
	}
	f.corners = corners
	if len(f.Outline) == 0 {
		return true
	}
	o, err := rounded(corners)
	if err != nil || o.Bounds() != (geom.Box{Max: is}) {
		return false
	}
	f.Outline = o
	return true
}

// lay puts everything in its place on a panel, and says what is wrong with the
// rows of rivets.
func (f *Form) lay(p *Panel) []rivet.Finding {
	f.Rows = slices.Clone(f.Rows)
	var rows []rivet.Row
	for i := range f.Rows {
		v := &f.Rows[i]
		v.Row.From, v.Row.To = v.along(f, p)
		v.Laid, v.Sets, v.Met, v.SetFor = nil, nil, nil, 0
		rows = append(rows, v.Row)
	}
	bare := f.bare(p)
	laid, findings := rivet.Lay(bare, rows, f.Clear)
	for _, l := range laid {
		f.Rows[l.Row].Laid = append(f.Rows[l.Row].Laid, l)
	}
	f.Shape = rivet.Drilled(bare, rows, laid)
	return findings
}
