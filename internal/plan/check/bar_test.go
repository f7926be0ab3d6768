package check

import (
	"testing"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// TestTail: with a tail of 100 mm, 2.5 mm kerf and 10 mm trims the pieces and
// every cut after them must stay within 1000 - 10 - 100 = 890 mm of a bar of
// 1 m; without a tail the last cut may run off the end.
func TestTail(t *testing.T) {
	const kerf = 5 * mm / 2
	for _, c := range []struct {
		name       string
		tail, last length.Length // length of the only piece
		right      int64
		fits       bool
	}{
		{"just clear of the tail", 100 * mm, 880*mm - kerf, 0, true},
		{"a unit into the tail", 100 * mm, 880*mm - kerf + 1, 0, false},
		{"mitred, just clear", 100 * mm, 880*mm - 2*kerf, 60_000, true},
		{"mitred, a unit too long", 100 * mm, 880*mm - 2*kerf + 1, 60_000, false},
		{"no tail, to the end", 0, 980 * mm, 0, true},
		{"no tail, a unit too long", 0, 980*mm + 1, 0, false},
	} {
		j := hide()
		j.Processes[0].Tail = c.tail
		j.Pieces = []job.Piece{{Mark: "P1", Length: c.last, Right: c.right, Quantity: 1}}
		j.Offers[0].Length = 1000 * mm
		a := &audit{job: j}
		a.index()
		m := a.pairForTest(j)
		cut := kerf
		if c.right != 0 {
			cut = 2 * kerf // 1/cos 60°
		}
		a.bar(m, &plan.Layout{
			Stock:  plan.Stock{Supplier: "North", Length: 1000 * mm},
			Pieces: []plan.Piece{{Mark: "P1", Copy: 1, At: 10 * mm}},
			Offcut: max(0, 990*mm-c.last-cut),
		}, "bar")
		if fits := len(a.findings) == 0; fits != c.fits {
			t.Errorf("%s: %v", c.name, a.findings)
		}
	}
}

// TestMassLength: trapezoid and parallelogram of 25 mm face at 45° both have
// L - 25 mm, the mean of their long and short edges or their one edge; of 40 x 20 each
// end goes by the side that it is laid on.
func TestMassLength(t *testing.T) {
	j := hide()
	square := j.Materials[0].Section
	for _, right := range []int64{45_000, -45_000} {
		got := massLength(job.Piece{Length: 1000 * mm, Left: 45_000, Right: right}, square)
		if d := got - float64(975*mm); d > 1e-3 || d < -1e-3 {
			t.Errorf("right end %d: %.3f units", right, got)
		}
	}
	oblong := square
	oblong.Height, oblong.Width = 40*mm, 20*mm
	oblong.Shape = section.RectTube
	const n, w = section.Narrow, section.Wide
	for _, c := range []struct {
		left, right section.Face
		want        length.Length
	}{{n, n, 980 * mm}, {w, w, 960 * mm}, {w, n, 970 * mm}, {n, w, 970 * mm}} {
		p := job.Piece{Length: 1000 * mm, Left: 45_000, Right: 45_000, LeftFace: c.left, RightFace: c.right}
		if d := massLength(p, oblong) - float64(c.want); d > 1e-3 || d < -1e-3 {
			t.Errorf("laid on %v and %v: %.3f units off", c.left, c.right, d)
		}
	}
}

// TestGrain: with a grain nothing is turned and a leftover counts one way only.
func TestGrain(t *testing.T) {
	j := hide()
	j.Materials[1].Grain = true
	p := hidePlan(t)
	refused(t, "turned panels across the grain", j, p)
	m := &material{job: j.Materials[1]}
	if !m.keepsSheet(600*mm, 400*mm) || m.keepsSheet(400*mm, 600*mm) || m.keepsSheet(600*mm, 400*mm-1) {
		t.Error("the size of leftovers with a grain")
	}
	m.job.Grain = false
	if !m.keepsSheet(400*mm, 600*mm) {
		t.Error("without a grain a leftover may be turned")
	}
	m.job.KeepLength = 0
	if m.keepsSheet(4000*mm, 6000*mm) {
		t.Error("nothing is to be kept")
	}
}

// TestStages: the plan of the hide needs two stages and one trimming cut.
func TestStages(t *testing.T) {
	p := hidePlan(t)
	for _, c := range []struct {
		stages int
		exact  bool
		right  bool
	}{{0, false, true}, {0, true, true}, {3, true, true}, {3, false, true}, {2, false, true}, {2, true, false}, {1, false, false}} {
		j := hide()
		j.Processes[1].Stages, j.Processes[1].Exact = c.stages, c.exact
		if f, _ := Plan(j, p); (len(f) == 0) != c.right {
			t.Errorf("%d stages, exact %t: %v", c.stages, c.exact, f)
		}
	}
}

// TestJobChanges: the same plan against a job that has changed underneath it.
func TestJobChanges(t *testing.T) {
	for _, c := range []struct {
		name  string
		spoil func(j *job.Job)
	}{
		{"a wider kerf", func(j *job.Job) { j.Processes[0].Kerf++ }},
		{"a wider trim", func(j *job.Job) { j.Processes[0].TrimLeft++ }},
		{"a trim that no longer leaves room", func(j *job.Job) { j.Processes[0].TrimRight = 40 * mm }},
		{"a wider saw for sheets", func(j *job.Job) { j.Processes[1].Kerf++ }},
		{"a wider smallest strip", func(j *job.Job) { j.Processes[1].MinStrip = 75 * mm }},
		{"a beam in place of the saw", func(j *job.Job) { j.Processes[1].Kind = job.Beam }},
		{"one piece more", func(j *job.Job) { j.Pieces[0].Quantity++ }},
		{"one piece fewer", func(j *job.Job) { j.Pieces[0].Quantity-- }},
		{"a longer piece", func(j *job.Job) { j.Pieces[2].Length++ }},
		{"another angle", func(j *job.Job) { j.Pieces[0].Left = 22_500 }},
		{"a price raised", func(j *job.Job) { j.Offers[0].Price++ }},
		{"a stock run out", func(j *job.Job) { j.Offers[0].Stock = 1 }},
		{"an offer dropped", func(j *job.Job) { j.Offers = j.Offers[1:] }},
		{"a cheaper offer", func(j *job.Job) { j.Offers[1].Price = 1400 }},
		{"a longer offcut to keep", func(j *job.Job) { j.Materials[0].KeepOver = 500 * mm }},
		{"another growth", func(j *job.Job) { j.Materials[0].Growth = 600 }},
		{"another density", func(j *job.Job) { j.Materials[0].Density = 2710 }},
		{"a dearer delivery", func(j *job.Job) { j.Suppliers[0].Delivery++ }},
		{"suppliers exchanged", func(j *job.Job) { j.Suppliers[0], j.Suppliers[1] = j.Suppliers[1], j.Suppliers[0] }},
		{"a panel not to be turned", func(j *job.Job) { j.Panels[0].Turn = false }},
		{"a panel of another size", func(j *job.Job) { j.Panels[2].Width-- }},
	} {
		j := hide()
		c.spoil(j)
		refused(t, c.name, j, hidePlan(t))
	}
}
