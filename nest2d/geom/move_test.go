package geom

import (
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"pgregory.net/rapid"
)

func TestMotions(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		o := outlines(t)
		dx, dy := rapid.Int64Range(-1e9, 1e9).Draw(t, "dx"), rapid.Int64Range(-1e9, 1e9).Draw(t, "dy")
		quarters := rapid.IntRange(-9, 9).Draw(t, "quarters")
		close := func(what string, got, want float64) {
			if math.Abs(got-want) > 1e-13*math.Abs(want) {
				t.Errorf("%s: %v becomes %v", what, want, got)
			}
		}
		for name, m := range map[string]Outline{
			"move": o.Move(dx, dy), "turn": o.Turn(quarters), "mirror x": o.MirrorX().Reverse(), "mirror y": o.MirrorY().Reverse(),
		} {
			close(name+" area", m.Area(), o.Area())
			close(name+" length", m.Length(), o.Length())
		}
		close("reverse", o.Reverse().Area(), -o.Area())
		same := func(what string, got Outline) {
			if !reflect.DeepEqual(got, o) {
				t.Errorf("%s: %v becomes %v", what, o, got)
			}
		}
		same("four quarters", o.Turn(quarters).Turn(-quarters))
		same("there and back", o.Move(dx, dy).Move(-dx, -dy))
		same("mirrored twice", o.MirrorX().MirrorX())
		same("two mirrors and half a turn", o.MirrorX().MirrorY().Turn(2))
		same("reversed twice", o.Reverse().Reverse())
		// Bounds move with the outline.
		b := o.Bounds()
		if got, want := o.Move(dx, dy).Bounds(), (Box{b.Min.plus(Point{dx, dy}), b.Max.plus(Point{dx, dy})}); got != want {
			t.Errorf("moved bounds %v, want %v", got, want)
		}
		// However it is written, there is one normal form.
		k := rapid.IntRange(0, len(o)-1).Draw(t, "start")
		other := append(append(Outline{}, o[k:]...), o[:k]...)
		if !o.Equal(other) {
			t.Errorf("%v is not equal to %v", o, other)
		}
		if o.Equal(o.Reverse()) {
			t.Errorf("%v is equal to its reverse", o)
		}
		if !reflect.DeepEqual(o.Normal(), other.Reverse().Normal()) {
			t.Errorf("normal forms %v and %v", o.Normal(), other.Reverse().Normal())
		}
		if !o.Normal().Anticlockwise() {
			t.Errorf("%v is clockwise", o.Normal())
		}
	})
}

func TestShapeNormal(t *testing.T) {
	r := rand.New(rand.NewPCG(3, 4))
	for range 300 {
		s := panel(r, 1e8)
		u := Shape{Outer: s.Outer.Reverse()}
		for _, i := range r.Perm(len(s.Inner)) {
			o := s.Inner[i]
			k := r.IntN(len(o))
			u.Inner = append(u.Inner, append(append(Outline{}, o[k:]...), o[:k]...))
		}
		for _, i := range r.Perm(len(s.Holes)) {
			u.Holes = append(u.Holes, s.Holes[i])
		}
		if !reflect.DeepEqual(s.Normal(), u.Normal()) || !s.Equal(u) {
			t.Fatalf("normal forms differ:\n%v\n%v", s.Normal(), u.Normal())
		}
		n := s.Normal()
		for _, m := range []Shape{n.MirrorX().MirrorX(), n.Turn(3).Turn(1), n.Move(5, 7).Move(-5, -7), n.MirrorX().MirrorY().Turn(2)} {
			if !n.Equal(m) {
				t.Fatalf("%v becomes %v", n, m)
			}
		}
		if !n.MirrorY().Outer.Anticlockwise() || len(n.Inner) > 0 && n.MirrorY().Inner[0].Anticlockwise() {
			t.Fatal("a mirrored panel has the wrong sense")
		}
		if n.Equal(n.Move(1, 0)) {
			t.Fatal("a moved panel is equal")
		}
	}
}

func TestNegativeZero(t *testing.T) {
	o := Rectangle(4, 3).Outer
	for _, m := range []Outline{o.MirrorX(), o.Reverse(), o.MirrorY().Reverse(), o.Turn(1)} {
		for _, v := range m {
			if math.Signbit(v.Bulge) {
				t.Fatalf("%v has a bulge of -0", m)
			}
		}
	}
}

func TestRounded(t *testing.T) {
	square := Rectangle(100, 100).Outer
	stadium, err := square.Rounded(0, 50)
	for i := 0; err == nil && i < 3; i++ { // the arcs take up both short edges
		stadium, err = stadium.Rounded([]int{2, 3, 4}[i], 50)
	}
	if err != nil {
		t.Fatal(err)
	}
	if len(stadium) != 4 || stadium.Simple() != nil {
		t.Errorf("a square rounded to a circle is %v", stadium)
	}
	near(t, "circle", stadium.Area(), math.Pi*2500)

	// A right angle at a re-entrant corner bends clockwise.
	corner := Polygon(Point{0, 0}, Point{100, 0}, Point{100, 50}, Point{50, 50}, Point{50, 100}, Point{0, 100})
	inner, err := corner.Rounded(3, 20)
	if err != nil {
		t.Fatal(err)
	}
	near(t, "re-entrant fillet", inner.Area(), 7500+(1-math.Pi/4)*400)

	faults := []struct {
		o      Outline
		i      int
		radius int64
	}{
		{square, 4, 10}, {square, -1, 10}, {square, 0, 0}, {square, 0, -5}, {square, 0, 102},
		{stadium, 1, 5}, {Polygon(Point{0, 0}, Point{5, 0}, Point{9, 0}, Point{4, 4}), 1, 2},
		{Polygon(Point{0, 0}, Point{9, 0}, Point{5, 0}, Point{4, 4}), 1, 2},
		{Polygon(Point{0, 0}, Point{0, 0}, Point{5, 0}), 1, 2}, {nil, 0, 1},
	}
	for _, f := range faults {
		if o, err := f.o.Rounded(f.i, f.radius); err == nil {
			t.Errorf("vertex %d of %v, radius %d: %v", f.i, f.o, f.radius, o)
		}
	}
}
