package dxf

import (
	"cmp"
	"math"
	"slices"

	"sawbill/internal/length"
	"sawbill/nest2d/geom"
)

// Joining
//
// Ends of loose edges that lie on the same unit are joined first, two by two;
// three or more are a branch, of which nobody can say which way to cut. Then
// ends that are left are joined to the nearest within the tolerance, the
// closest pair first. An edge keeps its bulge as its end moves. What has a free
// end after that is an open contour.

// A trace is an edge drawn in either direction: its ends in order, and the
// middle of its arc, which edges of the same ends have apart.
type trace struct{ p, q, middle geom.Point }

func (e edge) trace() trace {
	if cmp.Or(cmp.Compare(e.p.X, e.q.X), cmp.Compare(e.p.Y, e.q.Y)) > 0 {
		e.p, e.q, e.bulge = e.q, e.p, -e.bulge
	}
	x, y := float64(e.q.X-e.p.X), float64(e.q.Y-e.p.Y)
	return trace{e.p, e.q, geom.Point{
		X: int64(math.Round(float64(y * e.bulge / 2))),
		Y: int64(math.Round(float64(-x * e.bulge / 2))),
	}}
}

// twice tells how often something was drawn again, and where first.
type twice struct {
	count int
	at    geom.Point
}

func (t *twice) again(at geom.Point) {
	if t.count == 0 {
		t.at = at
	}
	t.count++
}

// single leaves out contours and edges that are drawn already.
func single(closed []geom.Outline, loose []edge, t *twice) ([]geom.Outline, []edge) {
	seen := map[trace]bool{}
	var contours []geom.Outline
	for _, o := range closed {
		fresh := false
		for i, v := range o {
			k := edge{v.Point, o[(i+1)%len(o)].Point, v.Bulge, ""}.trace()
			fresh = fresh || !seen[k]
		}
		if !fresh {
			t.again(o[0].Point)
			continue
		}
		for i, v := range o {
			seen[edge{v.Point, o[(i+1)%len(o)].Point, v.Bulge, ""}.trace()] = true
		}
		contours = append(contours, o)
	}
	var edges []edge
	for _, e := range loose {
		if k := e.trace(); seen[k] {
			t.again(e.p)
		} else {
			seen[k] = true
			edges = append(edges, e)
		}
	}
	return contours, edges
}

// A seam is where contours were closed though their ends were apart.
type seam struct {
	count int
	width float64 // the widest
	at    geom.Point
}

// A joiner has the loose edges. Edge i has the ends 2i, its start, and 2i+1.
type joiner struct {
	edges     []edge
	mate      []int // of an end, −1 while it is free
	tolerance float64
	seam      seam
}

func (j *joiner) at(end int) geom.Point {
	if end&1 == 0 {
		return j.edges[end/2].p
	}
	return j.edges[end/2].q
}

func (j *joiner) marry(a, b int) { j.mate[a], j.mate[b] = b, a }

// joined makes contours of loose edges.
func joined(edges []edge, tolerance float64) ([]geom.Outline, seam, error) {
	j := &joiner{edges: edges, tolerance: tolerance, mate: make([]int, 2*len(edges))}
	for end := range j.mate {
		j.mate[end] = -1
	}
	if err := j.meeting(); err != nil {
		return nil, seam{}, err
	}
	if err := j.near(); err != nil {
		return nil, seam{}, err
	}
	if err := j.open(); err != nil {
		return nil, seam{}, err
	}
	return j.walk(), j.seam, nil
}

// meeting joins ends on the same unit.
func (j *joiner) meeting() error {
	here := map[geom.Point][]int{}
	for end := range j.mate {
		p := j.at(end)
		here[p] = append(here[p], end)
	}
	for end := range j.mate {
		ends := here[j.at(end)]
		if len(ends) > 2 {
			return geom.Say("%d ends of lines meet at %v, one of them on the layer %s: where a contour branches it cannot be cut, delete all but two", len(ends), j.at(end), length.Quote(j.edges[ends[len(ends)-1]/2].layer))
		}
		if len(ends) == 2 && ends[0] == end {
			j.marry(ends[0], ends[1])
		}
	}
	return nil
}

