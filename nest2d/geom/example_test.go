package geom_test

import (
	"fmt"

	"sawbill/nest2d/geom"
)

// A shutter of a bird hide: 600 × 300 mm with rounded corners, a slot to look
// through and two holes for its hinge.
func Example() {
	const mm = 40000
	shutter := geom.Rectangle(600*mm, 300*mm)
	for i := 3; i >= 0; i-- { // from the last, so that indices stay
		var err error
		if shutter.Outer, err = shutter.Outer.Rounded(i, 25*mm); err != nil {
			fmt.Println(err)
			return
		}
	}
	slot := geom.Rectangle(240*mm, 80*mm).Move(180*mm, 110*mm).Outer
	shutter.Inner = []geom.Outline{slot.Reverse()}
	shutter.Holes = []geom.Hole{
		{Center: geom.Point{X: 100 * mm, Y: 285 * mm}, Diameter: 10 * mm},
		{Center: geom.Point{X: 500 * mm, Y: 285 * mm}, Diameter: 10 * mm},
	}
	if err := shutter.Simple(); err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("area %.0f mm²\n", shutter.Area()/mm/mm)
	fmt.Printf("cut %.1f mm, %d pierces\n", shutter.CutLength()/mm, shutter.Pierces())
	web, _ := shutter.NarrowestWeb()
	fmt.Printf("narrowest web %d mm, from %v to %v\n", web.Width/mm, web.First, web.Second)
	points, _ := shutter.Outer.Flatten(mm/2, geom.Outward)
	fmt.Println(len(points), "points around it")

	shutter.Holes[1].Center.Y = 297 * mm
	fmt.Println(shutter.Simple())
	// Output:
	// area 160106 mm²
	// cut 2459.9 mm, 4 pierces
	// narrowest web 10 mm, from the outer outline to hole 1
	// 24 points around it
	// edge 6 of the outer outline, which starts at (575.000, 300.000) mm, and hole 2 at (500.000, 297.000) mm meet at (496.000, 300.000) mm: move them apart
}
