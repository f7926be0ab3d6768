package check

import (
	"fmt"
	"math"
	"os/exec"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// TestImports: the proof may know the job, with what that is read by, and the
// plan, never what made it.
func TestImports(t *testing.T) {
	out, err := exec.Command("go", "list", "-deps", "-test=false", ".").Output()
	if err != nil {
		t.Skipf("SKIPPED: the go command cannot list the imports here: %v", err)
	}
	for _, name := range strings.Fields(string(out)) {
		switch name {
		case "sawbill/internal/plan/check", "sawbill/internal/plan", "sawbill/internal/job", "sawbill/internal/section", "sawbill/internal/length",
			"sawbill/internal/rivet", "sawbill/internal/dxf", "sawbill/nest2d/geom":
		default:
			if strings.HasPrefix(name, "sawbill/") {
				t.Errorf("it depends on %s", name)
			}
		}
	}
}

// TestCutLength: 2.5 mm at 45° is 3.535 533 9 mm; 60° doubles the kerf exactly,
// since cos 60° = 1/2.
func TestCutLength(t *testing.T) {
	for _, c := range []struct {
		kerf  length.Length
		angle int64
		want  length.Length
	}{
		{100_000, 0, 100_000}, {100_000, 45_000, 141_422}, {100_000, -45_000, 141_422},
		{100_000, 60_000, 200_000}, {100_001, -60_000, 200_002}, {127_000, 60_000, 254_000}, {0, 30_000, 0},
		{100_000, 30_000, 115_471}, // 2/√3 = 1.154 700 5
	} {
		if got := cutLength(c.kerf, c.angle); got != c.want {
			t.Errorf("kerf %d at %d: %d, want %d", c.kerf, c.angle, got, c.want)
		}
	}
}

// often checks a property on times the usual number of cases.
func often(t *testing.T, times int, property func(*rapid.T)) {
	for range times {
		if rapid.Check(t, property); t.Failed() {
			return
		}
	}
}

// smallJob is a bar job small enough to be solved by trying everything.
func smallJob(r *rapid.T) *job.Job {
	j := hide()
	j.Panels, j.Pieces = nil, nil
	j.Processes[0].Kerf = rapid.SampledFrom([]length.Length{0, 1, 2}).Draw(r, "kerf")
	j.Processes[0].TrimLeft, j.Processes[0].TrimRight = 1, 0
	j.Processes[0].Tail = rapid.SampledFrom([]length.Length{0, 0, 3}).Draw(r, "tail")
	angles := []int64{0, 60_000}
	shortest := 3
	if j.Processes[0].SharedMitres = rapid.IntRange(0, 2).Draw(r, "shared mitres") == 0; j.Processes[0].SharedMitres {
		// At 60° a slant is √3 of the face: 1 or 3 units.
		s := &j.Materials[0].Section
		s.Width = rapid.SampledFrom([]length.Length{1, 2}).Draw(r, "face")
		s.Height, s.Shape = s.Width, rapid.SampledFrom([]section.Shape{section.SquareTube, section.SquareTube, section.RectTube, section.Flat, section.Angle, section.Channel}).Draw(r, "shape")
		switch s.Shape {
		case section.Flat:
			s.Thickness, s.Width = s.Width, 3
		case section.RectTube, section.Channel:
			s.Height = 3
		case section.Angle:
			s.Height = rapid.SampledFrom([]length.Length{s.Width, 3}).Draw(r, "leg")
		}
		j.Materials[0].GoodSide = rapid.IntRange(0, 3).Draw(r, "good side") == 0
		angles, shortest = []int64{0, 60_000, -60_000}, 12
	}
	left := int64(6)
	for i := range rapid.IntRange(1, 3).Draw(r, "marks") {
		n := rapid.Int64Range(1, max(1, left/2)).Draw(r, "quantity")
		left -= n
		j.Pieces = append(j.Pieces, job.Piece{
			Mark: fmt.Sprintf("P%d", i+1), Length: length.Length(rapid.IntRange(shortest, 20).Draw(r, "length")), Quantity: n,
			Left: rapid.SampledFrom(angles).Draw(r, "left"), Right: rapid.SampledFrom(angles).Draw(r, "right"),
		})
		if p := &j.Pieces[i]; j.Processes[0].SharedMitres && !j.Materials[0].Section.EqualFaces() {
			for end, angle := range []int64{p.Left, p.Right} {
				if face := section.Face(rapid.IntRange(0, 1).Draw(r, "side")); angle != 0 {
					*[]*section.Face{&p.LeftFace, &p.RightFace}[end] = face
				}
			}
		}
	}
	j.Offers = nil
	for i := range rapid.IntRange(1, 3).Draw(r, "offers") {
		o := job.Offer{
			Length: length.Length(rapid.IntRange(25, 45).Draw(r, "bar")), Price: rapid.Int64Range(1, 30).Draw(r, "price"),
			Stock: rapid.SampledFrom([]int64{-1, -1, 1, 2}).Draw(r, "stock"),
		}
		if i > 0 && rapid.IntRange(0, 3).Draw(r, "free") == 0 {
			o.Price, o.Stock = 0, 1
		}
		j.Offers = append(j.Offers, o)
	}
	return j
}

// cheapest is the least cost by trying every way to put the pieces, one by
// one, into bars, in every order within a bar; -1 when there is none.
func cheapest(j *job.Job) int64 {
	var pieces []job.Piece
	for _, p := range j.Pieces {
		for range p.Quantity {
			pieces = append(pieces, p)
		}
	}
	type bar struct {
		offer int
		held  []job.Piece
	}
	pr := j.Processes[0]
	fits := func(o job.Offer, held []job.Piece) bool {
		limit := o.Length - pr.TrimRight - pr.Tail
		// last is the angle of the end before, as it lies; positive with the tip below.
		var order func(at length.Length, last tip, rest []job.Piece) bool
		order = func(end length.Length, last tip, rest []job.Piece) bool {
			if len(rest) == 0 {
				if pr.Tail > 0 {
					end += cutLength(pr.Kerf, last.angle)
				}
				return end <= limit
			}
			for i := range rest {
				others := slices.Delete(slices.Clone(rest), i, i+1)
				for _, ends := range lying(j, rest[i]) {
					at := end
					if len(rest) < len(held) {
						at += max(cutLength(pr.Kerf, last.angle), cutLength(pr.Kerf, ends[0].angle))
						if pr.SharedMitres && (last.angle < 0) != (ends[0].angle < 0) && last.angle != 0 && ends[0].angle != 0 && last.face == ends[0].face {
							at -= length.Length(math.Sqrt(3) * float64(j.Materials[0].Section.Across(last.face)))
						}
					}
					if order(at+rest[i].Length, ends[1], others) {
						return true
					}
				}
			}
			return false
		}
		return order(pr.TrimLeft, tip{}, held)
	}
	best := int64(math.MaxInt64)
	var bars []bar
	used := make([]int64, len(j.Offers))
	var put func(i int, cost int64)
	put = func(i int, cost int64) {
		if cost >= best {
			return
		}
		if i == len(pieces) {
			best = cost
			return
		}
		for b := range bars {
			held := bars[b].held
			bars[b].held = append(slices.Clone(held), pieces[i])
			if fits(j.Offers[bars[b].offer], bars[b].held) {
				put(i+1, cost)
			}
			bars[b].held = held
		}
		for o, offer := range j.Offers {
			if offer.Stock >= 0 && used[o] >= offer.Stock || !fits(offer, pieces[i:i+1]) {
				continue
			}
			used[o]++
			bars = append(bars, bar{o, pieces[i : i+1]})
			put(i+1, cost+offer.Price)
			bars = bars[:len(bars)-1]
			used[o]--
		}
	}
	put(0, 0)
	if best == math.MaxInt64 {
		return -1
	}
	return best
}

// tip is an end as it lies, its angle positive with the tip on the lower edge of the
// wide side, or the back edge of the narrow one.
type tip struct {
	angle int64
	face  section.Face
}

// lying lists the ends of a piece as it may lie where mitres share cuts, written out
// for every kind of section.
func lying(j *job.Job, p job.Piece) [][2]tip {
	l, r := tip{p.Left, p.LeftFace}, tip{p.Right, p.RightFace}
	list := [][2]tip{{l, r}}
	m := j.Materials[0]
	if !j.Processes[0].SharedMitres {
		return list
	}
	flip := func(t tip, of ...section.Face) tip {
		if slices.Contains(of, t.face) {
			t.angle = -t.angle
		}
		return t
	}
	other := func(t tip) tip {
		if t.angle != 0 {
			t.face = section.Wide - t.face
		}
		return t
	}
	rolled := [2]tip{flip(l, section.Narrow, section.Wide), flip(r, section.Narrow, section.Wide)}
	onWide := [2]tip{flip(r, section.Wide), flip(l, section.Wide)}       // turned about the line square to the wide side
	onNarrow := [2]tip{flip(r, section.Narrow), flip(l, section.Narrow)} // and to the narrow side
	legs := [2]tip{other(r), other(l)}                                   // about the line between the legs
	switch s := m.Section; s.Shape {
	case section.SquareTube:
		if list = append(list, onNarrow); !m.GoodSide {
			list = append(list, rolled, onWide)
		}
	case section.RectTube, section.Flat:
		if list = append(list, onWide); !m.GoodSide {
			list = append(list, rolled, onNarrow)
		}
	case section.Channel:
		list = append(list, onWide)
	case section.Angle:
		if s.Width == s.Height && !m.GoodSide {
			list = append(list, legs)
		}
	}
	return list
}

// TestLeastCost: for small jobs the least cost by brute force is never
// contradicted, and one cent more is never believed. Where all cuts are equal
// the least cost itself is always proved, with no proof in the plan at all.
func TestLeastCost(t *testing.T) {
	settled, level := 0, 0
	often(t, 20, func(r *rapid.T) {
		j := smallJob(r)
		least := cheapest(j)
		if least < 1 {
			return
		}
		var proof *plan.BarProof
		claim := func(bound int64) (refused bool) {
			a := &audit{job: j}
			m := a.pairForTest(j)
			m.plan.Goals.Cost = plan.MoneyGoal{Value: plan.Money(bound), Bound: plan.Money(bound)}
			m.plan.BarProof = proof
			a.bound(m)
			if len(a.notes) > 0 {
				r.Fatalf("not proved: %v", a.notes)
			}
			return len(a.findings) > 0
		}
		if !claim(least + 1) {
			r.Fatalf("the least cost is %d, but %d was believed to be", least, least+1)
		}
		proof = drawProof(r, j)
		if !claim(least + 1) {
			r.Fatalf("the least cost is %d, but %d was believed by the proof %v", least, least+1, *proof)
		}
		proof = nil
		square := true
		for _, p := range j.Pieces {
			square = square && p.Left == j.Pieces[0].Left && p.Right == j.Pieces[0].Left
		}
		if claim(least) && square {
			r.Fatalf("the least cost is %d, but that was not proved", least)
		}
		settled++
		if square {
			level++
		}
	})
	if settled == 0 || level == 0 {
		t.Errorf("%d jobs were tried, %d of them with equal cuts", settled, level)
	}
}

// drawProof makes up a proof that may be right or wrong: values near the
// lengths, at a scale at which the bars may or may not pay for them.
func drawProof(r *rapid.T, j *job.Job) *plan.BarProof {
	p := &plan.BarProof{Scale: rapid.Int64Range(1, 6).Draw(r, "scale")}
	for _, q := range j.Pieces {
		if slices.ContainsFunc(p.Pieces, func(v plan.PieceValue) bool {
			return v.Length == q.Length && v.Left == q.Left && v.Right == q.Right && v.LeftWide == (q.LeftFace == section.Wide) && v.RightWide == (q.RightFace == section.Wide)
		}) {
			continue
		}
		p.Pieces = append(p.Pieces, plan.PieceValue{
			Length: q.Length, Left: q.Left, Right: q.Right, LeftWide: q.LeftFace == section.Wide, RightWide: q.RightFace == section.Wide, Value: int64(q.Length) + rapid.Int64Range(-3, 6).Draw(r, "value"),
		})
	}
	for o, offer := range j.Offers {
		if offer.Stock > 0 {
			p.Stocks = append(p.Stocks, plan.StockValue{Offer: o, Value: rapid.Int64Range(0, 60).Draw(r, "stock value")})
		}
	}
	return p
}

// pairForTest is the job's first material with an empty plan.
func (a *audit) pairForTest(j *job.Job) *material {
	m := &material{job: j.Materials[0], process: j.Processes[0], plan: &plan.Material{}}
	for i := range j.Offers {
		m.offers = append(m.offers, i)
	}
	return m
}

// TestTooLarge: without effort nothing is proved and nothing is called wrong.
func TestTooLarge(t *testing.T) {
	j, p := hide(), hidePlan(t)
	a := &audit{job: j, plan: p}
	m := a.pairForTest(j)
	m.plan, m.offers = tube(p), []int{0, 1}
	b := a.barModel(m)
	none := int64(0)
	l := a.barLadder(m, b, &none)
	if l == nil || len(a.findings) > 0 {
		t.Fatalf("found %v", a.findings)
	}
	got := l.climb(func(w worth) answer { return a.excluded(m, w, p.Materials[0].Goals.Cost.Bound, &none) })
	if got != unknown {
		t.Errorf("climbed to %v without effort", got)
	}
}

// TestCheaperNamed: a plan of three bars is not the cheapest when two will do,
// and the finding says so.
func TestCheaperNamed(t *testing.T) {
	j := hide()
	a := &audit{job: j}
	m := a.pairForTest(j)
	m.offers = []int{0, 1}
	m.plan.Goals.Cost = plan.MoneyGoal{Value: 5550, Bound: 5550}
	a.bound(m)
	const want = "2 of 6000 mm for 42.80"
	if len(a.findings) != 1 || !strings.Contains(a.findings[0].Text, want) {
		t.Errorf("%v does not name %q", a.findings, want)
	}
}

// TestWorthlessPieces: values of nothing prove nothing, whichever bars cannot
// hold any value; both were once believed.
func TestWorthlessPieces(t *testing.T) {
	believed := func(bound int64, proof *plan.BarProof, piece job.Piece, process job.Process, offers ...job.Offer) bool {
		j := hide()
		j.Panels, j.Pieces, j.Offers = nil, []job.Piece{piece}, offers
		j.Processes[0] = process
		a := &audit{job: j}
		m := a.pairForTest(j)
		m.plan.Goals.Cost = plan.MoneyGoal{Value: plan.Money(bound), Bound: plan.Money(bound)}
		m.plan.BarProof = proof
		a.bound(m)
		return len(a.findings) == 0
	}
	// One piece from one bar at 0.01, each piece valued at nothing.
	if believed(2, &plan.BarProof{Scale: 1, Pieces: []plan.PieceValue{{Length: 3}}},
		job.Piece{Mark: "P1", Length: 3, Quantity: 1}, job.Process{}, job.Offer{Length: 25, Price: 1, Stock: -1}) {
		t.Error("a bar for 0.01 is enough, 0.02 was believed to be least")
	}
	// Only the third bar, at 0.07, is long enough for piece and last cut.
	if believed(8, &plan.BarProof{
		Scale:  3,
		Pieces: []plan.PieceValue{{Length: 20, Right: 60_000, Value: 20}},
		Stocks: []plan.StockValue{{Offer: 1}},
	}, job.Piece{Mark: "P1", Length: 20, Right: 60_000, Quantity: 1}, job.Process{Kerf: 1, TrimLeft: 1, Tail: 3},
		job.Offer{Length: 25, Price: 1, Stock: -1}, job.Offer{Length: 25, Stock: 1}, job.Offer{Length: 26, Price: 7, Stock: -1}) {
		t.Error("a bar for 0.07 is enough, 0.08 was believed to be least")
	}
}
