package nest2d

import (
	"context"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"
	"pgregory.net/rapid"
)

// The pinwheel is the smallest pattern without a cut from edge to edge (Gilmore
// & Gomory 1965, "Multistage cutting stock problems of two and more dimensions",
// Operations Research 13, 94–120, define the cut; that five panels suffice to
// avoid it is common knowledge).
func TestPinwheel(t *testing.T) {
	p := oneKind(3, 3, false, [3]int64{2, 1, 2}, [3]int64{1, 2, 2}, [3]int64{1, 1, 1})
	if r := mustSolve(t, p, Options{}); r.Cost != (Goal{2, 2, Proven}) {
		t.Errorf("cut from edge to edge: %+v", r.Cost)
	}
	p.Free = true
	if r := mustSolve(t, p, Options{}); r.Cost != (Goal{1, 1, Proven}) {
		t.Errorf("placed freely: %+v", r.Cost)
	}
}

// Hopper & Turton 2001, problem C1-P2, fills its sheet when placement is free,
// and cannot do so with cuts from edge to edge (see TestPublished).
func TestPerfect(t *testing.T) {
	p := oneKind(20, 20, false, c1p2...)
	p.Free = true
	if r := mustSolve(t, p, Options{}); r.Cost != (Goal{1, 1, Proven}) {
		t.Errorf("%+v", r.Cost)
	}
}

func TestFreeErrors(t *testing.T) {
	for _, p := range []Problem{{Free: true, Stages: 2}, {Free: true, FirstCut: AlongLength}} {
		_, err := Solve(context.Background(), p, Options{})
		if err == nil || !strings.Contains(err.Error(), "placement is free") {
			t.Errorf("%v", err)
		}
	}
}

// TestFloor lays panels, takes some off and slides the rest: they never
// overlap, and the spaces are the free rectangles that cannot be widened.
func TestFloor(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		const side = 12
		m := &model{free: true, weight: []int64{1}, kinds: []kind{{usable: size{side, side}, least: size{1, 1}}}}
		b := &board{}
		b.reset(m, 0)
		for range rapid.IntRange(1, 25).Draw(t, "steps") {
			if len(b.laid) > 0 && rapid.IntRange(0, 3).Draw(t, "take off") == 0 {
				i := rapid.IntRange(0, len(b.laid)-1).Draw(t, "which")
				b.laid = append(b.laid[:i], b.laid[i+1:]...)
				b.slide(size{side, side}, [2]bool{rapid.Bool().Draw(t, "mirror x"), rapid.Bool().Draw(t, "mirror y")})
				b.findSpaces(m)
			} else if len(b.spaces) > 0 {
				s := b.spaces[rapid.IntRange(0, len(b.spaces)-1).Draw(t, "space")]
				p := pose{size: size{rapid.Int64Range(1, s.size[0]).Draw(t, "l"), rapid.Int64Range(1, s.size[1]).Draw(t, "w")}}
				b.lay(m, s.at, 0, p)
			}
			var taken [side][side]bool
			for _, l := range b.laid {
				for x := l.at[0]; x < l.at[0]+l.size[0]; x++ {
					for y := l.at[1]; y < l.at[1]+l.size[1]; y++ {
						if taken[x][y] {
							t.Fatalf("panels overlap: %v", b.laid)
						}
						taken[x][y] = true
					}
				}
			}
			free := func(s space) bool {
				if !(space{size: size{side, side}}).contains(s) {
					return false
				}
				for x := s.at[0]; x < s.at[0]+s.size[0]; x++ {
					for y := s.at[1]; y < s.at[1]+s.size[1]; y++ {
						if taken[x][y] {
							return false
						}
					}
				}
				return true
			}
			found := map[space]bool{}
			for _, s := range b.spaces {
				found[s] = true
			}
			count := 0
			for x := range int64(side) {
				for y := range int64(side) {
					for l := int64(1); l <= side-x; l++ {
						for w := int64(1); w <= side-y; w++ {
							s := space{size{x, y}, size{l, w}}
							if !free(s) {
								break
							}
							if free(space{size{x - 1, y}, size{l + 1, w}}) || free(space{size{x, y - 1}, size{l, w + 1}}) ||
								free(space{s.at, size{l + 1, w}}) || free(space{s.at, size{l, w + 1}}) {
								continue
							}
							count++
							if !found[s] {
								t.Fatalf("space %v is not among %v", s, b.spaces)
							}
						}
					}
				}
			}
			if count != len(b.spaces) {
				t.Fatalf("%d spaces, not %d: %v", len(b.spaces), count, b.spaces)
			}
		}
	})
}

