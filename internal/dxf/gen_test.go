package dxf

import (
	"math"
	"math/rand/v2"

	"sawbill/nest2d/geom"
)

const mm = 40_000

// ring is an outline around a point: corners at random angles and distances,
// some edges bent; mostly simple.
func ring(r *rand.Rand, x, y, size float64) geom.Outline {
	n := 3 + r.IntN(8)
	var o geom.Outline
	for i := range n {
		angle := 2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n)
		d := size * (0.35 + 0.65*r.Float64())
		v := geom.Vertex{Point: geom.Point{X: int64(x + d*math.Cos(angle)), Y: int64(y + d*math.Sin(angle))}}
		switch r.IntN(4) {
		case 0:
			v.Bulge = 0.8 * (2*r.Float64() - 1)
		case 1:
			v.Bulge = math.Tan(math.Pi / 8)
		}
		o = append(o, v)
	}
	return o
}

// panel is a simple panel with arcs and openings.
func panel(r *rand.Rand, size float64) geom.Shape {
	for {
		off := 1000 * mm * (2*r.Float64() - 1)
		s := geom.Shape{Outer: ring(r, off, -off, size)}
		within := func() (float64, float64) {
			return off + size/3*(2*r.Float64()-1), -off + size/3*(2*r.Float64()-1)
		}
		for range r.IntN(3) {
			x, y := within()
			s.Inner = append(s.Inner, ring(r, x, y, size/9))
		}
		for range r.IntN(6) {
			x, y := within()
			s.Holes = append(s.Holes, geom.Hole{Center: geom.Point{X: int64(x), Y: int64(y)}, Diameter: 1 + r.Int64N(int64(size/15))})
		}
		if s.Simple() == nil {
			return s
		}
	}
}

// skin is a panel as the demo has them: rounded corners, a window with
// rounded corners, a vent, rivet holes along its edges.
func skin() geom.Shape {
	s := geom.Rectangle(1200*mm, 800*mm)
	s.Outer[2].Point = geom.Point{X: 1200 * mm, Y: 650 * mm} // a sloped edge
	rounded := func(o geom.Outline, radius int64) geom.Outline {
		for i := len(o) - 1; i >= 0; i-- {
			next, err := o.Rounded(i, radius)
			if err != nil {
				panic(err)
			}
			o = next
		}
		return o
	}
	s.Outer = rounded(s.Outer, 20*mm)
	window := geom.Polygon(geom.Point{X: 300 * mm, Y: 300 * mm}, geom.Point{X: 900 * mm, Y: 300 * mm}, geom.Point{X: 900 * mm, Y: 450 * mm}, geom.Point{X: 300 * mm, Y: 450 * mm})
	s.Inner = []geom.Outline{rounded(window, 12*mm)}
	for x := int64(40); x <= 1160; x += 70 {
		s.Holes = append(s.Holes, geom.Hole{Center: geom.Point{X: x * mm, Y: 12 * mm}, Diameter: 4*mm + 4000})
	}
	s.Holes = append(s.Holes, geom.Hole{Center: geom.Point{X: 150 * mm, Y: 600 * mm}, Diameter: 90 * mm})
	return s
}
