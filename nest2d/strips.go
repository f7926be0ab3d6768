package nest2d

import (
	"cmp"
	"encoding/binary"
	"math"
	"slices"

	"sawbill/solver"
	"sawbill/solver/embedded"
)

// Strips
//
// In two stages a sheet is parted into strips, and strips into panels. Both are
// knapsacks along one line: panels along a strip of some thickness, strips across
// a sheet (Gilmore & Gomory 1965). So one linear program has columns of two sorts,
// strips and sheets parted into strips, and rows that make as many strips room on
// sheets as there are (Vanderbeck 2001; Macedo, Alves & Valério de Carvalho 2010
// for the same model over arcs). Strips go from sheet to sheet that way, where
// whole layouts would have to be found anew.
//
// A strip is as thick as the thickest of its panels; with an exact number of stages
// all of them are. A strip never holds more copies than are wanted, which the
// knapsack along it sees to exactly, and no sheet has more strips of a thickness
// than there are panels as thick.
//
// P. C. Gilmore & R. E. Gomory, "Multistage cutting stock problems of two and more
// dimensions", Operations Research 13 (1965) 94–120; F. Vanderbeck, "A nested
// decomposition approach to a three-stage, two-dimensional cutting-stock problem",
// Management Science 47 (2001) 864–879; R. Macedo, C. Alves & J. M. Valério de
// Carvalho, "Arc-flow model for the two-dimensional guillotine cutting stock
// problem", Computers & Operations Research 37 (2010) 991–1001.

// A slicing is a kind of sheet parted into strips along an axis.
type slicing struct {
	kind, axis int
	levels     []level // by rising thickness
	widths     []width // of stacks in strips, by rising width; with three stages
	along      ruler   // of strips
	across     ruler   // of sheets
}

// A level is a thickness of strips, with the panels that are as thick.
type level struct {
	thickness int64
	lanes     []lane
	row       int // strips of the level have room on sheets
}

// A lane is a panel as it lies in a strip.
type lane struct {
	panel  int
	pose   pose
	length int64 // along the strip
}

// A strip of a slicing holds panels one beside the other, and a parting holds levels.
type strip struct {
	slicing, level int
	lanes          []lane
	stacks         []int // how many lanes lie across the strip, stack by stack; nil with two stages
}

type parting struct {
	slicing int
	levels  []int
}

// A staging is the linear program of strips under way.
type staging struct {
	m        *model
	exact    bool // no last trimming cut
	stacked  bool // three stages and not two
	lp       solver.LP
	slicings []slicing
	supply   []int     // row of a kind, or -1
	wanted   []int64   // copies not in strips that are fixed,
	still    int64     // and their sum
	made     [][]int64 // strips that are fixed and on no sheet yet, by slicing and level
	strips   []strip
	partings []parting
	columns  []column        // of the program, artificial ones not counted
	first    int             // of these
	turn     int             // counts rounds: not all levels of stacks have their turn in each
	known    map[string]bool // what has a column
	cuts     []stripCut
	relaxed  float64 // the optimum of the whole problem, fractions allowed
	unit     float64 // the largest price
	scale    float64 // parts of a unit
	work     int64
	spent    int // iterations of the simplex method that were charged
}

// A column stands for a strip or a parting; the index of the other is -1.
type column struct{ strip, parting int }

// mostLevels is how many levels a program may have.
const mostLevels = 1_500

// staging is the program for plans in two or three stages, nil where numbers are too
// large. A line has so many units, about, at most.
func (m *model) staging(stages int, exact bool, work, units int64) *staging {
	g := &staging{m: m, exact: exact, stacked: stages == 3, unit: 1, work: work}
	for k := range m.kinds {
		if m.kinds[k].supply > 0 {
			g.unit = max(g.unit, float64(m.kinds[k].price))
		}
	}
	room := float64(knapsackRoom) / float64(int64(len(m.problem.Panels))*m.crowded())
	if g.scale = math.Floor(min(room, 1<<40) / 8); g.scale < 1<<20 {
		return nil // too coarse to be of use
	}
	levels := 0
	for k := range m.kinds {
		for axis := range 2 {
			if m.kinds[k].supply > 0 && m.kinds[k].base(axis) == 1 {
				s := m.slicing(k, axis, units)
				if g.stacked {
					if m.kinds[k].bladed >= 0 {
						return nil
					}
					m.stacked(&s, units)
				}
				if levels += len(s.levels); levels > mostLevels || max(s.along.whole, s.across.whole) > 4*mostUnits {
					return nil
				}
				g.slicings = append(g.slicings, s)
			}
		}
	}
	g.known = map[string]bool{}
	g.lp = embedded.Engine{}.New()
	g.rows()
	return g
}

// slicing lists the strips of a kind along an axis.
func (m *model) slicing(k, axis int, units int64) slicing {
	kind := &m.kinds[k]
	s := slicing{kind: k, axis: axis}
	var lengths []int64
	for i, a := range m.problem.Panels {
		for _, p := range kind.poses[i] {
			thick := p.size[axis]
			if kind.bladed == axis && thick > kind.most && p.size[1-axis] != kind.usable[1-axis] || a.Demand == 0 {
				continue
			}
			at, met := slices.BinarySearchFunc(s.levels, thick, func(l level, t int64) int { return cmp.Compare(l.thickness, t) })
			if !met {
				s.levels = slices.Insert(s.levels, at, level{thickness: thick})
			}
			s.levels[at].lanes = append(s.levels[at].lanes, lane{i, p, p.size[1-axis]})
			lengths = append(lengths, p.size[1-axis])
		}
	}
	var thick []int64
	for _, l := range s.levels {
		thick = append(thick, l.thickness)
	}
	s.along, s.across = newRuler(lengths, kind.usable[1-axis], units), newRuler(thick, kind.usable[axis], units)
	return s
}

