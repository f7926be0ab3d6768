package report

import (
	"fmt"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/plan"
)

// A bar too long to carry is cut at the yard, and its parts are cut on at home.
// They are lettered a, b, c from the bar's left end, and each is measured from its
// own left end: the bar's is no longer there.

// stretch is one part of a bar, with the pieces in it.
type stretch struct {
	from, to length.Length // of the bar
	name     string        // "" when the bar is whole
	first    int           // index of its first piece, and
	after    int           // of the first behind it
	last     bool          // at the bar's right end
}

// stretches are the parts of a bar as it comes home: the whole bar when it is not cut.
func stretches(l plan.Layout) []stretch {
	out := make([]stretch, 0, len(l.FirstCuts)+1)
	from := length.Length(0)
	for i := 0; i <= len(l.FirstCuts); i++ {
		s := stretch{from: from, to: l.Stock.Length, last: i == len(l.FirstCuts)}
		if !s.last {
			s.to = l.FirstCuts[i]
			from = s.to + l.FirstKerf
		}
		if len(l.FirstCuts) > 0 {
			s.name = partName(i)
		}
		if i > 0 {
			s.first = out[i-1].after
		}
		s.after = s.first
		for s.after < len(l.Pieces) && (s.last || l.Pieces[s.after].At < s.to) {
			s.after++
		}
		out = append(out, s)
	}
	return out
}

// partName is a, b … z, then part 27.
func partName(i int) string {
	if i < 26 {
		return string(rune('a' + i))
	}
	return fmt.Sprintf("part %d", i+1)
}

// partSizes are the lengths of the parts, "a 2992, b 3005".
func (s style) partSizes(l plan.Layout) string {
	var parts []string
	for _, st := range stretches(l) {
		parts = append(parts, st.name+" "+s.own(st.to-st.from))
	}
	return strings.Join(parts, ", ")
}

// firstCut is a set of bars that the yard cuts alike, or a sheet's cuts.
type firstCut struct {
	material plan.Material
	plan.Layout
	numbers []int
}

// firstCuts lists the bars from a supplier that are cut before they are carried, in
// order, those with the same cuts as one.
func firstCuts(p *plan.Plan, supplier string) []firstCut {
	var out []firstCut
	for _, m := range p.Materials {
		place := map[string]int{}
		for _, l := range m.Layouts {
			if l.Stock.Supplier != supplier || len(l.FirstCuts) == 0 {
				continue
			}
			key := fmt.Sprint(l.Stock.Length, l.FirstCuts, l.FirstKerf)
			i, met := place[key]
			if !met {
				i = len(out)
				place[key] = i
				out = append(out, firstCut{material: m, Layout: l})
			}
			out[i].numbers = append(out[i].numbers, l.Number)
		}
	}
	return out
}

// cutAtYard reports whether a sheet is trimmed or cut at the yard.
func cutAtYard(l plan.Layout) bool { return l.TrimsAtYard || l.Tree != nil && l.Tree.AtYard }

// yardSheets lists the patterns of sheets from a supplier with cuts at the yard.
func yardSheets(p *plan.Plan, supplier string) []firstCut {
	var out []firstCut
	for _, m := range p.Materials {
		for _, pt := range patterns(m, supplier) {
			if cutAtYard(pt.Layout) {
				out = append(out, firstCut{m, pt.Layout, pt.Numbers})
			}
		}
	}
	return out
}
