package check

import (
	"math"
	"math/bits"
	"slices"

	"sawbill/internal/job"
	"sawbill/internal/length"
)

// Where the values of the panels leave a gap, a few panels are settled by
// trying all plans. For every set of panels the least rectangles are listed in
// which the set can be cut edge to edge, larger sets from their parts; then the
// cheapest way to divide all panels among sheets follows by going through the
// sets of what is cut already. The narrowest strip decides only how a panel may
// lie: what is cut further is never narrower than a panel in it.
//
// Where panels lie freely, a set that cannot be cut so may fit all the same: see
// corners.go. What that is too much work for is assumed to fit where its area does,
// and so is what lies in openings, whatever their corners and however the panel
// around them lies: the least cost is then a bound, and that a set fits is no longer
// certain.

// fewPanels is the number of panels up to which that is done: the work grows
// with the third power of two to that number.
const fewPanels = 10

// Axes of a row of parts.
const (
	alongX = iota
	alongY
)

// extent is the size of a rectangle, kerf included, along both axes.
type extent [2]int64

// trees lists the least rectangles for one kind of sheet.
type trees struct {
	sheet  extent
	poses  [][]extent // of each panel
	stages int        // 0 any
	exact  bool
	first  [2]int // the stage at which rows along an axis may begin; 0 either
	// line is the longest cut, kerf included: the cuts of a row run across all of it.
	line  int64
	known map[row][]extent
}

// row names a row of parts along an axis, parted by cuts of a stage.
type row struct{ set, axis, stage int }

// rows lists the least rectangles in which the set lies as a row of two parts
// or more, or as its only panel.
func (t *trees) rows(r row) []extent {
	if t.stages > 0 && r.stage > t.stages {
		return nil
	}
	if t.stages == 0 {
		r.stage = 0 // all stages are alike
	}
	if single(r.set) {
		return t.parts(r.set, r)
	}
	if list, ok := t.known[r]; ok {
		return list
	}
	// In the last of an exact number of stages nothing can be trimmed any more.
	level := t.exact && t.stages > 0 && r.stage == t.stages
	var list []extent
	first := r.set & -r.set
	for sub := (r.set - 1) & r.set; sub > 0; sub = (sub - 1) & r.set {
		if sub&first == 0 {
			continue // the part with the first panel comes first
		}
		for _, part := range t.parts(sub, r) {
			for _, rest := range t.rest(row{r.set &^ sub, r.axis, r.stage}) {
				if level && part[1-r.axis] != rest[1-r.axis] {
					continue
				}
				var e extent
				e[r.axis] = part[r.axis] + rest[r.axis]
				e[1-r.axis] = max(part[1-r.axis], rest[1-r.axis])
				list = t.keep(list, e, r.axis, level)
			}
		}
	}
	t.known[r] = list
	return list
}

// parts lists the least rectangles in which the set is one part of a row.
func (t *trees) parts(set int, r row) []extent {
	if single(set) {
		return t.poses[bits.TrailingZeros(uint(set))]
	}
	var list []extent
	for _, e := range t.rows(row{set, 1 - r.axis, r.stage + 1}) {
		if e[r.axis] <= t.line {
			list = append(list, e)
		}
	}
	return list
}

// rest lists the least rectangles in which the set is what follows in a row:
// one part or several.
func (t *trees) rest(r row) []extent {
	if single(r.set) {
		return t.parts(r.set, r)
	}
	return slices.Concat(t.parts(r.set, r), t.rows(r))
}

func single(set int) bool { return set&(set-1) == 0 }

// keep adds a rectangle unless it is larger than the sheet or than another.
func (t *trees) keep(list []extent, e extent, axis int, level bool) []extent {
	if e[alongX] > t.sheet[alongX] || e[alongY] > t.sheet[alongY] {
		return list
	}
	worse := func(a, b extent) bool {
		if level {
			return a[1-axis] == b[1-axis] && a[axis] >= b[axis]
		}
		return a[alongX] >= b[alongX] && a[alongY] >= b[alongY]
	}
	kept := list[:0]
	for _, o := range list {
		if worse(e, o) {
			return list
		}
	}
	for _, o := range list {
		if !worse(o, e) {
			kept = append(kept, o)
		}
	}
	return append(kept, e)
}