// TestFreeCrowd plans many small panels placed freely: too many for spaces, and
// as many as are searched.
func TestFreeCrowd(t *testing.T) {
	for _, copies := range []int64{3 * crowd, crowd} {
		p := crowded(copies)
		p.Free = true
		r := mustSolve(t, p, Options{Effort: Quick})
		if r.Outcome != Planned || r.Cost.Status != Proven || r.Offcut.Value == 0 {
			t.Errorf("%d copies: outcome %d, cost %+v, offcut %+v", copies, r.Outcome, r.Cost, r.Offcut)
		}
	}
}

// TestFreeStopped ends a run before it has begun.
func TestFreeStopped(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	p := crowded(60)
	p.Free = true
	r, err := Solve(ctx, p, Options{})
	if err != nil || r.Outcome != Planned || r.Struck != TimeLimit || Validate(p, r.Layouts) != nil {
		t.Errorf("%v %+v", err, r)
	}
}

// TestFreeFaults spoils a plan in every way that Validate is to find.
func TestFreeFaults(t *testing.T) {
	p := Problem{
		Free:   true,
		Panels: []Panel{{4, 3, 2, false}},
		Sheets: []Sheet{{Length: 12, Width: 8, TrimLeft: 1, TrimRight: 1, TrimBottom: 1, TrimTop: 1, Kerf: 2, Supply: 1, Price: 1}},
	}
	good := []Place{{0, 1, 1, false, 0}, {0, 7, 1, false, 0}}
	try := func(places ...Place) error {
		return Validate(p, []Layout{{Sheet: 0, Count: 1, Places: places}})
	}
	if err := try(good...); err != nil {
		t.Fatal(err)
	}
	for says, spoilt := range map[string][]Place{
		"cut 1 times": {good[0]},
		"spacing":     {good[0], {0, 6, 3, false, 0}},
		"a margin":    {good[0], {0, 7, 5, false, 0}},
		"margin":      {{0, 0, 1, false, 0}, good[1]},
		"turned":      {good[0], {0, 7, 1, true, 0}},
		"panel 1":     {good[0], {1, 7, 1, false, 0}},
	} {
		if err := try(spoilt...); err == nil || !strings.Contains(err.Error(), says) {
			t.Errorf("%v, expected %q", err, says)
		}
	}
	if Validate(p, []Layout{{Count: 1, Places: good, Tree: &Node{}}}) == nil {
		t.Error("a tree passes")
	}
}

// TestFreeInstances solves a sample of CLASS (Berkey & Wang 1987, Martello &
// Vigo 1998) with little effort. Plans with edge-to-edge cuts are plans, so no
// bound may exceed a published value for those; and no plan may need more sheets
// than ours with such cuts.
func TestFreeInstances(t *testing.T) {
	known := readPublished(t)
	compared, free, cuts := 0, int64(0), int64(0)
	for i, in := range readInstances(t, "CLASS") {
		if i%24 != 11 {
			continue
		}
		for turn, variant := range map[bool]string{false: "2BP|O|G", true: "2BP|R|G"} {
			p := in.problem(turn)
			c := mustSolve(t, p, Options{Effort: Quick})
			p.Free = true
			f := mustSolve(t, p, Options{Effort: Quick})
			if k := known[in.Name+" "+variant]; k.best > 0 {
				compared++
				if f.Cost.Bound > k.best {
					t.Errorf("%s %s: bound %d, published with edge-to-edge cuts %d", in.Name, variant, f.Cost.Bound, k.best)
				}
			}
			if f.Cost.Value > c.Cost.Value {
				t.Errorf("%s %s: %d sheets, %d with edge-to-edge cuts", in.Name, variant, f.Cost.Value, c.Cost.Value)
			}
			free, cuts = free+f.Cost.Value, cuts+c.Cost.Value
		}
	}
	if compared == 0 {
		t.Error("nothing to compare")
	}
	t.Logf("%d compared; %d sheets, %d with edge-to-edge cuts", compared, free, cuts)
}

