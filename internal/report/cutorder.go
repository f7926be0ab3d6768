package report

import (
	"math"
	"strings"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// The order in which things are cut: material by material, the layouts of one
// pattern together, and of these as many at once as the saw holds.

// bundle is what is cut at once: one bar or sheet, or several bars of one pattern.
type bundle struct {
	pattern
	layouts []plan.Layout
}

// bundles are a material's, in cutting order.
func (s *set) bundles(m plan.Material) []bundle {
	of := map[int]plan.Layout{}
	for _, l := range m.Layouts {
		of[l.Number] = l
	}
	var out []bundle
	for _, pt := range patterns(m, "") {
		n := s.atOnce(m, pt.Layout)
		for at := 0; at < len(pt.Numbers); at += n {
			b := bundle{pattern: pattern{Layout: pt.Layout, Numbers: pt.Numbers[at:min(at+n, len(pt.Numbers))]}}
			for _, number := range b.Numbers {
				b.layouts = append(b.layouts, of[number])
			}
			out = append(out, b)
		}
	}
	return out
}

// atOnce is how many bars of a pattern are cut together. Rectangular sections lie
// beside and on each other, others only beside. Where a piece has a mitre, bars
// beside each other would come out unequal, as the slant runs on through them, and
// are cut only on each other, the blade's way through them longer by 1/cos.
// Common practice, no source.
func (s *set) atOnce(m plan.Material, l plan.Layout) int {
	p, sec := s.processes[m.Key], s.materials[m.Key].Section
	if m.Kind != plan.Bar || p.CapacityWidth <= 0 || sec.OuterWidth() <= 0 || sec.OuterHeight() <= 0 {
		return 1
	}
	var steepest [2]int64 // of mitres on either side
	for _, q := range l.Pieces {
		row := s.pieces[q.Mark]
		steepest[row.LeftFace], steepest[row.RightFace] = max(steepest[row.LeftFace], abs(row.Left)), max(steepest[row.RightFace], abs(row.Right))
	}
	most := length.Length(mostAtOnce)
	for _, f := range section.Faces {
		if steepest[f] == 0 && (f == section.Wide || steepest[section.Wide] > 0) {
			continue // no bar lies on the bed with this side up
		}
		beside, on := p.CapacityWidth/sec.Across(f), p.CapacityHeight/sec.Across(section.Narrow+section.Wide-f)
		if !stacks(sec) {
			on = min(on, 1)
		}
		if steepest[f] > 0 {
			through := float64(sec.Across(f)) / math.Cos(float64(steepest[f])/1000*math.Pi/180)
			beside = min(beside, length.Length(float64(p.CapacityWidth)/through), 1)
		}
		most = min(most, beside*on)
	}
	return int(max(1, most))
}

// mostAtOnce keeps a capacity written in another unit from becoming one bundle.
const mostAtOnce = 100

// stacks tells whether bars of a section lie firmly on each other.
func stacks(s section.Section) bool {
	switch s.Shape {
	case section.SquareTube, section.RectTube, section.Flat, section.SquareBar, section.Timber:
		return true
	}
	return false
}

// made is one piece or panel as it comes off the saw.
type made struct {
	material plan.Material
	mark     string
	copy     int
	number   int    // of the bar or sheet; 0 where it comes ready
	part     string // of a bar that the yard cut
	from     string
	piece    job.Piece
	panel    job.Panel
}

// cutOrder lists every piece and panel in cutting order: of bars cut at once, the
// first of each, then the second of each. What is bought cut and ready follows its
// marks.
func (s *set) cutOrder() []made {
	var out []made
	for _, m := range s.plan.Materials {
		add := func(mark string, copy, number int, from string) {
			out = append(out, made{material: m, mark: mark, copy: copy, number: number, from: from, piece: s.pieces[mark], panel: s.panels[mark]})
		}
		for _, b := range s.bundles(m) {
			for _, st := range stretches(b.Layout) {
				for i := st.first; i < st.after; i++ {
					for _, l := range b.layouts {
						add(l.Pieces[i].Mark, l.Pieces[i].Copy, l.Number, l.Stock.Supplier)
						out[len(out)-1].part = partTitle(st.name)
					}
				}
			}
			for _, l := range b.layouts {
				for _, p := range l.Panels {
					add(p.Mark, p.Copy, l.Number, l.Stock.Supplier)
				}
			}
		}
		for _, q := range m.Marks {
			for i := range int(q.Count) {
				n := s.pieces[q.Mark].Copy(i)
				if m.Kind == plan.Sheet {
					n = s.panels[q.Mark].Copy(i)
				}
				add(q.Mark, n, 0, m.ByMark)
			}
		}
	}
	return out
}

// partTitle is how a part of a bar is spoken of: part a.
func partTitle(name string) string {
	if name == "" || strings.HasPrefix(name, "part ") {
		return name
	}
	return "part " + name
}

// cutPapers makes the papers that go with the cutting, and says what each is for.
func (s *set) cutPapers(folder string) [][2]string {
	var entries [][2]string
	say := func(file, what string) { entries = append(entries, [2]string{file, what}) }
	if len(s.saws()) > 0 {
		s.stopPaper().save(under(folder, "stops.pdf"))
		say("stops.pdf", "for the saw: what its stop is set to, and the order in which bars are cut")
	}
	if order := s.cutOrder(); len(order) > 0 {
		roll := s.labelled(order, folder)
		say("labels.pdf", "for the saw: a label for each piece and panel, in cutting order; print at 100 %")
		if roll {
			say("labels-roll.pdf", "the same labels for a roll printer, one a page")
		}
		s.paintPaper(order).save(under(folder, "paint-marks.pdf"))
		say("paint-marks.pdf", "for the saw: short marks to write by hand where no label holds, and on which face")
	}
	if all := kits(s.job); len(all) > 0 {
		s.kitPaper(all).save(under(folder, "kits.pdf"))
		say("kits.pdf", "for assembly: what goes into each group, in the order of fit; a page each")
	}
	return entries
}
