package dxf

import (
	"fmt"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// Check says what a laser may not manage on a panel of that thickness, in
// units of 25 nm, or what Write would refuse: one sentence for the fault of a
// panel that is not simple (open to itself, with contours that cross or
// coincide, openings outside), else one for the smallest hole or opening and
// one for the narrowest web below the thickness, with how many there are.
// Below its thickness a sheet melts rather than cuts: common practice, no
// source; shops state limits of their own.
func Check(s geom.Shape, thickness int64) []string {
	if err := s.Simple(); err != nil {
		return []string{err.Error()}
	}
	s = drilled(s)
	var notes []string
	least, where, count := thickness, geom.Point{}, 0
	small := func(size int64, at geom.Point) {
		if size < thickness {
			count++
		}
		if size < least {
			least, where = size, at
		}
	}
	for _, h := range s.Holes {
		small(h.Diameter, h.Center)
	}
	for _, o := range s.Inner {
		box := o.Bounds()
		small(min(box.Length(), box.Width()), o[0].Point)
	}
	sheet := length.Length(thickness)
	if count > 0 {
		notes = append(notes, fmt.Sprintf("the opening at %v mm is %v across, less than the sheet's thickness of %v (%d such in all): make it larger or have it drilled",
			where, length.Length(least), sheet, count))
	}
	if webs := s.Webs(thickness); len(webs) > 0 {
		w := webs[0]
		notes = append(notes, fmt.Sprintf("%v and %v leave %v of material between them at %v mm, less than the sheet's thickness of %v (%d such places in all): move them apart",
			w.First, w.Second, length.Length(w.Width), w.From, sheet, len(webs)))
	}
	return notes
}
