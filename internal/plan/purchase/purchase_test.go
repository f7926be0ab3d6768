package purchase

import (
	"context"
	"fmt"
	"testing"

	"pgregory.net/rapid"
)

// rods is an oracle for tests: pieces of a few lengths from rods of a few
// lengths, by trying everything.
type rods struct {
	length []int64 // per kind
	piece  []int64 // per class
}

func (r rods) Pack(_ context.Context, counts, pieces []int64) Answer {
	if r.packs(counts, pieces) {
		return Answer{Fit: Packed, Used: counts}
	}
	return Answer{Fit: Short}
}

// packs fills rod after rod in every way.
func (r rods) packs(counts, pieces []int64) bool {
	done := true
	for _, n := range pieces {
		done = done && n == 0
	}
	if done {
		return true
	}
	left, need := append([]int64(nil), counts...), append([]int64(nil), pieces...)
	for k := range left {
		if left[k] == 0 {
			continue
		}
		left[k]--
		if r.fill(left, need, r.length[k], 0) {
			return true
		}
		left[k]++
	}
	return false
}

func (r rods) fill(left, need []int64, room int64, from int) bool {
	stuck := true
	for c := range need {
		if need[c] > 0 && r.piece[c] <= room {
			stuck = false
			if c < from {
				continue
			}
			need[c]--
			if r.fill(left, need, room-r.piece[c], c) {
				need[c]++
				return true
			}
			need[c]++
		}
	}
	_ = stuck
	return r.packs(left, need)
}

// brute is the least total over everything that can be bought.
func brute(p *Problem) (int64, bool) {
	best, found := int64(0), false
	c := &Choice{Placed: make([]bool, len(p.Orders)), Bought: make([]int64, len(p.Offers)), Marks: make([]int, len(p.Materials))}
	for _, a := range p.Materials {
		c.Counts = append(c.Counts, make([]int64, len(a.Kinds)))
		var groups [][]int64
		for range a.Groups {
			groups = append(groups, make([]int64, len(a.Demand)))
		}
		c.Pieces = append(c.Pieces, groups)
	}
	end := func() {
		for i, a := range p.Materials {
			if c.Marks[i] > 0 {
				continue
			}
			for g := range a.Groups {
				if !a.Oracle.(rods).packs(a.own(g, c.Counts[i]), c.Pieces[i][g]) {
					return
				}
			}
		}
		if p.settle(c) && (!found || c.Total < best) {
			best, found = c.Total, true
		}
	}
	var steps []func(next func())
	for o := range p.Orders {
		steps = append(steps, func(next func()) {
			for _, b := range []bool{false, true} {
				c.Placed[o] = b
				next()
			}
			c.Placed[o] = false
		})
	}
	for j := range p.Offers {
		steps = append(steps, func(next func()) {
			for n := int64(0); n <= p.Offers[j].Stock; n++ {
				if n > 0 && !c.Placed[p.Offers[j].Order] {
					break
				}
				c.Bought[j] = n
				next()
			}
			c.Bought[j] = 0
		})
	}
	for i, a := range p.Materials {
		steps = append(steps, func(next func()) {
			for w := range len(a.Marks) + 1 {
				c.Marks[i] = w
				next()
			}
			c.Marks[i] = 0
		})
		for k := range a.Kinds {
			steps = append(steps, func(next func()) {
				for n := int64(0); n <= min(a.Kinds[k].Most, c.Bought[a.Kinds[k].Offer]); n++ {
					if n > 0 && c.Marks[i] > 0 {
						break
					}
					c.Counts[i][k] = n
					next()
				}
				c.Counts[i][k] = 0
			})
		}
		for d, n := range a.Demand {
			steps = append(steps, func(next func()) {
				if c.Marks[i] > 0 {
					next()
					return
				}
				if len(a.Groups) == 1 {
					c.Pieces[i][0][d] = n
					next()
					c.Pieces[i][0][d] = 0
					return
				}
				for x := int64(0); x <= n; x++ {
					c.Pieces[i][0][d], c.Pieces[i][1][d] = x, n-x
					next()
				}
				c.Pieces[i][0][d], c.Pieces[i][1][d] = 0, 0
			})
		}
	}
	var walk func(int)
	walk = func(at int) {
		if at == len(steps) {
			end()
			return
		}
		steps[at](func() { walk(at + 1) })
	}
	walk(0)
	return best, found
}