// fits reports whether the set can be cut from one sheet. The cuts of a row are of the
// first stage, or of the second after one that only trims the sheet to the row's height
// or cuts nothing.
func (t *trees) fits(set int) bool {
	for axis := range 2 {
		for stage := 1; stage <= 2; stage++ {
			if may := t.first[axis] == stage || t.first[axis] == 0; !may {
				continue
			}
			for _, e := range t.rows(row{set, axis, stage}) {
				whole := e[1-axis] == t.sheet[1-axis]
				last := t.exact && t.stages == stage // nothing is trimmed afterwards
				across := t.sheet[1-axis] <= t.line && (whole || !last)
				trims := stage == 2 && t.sheet[axis] <= t.line && e[1-axis] <= t.line
				if across || trims || single(set) && e == t.sheet {
					return true
				}
			}
		}
	}
	return false
}

// spend is a cost and, at that cost, the number of sheets.
type spend struct{ cost, sheets int64 }

func (s spend) less(o spend) bool {
	return s.cost < o.cost || s.cost == o.cost && s.sheets < o.sheets
}

// leastSheets is the least cost, and the fewest sheets at that cost, by trying
// everything; ok is false when there are too many panels.
func (a *audit) leastSheets(m *material) (least spend, ok bool) {
	rows, few := a.fewRows(m, nil)
	if !few {
		return least, false
	}
	return a.trySets(m, rows, func(k int) (many, price int64) {
		o := m.offers[k]
		return a.supply(m, o), leastPrice(&a.job.Offers[o])
	}), true
}

// fewRows lists the row of every panel of the material, or of so many of each row
// as part says; few is false when there are too many to try.
func (a *audit) fewRows(m *material, part map[int]int64) (rows []int, few bool) {
	for i, p := range a.job.Panels {
		if p.Material != m.index {
			continue
		}
		n := p.Quantity
		if part != nil {
			n = part[i]
		}
		if n > fewPanels || int64(len(rows))+n > fewPanels {
			return nil, false
		}
		for range n {
			rows = append(rows, i)
		}
	}
	return rows, true
}

// trySets is the least for which sheets hold all panels, given by their rows, when
// there are so many of the k-th offer at such a price: math.MaxInt64 for none.
func (a *audit) trySets(m *material, rows []int, sheets func(k int) (many, price int64)) spend {
	all := 1<<len(rows) - 1
	best := make([]spend, all+1)
	for set := 1; set <= all; set++ {
		best[set] = spend{cost: math.MaxInt64}
	}
	for _, o := range m.openings { // each as one sheet that is there
		fits := a.openingFits(m, o, rows)
		for _, i := range rows {
			if i == o.panel && !oneMore(best, fits, spend{}) {
				break
			}
		}
	}
	for k, o := range m.offers {
		fits := a.sheetFits(m, o, rows)
		if fits == nil {
			continue
		}
		many, price := sheets(k)
		for range many {
			if !oneMore(best, fits, spend{price, 1}) {
				break
			}
		}
	}
	return best[all]
}

// sheetFits tells of every set of panels, given by their rows, whether it can
// be cut from one sheet of an offer; nil when there is no room on it.
func (a *audit) sheetFits(m *material, o int, rows []int) []bool {
	offer := &a.job.Offers[o]
	r := m.trimmed(offer)
	if !a.sold(offer) || r.length <= 0 || r.width <= 0 {
		return nil
	}
	return a.fits(m, m.room(r.length, r.width), rows, func(p *job.Panel) (may, turn bool) {
		return a.mustCarry(offer) <= 0 || a.load(p.Length, p.Width), p.Turn
	})
}

// openingFits is sheetFits for an opening.
func (a *audit) openingFits(m *material, o opening, rows []int) []bool {
	return a.fits(m, o.room, rows, func(p *job.Panel) (may, turn bool) { return true, p.Turn || o.turn })
}