// rows sets up the rows, and columns for what is not covered yet, which are dear.
func (g *staging) rows() {
	for _, a := range g.m.problem.Panels {
		row := g.lp.AddRow(float64(a.Demand), solver.Inf, nil, nil)
		g.lp.AddColumn(4, 0, solver.Inf, []int32{int32(row)}, []float64{1})
		g.wanted = append(g.wanted, a.Demand)
	}
	g.supply = g.m.supplyRows(g.lp)
	for i := range g.slicings {
		levels := g.slicings[i].levels
		for t := range levels {
			levels[t].row = g.lp.AddRow(0, solver.Inf, nil, nil)
			g.lp.AddColumn(4, 0, solver.Inf, []int32{int32(levels[t].row)}, []float64{1})
			if t > 0 { // room for a thicker strip is room for a thinner one
				g.lp.AddColumn(0, 0, solver.Inf, []int32{int32(levels[t].row), int32(levels[t-1].row)}, []float64{-1, 1})
			}
		}
		g.made = append(g.made, make([]int64, len(levels)))
	}
	g.first = g.lp.NumColumns()
}

// isNew tells that something has no column yet, and that it has from now on.
func (g *staging) isNew(slicing int, sort byte, numbers []int) bool {
	slices.Sort(numbers)
	key := binary.AppendUvarint([]byte{sort}, uint64(slicing))
	for _, n := range numbers {
		key = binary.AppendUvarint(key, uint64(n))
	}
	known := g.known[string(key)]
	g.known[string(key)] = true
	return !known
}

// addStrip gives a strip a column and tells whether it had none.
func (g *staging) addStrip(s strip) bool {
	var numbers []int
	for _, l := range s.lanes {
		n := 2 * l.panel
		if l.pose.turned {
			n++
		}
		numbers = append(numbers, n)
	}
	if len(numbers) == 0 || !g.isNew(s.slicing, 's', numbers) {
		return false
	}
	rows, values := counted(s.lanes, func(panel int) (int32, bool) { return int32(panel), true })
	l := g.slicings[s.slicing].levels[s.level]
	rows, values = append(rows, int32(l.row)), append(values, -1)
	for _, c := range g.cuts {
		if c.holds(s) {
			rows, values = append(rows, int32(c.row)), append(values, 1)
		}
	}
	g.lp.AddColumn(0, 0, solver.Inf, rows, values)
	g.columns = append(g.columns, column{len(g.strips), -1})
	g.strips = append(g.strips, s)
	return true
}

// counted are the copies of panels in a strip as a column, by the rows of those that have one.
func counted(lanes []lane, rowOf func(panel int) (row int32, ok bool)) (rows []int32, values []float64) {
	at := map[int32]int{}
	for _, l := range lanes {
		row, ok := rowOf(l.panel)
		if !ok {
			continue
		}
		i, met := at[row]
		if !met {
			i, at[row] = len(rows), len(rows)
			rows, values = append(rows, row), append(values, 0)
		}
		values[i]++
	}
	return rows, values
}

// addParting gives a sheet a column and tells whether it had none.
func (g *staging) addParting(p parting) bool {
	if !g.isNew(p.slicing, 'p', slices.Clone(p.levels)) {
		return false
	}
	s := &g.slicings[p.slicing]
	var rows []int32
	var values []float64
	for _, t := range p.levels { // equal ones lie together
		row := int32(s.levels[t].row)
		if n := len(rows); n > 0 && rows[n-1] == row {
			values[n-1]++
			continue
		}
		rows, values = append(rows, row), append(values, 1)
	}
	if row := g.supply[s.kind]; row >= 0 {
		rows, values = append(rows, int32(row)), append(values, 1)
	}
	g.lp.AddColumn(float64(g.m.kinds[s.kind].price)/g.unit, 0, solver.Inf, rows, values)
	g.columns = append(g.columns, column{-1, len(g.partings)})
	g.partings = append(g.partings, p)
	return true
}

// board is a sheet cut into strips.
func (g *staging) board(slicing int, list []strip) *board {
	s := &g.slicings[slicing]
	b := &board{}
	b.reset(g.m, s.kind)
	var parts []*box
	for _, t := range list {
		var panels []*box
		for _, l := range t.lanes {
			panels = append(panels, &box{size: l.pose.size, panel: int32(l.panel), turned: l.pose.turned})
		}
		if t.stacks != nil {
			panels = inStacks(s.axis, panels, t.stacks)
		}
		parts = append(parts, inRow(1-s.axis, panels))
	}
	if len(parts) > 0 {
		b.root = b.grow(g.m, inRow(s.axis, parts))
	}
	b.measure(g.m)
	return b
}

// inRow sets boxes beside each other along an axis.
func inRow(axis int, parts []*box) *box {
	whole := parts[0]
	for _, p := range parts[1:] {
		s := size{}
		s[axis] = whole.size[axis] + p.size[axis]
		s[1-axis] = max(whole.size[1-axis], p.size[1-axis])
		whole = &box{size: s, panel: none, axis: axis, part: whole, rest: p}
	}
	return whole
}
