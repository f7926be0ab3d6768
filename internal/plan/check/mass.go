package check

import (
	"math"

	"sawbill/internal/job"
	"sawbill/internal/length"
	"sawbill/internal/plan"
	"sawbill/internal/section"
)

// milligram is the part of a kilogram in which masses are held.
const milligram = 1e-6

// span is a mass in milligrams known only between two values, and how many
// items were weighed for it. Each item may have been rounded either way.
type span struct {
	low, high float64
	items     int64
}

func (s *span) add(low, high float64, items int64) {
	s.low += float64(math.Floor(low+0.5) * float64(items))
	s.high += float64(math.Floor(high+0.5) * float64(items))
	s.items += items
}

func (s *span) holds(m plan.Mass) bool {
	slack := float64(s.items) // one milligram an item
	return float64(m) >= s.low-slack && float64(m) <= s.high+slack
}

// alloy is the material's alloy with the density the job goes by.
func (m *material) alloy() section.Material {
	al := m.job.Alloy
	if m.job.Density > 0 && m.job.Density != al.Density {
		al = al.WithDensity(m.job.Density)
	}
	return al
}

// perUnit is the mass in milligrams of one unit of bar length, or of one
// square unit of sheet.
func (m *material) perUnit() float64 {
	metre := float64(length.Metre)
	if m.job.Sheet() {
		return m.job.Section.MassPerArea(m.alloy()) / milligram / metre / metre
	}
	return section.MassPerMetre(m.job.Section, m.alloy()) / milligram / metre
}

// massLength is the length of square-ended bar as heavy as the piece. A mitre
// takes off half of what it slants over, L - w(tan|a| + tan|b|)/2, whichever
// way the ends slant; exact for sections symmetric about their axis. w is the
// width of the side that each is laid on.
func massLength(p job.Piece, s section.Section) float64 {
	half := func(angle int64, face section.Face) float64 {
		w := s.OuterWidth()
		if face == section.Wide {
			w = s.OuterHeight()
		}
		return float64(float64(w)*math.Abs(math.Tan(float64(angle)*math.Pi/180_000))) / 2
	}
	return float64(p.Length) - half(p.Left, p.LeftFace) - half(p.Right, p.RightFace)
}

// masses weighs the material's pieces or panels, bars or sheets, and offcuts.
func (a *audit) masses(m *material) {
	per := m.perUnit()
	var pieces, bought, offcuts span
	for _, p := range a.job.Pieces {
		if p.Material == m.index && !m.job.Sheet() {
			long := massLength(p, m.job.Section)
			pieces.add(long*per, long*per, p.Quantity)
		}
	}
	for _, p := range a.job.Panels {
		if p.Material == m.index && m.job.Sheet() {
			mass := measure(&p).area.float() * per
			pieces.add(mass, mass, p.Quantity)
		}
	}
	for i := range m.plan.Layouts {
		l := &m.plan.Layouts[i]
		mass := float64(l.Stock.Length) * per
		if m.job.Sheet() {
			mass *= float64(l.Stock.Width)
		}
		bought.add(mass, mass, 1)
	}
	m.eachKept(func(size wide) {
		mass := size.float() * per
		offcuts.add(mass, mass, 1)
	})

	got := m.plan.Mass
	weigh := func(what string, got plan.Mass, s span) {
		if !s.holds(got) {
			a.find(m.job.Key, "the mass of %s is given as %s kg, it is %.6f kg", what, got, (s.low+s.high)/2*milligram)
		}
	}
	if m.plan.ByMark != "" && got.Offcuts == 0 {
		bought = pieces // it comes as it is needed
		if got.Bought != got.Pieces {
			a.find(m.job.Key, "it is bought by the mark: %s kg are given as bought, %s kg as cut", got.Bought, got.Pieces)
		}
	}
	if m.sound {
		weigh("all that is cut", got.Pieces, pieces)
		weigh("all that is bought", got.Bought, bought)
		weigh("the offcuts to keep", got.Offcuts, offcuts)
	}
	sum := whole(int64(got.Pieces)).plus(whole(int64(got.Offcuts))).plus(whole(int64(got.Scrap)))
	if !sum.equals(int64(got.Bought)) {
		a.find(m.job.Key, "the masses of what is cut, of the offcuts and of the scrap do not sum up to %s kg bought", got.Bought)
	}
	share := whole(10_000).plus(whole(m.job.Growth))
	if !halfUp(whole(int64(got.Pieces)).times(share), whole(10_000)).equals(int64(got.Allowed)) {
		a.find(m.job.Key, "the mass with the allowance for growth is given as %s kg, which is not %s kg and %s %%", got.Allowed, got.Pieces, plan.Money(m.job.Growth))
	}
}

