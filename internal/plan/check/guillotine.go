package check

import (
	"math"
	"slices"
)

// What a sheet holds at most by edge-to-edge cuts, however often panels occur in
// it. Sizes are grown by a kerf, so that cuts have no width. Every layout can be
// pushed together until its cuts lie at sums of panels' sizes, so only such
// lengths matter, and what lies between two of them is as good as the lower one
// (Herz 1972; Gilmore and Gomory 1966).
//
// In a row of parts side by side the first may be taken to be the shortest,
// so at most half, and itself no row. Such parts, solid ones, are worth more than
// any row as long as they are; they are few.

// guillotine is one such question.
type guillotine struct {
	whole  room
	panels []valued
	stages int  // 0 for any number
	exact  bool // no trimming cut follows the last stage
	// may tells along which axes the first stage may part the sheet.
	may    [2]bool
	effort *int64

	lengths [2][]int64 // along x and y
	// below[axis][i·n + j] is the last length no more than length i less length j.
	below [2][]int32
}

// valued is a panel as it lies on the sheet, and what it is worth.
type valued struct {
	room
	value int64
}

// mostLengths is how many lengths along one side are looked at.
const mostLengths = 4096

// most answers unknown when the effort runs out, or when the sums could pass 64 bits.
func (g *guillotine) most() (int64, answer) {
	if len(g.panels) == 0 {
		return 0, yes
	}
	largest, least := int64(0), whole(math.MaxInt64)
	for _, p := range g.panels {
		if p.x <= 0 || p.y <= 0 {
			return 0, unknown
		}
		largest = max(largest, p.value)
		if area := p.area(); area.compare(least) < 0 {
			least = area
		}
	}
	if whole(largest).times(g.whole.area()).compare(least.times(whole(math.MaxInt64/4))) > 0 {
		return 0, unknown
	}
	for axis := range 2 {
		if !g.measure(axis) {
			return 0, unknown
		}
	}
	if g.stages == 0 {
		return g.anyStages()
	}
	return g.someStages()
}

func (r room) along(axis int) int64 {
	if axis == 0 {
		return r.x
	}
	return r.y
}

// measure lists the lengths along an axis. Beyond the last one beside which a
// panel still fits all is waste, as long as waste may be trimmed off.
func (g *guillotine) measure(axis int) bool {
	end := g.whole.along(axis)
	shortest := end
	sums := []int64{0}
	for _, p := range g.panels {
		d := p.along(axis)
		shortest = min(shortest, d)
		for from := 0; from < len(sums) && len(sums) <= mostLengths; from++ {
			at := sums[from] + d
			place, met := slices.BinarySearch(sums, at)
			if at <= end && !met {
				sums = slices.Insert(sums, place, at)
			}
		}
		if *g.effort -= int64(len(sums)); len(sums) > mostLengths || *g.effort < 0 {
			return false
		}
	}
	list := slices.DeleteFunc(sums, func(s int64) bool { return s == end || s > end-shortest && !(g.stages > 0 && g.exact) })
	list = append(list, end)
	n := len(list)
	if *g.effort -= int64(n) * int64(n); *g.effort < 0 {
		return false
	}
	g.lengths[axis], g.below[axis] = list, make([]int32, n*n)
	for i := range list {
		at := 0
		for j := i; j >= 0; j-- {
			for at+1 < n && list[at+1] <= list[i]-list[j] {
				at++
			}
			g.below[axis][i*n+j] = int32(at)
		}
	}
	return true
}

// upTo is the first length that is no less than a size.
func (g *guillotine) upTo(axis int, size int64) int {
	i, _ := slices.BinarySearch(g.lengths[axis], size)
	return i
}

// anyStages fills in what every rectangle is worth, from the small ones on.
func (g *guillotine) anyStages() (int64, answer) {
	xs, ys := g.lengths[0], g.lengths[1]
	best := make([][]int64, len(xs))
	for i := range best {
		best[i] = make([]int64, len(ys))
	}
	for _, p := range g.panels {
		at := &best[g.upTo(0, p.x)][g.upTo(1, p.y)]
		*at = max(*at, p.value)
	}
	rows := make([][]int, len(ys)) // solid parts of each height, by length
	for i := 1; i < len(xs); i++ {
		var column []int // solid parts of this length, by height
		for j := 1; j < len(ys); j++ {
			row, pile := best[i-1][j], best[i][j-1]
			for _, c := range rows[j] {
				if xs[c] > xs[i]-xs[c] {
					break
				}
				row = max(row, best[c][j]+best[g.below[0][i*len(xs)+c]][j])
			}
			for _, c := range column {
				if ys[c] > ys[j]-ys[c] {
					break
				}
				pile = max(pile, best[i][c]+best[i][g.below[1][j*len(ys)+c]])
			}
			v := max(best[i][j], row, pile)
			best[i][j] = v
			if v > row {
				rows[j] = append(rows[j], i)
			}
			if v > pile {
				column = append(column, j)
			}
			*g.effort -= int64(len(rows[j]) + len(column) + 4)
		}
		if *g.effort < 0 {
			return 0, unknown
		}
	}
	return best[len(xs)-1][len(ys)-1], yes
}

// A stageTable has what rectangles are worth, by their length along the axis on
// which they are parted next, and then by their length across it.
type stageTable [][]int64

// someStages goes from tables with no stage left, which hold one panel, to
// those with all of them.
func (g *guillotine) someStages() (int64, answer) {
	below := [2]stageTable{g.single(0), g.single(1)}
	for range g.stages {
		var next [2]stageTable
		for axis := range 2 {
			if next[axis] = g.strips(axis, below[1-axis]); next[axis] == nil {
				return 0, unknown
			}
		}
		below = next
	}
	v := int64(0)
	for _, p := range g.panels { // one that needs no cut
		if p.room == g.whole {
			v = max(v, p.value)
		}
	}
	last := [2]int{len(g.lengths[0]) - 1, len(g.lengths[1]) - 1}
	for axis, may := range g.may {
		if may {
			v = max(v, below[axis][last[axis]][last[1-axis]])
		}
	}
	return v, yes
}

// single is what one panel makes a rectangle worth that was parted across the
// axis last: across it lies waste only where that may be trimmed off.
func (g *guillotine) single(axis int) stageTable {
	t := g.table(axis)
	for _, p := range g.panels {
		at, across := g.upTo(axis, p.along(axis)), g.upTo(1-axis, p.along(1-axis))
		for i := at; i < len(t); i++ {
			for j := across; j < len(t[i]); j++ {
				t[i][j] = max(t[i][j], p.value)
			}
			if g.exact {
				break
			}
		}
	}
	return t
}

func (g *guillotine) table(axis int) stageTable {
	t := make(stageTable, len(g.lengths[axis]))
	for i := range t {
		t[i] = make([]int64, len(g.lengths[1-axis]))
	}
	return t
}

// strips parts rectangles along an axis into strips of the tables before; nil
// when the effort ran out.
func (g *guillotine) strips(axis int, strip stageTable) stageTable {
	t := g.table(axis)
	n := len(t)
	for across := range g.lengths[1-axis] {
		var solid []int
		for i := 1; i < n; i++ {
			v := t[i-1][across]
			for _, c := range solid {
				v = max(v, strip[across][c]+t[g.below[axis][i*n+c]][across])
			}
			if s := strip[across][i]; s > v {
				v = s
				solid = append(solid, i)
			}
			t[i][across] = v
			*g.effort -= int64(len(solid) + 4)
		}
		if *g.effort < 0 {
			return nil
		}
	}
	return t
}
