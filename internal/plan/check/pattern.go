package check

import (
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/plan"
)

// patterns checks that layouts cut alike, mark for mark, share a pattern
// number and others do not, numbered in order of first appearance; and that
// layouts of one pattern are also parted and cut in the same order.
func (a *audit) patterns(m *material) {
	numbers := map[string]int{}
	trees := map[string]string{}
	for i := range m.plan.Layouts {
		l := &m.plan.Layouts[i]
		key := alike(l)
		if numbers[key] == 0 {
			numbers[key] = len(numbers) + 1
			if m.sound {
				trees[key] = cutting(l)
			}
		} else if m.sound && trees[key] != cutting(l) {
			a.find(a.layoutName(m, i), "it is of pattern %d but cut in another order than the others", l.Pattern)
		}
		if l.Pattern != numbers[key] {
			a.find(a.layoutName(m, i), "it is of pattern %d, the plan says %d", numbers[key], l.Pattern)
		}
	}
}

// alike writes out what makes two layouts the same, whichever copies they hold.
func alike(l *plan.Layout) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%d %v", l.Stock.Offer, l.FirstCuts)
	for _, p := range l.Pieces {
		fmt.Fprintf(&b, " %q@%d,%t,%t", p.Mark, p.At, p.Turned, p.Rolled)
	}
	for _, p := range l.Panels {
		fmt.Fprintf(&b, " %q@%d,%d,%t", p.Mark, p.X, p.Y, p.Turned)
	}
	return b.String()
}

// cutting writes out how a bar is parted at the yard, or a sheet cut.
func cutting(l *plan.Layout) string { return fmt.Sprint(l.FirstCuts) + drawn(l.Tree) + drawn(l.Strip) }

// drawn writes out a cut tree that the layout's check found sound.
func drawn(p *plan.Part) string {
	if p == nil {
		return ""
	}
	var b strings.Builder
	var walk func(*plan.Part)
	walk = func(p *plan.Part) {
		fmt.Fprintf(&b, "(%d,%d %dx%d %q %d", p.X, p.Y, p.Length, p.Width, p.Cut, p.Panel)
		for _, c := range p.Parts {
			walk(c)
		}
		b.WriteByte(')')
	}
	walk(p)
	return b.String()
}

// shapes counts the bars' patterns as the saw sees them: bars of one length and
// price, parted alike, with pieces of the same lengths and cuts, whatever their
// marks and order. Bars of several suppliers count together or apart.
func (a *audit) shapes(m *material, apart bool) int64 {
	met := map[string]bool{}
	for i := range m.plan.Layouts {
		l := &m.plan.Layouts[i]
		o := a.job.Offers[l.Stock.Offer]
		var list []string
		for _, p := range l.Pieces {
			jp := a.job.Pieces[a.pieces[p.Mark]]
			list = append(list, fmt.Sprintf("%d %s", jp.Length, a.cutAs(m, &jp)))
		}
		slices.Sort(list)
		key := fmt.Sprintf("%d %d %d: %s", o.Length, leastPrice(&o), len(l.FirstCuts), strings.Join(list, ", "))
		if apart {
			key = a.supplier(&o) + " " + key
		}
		met[key] = true
	}
	return int64(len(met))
}

// cutAs writes out how the ends of a piece are cut, the same for every way in
// which it may lie.
func (a *audit) cutAs(m *material, p *job.Piece) string {
	var ways []string
	for _, how := range a.lies(m) {
		left, right := m.mitres(p, how)
		if !a.nests(m) {
			left, right = mitre{cut: left.cut}, mitre{cut: right.cut}
		}
		ways = append(ways, fmt.Sprint(left, right))
	}
	return slices.Min(ways)
}
