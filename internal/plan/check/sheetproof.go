package check

// sheetLadder lists the valuations of the panels: by the area alone. A panel
// with a kerf on two of its sides takes at least that area of a sheet with a
// kerf on two of its sides.
func (a *audit) sheetLadder(m *material, effort *int64) *ladder {
	return &ladder{rungs: []func() (worth, answer){func() (worth, answer) { return a.area(m), yes }}}
}

// area values every panel by its area. Areas are divided by a power of two,
// panels rounded down and sheets up, so that their sum stays in 64 bits.
func (a *audit) area(m *material) worth {
	kerf := whole(int64(m.process.Kerf))
	var wanted wide
	var panels, numbers []wide
	for _, p := range a.job.Panels {
		if p.Material == m.index {
			size := whole(int64(p.Length)).plus(kerf).times(whole(int64(p.Width)).plus(kerf))
			panels, numbers = append(panels, size), append(numbers, whole(p.Quantity))
			wanted = wanted.plus(size.times(whole(p.Quantity)))
		}
	}
	unit := whole(1)
	for half := whole(1 << 61); wanted.compare(half.times(unit)) > 0; {
		unit = unit.times(whole(2))
	}
	var w worth
	var sum wide
	for i, p := range panels {
		// Rounded down, as the ceiling of what lacks almost a unit.
		sum = sum.plus(p.minus(unit.minus(whole(1))).ceiling(unit).times(numbers[i]))
	}
	w.wanted, _ = sum.int64()
	for _, o := range m.offers {
		r := m.trimmed(&a.job.Offers[o])
		most := int64(0)
		if r.length > 0 && r.width > 0 {
			most, _ = whole(int64(r.length)).plus(kerf).times(whole(int64(r.width)).plus(kerf)).ceiling(unit).int64()
		}
		w.most = append(w.most, most)
	}
	return w
}
