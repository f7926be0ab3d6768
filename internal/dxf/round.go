package dxf

import (
	"math"

	"sawbill/nest2d/geom"
)

// drilled is the panel with inner outlines that are circles as holes.
func drilled(s geom.Shape) geom.Shape {
	out := geom.Shape{Outer: s.Outer, Holes: append([]geom.Hole(nil), s.Holes...)}
	for _, o := range s.Inner {
		if h, is := round(o); is {
			out.Holes = append(out.Holes, h)
		} else {
			out.Inner = append(out.Inner, o)
		}
	}
	return out
}

// round tells whether an outline is a circle, to within two units of rounded
// coordinates: all its edges are arcs of one centre and radius.
func round(o geom.Outline) (geom.Hole, bool) {
	const off = 2
	var x, y, r float64 // of the first arc
	turn := 0.0         // a quarter of their angles, in degrees
	for i, v := range o {
		w := o[(i+1)%len(o)]
		b := v.Bulge
		if !(math.Abs(b) > 0x1p-8 && math.Abs(b) < 0x1p8) || b*o[0].Bulge < 0 {
			return geom.Hole{}, false
		}
		cx, cy := float64(w.X-v.X), float64(w.Y-v.Y)
		n := (1 - b) * (1 + b) / (4 * b)
		ax := float64(v.X) + float64(cx/2) - float64(cy*n)
		ay := float64(v.Y) + float64(cy/2) + float64(cx*n)
		ar := math.Sqrt(float64(cx*cx)+float64(cy*cy)) * (1 + float64(b*b)) / (4 * math.Abs(b))
		if i == 0 {
			x, y, r = ax, ay, ar
		}
		if math.Abs(ax-x) > off || math.Abs(ay-y) > off || math.Abs(ar-r) > off {
			return geom.Hole{}, false
		}
		turn += arctan(math.Abs(b))
	}
	// A simple outline winds around the centre once.
	if len(o) < 2 || math.Abs(turn-90) > 0.1 {
		return geom.Hole{}, false
	}
	return geom.Hole{
		Center:   geom.Point{X: int64(math.Round(x)), Y: int64(math.Round(y))},
		Diameter: int64(math.Round(2 * r)),
	}, true
}
