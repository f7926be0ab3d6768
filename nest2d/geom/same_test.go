package geom

import (
	"encoding/json"
	"hash/fnv"
	"math"
	"math/rand/v2"
	"testing"
)

// Whatever is computed comes out the same to the last bit on every kind of
// machine. The digest was found on amd64 and again on arm64, whose compiler
// fuses products and sums; a change of method changes it.
func TestSameEverywhere(t *testing.T) {
	digest := fnv.New64a()
	put := json.NewEncoder(digest)
	r := rand.New(rand.NewPCG(5, 5))
	for range 300 {
		// Not the generator of the other tests: its sines are not the same
		// everywhere.
		line := func(size int64) (o Outline) {
			for _, q := range []Point{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}} {
				d := size/2 + r.Int64N(size/2)
				o = append(o, Vertex{Point{q.X*d + r.Int64N(size/9), q.Y*d + r.Int64N(size/9)}, r.Float64() - 0.5})
			}
			return o
		}
		s := Shape{Outer: line(1e9), Inner: []Outline{line(1e8)}, Holes: []Hole{{Point{r.Int64N(1e9), r.Int64N(1e9)}, r.Int64N(1e7)}}}
		c := s.Centroid()
		web, _ := s.NarrowestWeb()
		for _, x := range []any{
			math.Float64bits(s.Area()), math.Float64bits(s.CutLength()), s.Bounds(), c,
			s.Contains(c), s.Outer.Distance(c), web,
		} {
			if err := put.Encode(x); err != nil {
				t.Fatal(err)
			}
		}
		for _, side := range []Side{Outward, Inward} {
			points, err := s.Outer.Flatten(1e5, side)
			if err != nil {
				t.Fatal(err)
			}
			if err := put.Encode(points); err != nil {
				t.Fatal(err)
			}
		}
		if f, is := s.Simple().(*Fault); is {
			if err := put.Encode(f.At); err != nil {
				t.Fatal(err)
			}
		}
		if o, err := Polygon(Point{0, 0}, s.Outer[0].Point, s.Outer[2].Point).Rounded(1, 1e8); err == nil {
			if err := put.Encode(o); err != nil {
				t.Fatal(err)
			}
		}
	}
	if got, want := digest.Sum64(), uint64(0x494355f0b9247fdf); got != want {
		t.Errorf("digest %#x, want %#x", got, want)
	}
}
