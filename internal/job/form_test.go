package job

import (
	"math"
	"math/big"
	"testing"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// formed is a job with one panel 600 x 400 of each kind of form, with four
// rivet rows around it, a window and its mirror image.
const formed = `outlines = '''
mark, contour, x, y, corner, mirror
S2, outer, 0, 0, 20,
S2, outer, 600, 0, ,
S2, outer, 600, 300, ,
S2, outer, 0, 400, ,
S2, vent, 300, 100, ,
S2, vent, 360, 100, ,
S2, vent, 330, 140, ,
S3, , , , , S2
'''
openings = '''
mark, x, y, length, width, corner, diameter
S1, 200, 150, 200, 120, 25,
S1, 100, 200, , , , 40
S2, 100, 150, , , , 10
'''
rows = '''
mark, name, edge, from, to, member, rivet, pitch
S1, low, bottom, , , tube, 4, 60
S1, high, top, , , tube, 4, 60
S1, left, left, , , tube, 4, 60
S1, right, right, , , tube, 4, 60
S2, slope, , 20; 380, 580; 286, tube, 4, 60
'''
rivets = '''
diameter, length, grip from, grip to, pack, price
4, 8, 3, 5, 100, 0.05 each
'''
consumables = '''
name, by, of, content, price
drill, count, rivets, 1, 2
tape, length, edges of skin, 25 m, 5
'''
adjust = '''
name, marks, less, more
long, S1 length, 100, 100
'''
`

func formedJob(t *testing.T) *Job {
	t.Helper()
	text := sound[:len(sound)-len("'''\n")] + "S2, skin, 600, 400, 1\nS3, skin, 600, 400, 3\n'''\n"
	j, err := readText(t, text+formed)
	if err != nil {
		t.Fatal(err)
	}
	return j
}

// Areas and lengths against closed forms of plane geometry (I. N. Bronshtein &
// K. A. Semendyayev, "Handbook of Mathematics": circle, ring, trapezium).
func TestFormMeasures(t *testing.T) {
	j := formedJob(t)
	mm2 := func(a *big.Int) float64 {
		f, _ := new(big.Float).SetInt(a).Float64()
		return f / 1.6e9
	}
	near := func(what string, got, want float64) {
		t.Helper()
		if math.Abs(got-want) > 1e-6*want {
			t.Errorf("%s is %.6f, want %.6f", what, got, want)
		}
	}
	hole := math.Pi / 4 * 4.1 * 4.1
	s1, s2, s3 := j.Panels[0], j.Panels[1], j.Panels[2]
	rivets := 0.0
	for _, v := range s1.Form.Rows {
		rivets += float64(v.Holes())
	}
	near("area of S1", mm2(s1.Area()), 600*400-(200*120-(4-math.Pi)*25*25)-math.Pi*20*20-rivets*hole)
	window := 2*(150+70) + 2*math.Pi*25
	near("cut of S1", length.Length(s1.CutLength()).Millimetres(), 2000+window+math.Pi*40+rivets*math.Pi*4.1)
	near("edges of S1", length.Length(s1.Edges()).Millimetres(), 2000+window+math.Pi*40)
	if s1.Pierces() != 3+int64(rivets) {
		t.Errorf("S1 has %d piercings and %v rivets", s1.Pierces(), rivets)
	}
	slope := float64(s2.Form.Rows[0].Holes())
	near("area of S2", mm2(s2.Area()), 600*350-(1-math.Pi/4)*20*20-60*40/2-math.Pi*25-slope*hole)
	near("edges of S2", length.Length(s2.Edges()).Millimetres(), 600-20+300+math.Hypot(600, 100)+400-20+math.Pi*10+60+2*50+math.Pi*10)
	if s2.Area().Cmp(s3.Area()) != 0 || s2.CutLength() != s3.CutLength() {
		t.Errorf("the other hand of S2 has %v square units and %d units of cut, S2 %v and %d", s3.Area(), s3.CutLength(), s2.Area(), s2.CutLength())
	}
	if !s3.Shape().MirrorY().Move(int64(s3.Length), 0).Equal(s2.Shape()) {
		t.Error("S3 is not S2 mirrored")
	}
	// S1 twice, S2 once, S3 three times.
	want := int64(2*rivets + 4*slope)
	var got int64
	for _, joint := range j.Riveted() {
		got += joint.Quantity * joint.Rivets
		if joint.Grip != mm(1.5+2+0.4) {
			t.Errorf("%s has a grip of %v", joint.Mark, joint.Grip)
		}
	}
	if n := j.Need(j.Consumables[0]); got != want || n.Cmp(big.NewRat(want, 1)) != 0 {
		t.Errorf("%d rivets in rows, %v drilled, want %d", got, n, want)
	}
	// Perpendicular to a side of the tube: every hole in the middle of its face.
	for _, v := range s1.Form.Rows {
		for _, l := range v.Laid {
			for _, h := range l.Holes {
				off := map[string]int64{"bottom": h.Y, "top": int64(s1.Width) - h.Y, "left": h.X, "right": int64(s1.Length) - h.X}[v.Edge]
				if off != int64(mm(12.5)) {
					t.Errorf("a hole of %s at %v lies %d units from its edge", v.Name, h, off)
				}
			}
		}
	}
}

// A dimension lays the rows anew and leaves openings where they are.
func TestMovedForm(t *testing.T) {
	j := formedJob(t)
	moved := j.Moved([]int64{-100})
	was, is := j.Panels[0], moved.Panels[0]
	if is.Length != mm(500) || is.Shape().Bounds() != (geom.Box{Max: geom.Point{X: int64(mm(500)), Y: int64(mm(400))}}) {
		t.Fatalf("moved it is %v", is.Shape().Bounds())
	}
	if was.Length != mm(600) || was.Shape().Bounds().Length() != int64(mm(600)) {
		t.Error("the job itself has changed")
	}
	if is.Form.Rows[0].Holes() >= was.Form.Rows[0].Holes() || is.Form.Rows[2].Holes() != was.Form.Rows[2].Holes() {
		t.Errorf("holes were %d and %d, are %d and %d", was.Form.Rows[0].Holes(), was.Form.Rows[2].Holes(), is.Form.Rows[0].Holes(), is.Form.Rows[2].Holes())
	}
	if is.Form.Openings[0][0] != was.Form.Openings[0][0] || moved.Panels[1].Form != j.Panels[1].Form {
		t.Error("what no dimension moves has moved")
	}
	if err := is.Shape().Simple(); err != nil {
		t.Error(err)
	}
}
