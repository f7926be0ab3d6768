package geom

import (
	"math"
	"math/rand/v2"

	"pgregory.net/rapid"
)

// random is an outline around a point, star-shaped but for its arcs: corners
// at random angles and distances, some edges bent. It is anticlockwise and
// mostly simple. Tests only, so the standard trigonometry does.
func random(r *rand.Rand, centre Point, size float64) Outline {
	n := 3 + r.IntN(8)
	var o Outline
	for i := range n {
		angle := 2 * math.Pi * (float64(i) + 0.8*r.Float64()) / float64(n)
		d := size * (0.35 + 0.65*r.Float64())
		v := Vertex{Point: centre.plus(Point{nearest(d * math.Cos(angle)), nearest(d * math.Sin(angle))})}
		switch r.IntN(4) {
		case 0:
			v.Bulge = 0.8 * (2*r.Float64() - 1)
		case 1:
			v.Bulge = math.Tan(math.Pi / 8)
		case 2: // now and then almost straight, or more than half a circle
			switch r.IntN(6) {
			case 0:
				v.Bulge = 1e-6 * (2*r.Float64() - 1)
			case 1:
				v.Bulge = 1 + 2*r.Float64()
			}
		}
		o = append(o, v)
	}
	return o
}

// panel is a shape with openings, simple in most cases.
func panel(r *rand.Rand, size float64) Shape {
	s := Shape{Outer: random(r, Point{r.Int64N(1 << 30), -r.Int64N(1 << 30)}, size)}
	c := s.Outer.Centroid()
	for range r.IntN(3) {
		s.Inner = append(s.Inner, random(r, around(r, c, size/4), size/9))
	}
	for range r.IntN(4) {
		s.Holes = append(s.Holes, Hole{around(r, c, size/3), 1 + r.Int64N(int64(size/15))})
	}
	return s
}

func around(r *rand.Rand, c Point, size float64) Point {
	return c.plus(Point{nearest(size * (2*r.Float64() - 1)), nearest(size * (2*r.Float64() - 1))})
}

// outlines draws an outline from small and large ones.
func outlines(t *rapid.T) Outline {
	r := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
	size := math.Exp(rapid.Float64Range(math.Log(100), math.Log(1e9)).Draw(t, "log size"))
	return random(r, Point{}, size)
}
