package job

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"sawbill/nest2d/geom"
)

// The sides of a panel along which rows of rivets run: those of the rectangle
// around it by their names, and those of its outline by their numbers.

// A side is a straight side of an outline, the panel to its left.
type side struct{ from, to geom.Point }

// sides are the straight sides of a panel in the order of its corners: the first
// runs from the first corner to the second. A drawing's are counted anticlockwise
// from its lowest corner, the leftmost of these, and so are a plain rectangle's.
func (f *Form) sides(p *Panel) []side {
	corners := f.corners
	if len(corners) == 0 {
		corners = cornersOf(geom.Rectangle(int64(p.Length), int64(p.Width)).Outer)
	}
	back := !polygon(corners).Anticlockwise()
	var all []side
	for i, c := range corners {
		to := corners[(i+1)%len(corners)].Point
		switch {
		case c.bulge != 0:
		case back:
			all = append(all, side{to, c.Point})
		default:
			all = append(all, side{c.Point, to})
		}
	}
	return all
}

// cornersOf are the corners of an outline that has been drawn, arcs and all.
func cornersOf(o geom.Outline) []corner {
	corners := make([]corner, len(o))
	for i, v := range o.Normal() {
		corners[i] = corner{Point: v.Point, bulge: v.Bulge}
	}
	return corners
}

// polygon joins corners as they are, none of them rounded.
func polygon(corners []corner) geom.Outline {
	o := make(geom.Outline, len(corners))
	for i, c := range corners {
		o[i] = geom.Vertex{Point: c.Point, Bulge: c.bulge}
	}
	return o
}

// within is a line along the side, so far inside of it.
func (s side) within(inset int64) (from, to geom.Point) {
	dx, dy := float64(s.to.X-s.from.X), float64(s.to.Y-s.from.Y)
	long := math.Sqrt(float64(dx*dx) + float64(dy*dy))
	by := geom.Point{X: int64(math.Round(-dy / long * float64(inset))), Y: int64(math.Round(dx / long * float64(inset)))}
	return geom.Point{X: s.from.X + by.X, Y: s.from.Y + by.Y}, geom.Point{X: s.to.X + by.X, Y: s.to.Y + by.Y}
}

// edge is the side of a panel's rectangle on which the side lies, or that it
// faces more than any other; on tells which. "" where it faces two alike.
func (s side) edge(p *Panel) (name string, on bool) {
	dx, dy := s.to.X-s.from.X, s.to.Y-s.from.Y
	switch {
	case max(dx, -dx) > max(dy, -dy) && dx > 0:
		return "bottom", s.from.Y == 0 && s.to.Y == 0
	case max(dx, -dx) > max(dy, -dy):
		return "top", s.from.Y == int64(p.Width) && s.to.Y == int64(p.Width)
	case max(dx, -dx) < max(dy, -dy) && dy > 0:
		return "right", s.from.X == int64(p.Length) && s.to.X == int64(p.Length)
	case max(dx, -dx) < max(dy, -dy):
		return "left", s.from.X == 0 && s.to.X == 0
	}
	return "", false
}

// findSide finds the side of the outline that a row runs along: by its number, or
// by the name of a side that is slanted. Where the outline has a side on that of
// the rectangle around it, or none that faces there, the row runs along the
// rectangle's. The error says what to write instead.
func (f *Form) findSide(p *Panel, v *RivetRow, print func(geom.Point) string) error {
	v.side = 0
	if v.Edge == "" {
		return nil
	}
	sides := f.sides(p)
	if n, err := strconv.Atoi(v.Edge); err == nil {
		if n < 1 || n > len(sides) {
			return fmt.Errorf("edge %d is none of the %d straight edges of %s; write a number from 1 to %[2]d, counted from its first corner", n, len(sides), quote(p.Mark))
		}
		v.side = n
		return nil
	}
	var facing []int
	var named []string
	for i, s := range sides {
		name, on := s.edge(p)
		if name != v.Edge {
			continue
		}
		if on {
			return nil
		}
		facing = append(facing, i+1)
		named = append(named, fmt.Sprintf("%d from %s to %s", i+1, print(s.from), print(s.to)))
	}
	if len(facing) > 1 {
		return fmt.Errorf("%s has more than one edge at the %s; write the number of one: %s", quote(p.Mark), v.Edge, strings.Join(named[:min(len(named), 4)], ", "))
	}
	if len(facing) == 1 {
		v.side = facing[0]
	}
	return nil
}

// stretched are the corners of an outline whose panel has got another size:
// those right of the middle move with the right edge, those above it with the top
// edge, and one just in the middle stays there. An arc keeps its shape, so that
// one of which the ends would move apart is an error, false.
func stretched(corners []corner, was, is geom.Point) ([]corner, bool) {
	move := func(x, was, is int64) int64 {
		switch {
		case 2*x > was:
			return x + is - was
		case 2*x == was:
			return is / 2
		}
		return x
	}
	out := slices.Clone(corners)
	for i := range out {
		out[i].X, out[i].Y = move(out[i].X, was.X, is.X), move(out[i].Y, was.Y, is.Y)
	}
	for i, c := range out {
		next := (i + 1) % len(out)
		if c.bulge != 0 && (c.X-corners[i].X != out[next].X-corners[next].X || c.Y-corners[i].Y != out[next].Y-corners[next].Y) {
			return nil, false
		}
	}
	return out, true
}

// cornerFault is why a corner cannot be rounded, and which.
type cornerFault struct {
	error
	corner corner
}

func (f cornerFault) Unwrap() error { return f.error }

// rounded is the outline of corners, anticlockwise. The error is a cornerFault
// where a corner cannot be rounded, else it is that of the whole.
func rounded(corners []corner) (geom.Outline, error) {
	o := polygon(corners)
	for i := len(corners) - 1; i >= 0; i-- { // from behind, as rounding adds vertices
		if corners[i].radius == 0 {
			continue
		}
		more, err := o.Rounded(i, corners[i].radius)
		if err != nil {
			return nil, cornerFault{err, corners[i]}
		}
		o = more
	}
	if err := o.Simple(); err != nil {
		return nil, err
	}
	if !o.Anticlockwise() {
		o = o.Reverse()
	}
	return o, nil
}
