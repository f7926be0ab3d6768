package geom

import (
	"math"
	"math/rand/v2"
	"testing"

	"pgregory.net/rapid"
)

// On a circle of radius 65 about the origin lie the lattice points of
// 65² = 16² + 63² = 25² + 60² = 33² + 56² = 39² + 52² (Hardy & Wright, An
// Introduction to the Theory of Numbers, section 16.9, counts them).
func TestContainsOnCircle(t *testing.T) {
	o := Hole{Diameter: 130}.Outline()
	on := 0
	for x := int64(-66); x <= 66; x++ {
		for y := int64(-66); y <= 66; y++ {
			want := Outside
			switch d := x*x + y*y; {
			case d < 65*65:
				want = Inside
			case d == 65*65:
				want = On
				on++
			}
			p := Point{x, y}
			if got := o.Contains(p); got != want {
				t.Errorf("%v: %v, want %v", p, got, want)
			}
			if got := o.Reverse().Contains(p); got != want {
				t.Errorf("%v in the reverse: %v, want %v", p, got, want)
			}
			if got := (Hole{Diameter: 130}).Contains(p); got != want {
				t.Errorf("%v in the hole: %v, want %v", p, got, want)
			}
			if (o.Distance(p) == 0) != (want == On) {
				t.Errorf("%v: distance %d", p, o.Distance(p))
			}
		}
	}
	if on != 36 { // r₂(65²) = 4·(2+1)·(2+1)
		t.Errorf("%d points on the circle, want 36", on)
	}
}

// Winding by the angles of a fine polygon says the same off the line, and
// distances are those to its spots.
func TestContainsAndDistance(t *testing.T) {
	inside, outside := 0, 0
	rapid.Check(t, func(t *rapid.T) {
		o := outlines(t)
		box := o.Bounds().grown(10)
		x := Point{rapid.Int64Range(box.Min.X, box.Max.X).Draw(t, "x"), rapid.Int64Range(box.Min.Y, box.Max.Y).Draw(t, "y")}
		if rapid.IntRange(0, 3).Draw(t, "level") == 0 { // with a vertex
			x.Y = o[rapid.IntRange(0, len(o)-1).Draw(t, "vertex")].Y
		}
		turn, least := 0.0, math.Inf(1)
		longest := 0.0
		for i := range o {
			line := sampled(o.edge(i), 1000)
			for k := range line[1:] {
				p, q := line[k].minus(x.spot()), line[k+1].minus(x.spot())
				turn += math.Atan2(p.cross(q), p.dot(q))
				least = min(least, p.length())
				longest = max(longest, q.minus(p).length())
			}
		}
		got := float64(o.Distance(x))
		// To the nearest of spots so far apart it is farther by this at most.
		if got > least+0.51 && !(got == 1) || got < least-longest/2-0.51 {
			t.Fatalf("%v: distance %v, sampled %v", x, got, least)
		}
		if least < longest+2 {
			t.Skip("too close to tell by samples")
		}
		want := Outside
		if math.Abs(turn) > math.Pi {
			want = Inside
			inside++
		} else {
			outside++
		}
		if got := o.Contains(x); got != want {
			t.Fatalf("%v: %v, want %v", x, got, want)
		}
	})
	if inside == 0 || outside == 0 {
		t.Errorf("%d inside, %d outside", inside, outside)
	}
}

// Every vertex is on the line, and so is the far point of an arc of whole
// numbers.
func TestOn(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := outlines(t)
		for _, v := range o {
			if o.Contains(v.Point) != On || o.Distance(v.Point) != 0 {
				t.Fatalf("vertex %v of %v is not on it", v, o)
			}
		}
	})
}

// The float filter of power must never overrule the integers: points a hair
// from a circle are asked with and without it.
func TestPowerFilter(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 9))
	for range 3000 {
		e := edge{Point{r.Int64N(1 << 40), r.Int64N(1 << 40)}, Point{r.Int64N(1 << 40), r.Int64N(1 << 40)}, math.Exp(20*r.Float64()-14) * float64(1-2*r.IntN(2))}
		spots := divide(Point{}.spot(), e.chord().spot(), e.b, 3, nil)
		x := spots[r.IntN(len(spots))].point().plus(e.p).plus(Point{r.Int64N(5) - 2, r.Int64N(5) - 2})
		g := e.curve(x) // its value at x is g.d
		if g.a.Sign() < 0 {
			g.d.Neg(g.d)
		}
		if got, want := e.power(x), g.d.Sign(); got != want {
			t.Fatalf("%v at %v: power %d, want %d", e, x, got, want)
		}
	}
}

