package nest2d

import (
	"math"
	"slices"
)

// certify looks for the certificate with the highest bound.
func (m *model) certify(work int64) Certificate { return strongest(m.certificates(work)) }

// certificates makes several, the first of areas. For each way to weigh the
// kinds of sheets (by area, by price) it chooses functions kind by kind, each
// time those that raise the total of the panels' values most while the other
// kinds keep theirs. Work limits the number of products tried.
func (m *model) certificates(work int64) []Certificate {
	list := []Certificate{m.certificate(m.byArea(), nil)}
	weighings := [][]int64{m.byArea()}
	if worth := m.byPrice(); worth != nil && len(m.kinds) > 1 {
		weighings = append(weighings, worth)
	}
	for _, worth := range weighings {
		list = append(list, m.certificate(worth, m.chooseTerms(worth, work/int64(len(weighings)))))
	}
	return list
}

// strongest is the certificate with the highest bound, the first of equals.
func strongest(list []Certificate) Certificate {
	best := list[0]
	for _, c := range list[1:] {
		if c.Bound < 0 || best.Bound >= 0 && c.Bound > best.Bound {
			best = c
		}
	}
	return best
}

// certificate makes a certificate of worths and terms; nil terms stand for
// areas.
func (m *model) certificate(worth []int64, terms [][]Term) Certificate {
	c := Certificate{Kinds: make([]KindProof, len(m.kinds))}
	for k := range m.kinds {
		if m.kinds[k].supply == 0 {
			continue
		}
		c.Kinds[k] = KindProof{Worth: worth[k], Terms: []Term{{}}}
		if terms != nil {
			c.Kinds[k].Terms = terms[k]
		}
	}
	c.prove(m)
	return c
}

// mostWorth keeps the sum of worths of as many sheets as there are panels
// inside an int64.
func (m *model) mostWorth() int64 { return math.MaxInt64 / 4 / max(m.copies, 1) }

func (m *model) byArea() []int64 {
	worth := make([]int64, len(m.kinds))
	for k := range m.kinds {
		worth[k] = m.kinds[k].usable[axisX] * m.kinds[k].usable[axisY]
	}
	return m.scaled(worth)
}

// byPrice is nil when all kinds are free: then price says nothing of worth.
// When some are, only panels that fit none of these have a value.
func (m *model) byPrice() []int64 {
	worth := make([]int64, len(m.kinds))
	for k := range m.kinds {
		if m.kinds[k].supply > 0 {
			worth[k] = m.kinds[k].price
		}
	}
	if !slices.ContainsFunc(worth, func(w int64) bool { return w > 0 }) {
		return nil
	}
	return m.scaled(worth)
}

// scaled makes worths as large as they may be, in proportion.
func (m *model) scaled(worth []int64) []int64 {
	largest, limit := int64(1), m.mostWorth()
	for k := range worth {
		if m.kinds[k].supply == 0 {
			worth[k] = 0
		}
		largest = max(largest, worth[k])
	}
	for k := range worth {
		if largest <= limit {
			worth[k] *= limit / largest
		} else {
			worth[k] /= largest/limit + 1
		}
	}
	return worth
}

// chooseTerms picks functions for every kind. It works in floats: whatever it
// picks, the certificate is proved in integers afterwards.
func (m *model) chooseTerms(worth []int64, work int64) [][]Term {
	var active []int
	for k := range m.kinds {
		if m.kinds[k].supply > 0 {
			active = append(active, k)
		}
	}
	// What binds most comes first: the least worth for its area.
	slices.SortStableFunc(active, func(a, b int) int {
		x := float64(worth[a]) * float64(m.kinds[b].area)
		y := float64(worth[b]) * float64(m.kinds[a].area)
		switch {
		case x < y:
			return -1
		case x > y:
			return 1
		}
		return 0
	})
	terms := make([][]Term, len(m.kinds))
	values := make([][]float64, len(m.kinds)) // by kind and panel; nil is no limit
	rounds := 1
	if len(active) > 1 {
		rounds = 3
	}
	for range rounds {
		for _, k := range active {
			caps := slices.Repeat([]float64{math.Inf(1)}, len(m.problem.Panels))
			for o := range values {
				for i := range values[o] {
					if o != k {
						caps[i] = min(caps[i], values[o][i])
					}
				}
			}
			terms[k], values[k] = m.bestTerms(k, float64(worth[k]), caps, work/int64(rounds*len(active)))
		}
	}
	return terms
}

// bestTerms finds the functions for kind k under which the panels' values,
// none above its cap, add up to the most. It tries all pairs of candidates.
// Where panels may be turned it tries each pair also with its mirror image:
// the sum of the two products depends less on how a panel lies, so the least
// over its poses is higher.
func (m *model) bestTerms(k int, worth float64, caps []float64, work int64) ([]Term, []float64) {
	t := m.table(k, work)
	best, bestTotal := []Term(nil), -1.0
	try := func(terms []Term, products ...product) {
		total := 0.0
		for i := range t.panels {
			p := &t.panels[i]
			total += float64(p.demand * min(caps[p.panel], float64(worth*p.share(products))))
		}
		if total > bestTotal*(1+relaxed) {
			best, bestTotal = terms, total
		}
	}
	for f := range t.functions[axisX] {
		for g := range t.functions[axisY] {
			term, one := t.term(f, g)
			try([]Term{term}, one)
			if i, j := t.mirror[axisX][f], t.mirror[axisY][g]; t.turns && i >= 0 && j >= 0 {
				mirrored, two := t.term(j, i)
				try([]Term{term, mirrored}, one, two)
			}
		}
	}
	values := slices.Repeat([]float64{math.Inf(1)}, len(m.problem.Panels))
	proof := KindProof{Terms: best}
	for i := range t.panels {
		p := &t.panels[i]
		v := math.Inf(1)
		for _, s := range p.poses {
			v = min(v, proof.share(s, m.kinds[k].usable))
		}
		values[p.panel] = worth * v
	}
	return best, values
}