// problems draws a purchase small enough for brute force.
func problems(t *rapid.T) *Problem {
	p := &Problem{}
	pick := func(lo, hi int64, what string) int64 { return rapid.Int64Range(lo, hi).Draw(t, what) }
	orders := int(pick(1, 3, "orders"))
	for o := range orders {
		p.Orders = append(p.Orders, Order{Supplier: int(pick(0, int64(o), "supplier")), Fee: pick(0, 30, "fee"), Minimum: pick(0, 60, "minimum"),
			Cut: pick(0, 3, "cut"), Free: pick(0, 4, "free")})
	}
	split := orders == 2 && rapid.Bool().Draw(t, "split")
	materials := int(pick(1, 2, "materials"))
	for i := range materials {
		a := Material{Spare: pick(0, 1, "spare"), SparePercent: pick(0, 1, "percent") * 2500}
		r := rods{}
		for range pick(1, 2, "classes") {
			a.Demand = append(a.Demand, pick(1, 2, "demand"))
			r.piece = append(r.piece, pick(2, 9, "piece"))
		}
		groups := 1
		if split {
			groups = 2
		}
		for g := range groups {
			group := Group{Order: -1, SetUp: pick(0, 1, "setup") * 7}
			if split {
				group.Order = g
				for range a.Demand {
					group.Cuts = append(group.Cuts, pick(0, 2, "cuts"))
					group.Each = append(group.Each, pick(0, 3, "each"))
				}
			}
			a.Groups = append(a.Groups, group)
		}
		for range pick(1, 2, "offers") {
			f := Offer{Order: int(pick(0, int64(orders-1), "order")), Material: i, Stock: pick(0, 4, "stock"), Pack: pick(1, 2, "pack"),
				Spare: rapid.Bool().Draw(t, "spares")}
			from, price := pick(1, 2, "from"), pick(3, 20, "price")
			f.Tiers = []Tier{{from, price}}
			if rapid.Bool().Draw(t, "tier") {
				f.Tiers = append(f.Tiers, Tier{from + pick(1, 3, "more"), max(0, price-pick(0, 6, "off"))})
			}
			kind := Kind{Offer: len(p.Offers), Cuts: pick(0, 1, "kind cuts"), Each: pick(0, 2, "kind each"), Most: 4}
			if split {
				kind.Group = f.Order
			}
			p.Offers = append(p.Offers, f)
			a.Kinds = append(a.Kinds, kind)
			r.length = append(r.length, pick(6, 15, "length"))
		}
		if rapid.IntRange(0, 3).Draw(t, "marks") == 0 {
			a.Marks = []Marks{{int(pick(0, int64(orders-1), "by")), pick(10, 80, "marks price")}}
		}
		a.Oracle = r
		p.Materials = append(p.Materials, a)
	}
	return p
}

func TestAgainstBruteForce(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := problems(t)
		want, possible := brute(p)
		told := int64(0) // as a bound, while the search ran
		r := Solve(t.Context(), p, Options{Work: 1 << 40, Packs: 100000, Progress: func(_, bound int64, _ bool) { told = max(told, bound) }})
		if r.Struck || r.Ended {
			t.Fatalf("the search ended early: %+v", r)
		}
		if possible && told > want {
			t.Fatalf("on the way the bound was said to be %d, and %d is possible", told, want)
		}
		switch {
		case !possible && !r.Impossible:
			t.Fatalf("found %+v where nothing suffices", r.Best)
		case possible && r.Best == nil:
			t.Fatalf("nothing found, %d is possible", want)
		case possible && (r.Best.Total != want || r.Bound != want):
			t.Fatalf("total %d, bound %d, want %d: %s", r.Best.Total, r.Bound, want, fmt.Sprintf("%+v", r.Best))
		}
	})
}
