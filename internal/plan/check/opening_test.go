package check

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/nest2d/geom"
)

// framed is a panel of a few units with an opening, or a plain one.
func framed(r *rapid.T, mark string) job.Panel {
	draw := func(low, high int64, what string) int64 { return rapid.Int64Range(low, high).Draw(r, what) }
	p := job.Panel{Mark: mark, Material: 1, Quantity: 1, Turn: rapid.Bool().Draw(r, "turn")}
	l, w := draw(1, 3, "l"), draw(1, 3, "w")
	if rapid.Bool().Draw(r, "framed") {
		l, w = draw(4, 7, "l"), draw(4, 6, "w")
		hole := geom.Rectangle(l-draw(2, 3, "less"), w-draw(2, 3, "less")).Outer.Move(1, 1)
		shape := geom.Rectangle(l, w)
		shape.Inner = []geom.Outline{hole}
		p.Form = &job.Form{Openings: shape.Inner, Shape: shape}
	}
	p.Length, p.Width = length.Length(l), length.Length(w)
	return p
}

// The least cost of panels with openings by trying: every panel goes on any sheet
// or into the opening of any other, and every cell is tried for it there.
func TestLeastWithOpenings(t *testing.T) {
	hosted := 0
	rapid.Check(t, func(r *rapid.T) {
		j := hide()
		kerf := rapid.Int64Range(0, 1).Draw(r, "spacing")
		j.Panels, j.Offers = nil, nil
		p := &j.Processes[1]
		*p = job.Process{Kind: job.Beam, Kerf: length.Length(kerf)}
		for i := range rapid.IntRange(2, 5).Draw(r, "panels") {
			j.Panels = append(j.Panels, framed(r, fmt.Sprint(i)))
		}
		l, w := rapid.Int64Range(5, 7).Draw(r, "long"), rapid.Int64Range(5, 6).Draw(r, "wide")
		j.Offers = []job.Offer{{Material: 1, Length: length.Length(l), Width: length.Length(w), Price: 3, Stock: -1}}
		m := &material{index: 1, job: j.Materials[1], process: *p, plan: &plan.Material{}, offers: []int{0}, free: true}
		a := &audit{job: j}
		m.openings = a.openings(m)

		// Places: as many sheets as panels, then all openings less the spacing.
		type place struct {
			size  extent
			turn  bool
			owner int
		}
		var places []place
		for range j.Panels {
			places = append(places, place{extent{l + kerf, w + kerf}, false, -1})
		}
		for i, q := range j.Panels {
			if q.Form != nil {
				b := q.Form.Openings[0].Bounds()
				places = append(places, place{extent{b.Length() - kerf, b.Width() - kerf}, q.Turn && !m.job.Grain, i})
			}
		}
		poses := func(i int, at place) []extent {
			q := j.Panels[i]
			list := []extent{{int64(q.Length) + kerf, int64(q.Width) + kerf}}
			if q.Turn && !m.job.Grain || at.turn {
				list = append(list, extent{list[0][1], list[0][0]})
			}
			return list
		}
		held := make([][]int, len(places))
		best, inside := int64(math.MaxInt64), 0
		var put func(i, sheets, within int)
		put = func(i, sheets, within int) {
			if int64(sheets)*3 >= best {
				return
			}
			if i == len(j.Panels) {
				best, inside = int64(sheets)*3, within
				return
			}
			for k, at := range places {
				if at.owner == i || k < len(j.Panels) && k > sheets {
					continue
				}
				held[k] = append(held[k], i)
				var all [][]extent
				for _, q := range held[k] {
					all = append(all, poses(q, at))
				}
				if at.size[0] > 0 && at.size[1] > 0 && onGrid(at.size, all, 0) {
					more, in := 0, 0
					if k == sheets && k < len(j.Panels) {
						more = 1
					} else if at.owner >= 0 {
						in = 1
					}
					put(i+1, sheets+more, within+in)
				}
				held[k] = held[k][:len(held[k])-1]
			}
		}
		put(0, 0, 0)
		got, ok := a.leastSheets(m)
		if !ok || got.cost != best {
			r.Fatalf("%v, by trying %d; openings %+v", got, best, m.openings)
		}
		if best < math.MaxInt64 {
			hosted += inside
		}
	})
	t.Logf("%d panels in openings", hosted)
}