// share is the part of a sheet that a pose takes by the functions, as a float.
func (p KindProof) share(s, whole size) float64 {
	part, all := 0.0, 0.0
	for _, t := range p.Terms {
		part += float64(float64(t.X.At(s[axisX], whole[axisX])) * float64(t.Y.At(s[axisY], whole[axisY])))
		all += float64(float64(t.X.At(whole[axisX], whole[axisX])) * float64(t.Y.At(whole[axisY], whole[axisY])))
	}
	return part / all
}

// A table holds the values of candidate functions at the sizes of all panels.
type table struct {
	functions [2][]Function
	at        [2][][]float64 // by axis, function, size; the whole comes last
	mirror    [2][]int       // index of the same function on the other axis, or -1
	panels    []tablePanel
	turns     bool // some panel has two poses
}

type tablePanel struct {
	panel  int
	demand float64
	poses  []size
	index  [][2]int // of the poses' sizes in the table
}

// A product is one term, by its values at all sizes and at the whole.
type product struct {
	x, y  []float64
	whole float64
}

func (t *table) term(f, g int) (Term, product) {
	x, y := t.at[axisX][f], t.at[axisY][g]
	return Term{t.functions[axisX][f], t.functions[axisY][g]}, product{x, y, float64(x[len(x)-1] * y[len(y)-1])}
}

// share is the least share in a sheet of a panel over its poses.
func (p *tablePanel) share(products []product) float64 {
	least, whole := math.Inf(1), 0.0
	for _, t := range products {
		whole += t.whole
	}
	for _, i := range p.index {
		v := 0.0
		for _, t := range products {
			v += float64(t.x[i[axisX]] * t.y[i[axisY]])
		}
		least = min(least, v)
	}
	return least / whole
}

// table lists and evaluates candidates, so many that trying all pairs takes
// about the given number of products.
func (m *model) table(k int, work int64) *table {
	t := &table{}
	var sizes [2][]int64
	for i, a := range m.problem.Panels {
		poses := m.problem.Sheets[k].possible(a)
		if a.Demand == 0 || len(poses) == 0 {
			continue
		}
		t.panels = append(t.panels, tablePanel{panel: i, demand: float64(a.Demand), poses: poses})
		t.turns = t.turns || len(poses) > 1
		for _, s := range poses {
			sizes[axisX] = append(sizes[axisX], s[axisX])
			sizes[axisY] = append(sizes[axisY], s[axisY])
		}
	}
	most := int(math.Sqrt(float64(work) / float64(max(len(t.panels), 1))))
	if t.turns {
		most /= 2
	}
	for axis := range 2 {
		slices.Sort(sizes[axis])
		sizes[axis] = slices.Compact(sizes[axis])
		whole := m.kinds[k].usable[axis]
		t.functions[axis], t.at[axis] = undominated(candidates(sizes[axis], whole, most), sizes[axis], whole)
	}
	for axis := range 2 {
		for _, f := range t.functions[axis] {
			t.mirror[axis] = append(t.mirror[axis], slices.Index(t.functions[1-axis], f))
		}
	}
	for i := range t.panels {
		p := &t.panels[i]
		for _, s := range p.poses {
			x, _ := slices.BinarySearch(sizes[axisX], s[axisX])
			y, _ := slices.BinarySearch(sizes[axisY], s[axisY])
			p.index = append(p.index, [2]int{x, y})
		}
	}
	return t
}

// candidates lists functions on [0, whole] worth trying for the given sizes:
// // about most of them: those whose parameter is where a size changes its value.
func candidates(sizes []int64, whole int64, most int) []Function {
	most = max(most/3, 4) // of one family
	var steps []int64
	for _, s := range sizes {
		for _, p := range []int64{s, whole - s, whole - s + 1, s / 2, s / 3} {
			if p >= 1 && p <= whole/2 {
				steps = append(steps, p)
			}
		}
	}
	slices.Sort(steps)
	steps = slices.Compact(steps)
	stride := (len(steps)-1)/most + 1
	list := []Function{{Identity, 0}}
	for p := range int64(min(most, maxRounding)) {
		list = append(list, Function{Rounding, p + 1})
	}
	for _, family := range []Family{Threshold, Steps} {
		for i := 0; i < len(steps); i += stride {
			list = append(list, Function{family, steps[i]})
		}
	}
	return list
}

// undominated evaluates functions at the sizes and at the whole, and leaves
// out those that are nowhere above another in parts of the whole.
func undominated(list []Function, sizes []int64, whole int64) ([]Function, [][]float64) {
	shares := make([][]float64, len(list))
	for i, f := range list {
		for _, s := range sizes {
			shares[i] = append(shares[i], float64(f.At(s, whole))/float64(f.At(whole, whole)))
		}
	}
	var functions []Function
	var at [][]float64
candidates:
	for i := range list {
		for j := range list {
			if i != j && covers(shares[j], shares[i]) && (j < i || !slices.Equal(shares[i], shares[j])) {
				continue candidates
			}
		}
		row := make([]float64, 0, len(sizes)+1)
		for _, x := range sizes {
			row = append(row, float64(list[i].At(x, whole)))
		}
		functions = append(functions, list[i])
		at = append(at, append(row, float64(list[i].At(whole, whole))))
	}
	return functions, at
}

// covers tells whether a is nowhere below b.
func covers(a, b []float64) bool {
	for i := range a {
		if a[i] < b[i] {
			return false
		}
	}
	return true
}
