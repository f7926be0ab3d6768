package report

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/report/drawing"
	"sawbill/internal/section"
)

// Stops: what a saw's stop is set to, each length once, and in which order bars are
// cut, several of one pattern at once where the saw holds them.

// setting is one length of the stop, and all that is cut at it.
type setting struct {
	length length.Length
	pieces int64
	what   []cut // by material, then as the cut list has them
	of     []plan.Material
}

// settings lists what is cut by one process, longest first.
func (s *set) settings(process string) []setting {
	place := map[length.Length]int{}
	var out []setting
	for _, m := range s.plan.Materials {
		if m.Kind != plan.Bar || m.Process != process {
			continue
		}
		for _, c := range s.cuts(m, "") {
			i, met := place[c.piece.Length]
			if !met {
				i = len(out)
				place[c.piece.Length] = i
				out = append(out, setting{length: c.piece.Length})
			}
			out[i].pieces += c.quantity
			out[i].what, out[i].of = append(out[i].what, c), append(out[i].of, m)
		}
	}
	slices.SortStableFunc(out, func(a, b setting) int { return cmp.Compare(b.length, a.length) })
	return out
}

// saws are the processes by which bars are cut, in the plan's order.
func (s *set) saws() []string {
	var out []string
	for _, m := range s.plan.Materials {
		if m.Kind == plan.Bar && len(m.Layouts) > 0 && !slices.Contains(out, m.Process) {
			out = append(out, m.Process)
		}
	}
	return out
}

// stopPaper lists the stops of every saw, then the order of cutting.
func (s *set) stopPaper() *document {
	d := s.document("Stops", false)
	d.newPage()
	for _, saw := range s.saws() {
		d.stopList(saw)
	}
	d.need(60)
	d.heading("Cutting order", 15)
	d.paragraph("Bars of one pattern follow each other, and stand in one row where the saw holds them together: clamp them with their left ends flush. "+
		"Cut from the left; each length is that of the piece, tip to tip.", 9)
	d.gap(2)
	for _, m := range s.plan.Materials {
		if m.Kind == plan.Bar && len(m.Layouts) > 0 {
			d.orderOf(m)
		}
	}
	return d
}

// stopList is one saw's.
func (d *document) stopList(saw string) {
	all := d.settings(saw)
	d.need(40)
	d.heading("Stop settings: "+saw, 15)
	d.paragraph(fmt.Sprintf("%s, each length once, the longest first. ≈ warns of a length within %s of another on this saw: mark these before the next cut.",
		plural(int64(len(all)), "setting"), d.withUnit(nearly)), 9)
	d.gap(2)
	t := d.table(10, column{head: "set", share: 8, tick: true}, column{head: "stop at, " + d.unit.String(), share: 26, align: drawing.Right, bold: true}, column{share: 6},
		column{head: "pieces", share: 14, align: drawing.Right}, column{head: "what is cut, and from which bars", share: 120, wrap: true, whole: true})
	near := nearLengths(all)
	for i, x := range all {
		warn := ""
		if near[i] {
			warn = "≈"
		}
		t.row("", d.own(x.length), warn, fmt.Sprint(x.pieces), strings.Join(d.whatIsCut(x), "; "))
	}
	t.end()
}

// nearLengths tells which settings have a neighbour that hands mix up with them.
func nearLengths(all []setting) []bool {
	near := make([]bool, len(all))
	for i := 1; i < len(all); i++ {
		if all[i-1].length-all[i].length <= nearly {
			near[i-1], near[i] = true, true
		}
	}
	return near
}

// whatIsCut says of each mark how many, with which ends, and from which bars of
// which patterns.
func (d *document) whatIsCut(x setting) []string {
	var out []string
	for i, c := range x.what {
		m := x.of[i]
		ends := ""
		if c.piece.Mitred() {
			ends = " (" + d.angles(d.materials[m.Key].Section, c.piece) + ")"
		}
		var pats []int
		for _, l := range m.Layouts {
			if slices.Contains(c.numbers, l.Number) && !slices.Contains(pats, l.Pattern) {
				pats = append(pats, l.Pattern)
			}
		}
		slices.Sort(pats)
		bars, word := "bar ", "pattern "
		if len(c.numbers) > 1 {
			bars = "bars "
		}
		if len(pats) > 1 {
			word = "patterns "
		}
		out = append(out, fmt.Sprintf("%s of %s, %s%s, %s%s", kept(fmt.Sprintf("%d × %s%s", c.quantity, c.mark, ends)), m.Key, bars, ranges(c.numbers), word, ranges(pats)))
	}
	return out
}

// orderOf is the order in which a material's bars are cut.
func (d *document) orderOf(m plan.Material) {
	all := d.bundles(m)
	d.need(35)
	d.heading(materialName(m), 12)
	t := d.table(10, column{head: "done", share: 8, tick: true}, column{head: "bars", share: 30, bold: true, wrap: true, whole: true}, column{head: "at once", share: 14, align: drawing.Right},
		column{head: "pattern", share: 14, align: drawing.Right}, column{head: "cut from the left, " + d.unit.String(), share: 108, wrap: true, whole: true})
	moves, last := int64(0), length.Length(-1)
	for _, b := range all {
		for _, p := range b.Pieces {
			if l := d.pieces[p.Mark].Length; l != last {
				moves, last = moves+1, l
			}
		}
	}
	for _, b := range d.joined(all) {
		t.row("", ranges(b.Numbers), fmt.Sprint(b.once), fmt.Sprint(b.Pattern), strings.Join(d.cutRuns(d.materials[m.Key].Section, b.pattern), "; "))
	}
	t.end()
	d.paragraph(fmt.Sprintf("%s; in this order the stop is set %s.", plural(int64(len(all)), "load")+" of the saw", times(moves)), 9)
	d.gap(2)
}

func times(n int64) string {
	if n == 1 {
		return "once"
	}
	return fmt.Sprintf("%d times", n)
}

// loads are the bundles of one pattern that hold equally many bars.
type loads struct {
	pattern
	once int
}

// joined puts bundles of one pattern and of one number of bars together, since they are cut
// alike.
func (s *set) joined(all []bundle) []loads {
	var out []loads
	for _, b := range all {
		if n := len(out); n > 0 && out[n-1].Pattern == b.Pattern && out[n-1].once == len(b.Numbers) {
			out[n-1].Numbers = append(slices.Clip(out[n-1].Numbers), b.Numbers...)
			continue
		}
		out = append(out, loads{b.pattern, len(b.Numbers)})
	}
	return out
}

// cutRuns lists the pieces of a pattern from the left, equal neighbours as one, and
// what is left to keep.
func (d *document) cutRuns(sec section.Section, pt pattern) []string {
	var out []string
	for _, st := range stretches(pt.Layout) {
		before := ""
		if st.name != "" {
			before = partTitle(st.name) + ": "
		}
		for i := st.first; i < st.after; {
			k := i
			for k < st.after && pt.Pieces[k].Mark == pt.Pieces[i].Mark {
				k++
			}
			count := ""
			if k-i > 1 {
				count = fmt.Sprintf("%d × ", k-i)
			}
			row := d.pieces[pt.Pieces[i].Mark]
			ends := ""
			if row.Mitred() {
				ends = " (" + d.angles(sec, row) + ")"
			}
			out = append(out, before+kept(count+d.own(row.Length)+ends+" "+pt.Pieces[i].Mark))
			i, before = k, ""
		}
	}
	if pt.Kept {
		out = append(out, kept("keep "+d.length(pt.Offcut)))
	}
	return out
}
