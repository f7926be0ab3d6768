package geom

import "slices"

// Rectangles along the axes in and around outlines.

// Outline is the box's edge, anticlockwise.
func (b Box) Outline() Outline {
	return Polygon(b.Min, Point{b.Max.X, b.Min.Y}, b.Max, Point{b.Min.X, b.Max.Y})
}

// Inset is the box with so much less on every side.
func (b Box) Inset(by int64) Box {
	return Box{Point{b.Min.X + by, b.Min.Y + by}, Point{b.Max.X - by, b.Max.Y - by}}
}

// Holds says that a box lies within a simple outline, edges in common allowed: a
// unit less on every side is inside.
func (o Outline) Holds(b Box) bool {
	return Shape{Outer: o, Inner: []Outline{b.Inset(1).Outline()}}.Simple() == nil
}

// Boxes lists those between any two of the places along x and any two along y that
// keep says to keep, in the order of the places. O(x²·y²).
func Boxes(xs, ys []int64, keep func(Box) bool) []Box {
	var list []Box
	for i, x0 := range xs {
		for _, x1 := range xs[i+1:] {
			for j, y0 := range ys {
				for _, y1 := range ys[j+1:] {
					if b := (Box{Point{x0, y0}, Point{x1, y1}}); keep(b) {
						list = append(list, b)
					}
				}
			}
		}
	}
	return list
}

// Thinned sorts places, leaves out those met before, and of more than most those
// between.
func Thinned(places []int64, most int) []int64 {
	slices.Sort(places)
	places = slices.Compact(places)
	if len(places) <= most {
		return places
	}
	var some []int64
	for i := range int64(most) {
		some = append(some, places[i*int64(len(places)-1)/int64(most-1)])
	}
	return some
}
