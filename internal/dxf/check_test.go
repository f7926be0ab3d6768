package dxf

import (
	"strings"
	"testing"

	"sawbill/nest2d/geom"
)

func TestCheck(t *testing.T) {
	at := func(x, y int64) geom.Point { return geom.Point{X: x * mm, Y: y * mm} }
	with := func(holes ...geom.Hole) geom.Shape {
		s := geom.Rectangle(100*mm, 100*mm)
		s.Holes = holes
		return s
	}
	slot := with()
	slot.Inner = []geom.Outline{geom.Polygon(at(20, 20), at(80, 20), at(80, 21), at(20, 21))}
	tests := []struct {
		name  string
		s     geom.Shape
		notes []string
	}{
		{"a skin", skin(), nil},
		{"holes as wide as the sheet is thick", with(geom.Hole{Center: at(50, 50), Diameter: 2 * mm}), nil},
		{"small holes", with(geom.Hole{Center: at(20, 50), Diameter: 2*mm - 1}, geom.Hole{Center: at(50, 50), Diameter: mm}), []string{"(50.000, 50.000) mm is 1.000 mm across, less than the sheet's thickness of 2.000 mm (2 such in all)"}},
		{"a narrow slot", slot, []string{"is 1.000 mm across"}},
		{"webs", with(geom.Hole{Center: at(50, 50), Diameter: 10 * mm}, geom.Hole{Center: at(61, 50), Diameter: 10 * mm}, geom.Hole{Center: at(6, 50), Diameter: 10*mm - 4*mm}), []string{"hole 1 and hole 2 leave 1.000 mm of material"}},
		{"twice", with(geom.Hole{Center: at(50, 50), Diameter: 5 * mm}, geom.Hole{Center: at(50, 50), Diameter: 5 * mm}), []string{"hole 1 at (50.000, 50.000) mm and hole 2"}},
		{"outside", with(geom.Hole{Center: at(150, 50), Diameter: 5 * mm}), []string{"not within the outer outline"}},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := Check(test.s, 2*mm, nil)
			if len(got) != len(test.notes) {
				t.Fatalf("%q, want %q", got, test.notes)
			}
			for i, want := range test.notes {
				if !strings.Contains(got[i], want) {
					t.Errorf("%q, want %q", got[i], want)
				}
			}
		})
	}
}
