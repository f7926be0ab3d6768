package geom

import (
	"encoding/binary"
	"math"
	"testing"
)

// Whatever the vertices, nothing panics, and what is called simple keeps what
// the package promises.
func FuzzOutline(f *testing.F) {
	add := func(o Outline) {
		var data []byte
		for _, v := range o {
			data = binary.LittleEndian.AppendUint64(data, uint64(v.X))
			data = binary.LittleEndian.AppendUint64(data, uint64(v.Y))
			data = binary.LittleEndian.AppendUint64(data, math.Float64bits(v.Bulge))
		}
		f.Add(data)
	}
	add(Rectangle(100, 50).Outer)
	add(Hole{Point{3, 5}, 26}.Outline())
	add(Outline{{Point{-4, -3}, 0.5}, {Point{4, -3}, -1e-9}, {Point{9, -5}, 7}, {Point{-9, -5}, math.NaN()}})
	add(Outline{{Point{math.MinInt64, math.MaxInt64}, math.Inf(1)}, {Point{1 << 40, 1}, 1 << 20}, {Point{0, 0}, 5e-324}})
	f.Fuzz(func(t *testing.T, data []byte) {
		var o Outline
		for ; len(data) >= 24 && len(o) < 30; data = data[24:] {
			o = append(o, Vertex{
				Point{int64(binary.LittleEndian.Uint64(data)), int64(binary.LittleEndian.Uint64(data[8:]))},
				math.Float64frombits(binary.LittleEndian.Uint64(data[16:])),
			})
		}
		fault := o.Simple()
		shape := Shape{Outer: o, Holes: []Hole{{Point{1, 1}, 3}}}
		_, _, _, _ = shape.Area(), shape.CutLength(), shape.Bounds(), shape.Centroid()
		_, _ = shape.Simple(), shape.Normal()
		_, _ = shape.NarrowestWeb()
		for i := range o {
			_, _ = o.Rounded(i, 10)
		}
		at := o.Contains(Point{2, 1})
		if fault != nil {
			return
		}
		if (o.Distance(Point{2, 1}) == 0) != (at == On) {
			t.Errorf("%v: location %v, distance %v", o, at, o.Distance(Point{2, 1}))
		}
		if o.Reverse().Simple() != nil || o.Normal().Simple() != nil || o.MirrorX().Turn(1).Simple() != nil {
			t.Errorf("%v is simple, but not from another side", o)
		}
		box := o.Bounds()
		tolerance := max(LeastTolerance, max(box.Length(), box.Width())/100)
		for _, side := range []Side{Outward, Inward} {
			points, err := o.Flatten(tolerance, side)
			if err != nil {
				t.Fatal(err)
			}
			for _, p := range points {
				if o.Distance(p) > tolerance {
					t.Errorf("side %d of %v: %v is %d off, above %d", side, o, p, o.Distance(p), tolerance)
				}
				if at := o.Contains(p); side == Inward && at == Outside {
					t.Errorf("%v: %v is outside", o, p)
				}
			}
		}
	})
}
