package check

import (
	"fmt"
	"sort"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// rect is a rectangle on a sheet, its lower left corner at x, y.
type rect struct{ x, y, length, width length.Length }

func (r rect) right() length.Length { return r.x + r.length }
func (r rect) top() length.Length   { return r.y + r.width }

func (r rect) holds(o rect) bool {
	return o.x >= r.x && o.y >= r.y && o.right() <= r.right() && o.top() <= r.top()
}

func (a *audit) rect(r rect) string {
	return fmt.Sprintf("%s x %s at %s, %s", a.len(r.length), a.len(r.width), a.len(r.x), a.len(r.y))
}

// trimmed is the part of a sheet that can be used.
func (m *material) trimmed(o *job.Offer) rect {
	p := m.process
	return rect{p.TrimLeft, p.TrimBottom, o.Length - p.TrimLeft - p.TrimRight, o.Width - p.TrimBottom - p.TrimTop}
}

// spaced checks the marks of sheets cut by a beam.
func (a *audit) spaced(m *material) {
	m.free = a.free(m)
	if m.plan.Free != m.free {
		a.find(m.job.Key, "that panels lie freely on its sheets is given as %t, it must be %t", m.plan.Free, m.free)
	}
	if m.free {
		m.openings = a.openings(m)
	}
	want := m.job.Sheet() && m.process.Kind == job.Beam && !m.free
	if m.plan.Spaced != want {
		a.find(m.job.Key, "spacing in place of a kerf is given as %t, it must be %t", m.plan.Spaced, want)
	}
}

// sheet checks one sheet, as bar does a bar.
func (a *audit) sheet(m *material, l *plan.Layout, where string) bool {
	o := a.stock(m, l.Stock, where)
	if len(l.Pieces) > 0 || l.Offcut != 0 || l.Kept || len(l.FirstCuts) > 0 || l.FirstKerf != 0 {
		a.find(where, "a sheet holds panels and a cut tree, not pieces, the offcut or the first cuts of a bar")
	}
	if l.TrimsAtYard && l.Tree == nil {
		a.find(where, "its edges are said to be trimmed at the yard, but it has no cut tree")
	}
	if m.free && l.Tree != nil {
		a.find(where, "it has a cut tree, but panels lie freely on it")
	}
	if !m.free && l.Strip != nil {
		a.find(where, "it has a strip to keep, but offcuts are in its cut tree")
	}
	if len(l.Panels) == 0 {
		a.find(where, "nothing is cut from it")
		return false
	}
	if o == nil {
		return false
	}
	region := m.trimmed(o)
	placed := make([]rect, len(l.Panels))
	measured := true
	for i, p := range l.Panels {
		at := copyName(where, p.Mark, p.Copy)
		jp := a.panel(m, p, at)
		if jp == nil || !onTape(p.X) || !onTape(p.Y) {
			if jp != nil {
				a.find(at, "it lies at %d, %d units, which is no place on a sheet", int64(p.X), int64(p.Y))
			}
			measured = false
			continue
		}
		r := rect{p.X, p.Y, jp.Length, jp.Width}
		if p.Turned {
			r.length, r.width = r.width, r.length
			switch {
			case m.job.Grain:
				a.find(at, "it is turned, but its length must lie along the grain")
			case !jp.Turn:
				a.find(at, "it is turned, but the job does not allow it to be")
			}
		}
		if a.carried(o) && !a.load(r.length, r.width) {
			a.find(at, "it is to be fetched and larger than the load")
		}
		if p.In == 0 && !region.holds(r) {
			a.find(at, "it lies %s, outside the usable %s", a.rect(r), a.rect(region))
		}
		placed[i] = r
	}
	if !measured {
		return false
	}
	if !a.hosted(m, l, placed, where) {
		return false
	}
	a.apart(m, l, placed, where)
	if m.free {
		a.strip(m, l, placed, region, a.carried(o), where)
		return l.Tree == nil
	}
	return a.tree(m, l, placed, region, a.carried(o), where) && l.Strip == nil
}

// apart finds panels closer than the kerf (or the spacing of a beam), or over
// each other: those on the sheet itself, and those inside each host.
func (a *audit) apart(m *material, l *plan.Layout, placed []rect, where string) {
	inside := map[int][]int{}
	var hosts []int
	for i, p := range l.Panels {
		if inside[p.In] == nil {
			hosts = append(hosts, p.In)
		}
		inside[p.In] = append(inside[p.In], i)
	}
	for _, h := range hosts {
		a.sweep(m, l, placed, inside[h], where)
	}
}

// sweep finds those among some panels that are too close. A line sweeps the sheet from left to right; the panels under it,
// each with a kerf on its right and above, are kept in order of y. As long as
// nothing collides they are apart in y, so a panel that enters can only meet
// its neighbours; one that does is told and left out. O(n log n) comparisons.
func (a *audit) sweep(m *material, l *plan.Layout, placed []rect, some []int, where string) {
	kerf := m.process.Kerf
	enter := append([]int(nil), some...)
	leave := append([]int(nil), enter...)
	sort.SliceStable(enter, func(i, j int) bool { return placed[enter[i]].x < placed[enter[j]].x })
	sort.SliceStable(leave, func(i, j int) bool { return placed[leave[i]].right() < placed[leave[j]].right() })

	var under []int // by y
	in := make([]bool, len(placed))
	next := 0
	for _, i := range enter {
		for ; next < len(leave) && placed[leave[next]].right()+kerf <= placed[i].x; next++ {
			k := leave[next]
			if !in[k] {
				continue
			}
			at := sort.Search(len(under), func(n int) bool { return placed[under[n]].y >= placed[k].y })
			under = append(under[:at], under[at+1:]...)
		}
		at := sort.Search(len(under), func(n int) bool { return placed[under[n]].y >= placed[i].y })
		hit := -1
		if at < len(under) && placed[i].top()+kerf > placed[under[at]].y {
			hit = under[at]
		} else if at > 0 && placed[under[at-1]].top()+kerf > placed[i].y {
			hit = under[at-1]
		}
		if hit >= 0 {
			p, q := l.Panels[i], l.Panels[hit]
			a.find(copyName(where, p.Mark, p.Copy), "it overlaps %s/%d or lies closer to it than %s", q.Mark, q.Copy, a.len(kerf))
			continue
		}
		under = append(under, 0)
		copy(under[at+1:], under[at:])
		under[at] = i
		in[i] = true
	}
}
