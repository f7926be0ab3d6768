package check

import (
	"cmp"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// TestSlants: long point less short point of one end is width·tan; at 45° the
// width itself, at atan 0.5 = 26.565° half of it, at 60° √3 of it. A regular ring of n sides is
// mitred at 180/n: 4 at 45°, 6 at 30°, 8 at 22.5° (geometry).
func TestSlants(t *testing.T) {
	for _, c := range []struct {
		angle int64
		want  float64 // for 40 mm
	}{{0, 0}, {45_000, 40}, {26_565, 20.000}, {60_000, 69.282}, {180_000 / 4, 40}, {180_000 / 6, 23.094}, {180_000 / 8, 16.568}} {
		got := slant(40*mm, c.angle).Millimetres()
		if got > c.want+0.001 || got < c.want-0.001 {
			t.Errorf("at %d: %.4f mm, want %.3f", c.angle, got, c.want)
		}
		if slant(40*mm, -c.angle) != slant(40*mm, c.angle) {
			t.Errorf("at %d: the hand matters", c.angle)
		}
	}
	if got := slant(40*mm, 45_000); got != 40*mm {
		t.Errorf("at 45° %d units, the width is %d", got, 40*mm)
	}
}

// nestJob is one bar of 25 mm tube of 3 m for two trapezoids and what else is given.
func nestJob(pieces ...job.Piece) (*audit, *material) {
	j := hide()
	j.Processes[0] = job.Process{Key: "saw", Kind: job.Saw, Kerf: 5 * mm / 2, TrimLeft: 10 * mm, SharedMitres: true}
	j.Pieces = pieces
	j.Offers[0].Length = 3000 * mm
	a := &audit{job: j}
	a.index()
	return a, a.pairForTest(j)
}

// TestSharedCut: two trapezoids of 1000 mm, 45° at both ends, lie 25 mm less
// 2.5/cos 45° = 3.535534 mm into each other, once one is rolled over; a unit closer
// the blade cuts into one of them.
func TestSharedCut(t *testing.T) {
	const mitre = 141_422 // 3.535534 mm, rounded up to 25 nm
	second := 1010*mm + mitre - 25*mm
	for _, c := range []struct {
		name           string
		at             length.Length
		turned, rolled bool
		change         func(*job.Job)
		fine           bool
	}{
		{"rolled", second, false, true, nil, true},
		{"rolled and turned", second, true, true, nil, true},
		{"a unit too close", second - 1, false, true, nil, false},
		{"a unit too far", second + 1, false, true, nil, false},
		{"not rolled", second, false, false, nil, false},
		{"not rolled, apart", 1010*mm + mitre, false, false, nil, true},
		{"no cuts are shared", second, false, true, func(j *job.Job) { j.Processes[0].SharedMitres = false }, false},
		{"one good face", second, false, true, func(j *job.Job) { j.Materials[0].GoodSide = true }, false},
		{"one way, square tube", second, false, true, func(j *job.Job) { j.Processes[0].OneWay = true }, true},
	} {
		a, m := nestJob(job.Piece{Mark: "P1", Length: 1000 * mm, Left: 45_000, Right: 45_000, Quantity: 2})
		if c.change != nil {
			c.change(a.job)
			m = a.pairForTest(a.job)
		}
		a.bar(m, &plan.Layout{
			Stock:  plan.Stock{Supplier: "North", Length: 3000 * mm},
			Pieces: []plan.Piece{{Mark: "P1", Copy: 1, At: 10 * mm}, {Mark: "P1", Copy: 2, At: c.at, Turned: c.turned, Rolled: c.rolled}},
			Offcut: 3000*mm - c.at - 1000*mm - mitre, Kept: a.job.Materials[0].KeepOver > 0 && 3000*mm-c.at-1000*mm-mitre >= a.job.Materials[0].KeepOver,
		}, "bar")
		if fine := len(a.findings) == 0; fine != c.fine {
			t.Errorf("%s: %v", c.name, a.findings)
		}
	}
}

// sections are one of each symmetry.
var sections = []section.Section{
	{Shape: section.SquareTube, Width: 25 * mm, Height: 25 * mm, Thickness: 2 * mm},
	{Shape: section.RectTube, Width: 20 * mm, Height: 40 * mm, Thickness: 2 * mm},
	{Shape: section.Flat, Width: 40 * mm, Thickness: 5 * mm},
	{Shape: section.Angle, Width: 40 * mm, Height: 40 * mm, Thickness: 4 * mm},
	{Shape: section.Angle, Width: 40 * mm, Height: 60 * mm, Thickness: 5 * mm},
	{Shape: section.Channel, Width: 25 * mm, Height: 50 * mm, Thickness: 3 * mm, Flange: 3 * mm},
}

// side is a side to lay an end on, the narrow one where it is square.
func side(t *rapid.T, angle int64) section.Face {
	f := section.Face(rapid.IntRange(0, 1).Draw(t, "side"))
	if angle == 0 {
		return section.Narrow
	}
	return f
}

// TestLies: in how many ways pieces of each section may lie, and that no section but
// those with two lines of symmetry is rolled.
func TestLies(t *testing.T) {
	for i, want := range [][2]string{
		{"as listed, turned, rolled and turned, rolled", "as listed, rolled and turned"},
		{"as listed, turned, rolled and turned, rolled", "as listed, turned"},
		{"as listed, turned, rolled and turned, rolled", "as listed, turned"},
		{"as listed, turned", "as listed"},
		{"as listed", "as listed"},
		{"as listed, turned", "as listed, turned"},
	} {
		for g, want := range want {
			a, m := nestJob(job.Piece{Mark: "P1", Length: 1000 * mm, Left: 45_000, Quantity: 1})
			a.job.Materials[0].Section, a.job.Materials[0].GoodSide = sections[i], g == 1
			m.job = a.job.Materials[0]
			var names []string
			for _, how := range a.lies(m) {
				names = append(names, map[[2]bool]string{{}: "as listed", {true, false}: "turned", {false, true}: "rolled", {true, true}: "rolled and turned"}[[2]bool{how.turned, how.rolled}])
			}
			slices.SortFunc(names, func(x, y string) int { return cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)) })
			got := strings.Join(names, ", ")
			wanted := strings.Split(want, ", ")
			slices.SortFunc(wanted, func(x, y string) int { return cmp.Or(cmp.Compare(len(x), len(y)), cmp.Compare(x, y)) })
			if got != strings.Join(wanted, ", ") {
				t.Errorf("%+v, good side %t: %s, want %s", sections[i], g == 1, got, want)
			}
		}
	}
}

