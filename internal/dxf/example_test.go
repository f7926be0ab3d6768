package dxf_test

import (
	"bytes"
	"fmt"

	"sawbill/internal/dxf"
	"sawbill/nest2d/geom"
)

// A shutter with a rivet hole, written and read back.
func Example() {
	const mm = 40_000
	s := geom.Rectangle(600*mm, 400*mm)
	s.Holes = []geom.Hole{{Center: geom.Point{X: 12 * mm, Y: 12 * mm}, Diameter: 41 * mm / 10}}
	var file bytes.Buffer
	if err := dxf.Write(&file, s, dxf.Options{}); err != nil {
		fmt.Println(err)
		return
	}
	d, err := dxf.Read(&file, dxf.ReadOptions{})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(len(d.Shapes), d.Unit, d.Shapes[0].Equal(s), dxf.Check(d.Shapes[0], 2*mm, nil))
	// Output: 1 1 mm true []
}
