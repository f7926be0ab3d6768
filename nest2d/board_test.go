package nest2d

import (
	"slices"
	"testing"

	"pgregory.net/rapid"
)

// TestBoard places and removes panels at random and proves after every step
// what a board promises.
func TestBoard(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		b := &board{}
		b.reset(m, 0)
		b.measure(m)
		placed := make([]int, len(p.Panels))
		for range rapid.IntRange(1, 40).Draw(t, "steps") {
			var leaves []int32
			for v := range b.nodes {
				if b.nodes[v].panel != none {
					leaves = append(leaves, int32(v))
				}
			}
			if len(leaves) > 0 && rapid.IntRange(0, 2).Draw(t, "remove") == 0 {
				v := rapid.SampledFrom(leaves).Draw(t, "leaf")
				placed[b.nodes[v].panel]--
				b.remove(m, v)
				b.measure(m)
			} else {
				panel := rapid.IntRange(0, len(p.Panels)-1).Draw(t, "panel")
				rule := rapid.SampledFrom([]rule{leastArea, leastSide, leastLongSide}).Draw(t, "rule")
				skip := func() bool { return rapid.IntRange(0, 9).Draw(t, "skip") == 0 }
				if s, ok := b.tightest(m, panel, rule, skip); ok {
					if !b.admits(m, int32(panel)) {
						t.Fatal("a board with a spot does not admit the panel")
					}
					b.place(m, s, panel, 1)
					placed[panel]++
				}
			}
			checkBoard(t, m, b, placed)
		}
	})
}

func checkBoard(t *rapid.T, m *model, b *board, placed []int) {
	count, load := make([]int, len(placed)), int64(0)
	var walk func(v int32) size
	walk = func(v int32) size {
		n := b.nodes[v]
		if n.panel != none {
			count[n.panel]++
			load += m.weight[n.panel]
			return n.size
		}
		parts, s := 0, size{}
		for c := n.first; c != none; c = b.nodes[c].next {
			part := walk(c)
			s[n.axis] += part[n.axis]
			s[1-n.axis] = max(s[1-n.axis], part[1-n.axis])
			parts++
			if b.nodes[c].up != v || b.nodes[c].panel == none && b.nodes[c].axis == n.axis {
				t.Fatal("a part does not belong to its split")
			}
		}
		if parts < 2 || s != n.size {
			t.Fatalf("a split of %d parts measures %v, not %v", parts, n.size, s)
		}
		return s
	}
	if b.root != none {
		s, usable := walk(b.root), m.kinds[b.kind].usable
		if s[0] > usable[0] || s[1] > usable[1] {
			t.Fatalf("the tree measures %v on a sheet of %v", s, usable)
		}
		l := m.layout(b)
		if l.Tree == nil {
			t.Fatal("the tree cannot be drawn within the stages")
		}
		if err := m.problem.checkLayout(l); err != nil {
			t.Fatal(err)
		}
	}
	if !slices.Equal(count, placed) || load != b.load {
		t.Fatalf("panels %v of weight %d, should be %v and %d", count, b.load, placed, load)
	}
}