// TestNestedOrders holds the least that joints take against all orders and ways to
// lie, by where the ends meet the edges; and what stays below it.
func TestNestedOrders(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.SampledFrom([]int64{0, 22_500, -22_500, 45_000, -45_000, 30_000})
		var pieces []job.Piece
		for i := range rapid.IntRange(1, 4).Draw(t, "kinds") {
			pieces = append(pieces, job.Piece{Mark: string(rune('A' + i)), Length: length.Length(200+i) * mm, Left: angle.Draw(t, "left"), Right: angle.Draw(t, "right"), Quantity: 2})
		}
		pieces[0].Left = 45_000
		s := rapid.SampledFrom(sections).Draw(t, "section")
		for i := range pieces {
			p := &pieces[i]
			if !s.EqualFaces() {
				p.LeftFace, p.RightFace = side(t, p.Left), side(t, p.Right)
			}
		}
		a, m := nestJob(pieces...)
		a.job.Materials[0].Section = s
		m.process.Tail = length.Length(rapid.IntRange(0, 1).Draw(t, "tail")) * mm
		a.job.Materials[0].GoodSide = rapid.Bool().Draw(t, "good side")
		m.job = a.job.Materials[0]
		b := a.barModel(m)
		if b.nest == nil {
			t.Fatal("nothing is shared")
		}
		var content []int
		for range rapid.IntRange(1, 4).Draw(t, "pieces") {
			content = append(content, rapid.IntRange(0, len(b.kinds)-1).Draw(t, "kind"))
		}
		lies := a.lies(m)
		best := length.Length(-1)
		var try func(left []int, at length.Length, last *mitre)
		try = func(left []int, at length.Length, last *mitre) {
			if len(left) == 0 {
				if m.process.Tail > 0 {
					at += last.cut
				}
				if best < 0 || at < best {
					best = at
				}
				return
			}
			for i, k := range left {
				rest := slices.Delete(slices.Clone(left), i, i+1)
				for _, how := range lies {
					l, r := m.mitres(b.kinds[k].piece(), how)
					to := length.Length(0)
					if last != nil {
						// Right edges lie at −low and −up from the tip, left ones at low and up.
						cut := max(last.cut, l.cut)
						to = at + cut - last.reach[0] - l.reach[0]
						for n := range boxCorners {
							to = max(to, at+cut-last.reach[n]-l.reach[n])
						}
					}
					try(rest, to+b.kinds[k].length, &r)
				}
			}
		}
		try(content, 0, nil)
		if got := b.need(content); got != best || b.loose {
			t.Fatalf("%v take %d, by trial %d (loose %t)", content, got, best, b.loose)
		}
		counts, sum := make([]int, len(b.nest.classes)), length.Length(0)
		weight, high, low := int64(0), int64(-1<<60), int64(1<<60)
		for _, k := range content {
			counts[b.nest.of[k]]++
			sum += b.kinds[k].length
		}
		if few := b.nest.halves(counts); few+sum > best && !repeated(b, content) {
			t.Fatalf("%v take at least %d by halves, %d by trial", content, few+sum, best)
		}
		for _, k := range b.kinds {
			for e := range 2 {
				high, low = max(high, int64(k.charge[e])), min(low, int64(k.whole[e]))
			}
		}
		for _, k := range content {
			weight += b.kinds[k].weight
		}
		room := int64(2*best) + 2*high
		if m.process.Tail > 0 {
			room = int64(2*best) + high - low
		}
		if weight > room && !repeated(b, content) {
			t.Fatalf("%v weigh %d, what they take has room for %d", content, weight, room)
		}
		if b.square && weight != room && !repeated(b, content) {
			t.Fatalf("%v weigh %d of %d, though all joints are said to be alike", content, weight, room)
		}
	})
}

// repeated says that a content holds more of a kind than the job wants: what that
// can share is not looked at.
func repeated(b *barModel, content []int) bool {
	counts := make([]int64, len(b.kinds))
	for _, k := range content {
		counts[k]++
		if counts[k] > b.kinds[k].number {
			return true
		}
	}
	return false
}
