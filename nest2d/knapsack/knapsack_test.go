package knapsack

import (
	"testing"

	"pgregory.net/rapid"
)

// brute tries every cut at every integer position, with real kerfs.
type brute struct {
	p     Problem
	known map[bruteState]int64
}

type bruteState struct {
	left, axis    int // stages left and axis to part along; -1 for any number
	length, width int64
}

// holds is the value of the best panel that is a rectangle, or with a trimming
// cut is cut from it.
func (b *brute) holds(length, width int64, trim [2]bool) int64 {
	best := int64(0)
	for _, a := range b.p.Panels {
		for _, s := range [][2]int64{{a.Length, a.Width}, {a.Width, a.Length}} {
			fits := s[0] <= length && s[1] <= width
			if fits && (trim[0] || s[0] == length) && (trim[1] || s[1] == width) {
				best = max(best, a.Value)
			}
			if !a.Turn {
				break
			}
		}
	}
	return best
}

func (b *brute) value(left, axis int, length, width int64) int64 {
	if length <= 0 || width <= 0 {
		return 0
	}
	if left == 0 {
		trim := [2]bool{}
		trim[axis] = b.p.TrimCut
		return b.holds(length, width, trim)
	}
	s := bruteState{left, axis, length, width}
	if v, ok := b.known[s]; ok {
		return v
	}
	best := int64(0)
	if left < 0 {
		best = b.holds(length, width, [2]bool{true, true})
	} else {
		best = b.value(left-1, 1-axis, length, width)
	}
	for a := range 2 {
		if left > 0 && a != axis {
			continue
		}
		whole := [2]int64{length, width}
		for x := int64(1); x < whole[a]; x++ {
			one, two := whole, whole
			one[a], two[a] = x, whole[a]-x-b.p.Kerf
			first := b.value(left, 0, one[0], one[1])
			if left > 0 {
				first = b.value(left-1, 1-axis, one[0], one[1])
			}
			best = max(best, first+b.value(left, axis, two[0], two[1]))
		}
	}
	b.known[s] = best
	return best
}

func (b *brute) best() int64 {
	if b.p.Stages == 0 {
		return b.value(-1, 0, b.p.Length, b.p.Width)
	}
	best := int64(0)
	for axis := range 2 {
		if b.p.may(axis) {
			best = max(best, b.value(b.p.Stages, axis, b.p.Length, b.p.Width))
		}
	}
	return best
}

func draw(t *rapid.T) Problem {
	n := func(low, high int64, name string) int64 { return rapid.Int64Range(low, high).Draw(t, name) }
	p := Problem{
		Length: n(1, 14, "length"), Width: n(1, 14, "width"), Kerf: n(0, 2, "kerf"),
		Stages: int(n(0, 3, "stages")), TrimCut: rapid.Bool().Draw(t, "trim"), FirstCut: Direction(n(0, 2, "first")),
	}
	for range n(1, 4, "panels") {
		p.Panels = append(p.Panels, Panel{n(1, 12, "l"), n(1, 12, "w"), n(0, 40, "v"), n(-1, 2, "most"), rapid.Bool().Draw(t, "turn")})
	}
	return p
}

// measured is the least size of a layout, grown by the kerf.
func measured(t fatal, p *Problem, n *Node) size {
	if n.Panel >= 0 {
		a := p.Panels[n.Panel]
		if n.Turned {
			if !a.Turn {
				t.Fatalf("panel %d is turned", n.Panel)
			}
			return size{a.Width + p.Kerf, a.Length + p.Kerf}
		}
		return size{a.Length + p.Kerf, a.Width + p.Kerf}
	}
	axis := axisX
	if n.Cut == AlongLength {
		axis = axisY
	}
	var s size
	for _, c := range n.Parts {
		if c.Panel < 0 && c.Cut == n.Cut || len(n.Parts) < 2 {
			t.Fatalf("a split in a split of the same direction, or of one part")
		}
		m := measured(t, p, c)
		s[axis] += m[axis]
		s[1-axis] = max(s[1-axis], m[1-axis])
	}
	return s
}

// mustHold tells that a result's layout is one and has the value it says.
func mustHold(t fatal, p *Problem, r Result) {
	total := int64(0)
	for i, n := range r.Counts(len(p.Panels)) {
		total += n * p.Panels[i].Value
	}
	if total != r.Value || r.Value > r.Bound {
		t.Fatalf("value %d, counted %d, bound %d", r.Value, total, r.Bound)
	}
	if r.Root == nil {
		return
	}
	s, whole := measured(t, p, r.Root), p.usable()
	if s[0] > whole[0] || s[1] > whole[1] {
		t.Fatalf("a layout of %v in %v", s, whole)
	}
	if p.Stages == 0 || r.Root.Panel >= 0 && s == whole {
		return
	}
	least := p.Stages + 1
	for axis := range 2 {
		if p.may(axis) {
			least = min(least, stagesOf(t, p, r.Root, axis, whole[1-axis]))
		}
	}
	if least > p.Stages {
		t.Fatalf("a layout takes more than %d stages: %+v", p.Stages, p)
	}
}

// stagesOf is how many stages a layout takes whose first cuts part along an axis and are
// so long; a cut that trims a panel is one only where no trimming cut is free.
func stagesOf(t fatal, p *Problem, n *Node, axis int, across int64) int {
	parts := []*Node{n}
	if n.Panel < 0 && n.Cut == cutOf(axis) {
		parts = n.Parts
	}
	most := 1
	for _, c := range parts {
		s := measured(t, p, c)
		switch {
		case c.Panel < 0:
			most = max(most, 1+stagesOf(t, p, c, 1-axis, s[axis]))
		case s[1-axis] < across && !p.TrimCut:
			most = max(most, 2)
		}
	}
	return most
}

func TestUnboundedAgainstAllCuts(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := draw(t)
		for i := range p.Panels {
			p.Panels[i].Most = Unlimited
		}
		r, err := Unbounded(p)
		if err != nil {
			t.Fatal(err)
		}
		b := brute{p, map[bruteState]int64{}}
		if want := b.best(); r.Value != want {
			t.Fatalf("value %d, by all cuts %d", r.Value, want)
		}
		for i := range p.Panels {
			p.Panels[i].Value = max(p.Panels[i].Value, 0)
		}
		mustHold(t, &p, r)
	})
}

// fatal is what checks need of a test or a property.
type fatal interface{ Fatalf(string, ...any) }

func TestErrors(t *testing.T) {
	good := Problem{Length: 10, Width: 10, Panels: []Panel{{2, 3, 4, 1, false}}}
	for _, spoil := range []func(p *Problem){
		func(p *Problem) { p.Length = 0 },
		func(p *Problem) { p.Width = MaxLength + 1 },
		func(p *Problem) { p.Kerf = -1 },
		func(p *Problem) { p.Stages = -1 },
		func(p *Problem) { p.FirstCut = 3 },
		func(p *Problem) { p.Panels[0].Length = 0 },
		func(p *Problem) { p.Panels[0].Most = -2 },
		func(p *Problem) { p.Panels[0].Value = MaxValue + 1 },
	} {
		p := good
		p.Panels = []Panel{good.Panels[0]}
		spoil(&p)
		if _, err := Unbounded(p); err == nil {
			t.Errorf("no error for %+v", p)
		}
	}
}
