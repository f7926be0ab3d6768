package rivet

import (
	"math"
	"reflect"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"sawbill/nest2d/geom"
)

// away is the distance of two points.
func away(p, q geom.Point) float64 { return math.Hypot(float64(p.X-q.X), float64(p.Y-q.Y)) }

// segment is the distance of a point to a segment, by elementary geometry.
func segment(p, a, b geom.Point) float64 {
	l := away(a, b)
	ux, uy := float64(b.X-a.X)/l, float64(b.Y-a.Y)/l
	t := float64(p.X-a.X)*ux + float64(p.Y-a.Y)*uy
	if t <= 0 || t >= l {
		return min(away(p, a), away(p, b))
	}
	return math.Abs(float64(p.X-a.X)*uy - float64(p.Y-a.Y)*ux)
}

// clearance of a point to an outline: that of segments where it has no arcs.
func clearance(p geom.Point, o geom.Outline) float64 {
	least := math.Inf(1)
	for i, v := range o {
		if v.Bulge != 0 {
			return float64(o.Distance(p))
		}
		least = min(least, segment(p, v.Point, o[(i+1)%len(o)].Point))
	}
	return least
}

// genPanel draws a panel up to 1.2 m by 1 m: sloped at times, with openings of
// straight edges or rounded, and holes.
func genPanel(t *rapid.T) geom.Shape {
	l := 2 * rapid.Int64Range(100*mm, 600*mm).Draw(t, "length")
	w := 2 * rapid.Int64Range(100*mm, 500*mm).Draw(t, "width")
	p := geom.Rectangle(l, w)
	if rapid.Bool().Draw(t, "sloped") {
		p.Outer = geom.Polygon(pt(0, 0), pt(l, 0), pt(l, w/2), pt(l/2, w), pt(0, w))
	}
	for range rapid.IntRange(0, 3).Draw(t, "openings") {
		x, y := rapid.Int64Range(0, l).Draw(t, "x"), rapid.Int64Range(0, w).Draw(t, "y")
		a, b := rapid.Int64Range(5*mm, 300*mm).Draw(t, "l"), rapid.Int64Range(5*mm, 300*mm).Draw(t, "w")
		o := geom.Polygon(pt(x, y), pt(x+a, y), pt(x+a, y+b), pt(x, y+b))
		if rapid.Bool().Draw(t, "rounded") {
			if q, err := o.Rounded(1, 2*mm); err == nil {
				o = q
			}
		}
		q := p
		if q.Inner = append(slices.Clone(p.Inner), o); q.Simple() == nil {
			p = q
		}
	}
	for range rapid.IntRange(0, 3).Draw(t, "holes") {
		q := p
		q.Holes = append(slices.Clone(p.Holes), geom.Hole{
			Center:   pt(rapid.Int64Range(0, l).Draw(t, "x"), rapid.Int64Range(0, w).Draw(t, "y")),
			Diameter: rapid.Int64Range(mm, 60*mm).Draw(t, "diameter"),
		})
		if q.Simple() == nil {
			p = q
		}
	}
	return p
}

func genZones(t *rapid.T, b geom.Box) []Zone {
	var out []Zone
	for range rapid.IntRange(0, 3).Draw(t, "zones") {
		out = append(out, Zone{Center: pt(rapid.Int64Range(0, b.Max.X).Draw(t, "x"), rapid.Int64Range(0, b.Max.Y).Draw(t, "y")), Radius: rapid.Int64Range(0, 80*mm).Draw(t, "radius")})
	}
	return out
}

// genRow draws a row: along an axis, or anyhow.
func genRow(t *rapid.T, b geom.Box) Row {
	x, y := rapid.Int64Range(0, b.Max.X), rapid.Int64Range(0, b.Max.Y)
	r := Row{Rivet: Rivet{Diameter: rapid.SampledFrom([]int64{32 * mm / 10, 4 * mm, 48 * mm / 10, inch(3, 16), 64 * mm / 10}).Draw(t, "rivet")}}
	switch a, c := x.Draw(t, "x"), y.Draw(t, "y"); rapid.IntRange(0, 2).Draw(t, "way") {
	case 0:
		r.From, r.To = pt(0, c), pt(b.Max.X, c)
	case 1:
		r.From, r.To = pt(a, b.Max.Y), pt(a, 0)
	default:
		r.From, r.To = pt(a, c), pt(x.Draw(t, "to x"), y.Draw(t, "to y"))
	}
	r.Pitch = rapid.SampledFrom([]int64{0, 20 * mm, 75 * mm}).Draw(t, "pitch")
	r.Between = rapid.IntRange(0, 5).Draw(t, "between") == 0
	if rapid.Bool().Draw(t, "member") {
		r.Member = Member{rapid.Int64Range(10*mm, 60*mm).Draw(t, "face"), 2 * mm, 3 * mm}
		r.Offset = rapid.Int64Range(-10*mm, 10*mm).Draw(t, "offset")
	}
	if rapid.IntRange(0, 3).Draw(t, "two") == 0 {
		r.Second = &Second{rapid.Int64Range(-40*mm, 40*mm).Draw(t, "spacing")}
	}
	return r
}

