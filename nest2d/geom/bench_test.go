package geom

import (
	"math"
	"testing"
)

// perforated is a panel of 2.5 × 1.25 m with 25 × 12 holes and a wavy edge of
// 800 arcs.
func perforated() Shape {
	const mm = 40000
	var s Shape
	for i := range int64(800) {
		a := 2 * math.Pi * float64(i) / 800
		s.Outer = append(s.Outer, Vertex{
			Point{nearest(1250 * mm * math.Cos(a)), nearest(625 * mm * math.Sin(a))},
			0.3 * float64(1-i%2*2),
		})
	}
	for x := int64(-12); x <= 12; x++ {
		for y := int64(-6); y < 6; y++ {
			s.Holes = append(s.Holes, Hole{Point{x * 40 * mm, y * 40 * mm}, 20 * mm})
		}
	}
	return s
}

func BenchmarkSimple(b *testing.B) {
	s := perforated()
	for b.Loop() {
		if err := s.Simple(); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkNarrowestWeb(b *testing.B) {
	s := perforated()
	for b.Loop() {
		if w, _ := s.NarrowestWeb(); w.Width != 20*40000 {
			b.Fatal(w)
		}
	}
}

func BenchmarkFlatten(b *testing.B) {
	s := perforated()
	for b.Loop() {
		if _, err := s.Outer.Flatten(400, Outward); err != nil {
			b.Fatal(err)
		}
	}
}