// near joins ends that are apart by the tolerance at most.
func (j *joiner) near() error {
	const crowd = 16 // ends within the tolerance
	type cell struct{ x, y int64 }
	side := int64(math.Ceil(max(1, j.tolerance)))
	in := func(p geom.Point) cell { return cell{floor(p.X, side), floor(p.Y, side)} }
	cells := map[cell][]int{}
	for end, mate := range j.mate {
		if mate < 0 {
			c := in(j.at(end))
			cells[c] = append(cells[c], end)
			if len(cells[c]) > crowd {
				return geom.Say("more than %d lines end near %v: draw the contour there with one", crowd, j.at(end))
			}
		}
	}
	type pair struct {
		a, b int
		gap  float64
	}
	var pairs []pair
	for a, mate := range j.mate {
		if mate >= 0 {
			continue
		}
		c := in(j.at(a))
		for x := c.x - 1; x <= c.x+1; x++ {
			for y := c.y - 1; y <= c.y+1; y++ {
				for _, b := range cells[cell{x, y}] {
					if gap := distance(j.at(a), j.at(b)); a < b && a/2 != b/2 && gap <= j.tolerance {
						pairs = append(pairs, pair{a, b, gap})
					}
				}
			}
		}
	}
	slices.SortFunc(pairs, func(p, q pair) int {
		return cmp.Or(cmp.Compare(p.gap, q.gap), cmp.Compare(p.a, q.a), cmp.Compare(p.b, q.b))
	})
	for _, p := range pairs {
		if j.mate[p.a] >= 0 || j.mate[p.b] >= 0 {
			continue
		}
		j.marry(p.a, p.b)
		if p.gap > rounding {
			j.seam.count++
			if p.gap > j.seam.width {
				j.seam.width, j.seam.at = p.gap, j.at(p.a)
			}
		}
	}
	return nil
}

// rounding is how far ends may be apart that met before they were rounded to
// the digits of a file: 1 µm. Such gaps are not worth a word.
const rounding = 40

func floor(a, b int64) int64 {
	q := a / b
	if a%b < 0 {
		q--
	}
	return q
}

// open is the error of the first end that is free, nil if none is.
func (j *joiner) open() error {
	free := 0
	for _, mate := range j.mate {
		if mate < 0 {
			free++
		}
	}
	if free == 0 {
		return nil
	}
	first := slices.Index(j.mate, -1)
	other, gap := -1, math.Inf(1)
	for end, mate := range j.mate {
		if d := distance(j.at(first), j.at(end)); mate < 0 && end != first && d < gap {
			other, gap = end, d
		}
	}
	return geom.Say("a contour on the layer %s is open: from its end at %v the nearest other end, at %v, is %v away (%d such ends in all): close it in the drawing, delete it, or have a wider gap than %v closed",
		length.Quote(j.edges[first/2].layer), j.at(first), j.at(other), geom.Distance(math.Round(gap)), free, geom.Distance(j.tolerance))
}

// walk follows the joined edges around.
func (j *joiner) walk() []geom.Outline {
	done := make([]bool, len(j.edges))
	var all []geom.Outline
	for i := range j.edges {
		var o geom.Outline
		for end := 2 * i; !done[end/2]; end = j.mate[end^1] {
			e := j.edges[end/2]
			done[end/2] = true
			b := e.bulge
			if end&1 == 1 {
				b = 0 - b
			}
			o = append(o, geom.Vertex{Point: j.at(end), Bulge: b})
		}
		if len(o) == 0 {
			continue
		}
		o = dense(o)
		if n := len(o); n > 1 && o[0].Point == o[n-1].Point {
			o = o[:n-1]
		}
		all = append(all, o)
	}
	return all
}

func distance(p, q geom.Point) float64 {
	return spot{float64(p.X - q.X), float64(p.Y - q.Y)}.length()
}