// slack is what rounding to whole units may take from a distance.
const slack = 3.0

// Whatever the panel and the rows: holes are on their line, in the material,
// clear of contours, holes, zones and each other; spaces of a pitch are equal.
func TestLaidKeepsTheLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := genPanel(t)
		b := p.Bounds()
		keep := genZones(t, b)
		var rows []Row
		for range rapid.IntRange(1, 4).Draw(t, "rows") {
			rows = append(rows, genRow(t, b))
		}
		laid, findings := Lay(p, rows, keep)
		refused := map[int]bool{}
		for _, f := range findings {
			refused[f.Row] = refused[f.Row] || f.Severity == Refuse
		}
		for i, l := range laid {
			r := rows[l.Row]
			d := float64(r.Rivet.Diameter)
			for k, h := range l.Holes {
				if p.Contains(h) != geom.Inside {
					t.Fatalf("row %d: the hole at %v is not in the material", l.Row, h)
				}
				for _, o := range append([]geom.Outline{p.Outer}, p.Inner...) {
					if c := clearance(h, o); c < 1.5*d-slack {
						t.Fatalf("row %d: the hole at %v is %.0f from a contour", l.Row, h, c)
					}
				}
				for _, o := range p.Holes {
					if c := away(h, o.Center); c-float64(o.Diameter)/2 < 2*d-slack || c < 3*d-slack {
						t.Fatalf("row %d: the hole at %v is too near that at %v", l.Row, h, o.Center)
					}
				}
				for _, z := range keep {
					if away(h, z.Center) < float64(z.Radius)+float64(r.Rivet.hole())/2-slack {
						t.Fatalf("row %d: the hole at %v is in the zone at %v", l.Row, h, z.Center)
					}
				}
				if off := segment(h, r.From, r.To); !l.Second && off > slack {
					t.Fatalf("row %d: the hole at %v is %.0f off its line", l.Row, h, off)
				} else if l.Second && math.Abs(off-math.Abs(float64(r.Second.Spacing))) > slack {
					t.Fatalf("row %d: the hole at %v is %.0f off the first row", l.Row, h, off)
				}
				if k > 0 && away(h, l.Holes[k-1]) < 3*d-slack {
					t.Fatalf("row %d: holes at %v and %v are nearer than 3 D", l.Row, l.Holes[k-1], h)
				}
			}
			for _, m := range laid[:i] {
				if refused[l.Row] || refused[m.Row] {
					continue // rows too near each other stay as they are asked for
				}
				for _, h := range l.Holes {
					for _, g := range m.Holes {
						if least := 2.5 * float64(max(r.Rivet.Diameter, rows[m.Row].Rivet.Diameter)); away(h, g) < least-slack {
							t.Fatalf("the holes at %v and %v of rows %d and %d are nearer than 2.5 D", h, g, l.Row, m.Row)
						}
					}
				}
			}
		}
		if drilled := Drilled(p, rows, laid); len(refused) == 0 && drilled.Simple() != nil {
			t.Fatalf("the drilled panel cannot be cut: %v", drilled.Simple())
		}
	})
}

// One row: where two holes are farther apart than the pitch there is no place
// for another, tried in steps, nor is there before the first or after the last.
func TestNoRoomIsLeft(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := genPanel(t)
		keep := genZones(t, p.Bounds())
		r := genRow(t, p.Bounds())
		r.Second, r.Between, r.Pitch = nil, false, 75*mm
		laid, _ := Lay(p, []Row{r}, keep)
		if r.From == r.To {
			return
		}
		line := lineOf(r.From, r.To)
		d := float64(r.Rivet.Diameter)
		free := func(s int64) bool {
			h := line.at(s)
			if p.Contains(h) != geom.Inside {
				return false
			}
			for _, o := range append([]geom.Outline{p.Outer}, p.Inner...) {
				if clearance(h, o) < 2*d+slack {
					return false
				}
			}
			for _, o := range p.Holes {
				if c := away(h, o.Center); c-float64(o.Diameter)/2 < 2*d+slack || c < 3*d+slack {
					return false
				}
			}
			for _, z := range keep {
				if away(h, z.Center) < float64(z.Radius)+float64(r.Rivet.hole())/2+slack {
					return false
				}
			}
			return true
		}
		var along []int64
		if len(laid) > 0 {
			along = laid[0].Along
		}
		// A hole in between is to be 3 D from its neighbours, but not from the
		// ends of the row.
		room := 3*r.Rivet.Diameter + 2
		first, last := r.end(), line.length-r.end()
		seek := func(from, to, limit int64) {
			if limit <= r.pitch()+1 {
				return
			}
			for s := from; s <= to; s += mm / 2 {
				if free(s) {
					t.Fatalf("there is room for a hole at %v, %d along the row with holes along %v", line.at(s), s, along)
				}
			}
		}
		if len(along) == 0 {
			seek(first, last, math.MaxInt64)
			return
		}
		seek(first, along[0]-room, math.MaxInt64)
		for i := 1; i < len(along); i++ {
			seek(along[i-1]+room, along[i]-room, along[i]-along[i-1])
		}
		seek(along[len(along)-1]+room, last, math.MaxInt64)
	})
}

