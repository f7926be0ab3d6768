package job

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/nest2d/geom"
)

// seamJob is a job with a panel of an outline, an opening, rows and seams on some
// of them. A sheet of 9 m by 9 m takes all of it.
func seamJob(seams string) string {
	return `[job]
name = "roof"
unit = "mm"
currency = "EUR"
[material.tube]
stock = "SHS 40x40x3"
alloy = "6063-T6"
process = "saw"
[material.skin]
stock = "sheet 1.5"
alloy = "5754-H22"
process = "laser"
[process.saw]
kind = "saw"
kerf = 3
[process.laser]
kind = "laser"
spacing = 3
[tables]
pieces = '''
mark, material, length
P1, tube, 1000
'''
offers = '''
supplier, material, size, price
Curlew, tube, 2500, 11
Curlew, skin, 9000 x 9000, 40
'''
` + seams
}

// TestSeams: parts make up the panel, laps twice; every hole is where it would be
// in the whole panel, those of a seam in both parts; and no rivet is set twice.
func TestSeams(t *testing.T) {
	laps, two := 0, 0
	outer := t
	rapid.Check(t, func(t *rapid.T) {
		n := func(name string, from, to int) int { return rapid.IntRange(from, to).Draw(t, name) }
		long, wide, slope := n("length", 800, 3000), n("width", 1200, 4000), n("slope", 0, 80)
		quantity := n("quantity", 1, 3)
		y1, x1 := n("y", 300, wide-300), n("x", 300, long-300)
		text := fmt.Sprintf("panels = '''\nmark, material, length, width, quantity\nROOF, skin, %d, %d, %d\n'''\n", long, wide, quantity)
		text += fmt.Sprintf("outlines = '''\nmark, x, y\nROOF, 0, 0\nROOF, %d, 0\nROOF, %d, %d\nROOF, %d, %d\n'''\n", long, long-slope, wide, slope, wide)
		text += fmt.Sprintf("rows = '''\nmark, name, edge, from, to, member, rivet, pitch\nROOF, a, , 0; %[1]d, %[2]d; %[1]d, tube, 4, 100\nROOF, b, , %[3]d; 0, %[3]d; %[4]d, tube, 4, 100\nROOF, foot, bottom, , , tube, 4, 90\nROOF, side, left, , , tube, 4, 80\n'''\n", y1, long, x1, wide)
		over := rapid.SampledFrom([]string{"", "top", "bottom"}).Draw(t, "over")
		seams := fmt.Sprintf("ROOF, , %d, %s,\n", y1, over)
		lap := []int{4 * 4, n("lap", 16, 60)}[n("given", 0, 1)]
		if lap != 16 {
			seams = fmt.Sprintf("ROOF, , %d, %s, %d\n", y1, over, lap)
		}
		both := n("both", 0, 1) == 1
		if both {
			seams += fmt.Sprintf("ROOF, %d, , left,\n", x1)
		}
		whole, err := readText(outer, seamJob(text))
		if err != nil {
			t.Skip(err) // rows that do not go with each other
		}
		j, err := readText(outer, seamJob(text+"seams = '''\nmark, x, y, over, lap\n"+seams+"'''\n"))
		if err != nil {
			if s := err.Error(); strings.Contains(s, "put it on the seam") || strings.Contains(s, "corner") || strings.Contains(s, "no hole") {
				t.Skip(err)
			}
			t.Fatal(err)
		}
		parts := 2
		if both {
			parts, two = 4, two+1
		}
		laps++
		if len(j.Panels) != parts || len(whole.Panels) != 1 {
			t.Fatalf("%d parts", len(j.Panels))
		}
		area, lapped := 0.0, 0.0
		for _, p := range j.Panels {
			area += p.Form.Shape.Outer.Area()
			if p.Quantity != int64(quantity) {
				t.Errorf("%s: %d", p.Mark, p.Quantity)
			}
		}
		chordY := float64(long) - 2*float64(slope)*float64(y1)/float64(wide)
		lapped += float64(lap) * chordY
		if both { // the strips cross; the line is upright, so that its chord is the width
			lapped += 16*float64(wide) + 16*float64(lap)
			if x1 < slope || x1 > long-slope {
				return
			}
		}
		const mm = float64(40_000)
		if want := whole.Panels[0].Form.Shape.Outer.Area() + lapped*mm*mm; math.Abs(area-want) > 1e-6*want {
			t.Errorf("%v, want %v", area/mm/mm, want/mm/mm)
		}
		rivets := int64(0)
		for _, joint := range j.Riveted() {
			rivets += joint.Quantity * joint.Rivets
		}
		drawn := map[geom.Point]int{}
		for _, p := range j.Panels {
			for _, v := range p.Form.Rows {
				// Moved back by its own line: the rows of a part run where those of the whole do.
				for _, w := range whole.Panels[0].Form.Rows {
					if w.Name == v.Name {
						by := geom.Point{X: w.Row.From.X - v.Row.From.X, Y: w.Row.From.Y - v.Row.From.Y}
						for _, l := range v.Laid {
							for _, h := range l.Holes {
								drawn[geom.Point{X: h.X + by.X, Y: h.Y + by.Y}]++
								if p.Form.Shape.Contains(h) == geom.Inside {
									t.Errorf("%s: the hole at %v is not drilled", p.Mark, h)
								}
							}
						}
					}
				}
			}
		}
		for at, k := range drawn {
			onSeam := at.Y == int64(y1)*40_000 || both && at.X == int64(x1)*40_000
			if onSeam != (k == 2) || k > 2 {
				t.Errorf("the hole at %v is in %d parts", at, k)
			}
		}
		if rivets != int64(len(drawn))*int64(quantity) {
			t.Errorf("%d rivets for %d places in %d panels", rivets, len(drawn), quantity)
		}
		for _, p := range j.Panels {
			for _, v := range p.Form.Rows {
				thick := j.Materials[p.Material].Section.Thickness
				once := thick + j.Materials[v.Member].Section.Thickness + bondAt(v.Row)
				if grip := j.Grip(p, v); (v.Name == "a" || both && v.Name == "b") != (grip == once+thick+bondAt(v.Row)) {
					t.Errorf("%s %s: grip %v", p.Mark, v.Name, grip)
				}
			}
		}
		if got := j.Seams[0]; math.Abs(float64(got.Length)-chordY*mm) > mm && !both || (over == "bottom") != strings.HasSuffix(got.Over, ".1") && !both {
			t.Errorf("%+v, want %v", got, chordY)
		}
	})
	if laps == 0 || two == 0 {
		t.Error("nothing was parted: the test tests nothing")
	}
}