func TestGaps(t *testing.T) {
	square := func(x, y, size int64) Outline { return Rectangle(size, size).Outer.Move(x, y) }
	circle := func(x, y, r int64) Outline { return Hole{Point{x, y}, 2 * r}.Outline() }
	tests := []struct {
		name string
		o, p Outline
		want int64
	}{
		{"squares side by side", square(0, 0, 100), square(130, 50, 100), 30},
		{"squares at corners", square(0, 0, 100), square(130, 140, 100), 50}, // 3-4-5
		{"square in square", square(0, 0, 100), square(20, 30, 40), 20},
		{"squares touch", square(0, 0, 100), square(100, 100, 40), 0},
		{"squares cross", square(0, 0, 100), square(90, 90, 40), 0},
		{"circle in square", square(0, 0, 100), circle(50, 60, 30), 10},
		{"circle and square", square(0, 0, 100), circle(50, 200, 30), 70},
		{"circle and corner", square(0, 0, 100), circle(130, 140, 20), 30},
		{"circles apart", circle(0, 0, 20), circle(30, 40, 10), 20},
		{"circles touch", circle(0, 0, 25), circle(30, 40, 25), 0},
		{"circle in circle", circle(0, 0, 100), circle(30, 40, 20), 30},
		{"one centre", circle(5, 5, 100), circle(5, 5, 20), 80},
		{"one turned", circle(5, 5, 100), circle(0, 0, 20).Turn(1).Move(5, 5), 80},
		{"same", circle(5, 5, 100), circle(5, 5, 100).Turn(2), 0},
		{"sqrt 2", square(0, 0, 100), square(101, 101, 9), 1},
		{"no vertices", square(0, 0, 100), nil, math.MaxInt64},
	}
	for _, test := range tests {
		for _, k := range []int64{1, 40000, 1 << 30} {
			scale := func(p Point) Point { return Point{k * p.X, k * p.Y} }
			want := test.want
			if want != math.MaxInt64 {
				want *= k
			}
			if test.name == "sqrt 2" {
				want = nearest(math.Sqrt2 * float64(k))
			}
			if got := test.o.each(scale, 1).Gap(test.p.each(scale, 1)); got != want {
				t.Errorf("%s times %d: %d, want %d", test.name, k, got, want)
			}
			if got := test.p.each(scale, 1).Gap(test.o.each(scale, 1)); got != want {
				t.Errorf("%s times %d, swapped: %d, want %d", test.name, k, got, want)
			}
		}
	}
}

// The gap of random outlines is that of their samples.
func TestGapSampled(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o, p := outlines(t), outlines(t)
		b, c := o.Bounds(), p.Bounds()
		p = p.Move(b.Max.X-c.Min.X-rapid.Int64Range(0, c.Length()/4+1).Draw(t, "back"), rapid.Int64Range(-b.Width(), b.Width()).Draw(t, "up"))
		least, step := math.Inf(1), 0.0
		var theirs []spot
		for j := range p {
			line := sampled(p.edge(j), 60)
			step = max(step, line[1].minus(line[0]).length())
			theirs = append(theirs, line...)
		}
		for i := range o {
			line := sampled(o.edge(i), 60)
			step = max(step, line[1].minus(line[0]).length())
			for _, x := range line {
				for _, y := range theirs {
					least = min(least, x.minus(y).length())
				}
			}
		}
		if got := float64(o.Gap(p)); got > least+0.51 && got != 1 || got < least-step-0.51 {
			t.Fatalf("gap %v, sampled %v, step %v", got, least, step)
		}
	})
}

func TestWebs(t *testing.T) {
	s := Rectangle(1000, 500)
	s.Inner = []Outline{Rectangle(100, 100).Outer.Move(30, 200)}
	s.Holes = []Hole{{Point{200, 250}, 41}, {Point{230, 290}, 21}, {Point{950, 250}, 60}}
	want := []Web{
		// 200 − 130 − 20.5 and √(30² + 40²) − 20.5 − 10.5
		{19, Contour{HoleContour, 0}, Contour{HoleContour, 1}, Point{212, 266}, Point{224, 282}},
		{20, Contour{}, Contour{HoleContour, 2}, Point{1000, 250}, Point{980, 250}},
		{30, Contour{}, Contour{InnerContour, 0}, Point{0, 200}, Point{30, 200}},
		{50, Contour{InnerContour, 0}, Contour{HoleContour, 0}, Point{130, 250}, Point{180, 250}}, // 49.5
	}
	got := s.Webs(51)
	if len(got) != len(want) {
		t.Fatalf("webs %v, want %v", got, want)
	}
	for i := range want {
		w, v := got[i], want[i]
		if w.From.X == v.From.X { // where edges are parallel, any place will do
			w.From, w.To = v.From, v.To
		}
		if w != v {
			t.Errorf("web %v, want %v", got[i], v)
		}
	}
	if n := len(s.Webs(20)); n != 1 {
		t.Errorf("%d webs below 20", n)
	}
	if w, found := s.NarrowestWeb(); !found || w.Width != 19 {
		t.Errorf("narrowest web %v, %v", w, found)
	}
	if w, found := Rectangle(3, 4).NarrowestWeb(); found {
		t.Errorf("a plain rectangle has the web %v", w)
	}
	s.Holes[0].Center.X -= 60
	if w, _ := s.NarrowestWeb(); w.Width != 0 {
		t.Errorf("a hole across an opening leaves %v", w)
	}
}

// Over the middle of arcs from almost straight to almost a circle, a point at
// the distance d from the arc.
func TestDistanceFromMiddle(t *testing.T) {
	for b := 1e-14; b < 1e5; b *= 3 {
		for _, d := range []float64{-3000, 17, 1e6} {
			const chord = 1000000
			o := Outline{{Point{0, 0}, b}, {Point{chord, 0}, -b}} // there and back: no matter
			height := chord * b / 2                               // downwards
			y := -height - d
			if b > 1 && d < 0 || math.Abs(y) > 0x1p40 {
				continue
			}
			if d < 0 && -d > o.edge(0).radius() {
				continue
			}
			x := Point{chord / 2, nearest(y)}
			want := math.Abs(float64(x.Y) + height)
			if got := float64(o.Distance(x)); math.Abs(got-want) > 0.51 {
				t.Errorf("bulge %v, %v below the arc: distance %v, want %v", b, d, got, want)
			}
		}
	}
}
