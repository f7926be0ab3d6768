package dxf

import (
	"cmp"
	"errors"
	"fmt"
	"math"
	"slices"

	"sawbill/nest2d/geom"
)

// A contour of a drawing, not yet known to be outer or inner.
type contour struct {
	line   geom.Outline
	hole   geom.Hole // if circle
	circle bool
	box    geom.Box
	area   float64
	depth  int // contours around it
	parent int // the innermost of these, −1 for none
}

const (
	mostContours = 10_000
	mostShapes   = 1_000
	mostDepth    = 16
	mostAsked    = 20_000_000 // edges of outlines times contours
)

// nested sorts contours: those within an even number of others bound panels
// from outside, those within an odd number are openings. Contours of
// different panels may not meet; within one, geom sees to that.
func nested(circles []geom.Hole, closed []geom.Outline, t *twice) ([]geom.Shape, error) {
	all := contours(circles, closed, t)
	switch {
	case len(all) == 0:
		return nil, errors.New("the drawing has no contour: draw one with lines, arcs, circles or polylines in model space, on a layer that is on")
	case len(all) > mostContours:
		return nil, fmt.Errorf("the drawing has %d contours, more than %d: leave out what is not to be cut", len(all), mostContours)
	}
	edges := 0
	for _, o := range closed {
		edges += len(o)
	}
	if edges*len(all) > mostAsked {
		return nil, fmt.Errorf("the drawing has %d contours and outlines of %d edges, too many together: draw its curves with fewer edges", len(all), edges)
	}
	slices.SortStableFunc(all, func(a, b contour) int { return cmp.Compare(b.area, a.area) })
	shapes := map[int]*geom.Shape{}
	var outer []int
	for i := range all {
		c := &all[i]
		c.parent = -1
		for k := range all[:i] {
			if all[k].around(c) {
				c.depth++
				c.parent = k // the smallest so far
			}
		}
		if c.depth > mostDepth {
			return nil, geom.Say("the contour at %v is within %d others: leave out what is not to be cut", c.line[0].Point, c.depth)
		}
		s := shapes[c.parent]
		switch {
		case c.depth%2 == 0:
			shapes[i] = &geom.Shape{Outer: c.line}
			outer = append(outer, i)
		case s == nil: // contours that cross may seem to lie within each other
			return nil, crossing(c, &all[c.parent])
		case c.circle:
			s.Holes = append(s.Holes, c.hole)
		default:
			s.Inner = append(s.Inner, c.line)
		}
	}
	if len(outer) > mostShapes {
		return nil, fmt.Errorf("the drawing has %d panels, more than %d: draw each on its own", len(outer), mostShapes)
	}
	for n, i := range outer {
		for _, k := range outer[:n] {
			if all[i].parent == all[k].parent && all[i].meets(&all[k]) {
				return nil, crossing(&all[i], &all[k])
			}
		}
		if p := all[i].parent; p >= 0 && all[i].meets(&all[p]) {
			return nil, crossing(&all[i], &all[p])
		}
	}
	var out []geom.Shape
	for _, i := range outer {
		if err := shapes[i].Simple(); err != nil {
			return nil, err
		}
		out = append(out, shapes[i].Normal())
	}
	slices.SortStableFunc(out, func(s, t geom.Shape) int {
		a, b := s.Outer[0].Point, t.Outer[0].Point
		return cmp.Or(cmp.Compare(a.Y, b.Y), cmp.Compare(a.X, b.X))
	})
	return out, nil
}

// contours gathers them; circles drawn twice are left out.
func contours(circles []geom.Hole, closed []geom.Outline, t *twice) []contour {
	var all []contour
	seen := map[geom.Hole]bool{}
	for _, h := range circles {
		if seen[h] {
			t.again(h.Center)
			continue
		}
		seen[h] = true
		all = append(all, contour{line: h.Outline(), hole: h, circle: true})
	}
	for _, o := range closed {
		h, circle := round(o)
		if circle && seen[h] {
			t.again(h.Center)
			continue
		}
		if circle {
			seen[h] = true
		}
		all = append(all, contour{line: o, hole: h, circle: circle})
	}
	for i := range all {
		all[i].box, all[i].area = all[i].line.Bounds(), math.Abs(all[i].line.Area())
	}
	return all
}

// around tells whether d lies within c, which is not smaller.
func (c *contour) around(d *contour) bool {
	if c.box.Min.X > d.box.Min.X || c.box.Min.Y > d.box.Min.Y || c.box.Max.X < d.box.Max.X || c.box.Max.Y < d.box.Max.Y {
		return false
	}
	for _, v := range d.line {
		if where := c.line.Contains(v.Point); where != geom.On {
			return where == geom.Inside
		}
	}
	return false
}

func (c *contour) meets(d *contour) bool {
	return overlap(c.box, d.box) && c.line.Gap(d.line) == 0
}

func crossing(c, d *contour) error {
	return geom.Say("the contours that start at %v and at %v cross or touch: move them apart, or draw one contour around both", c.line[0].Point, d.line[0].Point)
}
