package check

import (
	"testing"

	"pgregory.net/rapid"
)

// onGrid places rectangles on a sheet of whole cells, a bit each, by trying every
// cell for every one of them.
func onGrid(sheet extent, poses [][]extent, taken uint64) bool {
	if len(poses) == 0 {
		return true
	}
	for _, e := range poses[0] {
		shape := uint64(0)
		for y := range e[alongY] {
			shape |= (1<<e[alongX] - 1) << (8 * y)
		}
		for y := int64(0); y+e[alongY] <= sheet[alongY]; y++ {
			for x := int64(0); x+e[alongX] <= sheet[alongX]; x++ {
				if at := shape << (8*y + x); taken&at == 0 && onGrid(sheet, poses[1:], taken|at) {
					return true
				}
			}
		}
	}
	return false
}

// Corners leave out no placement: on random panels, and on those of a pinwheel,
// which no cut from edge to edge parts, some of them cut in two or made larger.
func TestCornersLeaveNothingOut(t *testing.T) {
	count := map[answer]int{}
	rapid.Check(t, func(r *rapid.T) {
		draw := func(low, high int64, what string) int64 { return rapid.Int64Range(low, high).Draw(r, what) }
		sheet := extent{draw(4, 7, "long"), draw(4, 7, "wide")}
		var sizes []extent
		if rapid.Bool().Draw(r, "wheel") {
			x0, y0 := draw(1, 2, "x"), draw(1, 2, "y")
			x1, y1 := sheet[alongX]-draw(1, 1, "x"), sheet[alongY]-draw(1, 1, "y")
			for _, e := range []extent{{x1, y0}, {sheet[alongX] - x1, y1}, {sheet[alongX] - x0, sheet[alongY] - y1}, {x0, sheet[alongY] - y0}, {x1 - x0, y1 - y0}} {
				if e[alongX] <= 0 || e[alongY] <= 0 {
					continue
				}
				switch half := e[alongX] / 2; {
				case half > 0 && draw(0, 4, "cut") == 0:
					sizes = append(sizes, extent{half, e[alongY]}, extent{e[alongX] - half, e[alongY]})
				default:
					e[alongX] += max(0, draw(-9, 1, "more"))
					sizes = append(sizes, e)
				}
			}
		} else {
			for range draw(1, 6, "panels") {
				sizes = append(sizes, extent{draw(1, 5, "l"), draw(1, 5, "w")})
			}
		}
		var poses [][]extent
		for _, e := range sizes {
			list := []extent{e}
			if e[0] != e[1] && draw(0, 3, "turn") == 0 {
				list = append(list, extent{e[1], e[0]})
			}
			poses = append(poses, list)
		}
		effort := int64(cornerEffort)
		c := &corners{sheet: sheet, poses: poses, effort: &effort}
		want := no
		if onGrid(sheet, poses, 0) {
			want = yes
		}
		if got := c.lies(1<<len(poses) - 1); got != want {
			r.Fatalf("%v on %v: %v, by trying every cell %v", poses, sheet, got, want)
		}
		count[want]++
	})
	t.Logf("%d fit, %d do not", count[yes], count[no])
}

// Without effort nothing is said.
func TestCornersTire(t *testing.T) {
	effort := int64(2)
	c := &corners{sheet: extent{10, 10}, poses: [][]extent{{{5, 5}}, {{5, 6}}, {{5, 7}}}, effort: &effort}
	if got := c.lies(7); got != unknown {
		t.Errorf("%v", got)
	}
}