// A panel with its rows and zones turned over has its holes turned over.
func TestMirrored(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := genPanel(t)
		for _, o := range p.Inner {
			for i := range o {
				o[i].Bulge = 0 // arcs as chords may differ by a unit
			}
		}
		b := p.Bounds()
		keep := genZones(t, b)
		var rows []Row
		for range rapid.IntRange(1, 4).Draw(t, "rows") {
			if r := genRow(t, b); r.From.X == r.To.X || r.From.Y == r.To.Y {
				rows = append(rows, r)
			}
		}
		flip := func(q geom.Point) geom.Point { return pt(-q.X, q.Y) }
		zones := slices.Clone(keep)
		for i := range zones {
			zones[i].Center = flip(zones[i].Center)
		}
		turned := slices.Clone(rows)
		for i := range turned {
			r := &turned[i]
			r.From, r.To, r.Offset = flip(r.From), flip(r.To), -r.Offset
			if r.Second != nil {
				r.Second = &Second{-r.Second.Spacing}
			}
		}
		laid, _ := Lay(p, rows, keep)
		other, _ := Lay(p.MirrorY(), turned, zones)
		for _, l := range laid {
			for i := range l.Holes {
				l.Holes[i] = flip(l.Holes[i])
			}
		}
		if !reflect.DeepEqual(laid, other) {
			t.Fatalf("laid %v\nand mirrored %v", laid, other)
		}
	})
}

// A symmetric skin with rows along its edges and across its middle has its
// holes symmetric, in whatever order and direction the rows are given.
func TestSymmetric(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := 2 * rapid.Int64Range(100*mm, 600*mm).Draw(t, "length")
		w := 2 * rapid.Int64Range(100*mm, 500*mm).Draw(t, "width")
		p := geom.Rectangle(l, w)
		in := rapid.Int64Range(10*mm, 30*mm).Draw(t, "inset")
		rivet := Rivet{Diameter: 48 * mm / 10}
		m := Member{rapid.SampledFrom([]int64{0, 25 * mm, 40 * mm}).Draw(t, "face"), 2 * mm, 3 * mm}
		lines := [][2]geom.Point{
			{pt(in, 0), pt(in, w)}, {pt(l-in, 0), pt(l-in, w)}, {pt(0, in), pt(l, in)}, {pt(0, w-in), pt(l, w-in)},
			{pt(l/2, 0), pt(l/2, w)}, {pt(0, w/2), pt(l, w/2)},
		}
		a, b := rapid.Int64Range(0, l/2).Draw(t, "zone x"), rapid.Int64Range(0, w/2).Draw(t, "zone y")
		var keep []Zone
		for _, c := range []geom.Point{pt(a, b), pt(l-a, b), pt(a, w-b), pt(l-a, w-b)} {
			keep = append(keep, Zone{Center: c, Radius: 25 * mm})
		}
		var rows []Row
		for _, x := range rapid.Permutation(lines).Draw(t, "order") {
			if rapid.Bool().Draw(t, "turned") {
				x[0], x[1] = x[1], x[0]
			}
			rows = append(rows, Row{From: x[0], To: x[1], Rivet: rivet, Member: m})
		}
		laid, _ := Lay(p, rows, keep)
		var holes []geom.Point
		for _, x := range laid {
			holes = append(holes, x.Holes...)
		}
		for _, h := range holes {
			for _, image := range []geom.Point{pt(l-h.X, h.Y), pt(h.X, w-h.Y)} {
				if !slices.ContainsFunc(holes, func(q geom.Point) bool { return away(q, image) <= 1 }) {
					t.Fatalf("the hole at %v has no mirror image at %v", h, image)
				}
			}
		}
	})
}