// eachKept visits the size of every leftover that is kept: the length of a
// bar's, the area of a sheet's.
func (m *material) eachKept(visit func(wide)) {
	if !m.sound {
		return
	}
	var walk func(*plan.Part)
	walk = func(p *plan.Part) {
		if p.Kept {
			visit(whole(int64(p.Length)).times(whole(int64(p.Width))))
		}
		for _, c := range p.Parts {
			walk(c)
		}
	}
	for i := range m.plan.Layouts {
		l := &m.plan.Layouts[i]
		if l.Kept {
			visit(whole(int64(l.Offcut)))
		}
		for _, p := range []*plan.Part{l.Tree, l.Strip} {
			if p != nil {
				walk(p)
			}
		}
	}
}

// totalMass checks the plan's masses as sums of the materials'.
func (a *audit) totalMass() {
	part := func(what string, of func(plan.Masses) plan.Mass) {
		var sum wide
		for i := range a.plan.Materials {
			sum = sum.plus(whole(int64(of(a.plan.Materials[i].Mass))))
		}
		if total := of(a.plan.Mass); !sum.equals(int64(total)) {
			a.find("plan", "the mass of %s is given as %s kg, the materials make another sum", what, total)
		}
	}
	part("all that is cut", func(m plan.Masses) plan.Mass { return m.Pieces })
	part("all that is bought", func(m plan.Masses) plan.Mass { return m.Bought })
	part("the offcuts to keep", func(m plan.Masses) plan.Mass { return m.Offcuts })
	part("the scrap", func(m plan.Masses) plan.Mass { return m.Scrap })
	part("the structure with its allowance", func(m plan.Masses) plan.Mass { return m.Allowed })
}

// shares checks how much of the bought length or area is used and kept, in
// hundredths of a percent rounded half up.
func (a *audit) shares(m *material) {
	s := m.plan.Shares
	if !whole(s.Used).plus(whole(s.Offcuts)).plus(whole(s.Scrap)).equals(10_000) {
		a.find(m.job.Key, "the shares used, kept and scrapped do not sum up to 100 %%")
	}
	if m.plan.ByMark != "" && s != (plan.Shares{Used: 10_000}) {
		a.find(m.job.Key, "it is bought by the mark, so all of it is used")
	}
	if !m.sound {
		return
	}
	var used, kept, bought wide
	for _, p := range a.job.Pieces {
		if p.Material == m.index && !m.job.Sheet() {
			long := p.Length
			if a.nests(m) { // a slant is half a neighbour's
				s := m.job.Section
				long -= (slant(s.Across(p.LeftFace), p.Left) + slant(s.Across(p.RightFace), p.Right)) / 2
			}
			used = used.plus(whole(int64(long)).times(whole(p.Quantity)))
		}
	}
	for _, p := range a.job.Panels {
		if p.Material == m.index && m.job.Sheet() {
			used = used.plus(measure(&p).area.times(whole(p.Quantity)))
		}
	}
	for i := range m.plan.Layouts {
		size := whole(int64(m.plan.Layouts[i].Stock.Length))
		if m.job.Sheet() {
			size = size.times(whole(int64(m.plan.Layouts[i].Stock.Width)))
		}
		bought = bought.plus(size)
	}
	m.eachKept(func(size wide) { kept = kept.plus(size) })
	a.share(m, "used", s.Used, used, bought)
	a.share(m, "kept", s.Offcuts, kept, bought)
}

func (a *audit) share(m *material, what string, got int64, part, all wide) {
	if all.sign() <= 0 {
		return // nothing bought: found elsewhere
	}
	want := halfUp(part.times(whole(10_000)), all)
	if !want.equals(got) {
		a.find(m.job.Key, "the share %s is given as %s %%, it is %.2f %%", what, plan.Money(got), want.float()/100)
	}
}

// halfUp returns n/d rounded to the nearest whole number, halves up, for d > 0.
func halfUp(n, d wide) wide {
	// floor((2n + d)/2d), the floor as the ceiling of what lacks almost a unit.
	double := d.times(whole(2))
	return n.times(whole(2)).plus(d).minus(double.minus(whole(1))).ceiling(double)
}
