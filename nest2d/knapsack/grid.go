package knapsack

import (
	"fmt"
	"slices"
)

// maxPoints is the largest number of raster points along a side: the tables of
// a recursion on as many take some hundred megabytes.
const maxPoints = 4096

// A grid holds the raster points of both axes: sums of panels' sizes, and the
// whole. Unless a layout must be free of trimming cuts, there are none at
// which no panel has room any more but short of the whole: the rest is waste.
type grid struct {
	points [2][]int64
	roomy  [2]int64 // the last length beside which a panel has room
	poses  []pose
	at     [][2]int32 // of the poses, in points
	// minus is the largest point no greater than the difference of two points;
	// plus stands for their sum as floor does, or is -1 beyond the whole.
	minus, plus [2][]int32
}

// newGrid makes the points for the panels that have a value. Limits on copies
// do not matter: the recursion needs sums of points to be points.
func newGrid(p *Problem) (*grid, error) {
	g := &grid{poses: p.poses()}
	whole := p.usable()
	for axis := range 2 {
		least := whole[axis]
		for _, q := range g.poses {
			least = min(least, q.size[axis])
		}
		sums := sumsOf(g.poses, axis, whole[axis], maxPoints)
		if len(sums) > maxPoints {
			return nil, fmt.Errorf("the panels' sizes have more than %d sums along one side of the rectangle: give sizes in a coarser unit", maxPoints)
		}
		g.roomy[axis] = whole[axis] - least
		if p.Stages == 0 || p.TrimCut {
			sums = slices.DeleteFunc(sums, func(s int64) bool { return s > g.roomy[axis] })
		}
		if sums[len(sums)-1] != whole[axis] {
			sums = append(sums, whole[axis])
		}
		g.points[axis] = sums
		g.fillTables(axis)
	}
	for _, q := range g.poses {
		g.at = append(g.at, [2]int32{g.ceiling(axisX, q.size[axisX]), g.ceiling(axisY, q.size[axisY])})
	}
	return g, nil
}

// sumsOf lists the sums of poses' sizes along an axis up to the whole, 0
// included, in ascending order; it stops early when there are more than a limit.
func sumsOf(poses []pose, axis int, whole int64, limit int) []int64 {
	sums := []int64{0}
	for _, q := range poses {
		for len(sums) <= limit {
			more := slices.Clone(sums)
			for _, s := range sums {
				if s+q.size[axis] <= whole {
					more = append(more, s+q.size[axis])
				}
			}
			slices.Sort(more)
			more = slices.Compact(more)
			if len(more) == len(sums) {
				break
			}
			sums = more
		}
	}
	return sums
}

func (g *grid) fillTables(axis int) {
	p := g.points[axis]
	n := len(p)
	g.minus[axis], g.plus[axis] = make([]int32, n*n), make([]int32, n*n)
	for i := range p {
		low, high := int32(0), int32(i)
		for j := i; j >= 0; j-- {
			for int(low)+1 < n && p[low+1] <= p[i]-p[j] {
				low++
			}
			g.minus[axis][i*n+j] = low
		}
		for j := range p {
			sum := p[i] + p[j]
			for int(high)+1 < n && p[high+1] <= sum {
				high++
			}
			at := high
			if sum > p[n-1] {
				at = -1
			} else if sum > g.roomy[axis] {
				at = int32(n - 1)
			}
			g.plus[axis][i*n+j] = at
		}
	}
}

// ceiling is the first point not below a length that is no more than the whole.
func (g *grid) ceiling(axis int, length int64) int32 {
	i, _ := slices.BinarySearch(g.points[axis], length)
	return int32(i)
}

// floor is the point that stands for a length, no more than the whole, where
// the room beside it matters: the last one not above it, or the whole when no
// panel has room there.
func (g *grid) floor(axis int, length int64) int32 {
	if length > g.roomy[axis] {
		return int32(len(g.points[axis]) - 1)
	}
	i, ok := slices.BinarySearch(g.points[axis], length)
	if !ok {
		i--
	}
	return int32(i)
}