// TestFreeProperties draws problems of workshop size: plans are valid, no
// panels are closer than the spacing, cost and sheets are no more than with cuts
// from edge to edge, and the same run again gives the same result.
func TestFreeProperties(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := drawProblem(t)
		p.Stages, p.TrimCut, p.FirstCut = 0, false, AnyDirection
		for k := range p.Sheets {
			p.Sheets[k].MinStrip = 0
		}
		o := Options{Effort: Quick, Seed: rapid.Int64().Draw(t, "seed")}
		cuts, err := Solve(context.Background(), p, o)
		if err != nil {
			t.Fatal(err)
		}
		p.Free = true
		r, err := Solve(context.Background(), p, o)
		if err != nil {
			t.Fatal(err)
		}
		if o.Seed%4 == 0 {
			if again, _ := Solve(context.Background(), p, o); !cmp.Equal(r, again) {
				t.Fatalf("the same run again differs:\n%s", cmp.Diff(r, again))
			}
		}
		if r.Outcome != Planned {
			if cuts.Outcome == Planned {
				t.Fatalf("outcome %d, and a plan with cuts from edge to edge", r.Outcome)
			}
			return
		}
		cost, sheets := sound(t, p, r)
		if cuts.Outcome == Planned && (cost > cuts.Cost.Value || cost == cuts.Cost.Value && sheets > cuts.Sheets.Value ||
			cost == cuts.Cost.Value && sheets == cuts.Sheets.Value && r.Offcut.Value < cuts.Offcut.Value) {
			t.Fatalf("%+v %+v %+v, with cuts from edge to edge %+v %+v %+v", r.Cost, r.Sheets, r.Offcut, cuts.Cost, cuts.Sheets, cuts.Offcut)
		}
		if v := largestFree(p, r.Layouts); v != r.Offcut.Value {
			t.Fatalf("largest offcut %d, goal %+v", v, r.Offcut)
		}
	})
}

// largestFree is the area of the largest rectangle that could be added to a
// sheet with its spacing, by trying all pairs of edges.
func largestFree(p Problem, layouts []Layout) int64 {
	largest := int64(0)
	for _, l := range layouts {
		s := p.Sheets[l.Sheet]
		xs, ys := []int64{s.TrimLeft, s.Length - s.TrimRight}, []int64{s.TrimBottom, s.Width - s.TrimTop}
		var around [][4]int64 // panels with their spacing, where nothing else may be
		for _, at := range l.Places {
			length, width := p.Panels[at.Panel].Length, p.Panels[at.Panel].Width
			if at.Turned {
				length, width = width, length
			}
			o := [4]int64{at.X - s.Kerf, at.Y - s.Kerf, at.X + length + s.Kerf, at.Y + width + s.Kerf}
			around = append(around, o)
			xs, ys = append(xs, o[0], o[2]), append(ys, o[1], o[3])
		}
		for _, x0 := range xs {
			for _, x1 := range xs {
				if x0 < s.TrimLeft || x1 > s.Length-s.TrimRight || x0 >= x1 {
					continue
				}
				for _, y0 := range ys {
				high:
					for _, y1 := range ys {
						if y0 < s.TrimBottom || y1 > s.Width-s.TrimTop || (x1-x0)*(y1-y0) <= largest || y0 >= y1 {
							continue
						}
						for _, o := range around {
							if x0 < o[2] && o[0] < x1 && y0 < o[3] && o[1] < y1 {
								continue high
							}
						}
						largest = (x1 - x0) * (y1 - y0)
					}
				}
			}
		}
	}
	return largest
}
