package nest2d

import (
	"math/rand/v2"
	"slices"
	"testing"
)

// recounted are the values of a plan, counted from its layouts alone.
func recounted(p Problem, layouts []Layout) aimed {
	v := aimed{FewestLayouts: int64(len(layouts))}
	for _, l := range layouts {
		v[FewestSheets] += l.Count
		s := p.Sheets[l.Sheet]
		cuts := int64(0)
		for _, trim := range []int64{s.TrimLeft, s.TrimRight, s.TrimBottom, s.TrimTop} {
			if trim > 0 {
				cuts++
			}
		}
		todo := []*Node{l.Tree}
		for len(todo) > 0 {
			n := todo[0]
			todo = append(todo[1:], n.Children...)
			if n.Kind == Waste {
				v[LargestOffcut] = max(v[LargestOffcut], n.Length*n.Width)
				if n.Length == s.Length-s.TrimLeft-s.TrimRight || n.Width == s.Width-s.TrimBottom-s.TrimTop {
					v[LargestStrip] = max(v[LargestStrip], n.Length*n.Width)
				}
			}
			if len(n.Children) == 0 {
				continue
			}
			// Parts in a row are parted by a cut each; one more frees the last from what
			// is left behind it.
			cuts += int64(len(n.Children)) - 1
			last := n.Children[len(n.Children)-1]
			if last.X+last.Length < n.X+n.Length || last.Y+last.Width < n.Y+n.Width {
				cuts++
			}
		}
		v[FewestCuts] += cuts * l.Count
	}
	return v
}

// TestAims: with any order of aims the cost is what it is without, the values are
// those of the layouts, and no plan found for another order beats a bound on the
// first aim.
func TestAims(t *testing.T) {
	r := rand.New(rand.NewPCG(11, 12))
	all := []Aim{FewestSheets, LargestOffcut, LargestStrip, FewestLayouts, FewestCuts}
	gained := map[Aim]int{}
	for n := range 40 {
		p := randomProblem(r, 3+r.IntN(8))
		usual := mustSolve(t, p, Options{Effort: Quick})
		if usual.Outcome != Planned {
			continue
		}
		plans := []aimed{recounted(p, usual.Layouts)}
		bounds := map[Aim]int64{}
		for _, first := range all {
			order := slices.Clone(all)
			r.Shuffle(len(order), func(i, j int) { order[i], order[j] = order[j], order[i] })
			k := slices.Index(order, first)
			order[0], order[k] = order[k], order[0]
			order = order[:1+r.IntN(len(order))]
			got := mustSolve(t, p, Options{Effort: Quick, Aims: order})
			if got.Outcome != Planned || got.Cost.Value > usual.Cost.Value || got.Cost.Status == Proven && got.Cost.Value != usual.Cost.Value && usual.Cost.Status == Proven {
				t.Fatalf("problem %d, %v: cost %+v, without aims %+v", n, order, got.Cost, usual.Cost)
			}
			if err := Validate(p, got.Layouts); err != nil {
				t.Fatalf("problem %d, %v: %v", n, order, err)
			}
			v := recounted(p, got.Layouts)
			goals := []Goal{got.Sheets, got.Offcut, got.Strip, got.Different, got.Cuts}
			for _, aim := range order {
				if goals[aim].Value != v[aim] || goals[aim].Status == NotSought || (goals[aim].Status == Proven) != (goals[aim].Value == goals[aim].Bound) {
					t.Fatalf("problem %d, %v: aim %d is given as %+v, counted %d\n%+v", n, order, aim, goals[aim], v[aim], p)
				}
			}
			if slices.ContainsFunc(plans, func(other aimed) bool { is, _ := better(order[:1], v, other); return is }) {
				gained[first]++
			}
			if got.Cost.Value == usual.Cost.Value {
				plans, bounds[first] = append(plans, v), goals[first].Bound
			}
		}
		for _, v := range plans {
			for aim, bound := range bounds {
				var limit aimed
				limit[aim] = bound
				if is, _ := better([]Aim{aim}, v, limit); is {
					t.Fatalf("problem %d: aim %d is %d in a plan, its bound %d\n%+v", n, aim, v[aim], bound, p)
				}
			}
		}
	}
	t.Logf("better than without it first: %v", gained)
	for _, aim := range []Aim{LargestStrip, FewestLayouts, FewestCuts} {
		if gained[aim] == 0 {
			t.Errorf("aim %d is never any better for being sought", aim)
		}
	}
}
