package nest2d

import (
	"context"
	"math/rand/v2"
	"testing"
)

// boardWith is a board of a kind with panels placed one after the other.
func boardWith(t *testing.T, s *search, kind int, panels ...int32) *board {
	t.Helper()
	b := &board{}
	b.reset(s.m, kind)
	for _, panel := range panels {
		at, ok := b.tightest(s.m, int(panel), leastArea, func() bool { return false })
		if !ok {
			t.Fatalf("no room for panel %d", panel)
		}
		b.place(s.m, at, int(panel), 1)
	}
	return b
}

// TestCombine picks two layouts of different plans; one panel is on both.
func TestCombine(t *testing.T) {
	p := oneKind(10, 10, false, [3]int64{10, 6, 1}, [3]int64{10, 4, 2}, [3]int64{5, 3, 1})
	m, err := newModel(p)
	if err != nil {
		t.Fatal(err)
	}
	s := newSearch(m, 0)
	s.shelf = &shelf{}
	for _, b := range []*board{
		boardWith(t, s, 0, 0), boardWith(t, s, 0, 1), boardWith(t, s, 0, 2),
		boardWith(t, s, 0, 0, 1), boardWith(t, s, 0, 1, 1), boardWith(t, s, 0, 1, 2), boardWith(t, s, 0, 1, 1),
	} {
		s.shelf.keep(b)
	}
	if n := len(s.shelf.boards); n != 6 {
		t.Fatalf("%d layouts on the shelf, want 6: one is there twice", n)
	}
	r := &run{search: s, best: m.emptyDraft()}
	if r.combine(context.Background(), limits{cost: 1, boards: anyNumber}, mostPivots*pivotWork) {
		t.Fatal("one sheet for more than its area")
	}
	if !r.combine(context.Background(), limits{cost: 2, boards: anyNumber}, mostPivots*pivotWork) {
		t.Fatal("the two sheets were not found")
	}
	if err := Validate(p, m.layouts(r.best.boards)); err != nil || r.best.cost != 2 || r.best.lack != 0 {
		t.Fatalf("cost %d, lack %d, %v", r.best.cost, r.best.lack, err)
	}
}

// combined is a sample; sixty thousand were tried once.
const combined = 600

// TestCombineRandom combines layouts of random plans; whatever comes out must
// be a plan within the limits. That it comes out often shows that the test
// tests something.
func TestCombineRandom(t *testing.T) {
	random := rand.New(rand.NewPCG(7, 7))
	found := 0
	for range combined {
		p := randomProblem(random, 6+random.IntN(20))
		m, err := newModel(p)
		if err != nil {
			t.Fatal(err)
		}
		if m.tooLarge() != nil {
			continue
		}
		s := newSearch(m, 1)
		s.shelf = &shelf{}
		r := &run{search: s, result: Result{}}
		worst := int64(0)
		for range 12 {
			d := m.emptyDraft()
			s.shuffle(d.missing)
			s.fresh, s.halted = s.fresh[:0], func() bool { return false }
			l := limits{cost: noBudget, boards: anyNumber}
			s.recreate(d, s.anyRule(), 5, s.anyKind(&l))
			if d.lack > 0 {
				continue
			}
			s.keep(d)
			worst = max(worst, d.cost)
		}
		l := limits{cost: worst - 1, boards: anyNumber}
		if worst == 0 || !r.combine(context.Background(), l, mostPivots*pivotWork) {
			continue
		}
		found++
		if err := Validate(p, m.layouts(r.best.boards)); err != nil {
			t.Fatalf("%+v: %v", p, err)
		}
		cost := int64(0)
		for _, b := range r.best.boards {
			cost += p.Sheets[b.kind].Price
		}
		if cost != r.best.cost || cost > l.cost {
			t.Fatalf("%+v: cost %d, said to be %d, limit %d", p, cost, r.best.cost, l.cost)
		}
	}
	if found < combined/20 {
		t.Errorf("only %d plans of %d were combined", found, combined)
	}
}
