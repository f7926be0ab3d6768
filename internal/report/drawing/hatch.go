package drawing

import (
	"math"
	"sort"
)

// Hatch fills an outline with parallel lines rising to the right at 45°, spaced
// so many millimetres apart. The lines run through fixed places of the page, so
// neighbouring hatches meet. Outlines may be concave; holes are not known.
func (p *Page) Hatch(outline []Point, spacing float64, pen Pen) {
	if len(outline) < 3 || spacing <= 0 {
		return
	}
	outline = shift(outline, 0, 0)
	// A hatch line is x + y = c.
	low, high := math.Inf(1), math.Inf(-1)
	for _, q := range outline {
		low, high = min(low, q.X+q.Y), max(high, q.X+q.Y)
	}
	step := spacing * math.Sqrt2
	for k := math.Ceil(low / step); k*step < high; k++ {
		c := float64(k * step)
		xs := crossings(outline, c)
		for i := 0; i+1 < len(xs); i += 2 {
			if xs[i+1]-xs[i] > shortest {
				p.Stroke(xs[i], c-xs[i], xs[i+1], c-xs[i+1], pen)
			}
		}
	}
}

// shortest is the extent of the shortest hatch line worth drawing, in millimetres.
const shortest = 0.05

// crossings are the x at which the outline crosses the line x + y = c, in
// order. Each edge counts its lower end and not its upper, so that a corner on
// the line counts once or not at all.
func crossings(outline []Point, c float64) []float64 {
	var xs []float64
	for i, a := range outline {
		b := outline[(i+1)%len(outline)]
		u, v := a.X+a.Y-c, b.X+b.Y-c
		if (u < 0) == (v < 0) {
			continue
		}
		xs = append(xs, a.X+float64((b.X-a.X)*u/(u-v)))
	}
	sort.Float64s(xs)
	return xs
}