// fits tells of every set of panels whether it can be cut from a sheet, on which
// each may lie, and turned, as is said.
func (a *audit) fits(m *material, sheet room, rows []int, may func(*job.Panel) (may, turn bool)) []bool {
	t := &trees{
		sheet: extent{sheet.x, sheet.y}, stages: m.process.Stages, exact: m.process.Exact, known: map[row][]extent{},
	}
	t.line = m.longestCut()
	switch m.process.FirstCut {
	case job.CutsAlongLength:
		t.first[alongX], t.first[alongY] = 2, 1
	case job.CutsAlongWidth:
		t.first[alongX], t.first[alongY] = 1, 2
	}
	if m.free {
		t.stages, t.exact, t.first = 0, false, [2]int{}
	}
	for _, i := range rows {
		p := &a.job.Panels[i]
		var poses []extent
		if ok, turn := may(p); ok {
			for _, r := range m.cuttable(p.Length, p.Width, turn, sheet) {
				poses = append(poses, extent{r.x, r.y})
			}
		}
		t.poses = append(t.poses, poses)
	}
	fits := make([]bool, 1<<len(rows))
	if m.effort == nil {
		effort := int64(cornerEffort)
		m.effort = &effort
	}
	c := &corners{sheet: t.sheet, poses: t.poses, effort: m.effort}
	for set := 1; set < len(fits); set++ {
		if fits[set] = t.fits(set); fits[set] || !m.free || !withoutOne(fits, set) {
			continue
		}
		v := c.lies(set)
		fits[set] = v == yes || v == unknown && t.room(set)
		m.loose = m.loose || fits[set] && v == unknown
	}
	return fits
}

// withoutOne reports whether a set fits whichever of its panels is left out.
func withoutOne(fits []bool, set int) bool {
	if single(set) {
		return false
	}
	for rest := set; rest > 0; rest &= rest - 1 {
		if !fits[set&^(rest&-rest)] {
			return false
		}
	}
	return true
}

// room reports whether the sheet is as large as the panels of the set together.
func (t *trees) room(set int) bool {
	area := whole(0)
	for i, poses := range t.poses {
		if set>>i&1 == 0 {
			continue
		}
		if len(poses) == 0 {
			return false
		}
		area = area.plus(whole(poses[0][alongX]).times(whole(poses[0][alongY])))
	}
	return area.compare(whole(t.sheet[alongX]).times(whole(t.sheet[alongY]))) <= 0
}

// strip reports whether a part of some size (kerf included), cut from a sheet,
// longestCut is what the blade makes, with a kerf.
func (m *material) longestCut() int64 {
	if m.free || m.process.Blade == 0 {
		return math.MaxInt64
	}
	return int64(m.process.Blade + m.process.Kerf)
}

// firstCuts tells along which axes the first cuts may part a sheet.
func (m *material) firstCuts(sheet room) [2]bool {
	line := m.longestCut()
	return [2]bool{
		m.process.FirstCut != job.CutsAlongLength && sheet.y <= line,
		m.process.FirstCut != job.CutsAlongWidth && sheet.x <= line,
	}
}

// cuttable lists how a panel may lie on a sheet so that it can be cut off: by
// cuts that the blade makes, and not in a strip narrower than is held.
func (m *material) cuttable(l, w length.Length, turn bool, sheet room) []room {
	line := m.longestCut()
	return slices.DeleteFunc(m.poses(l, w, turn, sheet), func(r room) bool {
		trimmed := r.x > line && r.y < sheet.y || r.y > line && r.x < sheet.x // by a cut as long as that side
		return trimmed || m.strip(r.x, sheet.x) || m.strip(r.y, sheet.y)
	})
}

// is narrower than can be cut. What is as large as the sheet is not cut there.
func (m *material) strip(size, sheet int64) bool {
	return !m.free && size < sheet && size-int64(m.process.Kerf) < int64(m.process.MinStrip)
}

// oneMore improves the spending on every set of panels by one more sheet; it
// reports whether any got better.
func oneMore(best []spend, fits []bool, one spend) bool {
	better := false
	for set := len(best) - 1; set > 0; set-- { // larger sets first: each sheet once
		for sub := set; sub > 0; sub = (sub - 1) & set {
			b := best[set&^sub]
			if !fits[sub] || b.cost > math.MaxInt64-one.cost {
				continue
			}
			if s := (spend{b.cost + one.cost, b.sheets + one.sheets}); s.less(best[set]) {
				best[set], better = s, true
			}
		}
	}
	return better
}
