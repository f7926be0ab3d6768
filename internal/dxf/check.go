package dxf

import "sawbill/nest2d/geom"

// Check says, in lengths as print writes them, what a laser may not manage on a panel
// of that thickness, in units of 25 nm, or what Write would refuse: one sentence for the fault of a
// panel that is not simple (open to itself, with contours that cross or
// coincide, openings outside), else one for the smallest hole or opening and
// one for the narrowest web below the thickness, with how many there are.
// Below its thickness a sheet melts rather than cuts: common practice, no
// source; shops state limits of their own.
func Check(s geom.Shape, thickness int64, print Print) []string {
	if err := s.Simple(); err != nil {
		return []string{geom.Told(err, print.units())}
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
	say := func(format string, args ...any) { notes = append(notes, geom.Say(format, args...).In(print.units())) }
	if count > 0 {
		say("the opening at %v is %v across, less than the sheet's thickness of %v (%d such in all): make it larger or have it drilled",
			where, geom.Distance(least), geom.Distance(thickness), count)
	}
	if webs := s.Webs(thickness); len(webs) > 0 {
		w := webs[0]
		say("%v and %v leave %v of material between them at %v, less than the sheet's thickness of %v (%d such places in all): move them apart",
			w.First, w.Second, geom.Distance(w.Width), w.From, geom.Distance(thickness), len(webs))
	}
	return notes
}
