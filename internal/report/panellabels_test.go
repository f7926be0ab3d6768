package report

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/report/drawing"
	"sawbill/nest2d/geom"
)

// Rounding a corner and finding it again are inverse, and the radius is that
// asked for; half a circle rounds no corner.
func TestSharpCorner(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		x, y := rapid.Int64Range(0, 700).Draw(t, "x"), rapid.Int64Range(250, 900).Draw(t, "y")
		r := rapid.Int64Range(2, 40).Draw(t, "r")
		const unit = 40_000
		o := geom.Polygon(geom.Point{}, geom.Point{X: 600 * unit}, geom.Point{X: x * unit, Y: y * unit})
		rounded, err := o.Rounded(2, r*unit)
		if err != nil {
			t.Fatal(err)
		}
		for i := range rounded {
			a, is := bendOf(rounded, i)
			if !is {
				continue
			}
			if math.Abs(float64(a.radius-r*unit)) > 200 {
				t.Errorf("R%d is found as %d", r, a.radius)
			}
			if far := math.Hypot(float64(a.sharp.X-x*unit), float64(a.sharp.Y-y*unit)); !a.rounds || far > 400 {
				t.Errorf("the corner is found %v units off (%v)", far, a.rounds)
			}
		}
	})
	slot := geom.Outline{{Point: geom.Point{}, Bulge: 0}, {Point: geom.Point{X: 100}, Bulge: 1}, {Point: geom.Point{X: 100, Y: 50}}, {Point: geom.Point{Y: 50}, Bulge: 1}}
	if a, is := bendOf(slot, 1); !is || a.rounds || a.radius != 25 || a.middle != (geom.Point{X: 125, Y: 25}) || a.centre != (geom.Point{X: 100, Y: 25}) {
		t.Errorf("half a circle is taken as %+v", a)
	}
	if got := corners(slot); len(got) != 4 {
		t.Errorf("a slot has the corners %v", got)
	}
}

// The radii of an outline and of openings are on the drawing, rounded corners are
// dimensioned as sharp ones.
func TestPanelLabels(t *testing.T) {
	e := withForms(t)
	f := e.job.Panels[0].Form
	bottom, err := geom.Rectangle(int64(e.job.Panels[0].Length), int64(e.job.Panels[0].Width)).Outer.Rounded(1, 35*int64(mm))
	if err != nil {
		t.Fatal(err)
	}
	window := f.Openings[0]
	for i := 3; i >= 0; i-- {
		if window, err = window.Rounded(i, 40*int64(mm)); err != nil {
			t.Fatal(err)
		}
	}
	f.Outline, f.Openings, f.Hand = bottom, []geom.Outline{window}, "S9"
	f.Shape.Outer, f.Shape.Inner = bottom, f.Openings
	files, _ := packAgain(t, e)
	page := text(t, find(t, files, "workshop/panels.pdf"))
	for _, want := range []string{"R35", "4 × R40", "Ø60", "the other hand of S9", "300", "700"} {
		if !strings.Contains(page, want) {
			t.Errorf("%q is not on the drawing:\n%s", want, page)
		}
	}
	if strings.Contains(page, "340") || strings.Contains(page, "1155") {
		t.Errorf("a corner is dimensioned where its arc begins:\n%s", page)
	}
}

// A line cuts an area where one of its points lies in it: by brute force.
func TestAreaCut(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func(name string) drawing.Point {
			return drawing.Point{X: float64(rapid.IntRange(-8, 18).Draw(t, name+"x")) + 0.5, Y: float64(rapid.IntRange(-8, 18).Draw(t, name+"y")) + 0.25}
		}
		a := area{0, 0, 10, 6}
		p, q := at("p"), at("q")
		want := false
		for k := range 4001 {
			s := float64(k) / 4000
			x, y := p.X+(q.X-p.X)*s, p.Y+(q.Y-p.Y)*s
			want = want || a.left <= x && x <= a.right && a.top <= y && y <= a.bottom
		}
		const corner = 0.01 // a line that grazes a corner may be taken either way
		slim := area{a.left + corner, a.top + corner, a.right - corner, a.bottom - corner}
		if want && !a.cut(p, q) || !want && slim.cut(p, q) {
			t.Errorf("from %v to %v: cut is %v", p, q, a.cut(p, q))
		}
	})
}
